"""Features: exact areas, finished sizes, places on bare faces, other hands."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import zoo
from foldwright.errors import CannotMake
from foldwright.plan import Feature, Finish, Layer, Plate
from foldwright.shape import (
    Step,
    bare_face_frame,
    bare_face_paths,
    face_cuts,
    face_frame,
    hatch_pieces,
    moved_path,
    path_area,
    path_bounds,
    path_chords,
    reversed_path,
)

PAINT = Finish("grey", (Layer("primer", 0.08), Layer("paint", 0.06)))
COAT = 0.14


def feature(kind, face="front", at=(60.0, 40.0), **more):
    """A feature; plain numbers become lengths."""
    sizes = ("d", "length", "width", "corner", "pitch_d", "pitch", "row_pitch", "gap", "lip")
    lengths = {name: zoo.length(more.pop(name)) for name in sizes if name in more}
    place = None if at is None else (zoo.length(at[0]), zoo.length(at[1]))
    return Feature(kind, more.pop("name", kind), face, at=place, **lengths, **more)


def only_cut(part, *features):
    """Return the one cut of a part with these features."""
    (cut,) = face_cuts(replace(part, features=features))
    return cut


def centres(part, one):
    """Centres of the cuts of one feature."""
    return np.array([cut.centre for cut in face_cuts(replace(part, features=(one,)))])


# --- exact shapes --------------------------------------------------------------


@pytest.mark.parametrize(
    ("one", "area"),
    [
        (feature("hole", d=8.0), math.pi * 16.0),
        (feature("slot", length=30.0, width=8.0, rotate=0.4), 22.0 * 8.0 + math.pi * 16.0),
        (feature("slot", length=8.0, width=8.0), math.pi * 16.0),
        (feature("window", length=50.0, width=30.0, rotate=1.1), 1500.0),
        (
            feature("window", length=50.0, width=30.0, corner=6.0),
            1500.0 - (4.0 - math.pi) * 36.0,
        ),
        (feature("window", length=30.0, width=50.0, corner=15.0), 20.0 * 30.0 + math.pi * 225.0),
        (feature("window", d=50.0), math.pi * 625.0),
    ],
)
def test_a_cut_has_its_exact_area_and_runs_clockwise(one, area):
    assert path_area(only_cut(zoo.box(), one).path) == pytest.approx(-area, rel=1e-12)


def test_arcs_stay_arcs():
    slot = only_cut(zoo.box(), feature("slot", length=30.0, width=8.0)).path

    assert [step.centre is not None for step in slot].count(True) == 2
    assert len(slot) == 4


@given(st.floats(1.0, 60.0), st.floats(1.0, 60.0), st.floats(0.0, 1.0), st.floats(0.0, math.tau))
def test_chords_bounds_and_turning_round_agree_with_the_path(length, width, share, turn):
    one = feature(
        "window", length=length, width=width, corner=share * min(length, width) / 2.0, rotate=turn
    )
    path = only_cut(zoo.box(), one).path

    fine = np.array(path_chords(path, 1e-4))
    xy, after = fine, np.roll(fine, -1, axis=0)
    polygon = float(np.sum(xy[:, 0] * after[:, 1] - xy[:, 1] * after[:, 0])) / 2.0
    assert polygon == pytest.approx(path_area(path), abs=1e-4 * 2.0 * (length + width))
    assert path_area(reversed_path(path)) == pytest.approx(-path_area(path), rel=1e-12)
    low, high = path_bounds(path)
    assert low == pytest.approx(fine.min(axis=0), abs=2e-4)
    assert high == pytest.approx(fine.max(axis=0), abs=2e-4)


def test_a_path_turned_over_still_runs_clockwise():
    path = only_cut(zoo.box(), feature("slot", length=30.0, width=8.0, rotate=0.3)).path

    over = moved_path(path, np.diag([-1.0, 1.0, 1.0]))

    assert path_area(over) == pytest.approx(path_area(path), rel=1e-12)
    assert [round(-step.to[0], 9) for step in over] != [round(step.to[0], 9) for step in path]


def test_a_circle_in_one_step_is_a_whole_turn():
    whole = (Step((5.0, 0.0), (0.0, 0.0), left=True),)

    assert path_area(whole) == pytest.approx(math.pi * 25.0, rel=1e-12)


# --- where and how many --------------------------------------------------------


def test_bolts_stand_on_their_circle_from_where_it_starts():
    one = feature("bolts", d=5.5, pitch_d=40.0, count=6, start=math.radians(15.0))

    found = centres(zoo.box(), one)

    angles = np.radians(15.0 + 60.0 * np.arange(6))
    wanted = np.array([60.0, 40.0]) + 20.0 * np.column_stack([np.cos(angles), np.sin(angles)])
    assert np.abs(found - wanted).max() < 1e-12


def test_a_grid_of_bolts_is_turned_about_its_middle():
    one = feature("bolts", d=4.0, pitch=10.0, row_pitch=20.0, count=3, rows=2, rotate=math.pi / 2)

    found = centres(zoo.box(), one)

    wanted = {(60.0 - y, 40.0 + x) for x in (-10.0, 0.0, 10.0) for y in (-10.0, 10.0)}
    assert {(round(x, 9), round(y, 9)) for x, y in found.tolist()} == wanted


def test_drilled_in_place_is_passed_on():
    assert only_cut(zoo.box(), feature("hole", d=8.0, drilled_in_place=True)).drilled_in_place


# --- finish --------------------------------------------------------------------


def test_a_hole_is_its_size_after_painting():
    cut = only_cut(zoo.box(finish=PAINT), feature("hole", d=8.0))

    radius = math.dist(cut.path[0].to, cut.centre)
    assert 2.0 * (radius - COAT) == pytest.approx(8.0, abs=1e-12)


def test_a_window_keeps_its_rounds_and_sharp_corners_after_painting():
    sharp = only_cut(zoo.box(finish=PAINT), feature("window", length=50.0, width=30.0))
    blunt = only_cut(zoo.box(finish=PAINT), feature("window", length=50.0, width=30.0, corner=5.0))

    grown = (50.0 + 2.0 * COAT) * (30.0 + 2.0 * COAT)
    assert path_area(sharp.path) == pytest.approx(-grown, rel=1e-12)
    corners = (4.0 - math.pi) * (5.0 + COAT) ** 2
    assert path_area(blunt.path) == pytest.approx(-(grown - corners), rel=1e-12)


def test_the_bare_corner_lies_inside_the_finished_one():
    """On a box each bare face is smaller by the paint on its neighbours."""
    cut = only_cut(zoo.box(finish=PAINT), feature("hole", d=8.0))

    assert cut.centre == pytest.approx((60.0 - COAT, 40.0 - COAT), abs=1e-12)


def test_numbers_of_a_bare_part_are_bare():
    cut = only_cut(zoo.box(finish=PAINT, bare=True), feature("hole", d=8.0))

    assert cut.centre == pytest.approx((60.0, 40.0), abs=1e-12)
    assert math.dist(cut.path[0].to, cut.centre) == pytest.approx(4.0, abs=1e-12)


@pytest.mark.parametrize("face", ["side_1", "side_2", "side_3", "side_4", "front", "back"])
def test_a_hole_lies_in_space_where_the_finished_face_has_it(face):
    """Seen square to the face, the finish moves nothing."""
    part = zoo.profile(zoo.HANDED_CORNERS, finish=PAINT)
    cut = only_cut(part, feature("hole", face, (30.0, 20.0), d=5.0))

    bare = bare_face_frame(part, face) @ np.array([*cut.centre, 0.0, 1.0])
    finished = face_frame(part, face) @ np.array([30.0, 20.0, 0.0, 1.0])
    normal = face_frame(part, face)[:3, 2]
    away = (finished - bare)[:3]
    assert away == pytest.approx(COAT * normal, abs=1e-9)


def test_the_finished_corner_follows_from_the_turn_of_each_edge():
    """Two planes moved out by c cross ``c tan(turn/2)`` further out on either face."""
    part = zoo.profile(zoo.HANDED_CORNERS, finish=PAINT)
    turns = zoo.turns(zoo.HANDED_CORNERS)
    cut = only_cut(part, feature("hole", "side_4", (30.0, 20.0), d=5.0))

    # side_4 runs from corner 3 to corner 4; seen from outside its right-hand end comes first.
    down = {3: math.tan(turns[3] / 2.0), 4: math.tan(turns[4] / 2.0)}
    frame = face_frame(part, "side_4")
    start = np.array([90.0, 0.0, 240.0]) - np.array([150.0, 0.0, 130.0])
    lower = 3 if start @ frame[:3, 1] > 0.0 else 4
    assert cut.centre[1] == pytest.approx(20.0 - COAT * down[lower], abs=1e-9)
    assert cut.centre[0] == pytest.approx(30.0 - COAT, abs=1e-9)


# --- drums, discs, plates ------------------------------------------------------


def test_a_hole_in_a_wall_keeps_its_angle_when_the_wall_is_painted():
    drum = replace(zoo.drum(), finish=PAINT)
    cut = only_cut(drum, feature("hole", "wall", (110.0 * 1.25, 50.0), d=8.0))

    assert cut.centre[0] / (110.0 - COAT) == pytest.approx(1.25, rel=1e-12)
    assert cut.centre[1] == pytest.approx(50.0 - COAT, abs=1e-12)


def test_a_mirrored_wall_has_its_holes_the_other_way_round():
    drum = zoo.drum()
    one = feature("hole", "wall", (110.0 * 1.25, 50.0), d=8.0)

    there = only_cut(drum, one).centre
    here = only_cut(replace(drum, mirrored=True), one).centre

    assert there[0] + here[0] == pytest.approx(math.pi * 220.0, rel=1e-12)
    assert there[1] == here[1]


def disc_plate(**more):
    """A painted disc."""
    common = zoo.SHEETS["disc"]
    return replace(common, finish=PAINT, **more)


def test_a_disc_is_measured_from_its_middle():
    cut = only_cut(disc_plate(), feature("hole", "top", (30.0, -20.0), d=8.0))

    assert cut.centre == pytest.approx((30.0, -20.0), abs=1e-12)


@pytest.mark.parametrize("face", ["top", "bottom"])
def test_a_plate_is_measured_from_the_finished_corner(face):
    plate = replace(zoo.SHEETS["notched"], finish=PAINT)
    cut = only_cut(plate, feature("hole", face, (30.0, 20.0), d=8.0))

    assert cut.centre == pytest.approx((30.0 - COAT, 20.0 - COAT), abs=1e-12)


def test_the_bare_outline_of_a_face_is_known():
    plate = zoo.SHEETS["ring"]
    outer, bore = bare_face_paths(plate, "top")
    (end,) = bare_face_paths(zoo.profile(zoo.L_CORNERS), "front")

    assert path_area(outer) == pytest.approx(math.pi * 115.0**2, rel=1e-12)
    assert path_area(bore) == pytest.approx(-math.pi * 60.0**2, rel=1e-12)
    assert path_area(end) == pytest.approx(300.0 * 110.0 + 120.0 * 150.0, rel=1e-12)


# --- the other hand ------------------------------------------------------------


def in_space(part, cut):
    """Points of a cut in the frame of its part."""
    frame = bare_face_frame(part, cut.face)
    return np.array([(*p, 0.0, 1.0) for p in path_chords(cut.path)]) @ frame[:3].T


HANDED = (
    (zoo.profile(zoo.HANDED_CORNERS, finish=PAINT), "side_3"),
    (zoo.profile(zoo.HANDED_CORNERS, finish=PAINT), "front"),
    (zoo.box(finish=PAINT), "top"),
    (zoo.box(finish=PAINT), "bottom"),
    (zoo.box(finish=PAINT), "left"),
    (replace(zoo.SHEETS["notched"], finish=PAINT), "top"),
    (replace(zoo.SHEETS["notched"], finish=PAINT), "bottom"),
    (zoo.SHEETS["disc"], "bottom"),
)


@pytest.mark.parametrize(("part", "face"), HANDED)
def test_what_is_cut_is_reflected_with_the_part(part, face):
    one = feature("slot", face, (30.0, 20.0), length=20.0, width=6.0, rotate=0.5)
    other = replace(part, mirrored=True)
    there, here = only_cut(part, one), only_cut(other, one)

    wanted = in_space(part, there) * [-1.0, 1.0, 1.0]
    found = in_space(other, here)

    apart = np.linalg.norm(wanted[:, None] - found[None], axis=2)
    assert max(apart.min(axis=0).max(), apart.min(axis=1).max()) < 1e-9
    assert path_area(here.path) < 0.0


# --- hatches -------------------------------------------------------------------


def test_a_lid_has_its_gap_all_round_when_both_are_painted():
    hatch = feature("hatch", length=60.0, width=40.0, corner=6.0, gap=0.5, lip=12.0)
    part = zoo.box(finish=PAINT, features=(hatch,))

    lid, ledge = hatch_pieces(part, hatch)
    window = face_cuts(part)[0]

    (low, high), (left, right) = path_bounds(lid.outline), path_bounds(window.path)
    finished_window = right[0] - left[0] - 2.0 * COAT
    finished_lid = high[0] - low[0] + 2.0 * COAT
    assert (finished_window - finished_lid) / 2.0 == pytest.approx(0.5, abs=1e-12)
    assert (lid.role, ledge.role) == ("hatch lid", "hatch ledge")
    assert path_area(lid.outline) > 0.0


def test_a_ledge_stands_in_by_the_lip_and_is_glued_as_wide():
    hatch = feature("hatch", length=60.0, width=40.0, gap=0.5, lip=12.0)

    _, ledge = hatch_pieces(zoo.box(features=(hatch,)), hatch)

    assert path_area(ledge.outline) == pytest.approx(84.0 * 64.0, rel=1e-12)
    assert path_area(ledge.cutouts[0]) == pytest.approx(-36.0 * 16.0, rel=1e-12)


def test_a_round_hatch_has_a_round_lid_and_a_ring():
    hatch = feature("hatch", d=50.0, gap=0.5, lip=8.0)

    lid, ledge = hatch_pieces(zoo.box(features=(hatch,)), hatch)

    assert path_area(lid.outline) == pytest.approx(math.pi * 24.5**2, rel=1e-12)
    assert path_area(ledge.outline) == pytest.approx(math.pi * 33.0**2, rel=1e-12)


def test_a_lip_that_fills_the_window_is_refused():
    hatch = feature("hatch", length=60.0, width=20.0, gap=0.5, lip=12.0, name="service")

    with pytest.raises(CannotMake, match="service.*filled by its ledge, 12 mm"):
        hatch_pieces(zoo.box(features=(hatch,)), hatch)


# --- refusals ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "one", "words"),
    [
        (zoo.box(), feature("hole", d=0.0), "diameter of 0 mm"),
        (zoo.box(), feature("slot", length=4.0, width=8.0), "4 mm long over all and 8 mm wide"),
        (zoo.box(), feature("window", length=9.0, width=8.0, corner=5.0), "corners rounder"),
        (zoo.box(), feature("hole", "lid", d=4.0), 'no face "lid"'),
        (zoo.box(leave_open=("top",)), feature("hole", "top", d=4.0), 'open face "top"'),
        (zoo.drum(), feature("hole", "top", d=4.0), "is open"),
        (zoo.SHEETS["disc"], feature("hole", "edge", d=4.0), 'no face "edge"'),
        (
            zoo.profile(
                [(0, 0), (300, 0), (300, 200), (0, 200)], rises=(None, zoo.length(9.0), None, None)
            ),
            feature("hole", "side_2", d=4.0),
            'curved face "side_2" of profile carries no holes',
        ),
    ],
)
def test_what_cannot_be_cut_is_refused_in_words(part, one, words):
    with pytest.raises(CannotMake, match=words):
        face_cuts(replace(part, features=(one,)))


def test_a_plate_with_an_outline_is_no_disc():
    plate = zoo.SHEETS["notched"]
    assert isinstance(plate, Plate)

    with pytest.raises(CannotMake, match='no face "edge"'):
        bare_face_frame(plate, "edge")
