"""Openings: closed forms, what random parts askew need, tightness, and what is refused."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import MultiPoint, Point, Polygon, contains_xy, distance
from shapely import points as shapely_points

import zoo
from foldwright.errors import CannotMake
from foldwright.plan import Bought, Feature, Finish, Layer, Plate, Plug, Strip, Tube
from foldwright.shape import opening, openings_of, path_area, path_bounds, path_chords

PAINT = Finish("grey", (Layer("primer", 0.08), Layer("paint", 0.06)))
COAT = 0.14
WALL = zoo.box(4000.0, 4000.0, 4000.0, name="wall")


def through(face="top", gap=0.0, other="pipe"):
    """An opening in a face."""
    return Feature("opening", "", face, gap=zoo.length(gap), through=other)


def pose(tilt=0.0, heading=0.0, spin=0.0, at=(2000.0, 2000.0, 4000.0), slide=0.0):
    """Motion whose z leans by `tilt` towards `heading`; its origin slides along z."""

    def turn(axis, angle):
        c, s = math.cos(angle), math.sin(angle)
        i, j = (axis + 1) % 3, (axis + 2) % 3
        found = np.eye(4)
        found[i, i] = found[j, j] = c
        found[i, j], found[j, i] = -s, s
        return found

    motion = turn(2, heading) @ turn(1, tilt) @ turn(2, spin)
    motion[:3, 3] = np.array(at) + motion[:3, 2] * slide
    return motion


def pipe(d=60.0, long=900.0, **more):
    """A drum that stands for anything round."""
    return replace(zoo.drum(d, long, name="pipe"), **more)


def cut_for(other, where, gap=0.0, host=WALL):
    """Opening in the top of a box that stands at the origin."""
    return opening(host, through(gap=gap), other, np.eye(4), where)


def extents(cut, heading=0.0):
    """Length along a heading, and width across it."""
    xy = np.array(path_chords(cut.path))
    along = xy @ [math.cos(heading), math.sin(heading)]
    across = xy @ [-math.sin(heading), math.cos(heading)]
    return float(np.ptp(along)), float(np.ptp(across))


# --- closed forms --------------------------------------------------------------


def test_a_drum_square_to_the_face_needs_a_true_circle():
    cut = cut_for(pipe(), pose(slide=-450.0), gap=1.5)

    assert [step.centre for step in cut.path] == [pytest.approx((2000.0, 2000.0))] * 2
    assert path_area(cut.path) == pytest.approx(-math.pi * 31.5**2, rel=1e-12)


@pytest.mark.parametrize("tilt", [0.02, 0.3, math.radians(45.0), 1.2])
@pytest.mark.parametrize("heading", [0.0, 0.7, 3.0])
def test_a_drum_askew_needs_an_oval_that_the_board_lengthens(tilt, heading):
    """Ellipse d by ``d / cos a`` at either skin, one ``t tan a`` further than the other."""
    cut = cut_for(pipe(), pose(tilt, heading, slide=-450.0))

    along, across = extents(cut, heading)
    assert along == pytest.approx(60.0 / math.cos(tilt) + 3.0 * math.tan(tilt), abs=1e-9)
    assert across == pytest.approx(60.0, abs=1e-9)
    exact = math.pi * 30.0**2 / math.cos(tilt) + 60.0 * 3.0 * math.tan(tilt)
    girth = 2.0 * (along + across)
    assert 0.0 <= -path_area(cut.path) - exact <= 0.01 * girth
    assert len(cut.path) < 400


def test_gap_and_both_finishes_go_all_round():
    host = replace(WALL, finish=PAINT)
    tilt = 0.5

    cut = cut_for(pipe(finish=PAINT), pose(tilt, slide=-450.0), gap=2.0, host=host)

    # The drum is 60 finished; the board is thicker by its paint, inside and outside.
    along, across = extents(cut)
    thick = 3.0 + 2.0 * COAT
    wanted = 60.0 / math.cos(tilt) + thick * math.tan(tilt) + 2.0 * (2.0 + COAT)
    assert along == pytest.approx(wanted, abs=1e-9)
    assert across == pytest.approx(60.0 + 2.0 * (2.0 + COAT), abs=1e-9)


def test_a_square_tube_askew_is_lengthened_one_way_only():
    tube = Tube(
        name="pipe",
        stock="tube",
        thickness=2.0,
        parameters=(),
        length=zoo.length(600.0),
        across=40.0,
        square=True,
    )
    tilt = 0.6

    cut = cut_for(tube, pose(tilt, 0.0, slide=-300.0), gap=1.0)

    low, high = path_bounds(cut.path)
    assert high[0] - low[0] == pytest.approx(
        40.0 / math.cos(tilt) + 3.0 * math.tan(tilt) + 2.0, abs=1e-9
    )
    assert high[1] - low[1] == pytest.approx(42.0, abs=1e-9)
    assert len(cut.path) == 4


def test_the_opening_lies_where_the_axis_crosses_the_middle_of_the_board():
    cut = cut_for(pipe(), pose(0.5, 0.0, slide=-450.0))

    assert cut.centre == pytest.approx((2000.0 - 1.5 * math.tan(0.5), 2000.0), abs=1e-9)


def test_a_great_oval_stays_within_its_steps():
    cut = cut_for(pipe(1800.0, 6000.0), pose(0.4, slide=-3000.0))

    exact = math.pi * 900.0**2 / math.cos(0.4) + 1800.0 * 3.0 * math.tan(0.4)
    assert len(cut.path) < 400
    assert 0.0 <= -path_area(cut.path) - exact <= 0.03 * math.pi * 2000.0


# --- what is needed, by sampling ------------------------------------------------


def needed(ring, where, thickness):
    """Points of lines along z through a ring of (x, y), at levels of the board, shape (n, 2)."""
    lines = np.column_stack([ring, np.zeros(len(ring))]) @ where[:3, :3].T + where[:3, 3]
    axis = where[:3, 2]
    levels = 4000.0 + np.linspace(-thickness, 0.0, 7)
    return np.concatenate(
        [(lines + axis * ((z - lines[:, 2]) / axis[2])[:, None])[:, :2] for z in levels]
    )


def ring_of(outline):
    """Points along an outline, its corners among them, shape (n, 2)."""
    corners = np.array(outline)
    shares = np.linspace(0.0, 1.0, 24, endpoint=False)[:, None]
    sides = zip(corners, np.roll(corners, -1, axis=0), strict=True)
    return np.concatenate([a + (b - a) * shares for a, b in sides])


def least_room(shape, points):
    """Least distance of points from the edge of a shape; negative if one lies outside."""
    rooms = distance(shape.exterior, shapely_points(points))
    return float(np.where(contains_xy(shape, points[:, 0], points[:, 1]), rooms, -rooms).min())


@given(
    st.floats(5.0, 300.0),
    st.floats(0.0, 1.2),
    st.floats(0.0, math.tau),
    st.floats(0.0, 4.0),
    st.floats(1.0, 9.0),
)
def test_a_random_drum_has_its_gap_all_round_and_no_more(d, tilt, heading, gap, thickness):
    where = pose(tilt, heading, slide=-1500.0)
    host = replace(WALL, thickness=thickness)
    cut = cut_for(pipe(d, 3000.0), where, gap, host)
    angles = np.linspace(0.0, math.tau, 240, endpoint=False)
    rim = d / 2.0 * np.column_stack([np.cos(angles), np.sin(angles)])
    points = needed(rim, where, thickness)

    shape = Polygon(path_chords(cut.path, 1e-5))
    assert least_room(shape, points) >= gap - 2e-5
    # Tight: every side of the oval is needed, not only the nearest one.
    hull = MultiPoint(points).convex_hull
    sides = np.array(path_chords(cut.path, 1e-3))
    middles = (sides + np.roll(sides, -1, axis=0)) / 2.0
    slack = d / 2.0 / math.cos(tilt) * (math.pi / 240) ** 2  # of the sampled rim
    assert max(hull.distance(Point(m)) for m in middles) <= gap + 0.012 + slack
    assert not shape.buffer(-0.05 - slack).covers(hull.buffer(max(gap - 1e-3, 0.0)))


L_SHAPE = [(0.0, 0.0), (90.0, 0.0), (90.0, 35.0), (30.0, 35.0), (30.0, 70.0), (0.0, 70.0)]
FIVE = [(0.0, 0.0), (60.0, 0.0), (75.0, 30.0), (30.0, 60.0), (-10.0, 25.0)]


@pytest.mark.parametrize("outline", [L_SHAPE, FIVE], ids=["re-entrant", "convex"])
@given(
    tilt=st.floats(0.0, 1.0),
    heading=st.floats(0.0, math.tau),
    spin=st.floats(0.0, math.tau),
    gap=st.floats(0.1, 4.0),
)
def test_a_random_profile_has_its_gap_all_round_and_no_more(outline, tilt, heading, spin, gap):
    """The profile's depth is its axis: its frame is laid on its back first."""
    part = zoo.profile(outline, 2000.0, name="pipe")
    upright = pose(tilt, heading, spin)
    lying = np.eye(4)  # part's x, y, z: right, along the axis, and back
    lying[:3, :3] = [[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]]
    middle = np.eye(4)
    middle[1, 3] = -1000.0
    where = upright @ lying @ middle
    cut = cut_for(part, where, gap)

    drawn = [(x, -z) for x, z in outline]  # in the upright frame the outline's z is -y
    points = needed(ring_of(drawn), upright, 3.0)
    shape = Polygon(path_chords(cut.path))
    assert gap - 1e-6 <= least_room(shape, points) < gap + 0.05


