"""Kerfs, rows, mixed methods, seams of every kind and two boards, folded up again.

Judged by the refolder that shares no code with the program.
"""

import json
import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import zoo
from folding import ACCEPTS, GOAL, check, document_of
from foldwright.errors import CannotMake
from foldwright.flat import pattern_of, patterns_from_json, patterns_to_json
from foldwright.plan import Cutter, FoldAt, FoldWish, SeamAt, SeamWish
from foldwright.shop import boards
from oracle.refolder import judge

CUTTERS = (*zoo.CUTTERS, Cutter("blade", 0.0, 3.2, 3.2))
THIN = boards()["acp-2-0.2"]
OTHERS = (("board2", THIN),)
EDGES = ("front", "back", "left", "right", "top", "bottom")


def pieces_of(part, others=(), **more):
    """Pieces of a part in the zoo's board, with a saw on the list."""
    return pattern_of(part, zoo.BOARD, CUTTERS, others=others, **more).pieces


@pytest.mark.parametrize("kerfs", [2, 3, 5])
def test_a_row_of_kerfs_is_a_fold_for_each_kerf(kerfs):
    """Strips between them lie on no face; the row turns as one fold would."""
    part = zoo.box(
        leave_open=("front", "back"), fold=FoldWish(method="kerf", kerfs=kerfs, pitch=9.0)
    )
    (piece,) = pieces_of(part)
    strips = [panel for panel in piece.panels if not panel.face]

    assert len(piece.folds) == 3 * kerfs
    assert len(strips) == 3 * (kerfs - 1)
    assert {round(math.degrees(fold.turn), 9) for fold in piece.folds} == {90.0 / kerfs}
    check(part, CUTTERS)


@given(part=zoo.random_boxes(), method=st.sampled_from(["kerf", "groove", "open"]))
def test_boxes_with_any_cut_refold(part, method):
    """A kerf, a groove, or a cut that opens."""
    part = replace(part, fold=FoldWish(method=method))
    try:
        check(part, CUTTERS)
    except CannotMake as refused:
        assert any(
            words in str(refused) for words in ("narrower than the setbacks", "no room", "overlaps")
        )


@given(
    part=zoo.random_profiles(),
    methods=st.lists(st.sampled_from(["kerf", "groove", "open", None]), min_size=12, max_size=12),
)
def test_profiles_with_mixed_methods_refold(part, methods):
    """Each edge that folds is asked for its own way."""
    try:
        edges = folded_edges(part)
        part = replace(
            part,
            fold_at=tuple(
                FoldAt(edge, FoldWish(method=method) if method else None)
                for edge, method in zip(edges, methods, strict=False)
            ),
        )
        check(part, CUTTERS)
    except CannotMake as refused:
        allowed = ("narrower than the setbacks", "no room", "forced on", "list", "kerfs")
        assert any(words in str(refused) for words in allowed), refused


def folded_edges(part):
    """Edges that the program would fold by itself."""
    return [fold.panels for piece in pieces_of(part) for fold in piece.folds]


@pytest.mark.parametrize("name", zoo.FOLDED)
@pytest.mark.parametrize("kind", ["lap", "butt"])
def test_the_zoo_refolds_with_laps_and_butts(name, kind):
    """Where the angle allows neither, the seam is a mitre."""
    check(replace(zoo.FOLDED[name], seam=SeamWish(kind)), CUTTERS)


def test_a_lap_says_which_board_covers():
    """The face named lies over; its mate lies under and stops one board short."""
    at = SeamAt(("front", "left"), SeamWish("lap", "left"))
    (piece,) = pieces_of(zoo.box(seam_at=(at,)))
    lapped = {seam.panel: seam for seam in piece.seams if seam.kind.startswith("lap")}

    assert set(lapped) == {"front", "left"}
    assert lapped["left"].kind == "lap over" and lapped["left"].trim == 0.0
    assert lapped["front"].kind == "lap under"
    assert lapped["front"].trim == pytest.approx(zoo.THICKNESS)


