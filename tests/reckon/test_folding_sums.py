"""Reckoners of folding and of panels: what a maker reads, and what is refused."""

import math
import random

import pytest
from pytest import approx

from foldwright.reckon import folding, panels
from foldwright.reckon.reading import ReckonerFaults
from foldwright.reckon.sums import in_words, reckon
from foldwright.shop import boards, matters

ALL = {r.name: r for r in (*folding.RECKONERS, *panels.RECKONERS)}


def ask(name, **typed):
    """Answer of a reckoner to what was typed, its lines by name."""
    answer = reckon(ALL[name], typed).answer
    return {line.name: line.value for line in answer.lines}, answer


def test_every_trade_name_is_there_once():
    names = [r.name for r in (*folding.RECKONERS, *panels.RECKONERS)]

    assert names == [
        "groove",
        "groove-width",
        "kerf-row",
        "bend",
        "test-strip",
        "bend-force",
        "flange",
        "panel",
    ]


@pytest.mark.parametrize("reckoner", ALL.values(), ids=ALL)
def test_an_example_answers_in_words_with_a_spread(reckoner):
    """No number is without a value, and at least one is uncertain."""
    reckoned = reckon(reckoner, reckoner.example)
    numbers = [line for line in reckoned.answer.lines if not isinstance(line.value, str)]

    assert all(math.isfinite(line.value) for line in numbers)
    assert any(line.spread > 0.0 for line in numbers)
    assert "Holds:" in in_words(reckoned)
    assert all(line.name.isidentifier() for line in reckoned.answer.lines)


def test_an_everyday_groove():
    """Worked by hand: h 2.2, top 2 + 2 2.2 = 6.4, deduction 0.88, shuts near 104 degrees."""
    said, answer = ask("groove", board="acp-3-0.3", angle="90", web="0.8", floor="2")

    assert said["depth"] == approx(2.2)
    assert said["top"] == approx(6.4)
    assert said["deduction"] == approx(0.88, abs=0.01)
    assert said["shuts_at"] == approx(104, abs=0.5)
    assert said["corner_loss"] == approx(0.6, abs=0.01)
    assert said["hold_at"] == approx(90.0 + said["over_fold"])
    assert "0.4 mm short" in answer.steps[0]


def test_a_groove_that_shuts_too_soon_says_so_and_what_to_change():
    """A 2 mm floor shuts near 104 degrees, so 130 is out of its reach."""
    _, answer = ask("groove", board="acp-3-0.3", angle="130", web="0.8", floor="2")

    assert any("shuts at 10" in remark and "Leave floor out" in remark for remark in answer.remarks)


def test_a_floor_that_is_left_out_is_chosen_wide_enough():
    """The same fold with the choice left open."""
    said, _ = ask("groove", board="acp-3-0.3", angle="130", web="0.8")

    assert said["floor"] > 2.0
    assert said["shuts_at"] > said["hold_at"] + 1.0


def test_a_re_entrant_cut_that_opens_comes_from_inside():
    """It never shuts."""
    said, _ = ask(
        "groove", board="acp-3-0.3", angle="90", web="0.8", way="open", corner="re-entrant"
    )

    assert said["side"] == "inside"
    assert said["shuts_at"] == "never"


def test_a_row_of_kerfs_follows_its_round():
    """The row is n - 1 pitches and a kerf wide, and its parts turn the whole together."""
    said, _ = ask("kerf-row", board="acp-4-0.5", angle="90", blade="3.2", radius="40")

    assert said["row"] == approx((said["kerfs"] - 1) * said["pitch"] + 3.2)
    assert said["kerfs"] * said["each"] == approx(90.0)


def test_a_channel_comes_out_by_every_rule():
    """40, 80, 40 outside in 1.5 mm at radius 3: by DIN 6935 K is 0.325 + 0.25 lg 2."""
    k = 0.325 + 0.25 * math.log10(2.0)
    said, answer = ask("bend", thickness="1.5", radius="3", legs="40,80,40")
    flat = 160.0 - 2.0 * (2.0 * 4.5 - math.pi / 2.0 * (3.0 + k * 1.5))

    assert said["k"] == approx(k)
    assert said["flat"] == approx(flat)
    assert said["by_din_6935"] == approx(flat)
    # Machinery's Handbook, 31st ed., p. 1421, c = 0.64; 1.57 for pi/2 is 0.05 per cent off.
    assert said["by_hardness"] == approx(142.0 + 2.0 * (0.64 * 1.5 + 1.57 * 3.0), abs=0.006)
    assert [said[f"straight_{i}"] for i in (1, 2, 3)] == approx([35.5, 71.0, 35.5])
    assert "differ by" in answer.remarks[0]