def hull_of_sections(upright):
    """Hull of where the long edges of a box of 50 x 30 cross both skins."""
    axis = upright[:3, 2]
    found = []
    for x, y in [(0.0, 0.0), (50.0, 0.0), (50.0, 30.0), (0.0, 30.0)]:
        p = upright[:3, :3] @ [x, y, 0.0] + upright[:3, 3]
        found += [(p + axis * (4000.0 + z - p[2]) / axis[2])[:2] for z in (0.0, -3.0)]
    return MultiPoint(found).convex_hull


def box_through(upright):
    """Opening for that box."""
    back = np.eye(4)
    back[2, 3] = -750.0
    return cut_for(zoo.box(50.0, 30.0, 1500.0, name="pipe"), upright @ back)


@pytest.mark.parametrize(("tilt", "spin"), [(0.5, 0.3), (1.1, 2.0), (0.05, 4.0)])
def test_a_box_askew_needs_the_hull_of_both_its_sections(tilt, spin):
    upright = pose(tilt, 1.0, spin)

    cut = box_through(upright)

    assert -path_area(cut.path) == pytest.approx(hull_of_sections(upright).area, rel=1e-9)


@given(st.floats(0.0, 1.2), st.floats(0.0, math.tau), st.floats(0.0, math.tau))
def test_specks_are_left_out_on_the_safe_side(tilt, heading, spin):
    """Where a box stands all but square, its section has sides no saw could follow."""
    upright = pose(tilt, heading, spin)

    cut = box_through(upright)

    wanted = hull_of_sections(upright)
    extra = -path_area(cut.path) - wanted.area
    assert -1e-9 * wanted.area <= extra <= 2e-3 * wanted.length


