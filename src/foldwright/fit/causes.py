"""Causes: which process strays which dim of a part by how much.

Room: fit. A part strays by many independent *causes*, each the work of one
process (`shop.PROCESSES`): this cut, that fold, the setting of the fence. Each
column of a part's matrix is one cause at one usual scatter; the rows are the
part's parameters and strays. What is known of a part before it is made is its
covariance, ``matrix @ matrix.T``.

A cause with a *set-up* is one and the same in all parts that were cut with
that setting. `whole_root` puts the parts of a build together, such causes in
one column each.

Start at `causes_of`. How folded parts stray is in `folded_causes`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from foldwright.fit.clearance import key_of
from foldwright.fit.effects import (
    USUAL,
    Causes,
    Effects,
    Practice,
    on_lengths,
    on_spots,
    rigid_motions,
    seeds,
    shape_modes,
)
from foldwright.fit.folded_causes import faceted_causes, prism_causes, taper_causes
from foldwright.plan import (
    AnyPart,
    Bought,
    Box,
    Drum,
    Faceted,
    Hood,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Taper,
    Tube,
)
from foldwright.plan.dual import number
from foldwright.shape import Vector, plate_outline
from foldwright.shape.strays import lengths_of
from foldwright.shop import PROCESSES, Board

if TYPE_CHECKING:
    type Sparse = Any  # scipy.sparse.csr_array, which ships no types

# Three places round, or two ends of an edge, stray by themselves by this share of what a
# whole cut strays; common practice, no source.
_ALONG = 0.7
_THIRDS = tuple(math.radians(d) for d in (0.0, 120.0, 240.0))


@lru_cache(maxsize=1024)
def causes_of(part: AnyPart, board: Board | None = None, practice: Practice = USUAL) -> Causes:
    """How a part strays when it is made by hand.

    Parameters
    ----------
    part : AnyPart
    board : Board, optional
        What it is made of; says what the depth of a groove does to a fold.
    practice : Practice
        How the maker works.

    Returns
    -------
    Causes
    """
    match part:
        case Box() | Profile():
            return prism_causes(part, board, practice)
        case Taper():
            return taper_causes(part, board, practice)
        case Faceted():
            return faceted_causes(part, board, practice)
        case Plate():
            if part.diameter is None:
                return _outline_causes(part, practice)
            return on_lengths(part, _disc(part, practice))
        case Drum():
            return on_lengths(part, _drum(practice))
        case Hood():
            return on_lengths(part, _hood(practice))
        case Tube():
            return on_lengths(part, _tube(part, practice))
        case Plug():
            return on_lengths(part, _plug(part))
        case Strip():
            return on_lengths(part, _strip(part, practice))
        case Rib():
            return on_lengths(part, _rib(practice))
        case Bought():
            effects = Effects()
            for name in lengths_of(part):
                effects.add("bought", f"its {name} as it comes", {name: 1.0})
            return on_lengths(part, effects)


@dataclass(frozen=True, eq=False)
class WholeRoot:
    """How all parts of a build stray together.

    Attributes
    ----------
    keys : tuple of str, length n
        ``part/name`` of each parameter and stray.
    root : sparse array, shape (n, q)
        What each cause moves at one usual scatter [mm].
    process : ndarray of int, shape (q,)
        Index into `processes`.
    processes : tuple of str
    is_shared : ndarray of bool, shape (q,)
        A set-up, one for all parts.
    """

    keys: tuple[str, ...]
    root: Sparse
    process: Vector
    processes: tuple[str, ...]
    is_shared: Vector


def whole_root(parts: Sequence[Causes]) -> WholeRoot:
    """Put the causes of all parts of a build together, those of one set-up in one column."""
    from scipy import sparse

    keys = tuple(key_of(part.part, name) for part in parts for name in part.names)
    column: dict[tuple[str, str, int], int] = {}
    process: list[str] = []
    rows, columns, entries = [], [], []
    at = 0
    for which, part in enumerate(parts):
        for j, cause in enumerate(part.causes):
            key = (cause.process, cause.set_up, -1 if cause.set_up else which * 10**6 + j)
            if key not in column:
                column[key] = len(column)
                process.append(cause.process)
            for i in np.flatnonzero(part.matrix[:, j]):
                rows.append(at + int(i))
                columns.append(column[key])
                entries.append(float(part.matrix[i, j]))
        at += len(part.names)
    root = sparse.csr_array((entries, (rows, columns)), shape=(len(keys), len(column)))
    processes = tuple(dict.fromkeys(process))
    return WholeRoot(
        keys,
        root,
        np.array([processes.index(name) for name in process], dtype=np.int64),
        processes,
        np.array([bool(set_up) for _, set_up, _ in column], dtype=bool),
    )


def _thirds(effects: Effects, process: str) -> None:
    """Ends cut out of square: three places round, each a little off by itself."""
    for turn in _THIRDS:
        share = _ALONG * 2.0 / 3.0
        effects.add(
            process,
            f"an end, {math.degrees(turn):.0f} degrees from the seam",
            {"~slope_0": share * math.cos(turn), "~slope_90": share * math.sin(turn)},
        )


def _ovals(effects: Effects, process: str, stray: str = "", share: float = 1.0) -> None:
    for which in ("oval", "oval_45"):
        effects.add(process, f"round {stray}".strip(), {f"~{stray}{which}": share})


def _drum(practice: Practice) -> Effects:
    effects = Effects()
    effects.add("curl", "girth", {"outside_d": 1.0 / math.pi})
    effects.add(practice.cutting, "length", {"length": 1.0})
    _ovals(effects, "rounding")
    _thirds(effects, practice.cutting)
    return effects


def _hood(practice: Practice) -> Effects:
    effects = Effects()
    for end in ("bottom", "top"):
        effects.add("curl", f"girth of the {end}", {f"{end}_d": 1.0 / math.pi})
        _ovals(effects, "rounding", f"{end}_")
    effects.add(practice.cutting, "height", {"height": 1.0})
    _thirds(effects, practice.cutting)
    return effects


def _tube(tube: Tube, practice: Practice) -> Effects:
    effects = Effects()
    as_it_comes = f"{tube.stock} as it comes"
    # half of what a bore is off comes of the outside, half of the wall
    half = math.sqrt(0.5)
    effects.add("stock", "outside", {"~outside_off": half, "~bore_off": half}, as_it_comes)
    effects.add("stock", "wall", {"~bore_off": half}, f"wall of {as_it_comes}")
    effects.add("file", "length", {"length": 1.0})
    if not tube.square:
        _ovals(effects, "stock")
    _thirds(effects, "file")
    return effects


def _plug(plug: Plug) -> Effects:
    effects = Effects()
    effects.add("plug", "diameter", {"diameter": 1.0})
    effects.add("file", "length", {"length": 1.0})
    if plug.bolt_d is not None:  # a hole is as wide as its drill
        effects.add("bought", "hole for the bolt", {"bolt_d": 1.0})
    _ovals(effects, "plug", share=_ALONG)
    return effects


def _disc(plate: Plate, practice: Practice) -> Effects:
    effects = Effects()
    effects.add(practice.cutting, "edge", {"diameter": 1.0})
    if plate.bore is not None:
        effects.add(practice.cutting, "hole", {"bore": 1.0})
    _ovals(effects, practice.cutting)
    return effects


def _strip(strip: Strip, practice: Practice) -> Effects:
    effects = Effects()
    effects.add(practice.cutting, "length", {"length": 1.0})
    effects.add(practice.cutting, "long edge", {"width": 1.0})
    effects.add(practice.cutting, "long edge, end to end", {"~taper": _ALONG * math.sqrt(2.0)})
    if strip.flange is None:
        effects.add(practice.cutting, "other long edge", {"width": 1.0})
        return effects
    effects.add(practice.cutting, "edge of the flange", {"flange": 1.0})
    effects.add("fold line", "its fold", {"width": 1.0, "flange": -1.0})
    effects.add("fold", "its fold", {"width": 0.5, "flange": 0.5})
    a, b = (number(x.value(strip.values())) for x in (strip.width, strip.flange))
    across = math.sqrt(a * a + b * b + 2.0 * a * b * math.cos(strip.turn))
    lever = -a * b * math.sin(abs(strip.turn)) / across
    effects.add(practice.angles, "its fold", {"~spread": lever})
    return effects


def _rib(practice: Practice) -> Effects:
    effects = Effects()
    for name, edges in (("width", ("left", "right")), ("height", ("lower", "upper"))):
        for edge in edges:
            effects.add(practice.cutting, f"{edge} edge", {f"~{name}_off": math.sqrt(0.5)})
    effects.add(practice.cutting, "edge", {"~diameter_off": 1.0})
    effects.add(practice.cutting, "sides, end to end", {"~taper": _ALONG * math.sqrt(2.0)})
    return effects


def _outline_causes(plate: Plate, practice: Practice) -> Causes:
    """Each side is cut along a line that is off by something else at either end."""
    spots = plate_outline(plate, seeds(plate), finished=False)
    corners = np.array([(number(x), number(y)) for x, y in spots])
    n = len(corners)
    steps = np.roll(corners, -1, axis=0) - corners
    out = np.column_stack([steps[:, 1], -steps[:, 0]]) / np.hypot(steps[:, 0], steps[:, 1])[:, None]
    effects = Effects()
    moved = np.zeros((2 * n, 2 * n))
    for i in range(n):
        # the corner where side i - 1 ends and side i begins
        meeting = np.linalg.pinv(np.array([out[i - 1], out[i]]))
        for which, (side, end) in enumerate(((i - 1, "end"), (i, "start"))):
            effects.add(practice.cutting, f"{end} of side {side % n + 1}", {})
            share = PROCESSES[practice.cutting].scatter
            moved[2 * i : 2 * i + 2, 2 * i + which] = share * meeting[:, which]
    modes = shape_modes(corners, {"~skew": (0, 1), "~taper": None})
    flat = [x for spot in spots for x in spot]
    return on_spots(plate, flat, modes, rigid_motions(corners), moved, effects)
