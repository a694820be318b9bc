"""Folded parts: how lines and folds a little off make a box that leans and tapers.

Room: fit. A panel lies between two lines. A fold line out of place lengthens
one panel and shortens the next; what the fold adds was reckoned a little
wrong; where two panels are glued, each has a cut edge of its own. The panels
are folded round and closed (`rings`), and what the ring becomes is put into
the parameters and strays of the part.

End boards hold a ring square, also where a side of it is open, and leave little
of its lean; what they take goes into twist. One end board holds the end it is at,
and lets go with the way from there. How much is left is common practice, no
source: it puts parts of 300 mm folded by eye out by 2 to 5 mm, as they come.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from foldwright.fit.effects import (
    Causes,
    Effects,
    Practice,
    names_of,
    on_spots,
    rigid_motions,
    seeds,
    shape_modes,
    slopes_in,
)
from foldwright.fit.rings import closed_ring
from foldwright.plan import AnyPart, Box, Faceted, Profile, Taper
from foldwright.plan.dual import number
from foldwright.shape import Vector, dims_of, solid, strays_of
from foldwright.shape.prisms import bare_outline
from foldwright.shape.tapers import bare_sides
from foldwright.shop import Board, neutral_depth

# Share of a ring's lean that one end board leaves as far from it as the ring is wide, and
# that two leave.
_ONE_LEAVES, _TWO_LEAVE = 0.5, 0.1
# Share of the angle errors of four folds that goes into the twist of a closed part.
_TWISTS = 0.3
# A line is off by this share of its error from one end to the other.
_ALONG = 0.7
_UPRIGHT = 0.7  # a side that climbs by more than this share of itself holds a part upright


def prism_causes(part: Box | Profile, board: Board | None, practice: Practice) -> Causes:
    """How a box or profile strays."""
    outline = bare_outline(part, seeds(part))
    corners = np.array(outline.plain())
    steps = np.roll(corners, -1, axis=0) - corners
    is_open = [name in part.leave_open for name in outline.names]
    is_seam = _seams(part, outline.names, is_open)
    ends = [end not in part.leave_open for end in ("front", "back")]
    n = len(corners)
    held = any(ends)
    lengths, turns = closed_ring(corners, [gone and not held for gone in is_open], is_seam)
    wide, high = (float(x) for x in np.ptp(corners, axis=0))
    deep = number(part.depth.value(part.values()))
    turns *= _left(sum(ends), deep, (wide + high) / 2.0)
    effects = Effects()
    bends = [outline.turn(i) for i in range(n)]
    _ring_lines(effects, part, outline.names, is_open, is_seam, bends, board, practice)
    _depth_lines(effects, part, corners, is_open, ends, practice)
    climbs = [abs(dz) > _UPRIGHT * math.hypot(dx, dz) for dx, dz in steps]
    upright = min(2, sum(up and not gone for up, gone in zip(climbs, is_open, strict=True)))
    level = min(2, sum(not up and not gone for up, gone in zip(climbs, is_open, strict=True)))
    _lean(effects, "~lean_back", practice, high * _left(upright, wide, (high + deep) / 2.0))
    _lean(effects, "~skew", practice, deep * _left(level, high, (wide + deep) / 2.0))
    _lean(effects, "~twist", practice, _TWISTS * max(wide, deep, high))
    _cut_ends(effects, part, practice)
    _closing(effects, part)
    sides = effects.rows([f"side {i}" for i in range(n)])
    angles = effects.rows([f"turn {i}" for i in range(n)])
    moved = np.vstack([lengths @ sides + turns @ angles, effects.rows(["depth"])])
    wanted: dict[str, tuple[int, int] | None] = {"~lean_right": (0, 1)}
    if isinstance(part, Box):
        wanted |= {"~flare": None, "~tilt_right": (1, 0)}
    modes = {name: np.append(mode, 0.0) for name, mode in shape_modes(corners, wanted).items()}
    rigid = np.vstack([rigid_motions(corners), np.zeros(3)])
    spots = [x for corner in outline.corners for x in corner]
    return on_spots(part, [*spots, part.depth.value(seeds(part))], modes, rigid, moved, effects)


def taper_causes(part: Taper, board: Board | None, practice: Practice) -> Causes:
    """How a taper strays: two rings a height apart, of the same panels."""
    sides = bare_sides(part, seeds(part))
    n = len(part.sides)
    is_open = [name in part.leave_open for name in part.sides]
    is_seam = _seams(part, part.sides, is_open)
    ends = [end not in part.leave_open for end in ("bottom", "top")]
    effects = Effects()
    moved = []
    outlines = [
        np.array([(number(x), number(y)) for x, y, _ in corners])
        for corners in (sides.lower, sides.upper)
    ]
    bends = _turns(outlines[0])
    for which in ("lower", "upper"):
        _ring_lines(
            effects, part, part.sides, is_open, is_seam, bends, board, practice, f"{which} "
        )
    _taper_height(effects, part, is_open, ends, practice)
    height = number(part.height.value(part.values()))
    across = max(float(x) for outline in outlines for x in np.ptp(outline, axis=0))
    for stray in ("~lean_right", "~lean_back"):
        _lean(effects, stray, practice, height * _TWO_LEAVE)
    _lean(effects, "~twist", practice, _TWISTS * max(height, across))
    _closing(effects, part)
    modes: dict[str, Vector] = {}
    for which, outline, held in zip(("lower", "upper"), outlines, ends, strict=True):
        lengths, turns = closed_ring(outline, [False] * n, is_seam)
        turns *= _left(sum(ends), 0.0 if held else height, across)
        made = effects.rows([f"{which} side {i}" for i in range(n)])
        angles = effects.rows([f"{which} turn {i}" for i in range(n)])
        moved.append(lengths @ made + turns @ angles)
    moved.append(effects.rows(["height"]))
    rigid = np.zeros((4 * n + 1, 6))
    for end, outline in enumerate(outlines):
        rows = slice(2 * n * end, 2 * n * (end + 1))
        rigid[rows, 3 * end : 3 * end + 3] = rigid_motions(outline)
        if n == 4:
            (mode,) = shape_modes(outline, {"~skew": (0, 1)}).values()
            whole = np.zeros(4 * n + 1)
            whole[rows] = mode
            modes[f"~{('lower', 'upper')[end]}_skew"] = whole
    spots = [x for corners in (sides.lower, sides.upper) for c in corners for x in c[:2]]
    spots.append(part.height.value(seeds(part)))
    return on_spots(part, spots, modes, rigid, np.vstack(moved), effects)


def faceted_causes(part: Faceted, board: Board | None, practice: Practice) -> Causes:
    """How a faceted part strays: each edge between two panels, by itself."""
    found = dims_of(part, seeds(part), finished=False)
    edges = {name: dim for name, dim in found.items() if name.endswith("_length")}
    shape = solid(part)
    effects = Effects()
    for name in edges:
        what = f"edge {name.removesuffix('_length').replace('~', ' and ')}"
        effects.add("fold line", what, {name: math.sqrt(2.0)})
        effects.add("fold", what, {name: 1.0})
    _set_ups(effects, part, board, {name: 1.0 for name in edges}, {})
    spots = np.array(shape.vertices)
    size = [float(x) for x in np.ptp(spots, axis=0)]
    for stray in ("~lean_right", "~lean_back"):
        _lean(effects, stray, practice, size[2] * _TWO_LEAVE)
    _lean(effects, "~twist", practice, _TWISTS * max(size))
    _closing(effects, part)
    jacobian = slopes_in(part, [dim.value for dim in edges.values()])
    parameters = np.linalg.pinv(jacobian, rcond=1e-9) @ effects.rows(list(edges))
    strays = effects.rows([s.name for s in strays_of(part)])
    closing = effects.rows([f"={p.name}" for p in part.parameters])
    matrix = np.vstack([parameters + closing, strays])
    return Causes(part.name, names_of(part), tuple(effects.causes), matrix)


def web_effect(board: Board | None, turn: float, *, cut: bool = True) -> float:
    """How much longer the two panels of a fold come out together per web left too thick [-].

    The deduction of a groove of floor g is ``2 (g/theta + z) tan(theta/2) - g``, z the
    depth of the neutral line under the skin. In skinned board the skin governs, and
    z hardly moves with the web; in solid sheet z is half of it.

    Parameters
    ----------
    board : Board or None
        None counts as solid sheet.
    turn : float
        theta [rad].
    cut : bool
        False where nothing is cut to fold it.
    """
    if not cut:
        return 0.0
    rises = 0.5
    if board is not None:
        least = board.skin_thickness
        rises = neutral_depth(board, least + 1.0) - neutral_depth(board, least)
    return -2.0 * math.tan(min(abs(turn), math.pi * 0.9) / 2.0) * rises


def _ring_lines(
    effects: Effects,
    part: AnyPart,
    names: Sequence[str],
    is_open: Sequence[bool],
    is_seam: Sequence[bool],
    bends: Sequence[float],
    board: Board | None,
    practice: Practice,
    ring: str = "",
) -> None:
    """Lines across the ring, and the folds on them: corner i has side i - 1 before it."""
    n = len(names)
    fence: dict[str, float] = {}
    depth: dict[str, float] = {}
    for i in range(n):
        sides = (f"{ring}side {(i - 1) % n}", f"{ring}side {i}")
        closed = (not is_open[i - 1], not is_open[i])
        if closed[1]:
            fence[sides[1]] = 1.0
        if not all(closed) or is_seam[i]:
            for side, name, there in zip(sides, (names[i - 1], names[i]), closed, strict=True):
                # what is open lies between the edges of the end boards
                what = f"edge of {name}" if there else f"end boards, edge to {name}"
                effects.add(practice.cutting, f"{ring}{what}", {side: 1.0})
            continue
        what = f"{ring}fold between {names[i - 1]} and {names[i]}"
        effects.add("fold line", what, {sides[0]: 1.0, sides[1]: -1.0})
        effects.add("fold", what, dict.fromkeys(sides, 0.5))
        effects.add(practice.angles, what, {f"{ring}turn {i}": 1.0})
        share = web_effect(board, bends[i], cut=_is_cut(part, board)) / 2.0
        if share:
            effects.add("web", what, dict.fromkeys(sides, share))
            for side in sides:
                depth[side] = depth.get(side, 0.0) + share
    _set_ups(effects, part, board, fence, depth)


def _set_ups(
    effects: Effects,
    part: AnyPart,
    board: Board | None,
    fence: Mapping[str, float],
    depth: Mapping[str, float],
) -> None:
    """Settings that all panels of one stock share."""
    effects.add("fence", "width of panels", fence, f"fence for {part.stock}")
    if depth and _is_cut(part, board):
        effects.add("router depth", "webs", depth, f"router depth for {part.stock}")


def _is_cut(part: AnyPart, board: Board | None) -> bool:
    if part.fold.method is not None:
        return part.fold.method in ("groove", "kerf", "open")
    return board is None or board.is_skinned


def _depth_lines(
    effects: Effects,
    part: Box | Profile,
    corners: Vector,
    is_open: Sequence[bool],
    ends: Sequence[bool],
    practice: Practice,
) -> None:
    """Lines front and back on each side: folds where an end board is, else cut edges."""
    low, high = corners.min(axis=0), corners.max(axis=0)
    middles = ((corners + np.roll(corners, -1, axis=0)) / 2.0 - low) / (high - low) - 0.5
    there = [i for i, gone in enumerate(is_open) if not gone]
    # depth + taper * share of the way from left to right, through all sides that are there
    fit = np.linalg.pinv(np.column_stack([np.ones(len(there)), middles[there, 0]]), rcond=1e-6)
    for j, i in enumerate(there):
        moves = {"depth": float(fit[0, j]), "~depth_taper": float(fit[1, j])}
        for end, is_there in zip(("front", "back"), ends, strict=True):
            line = "fold line" if is_there else practice.cutting
            effects.add(line, f"{end} of side {i + 1}", moves)
            if is_there:
                effects.add("fold", f"{end} of side {i + 1}", {k: m / 2 for k, m in moves.items()})
    effects.add("fence", "depth of panels", {"depth": 1.0}, f"fence for {part.stock}, deep")


def _cut_ends(effects: Effects, part: Box | Profile, practice: Practice) -> None:
    """Ends of a ring that are not alike: end boards and lines that run off."""
    for end, sign in (("front", -1.0), ("back", 1.0)):
        is_there = end not in part.leave_open
        share = 1.0 if is_there else _ALONG
        for stray, what in (("~taper", "width"), ("~tilt_back", "height")):
            line = "fold line" if is_there else practice.cutting
            effects.add(line, f"{what} of the {end}", {stray: sign * share})
        if is_there:
            effects.add(practice.cutting, f"squareness of the {end}", {"~lean_right": 1.0})


def _taper_height(
    effects: Effects,
    part: Taper,
    is_open: Sequence[bool],
    ends: Sequence[bool],
    practice: Practice,
) -> None:
    there = [name for name, gone in zip(part.sides, is_open, strict=True) if not gone]
    for name in there:
        for end, is_there in zip(("bottom", "top"), ends, strict=True):
            line = "fold line" if is_there else practice.cutting
            effects.add(line, f"{end} of {name}", {"height": 1.0 / len(there)})
            if is_there:
                effects.add("fold", f"{end} of {name}", {"height": 0.5 / len(there)})


def _lean(effects: Effects, stray: str, practice: Practice, size: float) -> None:
    """Four folds of a ring lean it by a quarter of what each is off, in turn this way and that."""
    for i, sign in enumerate((1.0, -1.0, 1.0, -1.0), start=1):
        what = f"fold {i} of the ring that can {stray[1:].replace('_', ' ')}"
        effects.add(practice.angles, what, {stray: sign * size / 4.0})


def _closing(effects: Effects, part: AnyPart) -> None:
    """What pulling the seams shut does to each size."""
    for parameter in part.parameters:
        effects.add("closing", f"seams across {parameter.name}", {f"={parameter.name}": 1.0})


def _left(ends: int, along: float, across: float) -> float:
    """Share of a ring's lean that its end boards leave, `along` from end to end."""
    if ends == 0:
        return 1.0
    return _ONE_LEAVES * min(1.0, along / across) if ends == 1 else _TWO_LEAVE


def _seams(part: AnyPart, names: Sequence[str], is_open: Sequence[bool]) -> list[bool]:
    """Corners that are glued: those the plan cuts or an opening leaves, else the first."""
    n = len(names)
    pairs = {frozenset(pair) for pair in part.cut_at}
    found = [frozenset((names[i - 1], names[i])) in pairs for i in range(n)]
    beside = [is_open[i - 1] or is_open[i] for i in range(n)]
    if not any(found) and not any(beside):
        found[0] = True
    return [cut or gone for cut, gone in zip(found, beside, strict=True)]


def _turns(corners: Vector) -> list[float]:
    steps = np.roll(corners, -1, axis=0) - corners
    headings = np.arctan2(steps[:, 1], steps[:, 0])
    turns = headings - np.roll(headings, 1)
    return [float(t) for t in (turns + math.pi) % math.tau - math.pi]
