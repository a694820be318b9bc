"""Patterns: nets, seams, relief, refolding, refusal."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely import Polygon

from foldwright.errors import CannotMake
from foldwright.flat import pattern_of, patterns_from_json, patterns_to_json
from foldwright.flat.refold import deviation
from foldwright.plan import (
    Box,
    Cutter,
    Drum,
    FoldAt,
    FoldWish,
    Formula,
    Length,
    Parameter,
    Plate,
    Profile,
)
from foldwright.shape import solid
from foldwright.shop import boards

CUTTERS = (
    Cutter("v90", math.radians(90), 2.0, 12.0),
    Cutter("v120", math.radians(120), 2.0, 12.0),
)
ACP = boards()["acp-3-0.3"]


def length(text):
    """Length over parameter names."""
    return Length(Formula.parse(text))


def box(width=160.0, depth=220.0, height=90.0, **more):
    """A box with its three parameters."""
    values = {"width": width, "depth": depth, "height": height}
    return Box(
        name="box",
        stock="board",
        thickness=3.0,
        parameters=tuple(Parameter(n, v, 2.0, 1.0) for n, v in values.items()),
        width=length("width"),
        depth=length("depth"),
        height=length("height"),
        **more,
    )


def profile(corners, depth=200.0, **more):
    """A profile with literal corners."""
    return Profile(
        name="profile",
        stock="board",
        thickness=3.0,
        parameters=(Parameter("depth", depth, 2.0, 1.0),),
        outline=tuple((length(repr(float(x))), length(repr(float(z)))) for x, z in corners),
        sides=tuple(f"side_{i}" for i in range(len(corners))),
        depth=length("depth"),
        **more,
    )


L_SHAPE = [(0, 0), (300, 0), (300, 260), (60, 260), (60, 200), (0, 110)]


def test_a_closed_box_is_one_piece_with_five_folds():
    """Six faces, a tree of five folds, seven seams seen from both sides."""
    (piece,) = pattern_of(box(), ACP, CUTTERS).pieces

    assert len(piece.folds) == 5
    assert len(piece.seams) == 14
    assert piece.deviation < 1e-9


def test_the_net_of_a_box_has_the_shortest_seam():
    """Edges 160, 220, 90, four of each; the seven shortest that leave a tree are seams."""
    (piece,) = pattern_of(box(), ACP, CUTTERS).pieces
    folded = sum(math.dist(f.a, f.b) for f in piece.folds)
    # The tree of greatest length: by hand, three 220s, one 160, and one more 160.
    assert folded == pytest.approx(3 * 220 + 2 * 160, abs=20.0)


def test_a_blank_is_shorter_by_the_deduction_of_each_fold():
    """Four walls round an open-ended box: 2 (160 + 90) less three deductions."""
    part = box(leave_open=("front", "back"), fold=FoldWish(web=0.8, floor=2.0))
    (piece,) = pattern_of(part, ACP, CUTTERS).pieces
    across = sorted(
        max(p[i] for s in piece.outline for p in [s.to]) - min(s.to[i] for s in piece.outline)
        for i in (0, 1)
    )
    s = 2.0 / (math.pi / 2) + (1 - 0.7884615) * 0.8
    deduction = 2 * s * math.tan(math.pi / 4) - 2.0

    assert across == pytest.approx([220.0, 2 * (160 + 90) - 3 * deduction], abs=1e-4)


def test_two_opposite_faces_alone_are_two_pieces():
    """Nothing joins them."""
    part = box(leave_open=("front", "back", "left", "right"))

    assert len(pattern_of(part, ACP, CUTTERS).pieces) == 2


def test_a_re_entrant_fold_is_cut_open_from_the_inside():
    """So that it does not show; everything is then marked on one side."""
    (piece,) = pattern_of(profile(L_SHAPE, leave_open=("side_0",)), ACP, CUTTERS).pieces
    inwards = [fold for fold in piece.folds if fold.turn < 0]

    assert [fold.method for fold in inwards] == ["open"]
    assert {fold.cut_side for fold in piece.folds} == {"inside"}
    assert piece.marked_side == "inside"


def test_seams_past_180_degrees_have_the_larger_inside_skin():
    """The blank takes both skins in: it stands out past the mould line there."""
    part = profile(L_SHAPE, cut_at=(("side_3", "side_4"),))
    (piece,) = pattern_of(part, ACP, CUTTERS).pieces
    proud = [seam for seam in piece.seams if seam.trim_inside < 0]

    assert len(proud) == 2
    outline = Polygon([step.to for step in piece.outline])
    for seam in proud:
        along = np.subtract(seam.b, seam.a) / math.dist(seam.a, seam.b)
        middle = (
            np.add(seam.a, seam.b) / 2 + np.array([along[1], -along[0]]) * -seam.trim_inside / 2
        )

        assert outline.contains_properly(Polygon([*(middle + d for d in 0.01 * np.eye(2)), middle]))


def test_relief_holes_clear_the_crossing_of_two_zones():
    """Centre at the crossing of the zone middles, radius g / (2 sin(beta/2)) or more."""
    (piece,) = pattern_of(box(leave_open=("bottom",)), ACP, CUTTERS).pieces
    holes = [mark for mark in piece.marks if mark.kind == "drill"]

    assert holes
    for hole in holes:
        near = sum(
            any(math.dist(p, hole.at) <= hole.d / 2 + 1e-9 for p in fold.zone)
            for fold in piece.folds
        )
        assert hole.d >= 2.0 / math.sin(math.pi / 4) - 1e-9
        assert near >= 2


def test_the_outline_is_made_of_panels_and_zones():
    """Areas add up, so nothing overlaps and nothing is missing."""
    (piece,) = pattern_of(profile(L_SHAPE, leave_open=("side_0",)), ACP, CUTTERS).pieces
    outline = Polygon([step.to for step in piece.outline])
    parts = [Polygon(p.flat) for p in piece.panels] + [Polygon(f.zone) for f in piece.folds]

    assert outline.is_valid and outline.exterior.is_ccw
    assert outline.area == pytest.approx(sum(p.area for p in parts), rel=1e-3)


def test_refolding_sees_a_wrong_pattern():
    """A bend zone a millimetre too wide puts its panel half a millimetre or more off."""
    part = box()
    pieces = pattern_of(part, ACP, CUTTERS).pieces
    fold = pieces[0].folds[0]
    spoilt = replace(
        pieces[0],
        folds=(replace(fold, zone_width=fold.zone_width + 1.0), *pieces[0].folds[1:]),
    )

    assert deviation(pieces, solid(part)) < 1e-9
    assert deviation([spoilt], solid(part)) > 0.4


@pytest.mark.parametrize(
    ("spoil", "least"),
    [
        (lambda f: replace(f, turn=-f.turn), 10.0),
        (lambda f: replace(f, inner_radius=f.inner_radius + 0.1), 0.04),
        (lambda f: replace(f, cut_side="outside"), 1.0),
    ],
)
def test_refolding_sees_each_number_of_a_fold(spoil, least):
    """Turn, radius and cut side all matter."""
    part = box()
    (piece,) = pattern_of(part, ACP, CUTTERS).pieces
    spoilt = replace(piece, folds=(spoil(piece.folds[0]), *piece.folds[1:]))

    assert deviation([spoilt], solid(part)) > least


def test_a_face_narrower_than_its_setbacks_names_its_folds():
    """A 3 mm chamfer between two grooved folds leaves nothing flat."""
    chamfered = [(0, 0), (200, 0), (200, 97), (197, 100), (0, 100)]
    part = profile(chamfered, leave_open=("front", "back"))
    part = replace(
        part,
        fold_at=(FoldAt(("side_1", "side_2")), FoldAt(("side_2", "side_3"))),
        fold=FoldWish(floor=8.0),
    )

    with pytest.raises(CannotMake, match="narrower than the setbacks") as refused:
        pattern_of(part, ACP, CUTTERS)

    assert "side_2" in str(refused.value)


def test_forced_edges_are_obeyed():
    """One edge folds because it must, one is cut because it must."""
    part = box(fold_at=(FoldAt(("front", "left")),), cut_at=(("top", "front"),))
    (piece,) = pattern_of(part, ACP, CUTTERS).pieces
    folds = [set(fold.panels) for fold in piece.folds]

    assert {"front", "left"} in folds
    assert {"top", "front"} not in folds


def test_folds_forced_into_a_ring_are_refused():
    """Four walls cannot all stay joined in the flat."""
    ring = (("top", "left"), ("left", "bottom"), ("bottom", "right"), ("right", "top"))

    with pytest.raises(CannotMake, match="close a ring"):
        pattern_of(box(fold_at=tuple(FoldAt(edge) for edge in ring)), ACP, CUTTERS)


def test_a_drum_blank_is_as_long_as_its_neutral_line():
    """pi (D - t) by the length asked for."""
    part = Drum(
        name="drum",
        stock="board",
        thickness=2.0,
        parameters=(Parameter("outside_d", 220.0, 2, 1), Parameter("length", 310.0, 2, 1)),
        outside_d=length("outside_d"),
        length=length("length"),
    )
    (piece,) = pattern_of(part, boards()["acp-2-0.2"], CUTTERS).pieces

    assert piece.outline[2].to == pytest.approx((math.pi * 218.0, 310.0), abs=1e-9)
    assert piece.deviation < 1e-9


def test_a_disc_keeps_its_arcs():
    """Two half circles and, for the bore, two the other way round."""
    part = Plate(
        name="ring",
        stock="board",
        thickness=3.0,
        parameters=(Parameter("diameter", 230.0, 2, 1), Parameter("bore", 100.0, 2, 1)),
        diameter=length("diameter"),
        bore=length("bore"),
    )
    (piece,) = pattern_of(part, ACP, CUTTERS).pieces

    assert all(step.centre == (0.0, 0.0) and step.left for step in piece.outline)
    assert all(not step.left for step in piece.cutouts[0].path)


def test_patterns_read_back_as_written():
    """The open format loses nothing but rounding of angles."""
    pieces = pattern_of(profile(L_SHAPE), ACP, CUTTERS).pieces
    (back,) = patterns_from_json(patterns_to_json("test", pieces))

    assert back.outline == pieces[0].outline
    assert back.panels == pieces[0].panels
    assert deviation([back], solid(profile(L_SHAPE))) < 1e-9


def test_an_unchanged_part_is_not_worked_out_again():
    """Kept by content."""
    assert pattern_of(box(), ACP, CUTTERS) is pattern_of(box(), ACP, CUTTERS)


@pytest.mark.parametrize(
    "part",
    [
        box(width=300.0, depth=100.0, height=4.0),
        profile([(0, 0), (100, 0), (100, 5), (5, 5), (5, 60), (0, 60)], depth=80.0),
    ],
    ids=["shallow box", "thin legs"],
)
def test_a_part_without_room_for_its_boards_is_refused(part):
    """Two walls of 3 mm need more than 6 mm."""
    with pytest.raises(CannotMake, match="no room inside"):
        pattern_of(part, ACP, CUTTERS)


def test_a_facet_narrower_than_two_setbacks_is_refused_wherever_its_seams_fall():
    """2.12 mm wide, setbacks of 1.13 on either side; 2.4 mm is enough."""

    def corners(cut):
        return [(0, 0), (200, 0), (200, 100), (200 - cut, 100 + cut), (0, 100 + cut)]

    with pytest.raises(CannotMake, match="narrower than the setbacks"):
        pattern_of(profile(corners(1.5), depth=150.0), ACP, CUTTERS)
    assert pattern_of(profile(corners(1.7), depth=150.0), ACP, CUTTERS).pieces


def test_a_feather_edge_is_said():
    """A 20 degree corner has an inside bevel of 3 / tan 10 degrees."""
    wedge = [(0, 0), (300, 0), (0, 300 * math.tan(math.radians(20)))]
    part = profile(wedge, cut_at=(("side_0", "side_1"),))
    notes = pattern_of(part, ACP, CUTTERS).notes

    assert any("feather edge" in note and "17.0 mm" in note for note in notes)
