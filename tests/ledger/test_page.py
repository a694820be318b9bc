"""What the page on the ledger's files shows is what the program takes in and gives out."""

import re
from pathlib import Path

import pytest

from foldwright.ledger import STAGES, Ledger, export_history, import_history, import_readings, lines
from foldwright.ledger.rows import RECORDS
from foldwright.ledger.table import COLUMNS, FINISHES, UNITS, WORDS

PAGE = (Path(__file__).parents[2] / "docs" / "ledger-files.md").read_text()


def block(kind):
    (found,) = re.findall(rf"```{kind}\n(.*?)```", PAGE, re.DOTALL)
    return found


@pytest.fixture
def ledger(tmp_path):
    with Ledger(tmp_path / "ledger.sqlite") as ledger:
        yield ledger


def test_the_history_on_the_page_is_taken_in_and_given_out_as_it_stands(ledger, tmp_path):
    path = tmp_path / "history.jsonl"
    path.write_text(block("json"))

    assert len(import_history(ledger, path).added) == 3
    assert ledger.stages()["lamp"] == "cut"
    assert ledger.readings() == ()
    export_history(ledger, tmp_path / "again.jsonl")
    assert (tmp_path / "again.jsonl").read_text() == block("json")


def test_the_rows_on_the_page_are_taken_in(ledger, tmp_path):
    path = tmp_path / "readings.csv"
    path.write_text(block("csv"))

    first, second = import_readings(ledger, path).added

    assert tuple(block("csv").splitlines()[0].split(",")) == COLUMNS
    assert (first.part, first.value, first.note) == ("lamp", 694.03, "two pairs of hands")
    assert (second.part, second.value, second.sigma) == ("lid", 421.5, 0.25)


def test_the_page_names_all_there_is():
    kinds = re.findall(r"^\| (\w+) \| ", PAGE.partition("## Readings")[0], re.MULTILINE)
    columns = re.findall(r"`(\w+)`", "".join(re.findall(r"^\|(.*?)\|", PAGE, re.MULTILINE)))

    assert kinds == ["entry", *RECORDS]
    assert set(columns) == set(COLUMNS)
    for word in (*STAGES, *FINISHES, *UNITS, *WORDS):
        assert re.search(rf"\b{word}\b", PAGE), word
    assert lines.text_of(()).startswith(lines.OPENING)
