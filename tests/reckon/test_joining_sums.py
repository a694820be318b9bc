"""Reckoners of fastening, glue and finish, as a maker asks them."""

import math

import pytest
from pytest import approx

from foldwright.reckon.definition import Line
from foldwright.reckon.fastening import RECKONERS as FASTENING
from foldwright.reckon.finish import RECKONERS as FINISH
from foldwright.reckon.glue import RECKONERS as GLUE
from foldwright.reckon.reading import ReckonerFaults
from foldwright.reckon.sums import in_words, reckon
from foldwright.shop.board_bolts import CRUSH_SHARE
from foldwright.shop.glue import WORKING_SHARE
from foldwright.shop.threads import bolt_lengths, threads_listed

ALL = {r.name: r for r in (*FASTENING, *GLUE, *FINISH)}


def ask(name, **typed):
    """Answer of a reckoner by name of line, its example where nothing else is typed."""
    answer = reckon(ALL[name], {**ALL[name].example, **typed}).answer
    return {line.name: line.value for line in answer.lines}, answer


def refusal(name, **typed):
    with pytest.raises(ReckonerFaults) as caught:
        reckon(ALL[name], {**ALL[name].example, **typed})
    return str(caught.value)


@pytest.mark.parametrize("name", ALL)
def test_every_example_answers_in_numbers_and_words(name):
    reckoned = reckon(ALL[name], ALL[name].example)

    for line in reckoned.answer.lines:
        assert isinstance(line, Line)
        assert isinstance(line.value, str) or math.isfinite(line.value)
    assert ALL[name].title in in_words(reckoned)


@pytest.mark.parametrize(
    "name", ["bolt-into-plug", "bolt-in-board", "bolt-group", "blind-rivet", "glue-lap"]
)
def test_what_may_be_hung_or_carried_says_who_works_that_out(name):
    cautions = " ".join(reckon(ALL[name], ALL[name].example).answer.cautions)

    assert "over people" in cautions
    assert "licensed person" in cautions
    assert "safety line" in cautions


@pytest.mark.parametrize("name", ["glue-lap", "seam-strap", "double-lap", "paint", "filler"])
def test_what_fumes_or_makes_dust_says_so(name):
    cautions = " ".join(reckon(ALL[name], ALL[name].example).answer.cautions)

    assert "fumes" in cautions
    assert "gloves" in cautions


def test_every_listed_thread_has_an_answer():
    for thread in threads_listed():
        found, _ = ask("thread", thread=thread.name)
        assert found["bore_d"] <= found["tap_drill"] < thread.nominal


def test_a_thread_without_a_clearance_hole_still_has_a_drill():
    found, _ = ask("tap-drill", thread="M9")

    assert found["tap_drill"] == 7.8
    assert "clearance_medium" not in found


def test_a_bolt_into_a_plug_is_bought_drilled_and_tightened():
    """M6 class 8.8 into firm aluminium: 0.75 proof load, K 0.2; torque tables say about 10 N m."""
    found, _ = ask("bolt-into-plug")

    assert found["length"] in bolt_lengths()
    assert (found["clearance"], found["drill"]) == (6.6, 5.0)
    assert found["torque"] == approx(10.5, abs=0.1)
    assert found["preload"] == approx(0.75 * 580.0 * 20.1, rel=0.003)
    assert found["drill_depth"] <= 30.0


def test_a_large_washer_takes_from_the_length_that_holds():
    normal, _ = ask("bolt-into-plug", washer="none", plate_thickness="6")
    large, _ = ask("bolt-into-plug", washer="large", plate_thickness="6")

    assert large["engagement"] < normal["engagement"] or large["length"] > normal["length"]


def test_a_soft_plug_says_that_it_strips_first():
    _, soft = ask("bolt-into-plug", plug="polypropylene")
    _, firm = ask("bolt-into-plug")

    assert any("strips before" in remark for remark in soft.remarks)
    assert not any("strips before" in remark for remark in firm.remarks)


