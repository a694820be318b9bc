"""Rough outlines: what is left on at the ends of a curled blank, and nothing else."""

import math
from dataclasses import replace

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from shapely import Polygon

import zoo
from folding import GOAL, parsed
from foldwright.errors import OutOfDomain
from foldwright.flat import Step, pattern_of, patterns_from_json, patterns_to_json, schema
from foldwright.flat.rough import rough_path, widest_flap
from foldwright.flat.sectors import RingSector
from foldwright.plan import Feature
from foldwright.shape import path_chords
from foldwright.shop import boards
from oracle.refolder import judge
from round_parts import hood, random_hoods

SHEET = boards()["al-5005-H24"]
FOR_THE_SAW = 4.0  # mm between the flaps of a hood
HOODS = [
    hood(name="everyday"),
    hood(120.0, 220.0, 150.0, name="upside_down"),
    hood(220.0, 219.95, 300.0, name="nearly_a_cylinder"),
    hood(400.0, 100.0, 110.0, name="more_than_half_a_turn"),
]


def blank(part, spare, board=SHEET):
    (piece,) = pattern_of(part, board.of_thickness(part.thickness), zoo.CUTTERS, spare=spare).pieces
    return piece


def polygon(path):
    return Polygon(path_chords(path))


def flaps(piece):
    """Rectangles on the seam edges, by vectors of their own."""
    found = []
    for (ax, ay), (bx, by) in ((s.a, s.b) for s in piece.seams):
        length = math.hypot(bx - ax, by - ay)
        x, y = piece.spare * (by - ay) / length, -piece.spare * (bx - ax) / length
        found.append(Polygon([(ax, ay), (ax + x, ay + y), (bx + x, by + y), (bx, by)]))
    return found


def slant(piece):
    seam = piece.seams[0]
    return math.dist(seam.a, seam.b)


# --- shape -------------------------------------------------------------------


def test_a_drum_is_cut_longer_at_both_ends():
    """220 across in 3 mm: pi 217 round, and 40 more at each end; no corner more."""
    piece = blank(zoo.drum(), 40.0)
    around = math.pi * 217.0
    corners = {(round(x, 9), round(y, 9)) for x, y in (s.to for s in piece.rough)}
    wanted = [(-40.0, 0.0), (around + 40.0, 0.0), (around + 40.0, 310.0), (-40.0, 310.0)]

    assert corners == {(round(x, 9), y) for x, y in wanted}
    assert len(piece.rough) == 4
    assert polygon(piece.rough).exterior.is_ccw


@pytest.mark.parametrize("part", HOODS, ids=lambda part: part.name)
def test_a_hood_gets_two_flaps_with_parallel_sides(part):
    """What is left on is a rectangle on each straight end: slant by spare."""
    piece = blank(part, 25.0)
    rough, trimmed = polygon(piece.rough), polygon(piece.outline)
    left_on = rough.difference(trimmed.buffer(1e-6))

    assert piece.spare == 25.0
    assert rough.area - trimmed.area == approx(2.0 * 25.0 * slant(piece), rel=1e-9)
    assert left_on.symmetric_difference(flaps(piece)[0].union(flaps(piece)[1])).area < 0.01


@pytest.mark.parametrize("part", HOODS, ids=lambda part: part.name)
def test_the_rims_of_a_hood_run_straight_on_into_its_flaps(part):
    """Square to the seam edge is along the arc: no corner to catch on where the rim ends."""
    piece = blank(part, 25.0)
    steps = list(zip((piece.rough[-1], *piece.rough[:-1]), piece.rough, strict=True))
    centre = piece.curved[0].flat_apex
    ends = {end for seam in piece.seams for end in (seam.a, seam.b)}
    leaving = [(a.to, b.to) for a, b in steps if b.centre is None and (a.to in ends)]
    leaving += [(b.to, a.to) for a, b in steps if b.centre is None and (b.to in ends)]

    assert len(leaving) == 4
    for here, out in leaving:
        arm = (here[0] - centre[0], here[1] - centre[1])
        way = (out[0] - here[0], out[1] - here[1])
        cosine = (arm[0] * way[0] + arm[1] * way[1]) / (math.hypot(*arm) * math.hypot(*way))

        assert cosine == approx(0.0, abs=1e-9)
        assert math.hypot(*way) == approx(25.0)


@given(part=random_hoods(), spare=st.floats(0.5, 120.0))
def test_the_rough_outline_of_any_hood_holds_the_trimmed_one_and_can_be_cut(part, spare):
    """It never crosses itself, and a saw passes between its flaps."""
    piece = blank(part, spare)
    rough, trimmed = polygon(piece.rough), polygon(piece.outline)
    added = 2.0 * piece.spare * slant(piece)
    one, other = flaps(piece) if piece.spare else (None, None)

    assert rough.is_valid
    assert 0.0 <= piece.spare <= spare
    assert trimmed.difference(rough.buffer(1e-6)).area < 1e-6
    assert rough.area == approx(trimmed.area + added, rel=1e-9)
    assert one is None or one.distance(other) >= FOR_THE_SAW - 1e-6


def test_a_hood_whose_ends_lie_close_keeps_what_there_is_room_for():
    """Whole mm, a saw cut between; one mm more would leave none. A note says so."""
    part = hood(500.0, 160.0, 40.0)
    found = pattern_of(part, SHEET.of_thickness(3.0), zoo.CUTTERS, spare=40.0)
    (piece,) = found.pieces
    wider = replace(piece, spare=piece.spare + 1.0)
    note = next(n for n in found.notes if "left on" in n)

    assert 0.0 < piece.spare < 40.0
    assert piece.spare == int(piece.spare)
    assert flaps(piece)[0].distance(flaps(piece)[1]) >= FOR_THE_SAW
    assert flaps(wider)[0].distance(flaps(wider)[1]) < FOR_THE_SAW
    assert f"{piece.spare:g} mm can be left on at each, not the 40 mm" in note


