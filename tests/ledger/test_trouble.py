"""A ledger that cannot be used says so in words, and is left as it is."""

import os
import shutil
import sqlite3
import subprocess
import sys
import textwrap
import threading

import pytest

from foldwright.errors import LedgerTrouble
from foldwright.ledger import Ledger, export_history, import_history, schema

BY_TAPE = {"tool": "tape", "bare": True, "drawn": 600.0, "sigma": 0.5}


@pytest.fixture
def path(tmp_path):
    """A ledger with forty readings, closed."""
    path = tmp_path / "ledger.sqlite"
    with Ledger(path) as ledger:
        for i in range(40):
            ledger.add_reading("lamp", "girth", 600.0 + i, **BY_TAPE, note="n" * 200)
    return path


def refused(path, words, *, patience=0.2):
    """Both a read and a write are refused in these words, and the file stays as it is."""
    before = path.read_bytes()
    for use in (
        lambda ledger: ledger.readings(),
        lambda ledger: ledger.add_reading("lamp", "girth", 1.0, **BY_TAPE),
    ):
        with Ledger(path, patience=patience) as ledger, pytest.raises(LedgerTrouble, match=words):
            use(ledger)
    assert path.read_bytes() == before


def alter(path, statement):
    database = sqlite3.connect(path)
    try:
        database.execute(statement)
        database.commit()
        database.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    finally:
        database.close()


def test_a_newer_ledger_is_left_to_a_newer_version(path):
    alter(path, f"PRAGMA user_version = {schema.FORM + 1}")

    refused(path, "newer Foldwright .*Update Foldwright")


def test_a_strange_database_is_not_written_to(tmp_path):
    path = tmp_path / "ledger.sqlite"
    alter(path, "CREATE TABLE songs (name TEXT)")

    refused(path, "no ledger of Foldwright's")


def test_ten_megabytes_of_junk_are_no_ledger(tmp_path):
    path = tmp_path / "ledger.sqlite"
    path.write_bytes(bytes(range(256)) * 40_960)

    refused(path, "damaged .*Put back a copy")


def test_a_cut_off_file_is_damaged(path):
    path.write_bytes(path.read_bytes()[: -2 * 4096])

    refused(path, "damaged")


def test_an_overwritten_page_is_damaged(path):
    content = bytearray(path.read_bytes())
    middle = len(content) // 8192 * 4096
    content[middle : middle + 4096] = os.urandom(4096)
    path.write_bytes(content)

    refused(path, "damaged")


@pytest.mark.parametrize(
    "rows",
    [
        "INSERT INTO entry VALUES (41, 'stage', '2026-03-01T12:00:00Z')",
        "INSERT INTO entry VALUES (41, 'stage', '2026-03-01T12:00:00Z');"
        "INSERT INTO entry VALUES (42, 'scrap', '2026-03-01T12:00:00Z');"
        "INSERT INTO scrap VALUES (42, 'lamp', '', 1, '')",
        "INSERT INTO entry VALUES (41, 'stage', '2026-03-01T12:00:00Z');"
        "INSERT INTO stage VALUES (41, 'lamp', 'cut', '', 0, 1);"
        "INSERT INTO scrap VALUES (41, 'lamp', '', 1, '')",
    ],
)
def test_an_entry_that_a_stranger_left_half_written_is_damage(path, rows):
    for statement in rows.split(";"):
        alter(path, statement)

    refused(path, "damaged .entry 4[12] is not whole.*Put back a copy")


def test_an_empty_file_is_an_empty_ledger(tmp_path):
    """A program killed between making the file and its first entry leaves this."""
    path = tmp_path / "ledger.sqlite"
    path.touch()
    with Ledger(path) as ledger:
        assert ledger.readings() == ()
        first = ledger.add_reading("lamp", "girth", 601.0, **BY_TAPE)

        assert ledger.readings() == (first,)


def test_a_folder_in_its_place_is_refused(tmp_path):
    path = tmp_path / "ledger.sqlite"
    path.mkdir()

    with Ledger(path) as ledger, pytest.raises(LedgerTrouble, match="cannot be opened"):
        ledger.add_reading("lamp", "girth", 1.0, **BY_TAPE)


def test_a_missing_folder_is_named(tmp_path):
    path = tmp_path / "lamp" / "ledger.sqlite"
    with Ledger(path) as ledger, pytest.raises(LedgerTrouble, match="no folder .*lamp"):
        ledger.add_reading("lamp", "girth", 1.0, **BY_TAPE)
    assert list(tmp_path.iterdir()) == []


