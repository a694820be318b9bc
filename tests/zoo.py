"""A zoo of parts that every test can draw on, the awkward ones first.

Named parts stand in `ZOO`, `TAPERS`, `DESK` and `LANTERN`; `random_boxes`,
`random_profiles` and `random_tapers` are strategies for parts that can be made:
turns of 10 to 170 degrees, facets wider than two setbacks, as the goal for
refolding states. `random_faceted` and `random_rounded` have shapes that can be,
but perhaps not folds. `convex_solid` makes random convex polyhedra.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st
from shapely import Polygon

from foldwright.errors import CannotMake
from foldwright.plan import (
    Block,
    Box,
    Cutter,
    Drum,
    Faceted,
    Formula,
    Length,
    Parameter,
    Part,
    PlaneCut,
    Plate,
    Profile,
    Taper,
)
from foldwright.shape import Solid, frame_on, is_same_way_round, move_sides, solid
from foldwright.shop import FoldRequest, SetUp, boards, choose_section
from random_solids import convex_solid as convex_solid

type Corners = Sequence[tuple[float, float]]

BOARD = boards()["acp-3-0.3"]
THICKNESS = 3.0
CUTTERS = (
    Cutter("v90", math.radians(90), 2.0, 12.0),
    Cutter("v120", math.radians(120), 2.0, 12.0),
)
SET_UPS = tuple(SetUp(c.name, c.angle, c.floor, c.widest) for c in CUTTERS)
SHARPEST, SLIGHTEST = math.radians(170.0), math.radians(10.0)


def length(text: str | float) -> Length:
    """Length from a formula, or from a number."""
    return Length(Formula.parse(text if isinstance(text, str) else f"{text:.9f}"))


def _common(name: str, **values: float) -> dict[str, Any]:
    return {
        "name": name,
        "stock": "board3",
        "thickness": THICKNESS,
        "parameters": tuple(Parameter(key, value, 2.0, 1.0) for key, value in values.items()),
    }


def box(
    width: float = 160.0,
    depth: float = 220.0,
    height: float = 90.0,
    *,
    name: str = "box",
    **more: Any,
) -> Box:
    """A box of 3 mm board."""
    sizes = {"width": width, "depth": depth, "height": height}
    lengths = {key: length(key) for key in sizes}
    return Box(**_common(name, **sizes) | lengths | more)


def profile(
    corners: Corners,
    depth: float = 220.0,
    *,
    name: str = "profile",
    sides: Sequence[str] = (),
    **more: Any,
) -> Profile:
    """A profile of 3 mm board; sides are ``side_1`` and so on unless named."""
    return Profile(
        **_common(name, depth=depth)
        | {
            "outline": tuple((length(x), length(z)) for x, z in corners),
            "sides": tuple(sides) or tuple(f"side_{i + 1}" for i in range(len(corners))),
            "depth": length("depth"),
        }
        | more
    )


def taper(
    lower: Corners,
    upper: Corners,
    height: float = 120.0,
    *,
    name: str = "taper",
    sides: Sequence[str] = (),
    **more: Any,
) -> Taper:
    """A taper of 3 mm board; sides are ``side_1`` and so on unless named."""
    return Taper(
        **_common(name, height=height)
        | {
            "lower": tuple((length(x), length(y)) for x, y in lower),
            "upper": tuple((length(x), length(y)) for x, y in upper),
            "sides": tuple(sides) or tuple(f"side_{i + 1}" for i in range(len(lower))),
            "height": length("height"),
        }
        | more
    )


BOX_FACES = ("left", "right", "front", "back", "bottom", "top")


def block(
    at: Sequence[float | str],
    size: Sequence[float | str],
    cuts: Sequence[tuple[str, Sequence[float | str], Sequence[float]]] = (),
    faces: Sequence[str] = BOX_FACES,
) -> Block:
    """A block; each cut is its face, a point and its outward normal."""

    def three(values: Sequence[float | str]) -> tuple[Length, Length, Length]:
        x, y, z = (length(value) for value in values)
        return x, y, z

    x_left, x_right, front, back, bottom, top = faces
    planes = tuple(
        PlaneCut(face, three(point), (float(out[0]), float(out[1]), float(out[2])))
        for face, point, out in cuts
    )
    names = (x_left, x_right, front, back, bottom, top)
    return Block(three(at), three(size), names, planes)


def faceted(
    *blocks: Block, name: str = "faceted", sizes: Mapping[str, float] | None = None, **more: Any
) -> Faceted:
    """Blocks of 3 mm board joined to one part; `sizes` are its parameters."""
    return Faceted(**_common(name, **(sizes or {})) | {"blocks": tuple(blocks)} | more)


def drum(outside_d: float = 220.0, along: float = 310.0, *, name: str = "drum") -> Drum:
    """A drum of 3 mm board."""
    sizes = {"outside_d": outside_d, "length": along}
    lengths = {key: length(key) for key in sizes}
    return Drum(**_common(name, **sizes), **lengths)


def wedge(interior: float, leg: float) -> Corners:
    """Isosceles triangle with its tip at the origin, pointing left; `interior` at the tip [rad]."""
    x, z = leg * math.cos(interior / 2.0), leg * math.sin(interior / 2.0)
    return [(0.0, 0.0), (x, -z), (x, z)]


def blunt(interior: float, leg: float, depth: float) -> Corners:
    """A bar with a ridge of `interior` [rad] along the middle of its top."""
    x, z = leg * math.sin(interior / 2.0), leg * math.cos(interior / 2.0)
    return [(-x, -depth - z), (x, -depth - z), (x, -z), (0.0, 0.0), (-x, -z)]


def mirrored(corners: Corners) -> list[tuple[float, float]]:
    """The same outline in a looking glass (x to -x), still anticlockwise."""
    return [(-x, z) for x, z in reversed(corners)]


L_CORNERS: Corners = [(0, 0), (300, 0), (300, 110), (120, 110), (120, 260), (0, 260)]
# No line or point of symmetry: it cannot be taken for its mirror image.
HANDED_CORNERS: Corners = [(0, 0), (260, 0), (260, 70), (150, 130), (90, 240), (0, 180)]
U_CORNERS: Corners = [
    (0, 0), (280, 0), (280, 200), (200, 200), (200, 70), (90, 70), (90, 150), (0, 150),
]  # fmt: skip
DART_CORNERS: Corners = [(0, 0), (200, 120), (400, 0), (200, 330)]

FOLDED: Mapping[str, Part] = {
    part.name: part
    for part in (
        profile(L_CORNERS, name="l_profile"),
        profile(U_CORNERS, name="u_profile"),
        profile(DART_CORNERS, name="dart"),
        profile(wedge(math.radians(10.0), 520.0), name="sharp_wedge"),
        profile(blunt(math.radians(170.0), 180.0, 120.0), name="blunt_ridge"),
        profile(HANDED_CORNERS, name="handed"),
        profile(mirrored(HANDED_CORNERS), name="other_hand"),
        profile(HANDED_CORNERS, name="handed_open", leave_open=("side_1", "back")),
        box(name="closed_box"),
        box(name="open_box", leave_open=("top",)),
        box(name="trough", leave_open=("top", "front", "back")),
        box(name="sleeve", leave_open=("front", "back")),
        box(name="two_opposite", leave_open=("left", "right", "top", "bottom")),
        box(name="one_face", leave_open=("left", "right", "top", "bottom", "back")),
        box(150.0, 150.0, 150.0, name="cube"),
        box(900.0, 40.0, 25.0, name="long_box"),
    )
}
# A hopper, a leaning tower whose sides all differ, and a star that opens upwards.
TAPERS: Mapping[str, Taper] = {
    part.name: part
    for part in (
        taper(
            [(0, 0), (300, 0), (300, 200), (0, 200)],
            [(25, 50), (275, 50), (275, 150), (25, 150)],
            60.0,
            name="hopper",
        ),
        taper(
            [(0, 0), (200, 0), (240, 120), (60, 200)],
            [(70, 60), (170, 60), (190, 120), (100, 160)],
            180.0,
            name="leaning_tower",
            leave_open=("bottom",),
        ),
        taper(
            L_CORNERS,
            [(x * 1.25 - 40, y * 1.25 - 30) for x, y in L_CORNERS],
            90.0,
            name="l_funnel",
        ),
    )
}
DESK = faceted(
    block((0, 0, 0), (300, 200, 100), [("slope", (300, 0, 60), (1, 0, 1))]),
    block((0, 50, 100), (100, 150, 80), faces=("left", "step", "nose", "back", "below", "roof")),
    name="desk",
)
LANTERN = profile(
    [(0, 0), (260, 0), (260, 180), (0, 180)],
    sides=("bottom", "right", "top", "left"),
    name="lantern",
    rounds=(None, None, length(40), length(25)),
    rises=(None, length(30), None, length(-12)),
)
SHEETS: Mapping[str, Part] = {
    part.name: part
    for part in (
        Plate(**_common("notched"), outline=tuple((length(x), length(z)) for x, z in L_CORNERS)),
        Plate(**_common("disc", d=230.0), diameter=length("d")),
        Plate(**_common("ring", d=230.0, hole=120.0), diameter=length("d"), bore=length("hole")),
        drum(),
        drum(60.0, 25.0, name="short_drum"),
    )
}
ZOO: Mapping[str, Part] = {**FOLDED, **SHEETS}


# --- random parts --------------------------------------------------------------


def turns(corners: Corners) -> list[float]:
    """Turn at each corner of an outline [rad]: positive convex, negative re-entrant."""
    found = []
    for i, (x, z) in enumerate(corners):
        (px, pz), (nx, nz) = corners[i - 1], corners[(i + 1) % len(corners)]
        before, after = (x - px, z - pz), (nx - x, nz - z)
        cross = before[0] * after[1] - before[1] * after[0]
        found.append(math.atan2(cross, before[0] * after[0] + before[1] * after[1]))
    return found


def setback(turn: float) -> float:
    """Setback of the fold that the shop would choose on the zoo's board [mm]."""
    return choose_section(BOARD, turn, FoldRequest(), SET_UPS).setback


