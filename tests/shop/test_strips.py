"""Test strips, against strips that were folded on paper with a k that is known."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import FoldRequest, SetUp, boards, choose_section
from foldwright.shop.bends import folded_hot, scored
from foldwright.shop.strips import StripErrors, k_from_strip

ACP = boards()["acp-3-0.3"]
SHEET = boards()["al-1050A-H14"]
V90 = SetUp("v90", math.radians(90), 2.0, 12.0)


def legs_of(section, flat):
    """Two equal outside legs that a flat of this length folds to."""
    leg = (flat + section.deduction) / 2.0
    return flat, leg, leg


@given(k=st.floats(0.02, 0.98), turn=st.floats(30.0, 110.0), web=st.floats(0.5, 1.5))
def test_a_grooved_strip_gives_back_its_k(k, turn, web):
    """For any web and turn that the floor has room for."""
    floor = 6.0
    request = FoldRequest(method="groove", web=web, floor=floor, k=k)
    section = choose_section(ACP, math.radians(turn), request, (V90,))

    found, spread = k_from_strip(
        ACP, math.radians(turn), *legs_of(section, 100.0), web=web, floor=floor
    )
    assert section.floor == floor
    assert found == approx(k, abs=1e-9)
    assert spread > 0.0


@given(k=st.floats(0.25, 0.5), turn=st.floats(10.0, 150.0), radius=st.floats(1.5, 20.0))
def test_a_bent_strip_gives_back_its_k(k, turn, radius):
    """The section of a plan's bend and the strip are each other's inverse."""
    sheet = SHEET.of_thickness(1.5)
    request = FoldRequest(method="bend", radius=radius, k=k)
    section = choose_section(sheet, math.radians(turn), request, ())

    found, _ = k_from_strip(
        sheet, math.radians(turn), *legs_of(section, 200.0), method="bend", radius=radius
    )
    assert found == approx(k, abs=1e-9)


@pytest.mark.parametrize("way", ["open", "kerf", "score", "hot"])
def test_every_way_of_folding_has_its_strip(way):
    """Cuts that open, saw kerfs, scores and hot folds."""
    turn, k = math.radians(40.0), 0.4
    sheet = ACP if way in ("open", "kerf") else SHEET.of_thickness(1.5)
    request = FoldRequest(method=way, k=k)
    if way == "hot":
        section = folded_hot(sheet, turn, request)
    elif way == "score":
        section = scored(sheet, turn, request)
    else:
        set_up = SetUp("cutter", 0.0, 3.2, 12.0)
        section = choose_section(sheet, turn, request, (set_up,))
    measures = {
        "open": {"floor": section.floor},
        "kerf": {"floor": section.floor},
        "score": {},
        "hot": {"radius": section.inner_radius},
    }[way]

    found, _ = k_from_strip(sheet, turn, *legs_of(section, 90.0), method=way, **measures)
    assert found == approx(k, abs=1e-9)


def test_a_strip_worked_by_hand():
    """90 degrees, r 2, t 1, flat 100 and legs 51.8: 3.6 longer.

    2 (r + t) - pi/2 (r + K t) = 3.6 makes K = (6 - 3.6)/(pi/2) - 2 = -0.47, which is
    no bend; with legs of 51.10 it is (6 - 2.2)/(pi/2) - 2 = 0.42.
    """
    sheet = SHEET.of_thickness(1.0)
    k, _ = k_from_strip(sheet, math.pi / 2.0, 100.0, 51.10, 51.10, method="bend", radius=2.0)

    assert k == approx((6.0 - 2.2) / (math.pi / 2.0) - 2.0, abs=1e-9)
    with pytest.raises(OutOfDomain, match="Measure again"):
        k_from_strip(sheet, math.pi / 2.0, 100.0, 51.8, 51.8, method="bend", radius=2.0)


def test_the_spread_is_that_of_strips_measured_again_and_again():
    """500 strips with errors drawn: the scatter of k is what was foretold, within 3 sigma."""
    draw = random.Random(20)
    errors = StripErrors(length=0.1, angle=math.radians(0.3), floor=0.05, web=0.03, thickness=0.02)
    turn, web, floor = math.radians(90.0), 0.8, 2.0
    section = choose_section(ACP, turn, FoldRequest(web=web, floor=floor, k=0.5), (V90,))
    true = legs_of(section, 100.0)
    _, foretold = k_from_strip(ACP, turn, *true, web=web, floor=floor, errors=errors)
    found = []
    for _ in range(500):
        read = [length + draw.gauss(0.0, errors.length) for length in true]
        k, _ = k_from_strip(
            ACP.of_thickness(3.0 + draw.gauss(0.0, errors.thickness)),
            turn + draw.gauss(0.0, errors.angle),
            *read,
            web=web + draw.gauss(0.0, errors.web),
            floor=floor + draw.gauss(0.0, errors.floor),
            errors=errors,
        )
        found.append(k)
    mean = math.fsum(found) / len(found)
    scatter = math.sqrt(math.fsum((k - mean) ** 2 for k in found) / len(found))

    assert mean == approx(0.5, abs=3.0 * foretold / math.sqrt(500))
    assert scatter == approx(foretold, rel=3.0 / math.sqrt(2.0 * 500))


def test_more_strips_make_the_lengths_surer_and_nothing_else():
    """Four strips halve what the lengths add."""
    only_lengths = StripErrors(angle=0.0, radius=0.0, floor=0.0, web=0.0, thickness=0.0)
    strip = (ACP, math.radians(90.0), 100.0, 50.44, 50.44)

    def spread(count, errors):
        return k_from_strip(*strip, web=0.8, floor=2.0, strips=count, errors=errors)[1]

    assert spread(4, only_lengths) == approx(spread(1, only_lengths) / 2.0)
    assert spread(100, StripErrors()) > 2.0 * spread(100, only_lengths)


def test_a_k_a_little_outside_is_drawn_to_the_edge():
    """Within two spreads it is an error of reading, and no neutral line lies outside."""
    section = choose_section(
        ACP, math.radians(90.0), FoldRequest(web=0.8, floor=2.0, k=1.0), (V90,)
    )
    leg = (100.0 + section.deduction - 0.1) / 2.0
    k, _ = k_from_strip(ACP, math.radians(90.0), 100.0, leg, leg, web=0.8, floor=2.0)

    assert k == 1.0


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"flat": 0.0}, "flat"),
        ({"flat": math.nan}, "flat"),
        ({"leg_1": -50.0}, "leg_1"),
        ({"leg_2": math.inf}, "leg_2"),
        ({"turn": 0.0}, "turn"),
        ({"turn": math.pi}, "turn"),
        ({"floor": None}, "floor"),
        ({"floor": 0.0}, "floor"),
        ({"web": 0.2}, "fold.web"),
        ({"method": "rolled"}, "method"),
        ({"method": "bend"}, "radius"),
        ({"strips": 0}, "strips"),
        ({"leg_1": 60.0}, "flat"),
        ({"flat": 103.0}, "flat"),
    ],
)
def test_readings_that_no_strip_has_are_refused(change, name):
    """The refusal names the reading."""
    good = {
        "turn": math.radians(90.0),
        "flat": 100.0,
        "leg_1": 50.44,
        "leg_2": 50.44,
        "web": 0.8,
        "floor": 2.0,
    }
    with pytest.raises(OutOfDomain) as refused:
        k_from_strip(ACP, **(good | change))

    assert refused.value.name == name
