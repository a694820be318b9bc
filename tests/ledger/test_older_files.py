"""A ledger written by an older version opens and keeps everything it was told."""

import os
import shutil
import sqlite3
import subprocess
import sys
import threading

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.errors import LedgerTrouble
from foldwright.ledger import Change, Ledger, Reading, Revision, Withdrawal, schema
from ledger.first_form import ROWS, write_first_form

BY_RULE = {"tool": "rule", "bare": True, "drawn": 500.0, "sigma": 0.25}
# The rows of `first_form`, in the order in which they were written down.
HISTORY = (
    Reading(
        1, "lamp", "girth", 694.03, "tape", True, "2026-03-01T12:00:00Z", "größer", 0, 691.15, 0.5
    ),
    Reading(2, "lamp", "girth", 649.03, "tape", True, "2026-03-01T12:01:00Z", "", 0, 691.15, 0.5),
    Withdrawal(3, 2, "2026-03-01T12:02:00Z", "figures swapped"),
    Revision(
        1,
        "2026-03-01T12:03:00Z",
        (
            Change("lamp_cap", "outside_d", 219.72, 220.9, 219.72, ("the lamp is 0.9 large",)),
            Change("lid", "depth", 420.0, 421.5, 420.0),
        ),
        id=4,
    ),
    Reading(5, "base", "width", 500.25, "rule", False, "2026-03-01T12:04:00Z", "", 0, 500.0, 0.25),
    Revision(2, "2026-03-01T12:05:00Z", (Change("lid", "depth", 421.5, 421.0, 420.0),), id=6),
    Reading(7, "lid", "depth", 421.25, "rule", True, "2026-03-01T12:06:00Z", "", 2, 421.0, 0.25),
)


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "ledger.sqlite"
    write_first_form(path)
    return path


def form_of(path):
    file = sqlite3.connect(path)
    try:
        return file.execute("PRAGMA user_version").fetchone()[0]
    finally:
        file.close()


def test_an_older_file_tells_all_it_was_told_in_order(path):
    with Ledger(path) as ledger:
        assert ledger.history() == HISTORY
        assert [r.part for r in ledger.readings()] == ["lamp", "base", "lid"]
        assert [r.number for r in ledger.revisions()] == [1, 2]
        assert ledger.kept()["lid", "depth"].after == 421.0


def test_reading_an_older_file_leaves_it_as_it_is(path):
    before = path.read_bytes()
    with Ledger(path) as ledger:
        ledger.history()
        ledger.stages()

    assert path.read_bytes() == before
    assert form_of(path) == 1


def test_the_first_entry_brings_an_older_file_along(path):
    with Ledger(path) as ledger:
        marked = ledger.mark("lamp", "cut")

        assert ledger.history() == (*HISTORY, marked)
    assert form_of(path) == schema.FORM
    with Ledger(path) as ledger:
        assert ledger.history() == (*HISTORY, marked)


def test_what_is_brought_along_can_be_taken_back_newest_first(path):
    with Ledger(path) as ledger:
        taken = [ledger.undo().id for _ in range(5)]

        assert taken == [7, 6, 5, 4, 1]  # 3 withdrew 2 already
        assert ledger.readings() == ()
        assert dict(ledger.kept()) == {}


def test_an_older_file_brought_along_refuses_to_forget(path):
    with Ledger(path) as ledger:
        ledger.mark("lamp", "cut")
    stranger = sqlite3.connect(path)
    try:
        for table in ("entry", "reading", "withdrawal", "revision", "change", "stage"):
            with pytest.raises(sqlite3.IntegrityError, match="append-only"), stranger:
                stranger.execute(f"DELETE FROM {table}")
        tables = {name for (name,) in stranger.execute("SELECT name FROM sqlite_schema")}
    finally:
        stranger.close()
    fresh = path.with_name("fresh.sqlite")
    with Ledger(fresh) as ledger:
        ledger.mark("lamp", "cut")
    new = sqlite3.connect(fresh)
    try:
        assert tables == {name for (name,) in new.execute("SELECT name FROM sqlite_schema")}
    finally:
        new.close()