def test_a_sharp_corner_is_blunted_but_keeps_its_gap():
    part = zoo.profile([(0.0, 0.0), (200.0, -10.0), (200.0, 10.0)], 400.0, name="pipe")
    lying = np.eye(4)
    lying[:3, :3] = [[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]]
    lying[:3, 3] = (2000.0, 2000.0, 3800.0)

    cut = cut_for(part, lying, 2.0)

    shape = Polygon(path_chords(cut.path))
    assert len(cut.path) == 4
    assert shape.exterior.distance(Point(2000.0, 2000.0)) == pytest.approx(2.0, abs=1e-9)
    assert path_bounds(cut.path)[0][0] == pytest.approx(1998.0, abs=1e-9)


def test_a_rounded_profile_is_never_cut_too_close():
    rounds = tuple(zoo.length(r) for r in (12.0, 12.0, 12.0, 12.0))
    part = zoo.profile(
        [(0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0)], 400.0, name="pipe", rounds=rounds
    )
    lying = np.eye(4)
    lying[:3, :3] = [[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]]
    lying[:3, 3] = (2000.0, 2000.0, 3800.0)

    cut = cut_for(part, lying)

    exact = 60.0 * 40.0 - (4.0 - math.pi) * 144.0
    assert 0.0 <= -path_area(cut.path) - exact <= 0.01 * math.tau * 12.0
    assert len(cut.path) < 400


# --- other kinds ---------------------------------------------------------------


def kind(cls, **more):
    """A part of another kind called pipe."""
    return cls(name="pipe", stock="s", thickness=3.0, parameters=(), **more)


