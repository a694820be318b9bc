"""Reckoners for shapes: cones, transitions, leaning sides, regular solids, domes.

Room: reckon. Tubes are in `tube_cuts`, and listed here too.
"""

from __future__ import annotations

import math

import numpy as np

from foldwright.flat.sectors import cone_blank
from foldwright.flat.square_to_round import SquareToRound
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.tube_cuts import TUBE_CUTS
from foldwright.shape.domes import cap_on
from foldwright.shape.leaning import hopper, mitred_side
from foldwright.shape.regular_solids import (
    REGULAR_SOLIDS,
    content,
    dihedrals,
    face_sort,
    regular_solid,
    rhomb_of,
)
from foldwright.shop.physical import require_whole

_PER_CM3 = 1e-3  # cm3 in a mm3
_PER_M2 = 1e-6  # m2 in a mm2
_MOST_DIVISIONS = 24  # of a quarter of a circle
_MOST_MARKS = 24  # down a petal
_MOST_PETALS = 360  # of which each covers a degree
_SHEET = "Cut sheet is sharp: wear gloves to carry it, and deburr every edge before curling."
_BLADE = (
    "A tilted blade cuts through the fence and the guard of some saws: turn it by hand first, "
    "keep the guard on, clamp small pieces, and keep to the saw's manual and local rules."
)


