"""The ledger goes out to files and comes back; what cannot come back is named by its line."""

import csv
import io
import json
import math
import os
import threading
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.errors import ImportFaults, LedgerTrouble, OutputRefused
from foldwright.ledger import (
    Change,
    Ledger,
    export_history,
    export_readings,
    import_history,
    import_readings,
)

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
NUMBERS = st.floats(allow_nan=False, allow_infinity=False)
WORDS = st.text(st.characters(exclude_categories=["Cs"]))
NAMES = WORDS.map(str.strip).filter(bool)


@pytest.fixture
def ledger(tmp_path):
    """One entry of each kind, and a scrapped making."""
    with Ledger(tmp_path / "ledger.sqlite", clock=lambda: NOON) as ledger:
        read(ledger, "lamp", 694.03, note='größer; "zwei Leute"')
        wrong = read(ledger, "lamp", 6940.3)
        ledger.withdraw(wrong.id, "slip")
        ledger.add_revision([Change("lid", "depth", 1.0, 2.5, 1.0, ("the lamp, wide",))])
        ledger.mark("lamp", "cut")
        ledger.scrap("lamp", "spoiled", was="barrel")
        ledger.forget("curl")
        read(ledger, "lamp", 692.0)
        read(ledger, "lamp", 691.0, instead=True)
        ledger.add_reading(
            "box", "turn", 1.5, tool="protractor", bare=False, drawn=1.57, sigma=0.005
        )
        yield ledger


def read(ledger, part, value, **more):
    return ledger.add_reading(
        part,
        "girth",
        value,
        **({"tool": "tape", "bare": True, "drawn": 691.15, "sigma": 0.5} | more),
    )


@pytest.fixture
def empty(tmp_path):
    with Ledger(tmp_path / "empty.sqlite", clock=lambda: NOON) as ledger:
        yield ledger


@pytest.fixture
def lines(ledger, tmp_path):
    """The history as it was written out; change it, then write it back."""
    path = tmp_path / "history.jsonl"
    export_history(ledger, path)
    return path.read_text().splitlines()


def write(path, lines):
    path.write_text("".join(f"{line}\n" for line in lines))
    return path


def refused(take, ledger, path, *words):
    """Nothing is taken in; return the faults, each of which says so."""
    before = ledger.history()
    with pytest.raises(ImportFaults) as caught:
        take(ledger, path)
    faults = caught.value.faults

    assert ledger.history() == before
    assert all("Nothing was taken in" in fault.remedy for fault in faults)
    for fault, (line, said) in zip(faults, words, strict=True):
        assert fault.line == line
        assert said.lower() in fault.problem.lower()
    return faults


# The whole history


def test_a_history_comes_back_equal(ledger, empty, tmp_path):
    path = tmp_path / "history.jsonl"

    assert export_history(ledger, path) == 10
    done = import_history(empty, path)

    assert empty.history() == ledger.history() == done.added
    assert (done.already, done.passed_over) == (0, 0)
    assert empty.stages() == ledger.stages()


def test_a_history_taken_in_twice_changes_nothing(ledger, empty, tmp_path):
    path = tmp_path / "history.jsonl"
    export_history(ledger, path)
    import_history(empty, path)
    again = import_history(empty, path)

    assert (again.added, again.already) == ((), 10)
    assert import_history(ledger, path).added == ()
    assert empty.history() == ledger.history()


def test_a_copy_catches_up_with_what_was_said_since(ledger, empty, tmp_path):
    path = tmp_path / "history.jsonl"
    export_history(ledger, path)
    import_history(empty, path)
    new = (ledger.mark("lid", "cut"), ledger.undo())
    export_history(ledger, path)
    done = import_history(empty, path)

    assert done.added == ledger.history()[-2:]
    assert done.added[0] == new[0] == new[1]
    assert empty.history() == ledger.history()


def test_an_empty_history_comes_back_and_makes_no_file(empty, tmp_path):
    path = tmp_path / "history.jsonl"

    assert export_history(empty, path) == 0
    assert import_history(empty, path).added == ()
    assert not empty.path.exists()


