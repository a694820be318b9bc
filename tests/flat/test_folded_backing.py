"""Backing strips: behind every seam, against the boards, clear of everything else."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

import zoo
from folding import GOAL, parsed
from foldwright.errors import CannotMake
from foldwright.flat import pattern_of, refolded
from foldwright.plan import Backing, SeamWish
from foldwright.shape import solid
from foldwright.shop import boards
from oracle.refolder import judge

THIN = boards()["acp-2-0.2"]
OTHERS = (("board2", THIN),)


def strips_of(part):
    """Backing strips of a part, its pattern, and its solid."""
    pattern = pattern_of(part, zoo.BOARD, zoo.CUTTERS, others=OTHERS)
    strips = [piece for piece in pattern.pieces if piece.role.startswith("backing strip")]
    return strips, pattern, solid(part)


def skins(piece, panel):
    """Corners of the outside and of the inside of a panel, in space, folded up."""
    motion = refolded(piece)[panel.id]
    return [
        np.array([(*p, z, 1.0) for p in panel.flat]) @ motion[:3].T for z in (0.0, -piece.thickness)
    ]


def slabs(piece):
    """Corners of all panels in space, on both sides."""
    return np.concatenate([skin for panel in piece.panels for skin in skins(piece, panel)])


def height(corners, body, face):
    """Height over a face of corners that all lie as high as one another [mm]."""
    heights = (corners - body.corners(face)[0]) @ body.normal(face)
    assert np.ptp(heights) < GOAL
    return heights.mean()


def test_a_box_gets_a_strip_for_every_seam():
    """Seven seams, seven angles of 15 by 15 in the thin board, at right angles."""
    strips, _, _ = strips_of(zoo.box(backing=Backing("board2", 30.0)))

    assert [strip.role for strip in strips] != []
    assert len(strips) == 7
    assert {strip.stock for strip in strips} == {"board2"}
    for strip in strips:
        (fold,) = strip.folds
        assert math.degrees(fold.turn) == pytest.approx(90.0)
        legs = [Polygon(panel.flat).area for panel in strip.panels]
        assert legs[0] == pytest.approx(legs[1])


def test_strips_end_short_of_the_walls_across_them_and_of_longer_strips():
    """A 220 mm seam of 3 mm board takes 220 - 2 (3 + 1); shorter ones keep off its legs."""
    part = zoo.box(160.0, 220.0, 90.0, backing=Backing("board2", 30.0))
    strips, pattern, _ = strips_of(part)
    lengths = sorted({round(max(s.to[0] for s in strip.outline), 6) for strip in strips})

    assert lengths[-1] in (220.0 - 2 * 4.0, 160.0 - 2 * 4.0)
    # One that runs into a leg at an end stops at board, leg and a millimetre.
    assert {90.0 - 2 * (3 + 15 + 1), 90.0 - (3 + 15 + 1) - 4.0} & set(lengths)
    assert not [note for note in pattern.notes if "no room" in note]


@given(
    part=st.one_of(zoo.random_boxes(), zoo.random_profiles()),
    width=st.floats(16.0, 40.0),
    kind=st.sampled_from(["mitre", "butt"]),
)
def test_strips_lie_against_the_boards_and_inside_the_part(part, width, kind):
    """Their backs on the inside planes of both faces; nothing reaches into a board beside them."""
    part = type(part)(**{**vars(part), "backing": Backing("board2", width), "seam": SeamWish(kind)})
    try:
        strips, pattern, body = strips_of(part)
    except CannotMake:
        return
    by_letter = {
        seam.letter: {seam.panel, pattern_mate(pattern, seam)}
        for piece in pattern.pieces
        for seam in piece.seams
    }
    for strip in strips:
        faces = by_letter[strip.role.rsplit(" ", 1)[1]]
        behind = {panel.id.removeprefix("behind "): panel for panel in strip.panels}
        assert behind.keys() & faces
        for name in behind.keys() & faces:
            face = body.face(name)
            # A strip wraps round a re-entrant seam with its inside on the boards.
            on = max(height(corners, body, face) for corners in skins(strip, behind[name]))
            assert on == pytest.approx(-zoo.THICKNESS, abs=GOAL)
        ends_of(body, faces, slabs(strip))

    verdict = judge(parsed(pattern.pieces))
    assert verdict.deviation < GOAL, verdict.worst


def ends_of(body, faces, corners):
    """Hold a strip to stay inside of the faces that end its seam."""
    shared = set.intersection(*({*body.face(name).loop} for name in faces))
    for face in body.made_faces():
        touching = shared & {*face.loop}
        if face.name in faces or not touching or len(shared) != 2:
            continue
        (vertex,) = touching if len(touching) == 1 else (None,)
        if vertex is None:
            continue
        (other,) = shared - {vertex}
        normal, at = body.normal(face), np.array(body.vertices[vertex])
        along = np.array(body.vertices[other]) - at
        if normal @ along < -1e-6 * np.linalg.norm(along):
            assert ((corners - at) @ normal).max() < -zoo.THICKNESS - 0.999


def pattern_mate(pattern, seam):
    """Panel on the other side of a seam."""
    mate = next(piece for piece in pattern.pieces if piece.id == seam.mate[0])
    return mate.seams[seam.mate[1]].panel


def test_strips_of_one_part_do_not_run_into_one_another():
    """The planes of the legs: on a shared face, no two legs overlap."""
    for part in (zoo.box(), zoo.profile(zoo.HANDED_CORNERS)):
        part = replace(part, backing=Backing("board2", 30.0))
        strips, _, body = strips_of(part)
        for face in body.made_faces():
            on_face = []
            frame = np.linalg.svd(body.corners(face) - body.corners(face)[0])[2][:2]
            for strip in strips:
                motions = refolded(strip)
                for panel in strip.panels:
                    flat = np.array([(*p, 0.0, 1.0) for p in panel.flat])
                    corners = flat @ motions[panel.id][:3].T
                    heights = (corners - body.corners(face)[0]) @ body.normal(face)
                    if np.abs(heights + zoo.THICKNESS).max() < GOAL:
                        on_face.append(Polygon(corners @ frame.T))
            for one, other in itertools.combinations(on_face, 2):
                assert one.intersection(other).area < 1e-6, face.name


def test_a_re_entrant_seam_gets_a_strip_that_wraps_round_it():
    """Its inside lies on the boards, so its legs are longer by what the board adds."""
    part = zoo.profile(
        zoo.L_CORNERS, cut_at=(("side_3", "side_4"),), backing=Backing("board2", 30.0)
    )
    strips, pattern, body = strips_of(part)
    letter = next(
        seam.letter
        for piece in pattern.pieces
        for seam in piece.seams
        if {seam.panel, pattern_mate(pattern, seam)} == {"side_3", "side_4"}
    )
    strip = next(s for s in strips if s.role.endswith(f" {letter}"))
    (fold,) = strip.folds

    assert math.degrees(fold.turn) == pytest.approx(90.0)
    for panel in strip.panels:
        face = body.face(panel.id.removeprefix("behind "))
        outside, inside = (height(skin, body, face) for skin in skins(strip, panel))
        assert outside == pytest.approx(-5.0, abs=GOAL)
        assert inside == pytest.approx(-3.0, abs=GOAL)
