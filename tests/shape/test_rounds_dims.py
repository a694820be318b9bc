"""Dims and sections of what is curled, turned, sawn or bought."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

import zoo
from foldwright.errors import CannotMake
from foldwright.plan import Dual
from foldwright.plan.dual import number, slopes
from foldwright.shape import dims_of, face_frame, hood_wall, section_of
from round_parts import (
    COAT,
    PAINT,
    angle,
    battery,
    gauge,
    hood,
    plug,
    random_hoods,
    rib,
    strip,
    tube,
)

TAPERED = zoo.profile([(0, 0), (260, 0), (260, 70), (150, 130), (90, 240), (0, 180)])
PARTS = [
    hood(finish=PAINT),
    hood(120.0, 220.0, 60.0, finish=PAINT),
    hood(bare=True, finish=PAINT),
    tube(finish=PAINT),
    tube(square=True),
    plug(finish=PAINT),
    plug(across=0.0),
    strip(finish=PAINT),
    angle(70.0, finish=PAINT),
    rib(zoo.box(finish=PAINT), finish=PAINT),
    rib(TAPERED),
    rib(hood(finish=PAINT), 40.0),
    rib(zoo.drum()),
    gauge(),
    battery(),
]


def value(part, name, *, finished=True):
    """One dim as a float."""
    return number(dims_of(part, finished=finished)[name].value)


@pytest.mark.parametrize("part", PARTS, ids=lambda p: p.name)
@pytest.mark.parametrize("finished", [True, False])
@given(shift=st.floats(-1.0, 1.0))
def test_derivatives_of_every_dim_are_exact(part, finished, shift):
    """Against central differences of the same dim, at drifted parameters."""
    values = {name: value + shift / 4.0 for name, value in part.values().items()}
    duals = {name: Dual.seed(name, value) for name, value in values.items()}
    exact = dims_of(part, duals, finished=finished)
    step = 1e-4
    for name in values:
        up = dims_of(part, values | {name: values[name] + step}, finished=finished)
        down = dims_of(part, values | {name: values[name] - step}, finished=finished)
        for dim in exact.values():
            slope = (number(up[dim.name].value) - number(down[dim.name].value)) / (2 * step)

            assert slopes(dim.value).get(name, 0.0) == approx(slope, abs=2e-7)


def corners_of_wall(part, *, finished):
    """Corners of the wall as (radius, height): outside bottom and top, inside top and bottom.

    Walked from the outside rim of the bottom: up the slant, then square to it inwards.
    """
    wall = hood_wall(part, part.values(), finished=finished)
    lean, slant = number(wall.lean), number(wall.slant)
    r, z = number(wall.bottom_d) / 2.0, number(wall.bottom_z)
    up = (-math.sin(lean), math.cos(lean))
    into = (-math.cos(lean), -math.sin(lean))
    top = (r + slant * up[0], z + slant * up[1])
    return [
        (r, z),
        top,
        (top[0] + wall.through * into[0], top[1] + wall.through * into[1]),
        (r + wall.through * into[0], z + wall.through * into[1]),
    ]


@given(part=random_hoods())
def test_a_hood_is_as_high_over_all_and_as_wide_at_its_rims_as_the_plan_says(part):
    """Whatever its lean: lowest corner of the wall to highest, and the two outside rims."""
    corners = corners_of_wall(part, finished=not part.bare)
    heights = [z for _, z in corners]
    asked = part.values()

    assert min(heights) == approx(0.0, abs=1e-9)
    assert max(heights) == approx(asked["height"], abs=1e-9)
    assert 2.0 * corners[0][0] == approx(asked["bottom_d"], abs=1e-9)
    assert 2.0 * corners[1][0] == approx(asked["top_d"], abs=1e-9)


@given(part=random_hoods())
def test_the_finish_lies_evenly_round_the_wall_of_a_hood(part):
    """Each side of the finished rectangle is one coat outside the bare one."""
    bare = corners_of_wall(part, finished=False)
    finished = corners_of_wall(part, finished=True)
    for i in range(4):
        (ax, ay), (bx, by) = bare[i], bare[(i + 1) % 4]
        along = math.dist(bare[i], bare[(i + 1) % 4])
        # The corners run anticlockwise, so outwards is to the right of the way.
        out = ((by - ay) / along, (ax - bx) / along)
        for x, y in (finished[i], finished[(i + 1) % 4]):
            height = (x - ax) * out[0] + (y - ay) * out[1]

            assert height == approx(part.coat_outside, abs=1e-9)


def test_a_hood_by_hand():
    """3-4-5: outside slant 100 leaning by sin 0.6, 3 mm board.

    Rims 200 and 80 across; height 80 for the skin and 3 x 0.6 for the square ends.
    """
    part = hood(200.0, 80.0, 81.8)

    assert value(part, "slant") == approx(100.0, abs=1e-12)
    assert value(part, "height") == approx(81.8, abs=1e-12)
    assert value(part, "bottom_bore") == approx(200.0 - 2 * 3 * 0.8, abs=1e-12)
    assert value(part, "top_bore") == approx(80.0 - 2 * 3 * 0.8, abs=1e-12)
    assert value(part, "bottom_girth") == approx(math.pi * 200.0, abs=1e-12)
    assert value(part, "top_girth") == approx(math.pi * 80.0, abs=1e-12)


def test_a_hood_stood_on_its_head_has_the_same_dims_at_the_other_ends():
    """top and bottom change places."""
    up, down = hood(220.0, 120.0), hood(120.0, 220.0)
    for one, other in (("bottom_d", "top_d"), ("bottom_bore", "top_bore"), ("slant", "slant")):
        assert value(up, one) == approx(value(down, other), abs=1e-12)


@pytest.mark.parametrize("height", [3.0, 2.0])
def test_a_hood_no_higher_than_its_board_is_a_ring(height):
    """A plate with a bore is what the maker wants."""
    with pytest.raises(CannotMake, match="cut a flat ring"):
        dims_of(hood(height=height), finished=True)


def test_ends_of_a_hood_offer_their_rims_to_meets():
    """Outside and mouth, at the height of that end."""
    part = hood()
    outside, mouth = (section_of(part, "top", mouth=mouth) for mouth in (False, True))

    assert number(outside.spans[0].value) == 120.0
    assert number(mouth.spans[0].value) == approx(value(part, "top_bore"))
    assert outside.centre == (0.0, 0.0, 150.0)
    with pytest.raises(CannotMake, match="two ends"):
        section_of(part, "", mouth=False)


@pytest.mark.parametrize(
    ("part", "name", "finished", "bare"),
    [
        (tube(finish=PAINT), "length", 300.0, 300.0 - 2 * COAT),
        (tube(finish=PAINT), "outside_d", 50.0 + 2 * COAT, 50.0),
        (tube(finish=PAINT), "bore", 46.0 - 2 * COAT, 46.0),
        (tube(finish=PAINT, bare=True), "length", 300.0 + 2 * COAT, 300.0),
        (tube(square=True, finish=PAINT), "side", 50.0 + 2 * COAT, 50.0),
        (plug(finish=PAINT), "diameter", 46.1, 46.1 - 2 * COAT),
        (plug(finish=PAINT), "bolt_d", 8.5, 8.5 + 2 * COAT),
        (plug(finish=PAINT), "length", 18.0, 18.0 - 2 * COAT),
        (plug(across=0.0, finish=PAINT), "length", 18.0 + 2 * COAT, 18.0),
        (strip(finish=PAINT), "width", 30.0, 30.0 - 2 * COAT),
        (angle(90.0, finish=PAINT), "width", 30.0, 30.0 - 2 * COAT),
        (angle(60.0, finish=PAINT), "flange", 25.0, 25.0 - COAT * (1 + math.tan(math.pi / 6))),
    ],
)
def test_the_finish_takes_its_thickness_from_the_bare_part(part, name, finished, bare):
    """On every face and edge; a tube's wall is what the stock is, and grows."""
    assert value(part, name, finished=True) == approx(finished, abs=1e-12)
    assert value(part, name, finished=False) == approx(bare, abs=1e-12)