@given(
    value=NUMBERS,
    drawn=NUMBERS,
    sigma=st.floats(min_value=5e-324, allow_infinity=False),
    words=st.tuples(NAMES, NAMES, NAMES),
    note=WORDS,
    why=st.lists(WORDS, max_size=3),
    bare=st.booleans(),
)
def test_no_bit_and_no_letter_is_lost(
    tmp_path_factory, value, drawn, sigma, words, note, why, bare
):
    folder = tmp_path_factory.mktemp("exchange")
    part, dim, tool = words
    with Ledger(folder / "a.sqlite") as one, Ledger(folder / "b.sqlite") as other:
        one.add_reading(part, dim, value, tool=tool, bare=bare, drawn=drawn, sigma=sigma, note=note)
        one.add_revision([Change(part, dim, value, drawn, sigma, tuple(why))])
        one.mark(part, "cut", note)
        one.scrap(part, note, was=f"{part}-before")
        one.forget(tool, note)
        one.undo(note)
        export_history(one, folder / "out.jsonl")
        import_history(other, folder / "out.jsonl")

        assert other.history() == one.history()
        assert repr(other.history()) == repr(one.history())  # -0.0 is not 0.0


def test_the_lines_are_json_as_rfc_8259_has_it(ledger, lines):
    """Every line by itself is one object; numbers are plain; the heading counts the others."""
    found = [json.loads(line) for line in lines]

    assert found[0]["entries"] == len(found) - 1 == 10
    assert [entry["id"] for entry in found[1:]] == list(range(1, 11))
    assert [entry["kind"] for entry in found[1:8]] == [
        "reading", "reading", "withdrawal", "revision", "stage", "scrap", "forgetting",
    ]  # fmt: skip
    assert found[1]["value"] == 694.03


def test_line_ends_of_another_system_are_understood(empty, lines, tmp_path):
    path = tmp_path / "other.jsonl"
    path.write_bytes(("\ufeff" + "\r\n".join(lines)).encode())

    assert len(import_history(empty, path).added) == 10


@pytest.mark.parametrize(
    ("number", "old", "new", "words"),
    [
        (2, '"value": 694.03', '"value": "694.03"', 'value is "694.03", which is not a number'),
        (2, '"value": 694.03', '"value": NaN', "NaN is no measure"),
        (2, '"value": 694.03', '"value": 1e999', "Value is inf, which is no measure"),
        (2, '"value": 694.03', '"value": 1' + "0" * 400, "which is not a number"),
        (2, '"value": 694.03', '"value": 1' + "0" * 5000, "cannot be read"),
        (2, '"value": 694.03', '"value": true', "value is true, which is not a number"),
        (2, '"value": 694.03, ', "", 'A reading has no "value"'),
        (2, '"value": 694.03', '"valu": 1, "value": 694.03', 'no value of a reading called "valu"'),
        (2, '"value": 694.03', '"value": 1, "value": 694.03', '"value" is said twice'),
        (2, '"id": 1,', '"id": 1.0,', "id is 1.0, which is not a whole number"),
        (2, '"bare": true', '"bare": 1', "bare is 1, which is not true or false"),
        (2, '"part": "lamp"', '"part": ""', "Part is empty"),
        (2, '"sigma": 0.5', '"sigma": -0.5', "Sigma is -0.5"),
        (2, '"making": 1', '"making": 2', "Making 2 of lamp is not on the bench"),
        (2, "2026-03-01T12:00:00Z", "1st of March", 'When is "1st of March"'),
        (2, "2026-03-01T12:00:00Z", "2026-03-01T12:00:00+01:00", "which is no time in UTC"),
        (2, '"part": "lamp"', '"part": "\\ud800"', "Part has a character"),
        (2, '"kind": "reading"', '"kind": "readin"', 'no kind of entry "readin". Did you mean rea'),
        (2, '"kind": "reading"', '"kind": [1]', "no kind of entry"),
        (2, "{", "", "this is no JSON"),
        (4, '"entry": 2', '"entry": 7', 'no entry to withdraw "7"'),
        (5, '"number": 1', '"number": 2', "Revision 2 would follow revision 0"),
        (5, '"why": ["the lamp, wide"]', '"why": "wide"', "which is not a list"),
        (5, '"why": ["the lamp, wide"]', '"why": [1]', "which is not text in quotes"),
        (5, '"after": 2.5, ', "", 'A change has no "after"'),
        (6, '"stage": "cut"', '"stage": "planned"', "lamp is planned already"),
        (6, '"stage": "cut"', '"stage": "painted"', 'no stage "painted"'),
        (7, '"making": 1', '"making": 4', "Making 4 of lamp is not on the bench"),
        (7, '"id": 6', '"id": 8', "Entry 8 would follow entry 5"),
        (11, '"part": "box"', '"part": ["box"]', "which is not text in quotes"),
    ],
)  # fmt: skip
def test_a_line_that_is_wrong_is_named(empty, lines, tmp_path, number, old, new, words):
    assert old in lines[number - 1]
    lines[number - 1] = lines[number - 1].replace(old, new, 1)
    path = write(tmp_path / "wrong.jsonl", lines)

    (fault,) = refused(import_history, empty, path, (number, words))
    assert str(fault).startswith(f"{path}:{number}: ")
    assert not empty.path.exists()


