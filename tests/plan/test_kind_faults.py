"""Faults of the kinds of parts, their features, copies and mirrors: code, line, words."""

import re

import pytest

from plan.full_cases import KIND_CASES
from plan.full_plan import FULL, full_faults, full_with, read_full


def test_the_plan_that_all_cases_start_from_is_sound():
    assert len(read_full(FULL).parts) == 25


@pytest.mark.parametrize("name", KIND_CASES)
def test_a_fault_stands_on_its_line_and_says_what_to_change(name):
    change, code, on_line, words = KIND_CASES[name]
    text = full_with(change)
    found = full_faults(text)
    fitting = [f for f in found if re.fullmatch(code, f.code) and re.search(words, str(f), re.S)]

    assert fitting, [str(f) for f in found]
    line = text.split("\n")[fitting[0].line - 1]
    assert on_line in line or re.search(on_line, line)
    assert len(found) <= 2, [str(f) for f in found]


def test_a_ring_of_mirrors_is_named_once_by_its_loop():
    text = FULL.replace(
        "[part.crate]", '[part.a]\nmirror_of = "b"\n\n[part.b]\nmirror_of = "a"\n\n[part.crate]'
    )
    found = full_faults(text)

    assert [f.code for f in found] == ["loop"]
    assert "a -> b -> a" in found[0].problem
    assert found[0].text == 'mirror_of = "b"'


def test_a_rib_of_its_own_mirror_is_a_ring_too():
    text = FULL.replace('of = "body"', 'of = "rib_two"').replace(
        "[part.crate]", '[part.rib_two]\nmirror_of = "frame"\n\n[part.crate]'
    )

    assert [f.code for f in full_faults(text)] == ["loop"]


def test_a_fault_of_a_part_is_not_told_again_of_its_mirror_or_its_rib():
    found = full_faults(full_with(("through = [0, 0, 40]", "through = [0, 0, true]")))

    assert len(found) == 1 and "brow" in found[0].text


def test_a_bad_count_is_not_told_again_where_its_copies_are_named():
    text = full_with(
        ("count = 3", "count = 0"),
        ('on = "crate.top", at = [100, 90]', 'on = "foot-2.top"'),
        ('upper = "foot.bottom"', 'upper = "foot-1.bottom"'),
    )

    assert [f.text for f in full_faults(text)] == ["count = 0"]


def test_a_size_with_the_name_of_a_field_cannot_stand_in_a_feature():
    text = full_with(("rim = 25", "rim = 25\ndepth = 90"), ('"body_w - 240"', '"depth"'))
    found = full_faults(text)

    assert [f.code for f in found] == ["name-twice"]
    assert "body_depth" in found[0].remedy


def test_a_mirror_from_a_board_that_is_too_thin_is_told():
    """Its web is all of the thinner board."""
    text = full_with(
        ("[part.neck]", '[part.crate_two]\nmirror_of = "crate"\nfrom = "board2"\n\n[part.neck]'),
        ('seam = "lap"', 'seam = "lap"\nfold = { method = "groove", web = 2.5 }'),
    )
    found = full_faults(text)

    assert [f.code for f in found] == ["out-of-range"]
    assert "A web of 2.5 mm" in found[0].problem and found[0].text == "[part.crate_two]"


def test_a_plan_of_copies_beyond_all_bounds_is_refused_quickly():
    discs = "".join(
        f'[part.d{i}]\nkind = "plate"\nfrom = "board3"\ndiameter = 9\ncount = 200\n'
        for i in range(100)
    )
    found = full_faults(FULL + discs)

    assert {f.code for f in found} == {"too-large"}


def test_a_chain_of_a_thousand_mirrors_is_followed():
    chain = "".join(f'[part.m{i}]\nmirror_of = "m{i + 1}"\n' for i in range(1000))
    text = FULL + chain + '[part.m1000]\nmirror_of = "cheek"\n'
    parts = read_full(text).parts

    assert parts["m0"].mirrored and not parts["m1"].mirrored
    assert parts["m0"].blocks == parts["cheek"].blocks


def test_a_misspelt_shell_is_offered_wherever_it_stands():
    text = FULL.replace('of = "body"', 'of = "bodi"')
    start = text.index("[part.frame]")
    rib = text[start : text.index("[part.web_of_cheek]")]
    (fault,) = full_faults(text.replace(rib, "").replace("[part.body]", rib + "[part.body]"))

    assert "Did you mean body" in fault.problem
