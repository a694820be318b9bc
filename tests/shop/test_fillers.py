import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from shapely import Point, Polygon
from shapely.affinity import rotate

from foldwright.errors import OutOfDomain
from foldwright.shop import FoldRequest, SetUp, boards, choose_section
from foldwright.shop.fillers import butt_area, filler_mass, open_fold_area, star_volume
from foldwright.shop.grooves import cut_section

BOARD = boards()["acp-3-0.3"]


def drawn(section, t):
    """Area between the two faces' mould lines and what is left of the board, by polygons.

    The bend's centre is the origin, the fold's bisector the y axis. A face's square end
    stands at the zone's edge, its flank sloping away from the floor by half the cutter.
    """
    theta, r, w = section.turn, section.inner_radius, section.web
    half = theta / 2.0
    apex = (r + t) / math.cos(half)
    left, right = ((s * (r + t) * math.sin(half), (r + t) * math.cos(half)) for s in (-1, 1))
    gap = Polygon([(0, 0), left, (0, apex), right])
    steps = [half * (k / 4000.0 - 1.0) for k in range(8001)]
    web = Polygon([(0, 0), *(((r + w) * math.sin(a), (r + w) * math.cos(a)) for a in steps)])
    slope = (t - w) * math.tan(section.cutter / 2.0)
    # beside the zone's edge, seen with that edge upright: floor to face, leaning away
    flank = Polygon([(0, r + w), (0, r + t), (slope, r + t)])
    right_flank = rotate(flank, -math.degrees(half), origin=(0, 0))
    left_flank = Polygon([(-x, y) for x, y in right_flank.exterior.coords])
    return gap.difference(web).union(right_flank).union(left_flank).area


@pytest.mark.parametrize("turn_deg", [15.0, 45.0, 90.0, 120.0])
@pytest.mark.parametrize("cutter_deg", [0.0, 60.0, 90.0])
def test_the_v_of_an_open_fold_is_what_a_drawing_of_it_holds(turn_deg, cutter_deg):
    turn, cutter = math.radians(turn_deg), math.radians(cutter_deg)
    section = cut_section(BOARD, turn, "open", 0.8, 4.0, SetUp("", cutter, 4.0, 4.0), None)

    assert open_fold_area(section, 3.0) == approx(drawn(section, 3.0), rel=1e-5)


def test_a_fold_closed_outside_takes_no_filler():
    set_ups = (SetUp("v", math.radians(90.0), 2.0, 8.0),)
    groove = choose_section(BOARD, math.radians(60.0), FoldRequest(method="groove"), set_ups)

    with pytest.raises(OutOfDomain, match="closed on its outside"):
        open_fold_area(groove, 3.0)


@given(st.floats(0.5, 10.0), st.floats(0.3, 3.0))
def test_equal_boards_butted_leave_t_squared_over_the_tangent(t, dihedral):
    assert butt_area(t, t, dihedral) == approx(t**2 / math.tan(dihedral / 2.0), rel=1e-9)


def test_unlike_boards_butted_square_leave_their_rectangle():
    """At a right angle the V is the two thicknesses, sides t1 and t2."""
    assert butt_area(3.0, 2.0, math.pi / 2.0) == approx(6.0)


@given(st.floats(1.0, 4.0), st.floats(1.0, 4.0), st.floats(1.2, 2.8))
def test_a_butted_v_is_what_a_drawing_of_it_holds(one, other, dihedral):
    """The quadrilateral of mould line, two square ends and the inside line."""
    sin, cos = math.sin(dihedral), math.cos(dihedral)
    trims = ((other + one * cos) / sin, (one + other * cos) / sin)
    if min(trims) < 0.0:
        return
    first = (trims[0], 0.0)
    inside = (trims[0], one)
    second = (trims[1] * cos, trims[1] * sin)

    assert butt_area(one, other, dihedral) == approx(
        Polygon([(0, 0), first, inside, second]).area, rel=1e-9
    )


def test_a_star_is_reckoned_as_a_round_hole():
    assert star_volume(4.0, 3.0) == approx(
        Point(0, 0).buffer(2.0, quad_segs=512).area * 3.0, rel=1e-5
    )


def test_filler_weighs_its_volume():
    """A litre at 1850 kg/m3."""
    assert filler_mass(1e6, 1850.0) == approx(1.85)


@pytest.mark.parametrize("dihedral", [0.0, math.pi, 4.0, math.nan])
def test_a_seam_without_a_v_outside_is_refused(dihedral):
    with pytest.raises(OutOfDomain) as caught:
        butt_area(3.0, 3.0, dihedral)

    assert caught.value.name == "dihedral"


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_sizes_that_are_no_sizes_are_refused(bad):
    with pytest.raises(OutOfDomain):
        star_volume(bad, 3.0)
    with pytest.raises(OutOfDomain):
        star_volume(3.0, bad)
    with pytest.raises(OutOfDomain):
        filler_mass(bad, 1000.0)
    with pytest.raises(OutOfDomain):
        butt_area(bad, 3.0, 1.5)