def test_every_line_that_cannot_be_read_is_named_at_once(empty, lines, tmp_path):
    lines[2], lines[5] = "{", "[1, 2]"
    path = write(tmp_path / "wrong.jsonl", lines)

    refused(import_history, empty, path, (3, "This is no JSON"), (6, "This is no JSON object"))


@pytest.mark.parametrize(
    ("change", "number", "words"),
    [
        (lambda lines: lines[:-1], 10, "The heading says 10 entries, and 9 follow"),
        (lambda lines: [*lines, lines[-1]], 12, "The heading says 10 entries, and 11 follow"),
        (lambda lines: lines[1:], 1, "no heading of an exported ledger"),
        (lambda lines: [], 1, "This file is empty"),
        (lambda lines: [lines[0].replace('"form": 1', '"form": 2'), *lines[1:]], 1, "newer Fold"),
        (lambda lines: [lines[0].replace('"form": 1', '"form": true')], 1, "not a whole number"),
        (lambda lines: [lines[0], "[" * 100_000], 2, "cannot be read"),
    ],
)
def test_a_file_that_is_not_whole_is_refused(empty, lines, tmp_path, change, number, words):
    path = write(tmp_path / "wrong.jsonl", change(lines))

    refused(import_history, empty, path, (number, words))


def test_another_history_is_not_mixed_in(ledger, empty, lines, tmp_path):
    read(empty, "lamp", 694.03, note="no words")
    path = write(tmp_path / "history.jsonl", lines)

    refused(import_history, empty, path, (2, "Entry 1 is another one in this ledger"))


def test_a_history_that_fails_late_leaves_nothing(empty, lines, tmp_path):
    """The last line alone is wrong, and the nine before it are not kept either."""
    lines[-1] = lines[-1].replace('"making": 1', '"making": 9')
    path = write(tmp_path / "wrong.jsonl", lines)
    read(empty, "lamp", 694.03, note='größer; "zwei Leute"')

    refused(import_history, empty, path, (11, "Making 9 of box"))


def test_a_full_disk_takes_in_nothing(ledger, empty, tmp_path):
    for _ in range(200):
        read(ledger, "lid", 600.0, note="n" * 2000)
    path = tmp_path / "history.jsonl"
    export_history(ledger, path)
    import_history(empty, write(tmp_path / "few.jsonl", _shortened(path, 5)))
    before = empty.history()
    empty._database._connection.execute("PRAGMA max_page_count = 1")
    with pytest.raises(LedgerTrouble, match="disk is full"):
        import_history(empty, path)

    assert empty.history() == before
    empty.close()
    assert len(import_history(empty, path).added) == 205
    assert empty.history() == ledger.history()


def _shortened(path, count):
    heading, *entries = path.read_text().splitlines()
    return [json.dumps(json.loads(heading) | {"entries": count}), *entries[:count]]


