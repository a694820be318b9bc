"""What a sound plan becomes: sizes, parameters, lengths, meets."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.plan import Dual, FoldAt, Formula, Length, Parameter, Placement, fault_at, read_plan
from foldwright.plan.dual import number, slopes
from foldwright.plan.outline import signed_area
from foldwright.shop import thicknesses
from plan.plans import EXAMPLE, SMALL, THICKNESSES, THIN_LAMP, changed, read


@pytest.fixture(scope="module")
def lamp():
    """A thin signal lamp of six parts."""
    return read_plan(THIN_LAMP, THICKNESSES)


def values_of(outline, part):
    """Corners as drawn."""
    return [(x.value(part.values()), y.value(part.values())) for x, y in outline]


def test_the_example_reads_clean():
    plan = read_plan(EXAMPLE, thicknesses())

    assert plan.parts and plan.meets


def test_a_lamp_reads_clean(lamp):
    assert list(lamp.parts) == ["base", "pedestal", "lid", "lamp", "lamp_cap", "cap_top"]
    assert [p.kind for p in lamp.parts.values()] == [
        "plate", "profile", "box", "drum", "drum", "plate",
    ]  # fmt: skip
    assert [m.name for m in lamp.meets] == [
        "pedestal on base",
        "pedestal into lid",
        "lamp_cap into lamp",
        "cap_top on lamp_cap",
    ]
    assert (lamp.name, lamp.units, lamp.scale) == ("Harbour signal lamp", "mm", 1.0)


def test_the_lamp_has_the_dims_that_its_maker_reckons(lamp):
    """By hand, with the air that the file gives: 240 + 6, 420 + 6, 220 - 4, 220."""
    found = re.findall(r'"\w+ [+-] (?:2\*thickness [+-] )?([\d.]+)"\n', THIN_LAMP.read_text())
    over, behind, air, rim = map(float, found)
    lid, cap, top = lamp.parts["lid"], lamp.parts["lamp_cap"], lamp.parts["cap_top"]

    assert lid.values() == approx({"width": 246 + over, "depth": 426 + behind, "height": 45})
    assert cap.values() == approx({"outside_d": 216.0 - air, "length": 60.0})
    assert top.values() == approx({"diameter": 220.0 + rim})


def test_the_outline_of_the_lamp_stands_where_its_corners_say(lamp):
    pedestal = lamp.parts["pedestal"]

    assert values_of(pedestal.outline, pedestal) == [
        (0, 0), (300, 0), (300, 260), (60, 260), (60, 200), (0, 110),
    ]  # fmt: skip
    assert pedestal.sides == ("bottom", "rear", "top", "brow", "slope", "face")
    assert pedestal.place == Placement("base", "top", (20.0, 20.0))


def test_a_range_is_kept_by_the_word_that_the_maker_writes(lamp):
    assert lamp.meets[0].wanted == (("margin", (15.0, 25.0)),)
    assert lamp.meets[3].wanted == (("overhang", (3.0, 12.0)),)


def test_lines_and_source_lead_later_rooms_to_the_place(lamp):
    fault = fault_at(lamp, "cannot-make", "part.lamp.former", "Too wide.", "Take another.")

    assert fault.text == 'former = "pipe114"'
    assert THIN_LAMP.read_text().split("\n")[fault.line - 1] == fault.text
    missing = fault_at(lamp, "cannot-make", "part.lamp.fold.floor", "a", "b")
    assert missing.text == "[part.lamp]"


def test_a_part_hashes_by_what_it_holds():
    one, same, other = (
        read(text).parts["gable"] for text in (SMALL, SMALL, changed(("160", "161")))
    )

    assert hash(one) == hash(same) and one == same
    assert one != other


def test_the_rule_for_literals_is_one_per_cent_between_1_and_4():
    """The rule for literals: give 1 %, at least 1, at most 4 mm."""
    lid = read(changed(("height = 45", "height = 250"), ("depth = 200", "depth = 900"))).parts[
        "lid"
    ]
    by_name = {p.name: p.give for p in lid.parameters}

    assert by_name == {"width": 3.0, "depth": 4.0, "height": 2.5}
    assert read(SMALL).parts["lamp"].parameters[1].give == approx(3.1)
    assert read(changed(("height = 45", "height = 9"))).parts["lid"].parameters[2].give == 1.0


def test_a_field_that_is_a_size_has_its_give_and_trust():
    assert read(SMALL).parts["lamp"].parameters[0] == Parameter("outside_d", 220.0, 3.0, 1.0)


def test_a_formula_adds_gives_as_independent_errors():
    """Width = lamp_d/2 + 2 lid_w: hypot(0.5 * 3, 2 * 3) and hypot(0.5 * 1, 2 * 0.75)."""
    lid = read(changed(('"lid_w"\ndepth', '"lamp_d/2 + 2*lid_w"\ndepth'))).parts["lid"]

    assert lid.parameters[0].value == 710.0
    assert lid.parameters[0].give == approx(math.hypot(1.5, 6.0))
    assert lid.parameters[0].trust == approx(math.hypot(0.5, 1.5))


def test_the_trust_of_a_size_that_is_a_formula_comes_from_its_sizes():
    plan = read(changed(("lid_w = 300", 'lid_w = "2*lamp_d - 140"')))

    assert plan.sizes["lid_w"].plan == 300.0
    assert plan.sizes["lid_w"].trust == 2.0
    assert plan.sizes["lid_w"].give == 3.0


def test_only_the_board_in_a_formula_counts_as_a_literal():
    lid = read(changed(("height = 45", 'height = "9*thickness"'))).parts["lid"]

    assert lid.parameters[2] == Parameter("height", 27.0, 1.0, 0.25)


def test_an_outline_shares_its_literals_by_axis_and_leaves_0_alone():
    gable = read(SMALL).parts["gable"]

    assert [p.name for p in gable.parameters] == ["lid_w", "z 80", "x 100", "z 160", "depth"]
    assert gable.outline[2][1] == gable.outline[4][1] == Length(Formula.reference("z 80"))
    assert gable.outline[0][0].value({}) == 0.0


def test_ways_of_writing_a_literal_make_one_parameter():
    gable = read(changed(('["lid_w", 80]', '["lid_w", "8 cm"]'))).parts["gable"]

    assert [p.name for p in gable.parameters if p.name.startswith("z")] == ["z 80", "z 160"]


def test_parameters_keep_the_order_of_the_file():
    text = changed(("depth = 120\n", ""), ("outline = [\n", "depth = 120\noutline = [\n"))

    assert read(text).parts["gable"].parameters[0].name == "depth"


def test_a_formula_in_an_outline_keeps_exact_slopes():
    text = changed(("[100, 160]", '["lid_w/3", "lamp_d - 2*thickness"]'))
    gable = read(text).parts["gable"]
    seeds = {n: Dual.seed(n, v) for n, v in gable.values().items()}
    x, z = (c.value(seeds) for c in gable.outline[3])

    assert number(x) == 100.0 and slopes(x) == approx({"lid_w": 1 / 3})
    assert number(z) == 214.0 and slopes(z) == {"lamp_d": 1.0}


def test_a_clockwise_outline_is_turned_round_with_its_names():
    """Every name stays on the side between the same two corners."""
    text = changed(
        (
            '[0, 0],\n  ["lid_w", 0],\n  ["lid_w", 80],\n  [100, 160],\n  [0, 80]',
            '[0, 0],\n  [0, 80],\n  [100, 160],\n  ["lid_w", 80],\n  ["lid_w", 0]',
        ),
        ("depth = 120", 'depth = 120\nsides = ["left", "steep", "flat", "right", "floor"]'),
        ('["side-1"]', '["floor"]'),
    )
    turned = read(text).parts["gable"]
    corners = values_of(turned.outline, turned)

    assert corners == [(0, 0), (300, 0), (300, 80), (100, 160), (0, 80)]
    assert turned.sides == ("floor", "right", "flat", "steep", "left")


@given(st.permutations(range(5)), st.booleans())
def test_outlines_come_out_anticlockwise(order, mirrored):
    """From whichever corner and in whichever direction they are written."""
    start = order[0]
    corners = [(0, 0), (300, 0), (300, 80), (100, 160), (0, 80)]
    corners = corners[start:] + corners[:start]
    if mirrored:
        corners = corners[::-1]
    written = ",\n".join(f"  [{x}, {z}]" for x, z in corners)
    at = SMALL.index("  [0, 0],")
    plan = read(SMALL[:at] + written + SMALL[SMALL.index("\n]\ndepth", at) :])
    gable = plan.parts["gable"]
    found = values_of(gable.outline, gable)

    assert signed_area(found) > 0.0
    assert found[0] == corners[0]


SCALED = changed(
    ('name = "Lamp"', "scale = 0.5"),
    ("[100, 160]", '[100, "lamp_d - 2*thickness"]'),
    ("bore = 60", 'bore = "60 mm"'),
    ("height = 45", 'height = "9*thickness"'),
)


def test_scale_goes_to_sizes_and_literals_and_places():
    plan = read(SCALED)
    gable, ring, lid = (plan.parts[n] for n in ("gable", "ring", "lid"))

    assert plan.sizes["lamp_d"].plan == 110.0
    assert (plan.sizes["lamp_d"].give, plan.sizes["lamp_d"].trust) == (1.5, 0.5)
    assert ring.values() == {"diameter": 115.0, "bore": 30.0}
    assert gable.values() == {
        "lid_w": 150.0, "z 80": 40.0, "x 100": 50.0, "lamp_d": 110.0, "depth": 60.0,
    }  # fmt: skip
    assert gable.place.at == (5.0, 10.0)
    assert lid.values()["depth"] == 100.0


def test_scale_never_goes_to_boards_gaps_finishes_or_tools():
    plan, full = read(SCALED), read(SMALL)

    assert plan.stocks == full.stocks
    assert plan.formers == full.formers
    assert plan.finishes == full.finishes
    assert plan.cutters == full.cutters
    assert [m.wanted for m in plan.meets] == [m.wanted for m in full.meets]


def test_the_board_in_a_formula_is_not_scaled():
    """lamp_d - 2 thickness at half scale: 110 - 6, not 110 - 3."""
    plan = read(SCALED)
    gable, lid = plan.parts["gable"], plan.parts["lid"]

    assert gable.outline[3][1].value(gable.values()) == approx(104.0)
    assert lid.values()["height"] == 27.0


@given(st.floats(0.1, 100.0))
def test_a_linear_plan_scales_as_a_whole(scale):
    other = read(changed(('name = "Lamp"', f"scale = {scale!r}")))
    full = read(SMALL)
    for name, part in full.parts.items():
        scaled = {key: value * scale for key, value in part.values().items()}

        assert other.parts[name].values() == approx(scaled, rel=1e-12)


def test_quantities_in_inches_are_exact():
    text = changed(("depth = 200", 'depth = "7 7/8 in"'), ("[3, 12]", '["1/8 in", "1/2 in"]'))
    plan = read(text)

    assert plan.parts["lid"].values()["depth"] == 200.025
    assert plan.meets[0].range_of("overhang") == (3.175, 12.7)


def test_what_a_plan_leaves_out_is_what_a_maker_would_expect():
    plan = read(changed(("[build]\n", ""), ('name = "Lamp"\n', "")))
    lamp, lid = plan.parts["lamp"], plan.parts["lid"]

    assert (plan.name, plan.units, plan.scale) == ("plan", "mm", 1.0)
    assert [round(math.degrees(c.angle)) for c in plan.cutters] == [90, 135]
    assert [(c.floor, c.widest) for c in plan.cutters] == [(2.0, 12.0)] * 2
    assert lid.stiff and not lamp.stiff
    assert not lid.bare and lid.finish.inside and lamp.finish is None
    assert lid.place is None and lid.fold.method is None and lid.was == ""
    assert plan.sizes["lid_w"].trust == 0.75


def test_a_measured_board_overrules_the_table():
    plan = read(changed(('"acp-3-0.3"', '"acp-3-0.3"\nthickness = 2.94')))

    assert plan.stocks["board3"].thickness == 2.94
    assert plan.parts["lid"].thickness == 2.94


def test_a_board_of_ones_own_is_kept_as_written():
    text = changed(('material = "acp-3-0.3"', 'material = "old-sign"')) + (
        '\n[material.old-sign]\nlike = "acp-3-0.3"\nthickness = "1/8 in"\nmodulus = 69000\n'
    )
    plan = read(text)

    assert plan.stocks["board3"].thickness == 3.175
    assert plan.materials["old-sign"] == {
        "like": "acp-3-0.3", "thickness": 3.175, "modulus": 69000,
    }  # fmt: skip


def test_a_board_like_another_is_as_thick():
    text = changed(('material = "acp-3-0.3"', 'material = "old-sign"'))

    plan = read(text + '\n[material.old-sign]\nlike = "acp-3-0.3"\nmodulus = 69000\n')
    assert plan.stocks["board3"].thickness == 3.0


def test_an_offcut_is_turned_anticlockwise():
    text = changed(("size = [1220, 2440]", "outline = [[0, 0], [0, 9], [9, 0]]"))

    assert read(text).stocks["board3"].sheets[0].outline == ((0, 0), (9, 0), (0, 9))


def test_edges_and_folds_are_kept():
    text = changed(
        (
            "height = 45",
            'height = 45\nfold_at = [["front", "top"]]\ncut_at = [["back", "left"]]\n'
            'fold = { method = "groove", web = 0.8, floor = 2.5, cutter_deg = "90 deg", k = 0.8 }',
        )
    )
    lid = read(text).parts["lid"]

    assert lid.fold_at == (FoldAt(("front", "top")),) and lid.cut_at == (("back", "left"),)
    assert (lid.fold.method, lid.fold.web, lid.fold.floor, lid.fold.k) == ("groove", 0.8, 2.5, 0.8)
    assert lid.fold.cutter == approx(math.pi / 2) and lid.fold.radius is None


def test_a_face_that_follows_from_nothing_else_is_filled_in():
    """A ring rests by its bottom; a box with one mouth slides over with it."""
    slides = (
        '\n[[meet]]\nkind = "slides-into"\ninner = "gable.side-4"\nouter = "lid"\ngap = [0, 1]\n'
    )
    rests, slid = read(SMALL + slides).meets

    assert tuple(end.face for end in rests.ends) == ("bottom", "top")
    assert tuple(end.face for end in slid.ends) == ("side-4", "bottom")
    assert slid.name == "gable into lid"


def test_equal_meets_get_a_number():
    meet = SMALL[SMALL.index("[[meet]]") :]

    assert [m.name for m in read(SMALL + "\n" + meet).meets] == ["ring on lamp", "ring on lamp 2"]


def test_a_byte_order_mark_and_foreign_line_ends_do_no_harm(tmp_path):
    path = tmp_path / "plan.toml"
    path.write_bytes(b"\xef\xbb\xbf" + SMALL.replace("\n", "\r\n").encode())

    plan = read_plan(path, THICKNESSES)
    assert plan.parts == read(SMALL).parts
    assert plan.lines == read(SMALL).lines


def test_a_chain_of_a_thousand_sizes_is_followed():
    chain = "\n".join(f'a{i} = "a{i + 1} + 1"' for i in range(1000)) + "\na1000 = 5"
    plan = read(changed(("lid_w = 300", f"lid_w = 300\n{chain}")))

    assert plan.sizes["a0"].plan == 1005.0