def test_a_hood_that_is_nearly_flat_keeps_nothing():
    """The gap of its sector is narrower than a saw cut: the outline itself, and a note."""
    part = hood(500.0, 40.0, 5.0)
    found = pattern_of(part, SHEET.of_thickness(3.0), zoo.CUTTERS, spare=40.0)

    assert found.pieces[0].spare == 0.0
    assert found.pieces[0].rough == found.pieces[0].outline
    assert found.pieces[0].trim_lines == ()
    assert any("nothing can be left on" in note for note in found.notes)


def test_ends_half_a_circle_apart_never_meet():
    """The flaps of a half ring point the same way, side by side; a quarter ring's apart."""
    assert widest_flap(RingSector(200.0, 100.0, math.pi)) == math.inf
    assert widest_flap(RingSector(200.0, 100.0, math.pi / 2.0)) == math.inf


def test_flaps_of_three_quarters_of_a_ring_meet_on_the_middle_of_its_gap():
    """Ends at a right angle, r = 100: a square of 100 less half the saw's way, 2 by root 2."""
    assert widest_flap(RingSector(200.0, 100.0, 1.5 * math.pi)) == approx(
        100.0 - FOR_THE_SAW / math.sqrt(2.0)
    )


@given(
    spare=st.floats(0.01, 500.0),
    width=st.floats(20.0, 400.0),
    tip=st.tuples(st.floats(-400.0, 400.0), st.floats(20.0, 400.0)),
)
def test_an_edge_of_any_triangle_moves_out_square_to_itself(spare, width, tip):
    """The area added is edge times spare, whichever way the edge leans."""
    ring = [(0.0, 0.0), (width, 0.0), tip]
    moved = rough_path(tuple(Step(p) for p in ring), [(ring[1], ring[2])], spare)
    before, after = Polygon(ring), polygon(moved)

    assert after.area == approx(before.area + math.dist(ring[1], ring[2]) * spare, rel=1e-9)
    assert after.buffer(1e-6).contains(before)
    assert after.is_valid


# --- the rest of the pattern -------------------------------------------------


@pytest.mark.parametrize("part", [zoo.drum(), *HOODS], ids=lambda part: part.name)
def test_nothing_but_the_spare_changes(part):
    """Outline, seams, curl and proof are those of the trimmed blank."""
    assert replace(blank(part, 30.0), spare=0.0) == blank(part, 0.0)


def test_openings_stay_where_they_are():
    """A hole drilled through the wall has the same place in the flat."""
    vent = Feature(
        "hole",
        "vent",
        "wall",
        at=(zoo.length(150.0), zoo.length(100.0)),
        d=zoo.length(30.0),
    )
    plain, longer = (blank(replace(zoo.drum(), features=(vent,)), s) for s in (0.0, 40.0))

    assert len(plain.cutouts) == 1
    assert plain.cutouts == longer.cutouts


def test_only_what_is_curled_has_any():
    board = zoo.BOARD
    for part in (zoo.box(), zoo.profile([(0, 0), (200, 0), (200, 80), (0, 80)])):
        found = pattern_of(part, board, zoo.CUTTERS, spare=40.0)

        assert all(piece.spare == 0.0 for piece in found.pieces)


@pytest.mark.parametrize("spare", [-1.0, math.nan, math.inf])
@pytest.mark.parametrize("part", [zoo.drum(), hood()], ids=lambda part: part.name)
def test_what_is_no_length_is_refused(part, spare):
    with pytest.raises(OutOfDomain, match="What is left on at each end") as refused:
        blank(part, spare)

    assert refused.value.name == "spare"


def test_a_pattern_is_kept_for_each_spare():
    """Asked again it is the very same; with another spare it is another."""
    board = zoo.BOARD
    one, again, other = (
        pattern_of(zoo.drum(), board, zoo.CUTTERS, spare=s) for s in (40.0, 40.0, 35.0)
    )

    assert one is again
    assert other.pieces[0].spare == 35.0


# --- the file ----------------------------------------------------------------


@pytest.mark.parametrize("part", [zoo.drum(), hood()], ids=lambda part: part.name)
def test_the_file_says_what_is_left_on_and_its_outline_is_the_trimmed_one(part):
    """Judged by the second refolder, which knows nothing of it; read back as written."""
    pieces = (blank(part, 40.0),)
    document = parsed(pieces)
    verdict = judge(document)

    jsonschema.Draft202012Validator(schema()).validate(document)
    assert document["pieces"][0]["spare_mm"] == 40.0
    assert document["pieces"][0]["outline"] == parsed((blank(part, 0.0),))["pieces"][0]["outline"]
    assert verdict.deviation < GOAL
    assert patterns_from_json(patterns_to_json("build", pieces)) == pieces


def test_the_file_has_no_word_of_it_where_nothing_is_left_on():
    document = parsed((blank(zoo.drum(), 0.0),))

    assert "spare_mm" not in document["pieces"][0]


@pytest.mark.parametrize("wrong", [0.0, -4.0, "40"])
def test_the_schema_refuses_what_is_no_length(wrong):
    document = parsed((blank(zoo.drum(), 40.0),))
    document["pieces"][0]["spare_mm"] = wrong

    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(document, schema())