def test_two_programs_taking_in_at_once_take_it_in_once(ledger, tmp_path):
    path = tmp_path / "history.jsonl"
    export_history(ledger, path)
    start = threading.Barrier(3)
    added = []

    def take():
        with Ledger(tmp_path / "shared.sqlite") as shared:
            start.wait()
            added.append(len(import_history(shared, path).added))

    threads = [threading.Thread(target=take) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(added) == [0, 0, 10]


# Readings for a spreadsheet


def rows(path):
    """Read as RFC 4180 has it, by the library that everybody uses."""
    text = path.read_bytes().decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_readings_go_out_one_row_each(ledger, tmp_path):
    path = tmp_path / "readings.csv"

    assert export_readings(ledger, path) == 5
    found = rows(path)

    assert [
        (r["entry"], r["part"], float(r["value"]), r["making"], r["stands"]) for r in found
    ] == [
        ("1", "lamp", 694.03, "1", "scrapped"),
        ("2", "lamp", 6940.3, "1", "withdrawn"),
        ("8", "lamp", 692.0, "2", "measured again"),
        ("9", "lamp", 691.0, "2", "yes"),
        ("10", "box", 1.5, "1", "yes"),
    ]
    assert found[0]["note"] == 'größer; "zwei Leute"'
    assert [(r["unit"], r["finish"], r["tool"]) for r in found[3:]] == [
        ("mm", "bare", "tape"),
        ("rad", "finished", "protractor"),
    ]
    assert path.read_bytes().count(b"\r\n") == 6  # RFC 4180, 2.1


def table(path, text, mark=""):
    path.write_bytes((mark + text).encode())
    return path


HEADING = "part,dim,value,tool,drawn"


def test_a_row_typed_by_hand_needs_but_little(empty, tmp_path):
    path = table(tmp_path / "typed.csv", f"{HEADING}\nlamp,girth,694.5,tape,691.15\n")
    (new,) = import_readings(empty, path).added

    assert (new.part, new.dim, new.value, new.tool, new.drawn) == (
        "lamp", "girth", 694.5, "tape", 691.15,
    )  # fmt: skip
    assert (new.sigma, new.bare, new.when, new.note) == (0.5, True, "2026-03-01T12:00:00Z", "")
    assert (new.revision, new.making, new.instead) == (0, 1, False)
    assert empty.readings() == (new,)


def test_rows_taken_in_twice_change_nothing(empty, tmp_path):
    """Also equal rows, of which each is a reading, and those without a time."""
    path = table(
        tmp_path / "typed.csv",
        f"{HEADING},when\n"
        "lamp,girth,694.5,tape,691.15,\n"
        "lamp,girth,694.5,tape,691.15,2026-02-01T09:00:00Z\n"
        "lamp,girth,694.5,tape,691.15,\n",
    )
    assert len(import_readings(empty, path).added) == 3

    again = import_readings(empty, path)

    assert (again.added, again.already) == ((), 3)
    assert len(empty.history()) == 3


def test_of_two_equal_rows_each_needs_a_reading_of_its_own(empty, tmp_path):
    row = "lamp,girth,694.5,tape,691.15\n"
    import_readings(empty, table(tmp_path / "one.csv", f"{HEADING}\n{row}"))
    done = import_readings(empty, table(tmp_path / "two.csv", f"{HEADING}\n{row}{row}"))

    assert (len(done.added), done.already) == (1, 1)
    assert len(empty.readings()) == 2


def test_a_reading_that_was_withdrawn_since_does_not_come_back(empty, tmp_path):
    path = table(tmp_path / "typed.csv", f"{HEADING}\nlamp,girth,694.5,tape,691.15\n")
    import_readings(empty, path)
    empty.undo()

    assert import_readings(empty, path).already == 1
    assert empty.readings() == ()


def test_only_what_stands_is_taken_in(ledger, empty, tmp_path):
    path = tmp_path / "readings.csv"
    export_readings(ledger, path)
    empty.scrap("lamp")  # so that the second making is on the bench here too
    done = import_readings(empty, path)

    assert [(r.part, r.value) for r in done.added] == [("lamp", 691.0), ("box", 1.5)]
    assert (done.already, done.passed_over) == (0, 3)
    assert import_readings(ledger, path).added == ()


def test_a_making_that_is_not_on_the_bench_is_refused(ledger, empty, tmp_path):
    path = tmp_path / "readings.csv"
    export_readings(ledger, path)

    refused(import_readings, empty, path, (5, "Making 2 of lamp is not on the bench"))


@pytest.mark.parametrize(("between", "point"), [(";", ","), ("\t", ","), (";", "."), (",", ".")])
def test_what_spreadsheets_make_of_it_is_understood(empty, tmp_path, between, point):
    heading = HEADING.replace(",", between) + between + "note"
    row = between.join(["lamp", "girth", f"694{point}5", "tape", f"691{point}15", '"3,5 zu weit"'])
    path = table(tmp_path / "typed.csv", f"{heading}\r\n{row}\r\n\r\n", mark="\ufeff")
    (new,) = import_readings(empty, path).added

    assert (new.value, new.drawn, new.note) == (694.5, 691.15, "3,5 zu weit")


@pytest.mark.parametrize(
    ("tool", "unit", "typed", "value"),
    [
        ("rule", "in", 10.0, 254.0),  # NIST SP 811, B.8: exactly 25.4; value from memory, unchecked
        ("rule", "", 10.0, 10.0),
        ("protractor", "deg", 90.0, math.pi / 2.0),
        ("protractor", "", 1.5, 1.5),
    ],
)
def test_a_row_says_its_unit(empty, tmp_path, tool, unit, typed, value):
    path = table(tmp_path / "typed.csv", f"{HEADING},unit\nbox,x,{typed},{tool},{typed},{unit}\n")
    (new,) = import_readings(empty, path).added

    assert new.value == new.drawn == pytest.approx(value, rel=1e-15)
    assert import_readings(empty, path).added == ()


def test_a_note_that_looks_like_a_formula_is_kept_from_being_one(ledger, empty, tmp_path):
    notes = ["=1+1", "+49", "-5", "@lamp", "'quoted", "\ttab", "plain = plain"]
    for note in notes:
        read(ledger, "lid", 600.0, note=note)
    path = tmp_path / "readings.csv"
    export_readings(ledger, path)
    shown = [row["note"] for row in rows(path)][-len(notes) :]
    empty.scrap("lamp")
    done = import_readings(empty, path)

    assert not [note for note in shown if note[0] in "=+-@\t"]
    assert [r.note for r in done.added][-len(notes) :] == notes


@given(
    told=st.lists(
        st.tuples(NAMES, NAMES, NUMBERS, WORDS, st.booleans(), NUMBERS, st.integers(0, 9)),
        max_size=6,
    )
)
def test_rows_come_back_as_they_went(tmp_path_factory, told):
    folder = tmp_path_factory.mktemp("rows")
    with Ledger(folder / "a.sqlite") as one, Ledger(folder / "b.sqlite") as other:
        for part, dim, value, note, bare, drawn, revision in told:
            one.add_reading(
                part, dim, value, tool="rule", bare=bare, drawn=drawn, sigma=0.25, note=note,
                revision=revision,
            )  # fmt: skip
        export_readings(one, folder / "out.csv")
        import_readings(other, folder / "out.csv")
        again = import_readings(other, folder / "out.csv")

        assert other.readings() == one.readings()
        assert (again.added, again.already) == ((), len(told))


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("lamp,girth,,tape,691", 'Value is "", which is no number'),
        ("lamp,girth,nan,tape,691", 'Value is "nan", which is no number'),
        ("lamp,girth,1e999,tape,691", "Value is inf, which is no measure"),
        ('lamp,girth,"694,5",tape,691', 'Value is "694,5", which is no number'),
        ("lamp,girth,1_000,tape,691", "which is no number"),
        ("lamp,girth,694.5,tape,about 691", 'Drawn is "about 691"'),
        ("lamp,girth,694.5,tap,691", 'no tool "tap". Did you mean tape'),
        ("lamp,girth,694.5,tape", "This row has 4 cells, and the heading 5"),
        ("lamp,girth,694.5,tape,691,why", "This row has 6 cells"),
        (",girth,694.5,tape,691", "Part is empty"),
        ("lamp,,694.5,tape,691", "Dim is empty"),
    ],
)
def test_a_row_that_is_wrong_is_named(empty, tmp_path, row, words):
    text = f"{HEADING}\nlid,depth,600,rule,600\n\n{row}\n"
    path = table(tmp_path / "wrong.csv", text)

    refused(import_readings, empty, path, (4, words))
    assert not empty.path.exists()