def test_an_entry_that_is_refused_leaves_an_older_file_as_it_is(path):
    before = path.read_bytes()
    with Ledger(path) as ledger:
        with pytest.raises(LookupError):
            ledger.withdraw(99)

        assert ledger.history() == HISTORY
        assert form_of(path) == 1
    assert path.read_bytes() == before


def test_a_step_that_fails_half_way_leaves_an_older_file_as_it_is(path, monkeypatch):
    """The step runs to its end, then the disk fails."""

    def failing(file):
        schema._from_form_1(file)
        raise sqlite3.OperationalError("disk I/O error")

    monkeypatch.setattr("foldwright.ledger.store.STEPS", {1: failing})
    with Ledger(path) as ledger, pytest.raises(LedgerTrouble, match="disk I/O error"):
        ledger.mark("lamp", "cut")
    monkeypatch.undo()

    assert form_of(path) == 1
    with Ledger(path) as ledger:
        assert ledger.history() == HISTORY


def test_a_step_that_was_undone_is_not_remembered(path):
    """The older program goes on in between, with a clock that was set back."""
    with Ledger(path) as ledger:
        with pytest.raises(LookupError):
            ledger.withdraw(99)
        older = sqlite3.connect(path)
        older.execute(
            "INSERT INTO reading VALUES (6, 'lid', 'depth', 1, 'rule', 1, '2026-02-01T12:00:00Z',"
            " '', 0, 1, 0.25)"
        )
        older.execute("INSERT INTO revision VALUES (3, '2026-03-01T12:07:00Z')")
        older.execute("INSERT INTO change VALUES (4, 3, 'lid', 'depth', 1, 2, 1, '[]')")
        older.commit()
        with pytest.raises(LookupError):
            ledger.withdraw(99)
        older.execute(
            "INSERT INTO reading VALUES (7, 'lid', 'depth', 2, 'rule', 1, '2026-02-01T12:00:00Z',"
            " '', 0, 1, 0.25)"
        )
        older.commit()
        older.close()
        ledger.mark("lamp", "cut")
        told = ledger.history()
    with Ledger(path) as afresh:
        assert afresh.history() == told


def test_an_older_file_on_a_full_disk_stays_whole(path):
    with Ledger(path) as ledger:
        ledger.history()
        ledger._database._connection.execute("PRAGMA max_page_count = 1")
        with pytest.raises(LedgerTrouble, match="disk is full"):
            ledger.mark("lamp", "cut", "n" * 20_000)

        assert ledger.history() == HISTORY
    assert form_of(path) == 1


def test_a_revision_kept_before_any_reading_comes_first(tmp_path):
    """Nothing but the reading's word tells their order: the clock ran backwards."""
    path = tmp_path / "ledger.sqlite"
    write_first_form(
        path,
        """
        INSERT INTO revision VALUES (1, '2026-03-01T12:00:00Z');
        INSERT INTO change VALUES (1, 1, 'lid', 'depth', 1, 2, 1, '[]');
        INSERT INTO reading VALUES (1, 'lid', 'depth', 2, 'rule', 1, '2026-02-01T12:00:00Z',
            '', 1, 2, 0.25);
        """,
    )
    with Ledger(path) as ledger:
        assert [type(entry) for entry in ledger.history()] == [Revision, Reading]


def test_an_empty_older_file_can_be_used(tmp_path):
    path = tmp_path / "ledger.sqlite"
    write_first_form(path, "")
    with Ledger(path) as ledger:
        assert ledger.history() == ()
        assert ledger.mark("lamp", "cut").id == 1