def _least_scale(corners: Corners) -> float:
    """Factor that makes every facet wider than two setbacks, measured along the facet.

    Besides its own corners' folds, a facet loses the setback s of an end face's
    right-angled fold on the next side: s/sin(turn) along it.
    """
    square = setback(math.pi / 2.0)
    found = turns(corners)
    # A re-entrant setback may be negative; it asks for nothing.
    reach = [max(setback(turn), square / abs(math.sin(turn))) for turn in found]
    needs = []
    for i, (a, b) in enumerate(itertools.pairwise([*corners, corners[0]])):
        widest = max(reach[i], reach[(i + 1) % len(corners)])
        needs.append((2.0 * widest + 1.0) / math.dist(a, b))
    return max(needs)


@st.composite
def random_boxes(draw: st.DrawFn) -> Box:
    """A box of 12 to 900 mm a side, up to three faces open."""
    sizes = draw(st.lists(st.floats(12.0, 900.0), min_size=3, max_size=3))
    names = ("bottom", "top", "front", "back", "left", "right")
    is_open = draw(st.sets(st.sampled_from(names), max_size=3))
    return box(*(round(size, 3) for size in sizes), leave_open=tuple(sorted(is_open)))


@st.composite
def _stars(draw: st.DrawFn) -> Corners:
    count = draw(st.integers(3, 9))
    # Rays at nearly even angles give blunt corners, scattered ones sharp corners.
    spread = draw(st.sampled_from([0.1, 0.4, 0.8]))
    nearest = draw(st.sampled_from([0.2, 0.5, 0.8]))
    rays = draw(st.lists(st.floats(0.0, spread), min_size=count, max_size=count))
    reach = draw(st.lists(st.floats(nearest, 1.0), min_size=count, max_size=count))
    angles = [math.tau * (i + ray) / count for i, ray in enumerate(rays)]
    return [(r * math.cos(a), r * math.sin(a)) for a, r in zip(angles, reach, strict=True)]


