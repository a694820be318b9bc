"""Bodies: what a picture shows, held by closed surfaces and sums done by hand.

A closed surface has no net normal, and by the divergence theorem its facets
tell its volume; both fail where a facet is missing, doubled or turned over.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from foldwright.errors import CannotMake
from foldwright.plan import read_plan
from foldwright.plan.kinds import Bought, Hood, Plug, Strip, Tube
from foldwright.plan.records import Feature, Finish, Layer
from foldwright.shape import (
    FaceCut,
    Generator,
    Step,
    body_of,
    face_cuts,
    frames,
    openings_of,
)
from foldwright.shop import thicknesses
from plan.plans import EXAMPLE
from zoo import FOLDED, ZOO, _common, box, drum, length, profile, random_boxes, random_profiles


def net(body):
    """Sum of the facets' area vectors [mm2], zero for a closed surface."""
    return sum(f.area * np.array(f.normal) for s in body.surfaces for f in s.facets)


def volume(body):
    """Volume that the facets enclose [mm3], by the divergence theorem."""
    return sum(
        float(np.dot(f.loops[0][0], f.normal)) * f.area / 3.0
        for s in body.surfaces
        for f in s.facets
    )


def square(face, x, y, side, **more):
    """A square hole, clockwise."""
    corners = ((x, y), (x, y + side), (x + side, y + side), (x + side, y))
    middle = (x + side / 2, y + side / 2)
    return FaceCut(face, tuple(Step(c) for c in corners), "test", middle, **more)


def bore(face, x, y, radius):
    """A round hole, clockwise in two halves."""
    ends = ((x + radius, y), (x - radius, y))
    return FaceCut(face, tuple(Step(e, (x, y), False) for e in ends), "test", (x, y))


@pytest.mark.parametrize("part", ZOO.values(), ids=lambda p: p.name)
def test_every_body_is_closed(part):
    body = body_of(part)

    assert np.abs(net(body)).max() < 1e-6 * body.area
    assert volume(body) > 0.0


@given(st.one_of(random_boxes(), random_profiles()))
def test_random_bodies_are_closed(part):
    try:
        body = body_of(part)
    except CannotMake:  # no room for two boards
        reject()

    assert np.abs(net(body)).max() < 1e-6 * body.area
    assert volume(body) > 0.0


def test_a_closed_box_is_its_outside():
    assert volume(body_of(box(160.0, 220.0, 90.0))) == pytest.approx(160.0 * 220.0 * 90.0)


def test_an_open_box_shows_the_thickness_of_its_board():
    """Outside less inside: 3 mm off five faces."""
    body = body_of(box(160.0, 220.0, 90.0, leave_open=("top",)))

    assert volume(body) == pytest.approx(160.0 * 220.0 * 90.0 - 154.0 * 214.0 * 87.0)


def test_a_face_of_another_board_is_as_thick_as_that_board():
    part = box(160.0, 220.0, 90.0, leave_open=("top",), face_from=(("bottom", "board2", 2.0),))

    assert volume(body_of(part)) == pytest.approx(160.0 * 220.0 * 90.0 - 154.0 * 214.0 * 88.0)


def test_a_body_stands_on_its_finish():
    """The plan's sizes are finished; a bare part grows by its coat."""
    grey = Finish("grey", (Layer("paint", 0.5),))
    finished = body_of(box(160.0, 220.0, 90.0, finish=grey)).points()

    assert np.ptp(finished, axis=0) == pytest.approx([160.0, 220.0, 90.0])


@pytest.mark.parametrize("name", ["open_box", "handed_open", "trough"])
def test_a_hole_takes_its_area_through_the_board(name):
    part = FOLDED[name]
    whole = volume(body_of(part))
    face = "bottom" if name != "handed_open" else "front"
    holed = body_of(part, [square(face, 30.0, 20.0, 12.0)])

    assert whole - volume(holed) == pytest.approx(12.0 * 12.0 * 3.0)
    assert np.abs(net(holed)).max() < 1e-6 * holed.area


