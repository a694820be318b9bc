"""What was acknowledged survives a kill, and two writers at once both get through.

A kill takes the process, not the machine: that the disk keeps what was synced when
the power fails rests on SQLite's synchronous FULL, which no test here can pull.
"""

import json
import random
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from foldwright.ledger import Ledger, Revision
from foldwright.ledger.lines import line_of
from foldwright.ledger.rows import RECORDS
from foldwright.ledger.standing import Standing

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
    return {line.rstrip("\n") for line in lines if line.endswith("\n")}


def held(path):
    """Return what stands in the file, as lines; every entry of it whole and in its turn."""
    with Ledger(path) as ledger:
        history = ledger.history()
    afresh = Standing()
    for entry in history:
        afresh.require(entry)
        afresh.add(entry)
        if isinstance(entry, Revision):
            assert [c.parameter for c in entry.changes] == ["a", "b", "c"]
    return {line_of(entry) for entry in history}


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
        # not `communicate`: it passes over what came in one piece with the first line
        out, errors = writer.stdout.read(), writer.stderr.read()
    assert errors == ""
    return acknowledged(out.splitlines(keepends=True)), at_work


def test_nothing_acknowledged_is_lost_when_the_writer_is_killed(tmp_path, is_proof):
    """Kill at random moments, again and again, in one ledger that grows all the while."""
    rng = random.Random(20260301)
    path = tmp_path / "ledger.sqlite"
    known = set()
    kills = 200 if is_proof else 8
    for i in range(kills):
        said, at_work = killed_after(rng.uniform(0.0, 0.15), path, f"part{i}")
        assert at_work  # else nobody was killed while writing
        known |= said
        now = held(path)
        assert known <= now
        # At most the one entry in flight may stand without having been acknowledged.
        assert len(now - known) <= 1
        known = now

    kinds = Counter(json.loads(line)["kind"] for line in known)
    assert set(kinds) == set(RECORDS)
    assert len(known) > kills


def test_a_ledger_killed_in_the_making_can_be_used(tmp_path, is_proof):
    """Kill within the first milliseconds, while file and tables are being made."""
    rng = random.Random(20260302)
    kills = 50 if is_proof else 6
    for i in range(kills):
        path = tmp_path / f"{i}.sqlite"
        said, at_work = killed_after(rng.uniform(0.0, 0.015), path, "part")
        assert at_work
        now = held(path)
        assert said <= now
        with Ledger(path) as ledger:
            added = ledger.scrap("x")
        assert held(path) == now | {line_of(added)}


@pytest.mark.parametrize("made_before", [True, False])
def test_writers_at_once_all_get_through(tmp_path, is_proof, made_before):
    path = tmp_path / "ledger.sqlite"
    count = 100 if is_proof else 10
    known = set()
    if made_before:
        with Ledger(path) as ledger:
            known.add(line_of(ledger.mark("base", "cut")))
    writers = [start(path, name, count) for name in ("one", "two", "three")]
    for writer in writers:
        out, errors = writer.communicate(timeout=300)
        assert (writer.returncode, errors) == (0, "")
        known |= acknowledged(out.splitlines(keepends=True)[1:])

    assert len(known) == 3 * 7 * count + made_before
    assert held(path) == known
    with Ledger(path) as ledger:
        for name in ("one", "two", "three"):
            assert [m.stage for m in ledger.makings(name)] == ["folded"] * count + ["planned"]