@given(
    moments=st.lists(st.tuples(st.sampled_from("rwv"), st.integers(0, 59)), max_size=20),
    orderly=st.booleans(),
)
def test_nothing_is_lost_whatever_the_clock_said(tmp_path_factory, moments, orderly):
    """Readings (r), withdrawals (w) and revisions (v) keep their own order, and all come along."""
    path = tmp_path_factory.mktemp("older") / "ledger.sqlite"
    seconds = sorted(s for _, s in moments) if orderly else [s for _, s in moments]
    line = number = 0
    free, rows, told = [], [], []
    for (kind, _), second in zip(moments, seconds, strict=True):
        when = f"2026-03-01T12:00:{second:02}Z"
        if kind == "v":
            number += 1
            rows.append(f"INSERT INTO revision VALUES ({number}, '{when}');")
            rows.append(
                f"INSERT INTO change VALUES ({number}, {number}, 'lid', 'depth', 1, {number}, 1,"
                " '[]');"
            )
            told.append(("revision", number))
        elif kind == "r" or not free:
            line += 1
            free.append(line)
            rows.append(
                f"INSERT INTO reading VALUES ({line}, 'lamp', 'girth', {line}, 'tape', 1, '{when}',"
                f" '', {number}, 1, 0.5);"
            )
            told.append(("reading", line))
        else:
            line += 1
            target = free.pop()
            rows.append(f"INSERT INTO withdrawal VALUES ({line}, {target}, '{when}', '{target}');")
            told.append(("withdrawal", target))
    write_first_form(path, "\n".join(rows))

    with Ledger(path) as ledger:
        history = ledger.history()
        found = []
        for entry in history:
            match entry:
                case Reading():
                    found.append(("reading", entry.value))
                    assert entry.revision < ledger.standing().next_revision
                case Withdrawal():
                    taken = history[entry.entry - 1]
                    assert str(int(taken.value)) == entry.note
                    found.append(("withdrawal", taken.value))
                case Revision():
                    found.append(("revision", entry.number))
        ledger.mark("lamp", "cut")
        assert ledger.history()[:-1] == history

    assert sorted(found) == sorted(told)
    of_own_kind = [
        [e for e in run if (e[0] == "revision") == v] for run in (found, told) for v in (0, 1)
    ]
    assert of_own_kind[:2] == of_own_kind[2:]


def test_two_programs_that_bring_a_file_along_at_once_both_get_through(path):
    """One does, the other finds it done."""
    start = threading.Barrier(2)
    made = []

    def mark(part):
        with Ledger(path) as ledger:
            ledger.history()
            start.wait()
            made.append(ledger.mark(part, "cut"))

    threads = [threading.Thread(target=mark, args=(part,)) for part in ("lamp", "lid")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    with Ledger(path) as ledger:
        assert ledger.history() == (*HISTORY, *sorted(made, key=lambda entry: entry.id))


KILLED = """
import os, sys
from pathlib import Path
from foldwright.ledger import Ledger, store, schema

def kill_after(count):
    def step(file):
        plain = schema._insert
        left = [count]
        def counted(file, table, row):
            if not left[0]:
                os.kill(os.getpid(), 9)
            left[0] -= 1
            plain(file, table, row)
        schema._insert = counted
        schema._from_form_1(file)
        os.kill(os.getpid(), 9)
    return step

store.STEPS = {1: kill_after(int(sys.argv[2]))}
with Ledger(Path(sys.argv[1])) as ledger:
    ledger.mark("lamp", "cut")
"""


@pytest.mark.parametrize("rows", [0, 1, 7, 99])
def test_a_file_killed_while_it_is_brought_along_is_still_whole(path, rows):
    """Killed before the first row, after some, and before the step is committed."""
    died = subprocess.run([sys.executable, "-c", KILLED, str(path), str(rows)], timeout=60)

    assert died.returncode == -9
    assert form_of(path) == 1
    with Ledger(path) as ledger:
        assert ledger.history() == HISTORY
        ledger.mark("lamp", "cut")
        assert len(ledger.history()) == len(HISTORY) + 1


READ = """
import os, sys
from pathlib import Path
from foldwright.ledger import Ledger

Path.cwd().as_uri()
if os.geteuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
with Ledger(Path(sys.argv[1])) as ledger:
    print(len(ledger.history()))
"""


def test_an_older_file_on_a_protected_card_can_be_read(path, open_folder):
    protected = shutil.copy(path, open_folder / "ledger.sqlite")
    protected.chmod(0o444)
    open_folder.chmod(0o555)
    said = subprocess.run(
        [sys.executable, "-c", READ, str(protected)], capture_output=True, text=True, timeout=60
    )

    assert (said.stdout, said.stderr) == (f"{len(HISTORY)}\n", "")
    assert os.listdir(open_folder) == ["ledger.sqlite"]


def test_the_rows_of_an_older_file_are_those_asked_for():
    """Guards this file: every kind of row of form 1 is among them."""
    assert all(f"INSERT INTO {t}" in ROWS for t in ("reading", "withdrawal", "revision", "change"))