@pytest.mark.parametrize(
    ("column", "cell", "words"),
    [
        ("sigma", "0", "Sigma is 0"),
        ("sigma", "a little", 'Sigma is "a little"'),
        ("making", "2", "Making 2 of lamp is not on the bench, making 1 is"),
        ("making", "one", 'Making is "one", which is no count'),
        ("revision", "-1", 'Revision is "-1", which is no count'),
        ("revision", "9" * 30, "which is no count"),
        ("entry", "1.5", 'Entry is "1.5", which is no count'),
        ("finish", "painted", 'no word for finish "painted"'),
        ("stands", "maybe", 'no word for stands "maybe"'),
        ("unit", "furlong", 'no unit "furlong"'),
        ("unit", "deg", "A tape does not read deg"),
        ("when", "yesterday", 'When is "yesterday"'),
    ],
)
def test_a_cell_that_is_wrong_is_named(empty, tmp_path, column, cell, words):
    text = f"{HEADING},{column}\nlamp,girth,694.5,tape,691,{cell}\n"
    path = table(tmp_path / "wrong.csv", text)

    refused(import_readings, empty, path, (2, words))


def test_every_row_that_is_wrong_is_named_at_once(empty, tmp_path):
    text = f'{HEADING},note\nlamp,girth,x,tape,1,\nlid,depth,1,rule,1,"two\nlines"\n'
    text += "lid,depth,y,rule,1,\nlid,depth,1,rule,1,ok\n"
    path = table(tmp_path / "wrong.csv", text)

    refused(import_readings, empty, path, (2, 'Value is "x"'), (5, 'Value is "y"'))


