"""Clearances of every kind of meet against numbers worked by hand."""

import math

import pytest

from every_meet import every_meet, made_of
from foldwright.errors import CannotMake, PlanFaults
from foldwright.fit import clearances_of
from foldwright.shop import PROCESSES, matters, plan_press_plug
from foldwright.shop.press_plugs import FILING

SKIN = 3.0 + 2 * 0.1  # a board with its paint on both faces
BOLT = "bolt_d = 6\n"
POSTS = 'parts = ["left_post", "right_post"]'


def found(kind, *changes, moved=(), boards=True):
    """Clearances of the first meet of a kind; `moved` are (part, name, by)."""
    made = made_of(every_meet(*changes))
    values = {name: part.values() for name, part in made.parts.items()}
    for part, name, by in moved:
        values[part][name] = values[part].get(name, 0.0) + by
    meet = next(m for m in made.plan.meets if m.kind == kind)
    given = made.boards if boards else {}
    return clearances_of(meet, made.plan.parts, values, made.frames, given)


def values_of(clearances):
    """Their values, rounded to what tests tell apart."""
    return [round(c.value, 6) for c in clearances]


def refused(kind, *changes):
    """What is said of a meet that cannot be."""
    with pytest.raises(CannotMake) as error:
        found(kind, *changes)
    return str(error.value)


def foot_pitch(pitch):
    """Change of the pitch of the foot's holes."""
    return (
        "at = [80, 15], grid = [2, 1], pitch = [100, 20]",
        f"at = [80, 15], grid = [2, 1], pitch = [{pitch}, 20]",
    )


def test_a_desk_of_400_rests_on_a_base_of_440():
    """20 all round."""
    assert values_of(found("rests-on")) == [20.0, 20.0]


def test_an_overhang_is_what_the_upper_part_stands_out():
    """The base laid on the desk: the same 20, said the other way round."""
    swapped = (
        'upper = "desk"\nlower = "base"\nmargin',
        'upper = "base"\nlower = "desk.bottom"\noverhang',
    )
    clearances = found("rests-on", swapped)

    assert values_of(clearances) == [20.0, 20.0]
    assert {(c.what, c.low, c.high) for c in clearances} == {("overhang", 15.0, 25.0)}


def test_a_lid_counts_its_boards_and_both_finishes():
    """Inside of the lid 408 - 2 boards and 4 coats, less the desk over its paint, halved."""
    expected = (408.0 - 2 * SKIN - 400.0) / 2

    assert values_of(found("slides-into")) == pytest.approx([expected, (268 - 2 * SKIN - 260) / 2])


def test_a_plug_is_judged_by_both_diameters():
    """26.15 less the bore of a tube of 30 with a wall of 2."""
    (fit,) = found("presses-into")

    assert fit.value == pytest.approx(0.15)
    assert (fit.low, fit.high) == (0.08, 0.22)


def test_a_press_fit_that_leaves_it_to_the_shop_gets_the_aim_in_the_middle():
    """As `plan_press_plug` aims, two deviations of filing to either side at most."""
    (fit,) = found("presses-into", ("interference = [0.08, 0.22]\n", ""))
    alu = matters()["al-6060-T66"]
    plan = plan_press_plug(26.0, 2.0, 25.0, tube=alu, plug=alu, jaws_low=0.0)

    assert (fit.low + fit.high) / 2 == pytest.approx(plan.over_bore)
    assert plan.loss < fit.low < fit.high <= plan.over_bore + 2 * FILING + 1e-9


def test_a_press_fit_of_unknown_stuff_has_to_say_its_interference():
    with pytest.raises(CannotMake, match="Write interference"):
        found("presses-into", ("interference = [0.08, 0.22]\n", ""), boards=False)


def test_three_tills_drop_between_the_walls_of_the_desk():
    """400 less two boards with their paint, less three of 130."""
    (gap,) = found("drops-between")

    assert gap.value == pytest.approx(400 - 2 * SKIN - 3 * 130)
    assert gap.dims == ("desk.width", "till-1.width", "till-2.width", "till-3.width")


def test_a_row_may_lie_along_the_depth():
    """One till between front and back: 260 - 2 * 3.2 - 100."""
    one = ('inner = ["till-1", "till-2", "till-3"]', 'inner = "till-1"')
    walls = ('walls = ["left", "right"]', 'walls = ["front", "back"]')
    (gap,) = found("drops-between", one, walls)

    assert gap.value == pytest.approx(260 - 2 * SKIN - 100)


def test_walls_have_to_face_each_other():
    walls = ('walls = ["left", "right"]', 'walls = ["left", "back"]')

    assert "do not face each other" in refused("drops-between", walls)


