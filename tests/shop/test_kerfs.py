"""Kerfs and rows of them, against the chain that they fold into."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from foldwright.errors import OutOfDomain
from foldwright.shop import FoldRequest, SetUp, boards, choose_section

ACP = boards()["acp-4-0.5"]
SAW = SetUp("blade", 0.0, 3.2, 3.2)
V90 = SetUp("v90", math.radians(90), 2.0, 12.0)


def kerf(turn_deg, set_ups=(V90, SAW), **request):
    """Section of a kerfed fold in 4 mm skinned board."""
    return choose_section(
        ACP, math.radians(turn_deg), FoldRequest(method="kerf", **request), set_ups
    )


def rotated(point, centre, angle):
    """Point turned about a centre, anticlockwise."""
    cos, sin = math.cos(angle), math.sin(angle)
    x, y = point - centre
    return centre + np.array([cos * x - sin * y, sin * x + cos * y])


def folded_chain(section, thickness):
    """Outside skin of a row as it folds: where it starts and ends, and which way it goes on.

    Starts at (-setback, 0), the inside below. The web of a kerf from inside lies
    on the outside skin, from outside on the inside skin; each zone turns about
    the centre of its arc, and a strip goes straight on to the next.
    """
    turn, r, w = section.turn_each, section.inner_radius, section.web
    low, high = (-w, 0.0) if section.cut_side == "inside" else (-thickness, w - thickness)
    height = low - r if turn > 0.0 else high + r
    at, heading = np.array([-section.setback, 0.0]), 0.0
    middle = []
    for i in range(section.kerfs):
        up = np.array([-math.sin(heading), math.cos(heading)])
        centre = at + height * up
        middle.append(rotated(at, centre, -turn / 2.0))
        at, heading = rotated(at, centre, -turn), heading - turn
        if i + 1 < section.kerfs:
            strip = section.pitch - section.zone_width
            ahead = np.array([math.cos(heading), math.sin(heading)])
            middle.append(at + strip / 2.0 * ahead)
            at = at + strip * ahead
    return at, heading, middle[len(middle) // 2]


@given(
    turn=st.floats(20, 150),
    sign=st.sampled_from([1, -1]),
    kerfs=st.integers(1, 12),
    pitch=st.floats(4.0, 20.0),
)
def test_a_row_ends_on_the_face_it_folds_to(turn, sign, kerfs, pitch):
    """Its far end lies one setback from the mould line, along the far face."""
    try:
        section = kerf(sign * turn, kerfs=kerfs, pitch=pitch)
    except OutOfDomain:
        assume(False)
    end, heading, middle = folded_chain(section, ACP.thickness)
    far = np.array([math.cos(-section.turn), math.sin(-section.turn)])
    # The bisector points from the mould line to the inside of a convex fold.
    into = rotated(far, np.zeros(2), section.turn / 2 - math.pi / 2)

    assert heading == pytest.approx(-section.turn, abs=1e-12)
    assert np.allclose(end, section.setback * far, atol=1e-9)
    assert abs(float(middle @ into)) == pytest.approx(section.corner_loss, abs=1e-9)


@given(turn=st.floats(5, 170), sign=st.sampled_from([1, -1]))
def test_each_kerf_stays_open_where_it_is_held(turn, sign):
    """It shuts at g/(h + k w), at least a degree beyond its share of the turn."""
    section = kerf(sign * turn)
    depth = ACP.thickness - section.web

    assert section.cutter == 0.0 and section.method == "kerf"
    assert section.shuts_at == pytest.approx(
        section.floor / (depth + section.k * section.web), abs=1e-9
    )
    assert section.shuts_at >= abs(section.turn_each) + section.over_fold + math.radians(1.0)
    assert section.zone_width == pytest.approx(
        abs(section.turn_each) * (section.inner_radius + section.k * section.web), rel=1e-12
    )


def test_a_turn_too_sharp_for_one_kerf_is_shared_by_the_fewest_that_make_it():
    """One kerf shuts near 51 degrees; 90 takes two."""
    assert kerf(30).kerfs == 1
    assert kerf(90).kerfs == 2
    with pytest.raises(OutOfDomain, match=r"with 1 kerfs: a 3\.2 mm kerf shuts at"):
        kerf(90, kerfs=1)


@given(turn=st.floats(30, 150), radius=st.floats(25.0, 120.0))
def test_a_row_follows_the_round_it_is_asked_for(turn, radius):
    """Its chords touch the round, its corners stand off it by half a millimetre at most."""
    section = kerf(turn, radius=radius)
    outside = radius + ACP.thickness
    one = kerf(turn / section.kerfs, kerfs=1)
    chord = section.pitch - section.zone_width + 2.0 * one.setback
    tangent = outside * math.tan(section.turn / 2.0)
    first = tangent - outside * math.tan(section.turn_each / 2.0)

    assert chord / (2.0 * math.tan(section.turn_each / 2.0)) == pytest.approx(outside, rel=1e-9)
    assert section.setback - one.setback == pytest.approx(first, rel=1e-9)
    assert outside / math.cos(section.turn_each / 2.0) - outside <= 0.5 + 1e-9


def test_a_round_too_tight_for_its_kerfs_is_refused():
    """Strips of nothing cannot be left standing."""
    with pytest.raises(OutOfDomain, match="run into one another") as refused:
        kerf(90, radius=2.0, kerfs=8)

    assert refused.value.name == "fold.radius"


def test_a_kerf_without_a_saw_says_which_tool_to_add():
    """A saw is a cutter of no angle."""
    with pytest.raises(OutOfDomain, match="angle_deg = 0"):
        kerf(30, set_ups=(V90,))


@pytest.mark.parametrize("kerfs", [0, -1, 61])
def test_no_row_of_none_or_hundreds(kerfs):
    """One to sixty."""
    with pytest.raises(OutOfDomain, match="1 to 60"):
        kerf(30, kerfs=kerfs)
