"""Homography cases: a photo made true by known corners, a scan by a known length.

Room: reference. Names and units only; see `case`.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.reference.case import Given, Model
from foldwright.scans import KnownLength, scaled, straightened

# What a pick is sure to, as a share of the picture; it weighs all corners alike.
_PICKING = 1e-4


def _homography(given: Given) -> Mapping[str, Any]:
    seen = [(float(x), float(y)) for x, y in given["src"]]
    known = [(float(x), float(y)) for x, y in given["dst"]]
    picking = _PICKING * float(np.ptp(np.array(seen), axis=0).max())
    found = straightened(seen, known, picking=picking).frame
    x, y = given["test_point"]
    if not found.whole[2, 2]:
        raise OutOfDomain("the origin lies on the horizon; h33 cannot be 1.", name="src")
    rows = found.whole / found.whole[2, 2]
    answers: dict[str, Any] = {"mapped": found.at([(float(x), float(y))])[0].tolist()}
    return answers | {f"H_row{i + 1}": row.tolist() for i, row in enumerate(rows)}


def _scale(given: Given) -> Mapping[str, Any]:
    (ax, ay), (bx, by) = (_point(given[name]) for name in ("mark_a_px", "mark_b_px"))
    reach = max(abs(bx - ax), abs(by - ay))
    length = KnownLength((ax, ay), (bx, by), float(given["true_distance_mm"]))
    found = scaled([length], picking=_PICKING * reach)
    return {"scale": found.across, "length": found.across * float(given["measured_px"])}


def _point(value: Any) -> tuple[float, float]:
    """Point of a picture; one number is a place along a rule."""
    if isinstance(value, list | tuple):
        return float(value[0]), float(value[1])
    return float(value), 0.0


MODELS: Mapping[str, Model] = MappingProxyType({"homography": _homography, "scale": _scale})
