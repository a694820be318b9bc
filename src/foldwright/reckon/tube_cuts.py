"""Reckoners for tubes: cut at an angle, saddled to one another, bent in mitred segments.

Room: reckon. All three draw a paper wrap: its width goes once round the tube,
and at even marks along that width the line of the cut lies so far from the
edge. `shapes` lists them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.flat.wraps import angled_cut, branch_cut, elbow, saddle_depth, wrap_width
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.renaming import asked_as
from foldwright.shop.physical import require_whole

_FEWEST, _MOST = 8, 72  # marks round a tube
_MOST_SEGMENTS = 90  # of which each turns a right angle by a degree
_FINE = 720  # turns between which the lowest point of a saddle is looked for
_CALIPER = 0.05  # mm; one standard deviation of a diameter with a caliper, common practice

_OUTSIDE = "outside diameter; for sheet yet to be curled its mean diameter, with paper=0"
_MARKS = Input("marks", "marks round the wrap, a number that 4 divides", "-", "12")
_PAPER = Input("paper", "thickness of the paper of the wrap", "mm", "0.1")
_SAW = (
    "Deburr both edges: cut tube is sharp. Clamp it in a cradle so that it cannot roll in the saw."
)
_WRAP = (
    "Cut the wrap to its width, with one long edge straight; rule lines across it at the marks.",
    "Set off each mark's distance from that edge, and draw a smooth curve through the points.",
    "Cut along the curve, wrap it round until the ends butt, and scribe.",
)


def _tube_cut(*, outside_d: float, angle: float, marks: float, paper: float) -> Answer:
    count, turns = _marks(marks)
    with asked_as(radius="outside_d", thickness="paper"):
        cut = angled_cut(outside_d / 2.0, angle, turns)
        width = wrap_width(outside_d / 2.0, paper)
    return Answer(
        lines=(
            *_wrap_lines(width, count),
            Line("long_side", "longest side beyond the shortest", float(cut.max()), "mm"),
            *_mark_lines(cut, is_symmetric=True, first="shortest side"),
        ),
        steps=(
            *_WRAP,
            "The straight edge marks a square end: the tube from there to the curve stays.",
        ),
    )


def _tube_on_tube(
    *, main_d: float, branch_d: float, angle: float, offset: float, marks: float, paper: float
) -> Answer:
    count, turns = _marks(marks)
    radii = main_d / 2.0, branch_d / 2.0
    with asked_as(main_radius="main_d", branch_radius="branch_d", radius="branch_d"):
        fine = branch_cut(*radii, angle, np.linspace(0.0, math.tau, _FINE + 1), offset=offset)
        cut = branch_cut(*radii, angle, turns, offset=offset)
    with asked_as(thickness="paper"):
        width = wrap_width(radii[1], paper)
    lowest = float(fine.min())
    lines = [
        *_wrap_lines(width, count),
        Line("nearest", "axis crossing to edge of the wrap", lowest, "mm"),
        Line("depth", "deepest cut, from the edge", float(fine.max()) - lowest, "mm"),
    ]
    if offset == 0.0:
        scoop = float(saddle_depth(*radii, math.pi / 2.0))
        lines.append(Line("saddle", "scoop if the branch stood square", scoop, "mm"))
    side = "away from the lean"
    return Answer(
        lines=(*lines, *_mark_lines(cut - lowest, is_symmetric=offset == 0.0, first=side)),
        steps=(
            *_WRAP,
            "The straight edge points to the main tube: cut away what lies between edge and curve.",
            "File the inside of the cut away until the outside closes on the main tube.",
        ),
        remarks=() if offset == 0.0 else ("Marks run towards the side to which the offset goes.",),
    )


def _elbow(
    *,
    outside_d: float,
    bend_radius: float,
    angle: float,
    segments: float,
    marks: float,
    paper: float,
) -> Answer:
    count, turns = _marks(marks)
    full = require_whole(
        segments, 0, "the count of full segments", name="segments", most=_MOST_SEGMENTS
    )
    with asked_as(radius="outside_d", bend_angle="angle", thickness="paper"):
        made = elbow(outside_d / 2.0, bend_radius, angle, full, turns)
        width = wrap_width(outside_d / 2.0, paper)
    lines = [
        Line("saw", "tilt of the saw from square", math.degrees(made.half_angle), "deg"),
        *_wrap_lines(width, count),
        Line("end_throat", "end piece, shortest side", made.throat, "mm"),
        Line("end_back", "end piece, longest side", made.back, "mm"),
    ]
    if full:
        lines += [
            Line("full_throat", "full segment, shortest side", 2.0 * made.throat, "mm"),
            Line("full_back", "full segment, longest side", 2.0 * made.back, "mm"),
        ]
    steps = (
        *_WRAP,
        "The straight edge is an end piece's square end, or the middle of a full segment.",
        "Between cuts of one length of tube turn it by half a turn: the cuts fall in pairs.",
        f"Two end pieces and {full} full segments; tack them with all long sides in one line.",
    )
    return Answer((*lines, *_mark_lines(made.ordinates, is_symmetric=True, first="throat")), steps)


def _marks(marks: float) -> tuple[int, np.ndarray]:
    """Count of marks, and the turn of each."""
    count = require_whole(marks, _FEWEST, "the number of marks", name="marks", most=_MOST)
    if count % 4:
        raise OutOfDomain(
            f"{count} marks do not fall on all four quarters. Take 8, 12, 16 or 24.",
            name="marks",
        )
    return count, np.linspace(0.0, math.tau, count, endpoint=False)


def _wrap_lines(width: float, count: int) -> tuple[Line, ...]:
    return (
        Line("width", "once round, on the paper", width, "mm"),
        Line("step", "from mark to mark", width / count, "mm"),
    )


def _mark_lines(cut: Sequence[float] | np.ndarray, *, is_symmetric: bool, first: str) -> list[Line]:
    """One line a mark; one for two that mirror each other."""
    count = len(cut)
    lines = []
    for i in range(count // 2 + 1 if is_symmetric else count):
        what = f"mark {i}"
        if is_symmetric and 0 < i < count // 2:
            what = f"marks {i} and {count - i}"
        if i == 0:
            what += f", {first}"
        lines.append(Line(f"mark_{i}", what, float(cut[i]), "mm"))
    return lines


TUBE_CUTS: tuple[Reckoner, ...] = (
    Reckoner(
        name="tube-cut",
        group="Shapes",
        title="Line of a mitre cut on a tube, for a paper wrap",
        inputs=(
            Input("outside_d", _OUTSIDE, "mm", spread=_CALIPER),
            Input("angle", "of the cut from a square one; half the turn of a mitred joint", "deg"),
            _MARKS,
            _PAPER,
        ),
        answer=_tube_cut,
        formula="plane through a cylinder, y = R tan(phi) (1 - cos t)",
        source="development of an obliquely cut cylinder, in any text on descriptive geometry",
        domain="Round tube, cuts up to 89 degrees from square; for the outside skin.",
        example={"outside_d": "60", "angle": "45"},
        cautions=(_SAW,),
    ),
    Reckoner(
        name="tube-on-tube",
        group="Shapes",
        title="Saddle of a branch tube that ends on another tube, for a paper wrap",
        inputs=(
            Input("main_d", "outside diameter of the tube that runs on", "mm", spread=_CALIPER),
            Input("branch_d", "of the branch: " + _OUTSIDE, "mm", spread=_CALIPER),
            Input("angle", "between the axes", "deg", "90"),
            Input("offset", "of the axes from one another, sideways", "mm", "0"),
            _MARKS,
            _PAPER,
        ),
        answer=_tube_on_tube,
        formula=(
            "two cylinders, w = (sqrt(R^2 - (r sin t + e)^2) - r cos t cos b) / sin b; "
            "saddle R - sqrt(R^2 - r^2)"
        ),
        source="intersection of two circular cylinders, in any text on descriptive geometry",
        domain="The branch is no wider than the main tube and hangs over neither side.",
        example={"main_d": "120", "branch_d": "80", "angle": "60"},
        cautions=(_SAW,),
    ),
    Reckoner(
        name="elbow",
        group="Shapes",
        title="Segments of a bend made of mitred lengths of tube",
        inputs=(
            Input("outside_d", _OUTSIDE, "mm", spread=_CALIPER),
            Input("bend_radius", "of the bend, to the axis of the tube", "mm"),
            Input("angle", "that the bend turns through", "deg", "90"),
            Input(
                "segments", "full segments between the two end pieces; 0 for one mitre", "-", "2"
            ),
            _MARKS,
            _PAPER,
        ),
        answer=_elbow,
        formula="a = bend / (2 (n + 1)); y = (R_b - r cos t) tan a; a full segment twice that",
        source="segmental bends, in any text on sheet-metal pattern drafting",
        domain="Bend radius at least that of the tube; each joint turns by under 178 degrees.",
        example={"outside_d": "100", "bend_radius": "120"},
        cautions=(_SAW,),
    ),
)