def _is_wanted(corners: Corners) -> bool:
    angles = [math.atan2(z, x) for x, z in corners]
    gaps = [(b - a) % math.tau for a, b in itertools.pairwise([*angles, angles[0]])]
    # Under half a turn from ray to ray the outline goes round its middle and cannot cross itself.
    return max(gaps) < 0.97 * math.pi and all(
        SLIGHTEST <= abs(turn) <= SHARPEST for turn in turns(corners)
    )


@st.composite
def random_profiles(draw: st.DrawFn) -> Profile:
    """A star-shaped profile, convex or not, turns 10 to 170 degrees, just large enough or larger.

    Up to two faces are open.
    """
    corners = draw(_stars().filter(_is_wanted))
    scale = _least_scale(corners) * draw(st.floats(1.0, 4.0))
    corners = [(round(scale * x, 6), round(scale * z, 6)) for x, z in corners]
    depth = draw(st.floats(2.0 * BOARD.thickness + 1.0, 600.0))  # two boards need room
    names = ("front", "back", *(f"side_{i + 1}" for i in range(len(corners))))
    is_open = draw(st.sets(st.sampled_from(names), max_size=2))
    return profile(corners, round(depth, 3), leave_open=tuple(sorted(is_open)))


def is_roomy(whole: Solid) -> bool:
    """Whether every facet is wider than its setbacks."""
    edges = whole.edges()
    turn = {pair: e.turn for e in edges for pair in ((e.start, e.end), (e.end, e.start))}
    for face in whole.faces:
        frame = frame_on(whole, face)
        flat = [(float(x), float(y)) for x, y in whole.corners(face) @ frame[:3, :2]]
        ends = zip(face.loop, (*face.loop[1:], face.loop[0]), strict=True)
        reach = [max(0.0, setback(turn[pair])) + 0.5 for pair in ends]
        if not all(is_same_way_round(flat, move_sides(flat, reach))):
            return False
    return True


