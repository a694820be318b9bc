"""What each stage still leaves free, over the desk of every meet and the zoo."""

import pytest

import zoo
from every_meet import every_meet, made_of
from foldwright.errors import UnknownName
from foldwright.fit import can_change, freedoms
from foldwright.ledger import STAGES
from foldwright.plan import Parameter, Plate
from round_parts import angle, battery, hood, plug


@pytest.fixture(scope="module")
def parts():
    """Parts of the desk."""
    return made_of(every_meet()).parts


def all_of(part, stage, how):
    """Whether every parameter is left in one way."""
    return set(freedoms(part, stage).values()) == {how}


@pytest.mark.parametrize("stage", ["planned", "marked"])
def test_before_it_is_cut_all_can_be_drawn_anew(parts, stage):
    for part in parts.values():
        assert can_change(part, stage) == {p.name for p in part.parameters}


@pytest.mark.parametrize("stage", STAGES[2:])
def test_once_cut_nothing_can_be_drawn_anew(parts, stage):
    for part in parts.values():
        assert not can_change(part, stage)


@pytest.mark.parametrize("stage", ["joined", "finished"])
def test_what_is_joined_or_painted_is_cut_no_more(parts, stage):
    for part in parts.values():
        assert all_of(part, stage, "fixed")


def test_a_box_that_is_cut_can_be_trimmed_all_round():
    assert all_of(zoo.box(), "cut", "smaller")


@pytest.mark.parametrize("stage", ["grooved", "folded", "closed"])
def test_grooves_fix_all_of_a_box_but_the_rim_at_its_mouth(stage):
    """A box open at the top can be trimmed there; its width and depth lie between folds."""
    box = zoo.box(leave_open=("top",))

    assert freedoms(box, stage) == {"width": "fixed", "depth": "fixed", "height": "smaller"}


def test_a_closed_box_has_no_rim_to_trim():
    assert all_of(zoo.box(), "grooved", "fixed")


def test_closing_fixes_the_girth_of_a_drum_and_leaves_its_ends(parts):
    drum = parts["drum"]

    assert freedoms(drum, "folded") == {"outside_d": "smaller", "length": "smaller"}
    assert freedoms(drum, "closed") == {"outside_d": "fixed", "length": "smaller"}


def test_a_hole_can_only_grow():
    """A ring is trimmed outside and opened inside."""
    sizes = {"diameter": 200.0, "bore": 80.0}
    parameters = tuple(Parameter(name, value, 2.0, 1.0) for name, value in sizes.items())
    ring = Plate(
        name="ring",
        stock="board3",
        thickness=3.0,
        parameters=parameters,
        **{name: zoo.length(name) for name in sizes},
    )

    assert freedoms(ring, "cut") == {"diameter": "smaller", "bore": "larger"}


def test_the_hole_of_a_plug_can_only_grow(parts):
    assert freedoms(plug(), "cut") == {
        "diameter": "smaller", "length": "smaller", "bolt_d": "larger",
    }  # fmt: skip


def test_each_leg_of_an_angle_ends_in_a_free_edge():
    assert all_of(angle(), "folded", "smaller")


def test_to_trim_a_cone_changes_two_dims_at_once():
    assert all_of(hood(), "cut", "fixed")


def test_what_places_a_hole_is_fixed_from_the_cut_on():
    """The feet of the desk are drilled where their own width says."""
    text = "at = [80, 15], grid"
    plan = every_meet((text, 'at = [80, "desk_w / 26.6666"], grid'))

    assert freedoms(plan.parts["foot"], "cut")["desk_w"] == "fixed"


def test_what_is_bought_is_as_it_is():
    assert all_of(battery(), "planned", "fixed")


def test_a_stage_that_there_is_not_is_refused():
    with pytest.raises(UnknownName, match="Did you mean cut"):
        freedoms(zoo.box(), "cutt")
