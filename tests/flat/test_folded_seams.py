"""Seams on short edges and beside one another, each with the part that once failed."""

import math
from dataclasses import replace

import pytest

import zoo
from folding import check
from foldwright.errors import CannotMake
from foldwright.flat import pattern_of
from foldwright.flat.common_length import common_lengths
from foldwright.flat.develop import panel_rim
from foldwright.flat.joints import Wishes, joints_of
from foldwright.flat.outlines import crossing_sides, doubled_back, is_indented
from foldwright.plan import Cutter, FoldWish, SeamAt, SeamWish
from foldwright.shape import solid
from foldwright.shop import FoldRequest, boards

CUTTERS = (*zoo.CUTTERS, Cutter("blade", 0.0, 3.2, 3.2))
OTHERS = (("board2", boards()["acp-2-0.2"]),)

# Its first side rises at ten degrees: the folds at its foot and at its head take the
# whole of the edge to the second side, one on each board.
SHALLOW = zoo.taper(
    [
        (139.9986, 0.0),
        (0.0, 138.551760011),
        (-51.555731171, -99.42839928),
        (0.0, -126.0),
    ],
    [
        (107.693682631, -23.226224705),
        (-8.481918183, 91.748739067),
        (-47.881418432, -90.118516661),
        (3.783452135, -116.746367353),
    ],
    6.9177612,
)
# Its top turns in between sides 5 and 6; the inside skin stands out along side 5.
STAR = zoo.taper(
    [
        (68.904599645, 1.720209958),
        (151.133905356, 155.614525788),
        (-3.544985367, 45.196763639),
        (-72.626565731, 70.83330897),
        (-130.822055072, -4.086881371),
        (-28.998211559, -33.797548233),
        (1.206065774, -107.112121827),
        (139.728436812, -129.992575542),
    ],
    [
        (27.312946155, 19.30235941),
        (61.495034145, 83.275039215),
        (-54.757984125, 0.287644746),
        (-91.935032319, 14.084246912),
        (-109.032276323, -7.926544467),
        (-17.614416448, -34.600901733),
        (9.51936779, -100.462494762),
        (99.723910106, -115.362043766),
    ],
    13.710092562,
    seam=SeamWish("lap"),
)
# A fold ends at a blunt corner beside a lap whose inside skin stands out.
BLUNT_LAP = zoo.taper(
    [
        (52.087505607, 0.0),
        (90.47003966, 114.496234546),
        (-11.591016209, 50.781459053),
        (-70.390797575, 31.315675609),
        (-128.037475146, -61.659598286),
        (-21.327806498, -106.700572188),
        (63.859270497, -71.740728186),
    ],
    [
        (46.803021106, -0.74583227),
        (82.528667339, 105.824827312),
        (-21.630370207, 40.800321772),
        (-47.499678757, 32.23623622),
        (-106.789841369, -63.389727677),
        (-49.837414695, -87.428718669),
        (54.032063292, -44.801821784),
    ],
    14.690968517,
    seam=SeamWish("lap"),
    face_from=(("side_6", "board2", 2.0),),
)
# In the flat, the step lies along the seam of the back below it.
STEPPED = zoo.faceted(
    zoo.block((0, 0, 0), (180, 399, 272.56), [("cut_1", (90, 199.5, 228.816), (0, 0, 1))]),
    zoo.block(
        (0, 266, 0),
        (69.03, 133, 545.12),
        [("hip", (41.418, 266, 545.12), (1, 0.0078, 1))],
        faces=("left", "step", "nose", "back", "bottom", "roof"),
    ),
    fold=FoldWish(method="kerf"),
    seam=SeamWish("lap"),
)


@pytest.mark.parametrize(
    "part", [SHALLOW, STAR, BLUNT_LAP, STEPPED], ids=["shallow", "star", "blunt lap", "stepped"]
)
def test_a_part_that_once_failed_refolds(part):
    """By the refolder that shares no code with the program."""
    check(part, CUTTERS, OTHERS)


def test_a_seam_without_a_common_length_is_named():
    """Of the edge between the first two sides nothing is left where both boards are."""
    notes = pattern_of(SHALLOW, zoo.BOARD, CUTTERS).notes
    (note,) = [note for note in notes if "holds nothing" in note]

    assert "side_1 to side_2" in note
    assert "48.1 mm" in note


def test_a_seam_stops_short_by_the_setback_of_the_fold_that_it_runs_into():
    """Uprights of an open tray: the setback at the foot, nothing at the rim.

    Setback by the formula of the sheet: (g/theta + (1 - k) w) tan(theta/2) at 90 degrees.
    """
    part = zoo.box(160.0, 220.0, 90.0, leave_open=("top",))
    request = FoldRequest(web=0.8, floor=2.0)
    joints = joints_of("box", solid(part), ("board3", zoo.BOARD), request, zoo.SET_UPS, Wishes())
    sheet = joints.sheet
    net = frozenset(n for n, e in enumerate(sheet.edges) if "bottom" in (e.left, e.right))
    rims = {f.name: panel_rim("box", sheet, net, f.name, blank=False) for f in sheet.faces}
    found = common_lengths(sheet, net, rims)
    k = sheet.folds[next(iter(net))].k
    setback = 2.0 / (math.pi / 2.0) + (1.0 - k) * 0.8

    assert len(found) == 4
    assert list(found.values()) == pytest.approx([90.0 - setback] * 4)