def _square_to_round(*, side: float, diameter: float, height: float, divisions: float) -> Answer:
    shape = SquareToRound(side, diameter, height)
    count = require_whole(
        divisions, 1, "the number of divisions", name="divisions", most=_MOST_DIVISIONS
    )
    lengths = shape.corner_lengths(np.linspace(0.0, math.pi / 2.0, count + 1))
    lines = [
        Line("seam", "seam: middle of a side to circle", shape.seam, "mm"),
        Line("step", "from division to division", shape.step(math.pi / 2.0 / count), "mm"),
    ]
    for i in range(count // 2 + 1):
        mirror = count - i
        what = f"corner to division {i}" + (f" and {mirror}" if mirror != i else "")
        lines.append(Line(f"corner_{i}", what, float(lengths[i]), "mm"))
    return Answer(
        lines=tuple(lines),
        steps=(
            f"Draw half a side, {side / 2.0:.1f} mm, and square to it the seam line.",
            "From the corner strike the length to division 0: it meets the end of the seam line.",
            "From there strike one step, and from the corner the next length; where they cross is "
            "the next division. Go on to the last.",
            "From the last strike the seam length, and from the corner half a side: the middle of "
            "the next side. Its triangle is done; three more corners follow.",
        ),
        remarks=("Steps are straight, so the rim comes out a little short: divide finely.",),
    )


def _cone(*, large_d: float, small_d: float, height: float, thickness: float) -> Answer:
    blank = cone_blank(large_d, small_d, height, thickness=thickness)
    sector = blank.sector
    angle = math.degrees(sector.angle)
    gap = "the gap" if angle > 180.0 else "the sector"
    return Answer(
        lines=(
            Line("outer", "radius of the outer arc", sector.outer, "mm"),
            Line("inner", "radius of the inner arc", sector.inner, "mm"),
            Line("angle", "angle of the sector", angle, "deg"),
            Line("chord", f"straight across {gap}, outside", sector.outer_chord, "mm"),
            Line("slant", "along the cone, rim to rim", blank.slant, "mm"),
            Line("half_angle", "lean of the wall", math.degrees(blank.half_angle), "deg"),
            Line("area", "area of the blank", sector.area * _PER_M2, "m2", 4),
        ),
        steps=(
            "Strike both arcs from one centre.",
            f"Set the chord off on the outer arc with a rule: it spans {gap}, more surely than a "
            "protractor does.",
            "Join its ends to the centre, add what the seam laps, and cut.",
        ),
    )


def _hopper(*, base_x: float, base_y: float, top_x: float, top_y: float, height: float) -> Answer:
    found = hopper(base_x, base_y, top_x, top_y, height)
    angles = (
        ("corner", "between two walls", found.corner),
        ("base_x_wall", "base to walls at the ends of x", found.base_x),
        ("base_y_wall", "base to walls at the ends of y", found.base_y),
    )
    return Answer(
        lines=(
            *(Line(name, what, math.degrees(a), "deg") for name, what, a in angles),
            Line("slant_x", "up the walls at the ends of x", found.slant_x, "mm"),
            Line("slant_y", "up the walls at the ends of y", found.slant_y, "mm"),
            Line("edge", "along a corner", found.edge, "mm"),
        ),
        remarks=(
            "Angles are inside; a fold in flat sheet turns by 180 less the angle, a mitre tilts "
            "the saw by half of that.",
        ),
    )


def _mitred_sides(*, sides: float, pitch: float) -> Answer:
    count = require_whole(sides, 3, "the number of sides", name="sides")
    found = mitred_side(count, pitch)
    return Answer(
        lines=(
            Line("mitre", "turn the fence from square", math.degrees(found.mitre), "deg", 2),
            Line("bevel", "tilt the blade from square", math.degrees(found.bevel), "deg", 2),
            Line("dihedral", "inside, from side to side", math.degrees(found.dihedral), "deg"),
        ),
        steps=(
            "Lay each board flat on the saw table.",
            "Cut one end of all, then the other end against a stop, mirrored.",
            f"Hold {count} offcuts together first: an error shows {2 * count} times over.",
        ),
    )


def _solid_angles(*, solid: str, edge: float) -> Answer:
    made = regular_solid(solid, edge)
    counts: dict[str, int] = {}
    for face in made.faces:
        sort = face_sort(face.name)
        counts[sort] = counts.get(sort, 0) + 1
    lines = [Line(f"{s}s", f"{s} faces", n) for s, n in sorted(counts.items())]
    lines.append(Line("edges", "edges", len(made.edges())))
    for (one, other), angle in dihedrals(made).items():
        what = f"inside, {one} to {other}"
        lines.append(Line(f"{one}_{other}", what, math.degrees(angle), "deg", 2))
    if "rhomb" in counts:
        rhomb = rhomb_of(made, made.faces[0])
        lines += [
            Line("long", "long diagonal of a face", rhomb.long, "mm"),
            Line("short", "short diagonal of a face", rhomb.short, "mm"),
            Line("acute", "acute angle of a face", math.degrees(rhomb.acute), "deg", 2),
        ]
    area = sum(made.area(face) for face in made.faces)
    lines += [
        Line("area", "area of all faces", area * _PER_M2, "m2", 4),
        Line("content", "volume", content(made) * _PER_CM3, "cm3"),
    ]
    return Answer(
        tuple(lines),
        remarks=("A mitre tilts the saw by half of what the inside angle lacks to 180 degrees.",),
    )


def _dome_cap(*, base_d: float, height: float, petals: float, marks: float) -> Answer:
    cap = cap_on(base_d, height)
    down = cap.crown_to_rim
    lines = [
        Line("sphere", "radius of the sphere", cap.radius, "mm"),
        Line("down", "crown to rim, along the dome", down, "mm"),
        Line("area", "area of the dome", cap.area * _PER_M2, "m2", 4),
        Line("content", "volume under it", cap.content * _PER_CM3, "cm3"),
    ]
    count = require_whole(petals, 3, "the number of petals", name="petals", most=_MOST_PETALS)
    steps = require_whole(marks, 1, "the number of marks", name="marks", most=_MOST_MARKS)
    along = np.linspace(0.0, down, steps + 1)[1:]
    for i, (s, width) in enumerate(zip(along, cap.petal_widths(count, along), strict=True), 1):
        what = f"width {s:.1f} mm from the crown"
        lines.append(Line(f"width_{i}", what, float(width), "mm"))
    return Answer(
        tuple(lines),
        steps=(
            f"Draw one petal {down:.1f} mm long about its middle line, half of each width to "
            "either side, and join the points smoothly.",
            f"Cut {count}, curl them lengthwise to the radius of the sphere, and join them from "
            "the rim up.",
        ),
    )


RECKONERS: tuple[Reckoner, ...] = (
    *TUBE_CUTS,
    Reckoner(
        name="square-to-round",
        group="Shapes",
        title="True lengths of a transition from a square to a circle",
        inputs=(
            Input("side", "of the square", "mm"),
            Input("diameter", "of the circle", "mm"),
            Input("height", "between them", "mm"),
            Input("divisions", "of a quarter of the circle", "-", "4"),
        ),
        answer=_square_to_round,
        formula="true length = sqrt(plan^2 + height^2); step = d sin(turn/2)",
        source="triangulation, as in Coey, Pattern Development: Sheet Metal Level 1 (BCcampus)",
        domain="Circle above the middle of the square, both level; sheet thin beside them.",
        example={"side": "120", "diameter": "80", "height": "60"},
        cautions=(_SHEET,),
    ),
    Reckoner(
        name="cone",
        group="Shapes",
        title="Blank of a cone or a frustum: radii, angle, slant and area",
        inputs=(
            Input("large_d", "outside diameter of the wide rim", "mm"),
            Input("small_d", "outside diameter of the narrow rim; 0 for a point", "mm"),
            Input("height", "over all, with a square", "mm"),
            Input("thickness", "of the sheet; 0 for paper", "mm", "0"),
        ),
        answer=_cone,
        formula="rho = r / sin b, sector = 360 sin b, tan b = (D - d) / (2 h)",
        source="right cone development, in any text on sheet-metal pattern drafting",
        domain="Right round cones, ends cut square to the sheet; worked on the sheet's middle.",
        example={"large_d": "120", "small_d": "60", "height": "80"},
        cautions=(_SHEET,),
    ),
    Reckoner(
        name="hopper",
        group="Shapes",
        title="Corner and base angles of a hopper, and its slants",
        inputs=(
            Input("base_x", "outside of the base, along x", "mm"),
            Input("base_y", "outside of the base, along y", "mm"),
            Input("top_x", "outside of the top, along x; 0 for a ridge or point", "mm"),
            Input("top_y", "outside of the top, along y; 0 for a ridge or point", "mm"),
            Input("height", "between base and top, square", "mm"),
        ),
        answer=_hopper,
        formula="cos(corner) = -cos(ax) cos(ay), tan(ax) = 2 h / (A - a)",
        source="plane trigonometry, as in texts on pattern drafting; worked by coordinates",
        domain="Rectangles above one another on one middle.",
        example={
            "base_x": "300",
            "base_y": "200",
            "top_x": "250",
            "top_y": "100",
            "height": "60",
        },
    ),
    Reckoner(
        name="mitred-sides",
        group="Shapes",
        title="Mitre and bevel of the saw for a ring of leaning boards",
        inputs=(
            Input("sides", "how many equal sides", "-"),
            Input("pitch", "of a side: 0 lies flat, 90 is upright", "deg"),
        ),
        answer=_mitred_sides,
        formula="M = atan(cos p tan(180/n)), B = asin(sin p sin(180/n))",
        source="solid geometry; held against a compound-angle chart of a mitre saw's manual",
        domain="Three or more equal boards, lying flat on the saw table.",
        example={"sides": "6", "pitch": "30"},
        cautions=(_BLADE,),
    ),
    Reckoner(
        name="solid-angles",
        group="Shapes",
        title="Angles between the faces of a regular or Archimedean solid",
        inputs=(
            Input("solid", "which", "word", words=REGULAR_SOLIDS),
            Input("edge", "length of an edge", "mm", "100"),
        ),
        answer=_solid_angles,
        formula="by coordinates; of the Platonic ones sin(d/2) = cos(180/q) / sin(180/p)",
        source="H. M. Cundy and A. P. Rollett, Mathematical Models, 2nd ed., ch. 3 (memory)",
        domain="Outsides without thickness.",
        example={"solid": "truncated icosahedron", "edge": "100"},
    ),
    Reckoner(
        name="dome-cap",
        group="Shapes",
        title="Sphere, area and petals of a dome",
        inputs=(
            Input("base_d", "across the rim", "mm"),
            Input("height", "from the plane of the rim to the crown", "mm"),
            Input("petals", "that it is made of", "-", "12"),
            Input("marks", "down a petal", "-", "6"),
        ),
        answer=_dome_cap,
        formula="R = (a^2 + h^2) / (2 h), A = 2 pi R h, petal w = 2 pi R sin(s / R) / n",
        source="solid geometry; petals are common practice, no source",
        domain="Caps of a sphere up to nearly all of it; petals are curled one way only.",
        example={"base_d": "300", "height": "80"},
        cautions=(_SHEET,),
    ),
)