def test_a_floppy_desk_gives_where_its_walls_are_pushed():
    """Twice alpha P a^2 / D for a wall of 260 by 200: alpha of b/a = 1.3 is 0.0142."""
    stiff_tills = ("height = 80\nflexible = true", "height = 80")
    floppy_desk = ("height = 200\n", "height = 200\nflexible = true\n")
    (stiff,) = found("drops-between", stiff_tills)
    (floppy,) = found("drops-between", stiff_tills, floppy_desk)
    rigidity = 69_000.0 * (3.0**3 - 2.4**3) / (12 * (1 - 0.33**2))

    assert stiff.pulled == 0.0
    assert floppy.value == stiff.value
    assert floppy.pulled == pytest.approx(2 * 0.0142 * 20.0 * 200.0**2 / rigidity, rel=0.05)


def test_a_push_squeezes_all_of_a_row_and_pulls_none_of_it_wide():
    """Three floppy tills, each with two walls of 100 by 80."""
    (gap,) = found("drops-between")
    rigidity = 69_000.0 * (2.0**3 - 1.6**3) / (12 * (1 - 0.33**2))
    pull = 3 * 2 * 0.0138 * 20.0 * 80.0**2 / rigidity

    assert gap.pulled == pytest.approx(pull, rel=0.05)
    assert (gap.low, gap.high) == pytest.approx((2.0 - gap.pulled, 5.0))


def test_what_is_not_known_to_be_floppy_gives_nothing():
    """Without the boards nobody knows how stiff a panel is."""
    (gap,) = found("drops-between", boards=False)

    assert (gap.pulled, gap.low, gap.high) == (0.0, 2.0, 5.0)


def test_a_floppy_lid_is_pulled_level_as_far_as_a_small_force_goes():
    """Its top of 408 by 268: alpha of b/a = 1.52 is 0.0154."""
    lid = ('height = "lid_h"\n', 'height = "lid_h"\nflexible = true\n')
    rigidity = 69_000.0 * (3.0**3 - 2.4**3) / (12 * (1 - 0.33**2))
    pull = 0.0154 * 20.0 * 268.0**2 / rigidity
    at_front, _ = found("level-with", lid)

    assert at_front.pulled == pytest.approx(pull, rel=0.05)
    assert (at_front.low, at_front.high) == pytest.approx((-0.5 - pull, 0.5 + pull), rel=0.02)


def test_two_holes_in_line_ask_for_one_number():
    """Play of a 6 mm bolt in two holes of 6.4; each hole drilled by hand, 0.4 along the line.

    The two strays of each of two parts, shared by two holes: sqrt(2) 0.4 / sqrt(2).
    """
    (apart,) = found("bolts-to")

    assert apart.value == pytest.approx(0.0)
    assert (apart.low, apart.high) == pytest.approx((-0.4, 0.4))
    assert apart.own == pytest.approx(PROCESSES["hole"].scatter)


def test_holes_that_lie_further_apart_miss_by_half_of_it_each():
    """A foot with a pitch of 100.6 on a base with 100."""
    (apart,) = found("bolts-to", foot_pitch(100.6))

    assert abs(apart.value) == pytest.approx(0.3)


def test_holes_drawn_apart_by_more_than_their_play_are_refused():
    assert "1.0 mm apart as drawn" in refused("bolts-to", foot_pitch(102))


def test_a_tapped_part_gives_no_play():
    """Half of 6.4 less 6."""
    (apart,) = found("bolts-to", (BOLT, BOLT + 'tapped = "outer"\n'))

    assert apart.high == pytest.approx(0.2)


def test_a_part_that_is_held_counts_where_it_stands():
    """Both holes, both ways, each with a square as large as the circle of its play."""
    clearances = found("bolts-to", (BOLT, BOLT + "shifts = false\n"))

    assert len(clearances) == 4
    assert all(c.high == pytest.approx(0.4 * math.sqrt(math.pi) / 2) for c in clearances)
    assert all(c.own == pytest.approx(0.4 * math.sqrt(2)) for c in clearances)


def test_a_part_that_is_held_may_miss_by_its_place():
    held = (BOLT, BOLT + "shifts = false\n")
    place = ("at = [120, 25]", "at = [120.3, 25.2]")
    values = values_of(found("bolts-to", held, place))

    assert values == pytest.approx([0.3, 0.2, 0.3, 0.2])


