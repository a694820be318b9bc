"""Tight rounds: sawn as a row of kerfs where the board does not curl so tightly."""

import math

import numpy as np
import pytest

import zoo
from folding import GOAL, document_of
from foldwright.flat import pattern_of
from foldwright.plan import Cutter, FoldAt, SeamWish
from foldwright.shape import solid
from oracle.refolder import judge

SAW = Cutter("blade", 0.0, 2.2, 6.0)
CUTTERS = (*zoo.CUTTERS, SAW)
RADIUS = 20.0


def tray(radius=RADIUS, rounds=(2, 3), **more):
    return zoo.profile(
        [(0, 0), (220, 0), (220, 60), (0, 60)],
        180.0,
        sides=("mouth", "right", "floor", "left"),
        rounds=tuple(zoo.length(radius) if i in rounds else None for i in range(4)),
        **{"leave_open": ("mouth",)} | more,
    )


def notes_of(part, cutters=CUTTERS):
    return "\n".join(pattern_of(part, zoo.BOARD, cutters).notes)


@pytest.mark.parametrize("seam", ["mitre", "lap", "butt"])
def test_a_tight_round_refolds_as_a_row_of_kerfs(seam):
    document = document_of(tray(seam=SeamWish(seam)), CUTTERS)
    (piece,) = document["pieces"]
    verdict = judge(document)

    assert verdict.deviation < GOAL, verdict.worst
    assert not piece["curved"]
    assert sum(fold["method"] == "kerf" for fold in piece["folds"]) >= 6


def test_a_gentle_round_is_still_curled():
    """15 thicknesses inside and a little."""
    document = document_of(tray(radius=49.0), CUTTERS)

    assert sum(len(piece["curved"]) for piece in document["pieces"]) == 2
    assert "Curl" in notes_of(tray(radius=49.0))


def test_without_a_saw_it_is_curled_and_the_wrinkles_are_said():
    assert "may wrinkle" in notes_of(tray(), zoo.CUTTERS)


def test_a_round_the_plan_speaks_of_stays_as_it_is():
    wished = tray(fold_at=(FoldAt(("right", "right~floor")),))

    assert "Curl right~floor" in notes_of(wished)


def test_the_note_says_why_and_how_far_off_the_round():
    said = notes_of(tray())

    assert "too tight to curl" in said
    assert "mm off the round" in said


def test_four_rounds_in_a_ring_leave_one_to_curl():
    """A ring of forced folds could not be laid flat."""
    sleeve = tray(rounds=(0, 1, 2, 3), leave_open=("front", "back"))
    document = document_of(sleeve, CUTTERS)

    assert judge(document).deviation < GOAL
    assert sum(len(piece["curved"]) for piece in document["pieces"]) == 1


def test_every_edge_of_the_row_stands_within_half_a_millimetre_of_the_round():
    """Strips put in space by their own folds; distance of their mould lines from the axis."""
    part = tray()
    document = document_of(part, CUTTERS)
    (piece,) = document["pieces"]
    cylinder = solid(part).face("right~floor").cylinder
    origin, axis = np.array(cylinder.origin), np.array(cylinder.axis)
    strips = [p for p in piece["panels"] if not p["face"] and "right" in p["id"]]

    assert strips
    for strip in strips:
        motion = np.array(strip["space"])
        flat = np.array([(x, y, 0.0, 1.0) for x, y in strip["flat"]])
        arms = flat @ motion.T - origin
        off = np.linalg.norm(np.cross(arms, axis), axis=1) - cylinder.radius

        assert np.abs(off).max() < 0.5


def test_end_faces_keep_their_true_arcs():
    """Two at each end, mitred: as wide as the round on the outside."""
    (piece,) = document_of(tray(), CUTTERS)["pieces"]
    arcs = [step for step in piece["outline"] if "centre" in step]

    assert len(arcs) == 4
    for step in arcs:
        assert math.dist(step["to"], step["centre"]) == pytest.approx(RADIUS, abs=1e-9)