@pytest.mark.parametrize(
    ("other", "area"),
    [
        (
            kind(Tube, length=zoo.length(80.0), across=38.0),
            math.pi * 19.0**2,
        ),
        (
            kind(Plug, length=zoo.length(80.0), diameter=zoo.length(36.0), across=40.0),
            math.pi * 18.0**2,
        ),
        (
            kind(Bought, mass=1.0, diameter=zoo.length(52.0), length=zoo.length(80.0)),
            math.pi * 26.0**2,
        ),
        (
            kind(
                Bought,
                mass=1.0,
                width=zoo.length(52.0),
                depth=zoo.length(30.0),
                height=zoo.length(80.0),
            ),
            52.0 * 30.0,
        ),
        (kind(Plate, diameter=zoo.length(44.0)), math.pi * 22.0**2),
    ],
    ids=["tube", "plug", "dial", "connector", "disc"],
)
def test_every_straight_part_may_pass(other, area):
    slide = -40.0 if not isinstance(other, Plate) else -3.0

    cut = cut_for(other, pose(slide=slide))

    assert path_area(cut.path) == pytest.approx(-area, rel=1e-9)


def test_a_strip_passes_edgeways():
    strip = kind(Strip, length=zoo.length(200.0), width=zoo.length(40.0))
    upright = pose(tilt=-math.pi / 2.0)  # its x points up
    upright[:3, 3] = (2000.0, 2000.0, 3900.0)

    cut = cut_for(strip, upright, 0.5)

    assert -path_area(cut.path) == pytest.approx(41.0 * 4.0, rel=1e-9)


def test_a_part_of_the_other_hand_needs_the_other_opening():
    """Host and guest reflected together need the reflected opening."""
    guest = zoo.profile(FIVE, 400.0, name="pipe")
    host = zoo.box(400.0, 400.0, 300.0, name="wall")
    where = pose(0.3, 0.4, 0.2, at=(180.0, 190.0, 150.0))
    lying = np.eye(4)
    lying[:3, :3] = [[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]]
    where = where @ lying
    flip = np.diag([-1.0, 1.0, 1.0, 1.0])

    there = opening(host, through(gap=1.0), guest, np.eye(4), where)
    here = opening(
        replace(host, mirrored=True),
        through(gap=1.0),
        replace(guest, mirrored=True),
        np.eye(4),
        flip @ where @ flip,
    )

    reflected = sorted((400.0 - x, y) for x, y in path_chords(there.path))
    found = sorted(path_chords(here.path))
    assert np.abs(np.array(reflected) - np.array(found)).max() < 1e-9
    assert path_area(here.path) < 0.0


def test_openings_of_a_plan_come_by_part():
    host = replace(WALL, features=(through(gap=1.0),))
    parts = {"wall": host, "pipe": pipe()}
    frames = {"wall": np.eye(4), "pipe": pose(slide=-450.0)}

    found = openings_of(parts, frames)

    assert list(found) == ["wall"]
    assert found["wall"][0].why == "opening for pipe"


def test_an_opening_with_a_name_keeps_it():
    host = replace(WALL, features=(replace(through(), name="cable"),))

    found = openings_of(
        {"wall": host, "pipe": pipe()}, {"wall": np.eye(4), "pipe": pose(slide=-450.0)}
    )

    assert found["wall"][0].why == "cable"


def test_an_opening_for_nothing_is_refused():
    host = replace(WALL, features=(through(other="ghost"),))

    with pytest.raises(CannotMake, match='no other part "ghost"'):
        openings_of({"wall": host}, {"wall": np.eye(4)})


# --- refusals ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("where", "words"),
    [
        (pose(), 'pipe stands on "top" of wall'),
        (pose(slide=25.0), "does not reach.*25.0 mm before"),
        (pose(slide=-902.0), "ends inside the board.*2.0 mm short"),
        (pose(slide=-2000.0), "it lies behind it"),
        (pose(slide=-1.0), "ends inside the board.*2.0 mm short"),
        (pose(1.5, slide=-450.0), "lies too flat to.*4 degrees"),
        (pose(slide=-450.0, at=(2000.0, 10.0, 4000.0)), "runs 20.0 mm over the edge"),
        (pose(slide=-450.0, at=(2000.0, -100.0, 4000.0)), "passes beside"),
    ],
    ids=["stands", "above", "flush", "behind", "short", "flat", "edge", "beside"],
)
def test_what_does_not_pass_is_refused_naming_both(where, words):
    with pytest.raises(CannotMake, match=words) as refused:
        cut_for(pipe(), where)

    assert "pipe" in str(refused.value)
    assert "wall" in str(refused.value)


def test_a_shape_without_an_axis_is_refused():
    angle = kind(
        Strip, length=zoo.length(200.0), width=zoo.length(40.0), flange=zoo.length(30.0), turn=1.0
    )

    with pytest.raises(CannotMake, match="No opening.*worked out for pipe, a strip"):
        cut_for(angle, pose(slide=-1.0))