# Its ridge is 6.4 mm wide with 115 degrees inside at both edges: a lap takes
# 3 mm/sin(115 degrees) = 3.31 mm off each side of it.
_FOOT = 3.2 + 60.0 / math.tan(math.radians(65.0))
RIDGE = zoo.profile(
    [(-_FOOT, -60.0), (_FOOT, -60.0), (3.2, 0.0), (-3.2, 0.0)],
    sides=("base", "right", "ridge", "left"),
)


def test_laps_that_would_eat_a_face_up_give_way():
    """The ridge is mitred, and the notes say so."""
    part = replace(RIDGE, seam=SeamWish("lap"), cut_at=(("ridge", "left"), ("ridge", "right")))
    notes = pattern_of(part, zoo.BOARD, CUTTERS).notes
    mitred = [note for note in notes if "would take the whole of an edge" in note]

    assert any("left to ridge" in note for note in mitred)
    assert any("ridge to right" in note for note in mitred)
    check(part, CUTTERS)


def test_laps_wished_by_name_do_not_give_way():
    """They are refused, with what to change."""
    at = tuple(SeamAt(("ridge", side), SeamWish("lap", side)) for side in ("left", "right"))
    with pytest.raises(CannotMake, match="what its seams take off") as refused:
        pattern_of(replace(RIDGE, seam_at=at), zoo.BOARD, CUTTERS)

    assert "mitre" in refused.value.remedy


def test_laps_give_way_only_where_they_have_to():
    """A box with room for them keeps every one."""
    roomy = zoo.box(seam=SeamWish("lap"))
    pattern = pattern_of(roomy, zoo.BOARD, CUTTERS)

    assert {seam.kind for seam in pattern.pieces[0].seams} == {"lap over", "lap under"}


def test_an_outline_that_runs_back_on_itself_is_found():
    """A slit from the right edge of a square to its middle, shut to nothing."""
    slit = [(0.0, 0.0), (8.0, 0.0), (8.0, 4.0), (4.0, 4.0), (8.0, 4.0 + 1e-13), (8.0, 8.0)]
    open_by_a_hair = [*slit[:4], (8.0, 4.001), (8.0, 8.0)]

    found = sorted((round(x, 9), round(y, 9)) for x, y in doubled_back([*slit, (0.0, 8.0)]))

    assert found == [(4.0, 4.0), (8.0, 4.0)]
    assert doubled_back([*open_by_a_hair, (0.0, 8.0)]) == []


def test_mitres_of_a_whole_part_reach_every_edge_that_nothing_folds_beside():
    """Cut apart everywhere, a low taper is joined along the whole of every edge."""
    part = replace(SHALLOW, seam=SeamWish())
    whole = solid(part)
    joints = joints_of("taper", whole, ("board3", zoo.BOARD), FoldRequest(), zoo.SET_UPS, Wishes())
    none = frozenset()
    rims = {
        f.name: panel_rim("taper", joints.sheet, none, f.name, blank=False)
        for f in joints.sheet.faces
    }
    lengths = [whole.edge_length(edge) for edge in joints.sheet.edges]

    assert list(common_lengths(joints.sheet, none, rims).values()) == pytest.approx(lengths)


# Its step turns in towards its own left edge, nearer than the setback of the fold there.
NECKED = zoo.faceted(
    zoo.block(
        (0, 0, 0),
        (120, 120, 168),
        [
            ("cut_1", (52.5, 52.5, 94.5), (-0.375, -0.5, 0.5)),
            ("cut_2", (30, 30, 42), (-1, -1, -1)),
            ("cut_3", (60, 52.5, 73.5), (0, -0.5, -0.3125)),
        ],
    ),
    zoo.block(
        (0, 41.25, 0),
        (60, 78.75, 336),
        faces=("left", "step", "nose", "back", "bottom", "roof"),
    ),
)


def test_a_face_whose_neck_the_setbacks_close_is_refused():
    """No side of the panel is lost there, but two of them would cross."""
    with pytest.raises(CannotMake, match='"step" of faceted is narrower than') as refused:
        pattern_of(NECKED, zoo.BOARD, CUTTERS)

    assert "cut_1 to step" in str(refused.value)


def test_sides_that_cross_are_found():
    """A notch whose tip reaches through the opposite side, and one that stops short of it."""
    notched = [(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (-0.1, 5.0), (10.0, 6.0), (0.0, 10.0)]
    short = [(0.1, 5.0) if p == (-0.1, 5.0) else p for p in notched]

    assert crossing_sides(notched) == (2, 5)
    assert crossing_sides(short) is None
    assert is_indented(short)
    assert not is_indented([(0.0, 0.0), (10.0, 0.0), (10.0, 4.0)])