def test_a_part_that_shifts_does_not_miss_by_its_place_or_a_small_turn():
    turned = ("at = [120, 25] }", "at = [121, 24], rotate_deg = 0.2 }")
    clearances = found("bolts-to", turned)

    assert values_of(clearances) == pytest.approx([0.0], abs=1e-3)


def test_what_is_drilled_in_place_cannot_miss():
    drilled = (
        "pitch = [100, 20], d = 6.4 },",
        "pitch = [100, 20], d = 6.4, drilled_in_place = true },",
    )

    assert found("bolts-to", drilled) == ()


def test_one_bolt_alone_finds_its_hole():
    """A foot with a single hole is moved until its bolt goes in, unless it is held."""
    foot, base = (
        (f"at = [{at}], grid = [2, 1]", f"at = [{at}], grid = [1, 1]")
        for at in ("80, 15", "200, 40")
    )
    held = (BOLT, BOLT + "shifts = false\n")

    assert found("bolts-to", foot, base) == ()
    assert len(found("bolts-to", foot, base, held)) == 2


def test_a_bolt_has_to_go_through():
    assert "does not go through" in refused("bolts-to", (BOLT, "bolt_d = 6.5\n"))


def test_faces_that_do_not_lie_on_one_another_are_not_bolted():
    upright = ('outer = "base"\nouter_holes = ["foot holes"]', 'outer = "wall"')
    wall = (
        "[part.drum]",
        '[part.wall]\nkind = "box"\nfrom = "board3"\nwidth = 200\ndepth = 50\nheight = 90\n'
        'bolts = [{ on = "front", at = [100, 40], grid = [2, 1], pitch = [100, 20], d = 6.4 }]\n\n'
        "[part.drum]",
    )

    assert "not lie on one another" in refused("bolts-to", upright, wall)


def test_a_band_closes_at_the_girth_of_its_middle():
    """A drum of 180, a band 2 thick with paint under it: pi (180 + 2 * 0.1 + 2) - 571."""
    (gap,) = found("wraps")

    assert gap.value == pytest.approx(math.pi * (180 + 2 * 0.1 + 2.0) - 571)


def test_a_lap_is_what_is_over():
    """A band of 592 laps by what the one of 571 was short of, and 21 more."""
    longer = ("length = 571", "length = 592")
    (lap,) = found("wraps", longer, ("gap = [0, 2]", "lap = [18, 22]"))

    assert lap.value == pytest.approx(592 - math.pi * 182.2)


def test_a_drum_goes_round_what_is_smaller_than_its_bore():
    """The drum as a sleeve on one of 174: pi times its bore, 180 - 2 (2 + 0.1 + 0.1), less 174."""
    core = (
        "[part.band]",
        '[part.core]\nkind = "drum"\nfrom = "board2"\noutside_d = 174\nlength = 50\n\n[part.band]',
    )
    sleeve = ('sheet = "band"\nround = "drum"', 'sheet = "drum"\nround = "core"')
    (gap,) = found("wraps", core, sleeve)

    assert gap.value == pytest.approx(math.pi * (180 - 2 * 2.2 - 174))


def test_sheet_round_a_box_is_refused():
    with pytest.raises(PlanFaults, match="no girth"):
        every_meet(('round = "drum"', 'round = "desk"'))


def test_posts_and_lid_are_level_as_drawn():
    """A lid 60 high lifted 160 over the base, and a post of 220 beside it: both 220 up."""
    assert values_of(found("level-with")) == [0.0, 0.0]


def test_a_taller_post_stands_above_the_lid():
    assert values_of(found("level-with", moved=[("left_post", "height", 0.4)])) == [0.4, 0.4]


def test_what_stands_on_another_moves_with_it():
    """The lid stands on the base; a lid 1 higher makes the post stand 1 below."""
    assert values_of(found("level-with", moved=[("lid", "height", 1.0)])) == [-1.0, -1.0]


def test_a_lid_that_is_higher_at_the_back_steps_at_the_back():
    """Half the tilt either way at its ends; the post reaches from 4 to 44 of its 268."""
    tilt = 2.0
    at_front, at_back = values_of(found("level-with", moved=[("lid", "~tilt_back", tilt)]))

    assert at_front == pytest.approx(-tilt * (4 / 268 - 0.5))
    assert at_back == pytest.approx(-tilt * (44 / 268 - 0.5))


def test_round_walls_are_level_by_half_their_diameters():
    """A drum of 180 over one of 179."""
    other = (
        "[part.band]",
        '[part.core]\nkind = "drum"\nfrom = "board2"\noutside_d = 179\nlength = 50\n\n[part.band]',
    )
    walls = ('faces = ["left_post.top", "lid.top"]', 'faces = ["drum.wall", "core.wall"]')
    (step,) = found("level-with", other, walls)

    assert step.value == pytest.approx(0.5)


