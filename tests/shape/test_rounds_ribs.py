"""Ribs: inside sections, clipped, and refused in words."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from shapely import Polygon

import zoo
from foldwright.errors import CannotMake
from foldwright.plan import Placement
from foldwright.plan.dual import number
from foldwright.shape import (
    Face,
    Solid,
    frames,
    hood_wall,
    prism,
    rib_disc,
    rib_motion,
    rib_outline,
    solid,
)
from foldwright.shape.cutting import PLANES, cut_through
from round_parts import COAT, PAINT, hood, rib


def outline_of(part, *, finished=True, clipped=False):
    """Corners of a rib as floats."""
    return rib_outline(part, part.values(), finished=finished, clipped=clipped).plain()


def bounds(corners):
    """Least and greatest of both coordinates."""
    return [*np.min(corners, axis=0), *np.max(corners, axis=0)]


# --- sections ------------------------------------------------------------------


def test_a_section_of_a_box_is_its_end():
    """Anticlockwise seen from the front, sides named by face."""
    (found,) = cut_through(solid(zoo.box()), PLANES["y"], 100.0)

    assert set(found.names) == {"bottom", "right", "top", "left"}
    assert number(found.area()) == approx(160.0 * 90.0)
    at = found.names.index("bottom")
    assert found.plain()[at] == (0.0, 0.0)


@pytest.mark.parametrize(
    ("axis", "area"), [("x", 220.0 * 90.0), ("y", 160.0 * 90.0), ("z", 160.0 * 220.0)]
)
def test_sections_run_anticlockwise_seen_from_their_eye(axis, area):
    """Along any axis; a mirrored one would come out negative."""
    (found,) = cut_through(solid(zoo.box()), PLANES[axis], 50.0)

    assert number(found.area()) == approx(area)


def test_a_section_through_a_channel_falls_into_two():
    """Across the U, over its floor: both walls are cut, a face with a notch twice."""
    body = solid(zoo.ZOO["u_profile"])
    found = cut_through(body, PLANES["z"], 140.0)

    assert len(found) == 2
    assert sorted(number(f.area()) for f in found) == approx([80 * 220, 90 * 220])


@given(height=st.floats(1.0, 199.0))
def test_a_section_of_a_pyramid_shrinks_with_its_height(height):
    """Square pyramid 200 x 200 x 200: side 200 - z."""
    tip = Solid(
        ((-100, -100, 0), (100, -100, 0), (100, 100, 0), (-100, 100, 0), (0, 0, 200)),
        (
            Face("base", (3, 2, 1, 0)),
            *(Face(f"side_{i}", (i, (i + 1) % 4, 4)) for i in range(4)),
        ),
    )
    (found,) = cut_through(tip, PLANES["z"], height)

    assert number(found.area()) == approx((200.0 - height) ** 2, rel=1e-9)
    assert set(found.names) == {f"side_{i}" for i in range(4)}


def test_a_plane_through_a_corner_is_just_short_of_it():
    """On the very ridge of a roof laid along x: still one outline of the lower part."""
    body = prism([(0, 0), (100, 0), (100, 50), (50, 80), (0, 50)], 0.0, 40.0,
                 ("a", "b", "c", "d", "e"), ("front", "back"), frozenset())  # fmt: skip
    (found,) = cut_through(body, PLANES["z"], 50.0)

    assert number(found.area()) == approx(100.0 * 40.0, rel=1e-9)


# --- ribs of folded parts --------------------------------------------------------


def test_a_rib_of_a_box_is_its_inside_less_the_gap():
    """160 x 90 less 2 (3 + 0.5)."""
    assert bounds(outline_of(rib(zoo.box()))) == approx([3.5, 3.5, 156.5, 86.5])


def test_finishes_of_shell_and_rib_come_off_the_board():
    """The box is finished outside: 0.14, board of 3, 0.14 inside, the gap, 0.14 on the rib."""
    part = rib(zoo.box(finish=PAINT), finish=PAINT)

    assert bounds(outline_of(part))[0] == approx(COAT + 3.0 + COAT + 0.5)
    assert bounds(outline_of(part, finished=False))[0] == approx(COAT + 3.0 + COAT + 0.5 + COAT)


def test_a_face_of_another_board_moves_the_rib_by_its_own_thickness():
    """The bottom is 6 mm, the rest 3."""
    part = rib(zoo.box(face_from=(("bottom", "board6", 6.0),)))

    assert bounds(outline_of(part)) == approx([3.5, 6.5, 156.5, 86.5])


def test_at_an_open_face_the_rib_is_flush_with_the_edges_less_the_gap():
    """Open on top at z = 90."""
    assert bounds(outline_of(rib(zoo.box(leave_open=("top",)))))[3] == approx(89.5)


@given(profile=zoo.random_profiles())
def test_ribs_stay_clear_of_the_boards_by_the_gap(profile):
    """Buffered by the gap, a rib still lies inside the inside of its shell, found by shapely."""
    station = number(profile.depth.value(profile.values())) / 2.0
    corners = [(number(x.value({})), number(z.value({}))) for x, z in profile.outline]
    part = rib(profile, station, gap=0.4, clip=0.0, thickness=1.0)
    inside = Polygon(corners)
    for name, a, b in zip(profile.sides, corners, [*corners[1:], corners[0]], strict=True):
        if name not in profile.leave_open:
            along = math.dist(a, b)
            out = ((b[1] - a[1]) / along, (a[0] - b[0]) / along)
            board = [a, b] + [(x - 3.0 * out[0], y - 3.0 * out[1]) for x, y in (b, a)]
            inside = inside.difference(Polygon(board))
    try:
        found = Polygon(outline_of(part))
    except CannotMake as refused:
        assert "no room" in str(refused) or "would cut into the board" in str(refused)
        return
    eroded = found.buffer(0.4 - 1e-6, join_style="round")

    assert found.is_valid
    assert eroded.difference(inside.buffer(1e-6)).area == approx(0.0, abs=1e-6)


def test_corners_are_clipped_where_the_shell_folds():
    """A chamfer of 8 along both sides at each outward fold: 4 triangles of 8 x 8 / 2."""
    part = rib(zoo.box())
    clipped = Polygon(outline_of(part, clipped=True))

    assert clipped.area == approx(153.0 * 83.0 - 4 * 32.0)
    assert len(clipped.exterior.coords) - 1 == 8


def test_where_the_shell_folds_inwards_the_rib_is_notched():
    """The L pushes one corner into its rib: a kite of 8 along both sides and 8 deep is gone."""
    part = rib(zoo.ZOO["l_profile"])
    sharp, cut = (Polygon(outline_of(part, clipped=clipped)) for clipped in (False, True))
    kite = 2.0 * 0.5 * 8.0 * 8.0 * math.sin(math.radians(135.0))

    assert sharp.area - cut.area == approx(5 * 32.0 + kite)
    assert cut.is_valid
    assert sharp.buffer(1e-9).contains(cut)


def test_a_clip_wider_than_a_side_is_refused():
    """45 from both ends of 83."""
    with pytest.raises(CannotMake, match="too short for clips of 45"):
        outline_of(rib(zoo.box(), clip=45.0), clipped=True)


@pytest.mark.parametrize(
    ("station", "words"),
    [
        (5.0, 'stand in the board of "front"'),
        (216.5, 'stand in the board of "back"'),
        (300.0, "is not there"),
        (2.0, "ends, within the thickness"),
    ],
)
def test_a_rib_has_to_stand_clear_of_the_ends(station, words):
    """Half of 6 mm and 3 mm of board."""
    with pytest.raises(CannotMake, match=words):
        outline_of(rib(zoo.box(), station))


def test_a_rib_in_an_open_end_stands_up_to_it():
    """No board there: half its thickness is enough."""
    part = zoo.box(leave_open=("front",))

    assert outline_of(rib(part, 3.0))
    with pytest.raises(CannotMake, match="within the thickness"):
        outline_of(rib(part, 2.9))


def test_a_neck_too_narrow_for_two_boards_parts_the_rib():
    """Two rooms joined by a neck of 6 mm: two boards of 3 close it."""
    corners = [(0, 0), (100, 0), (100, 40), (160, 40), (160, 0), (260, 0),
               (260, 90), (160, 90), (160, 46), (100, 46), (100, 90), (0, 90)]  # fmt: skip
    with pytest.raises(CannotMake, match="no room for rib in one piece"):
        outline_of(rib(zoo.profile(corners)))


def test_a_facet_lost_behind_the_boards_is_left_out():
    """A chamfer of 2 mm at one corner; 3.5 mm further in its neighbours meet."""
    corners = [(0, 0), (150, 0), (150, 118), (149, 119.8), (148, 120), (0, 120)]
    found = outline_of(rib(zoo.profile(corners)))

    assert len(found) < 6
    assert Polygon(found).is_valid


def test_a_facet_of_thick_board_lost_beside_a_corner_that_folds_inwards_is_refused():
    """Its neighbours' boards meet in front of it, 8 mm long, but not in front of its own 14 mm."""
    corners = [(33.0, 0), (300, 0), (300, 100), (100, 100), (93.07, 104.0)]
    shell = zoo.profile(corners, face_from=(("side_4", "board14", 14.0),))
    with pytest.raises(CannotMake, match='would cut into the board of "side_4"'):
        outline_of(rib(shell))


