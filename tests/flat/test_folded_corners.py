"""Corners that stay open where folds meet."""

import math
from dataclasses import replace

import numpy as np
import pytest

import zoo
from folding import GOAL, check
from foldwright.flat import pattern_of
from foldwright.plan import FoldWish
from foldwright.shape import solid
from foldwright.shop import boards

SHEET = boards()["al-5005-H24"].of_thickness(1.5)


def bent_box(radius, **more):
    """A box of 1.5 mm sheet, all its folds bent to one radius."""
    part = zoo.box(fold=FoldWish(method="bend", radius=radius, k=0.4), **more)
    return replace(part, thickness=1.5)


def test_a_corner_of_a_grooved_box_wants_a_little_filler():
    """Setback 1.44 each way: the corners of the panels come within 2.5 mm of each other.

    The panel between both folds ends at (s, s), the others at s below the corner: s sqrt(3).
    """
    part = zoo.box(fold=FoldWish(web=0.8, floor=2.0))
    pattern = pattern_of(part, zoo.BOARD, zoo.CUTTERS)
    (note,) = [note for note in pattern.notes if "stay open" in note]
    s = 2.0 / (math.pi / 2) + (1 - 0.7884615) * 0.8

    assert f"up to {s * math.sqrt(3):.1f} mm" in note
    assert "fill, about 0.0" in note
    assert all(not piece.role for piece in pattern.pieces)


def test_wide_corners_of_a_bent_box_get_a_patch_that_touches_three_walls():
    """Each corner of the patch lies on the inside of two walls."""
    part = bent_box(10.0, leave_open=("bottom",))
    pattern = pattern_of(part, SHEET, ())
    patches = [piece for piece in pattern.pieces if piece.role.startswith("patch, corner of ")]
    body = solid(part)

    assert patches
    assert sum("glue its patch in" in note for note in pattern.notes) == len(patches)
    for piece in patches:
        (panel,) = piece.panels
        names = piece.role.removeprefix("patch, corner of ").replace(" and ", ", ").split(", ")
        flat = np.array([(*p, 0.0, 1.0) for p in panel.flat])
        corners = flat @ np.array(panel.space).T
        heights = np.array(
            [
                (corners - body.corners(body.face(name))[0]) @ body.normal(body.face(name))
                for name in names
            ]
        )

        assert len(names) == 3
        assert (heights < -1.5 + GOAL).all()
        assert (np.abs(heights + 1.5) < GOAL).sum(axis=0).tolist() == [2, 2, 2]


def test_a_part_whose_folds_never_meet_has_no_open_corner():
    """Four walls round open ends."""
    pattern = pattern_of(zoo.box(leave_open=("front", "back")), zoo.BOARD, zoo.CUTTERS)

    assert not [note for note in pattern.notes if "stay" in note]


@pytest.mark.parametrize("radius", [1.5, 6.0, 10.0])
def test_bent_boxes_refold(radius):
    """Patches and all."""
    check(bent_box(radius), cutters=(), board=SHEET)
