"""All reckoners together: names, the page, and what happens with bad input."""

import json
import math
from pathlib import Path

import pytest

from foldwright.reckon import RECKONERS, ReckonerFaults, as_json, in_words, page, reckon

PAGE = Path(__file__).parents[2] / "docs" / "ready-reckoner.md"
AWKWARD = ("0", "-1", "1e-9", "1e9", "nan", "", "1/0", "3 bananas")


def each(reckoners=RECKONERS):
    return pytest.mark.parametrize("reckoner", reckoners, ids=lambda r: r.name)


def test_the_page_is_what_the_definitions_say():
    assert PAGE.read_text(encoding="utf-8") == page(RECKONERS)


def test_names_are_unlike_and_groups_stand_together():
    names = [r.name for r in RECKONERS]
    groups = [r.group for r in RECKONERS]

    assert len(set(names)) == len(names)
    assert groups == sorted(groups, key=groups.index)


@each()
def test_every_definition_is_whole(reckoner):
    for text in (reckoner.title, reckoner.formula, reckoner.source, reckoner.domain):
        assert text.strip()
    assert not reckoner.title.endswith(".")
    assert set(reckoner.example) <= {i.name for i in reckoner.inputs}


@each()
def test_the_example_answers_with_finite_numbers(reckoner):
    answer = reckon(reckoner, reckoner.example).answer
    numbers = [line for line in answer.lines if not isinstance(line.value, str)]

    assert numbers
    assert all(math.isfinite(line.value) and math.isfinite(line.spread) for line in numbers)


@each()
@pytest.mark.parametrize("text", AWKWARD)
def test_bad_input_is_refused_or_answered_never_nan(reckoner, text):
    for asked in reckoner.inputs:
        try:
            reckoned = reckon(reckoner, {**reckoner.example, asked.name: text})
        except ReckonerFaults as fault:
            assert str(fault).strip()
            continue
        json.dumps(as_json(reckoned), allow_nan=False)
        assert "nan" not in in_words(reckoned).split()


@each([r for r in RECKONERS if any(i.usual is None for i in r.inputs)])
def test_what_is_missing_is_asked_for_with_its_unit(reckoner):
    with pytest.raises(ReckonerFaults) as found:
        reckon(reckoner, {})

    for asked in reckoner.inputs:
        if asked.usual is None:
            assert f"{asked.name} is missing" in str(found.value)
