"""Reckoners of curling and drums: what they answer at the bench."""

import math

import pytest
from pytest import approx

from foldwright.reckon.curling import RECKONERS
from foldwright.reckon.reading import ReckonerFaults
from foldwright.reckon.sums import in_words, reckon

ALL = {r.name: r for r in RECKONERS}


def ask(name, **typed):
    """Lines of an answer by name, the example's inputs unless typed."""
    answer = reckon(ALL[name], ALL[name].example | typed).answer
    return {line.name: line for line in answer.lines}, answer


@pytest.mark.parametrize("name", list(ALL))
def test_each_answers_its_own_example(name):
    reckoned = reckon(ALL[name], ALL[name].example)

    assert reckoned.answer.lines
    assert "nan" not in in_words(reckoned).lower().split()
    for line in reckoned.answer.lines:
        assert isinstance(line.value, str) or math.isfinite(line.value)
        assert math.isfinite(line.spread)


@pytest.mark.parametrize("name", list(ALL))
@pytest.mark.parametrize("bad", ["0", "-1", "1e7", "0.001"])
def test_any_number_is_answered_or_refused_by_its_name(name, bad):
    for asked in ALL[name].inputs:
        if asked.unit not in ("mm", "deg", "N", "-"):
            continue
        try:
            reckoned = reckon(ALL[name], ALL[name].example | {asked.name: bad})
        except ReckonerFaults as refused:
            names = [i.name for i in ALL[name].inputs]
            assert any(str(f).partition(":")[0] in names for f in refused.faults), refused
        else:
            values = [line.value for line in reckoned.answer.lines]
            assert all(isinstance(v, str) or math.isfinite(v) for v in values)


def test_a_former_says_where_each_pipe_springs_to_and_which_to_use():
    lines, answer = ask("former", formers="168.3, 229, 250")

    assert lines["use"].value == "229 mm"
    assert lines["case"].value == "right"
    assert lines["free_d_2"].value == approx(299.0, abs=1.0)
    assert lines["free_d_1"].value < lines["free_d_2"].value < lines["free_d_3"].value
    assert answer.steps[3].startswith("Curl it over the 229 mm pipe")


def test_readings_of_a_test_curl_make_a_former_much_surer():
    """The table leaves 3 in 100 or more, a test curl over a smaller pipe about half of it."""
    by_table, answer = ask("former", formers="229")
    by_curl, tried = ask("former", formers="229", test_former="168.3", test_free="207")

    assert by_table["free_d_1"].spread / 300.0 == approx(0.035, abs=0.01)
    assert by_curl["free_d_1"].spread / 300.0 == approx(0.015, abs=0.003)
    assert by_curl["free_d_1"].spread < 0.55 * by_table["free_d_1"].spread
    assert any("Curl one offcut" in remark for remark in answer.remarks)
    assert not any("Curl one offcut" in remark for remark in tried.remarks)


def test_a_test_curl_gives_back_what_a_former_foretold():
    foretold, _ = ask("former", formers="168.3")
    free = foretold["free_d_1"].value
    lines, answer = ask("test-curl", free_d=f"{free:.9f}")

    assert lines["factor"].value == "1.000"
    assert lines["proof"].value == approx(110.0, rel=1e-4)  # of the table
    # its spread is the reading's, not the table's 12 in 100
    assert lines["proof"].spread / 110.0 < 0.09
    assert "test_former=168.3" in answer.remarks[0]


def test_a_yield_far_from_the_table_is_doubted():
    _, usual = ask("test-curl", free_d="211")
    _, odd = ask("test-curl", free_d="260")

    assert len(usual.remarks) == 1
    assert "check that board and thickness" in odd.remarks[1]


def test_half_a_test_curl_is_refused():
    with pytest.raises(ReckonerFaults, match="test_free: a test curl has two readings"):
        ask("former", test_former="168.3")
    with pytest.raises(ReckonerFaults, match="test_free: .*no wider than"):
        ask("former", test_former="168.3", test_free="160")


def test_no_pipe_says_what_to_find():
    lines, answer = ask("former", formers="")

    assert lines["case"].value == "not on the rack"
    assert "find a pipe between" in answer.remarks[0]
    assert answer.steps == ()


def test_springback_there_and_back():
    forth, _ = ask("springback", wanted="100")
    bent = forth["bend_to"].value
    back, _ = ask("springback", wanted="", bent=f"{bent:.9f}", angle="90")

    assert back["free"].value == approx(100.0, abs=1e-6)
    # the arc on the middle keeps its length
    assert back["angle_left"].value == approx(90.0 * (bent + 0.75) / 100.75, abs=1e-6)


def test_springback_of_what_does_not_yield_is_flat():
    lines, answer = ask("springback", wanted="", bent="2000")

    assert lines["left"].value == "flat"
    assert "yields below" in answer.remarks[0]


def test_springback_asks_one_radius():
    for typed in ({"wanted": ""}, {"bent": "50"}):
        with pytest.raises(ReckonerFaults, match="one radius is asked"):
            ask("springback", **typed)


def test_a_curl_too_tight_is_spread_instead_of_tied():
    lines, answer = ask("tie-shut", free_d="280")

    assert lines["gap"].value < 0.0
    assert "spread the ends" in answer.steps[0]


def test_a_blank_is_the_girth_of_the_middle_and_what_is_trimmed():
    lines, _ = ask("drum-blank")
    lapped, _ = ask("drum-blank", seam="lap", overlap="20", allowance="0")

    assert lines["trimmed"].value == approx(math.pi * 298.0)
    assert lines["blank"].value == approx(math.pi * 298.0 + 40.0)
    assert lapped["blank"].value == approx(math.pi * 298.0 + 20.0 * 151.0 / 149.0)
    assert "strip_d" not in lapped


def test_a_cap_is_cut_by_the_girth_of_its_drum():
    """300 across by tape, 2 mm sheet, 0.1 paint inside, 0.3 all round: 295.2."""
    reads = math.pi * (300.0 + 0.15)
    lines, _ = ask("drum-cap", girth=f"{reads:.9f}")

    assert lines["cap_d"].value == approx(295.2)
    assert lines["cap_tape"].value == approx(math.pi * 295.35)


def test_a_drum_tighter_than_its_board_takes_is_refused_with_the_nearest():
    with pytest.raises(ReckonerFaults, match="outside_d: a drum of 15 mm .* at least"):
        ask("former", outside_d="15")