def test_the_linear_rule_is_left_out_where_it_does_not_hold():
    """It knows right angles only."""
    square, _ = ask("bend", thickness="1.5", radius="3")
    slight, _ = ask("bend", thickness="1.5", radius="3", angle="45")

    assert "by_linear" in square
    assert "by_linear" not in slight


def test_a_strip_of_ones_own_beats_the_rules():
    """Flat length follows from the k that was typed."""
    said, _ = ask("bend", thickness="2", radius="2", legs="50,50", k="0.42")

    assert said["k"] == 0.42
    assert said["flat"] == approx(100.0 - 8.0 + math.pi / 2.0 * (2.0 + 0.84))


def test_bends_of_unlike_radii_and_angles_are_taken_one_by_one():
    """Two bends as one strip are as much as each by itself."""
    both, _ = ask("bend", thickness="1", radius="2,4", angle="90,45", legs="30,40,30")
    one, _ = ask("bend", thickness="1", radius="2", angle="90")
    other, _ = ask("bend", thickness="1", radius="4", angle="45")

    assert both["flat"] == approx(100.0 - one["deduction"] - other["deduction"])


def test_a_strip_gives_the_k_that_its_groove_has():
    """What groove says of legs and flat, test-strip turns round."""
    grooved, _ = ask("groove", board="acp-3-0.3", angle="90", web="0.8", floor="2", k="0.70")
    leg = f"{50.0 + grooved['deduction'] / 2.0:.6f}"
    said, answer = ask(
        "test-strip", board="acp-3-0.3", flat="100", leg_1=leg, leg_2=leg, web="0.8", floor="2"
    )

    assert said["k"] == approx(0.70, abs=1e-5)
    assert any("fold = { k = 0.70 }" in remark for remark in answer.remarks)


def test_pressing_and_pushing_are_told_side_by_side():
    """In a V 1.33 TS w t^2 / D, TS 160 MPa of the table."""
    said, _ = ask(
        "bend-force",
        board="al-5005-H24",
        thickness="1.5",
        width="300",
        opening="12",
        lever="150",
    )

    assert said["press"] == approx(1.33 * 160.0 * 300.0 * 1.5**2 / 12.0)
    assert said["push"] == approx(said["moment"] / 150.0)


def test_a_flange_holds_a_finger_and_a_hole_keeps_its_distance():
    """Setback and flank of the groove, then 25 mm, and one thickness to the hole."""
    said, _ = ask("flange", board="acp-3-0.3", angle="90", web="0.8", floor="2", hole="6")

    flank = 2.2
    assert said["flange"] == approx(said["setback"] + flank + 25.0)
    assert said["hole_edge"] == approx(said["setback"] + flank + 3.0)
    assert said["hole_middle"] == approx(said["hole_edge"] + 3.0)


def test_a_sag_is_told_with_its_own_weight_and_what_gives_first():
    """Own weight 5 w L^4 / (384 EI) and F L^3 / (48 EI) for solid sheet, the shear beside it."""
    said, _ = ask("panel", board="al-5005-H24", thickness="2", span="500", width="200", load="10")
    rigidity = 70_000.0 * 200.0 * 2.0**3 / 12.0
    weight = 2700.0 * 0.5 * 0.2 * 2e-3 * 9.80665

    assert said["own"] == approx(5.0 * weight * 500.0**3 / (384.0 * rigidity), rel=1e-3)
    assert said["sag"] - said["own"] == approx(10.0 * 500.0**3 / (48.0 * rigidity), rel=1e-3)
    # 130 MPa t^2/6 of 200 mm, less what the own weight takes
    most = (130.0 * 2.0**2 / 6.0 * 200.0 - weight * 500.0 / 8.0) * 4.0 / 500.0
    assert said["most"] == approx(most, rel=1e-9)