def _enlarged(corners: Corners, factor: float) -> Corners:
    return [(round(factor * x, 9), round(factor * y, 9)) for x, y in corners]


@st.composite
def random_tapers(draw: st.DrawFn) -> Taper:
    """A taper of 3 to 8 sides that lean in by 10 to 85 degrees, just large enough or larger.

    Up to two faces are open.
    """
    lower = draw(_stars().filter(lambda found: len(found) <= 8 and _is_wanted(found)))
    slopes = draw(st.lists(st.floats(10.0, 85.0), min_size=len(lower), max_size=len(lower)))
    into = [1.0 / math.tan(math.radians(slope)) for slope in slopes]

    def upper(height: float) -> Corners:
        return [(float(x), float(y)) for x, y in move_sides(lower, [height * d for d in into])]

    height = 2.0
    while not all(is_same_way_round(lower, upper(height))) or not Polygon(upper(height)).is_valid:
        height *= 0.7
    height *= draw(st.floats(0.3, 0.9))
    names = ("bottom", "top", *(f"side_{i + 1}" for i in range(len(lower))))
    is_open = tuple(sorted(draw(st.sets(st.sampled_from(names), max_size=2))))
    scale = 100.0 * draw(st.floats(1.0, 3.0))
    for _ in range(30):
        part = taper(
            _enlarged(lower, scale),
            _enlarged(upper(height), scale),
            round(scale * height, 9),
            leave_open=is_open,
        )
        try:
            whole = solid(part)
        except CannotMake:
            scale *= 1.4
            continue
        turns_found = [abs(edge.turn) for edge in whole.edges()]
        assume(min(turns_found) >= SLIGHTEST and max(turns_found) <= SHARPEST + 1e-9)
        if is_roomy(whole):
            return part
        scale *= 1.4
    assume(False)
    raise AssertionError("not reached")


@st.composite
def random_faceted(draw: st.DrawFn) -> Faceted:
    """A box with up to three cuts; often a second block stands in its corner, cut as well."""
    size = [round(draw(st.floats(120.0, 400.0)), 2) for _ in range(3)]

    def cut(name: str, at: Sequence[float], over: Sequence[float]) -> Any:
        signs = draw(st.tuples(*[st.sampled_from((-1.0, 0.0, 1.0))] * 3).filter(any))
        out = [s * draw(st.floats(0.3, 1.0)) for s in signs]
        share = draw(st.floats(0.15, 0.45))
        corner = [a + o * (0.5 + 0.5 * s) for a, o, s in zip(at, over, signs, strict=True)]
        point = [c - s * share * o for c, s, o in zip(corner, signs, over, strict=True)]
        return name, [round(p, 3) for p in point], out

    zero = (0.0, 0.0, 0.0)
    count = draw(st.integers(0, 3))
    blocks = [block(zero, size, [cut(f"cut_{i + 1}", zero, size) for i in range(count)])]
    if draw(st.booleans()):
        wide, deep = (round(size[k] * draw(st.floats(0.3, 0.7)), 2) for k in (0, 1))
        at = (0.0, round(size[1] - deep, 2), 0.0)
        over = (wide, deep, round(size[2] * draw(st.floats(1.3, 2.0)), 2))
        faces = ("left", "step", "nose", "back", "bottom", "roof")
        slope = [("hip", (wide * 0.6, at[1], over[2]), (1.0, draw(st.floats(-0.5, 0.5)), 1.0))]
        blocks.append(block(at, over, slope if draw(st.booleans()) else (), faces))
    part = faceted(*blocks)
    try:
        solid(part)
    except CannotMake:
        assume(False)
    return part


@st.composite
def random_rounded(draw: st.DrawFn) -> Profile:
    """A convex profile of 3 to 6 sides with rounds at some corners and bows in some sides."""
    count = draw(st.integers(3, 6))
    rays = draw(st.lists(st.floats(0.0, 0.5), min_size=count, max_size=count))
    angles = [math.tau * (i + ray) / count for i, ray in enumerate(rays)]
    corners = [(round(200.0 * math.cos(a), 6), round(200.0 * math.sin(a), 6)) for a in angles]
    assume(all(SLIGHTEST < turn < SHARPEST for turn in turns(corners)))
    rounds = [draw(st.none() | st.floats(8.0, 30.0)) for _ in corners]
    rises = [draw(st.none() | st.floats(4.0, 25.0) | st.floats(-15.0, -4.0)) for _ in corners]
    part = profile(
        corners,
        round(draw(st.floats(20.0, 400.0)), 3),
        rounds=tuple(r and length(r) for r in rounds),
        rises=tuple(r and length(r) for r in rises),
    )
    try:
        solid(part)
    except CannotMake:
        assume(False)
    return part
