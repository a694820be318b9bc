"""Blanks of what is curled, sawn or cut flat: judged from outside, and refused in words."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from pytest import approx

import zoo
from folding import GOAL, document_of, parsed
from foldwright.errors import CannotMake
from foldwright.flat import pattern_of, patterns_from_json, patterns_to_json
from foldwright.flat.refold import cone_deviation, curled
from foldwright.plan.dual import number
from foldwright.shape import dims_of
from foldwright.shop import boards, least_curl
from oracle.cones import on_cone
from oracle.refolder import judge, outline_area
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

SHEET = boards()["al-5005-H24"]


def pattern(part, board=zoo.BOARD, **more):
    """Pattern of a part; its board in its own thickness."""
    return pattern_of(part, board.of_thickness(part.thickness), zoo.CUTTERS, **more)


def document(part, board=zoo.BOARD):
    """Parsed file of a part, accepted by the schema."""
    return parsed(pattern(part, board).pieces)


# --- hoods -------------------------------------------------------------------


def rims_asked(part):
    """Outside rims of the bare hood as (radius, height), by plane geometry on the plan alone.

    The wall of the plan is a leaning rectangle of slant L and thickness T: by
    bisection on its lean, so that it fills the height; the bare one lies one
    coat inside it on all sides.
    """
    big, small = (part.values()[name] for name in ("bottom_d", "top_d"))
    widens = small > big
    big, small = max(big, small), min(big, small)
    coat = 0.0 if part.bare or not part.finish else COAT
    through, high = part.thickness + 2.0 * coat, part.values()["height"]
    low, top = 0.0, math.pi / 2.0
    for _ in range(200):
        lean = (low + top) / 2.0
        fills = (big - small) / 2.0 / math.tan(lean) + through * math.sin(lean)
        low, top = (lean, top) if fills > high else (low, lean)
    c, s = math.cos(lean), math.sin(lean)
    corners = [(big / 2.0, through * s), (small / 2.0, high)]
    shrunk = [
        (corners[0][0] - coat * (c + s), corners[0][1] - coat * (s - c)),
        (corners[1][0] - coat * (c - s), corners[1][1] - coat * (s + c)),
    ]
    if widens:
        return [(r, high - z) for r, z in reversed(shrunk)]
    return shrunk


def hold(part, board=SHEET):
    """Judge the file of a hood, and hold its two rims against the plan."""
    file = document(part, board)
    verdict = judge(file)

    assert verdict.deviation < GOAL, verdict.worst
    (piece,) = file["pieces"]
    (cone,) = piece["curved"]
    space = on_cone(cone, np.array(cone["flat"]))
    asked = rims_asked(part)
    off = [np.hypot(np.hypot(space[:, 0], space[:, 1]) - r, space[:, 2] - z) for r, z in asked]

    assert np.min(off, axis=0).max() < GOAL
    assert set(np.argmin(off, axis=0)) == {0, 1}
    return piece, cone


@given(part=random_hoods())
def test_random_hoods_curl_to_the_rims_asked_for(part):
    """Either way up, nearly flat to nearly a cylinder, mirrored or not, finished or bare."""
    hold(part)


@pytest.mark.parametrize(
    "part",
    [
        hood(name="everyday"),
        hood(120.0, 220.0, 150.0, name="upside_down"),
        hood(500.0, 40.0, 5.0, name="nearly_flat"),
        hood(220.0, 219.95, 300.0, name="nearly_a_cylinder"),
        hood(220.0, 13.0, 300.0, name="pointed"),
        hood(400.0, 100.0, 25.0, name="more_than_half_a_turn"),
        hood(finish=PAINT, mirrored=True, name="other_hand"),
    ],
    ids=lambda part: part.name,
)
def test_awkward_hoods_curl_to_the_rims_asked_for(part):
    """The zoo of hoods."""
    piece, _ = hold(part)

    assert pattern(part, SHEET).pieces[0].deviation < 1e-8
    assert [step.get("way") for step in piece["outline"]] == ["left", None, "right", None]


@given(part=random_hoods())
def test_the_blank_of_a_hood_has_the_area_of_the_middle_of_its_board(part):
    """Pappus: slant times the way of the middle of the slant, pi (R + r) L."""
    piece, _ = hold(part)
    (bottom, top) = rims_asked(part)
    slant = math.dist(bottom, top)
    lean = math.atan2(abs(bottom[0] - top[0]), abs(bottom[1] - top[1]))
    middle = (bottom[0] + top[0]) / 2.0 - part.thickness / 2.0 * math.cos(lean)

    assert outline_area(piece["outline"]) == approx(2 * math.pi * middle * slant, rel=1e-9)


def test_lengths_on_the_middle_of_the_board_are_kept():
    """Small steps on the flat and on the neutral cone, both ways: nothing is stretched."""
    _, cone = hold(hood(name="kept"))
    away = np.array(cone["flat"]) - cone["flat_apex"]
    rho = (np.linalg.norm(away, axis=1).max() + np.linalg.norm(away, axis=1).min()) / 2.0
    start = math.radians(cone["flat_start_deg"])
    step = 1e-4
    for f in (start + 0.3, start + 0.9, start + 1.6):
        here = np.array(cone["flat_apex"]) + rho * np.array([math.cos(f), math.sin(f)])
        for way in ((step, 0.0), (0.0, step), (step, step)):
            one, two = on_cone(cone, np.array([here, here + np.array(way)]), out=0.0)

            assert np.linalg.norm(two - one) == approx(math.hypot(*way), rel=1e-6)


def test_the_outside_of_a_hood_is_the_face_that_is_drawn():
    """Right on the flat, then up on the flat, then towards the eye: outwards in space."""
    for part in (hood(), hood(120.0, 220.0), hood(mirrored=True)):
        (cone,) = pattern(part).pieces[0].curved
        x = np.mean([p[0] for p in cone.flat])
        rho = np.linalg.norm(np.subtract(cone.flat[0], cone.flat_apex))
        y = cone.flat_apex[1] - math.copysign(rho, part.values()["bottom_d"] - 170.0)
        here, right, up = (curled(cone, (x + dx, y + dy)) for dx, dy in ((0, 0), (1, 0), (0, 1)))
        outward = np.cross(right - here, up - here)

        assert outward[:2] @ here[:2] > 0.0
        assert up[2] > here[2]


def test_the_seam_of_the_other_hand_lies_at_the_other_side():
    """Reflected in x = 0, as everything of a mirrored part."""
    for part in (hood(), zoo.drum()):
        for mirrored, side in ((False, 1.0), (True, -1.0)):
            piece = pattern(replace(part, mirrored=mirrored)).pieces[0]
            spot = curled(piece.curved[0], piece.seams[0].a)

            assert spot[0] * side > 0.0
            assert spot[1] == approx(0.0, abs=1e-9)


def test_a_shifted_cone_would_be_found_out():
    """The proof and the second refolder both see a tenth of a millimetre."""
    part = hood()
    piece = pattern(part).pieces[0]
    rims = rims_asked(part)
    radii, heights = tuple(r for r, _ in rims), tuple(z for _, z in rims)
    cone = piece.curved[0]
    longer = replace(cone, flat_apex=(cone.flat_apex[0], cone.flat_apex[1] + 0.1))

    assert cone_deviation(piece, radii, heights) < GOAL
    assert cone_deviation(replace(piece, curved=(longer,)), radii, heights) > 0.05
    assert judge(parsed([replace(piece, curved=(longer,))])).deviation > 0.05
    wider = replace(cone, half_angle=cone.half_angle * 1.001)
    assert judge(parsed([replace(piece, curved=(wider,))])).deviation > 0.05
    assert judge(parsed([replace(piece, curved=(replace(cone, sense=1),))])).deviation == math.inf


def test_hoods_are_read_back_from_the_file_as_they_were_written():
    """All but the last bit of angles in degrees."""
    piece = pattern(hood()).pieces[0]
    (back,) = patterns_from_json(patterns_to_json("a test build", [piece]))
    one, other = piece.curved[0], back.curved[0]

    assert replace(other, half_angle=one.half_angle, flat_start=one.flat_start) == one
    assert other.half_angle == approx(one.half_angle, rel=1e-15)
    assert other.flat_start == approx(one.flat_start, rel=1e-15)


def test_a_hood_that_is_no_cone_is_a_drum():
    """Said with what to write instead."""
    with pytest.raises(CannotMake, match='kind = "drum"'):
        pattern(hood(220.0, 220.0))


def test_a_full_cone_is_tighter_than_any_board_can_take():
    """At its tip the radius is nothing."""
    with pytest.raises(CannotMake, match="Make top_d at least"):
        pattern(hood(220.0, 0.0))


def test_the_note_says_how_the_square_ends_stand():
    """3 mm board leaning by atan(3/4): 1.8 mm."""
    (note,) = pattern(hood(200.0, 80.0, 81.8), SHEET).notes

    assert "1.8 mm lower" in note


# --- drums -------------------------------------------------------------------


@pytest.mark.parametrize("board", ["acp-3-0.3", "al-5005-H24"])
@pytest.mark.parametrize("make", ["drum", "top", "bottom"])
def test_a_curl_tighter_than_its_board_can_take_is_refused(board, make):
    """At the diameter that the message asks for it is made, a tenth of a millimetre less not."""

    def curl(d):
        if make == "drum":
            return zoo.drum(d, 60.0)
        ends = (d, 120.0) if make == "bottom" else (120.0, d)
        return hood(*ends, height=400.0)

    with pytest.raises(CannotMake) as refused:
        pattern(curl(8.0), boards()[board])
    field = "outside_d" if make == "drum" else f"{make}_d"
    least = float(str(refused.value).split("at least ")[1].split(" mm")[0])

    assert refused.value.field == field
    assert pattern(curl(least), boards()[board]).pieces
    with pytest.raises(CannotMake, match="stretches the skin"):
        pattern(curl(least - 0.2), boards()[board])


def test_the_least_curl_is_the_least_bend_of_the_table():
    """An inside radius of one thickness for both: 1.5 t on the middle."""
    assert least_curl(boards()["acp-3-0.3"]) == approx(4.5)


def test_a_tight_curl_of_skinned_board_is_said():
    """Inside radius 27 mm in 3 mm board is under 15 thicknesses; solid sheet has no skin."""
    assert "may wrinkle" in pattern(zoo.drum(60.0, 25.0)).notes[0]
    assert pattern(zoo.drum(60.0, 25.0), SHEET).notes == ()
    assert pattern(zoo.drum(220.0, 25.0)).notes == ()


# --- tubes, plugs and what is bought -------------------------------------------


@pytest.mark.parametrize(
    ("part", "length"),
    [
        (tube(), 300.0),
        (tube(finish=PAINT), 300.0 - 2 * COAT),
        (tube(finish=PAINT, bare=True), 300.0),
        (plug(), 18.0),
    ],
)
def test_tubes_and_plugs_are_sawn_to_their_bare_length(part, length):
    """The finish on both ends comes off; they have no blank."""
    found = pattern_of(part, None, ())
    (cut,) = found.lengths

    assert found.pieces == ()
    assert (cut.id, cut.part, cut.stock) == (f"{part.name}-1", part.name, part.stock)
    assert cut.length == approx(length, abs=1e-12)


def test_a_plug_from_board_is_a_disc_with_a_hole():
    """46.1 across, 8.5 in the middle, as thick as its board."""
    part = plug(across=0.0)
    (piece,) = document(part)["pieces"]

    assert outline_area(piece["outline"]) == approx(math.pi * 46.1**2 / 4.0, rel=1e-12)
    assert -outline_area(piece["cutouts"][0]["path"]) == approx(math.pi * 8.5**2 / 4.0, rel=1e-12)
    assert piece["thickness"] == 18.0
    assert pattern_of(part, zoo.BOARD, ()).lengths == ()


def test_a_plug_thicker_than_its_bar_is_refused():
    """46.1 from 45."""
    with pytest.raises(CannotMake, match="Take a thicker bar"):
        pattern_of(plug(across=45.0), None, ())


@pytest.mark.parametrize("part", [gauge(), battery()])
def test_nothing_is_cut_for_what_is_bought(part):
    """No blank, no length."""
    found = pattern_of(part, None, ())

    assert (found.pieces, found.lengths) == ((), ())


# --- strips ------------------------------------------------------------------


@pytest.mark.parametrize("turn_deg", [10.0, 45.0, 90.0, 120.0])
@pytest.mark.parametrize("mirrored", [False, True])
def test_an_angle_folds_up_to_its_outside_lengths(turn_deg, mirrored):
    """By the second refolder; the fold is the one the shop makes for a box."""
    part = angle(turn_deg, finish=PAINT, mirrored=mirrored)
    file = document_of(part)
    verdict = judge(file)
    (piece,) = file["pieces"]
    (fold,) = piece["folds"]

    assert verdict.deviation < GOAL, verdict.worst
    assert fold["turn_deg"] == approx(turn_deg)
    assert piece["seams"] == []
    # Blank: both outside lengths less two setbacks, and the zone.
    theta = math.radians(turn_deg)
    setback = zoo.setback(theta)
    bare = [number(dims_of(part, finished=False)[n].value) for n in ("length", "width", "flange")]
    blank = bare[0] * (bare[1] + bare[2] - 2.0 * setback + fold["zone_width"])

    assert outline_area(piece["outline"]) == approx(blank, rel=1e-9)


def test_a_flat_strip_is_its_rectangle():
    """Bare, where the part's frame has it."""
    (piece,) = pattern(strip(finish=PAINT)).pieces

    corners = np.array(sorted(piece.panels[0].flat))
    wanted = [(x, y) for x in (COAT, 240.0 - COAT) for y in (COAT, 30.0 - COAT)]

    assert corners == approx(np.array(wanted), abs=1e-12)


# --- grain -------------------------------------------------------------------


@pytest.mark.parametrize("part", [hood(), zoo.drum(), strip(), rib(zoo.box())])
def test_grain_runs_as_the_part_says_where_its_board_has_any(part):
    """Up is +y of the piece: along the axis of what is curled."""
    grained = frozenset({part.stock})

    assert pattern(part).pieces[0].grain is None
    assert pattern(part, grained=grained).pieces[0].grain == approx(math.pi / 2.0)
    across = replace(part, grain="across")
    assert pattern(across, grained=grained).pieces[0].grain == 0.0