@pytest.mark.parametrize(
    ("text", "number", "words"),
    [
        ("", 1, "This file is empty"),
        ("\n\n", 1, "This file is empty"),
        ("part,dim,value,tool\n", 1, "no column drawn"),
        (f"{HEADING},colour\n", 1, 'no column "colour"'),
        (f"{HEADING},Part\n", 1, "two columns part"),
        (f'{HEADING}\nlamp,girth,"694\n', 2, "Is a quote never closed?"),
        (f'{HEADING}\nlamp,girth,"694"5,tape,691\n', 2, "no row of cells"),
    ],
)
def test_a_table_that_is_none_is_refused(empty, tmp_path, text, number, words):
    refused(import_readings, empty, table(tmp_path / "wrong.csv", text), (number, words))


def test_a_heading_alone_takes_in_nothing(empty, tmp_path):
    assert import_readings(empty, table(tmp_path / "t.csv", f"{HEADING},,\n")).added == ()
    assert not empty.path.exists()


def test_a_value_altered_in_the_spreadsheet_is_not_altered_here(ledger, tmp_path):
    path = tmp_path / "readings.csv"
    export_readings(ledger, path)
    content = path.read_bytes().decode("utf-8-sig")
    table(path, content.replace("691.0,mm", "691.7,mm"))

    refused(import_readings, ledger, path, (5, "Entry 9 is lamp.girth 691.0 in this ledger"))


# Files


@pytest.mark.parametrize("take", [import_history, import_readings])
def test_a_file_that_cannot_be_read_is_named(empty, tmp_path, take):
    refused(take, empty, tmp_path / "nowhere", (0, "It cannot be read: No such file"))
    refused(take, empty, tmp_path, (0, "It cannot be read: Is a directory"))
    latin = tmp_path / "latin"
    latin.write_bytes(b"part\nlamp\ngr\xf6sse\n")
    refused(take, empty, latin, (3, "not coded in UTF-8"))


GIVE = [export_history, export_readings]


@pytest.mark.parametrize("give", GIVE)
def test_an_export_replaces_an_earlier_one_and_nothing_else(ledger, tmp_path, give):
    path = tmp_path / "out"
    give(ledger, path)
    first = path.read_bytes()
    read(ledger, "lid", 600.0)
    give(ledger, path)
    assert path.read_bytes() != first

    path.write_text("dear diary")
    with pytest.raises(OutputRefused, match="left alone. Give another name"):
        give(ledger, path)
    assert path.read_text() == "dear diary"
    with pytest.raises(OutputRefused, match="left alone"):
        give(ledger, ledger.path)
    with pytest.raises(OutputRefused, match="cannot be written"):
        give(ledger, tmp_path)
    with pytest.raises(OutputRefused, match="cannot be written: No such file"):
        give(ledger, tmp_path / "nowhere" / "out")


@pytest.mark.parametrize("give", GIVE)
def test_an_export_that_fails_leaves_the_earlier_one(ledger, tmp_path, monkeypatch, give):
    folder = tmp_path / "given"
    folder.mkdir()
    path = folder / "out"
    give(ledger, path)
    first = path.read_bytes()
    read(ledger, "lid", 600.0)

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputRefused, match="No space left.*What was there is as it was"):
        give(ledger, path)

    assert path.read_bytes() == first
    assert os.listdir(folder) == ["out"]
