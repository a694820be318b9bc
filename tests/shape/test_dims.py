"""Dims: what they come to, and that their derivatives are exact."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.errors import CannotMake, UnknownName
from foldwright.plan import (
    Box,
    Drum,
    Dual,
    Finish,
    Formula,
    Layer,
    Length,
    Parameter,
    Plate,
    Profile,
)
from foldwright.plan.dual import number, slopes
from foldwright.shape import dim_named, dims_of, section_of, solid

PAINT = Finish("grey", (Layer("primer", 0.08), Layer("paint", 0.06)))


def length(text):
    """Length over parameter names."""
    return Length(Formula.parse(text))


def numbers(**values):
    """Parameters by name."""
    return tuple(Parameter(name, value, 2.0, 1.0) for name, value in values.items())


def box(**more):
    """A lid, open below."""
    return Box(
        name="lid",
        stock="s",
        thickness=3.0,
        parameters=numbers(width=248.0, depth=428.0, height=45.0),
        width=length("width"),
        depth=length("depth"),
        height=length("height"),
        leave_open=("bottom",),
        **more,
    )


def pedestal(**more):
    """An outline with a sloping side and a re-entrant corner."""
    corners = [("0", "0"), ("d", "0"), ("d", "h"), ("d-240", "h"), ("d-240", "h-60"), ("0", "110")]
    return Profile(
        name="pedestal",
        stock="s",
        thickness=3.0,
        parameters=numbers(d=300.0, h=260.0, depth=420.0),
        outline=tuple((length(x), length(z)) for x, z in corners),
        sides=("bottom", "rear", "top", "brow", "slope", "face"),
        depth=length("depth"),
        leave_open=("bottom",),
        **more,
    )


def drum(**more):
    """A drum of 2 mm board."""
    return Drum(
        name="lamp",
        stock="s",
        thickness=2.0,
        parameters=numbers(outside_d=220.0, length=310.0),
        outside_d=length("outside_d"),
        length=length("length"),
        **more,
    )


def disc(**more):
    """A ring."""
    return Plate(
        name="ring",
        stock="s",
        thickness=2.0,
        parameters=numbers(diameter=230.0, bore=100.0),
        diameter=length("diameter"),
        bore=length("bore"),
        **more,
    )


PARTS = [box(), box(finish=PAINT), pedestal(finish=PAINT), drum(finish=PAINT), disc(finish=PAINT)]


@pytest.mark.parametrize("part", PARTS, ids=lambda p: p.name)
@pytest.mark.parametrize("finished", [True, False])
@given(shift=st.floats(-3, 3))
def test_derivatives_of_every_dim_are_exact(part, finished, shift):
    """Against central differences of the same dim, at drifted parameters."""
    values = {name: value + shift for name, value in part.values().items()}
    duals = {name: Dual.seed(name, value) for name, value in values.items()}
    exact = dims_of(part, duals, finished=finished)
    for name in values:
        step = 1e-4
        up = dims_of(part, values | {name: values[name] + step}, finished=finished)
        down = dims_of(part, values | {name: values[name] - step}, finished=finished)
        for dim in exact.values():
            slope = (number(up[dim.name].value) - number(down[dim.name].value)) / (2 * step)

            assert slopes(dim.value).get(name, 0.0) == pytest.approx(slope, abs=1e-7)


def test_finish_takes_its_thickness_from_the_bare_outside():
    """0.14 on each of two faces."""
    painted = box(finish=PAINT)
    bare = number(dim_named(painted, "width", finished=False).value)
    finished = number(dim_named(painted, "width", finished=True).value)

    assert finished == 248.0
    assert bare == pytest.approx(248.0 - 0.28)


def test_finish_narrows_the_inside():
    """Two boards and two coats of two sides of each: 248 - 2 (0.14 + 3 + 0.14)."""
    assert number(
        dim_named(box(finish=PAINT), "inside_width", finished=True).value
    ) == pytest.approx(248.0 - 2 * (0.14 + 3.0 + 0.14))


def test_bare_parts_grow_by_their_finish():
    """With bare = true the plan states the board."""
    part = box(finish=PAINT, bare=True)

    assert number(dim_named(part, "width", finished=True).value) == pytest.approx(248.28)


def test_the_solid_is_the_bare_board():
    """The corners of the solid lie inside the finished outside by the finish."""
    vertices = solid(box(finish=PAINT)).vertices
    lows = [min(v[i] for v in vertices) for i in range(3)]
    highs = [max(v[i] for v in vertices) for i in range(3)]

    assert lows == pytest.approx([0.14] * 3)
    assert highs == pytest.approx([247.86, 427.86, 44.86])


def test_girth_is_taken_round_the_outside():
    """pi times 220."""
    assert number(dim_named(drum(), "girth", finished=True).value) == pytest.approx(math.pi * 220)


def test_mouth_of_a_side_with_leaning_walls():
    """The wall "face" is upright, "rear" too: 300 - 2 * 3 at the open bottom."""
    mouth = dims_of(pedestal(), finished=True)["bottom_mouth"]

    assert number(mouth.value) == pytest.approx(294.0)


def test_a_face_with_leaning_sides_behind_it_does_not_slide():
    """The slope makes the part wider behind the brow."""
    with pytest.raises(CannotMake, match="leans out"):
        section_of(pedestal(), "slope", mouth=False)


def test_an_unknown_dim_offers_the_nearest():
    """girt is nearly girth."""
    with pytest.raises(UnknownName, match="Did you mean girth"):
        dim_named(drum(), "girt", finished=True)
