"""Physical: one wording for what no measure can have."""

import math

import pytest

from foldwright.errors import OutOfDomain
from foldwright.shop.physical import require_above_zero, require_between, require_whole


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_what_is_not_above_zero_is_refused(value):
    with pytest.raises(OutOfDomain, match="The wall is .* mm; it has to be above 0") as refused:
        require_above_zero(value, "the wall", name="wall")

    assert refused.value.name == "wall"


@pytest.mark.parametrize("value", [1e-12, 1.0, 1e12])
def test_what_is_above_zero_passes(value):
    require_above_zero(value, "the wall", name="wall")


def test_angles_are_refused_in_degrees():
    with pytest.raises(OutOfDomain, match="The cut is 91 deg; it has to be 0 to 90 deg"):
        require_between(math.radians(91), 0.0, math.pi / 2, "the cut", name="cut", unit="deg")


def test_a_range_may_be_open():
    with pytest.raises(OutOfDomain, match="it has to be at least 0"):
        require_between(-1.0, 0.0, math.inf, "the kerf", name="kerf")
    with pytest.raises(OutOfDomain, match="it has to be a number"):
        require_between(math.nan, -math.inf, math.inf, "the place", name="at")
    require_between(-1e9, -math.inf, math.inf, "the place", name="at")


def test_both_ends_of_a_range_are_allowed():
    require_between(0.0, 0.0, 1.0, "the share", name="share")
    require_between(1.0, 0.0, 1.0, "the share", name="share")


@pytest.mark.parametrize("value", [2.0, 3.5, math.nan, math.inf, 73.0])
def test_a_count_is_whole_and_within_its_limits(value):
    with pytest.raises(OutOfDomain, match="whole number, 3 to 72"):
        require_whole(value, 3, "the count", name="count", most=72)


def test_a_whole_number_comes_back_as_one():
    assert require_whole(12.0, 3, "the count", name="count") == 12
    assert isinstance(require_whole(12.0, 3, "the count", name="count"), int)
