"""A blank is turned over once, wholly, and its marks meet."""

import math

import pytest

from draw.hand import comb, drum, handed, outwards, ring
from foldwright.draw.blank import blank_of, letter_of
from foldwright.draw.drawing import A4, Arc, bounds
from foldwright.draw.templates import window_of
from foldwright.draw.tiling import tiling_of

PIECES = [handed(), outwards(), drum(), ring(), comb()]


def space_of(piece, panel, p):
    rows = next(q.space for q in piece.panels if q.id == panel)
    return [row[0] * p[0] + row[1] * p[1] + row[3] for row in rows]


def test_grooved_board_is_mirrored_and_starts_at_its_datum_corner():
    """The left flap of a part lies on the right when its inside is looked at."""
    blank = blank_of(handed())
    left = next(p for p in blank.panels if p.name == "left")
    front = next(p for p in blank.panels if p.name == "front")

    assert blank.side == "inside"
    assert min(x for x, _ in left.flat) >= max(x for x, _ in front.flat)
    assert blank.box[:2] == (0.0, 0.0)


def test_a_blank_without_grooves_is_marked_on_its_outside():
    """Nothing to cut into, nothing to turn over."""
    blank = blank_of(drum())

    assert blank.side_up == "outside of the lamp, film side up"
    assert blank.seams[0].a[0] == pytest.approx(math.pi * 218.0)


def test_witness_marks_meet_in_space_although_the_edges_differ_in_length():
    """120 mm against 60 mm: both marks lie 30 mm from the corner, at one place."""
    piece = handed()
    blank = blank_of(piece, (piece,))
    flat = [(260.0 - s.witness[0], s.witness[1]) for s in blank.seams]  # back to the outside
    here, there = (
        space_of(piece, seam.panel, at) for seam, at in zip(piece.seams, flat, strict=True)
    )

    assert math.dist(here, there) < 1e-9
    assert math.dist(flat[0], (0.0, 150.0)) == pytest.approx(30.0)


def test_points_are_numbered_anticlockwise_from_the_datum():
    """Also on a blank that has been turned over."""
    corners = [p.at for p in blank_of(handed()).points if p.kind == "corner"]
    area = sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, corners[1:] + corners[:1], strict=True)
    )

    assert area > 0.0
    assert math.hypot(*corners[0]) == min(math.hypot(*p) for p in corners)


def test_points_in_line_and_doubled_points_get_no_number():
    """A hand with a rule cannot tell them apart."""
    from dataclasses import replace

    from foldwright.flat.pattern import Step

    clean = outwards()
    spoilt = replace(
        clean,
        outline=(
            Step((0.0, 0.0)),
            Step((150.0, 0.0)),
            Step((300.0, 0.0)),
            Step((300.0, 0.01)),
            Step((300.0, 80.0)),
            Step((0.0, 80.0)),
        ),
    )

    def corners(piece):
        return [p.at for p in blank_of(piece).points if p.kind == "corner"]

    assert len(corners(spoilt)) == len(corners(clean)) == 4


def test_only_an_oblique_fold_has_its_ends_marked():
    """A fold square to the sheet needs one measure, and gets it by its letter."""
    ends = [p.at for p in blank_of(outwards()).points if p.kind == "fold end"]

    assert ends == [(60.0, 80.0), (50.0, 0.0)]


def test_a_fold_that_turns_outwards_is_opened_past_its_finished_angle():
    """220 degrees inside; with 1.5 over it is folded to 221.5, a common one of 90 to 88.5."""
    folds = blank_of(outwards()).folds
    angles = [
        (round(math.degrees(f.inside_angle), 6), round(math.degrees(f.fold_to), 6)) for f in folds
    ]

    assert angles == [(90.0, 88.5), (220.0, 221.5), (150.0, 148.5)]
    assert [f.other_side for f in folds] == [False, True, False]


def test_arcs_keep_centre_and_way_when_turned_over():
    """A ring has one point to mark: its centre."""
    blank = blank_of(ring())

    assert [(p.kind, p.at) for p in blank.points] == [("centre", (115.0, 115.0))]
    assert all(isinstance(s, Arc) and s.left for s in blank.outline)
    assert bounds(blank.outline) == pytest.approx((0.0, 0.0, 230.0, 230.0))


def test_fold_letters_leave_out_what_reads_as_a_figure():
    """No I, no O; after Z comes AA."""
    letters = [letter_of(i) for i in range(50)]

    assert not {"I", "O"} & {c for letter in letters for c in letter}
    assert len(set(letters)) == 50
    assert letters[23:26] == ["Z", "AA", "AB"]


@pytest.mark.parametrize("piece", PIECES, ids=lambda p: p.id)
def test_tiles_cover_the_material_and_none_is_empty(piece):
    """Every corner lies in a tile; each tile's neighbours name it back."""
    blank = blank_of(piece)
    tiling = tiling_of(blank, window_of(A4))
    opposite = {"left": "right", "right": "left", "above": "below", "below": "above"}

    assert all(any(t.cell.holds(segment.a) for t in tiling.tiles) for segment in blank.outline)
    for tile in tiling.tiles:
        for side, other in tiling.neighbours(tile).items():
            assert tiling.neighbours(other)[opposite[side]] == tile
            assert len(set(tiling.marks(tile)) & set(tiling.marks(other))) >= 3
