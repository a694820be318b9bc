"""Changing one thing in the text of a plan: that thing changes, and no other byte."""

import copy
import random
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.errors import FoldwrightError, Overtaken, PlanFaults, QuantityError, UnknownName
from foldwright.plan import parse_plan
from foldwright.plan.editing import (
    Hole,
    change_plan,
    digest_of,
    plan_text,
    with_holes,
    with_new_size,
    with_outline,
    with_size,
)
from foldwright.shop import thicknesses

DEMO = (Path(__file__).parents[2] / "examples" / "harbour-signal-lamp" / "plan.toml").read_text()
# Every way in which TOML lets a size be written.
WAYS = {
    "inline": "[size]\na = { plan = 10, give = 2, trust = 1 }   # keep me\nb = 3\n",
    "quoted": "[size]\na = { plan = '1 1/2 in', give = \"2\", trust = 0.5 } # x = { y }\n",
    "short": "[size] # sizes\n  a = 10   # bare\nb=3",
    "table": "[size.a] # own\nplan = 10 # drawn\ngive = 2\n\n[size.b]\nplan = 3\n",
    "dotted": "[size]\na.plan = 10\na.give = 2 # loose\nb.plan = 3\n",
    "top": "size.a = { plan = 10 }\nsize.b.plan = 4\n[build]\nname = 'x'\n",
    "formula": '[size]\nb = 4\na = { plan = "2 * (b + 1) # no comment", give = 1 }#c',
    "windows": "\ufeff[size]\r\na = { plan = 10 }  # one\r\nb = 2\r\n",
    "tricky": '[size]\nq = { plan = 1 } # a = { plan = 9 }\n"a" = {plan=10,give=2}\n',
}


def read(text):
    return tomllib.loads(text.removeprefix("\ufeff"))


def size_of(text, name="a"):
    found = read(text)["size"][name]
    return found if isinstance(found, dict) else {"plan": found}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(("key", "typed", "means"), [
    ("value", "12.5", 12.5), ("value", " 1/2 in ", "1/2 in"), ("value", "2*b - 1", "2*b - 1"),
    ("value", ".5", 0.5), ("value", "007", 7), ("give", "3", 3), ("trust", "0.25", 0.25),
    ("trust", "1 mm", "1 mm"),
])  # fmt: skip
def test_one_key_of_one_size_changes_however_it_is_written(way, key, typed, means):
    before = WAYS[way]
    after = with_size(before, "a", **{key: typed})

    wanted = copy.deepcopy(read(before))
    named = "plan" if key == "value" else key
    wanted["size"]["a"] = size_of(before) | {named: means}
    changed = read(after)
    changed["size"]["a"] = size_of(after)
    assert changed == wanted


@pytest.mark.parametrize("way", WAYS)
def test_all_that_was_there_but_the_value_is_there_still_byte_for_byte(way):
    before = WAYS[way]
    after = with_size(before, "a", "777.5")

    head, tail = after.split("777.5")
    assert before.startswith(head) and before.endswith(tail)
    cut = before[len(head) : len(before) - len(tail)]
    assert cut in ("10", "'1 1/2 in'", '"2 * (b + 1) # no comment"')


@settings(max_examples=300, deadline=None)
@given(
    way=st.sampled_from([*WAYS.values(), DEMO]),
    value=st.decimals(min_value="0.1", max_value=9999, places=2).map(str),
    give_=st.decimals(min_value="0.1", max_value=9, places=1).map(str),
    lines=st.lists(st.sampled_from(["# note = 1", "", "  # é [size]"]), max_size=4),
)
def test_changing_there_and_back_gives_the_same_bytes(way, value, give_, lines):
    """What is not the value does not depend on the value, so it can be put back."""
    text = "\n".join(lines) + "\n" + way.removeprefix("\ufeff")
    name = "a" if way is not DEMO else "hood_w"
    first = with_size(text, name, value, give=give_)

    again = with_size(with_size(first, name, "1", give="8 mm"), name, value, give=give_)
    assert again == first
    assert float(size_of(first, name)["plan"]) == float(value)
    assert float(size_of(first, name)["give"]) == float(give_)


def test_windows_line_ends_and_the_mark_at_the_beginning_stay():
    after = with_new_size(WAYS["windows"], "c", "5", trust="1")

    assert after == WAYS["windows"] + "c = { plan = 5, trust = 1 }\r\n"


def test_a_new_size_stands_at_the_foot_of_its_table_in_its_column():
    after = with_new_size(DEMO, "oil_d", "lamp_d - 40", give="2", trust="0.7")

    assert 'leg_h      = { plan = 120, give = 3 }\noil_d      = { plan = "lamp_d - 40", ' in after
    plan = parse_plan(after, "plan.toml", thicknesses())
    assert plan.sizes["oil_d"].plan == pytest.approx(180.0)
    assert plan.sizes["oil_d"].trust == pytest.approx(0.7)


@pytest.mark.parametrize("text", ["", "[build]\nname = 'x'", "[size]", "[size]\n# none\n"])
def test_a_new_size_finds_its_place_in_a_plan_without_sizes(text):
    assert read(with_new_size(text, "w", "12"))["size"] == {"w": {"plan": 12}}


def test_an_outline_replaces_one_of_many_lines_or_comes_new():
    corners = [(0, 0), (120.04, 0), ("lamp_d", 90), (0, 90)]

    for part in ("tray", "lamp"):
        after = read(with_outline(DEMO, part, corners))
        assert after["part"][part].pop("outline") == [[0, 0], [120, 0], ["lamp_d", 90], [0, 90]]
        before = read(DEMO)
        before["part"][part].pop("outline", None)
        assert after == before