def test_a_soft_plate_is_not_crushed_under_the_head():
    soft, _ = ask("bolt-into-plug", plate="pvc-foam", plate_thickness="10", plug_depth="60")
    firm, _ = ask("bolt-into-plug", plate_thickness="10", plug_depth="60")

    assert soft["torque"] < 0.2 * firm["torque"]


def test_a_core_is_not_crushed_and_a_pull_gets_its_spreader():
    found, _ = ask("bolt-in-board")

    assert found["preload"] == approx(CRUSH_SHARE * found["crushes"])
    assert found["spreader_d"] > found["washer_d"]
    assert found["spreader_thickness"] > found["washer_thickness"]


def test_a_small_pull_is_for_the_washer_itself():
    _, answer = ask("bolt-in-board", pull="100")

    assert any("spreader enough" in remark for remark in answer.remarks)


def test_solid_sheet_is_tightened_as_far_as_the_bolt_takes():
    found, answer = ask("bolt-in-board", board="al-5005-H24", thickness="3", washer="18")

    assert found["preload"] == approx(0.75 * 580.0 * 20.1, rel=0.003)
    assert not any("plastic core" in remark for remark in answer.remarks)


def test_sheet_of_any_thickness_asks_for_its_thickness():
    assert "above 0" in refusal("bolt-in-board", board="al-5005-H24")


def test_a_bracket_names_the_bolt_that_carries_most():
    """21.0 kN, Shigley's Mechanical Engineering Design, 9th ed., Example 8-7; from memory."""
    found, _ = ask("bolt-group")

    assert found["worst"] in (1, 4)
    assert found["largest"] == approx(21.0e3, rel=0.003)


def test_a_bracket_with_more_x_than_y_is_refused():
    assert "4 bolts have an x and 2 have a y" in refusal("bolt-group", y="1,2")


def test_a_pulled_bolt_feels_a_share_until_the_joint_opens():
    found, _ = ask("bolt-load")
    slack, _ = ask("bolt-load", pull="0")

    # 8 N m / (0.2 x 6 mm)
    assert found["preload"] == approx(6666.7, abs=0.1)
    assert slack["service_stress"] == approx(slack["preload_stress"])
    grown = found["service_stress"] - found["preload_stress"]
    assert grown == approx(found["share"] * 2000.0 / 20.12, rel=1e-3)
    assert "parts the joint" in refusal("bolt-load", pull=f"{found['parts_at'] + 1:.0f}")


def test_a_bolt_past_its_proof_stress_says_so():
    _, answer = ask("bolt-load", torque="16 N m")

    assert any("stretches for good" in remark for remark in answer.remarks)


def test_trial_bolts_say_what_to_tighten_to():
    found, _ = ask("strip-trial")

    assert found["mean"] == approx(7.3 / 3.0)
    assert found["tighten_to"] == approx(min(found["mean"] / 2, found["mean"] - 3 * 0.15275), 1e-3)
    assert "torques: " in refusal("strip-trial", torques="2000")


def test_holes_keep_their_distance():
    """EN 1993-1-8:2005, Table 3.3: 1.2 d0 and 2.2 d0."""
    found, _ = ask("bolt-distances", hole="10")

    assert found["end_least"] == approx(12.0)
    assert found["pitch_least"] == approx(22.0)
    assert found["end_good"] == approx(20.0)


def test_a_rivet_is_chosen_by_the_thickest_sheet():
    thin, _ = ask("blind-rivet")
    thick, _ = ask("blind-rivet", grip="4")

    assert (thin["rivet"], thick["rivet"]) == (3.0, 6.0) or thick["rivet"] > thin["rivet"]
    assert (thin["count"] - 1) * thin["pitch"] + 2 * thin["ends"] == approx(300.0)


def test_a_lap_holds_least_of_glue_and_sheet_and_is_worked_at_a_quarter():
    found, _ = ask("glue-lap")

    assert found["holds"] <= found["evenly"] + 1e-9
    assert found["holds"] <= found["sheet_yields"]
    assert found["work_to"] == approx(WORKING_SHARE * found["holds"])
    assert found["overlap"] == found["best_overlap"]