def test_a_busy_ledger_says_so_but_can_be_read(path):
    other = sqlite3.connect(path, isolation_level=None)
    try:
        other.execute("BEGIN IMMEDIATE")
        with Ledger(path, patience=0.2) as ledger:
            assert len(ledger.readings()) == 40
            out = path.with_name("out.jsonl")
            export_history(ledger, out)
            for write in (
                lambda: ledger.add_reading("lamp", "girth", 1.0, **BY_TAPE),
                lambda: ledger.mark("lamp", "cut"),
                ledger.undo,
                lambda: import_history(ledger, out),
            ):
                with pytest.raises(LedgerTrouble, match="in use by another program for more than"):
                    write()
            other.execute("ROLLBACK")

            assert ledger.add_reading("lamp", "girth", 1.0, **BY_TAPE).id == 41
    finally:
        other.close()


def test_a_ledger_being_made_by_another_program_is_waited_for(tmp_path):
    """SQLite itself refuses at once when the log is turned on while another holds the file."""
    path = tmp_path / "ledger.sqlite"
    other = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    release = threading.Timer(0.3, other.execute, ["ROLLBACK"])
    release.start()
    try:
        with Ledger(path, patience=10.0) as ledger:
            assert ledger.add_reading("lamp", "girth", 1.0, **BY_TAPE).id == 1
    finally:
        release.join()
        other.close()


def test_entries_are_synced_in_full_to_a_log(path):
    """What the promise rests on when the power fails, which no test can pull.

    SQLite documentation, "Write-Ahead Logging" and "PRAGMA synchronous": in WAL mode
    FULL (2) syncs the log after each commit, NORMAL (1) may lose the last ones.
    """
    with Ledger(path) as ledger:
        ledger.readings()
        connection = ledger._database._connection

        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        assert connection.execute("PRAGMA synchronous").fetchone() == (2,)


def run(code, *arguments):
    """Run code in a process of its own, which may bind itself."""
    return subprocess.run(
        [sys.executable, "-c", textwrap.dedent(code), *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=60,
    )


FILL = """
    import resource, sys
    from pathlib import Path
    from foldwright.errors import LedgerTrouble
    from foldwright.ledger import Ledger

    resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))
    ledger = Ledger(Path(sys.argv[1]))
    try:
        while True:
            reading = ledger.add_reading(
                "lamp", "girth", 600.0, tool="tape", bare=True, drawn=600.0, sigma=0.5,
                note="n" * 2000,
            )
            print(reading.id)
    except LedgerTrouble as trouble:
        print(trouble, file=sys.stderr)
"""


def test_a_file_that_cannot_grow_keeps_what_was_acknowledged(tmp_path):
    """The system's limit on file size stands in for a broken disk."""
    path = tmp_path / "ledger.sqlite"
    filling = run(FILL, path)
    lines = [int(line) for line in filling.stdout.split()]

    assert filling.returncode == 0
    assert "Nothing was written" in filling.stderr
    assert len(lines) > 10
    with Ledger(path) as ledger:
        assert [r.id for r in ledger.readings()] == lines
        assert ledger.add_reading("lamp", "girth", 1.0, **BY_TAPE).id == lines[-1] + 1


def test_a_full_disk_is_named(tmp_path):
    """SQLite's own limit on pages stands in for the disk: it gives the same error."""
    path = tmp_path / "ledger.sqlite"
    with Ledger(path) as ledger:
        first = ledger.add_reading("lamp", "girth", 600.0, **BY_TAPE)
        ledger._database._connection.execute("PRAGMA max_page_count = 1")
        with pytest.raises(LedgerTrouble, match="disk is full.*Make room"):
            for _ in range(1000):
                ledger.add_reading("lamp", "girth", 600.0, **BY_TAPE, note="n" * 2000)

        assert ledger.readings()[0] == first


PROTECTED = """
    import os, sys
    from pathlib import Path
    from foldwright.errors import LedgerTrouble, OutputRefused
    from foldwright.ledger import Ledger, export_history

    Path.cwd().as_uri()  # loads the rest of Python while we may still read it
    if os.geteuid() == 0:
        os.setgid(65534)
        os.setuid(65534)  # the superuser may write to anything
    with Ledger(Path(sys.argv[1])) as ledger:
        print(len(ledger.readings()))
        try:
            ledger.add_reading(
                "lamp", "girth", 1.0, tool="tape", bare=True, drawn=1.0, sigma=0.5
            )
        except LedgerTrouble as trouble:
            print(trouble)
        try:
            export_history(ledger, Path(sys.argv[1]).with_name("out.jsonl"))
        except OutputRefused as refused:
            print(refused)
"""


def test_a_protected_ledger_can_be_read_but_not_written(path, open_folder):
    protected = shutil.copy(path, open_folder / "ledger.sqlite")
    protected.chmod(0o444)
    open_folder.chmod(0o555)
    before = protected.read_bytes()

    said = run(PROTECTED, protected)

    assert said.stderr == ""
    assert said.stdout.startswith("40\n")
    assert "cannot be opened for writing" in said.stdout
    assert "out.jsonl cannot be written: Permission denied" in said.stdout
    assert protected.read_bytes() == before
