"""What sound [[meet]] tables become."""

import pytest

from every_meet import every_meet
from foldwright.plan import MEETS, End

POSTS = 'parts = ["left_post", "right_post"]'
FORMULA = "till-1.height + 2*leg-2.length - desk.inside_height"


def one(kind, *changes):
    """Return the first meet of a kind."""
    return next(m for m in every_meet(*changes).meets if m.kind == kind)


def test_every_kind_is_read():
    assert {meet.kind for meet in every_meet().meets} == set(MEETS)


def test_meets_without_a_name_are_called_by_what_they_do():
    names = {meet.kind: meet.name for meet in reversed(every_meet().meets)}

    assert names["presses-into"] == "leg_plug-1 pressed into leg-1"
    assert names["drops-between"] == "till-1, till-2 and till-3 between the walls of desk"
    assert names["wraps"] == "band round drum"
    assert names["plumb"] == "desk stands plumb"
    assert names["relation"] == "stack under the lid"


def test_what_the_maker_leaves_out_is_common_practice():
    """Step 0.5, even within 0.5, plumb 1 mm in 1 m, a pair within 1."""
    assert one("level-with").range_of("step") == (-0.5, 0.5)
    assert one("reveal").range_of("even") == (-0.5, 0.5)
    assert one("plumb").range_of("lean") == (-1.0, 1.0)
    assert one("pair").range_of("within") == (-1.0, 1.0)


def test_what_is_off_either_way_is_one_number_or_a_range():
    assert one("pair", (POSTS, f"{POSTS}\nwithin = 2")).range_of("within") == (-2.0, 2.0)
    assert one("pair", (POSTS, f"{POSTS}\nwithin = [0, 2]")).range_of("within") == (0.0, 2.0)
    assert one("pair", (POSTS, f'{POSTS}\nwithin = "1/16 in"')).range_of("within") == (
        pytest.approx((-1.5875, 1.5875))
    )


def test_a_press_fit_may_leave_its_interference_to_the_shop():
    assert one("presses-into", ("interference = [0.08, 0.22]\n", "")).wanted == ()


def test_copies_meet_by_their_number():
    found = [m.parts for m in every_meet().meets if m.kind == "presses-into"]

    assert found == [("leg_plug-1", "leg-1"), ("leg_plug-2", "leg-2")]


def test_meets_of_one_table_stand_at_one_place_of_the_plan():
    plan = every_meet()
    keys = [m.key for m in plan.meets if m.kind == "presses-into"]

    assert keys == ["meet.2", "meet.2"]
    assert plan.source[plan.lines["meet.2"] - 1] == "[[meet]]"


def test_copies_in_a_formula_go_by_their_number_too():
    """The formula names two families of two: one relation for each number."""
    found = [
        m for m in every_meet((FORMULA, "leg.length + leg_plug.length")).meets
        if m.kind == "relation"
    ]  # fmt: skip

    assert [m.parts for m in found] == [("leg-1", "leg_plug-1"), ("leg-2", "leg_plug-2")]


@pytest.mark.parametrize(
    ("formula", "dims"),
    [
        ("lid.width-desk.width", ["lid.width", "desk.width"]),
        ("leg-1.length-leg-2.length", ["leg-1.length", "leg-2.length"]),
        ("2*(lid.width - 3)/lid.depth", ["lid.width", "lid.depth"]),
        ("tub.side-1_length - 2", ["tub.side-1_length"]),
        ("tub.side-2_length-tub.side-3_length", ["tub.side-2_length", "tub.side-3_length"]),
        ("max(lid.width, desk.width)", ["lid.width", "desk.width"]),
        ("lid.width - lid.width/2", ["lid.width"]),
    ],
)
def test_dims_in_a_formula_keep_the_strokes_in_their_names(formula, dims):
    """A stroke belongs to the name of a copy or of a side; any other takes away."""
    tub = (
        "[part.band]",
        '[part.tub]\nkind = "profile"\nfrom = "board3"\noutline = [[0, 0], [90, 0], [90, 60], '
        '[0, 60]]\ndepth = 80\n\n[part.band]',
    )  # fmt: skip
    meet = one("relation", tub, (FORMULA, formula))

    assert [f"{part}.{dim}" for _, part, dim in meet.names] == dims


def test_a_formula_is_worked_out_as_it_is_written():
    meet = one("relation", (FORMULA, "2*lid.width-desk.width/4"))
    names = {f"{part}.{dim}": name for name, part, dim in meet.names}
    values = {names["lid.width"]: 408.0, names["desk.width"]: 400.0}

    assert meet.formula.value(values) == 2 * 408 - 100


def test_a_pair_of_copies_is_each_with_each():
    found = [m.parts for m in every_meet((POSTS, 'parts = "till"')).meets if m.kind == "pair"]

    assert found == [("till-1", "till-2"), ("till-1", "till-3"), ("till-2", "till-3")]


def test_holes_are_found_on_the_face_they_lie_in():
    meet = one("bolts-to")

    assert meet.ends == (End("foot", "top", ("holes",)), End("base", "top", ("foot holes",)))


def test_a_plug_takes_the_thread():
    plug = (
        'inner = "foot"\nouter = "base"\nouter_holes = ["foot holes"]\nbolt_d = 6',
        'inner = "leg_plug-1"\nouter = "base"\nouter_holes = ["foot holes"]\nbolt_d = 6',
    )
    meet = one("bolts-to", plug)

    assert meet.tapped == "leg_plug-1"
    assert meet.ends[0] == End("leg_plug-1", "bottom", ())


def test_gaps_are_never_scaled():
    scaled = every_meet(('name = "Chart desk"', 'name = "Chart desk"\nscale = 1.05'))

    assert [m.wanted for m in scaled.meets] == [m.wanted for m in every_meet().meets]


def test_flexible_is_the_opposite_of_stiff():
    plan = every_meet()

    assert plan.parts["till-1"].is_flexible
    assert not plan.parts["desk"].is_flexible
    assert plan.parts["drum"].is_flexible