def test_a_long_outline_stays_within_the_lines_that_a_plan_may_have():
    after = with_outline(DEMO, "tray", [(i * 1.5, i * i) for i in range(400)])

    assert len(read(after)["part"]["tray"]["outline"]) == 400
    assert max(map(len, set(after.splitlines()) - set(DEMO.splitlines()))) <= 100


@pytest.mark.parametrize("written", [
    "", "holes = []\n", "holes = [{ on = 'top', at = [1, 2], d = 3 }] # one\n",
    "holes = [\n  { on = 'top', at = [1, 2], d = 3 },\n]\n",
    "[[part.p.holes]]\non = 'top'\nat = [1, 2]\nd = 3",
])  # fmt: skip
def test_holes_come_after_those_that_are_there(written):
    text = f"[part.p]\nkind = 'plate'\n{written}"
    there = read(text)["part"]["p"].get("holes", [])

    new = Hole("top", (10.25, "w / 2"), 6.4, 'a "b"'), Hole("top", (1, 1), "1/4 in")
    after = read(with_holes(text, "p", new))["part"]["p"]["holes"]
    assert after == [
        *there,
        {"name": 'a "b"', "on": "top", "at": [10.2, "w / 2"], "d": 6.4},
        {"on": "top", "at": [1, 1], "d": "1/4 in"},
    ]


@pytest.mark.parametrize(("typed", "words"), [
    ("", "Nothing is typed"), ("691,2", "comma"), ("12 furlongs", "furlongs"),
    ("lamp_d +", "formula"), ('"]\n[part.x]\nkind = 1', "."), ("__import__('os')", "."),
    ("\x00", "."), ("9" * 400, "."), ("\x7f", "."), ("💡", "."),
])  # fmt: skip
def test_nonsense_is_refused_in_words(typed, words):
    with pytest.raises(FoldwrightError, match=words):
        parse_plan(with_size(DEMO, "lamp_d", typed), "plan.toml", thicknesses())


def test_a_size_or_part_that_is_not_there_is_named_with_its_nearest():
    with pytest.raises(UnknownName, match="lamp_d"):
        with_size(DEMO, "lamp_dd", "3")
    with pytest.raises(UnknownName, match="tray"):
        with_outline(DEMO, "trai", [(0, 0)])
    with pytest.raises(QuantityError, match="already"):
        with_new_size(DEMO, "lamp_d", "3")
    with pytest.raises(QuantityError, match="not a name"):
        with_new_size(DEMO, "a b", "3")


def test_a_plan_that_keeps_its_sizes_in_one_line_is_said_to_take_no_more():
    with pytest.raises(QuantityError, match=r"\[size\]"):
        with_new_size("size = { a = 1 }\n", "b", "2")


def test_five_hundred_mutations_change_one_size_or_are_refused():
    """Whatever stands in the plan: if it can be read, one size changes and the rest stays."""
    dice = random.Random(7)
    tried = 0
    for _ in range(500):
        letters = list(DEMO)
        for _ in range(dice.randint(1, 2)):
            at = dice.randrange(len(letters))
            letters[at : at + dice.randint(0, 3)] = dice.choice(
                ['"', "'", "#", "\n", "{", "}", "[", "]", "=", ",", "\r\n", "7", "é", '"""', ""]
            )
        text = "".join(letters)
        try:
            before = read(text)
        except tomllib.TOMLDecodeError:
            continue
        try:
            after = read(with_size(text, "hood_w", "123.25"))
        except UnknownName:
            continue
        tried += 1
        got = after["size"].pop("hood_w")
        before["size"].pop("hood_w")
        assert after == before
        assert (got["plan"] if isinstance(got, dict) else got) == 123.25
    assert tried > 100


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "plan.toml"
    path.write_bytes(DEMO.encode())
    return path


def bigger(text):
    return with_size(text, "lamp_d", "224")


def test_a_change_is_read_as_a_plan_and_then_written(file):
    plan = change_plan(file, bigger, digest_of(DEMO), thicknesses())

    assert plan.sizes["lamp_d"].plan == 224.0
    assert plan_text(file) == DEMO.replace("lamp_d     = { plan = 220", "lamp_d     = { plan = 224")
    assert sorted(p.name for p in file.parent.iterdir()) == ["plan.toml"]


def test_a_plan_that_was_changed_since_is_not_written_over(file):
    file.write_text(DEMO + "# mine\n")

    with pytest.raises(Overtaken, match="changed meanwhile"):
        change_plan(file, bigger, digest_of(DEMO), thicknesses())
    assert plan_text(file) == DEMO + "# mine\n"


def test_a_plan_that_changes_while_it_is_checked_is_not_written_over(file):
    def check(plan):
        file.write_text(DEMO + "# mine\n")

    with pytest.raises(Overtaken):
        change_plan(file, bigger, digest_of(DEMO), thicknesses(), check)
    assert plan_text(file) == DEMO + "# mine\n"


@pytest.mark.parametrize("typed", ["-5", "0", "lamp_d", "1e9", "nothing_such + 1"])
def test_what_makes_no_plan_is_not_written(file, typed):
    with pytest.raises(PlanFaults):
        change_plan(file, lambda t: with_size(t, "lamp_d", typed), digest_of(DEMO), thicknesses())
    assert plan_text(file) == DEMO


def test_a_link_to_the_plan_stays_a_link(file, tmp_path):
    link = tmp_path / "link.toml"
    link.symlink_to(file)

    change_plan(link, bigger, digest_of(DEMO), thicknesses())
    assert link.is_symlink() and "plan = 224" in file.read_text()