def test_a_reveal_is_the_gap_between_two_faces():
    """The post ends at 15, the lid begins at 16."""
    mean, taper = found("reveal")

    assert (mean.value, taper.value) == pytest.approx((1.0, 0.0))
    assert (taper.low, taper.high) == (-0.5, 0.5)


def test_a_leaning_lid_makes_a_wedge_of_the_reveal():
    """Its top 0.6 to the right: 0.6 wider at the top, half of it in the mean."""
    mean, taper = found("reveal", moved=[("lid", "~lean_right", 0.6)])

    assert (mean.value, taper.value) == pytest.approx((1.3, 0.6))
    assert taper.across == "from bottom to top"


def test_faces_that_turn_away_have_no_reveal():
    turned = ('faces = ["left_post.right", "lid.left"]', 'faces = ["left_post.left", "lid.left"]')

    assert "do not face one another" in refused("reveal", turned)


def test_faces_past_one_another_have_no_reveal():
    assert "not stand opposite" in refused("reveal", ("at = [-25, 20]", "at = [-25, 400]"))


def test_parts_that_stand_in_one_another_have_no_reveal():
    assert "stand in one another" in refused("reveal", ("at = [-25, 20]", "at = [-20, 20]"))


def test_an_upright_box_is_plumb_as_drawn():
    """1 mm in 1 m over 200."""
    (lean,) = found("plumb")

    assert lean.value == pytest.approx(0.0)
    assert (lean.low, lean.high) == pytest.approx((-0.2, 0.2))


def test_a_box_whose_top_stands_back_leans_in_at_the_front():
    (lean,) = found("plumb", moved=[("desk", "~lean_back", 0.3)])

    assert lean.value == pytest.approx(-0.3)
    assert lean.dims == ("desk.plumb_back",)


def test_a_level_face_has_no_plumb():
    assert "leans 90.0 degrees" in refused("plumb", ('face = "desk.front"', 'face = "desk.bottom"'))


def test_a_pair_is_compared_in_all_that_shows():
    moved = [("left_post", "width", 0.4), ("right_post", "height", 1.5)]
    differ = {c.across: c.value for c in found("pair", moved=moved)}

    assert differ == pytest.approx(
        {"in the width": 0.4, "in the depth": 0.0, "in the height": -1.5}
    )


def test_a_pair_drawn_unlike_is_refused():
    unlike = (
        'height = "200 + lid_h - 40"\nplace = { at = [425',
        "height = 230\nplace = { at = [425",
    )

    assert "differ by 10.0 mm in their height" in refused("pair", unlike)


def test_a_pair_may_be_compared_in_some_dims_alone():
    some = (
        'parts = ["left_post", "right_post"]',
        'parts = ["left_post", "right_post"]\ndims = ["depth"]',
    )

    assert [c.across for c in found("pair", some)] == ["in the depth"]


def test_a_dim_that_there_is_not_offers_the_nearest():
    some = (
        'parts = ["left_post", "right_post"]',
        'parts = ["left_post", "right_post"]\ndims = ["widht"]',
    )

    assert "Did you mean width" in refused("pair", some)


def test_a_stack_runs_through_several_parts():
    """80 + 2 * 100 - (200 - 3.2): the open top leaves one board and its paint."""
    (stack,) = found("relation")

    assert stack.value == pytest.approx(80 + 2 * 100 - (200 - SKIN))
    assert stack.slopes == pytest.approx(
        {"till-1/height": 1.0, "leg-2/length": 2.0, "desk/height": -1.0}
    )


def test_a_relation_of_a_dim_that_there_is_not_offers_the_nearest():
    assert "Did you mean height" in refused("relation", ("till-1.height", "till-1.hight"))


def test_a_relation_without_a_value_says_so_with_the_names_of_the_maker():
    text = (
        "till-1.height + 2*leg-2.length - desk.inside_height",
        "sqrt(till-1.height - desk.width)",
    )
    said = refused("relation", text)

    assert "till-1.height - desk.width" in said
    assert "dim_" not in said


def test_a_meet_that_cannot_be_is_a_fault_on_its_own_line():
    """The relation is the last table; tables before it stand for several meets."""
    made = made_of(every_meet(("till-1.height", "till-1.hight")))
    with pytest.raises(PlanFaults) as error:
        made.require()
    (fault,) = error.value.faults

    assert made.plan.source[fault.line :][0].startswith('name = "stack under the lid"')
    assert "Did you mean height" in str(fault)
