"""Cones of a ``patterns.json``, judged from nothing but its own text.

A flat point has polar coordinates (rho, f) about `flat_apex`; f is counted
anticlockwise from `flat_start_deg`, up to a whole turn. Rolled up, it lies rho
down the neutral cone from `apex`, at the angle ``sense (f - flat_start)/sin b``
round the axis from `start`, and its outside skin `offset` further out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

type Array = NDArray[np.float64]
type Record = Mapping[str, Any]

# A corner at the very start may be read a rounding error before it [rad].
_BEFORE_START = 1e-7


def on_cone(cone: Record, points: Array, out: float | None = None) -> Array:
    """Where flat points lie in space, shape (n, 3), `out` from the neutral cone (else outside)."""
    away = np.atleast_2d(points) - np.array(cone["flat_apex"], dtype=float)
    rho = np.linalg.norm(away, axis=1)
    start = math.radians(cone["flat_start_deg"])
    turned = (np.arctan2(away[:, 1], away[:, 0]) - start + _BEFORE_START) % math.tau
    half = math.radians(cone["half_angle_deg"])
    angle = cone["sense"] * (turned - _BEFORE_START) / math.sin(half)
    axis, spoke = np.array(cone["axis"], dtype=float), np.array(cone["start"], dtype=float)
    round_ = np.outer(np.cos(angle), spoke) + np.outer(np.sin(angle), np.cross(axis, spoke))
    down = math.cos(half) * axis + math.sin(half) * round_
    outward = math.cos(half) * round_ - math.sin(half) * axis
    lift = cone["offset"] if out is None else out
    return np.asarray(np.array(cone["apex"], dtype=float) + rho[:, None] * down + lift * outward)


def faults_of_cone(cone: Record, piece: Record) -> Iterator[tuple[float, str]]:
    """What is wrong with a curled cone, each with its distance [mm]."""
    what = f'curled face "{cone["face"]}" of {piece["id"]}'
    axis, start = np.array(cone["axis"], dtype=float), np.array(cone["start"], dtype=float)
    yield abs(float(axis @ axis) - 1.0), f"the axis of {what} is no unit vector"
    yield abs(float(start @ start) - 1.0), f"the start of {what} is no unit vector"
    yield abs(float(axis @ start)), f"the start of {what} leans along the axis"
    if not 0.0 < cone["half_angle_deg"] < 90.0:
        yield math.inf, f"{what} is no cone"
    # Away from the tip, then anticlockwise, then out: the flat is seen from outside.
    if cone["sense"] != -1:
        yield math.inf, f"{what} is curled inside out"
    if abs(cone["offset"] - piece["thickness"] / 2.0) > piece["thickness"] / 4.0:
        yield math.inf, f"{what} has its neutral surface in a skin"
    apex = np.array(cone["flat_apex"], dtype=float)
    radii, round_ = [], math.tau * math.sin(math.radians(cone["half_angle_deg"]))
    last = piece["outline"][-1]["to"]
    for step in piece["outline"]:
        if "centre" in step:
            yield math.dist(step["centre"], apex), f"an arc of {what} is not struck from its tip"
            radii.append(math.dist(step["to"], apex))
            one, two = (math.atan2(p[1] - apex[1], p[0] - apex[0]) for p in (last, step["to"]))
            sweep = (two - one if step["way"] == "left" else one - two) % math.tau
            yield radii[-1] * abs(sweep - round_), f"an arc of {what} does not go once round"
        last = step["to"]
    for corner in cone["flat"]:
        away = math.dist(corner, apex)
        yield min(abs(away - r) for r in radii), f"{what} is not cut along its flat"
    yield from _rims(cone, radii, what)


def _rims(cone: Record, radii: list[float], what: str) -> Iterator[tuple[float, str]]:
    """Each arc rolls up to a circle square to the axis."""
    axis, apex = np.array(cone["axis"], dtype=float), np.array(cone["apex"], dtype=float)
    flat = np.array(cone["flat"], dtype=float)
    away = np.linalg.norm(flat - np.array(cone["flat_apex"]), axis=1)
    for radius in radii:
        rim = on_cone(cone, flat[np.abs(away - radius) < 1e-6]) - apex
        heights = rim @ axis
        across = np.linalg.norm(rim - np.outer(heights, axis), axis=1)
        yield float(np.ptp(heights)), f"a rim of {what} is not square to the axis"
        yield float(np.ptp(across)), f"a rim of {what} is not round"