def test_a_square_tube_offers_a_square():
    """50 outside, 46 inside."""
    outside = section_of(tube(square=True), "top", mouth=False)
    inside = section_of(tube(square=True), "top", mouth=True)

    assert [number(span.value) for span in outside.spans] == [50.0, 50.0]
    assert [number(span.value) for span in inside.spans] == [46.0, 46.0]


def test_a_bought_thing_is_met_by_its_envelope_and_takes_nothing_in():
    """As a box or a drum outside."""
    assert number(section_of(gauge(), "top", mouth=False).spans[0].value) == 62.0
    spans = section_of(battery(), "top", mouth=False).spans

    assert [(span.dim, number(span.value)) for span in spans] == [("width", 90.0), ("depth", 40.0)]
    with pytest.raises(CannotMake, match="only the envelope is known"):
        section_of(battery(), "top", mouth=True)


@pytest.mark.parametrize(
    ("part", "face", "origin", "normal"),
    [
        (hood(), "top", (0, 0, 150), (0, 0, 1)),
        (hood(), "bottom", (0, 0, 0), (0, 0, -1)),
        (tube(), "top", (0, 0, 300), (0, 0, 1)),
        (tube(square=True), "top", (-25, -25, 300), (0, 0, 1)),
        (tube(square=True), "bottom", (-25, 25, 0), (0, 0, -1)),
        (tube(square=True), "front", (-25, -25, 0), (0, -1, 0)),
        (tube(square=True), "right", (25, -25, 0), (1, 0, 0)),
        (plug(), "top", (0, 0, 18), (0, 0, 1)),
        (strip(), "top", (0, 0, 3), (0, 0, 1)),
        (strip(mirrored=True), "top", (-240, 0, 3), (0, 0, 1)),
        (angle(), "flange", (240, 30, 3 - 25), (0, 1, 0)),
        (battery(), "front", (0, 0, 0), (0, -1, 0)),
        (battery(mirrored=True), "front", (-90, 0, 0), (0, -1, 0)),
        (rib(zoo.box(), thickness=6.0, clip=0.0), "top", (3.5, 3.5, 6), (0, 0, 1)),
    ],
    ids=lambda x: getattr(x, "name", None),
)
def test_faces_carry_other_parts(part, face, origin, normal):
    """Lower-left corner seen from outside, z outwards, right-handed."""
    frame = face_frame(part, face)

    assert frame[:3, 3] == approx(origin, abs=1e-12)
    assert frame[:3, 2] == approx(normal, abs=1e-12)


@pytest.mark.parametrize("part", [hood(), tube(), plug()], ids=lambda p: p.name)
def test_a_curved_wall_carries_nothing_yet(part):
    """Said in words."""
    with pytest.raises(CannotMake, match="curved face"):
        face_frame(part, "wall")


@pytest.mark.parametrize("turn_deg", [0.0, -30.0, 180.0])
def test_an_angle_folds_down(turn_deg):
    """Not at all, up, or back onto itself are no angles."""
    with pytest.raises(CannotMake, match="more than 0 and less than 180"):
        face_frame(angle(turn_deg), "flange")


def test_sections_of_the_other_hand_are_reflected_once():
    """A strip and a rib keep their extents; their middle changes sides."""
    for part in (strip(), rib(zoo.box())):
        one = section_of(part, "top", mouth=False)
        other = section_of(replace(part, mirrored=True), "top", mouth=False)

        assert [number(s.value) for s in one.spans] == [number(s.value) for s in other.spans]
        assert other.centre == approx((-one.centre[0], *one.centre[1:]))