def test_a_hole_lies_where_its_face_frame_says():
    """The front, seen from outside: x right, y up from its lower left corner."""
    body = body_of(box(160.0, 220.0, 90.0), [square("front", 100.0, 10.0, 20.0)])
    front = next(s for s in body.surfaces if s.face == "front" and not s.inside)
    hole = np.array(front.facets[0].loops[1])

    assert hole.min(axis=0) == pytest.approx([100.0, 0.0, 10.0])
    assert hole.max(axis=0) == pytest.approx([120.0, 0.0, 30.0])


def test_what_is_drilled_in_place_is_not_there_yet():
    part = box(160.0, 220.0, 90.0)
    cut = square("front", 100.0, 10.0, 20.0, drilled_in_place=True)

    assert volume(body_of(part, [cut])) == pytest.approx(volume(body_of(part)))


def test_a_drum_is_a_pipe():
    """Chords stay within 0.15 mm of 110: less than half a percent of its wall's volume."""
    body = body_of(drum(220.0, 310.0))
    exact = math.pi * (110.0**2 - 107.0**2) * 310.0

    assert volume(body) == pytest.approx(exact, rel=5e-3)
    assert body.area == pytest.approx(
        math.tau * (110.0 + 107.0) * 310.0 + 2.0 * math.pi * (110.0**2 - 107.0**2), rel=2e-3
    )


@given(st.floats(-300.0, 300.0), st.floats(50.0, 250.0), st.floats(4.0, 45.0))
def test_a_hole_in_a_drum_leaves_it_closed(x, y, radius):
    """Anywhere round the wall, over the seam too."""
    whole, holed = body_of(drum()), body_of(drum(), [bore("wall", x, y, radius)])
    taken = volume(whole) - volume(holed)

    assert np.abs(net(holed)).max() < 1e-6 * holed.area
    # through 3 mm of wall whose middle is smaller than its outside by 1.5 in 110
    assert taken == pytest.approx(math.pi * radius**2 * 3.0 * 108.5 / 110.0, rel=0.12)


def test_a_hood_is_a_frustum():
    """V = pi h (R^2 + R r + r^2) / 3, outside less inside."""
    part = Hood(
        **_common("hood", a=300.0, b=120.0, h=80.0),
        bottom_d=length("a"),
        top_d=length("b"),
        height=length("h"),
    )
    lean = math.atan2(90.0, 80.0)

    def frustum(big, small):
        return math.pi * 80.0 * (big**2 + big * small + small**2) / 3.0

    wall = 3.0 / math.cos(lean)
    exact = frustum(150.0, 60.0) - frustum(150.0 - wall, 60.0 - wall)

    assert volume(body_of(part)) == pytest.approx(exact, rel=5e-3)


def test_tubes_plugs_and_bought_things_have_the_volume_of_their_shape():
    sizes = {"length": length("long")}
    common = _common("thing", long=100.0, d=40.0, bolt=8.0)
    round_tube = Tube(**common, **sizes, across=40.0)
    square_tube = Tube(**common, **sizes, across=40.0, square=True)
    plug = Plug(**common, **sizes, diameter=length("d"), bolt_d=length("bolt"), across=45.0)
    block = Bought(
        **common, mass=1.0, width=length("long"), depth=length("d"), height=length("bolt")
    )

    assert volume(body_of(round_tube)) == pytest.approx(
        math.pi * (20.0**2 - 17.0**2) * 100.0, rel=0.03
    )
    assert volume(body_of(square_tube)) == pytest.approx((40.0**2 - 34.0**2) * 100.0)
    assert volume(body_of(plug)) == pytest.approx(math.pi * (20.0**2 - 4.0**2) * 100.0, rel=0.03)
    assert volume(body_of(block)) == pytest.approx(100.0 * 40.0 * 8.0)


def test_an_angle_strip_has_the_board_of_both_legs():
    """Square legs of 40 and 25 outside, 3 mm: 40 x 3 + 22 x 3 in section."""
    part = Strip(
        **_common("angle", long=200.0, wide=40.0, deep=25.0),
        length=length("long"),
        width=length("wide"),
        flange=length("deep"),
        turn=math.pi / 2.0,
    )
    body = body_of(part)

    assert volume(body) == pytest.approx((40.0 + 22.0) * 3.0 * 200.0)
    assert body.points().max(axis=0) == pytest.approx([200.0, 40.0, 3.0])
    assert body.points()[:, 2].min() == pytest.approx(3.0 - 25.0)