def test_a_rib_of_a_plate_is_none():
    """It says what a rib stands in."""
    with pytest.raises(CannotMake, match="a plate takes no rib"):
        outline_of(rib(zoo.ZOO["notched"]))


def test_the_other_hand_of_a_rib_is_its_mirror_image():
    """And so is the rib of the other hand of its shell."""
    shell = zoo.profile(zoo.HANDED_CORNERS)
    one = outline_of(rib(shell), clipped=True)
    other = outline_of(rib(shell, mirrored=True), clipped=True)
    beside = outline_of(rib(replace(shell, mirrored=True)), clipped=True)

    mirror = Polygon([(-x, y) for x, y in one])
    for found in (other, beside):
        assert Polygon(found).exterior.is_ccw
        assert mirror.symmetric_difference(Polygon(found)).area == approx(0.0, abs=1e-6)


def test_a_rib_stands_in_its_shell_with_its_middle_at_the_station():
    """Its top looks to the front; its corners lie inside the shell."""
    part = rib(zoo.box())
    motion = rib_motion(part)
    x, y = outline_of(part)[0]
    middle = motion @ np.array([x, y, part.thickness / 2.0, 1.0])

    assert np.linalg.det(motion[:3, :3]) == approx(1.0)
    assert motion[:3, 2] == approx([0, -1, 0])
    assert middle[:3] == approx([x, 100.0, y])


