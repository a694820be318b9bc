"""A zoo of parts that every test can draw on, the awkward ones first.

Named parts stand in `ZOO`; `random_boxes` and `random_profiles` are strategies
for parts that can be made: turns of 10 to 170 degrees, facets wider than two
setbacks, as the goal for refolding states. `convex_solid` makes random convex
polyhedra.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from typing import Any

from hypothesis import strategies as st

from foldwright.plan import Box, Cutter, Drum, Formula, Length, Parameter, Part, Plate, Profile
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