@pytest.mark.parametrize(
    ("name", "typed", "words"),
    [
        ("groove", {"board": "al-5005-H24", "angle": "90"}, "thickness=1.5"),
        (
            "groove",
            {"board": "birch-ply", "thickness": "3", "angle": "90", "floor": "2"},
            "board: ",
        ),
        ("groove", {"board": "acp-3-0.3", "angle": "180"}, "angle"),
        ("groove", {"board": "acp-3-0.3", "angle": "90", "web": "0.2"}, "web"),
        ("groove", {"board": "acp-3-0.3", "angle": "90", "k": "1.2"}, "0 to 1"),
        ("groove", {"board": "acp-3-0.3", "angle": "90", "thickness": "0.5"}, "no core"),
        ("groove", {"board": "acp-3-0.3", "angle": "90", "floor": "-2"}, "above 0"),
        ("groove-width", {"thickness": "3", "web": "4"}, "0 to 3"),
        ("kerf-row", {"board": "acp-4-0.5", "angle": "90", "blade": "0"}, "above 0"),
        ("kerf-row", {"board": "acp-4-0.5", "angle": "90", "blade": "3", "kerfs": "2.5"}, "whole"),
        ("bend", {"thickness": "1", "radius": "2", "legs": "50"}, "one leg has no bend"),
        ("bend", {"thickness": "1", "radius": "2", "legs": "2,50"}, "shorter than the setbacks"),
        ("bend", {"thickness": "1", "radius": "1,2,3", "legs": "30,30"}, "do not suit 1 bend"),
        ("bend", {"thickness": "0", "radius": "2"}, "above 0"),
        ("bend", {"thickness": "2", "radius": "0.01"}, "too sharp"),
        ("bend", {"thickness": "2", "radius": "2", "angle": "180"}, "hem"),
        ("bend-force", {"board": "acp-3-0.3", "width": "100"}, "lever="),
        ("bend-force", {"board": "acp-3-0.3", "width": "100", "opening": "10"}, "skins crack"),
        ("flange", {"board": "acp-3-0.3", "angle": "90", "hole": "0"}, "above 0"),
        ("panel", {"board": "acp-3-0.3", "span": "0", "width": "100"}, "above 0"),
        ("panel", {"board": "acp-3-0.3", "span": "300", "width": "100", "load": "-1"}, "0"),
        (
            "test-strip",
            {"board": "acp-3-0.3", "flat": "100", "leg_1": "53", "leg_2": "53", "floor": "2"},
            "Measure again",
        ),
        (
            "test-strip",
            {"board": "acp-3-0.3", "flat": "100,100", "leg_1": "50", "leg_2": "50", "floor": "2"},
            "as many of each",
        ),
        (
            "test-strip",
            {"board": "acp-3-0.3", "flat": "100", "leg_1": "50.4", "leg_2": "50.4"},
            "floor",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_words(name, typed, words):
    """Each refusal says what to change; none is a number out of nothing."""
    with pytest.raises(ReckonerFaults, match=words):
        reckon(ALL[name], typed)


def test_a_refusal_names_an_input_of_its_reckoner():
    """Keys of a plan's fold table are not what a reckoner asks."""
    for name, typed in (
        ("groove", {"board": "acp-3-0.3", "angle": "90", "web": "0.2"}),
        ("kerf-row", {"board": "acp-3-0.3", "angle": "90", "blade": "3", "kerfs": "1"}),
        ("flange", {"board": "al-5005-H24", "thickness": "3", "angle": "90", "radius": "0.2"}),
    ):
        with pytest.raises(ReckonerFaults) as refused:
            reckon(ALL[name], typed)
        named = refused.value.faults[0].partition(":")[0]
        assert named in {i.name for i in ALL[name].inputs}, refused.value


def scribbled(asked, draw):
    """Something that a hurried hand might type for an input."""
    if asked.words:
        return draw.choice(asked.words)
    if asked.unit in ("board", "matter"):
        return draw.choice(sorted(boards() if asked.unit == "board" else matters()))
    most = {"deg": 190.0, "mm": draw.choice([1.0, 5.0, 60.0, 500.0]), "-": 2.0}.get(
        asked.unit, 99.0
    )
    numbers = [
        draw.choice(
            ["0", "-1", "1e6", f"{draw.uniform(0.0, most):.3f}", f"{draw.uniform(0, most):.0f}"]
        )
        for _ in range(draw.randint(1, 3) if asked.several else 1)
    ]
    return ",".join(numbers)


@pytest.mark.parametrize("reckoner", ALL.values(), ids=ALL)
def test_whatever_is_typed_is_answered_in_finite_numbers_or_refused_by_name(reckoner):
    """80 scribbles each: no traceback, no nan, and refusals name an input."""
    draw = random.Random(reckoner.name)
    asked_for = {i.name for i in reckoner.inputs}
    for _ in range(80):
        typed = {
            i.name: scribbled(i, draw)
            for i in reckoner.inputs
            if i.usual is None or draw.random() < 0.5
        }
        try:
            lines = reckon(reckoner, typed).answer.lines
        except ReckonerFaults as refused:
            assert {fault.partition(":")[0] for fault in refused.faults} <= asked_for, refused
        else:
            numbers = [line for line in lines if not isinstance(line.value, str)]
            assert all(math.isfinite(n.value) and math.isfinite(n.spread) for n in numbers), typed