def test_a_seam_wished_past_its_angle_is_refused_and_a_general_wish_gives_way():
    """A lap at a re-entrant edge."""
    edge = ("side_3", "side_4")
    bent_in = zoo.profile(zoo.L_CORNERS)
    with pytest.raises(CannotMake, match="cannot be lapped") as refused:
        pieces_of(replace(bent_in, seam_at=(SeamAt(edge, SeamWish("lap")),)))
    general = replace(bent_in, cut_at=(edge,), seam=SeamWish("lap"))
    pattern = pattern_of(general, zoo.BOARD, CUTTERS)

    assert refused.value.field == "seam_at"
    assert any("side_4 to side_3, is mitred" in note for note in pattern.notes)


@given(
    part=st.one_of(zoo.random_boxes(), zoo.random_profiles()),
    picks=st.sets(st.integers(0, 9), min_size=1, max_size=3),
    kind=st.sampled_from(["mitre", "lap", "butt"]),
)
def test_two_boards_meet_in_seams_and_refold(part, picks, kind):
    """Each piece is of one board; no fold joins two."""
    names = [face for face in faces_of(part) if face not in part.leave_open]
    thin = {names[i % len(names)] for i in picks}
    part = replace(
        part,
        face_from=tuple((name, "board2", THIN.thickness) for name in sorted(thin)),
        seam=SeamWish(kind),
    )
    try:
        pieces = pieces_of(part, OTHERS)
        check(part, CUTTERS, OTHERS)
    except CannotMake as refused:
        allowed = ("narrower than the setbacks", "no room", "overlaps", "stand out")
        assert any(words in str(refused) for words in allowed), refused
        return

    for piece in pieces:
        if piece.role:
            continue  # a patch
        own = {panel.face for panel in piece.panels if panel.face} <= thin
        assert (piece.stock, piece.thickness) == (("board2", 2.0) if own else ("board3", 3.0))


def faces_of(part):
    """Names of all faces."""
    return EDGES if part.kind == "box" else ("front", "back", *part.sides)


def test_neighbours_of_the_same_other_board_fold():
    """Two faces of thin board stay joined, with the thin board's setback."""
    part = zoo.box(face_from=(("top", "board2", 2.0), ("front", "board2", 2.0)))
    pieces = pieces_of(part, OTHERS)
    thin = next(piece for piece in pieces if piece.stock == "board2")

    assert {panel.face for panel in thin.panels} == {"top", "front"}
    assert [set(fold.panels) for fold in thin.folds] == [{"top", "front"}]
    assert judge(document_of(part, CUTTERS, OTHERS)).deviation < GOAL


def test_a_fold_forced_between_two_boards_is_refused():
    """Board cannot change in the middle of a fold."""
    part = zoo.box(face_from=(("top", "board2", 2.0),), fold_at=(FoldAt(("top", "front")),))

    with pytest.raises(CannotMake, match="one is board") as refused:
        pieces_of(part, OTHERS)

    assert refused.value.field == "fold_at"


@pytest.mark.parametrize(("grain", "degrees"), [("up", 90.0), ("across", 0.0)])
def test_grain_runs_up_the_largest_face(grain, degrees):
    """Only in stock that has a grain."""
    part = zoo.box(grain=grain)
    (piece,) = pieces_of(part, grained=frozenset({"board3"}))
    (plain,) = pieces_of(part)

    assert math.degrees(piece.grain) == pytest.approx(degrees)
    assert plain.grain is None


def test_role_grain_and_arcs_of_seams_read_back_as_written():
    """The open format keeps what a piece is for, its grain, and the centre of a round seam."""
    (piece,) = pieces_of(zoo.box(grain="across"), grained=frozenset({"board3"}))
    round_seam = replace(piece.seams[0], centre=(3.0, 4.0), left=False)
    piece = replace(piece, role="patch", seams=(round_seam, *piece.seams[1:]))
    text = patterns_to_json("a test build", [piece])
    ACCEPTS.validate(json.loads(text))
    (back,) = patterns_from_json(text)

    assert (back.role, back.grain) == ("patch", piece.grain)
    assert (back.seams[0].centre, back.seams[0].left) == ((3.0, 4.0), False)