def test_frames_put_a_rib_without_a_place_into_its_shell():
    """The shell may stand anywhere."""
    shell = zoo.box(place=Placement(at=(10.0, 20.0), lift=30.0))
    part = rib(shell)
    found = frames(SimpleNamespace(parts={"box": shell, "rib": part}))  # type: ignore[arg-type]
    middle = found["rib"] @ np.array([0.0, 0.0, 3.0, 1.0])

    assert middle[:3] == approx([10.0, 120.0, 30.0])


def test_a_rib_of_a_profile_with_round_corners_keeps_its_arcs():
    """Radius 20 outside is 16.5 at the rib, about the same centre; round corners need no clip."""
    corners = [(0, 0), (160, 0), (160, 90), (0, 90)]
    shell = zoo.profile(corners, rounds=(None, zoo.length(20.0), None, None))
    found = rib_outline(rib(shell), {"station": 100.0, "gap": 0.5, "clip": 8.0}, finished=True)
    arcs = [arc for arc in found.arcs if arc is not None]

    assert [number(arc.radius) for arc in arcs] == approx([16.5])
    assert arcs[0].centre == approx((140.0, 20.0))
    assert found.names.count("clip") == 3
    sharp_corner = 16.5**2 * (1 - math.pi / 4)
    assert number(found.area()) == approx(153.0 * 83.0 - 3 * 32.0 - sharp_corner)


# --- discs -----------------------------------------------------------------------


def test_a_rib_of_a_drum_is_a_disc():
    """220 less 2 (3 + 0.5), finished; its own paint comes off too."""
    part = rib(zoo.drum(), finish=PAINT)

    assert rib_disc(part, part.values(), finished=True) == approx(213.0)
    assert rib_disc(part, part.values(), finished=False) == approx(213.0 - 2 * COAT)


@pytest.mark.parametrize("ends", [(220.0, 120.0), (120.0, 220.0)])
@pytest.mark.parametrize("station", [20.0, 75.0, 130.0])
def test_a_rib_of_a_hood_goes_in_with_both_its_faces(ends, station):
    """The rim of the narrower face stands off the inside cone by the gap, square to it."""
    shell = hood(*ends)
    part = rib(shell, station)
    across = rib_disc(part, part.values(), finished=True)
    wall = hood_wall(shell, shell.values(), finished=True)
    lean = number(wall.lean)
    gaps = []
    for z in (station - 3.0, station + 3.0):
        # Distance of the rim from the line of the inside, in the plane of the axis.
        point = (across / 2.0, z)
        rim = (number(wall.bottom_d) / 2.0, number(wall.bottom_z))
        out = (math.cos(lean), math.sin(lean))
        height = (point[0] - rim[0]) * out[0] + (point[1] - rim[1]) * out[1]
        gaps.append(-height - wall.through)

    assert min(gaps) == approx(0.5, abs=1e-9)
    assert gaps.index(min(gaps)) == (1 if ends[0] > ends[1] else 0)


@pytest.mark.parametrize("station", [2.0, 148.5])
def test_a_disc_has_to_stand_inside_its_shell(station):
    """Half of 6 mm."""
    part = rib(hood(), station)
    with pytest.raises(CannotMake, match="stands out of the open"):
        rib_disc(part, part.values(), finished=True)
