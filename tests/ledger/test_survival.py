"""What was acknowledged survives a kill, and two writers at once both get through.

A kill takes the process, not the machine: that the disk keeps what was synced when
the power fails rests on SQLite's synchronous FULL, which no test here can pull.
"""

import random
import subprocess
import sys
from pathlib import Path

import pytest

from foldwright.ledger import Ledger

WRITER = Path(__file__).with_name("writer.py")


def start(path, name, count):
    return subprocess.Popen(
        [sys.executable, str(WRITER), str(path), name, str(count)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def acknowledged(lines):
    """Complete lines only: the last may have been cut by the kill."""
    whole = [line.split() for line in lines if line.endswith("\n")]
    readings = {(int(n), name, float(v)) for kind, n, name, v in whole if kind == "reading"}
    revisions = {(int(n), name, float(v)) for kind, n, name, v in whole if kind == "revision"}
    return readings, revisions


def held(path):
    with Ledger(path) as ledger:
        readings = {(r.id, r.part, r.value) for r in ledger.readings()}
        revisions = set()
        for revision in ledger.revisions():
            assert [c.parameter for c in revision.changes] == ["a", "b", "c"]
            revisions.add((revision.number, revision.changes[0].part, revision.changes[0].after))
    return readings, revisions


def killed_after(seconds, path, name):
    """Start a writer, kill it, and return what it acknowledged and whether it was at work."""
    with start(path, name, 100_000) as writer:
        assert writer.stdout.readline() == "ready\n"
        try:
            writer.wait(timeout=seconds)
            at_work = False
        except subprocess.TimeoutExpired:
            at_work = True
        writer.kill()
        out, errors = writer.communicate()
    assert errors == ""
    return *acknowledged(out.splitlines(keepends=True)), at_work


def test_nothing_acknowledged_is_lost_when_the_writer_is_killed(tmp_path, is_proof):
    """Kill at random moments, again and again, in one ledger that grows all the while."""
    rng = random.Random(20260301)
    path = tmp_path / "ledger.sqlite"
    readings, revisions = set(), set()
    kills = 150 if is_proof else 8
    for i in range(kills):
        *said, at_work = killed_after(rng.uniform(0.0, 0.15), path, f"part{i}")
        assert at_work  # else nobody was killed while writing
        readings |= said[0]
        revisions |= said[1]
        now = held(path)
        assert readings <= now[0]
        assert revisions <= now[1]
        # At most the one entry in flight may stand without having been acknowledged.
        assert len(now[0] - readings) + len(now[1] - revisions) <= 1
        readings, revisions = now

    assert len(readings) > kills
    assert [n for n, *_ in sorted(revisions)] == list(range(1, len(revisions) + 1))


def test_a_ledger_killed_in_the_making_can_be_used(tmp_path, is_proof):
    """Kill within the first milliseconds, while file and tables are being made."""
    rng = random.Random(20260302)
    kills = 50 if is_proof else 6
    for i in range(kills):
        path = tmp_path / f"{i}.sqlite"
        readings, revisions, at_work = killed_after(rng.uniform(0.0, 0.015), path, "part")
        assert at_work
        now = held(path)
        assert readings <= now[0]
        assert revisions <= now[1]
        with Ledger(path) as ledger:
            ledger.add_reading("x", "y", 1.0, tool="rule", bare=True, drawn=1.0, sigma=0.2)
            assert len(ledger.readings()) == len(now[0]) + 1


@pytest.mark.parametrize("made_before", [True, False])
def test_writers_at_once_all_get_through(tmp_path, is_proof, made_before):
    path = tmp_path / "ledger.sqlite"
    count = 300 if is_proof else 30
    if made_before:
        with Ledger(path) as ledger:
            ledger.withdraw(
                ledger.add_reading(
                    "base", "width", 1.0, tool="rule", bare=True, drawn=1.0, sigma=0.2
                ).id,
                "",
            )
    writers = [start(path, name, count) for name in ("one", "two", "three")]
    readings, revisions = set(), set()
    for writer in writers:
        out, errors = writer.communicate(timeout=300)
        assert (writer.returncode, errors) == (0, "")
        said = acknowledged(out.splitlines(keepends=True)[1:])
        readings |= said[0]
        revisions |= said[1]

    assert len(readings) == 3 * count
    assert held(path) == (readings, revisions)