def test_twice_the_overlap_hardly_helps_and_says_so():
    once, _ = ask("glue-lap", thickness="3")
    twice, answer = ask("glue-lap", thickness="3", overlap=f"{2 * once['overlap']:.1f}")

    assert twice["holds"] < 1.06 * once["holds"]
    assert any("idles" in remark for remark in answer.remarks)


def test_thin_sheet_yields_before_its_glue():
    _, answer = ask("glue-lap", thickness="0.3")

    assert any("yields before the glue" in remark for remark in answer.remarks)


def test_a_measured_strength_takes_the_place_of_the_kinds():
    kind, _ = ask("glue-lap", thickness="5")
    own, _ = ask("glue-lap", thickness="5", strength="9")

    assert own["holds"] == approx(0.5 * kind["holds"])


def test_a_poor_bond_holds_less_and_every_bond_is_unsure():
    good, answer = ask("glue-lap", thickness="5")
    poor, _ = ask("glue-lap", thickness="5", bond="0.5")
    spread = {line.name: line.spread for line in answer.lines}

    assert poor["holds"] == approx(0.5 * good["holds"])
    assert 0.2 * good["holds"] < spread["holds"] < 0.4 * good["holds"]
    assert "bond" in refusal("glue-lap", bond="0")


def test_a_strap_for_a_small_load_is_narrow():
    whole, _ = ask("seam-strap")
    small, _ = ask("seam-strap", load="1000")

    assert small["width"] < whole["width"]
    assert small["holds"] == approx(1000.0)
    assert "any overlap" in refusal("seam-strap", load="100 kN")


def test_paint_grows_a_size_by_two_builds_and_lands_save_some():
    found, _ = ask("paint")
    masked, _ = ask("paint", lands="0.5")

    assert found["growth"] == approx(0.12)
    # 2.5 m2 x 0.06 mm / 0.45 / 0.9
    assert found["paint"] == approx(2.5 * 0.06 / 0.45 / 0.9)
    assert masked["paint"] == approx(0.8 * found["paint"])
    assert "more than the face" in refusal("paint", lands="3")


def test_filler_for_a_fold_a_butt_and_a_corner():
    fold, _ = ask("filler")
    butt, _ = ask("filler", gap="butt")
    corners, _ = ask("filler", gap="corner", width="4", count="6")

    # a 3 mm board butted square at a right angle leaves 3 by 3
    assert butt["volume"] == approx(0.4 * 9.0)
    assert fold["volume"] > butt["volume"]
    assert corners["volume"] == approx(6 * math.pi * 4.0 * 3.0 * 1e-3)


def test_filler_asks_for_what_its_gap_needs():
    assert "width is needed" in refusal("filler", gap="corner")
    assert "too narrow" in refusal("filler", floor="0.2")
    assert "whole number" in refusal("filler", count="1.5")


@pytest.mark.parametrize(
    ("name", "typed", "words"),
    [
        ("thread", {"thread": "1/4 UNC"}, "no metric thread"),
        ("bolt-into-plug", {"k": "2"}, "k: "),
        ("bolt-into-plug", {"plate_thickness": "-3"}, "plate_thickness"),
        ("bolt-into-plug", {"bolt": "9.8", "thread": "M20", "plug_depth": "80"}, "bolt: "),
        ("bolt-in-board", {"washer": "3"}, "washer: "),
        ("blind-rivet", {"grip": "1"}, "grip: "),
        ("glue-lap", {"thickness": "0"}, "thickness: "),
        ("glue-lap", {"modulus": "0"}, "modulus: "),
        ("paint", {"solids": "45"}, "solids: "),
        ("filler", {"turn": "0"}, "turn: "),
    ],
)
def test_a_refusal_names_what_was_typed(name, typed, words):
    assert words in refusal(name, **typed)
