"""What grooves leave of a narrow face at full thickness."""

import math

import pytest

import zoo
from folding import check
from foldwright.flat import pattern_of
from foldwright.flat.lands import past_the_zone
from foldwright.plan import FoldWish

# A groove 2.2 mm deep by a 90 degree cutter, floor 2 mm: mouth 2 + 2 x 2.2 = 6.4 mm.
FOLD = FoldWish(method="groove", web=0.8, floor=2.0, cutter=math.radians(90.0))


def channel(web_width):
    """A channel whose bottom is so wide, its flanges folded up 90 degrees."""
    return zoo.box(
        web_width, 300.0, 80.0, leave_open=("top", "front", "back"), fold=FOLD, name="channel"
    )


def lands(part):
    """Notes on faces without a land."""
    return [n for n in pattern_of(part, zoo.BOARD, zoo.CUTTERS).notes if "no flat left" in n]


@pytest.mark.parametrize(("beside", "is_named"), [(-0.01, True), (0.01, False)])
def test_a_facet_narrower_than_its_two_mouths_is_named(beside, is_named):
    """Each fold takes setback 1.44 and the mouth's 2.2 mm past the zone, at both edges.

    Setback at 90 degrees: (g/theta + (1 - k) w) tan(45 degrees), k by the skins of the board.
    """
    setback = zoo.choose_section(
        zoo.BOARD, math.pi / 2.0, zoo.FoldRequest("groove", 0.8, 2.0, math.pi / 2.0), zoo.SET_UPS
    ).setback
    part = channel(2.0 * (setback + 2.2) + beside)

    assert setback == pytest.approx(2.0 / (math.pi / 2.0) + (1.0 - 0.7884615) * 0.8, abs=1e-6)
    assert bool(lands(part)) == is_named
    check(part)


def test_the_words_name_face_and_folds():
    """So that the maker knows what to cut apart."""
    (note,) = lands(channel(7.0))

    assert '"bottom"' in note and "inside" in note
    assert "left" in note and "right" in note and "cut_at" in note


def test_a_mouth_reaches_as_far_past_its_zone_as_the_cutter_slants():
    """2.2 mm deep at 45 degrees a side; a saw's walls are square."""
    blade = (zoo.SetUp("blade", 0.0, 3.2, 3.2),)
    groove = zoo.choose_section(
        zoo.BOARD, math.pi / 2.0, zoo.FoldRequest("groove", 0.8, 2.0, math.pi / 2.0), zoo.SET_UPS
    )
    kerf = zoo.choose_section(zoo.BOARD, 0.3, zoo.FoldRequest("kerf"), blade)

    assert past_the_zone(groove, zoo.BOARD) == pytest.approx(2.2)
    assert past_the_zone(kerf, zoo.BOARD) == 0.0