@pytest.mark.parametrize(
    ("part", "face"),
    [(FOLDED["handed_open"], "front"), (drum(), "wall"), (ZOO["notched"], "top")],
    ids=["folded", "curled", "flat"],
)
def test_the_other_hand_is_a_mirror_image(part, face):
    """Everything as the one hand has it, then reflected in x = 0, its holes too."""
    at = (length("40"), length("60"))
    hole = Feature(kind="hole", name="eye", face=face, at=at, d=length("12"))
    bodies = [
        body_of(hand, face_cuts(hand))
        for hand in (
            replace(part, features=(hole,)),
            replace(part, features=(hole,), mirrored=True),
        )
    ]
    ends = [np.array([p for r in body.ridges for p in r.points]) for body in bodies]
    reflected = ends[0] * (-1.0, 1.0, 1.0)

    assert volume(bodies[1]) == pytest.approx(volume(bodies[0]))
    assert max(np.abs(ends[1] - p).max(axis=1).min() for p in reflected) < 1e-6


@given(
    st.tuples(*[st.floats(-1.0, 1.0)] * 3).filter(lambda e: math.hypot(*e) > 0.1),
    st.floats(10.0, 200.0),
    st.floats(10.0, 200.0),
    st.floats(20.0, 400.0),
)
def test_tangent_generatrices_are_seen_edge_on(eye, low, high, height):
    """The normal from two directions in the surface is square to the eye."""
    cone = Generator((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (low, high), height)
    for angle in cone.tangents(eye):
        step = 1e-5
        base = cone.points(np.array([angle - step, angle + step]), 0.5)
        round_it = (base[1] - base[0]) / np.linalg.norm(base[1] - base[0])
        up = cone.points(np.array([angle]), 1.0)[0] - cone.points(np.array([angle]), 0.0)[0]
        normal = np.cross(round_it, up / np.linalg.norm(up))

        assert float(normal @ eye) / math.hypot(*eye) == pytest.approx(0.0, abs=1e-6)


def test_a_rounded_corner_is_smooth_and_a_square_one_is_sharp():
    """A box has twelve edges to see; none of a drum's chords is one."""
    cube = [r for r in body_of(box()).ridges if not r.smooth]
    rings = [r for r in body_of(drum()).ridges if not r.smooth]

    assert len(cube) == 12
    assert len(rings) == 4


def test_a_bare_part_keeps_its_sizes_without_a_finish():
    grey = Finish("grey", (Layer("paint", 0.5),))
    bare = replace(drum(), bare=True, finish=grey)

    assert np.ptp(body_of(bare).points(), axis=0)[2] == pytest.approx(311.0)


def test_a_rounded_profile_shows_no_edge_where_it_runs_smooth():
    """Four corners of radius 20 off 160 by 90: pi r^2 is left of 4 r^2; no edge along the depth."""
    radius = length("20")
    part = profile([(0, 0), (160, 0), (160, 90), (0, 90)], depth=120.0, rounds=(radius,) * 4)
    body = body_of(part)
    along = [
        r for r in body.ridges if not r.smooth and abs(r.points[0][1] - r.points[-1][1]) > 60.0
    ]
    exact = (160.0 * 90.0 - (4.0 - math.pi) * 20.0**2) * 120.0

    assert along == []
    assert volume(body) == pytest.approx(exact, rel=1e-3)
    assert np.abs(net(body)).max() < 1e-6 * body.area


def test_every_part_of_the_demo_is_closed_and_as_heavy_as_its_board():
    """All kinds of parts, with all that is cut into them and passes through them.

    The least that a body can hold is its outside times its board, less what the
    corners share; the most is the outside times the board.
    """
    plan = read_plan(EXAMPLE, thicknesses())
    where = frames(plan)
    through = openings_of(plan.parts, where)
    for name, part in plan.parts.items():
        body = body_of(part, [*face_cuts(part), *through.get(name, ())])
        solid_like = part.kind in ("plug", "bought")

        assert np.abs(net(body)).max() < 1e-6 * body.area, name
        assert volume(body) > 0.0, name
        if not solid_like:
            half = body.area * (part.thickness + 2.0 * part.coat_outside) / 2.0
            assert 0.8 * half < volume(body) < 1.02 * half, name
