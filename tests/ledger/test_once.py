"""What is sent again, because its answer was lost, is written once: whoever answers by then."""

import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from foldwright.errors import OutOfDomain
from foldwright.ledger import Ledger, store


def add(ledger):
    return ledger.add_reading(
        "lamp", "girth", 694.0, tool="tape", bare=True, drawn=691.2, sigma=0.5
    )


def cut(ledger):
    return ledger.mark("lamp", "cut")


def test_what_comes_twice_under_a_key_is_written_once(tmp_path):
    """Also when another program asks, and when it wrote nothing, and after it was refused."""
    path = tmp_path / "ledger.sqlite"
    with Ledger(path) as first, Ledger(path) as second:
        lines = first.once("k", lambda: (add(first), add(first)))
        with pytest.raises(ZeroDivisionError):
            first.once("refused", lambda: (add(first), 1 / 0))

        assert lines == range(1, 3)
        assert second.once("k", lambda: add(second)) == lines == second.sent("k")
        assert first.once("other", lambda: None) == range(3, 3) == second.sent("other")
        assert second.sent("refused") is None and second.sent("") is None
        assert len(first.history()) == len(second.history()) == 2
        assert second.once("refused", lambda: add(second)) == range(3, 4)
        assert [e.id for e in first.history()] == [1, 2, 3]


def test_a_first_entry_that_is_refused_leaves_no_file(tmp_path):
    """Not even where the entry before it was taken; and what is not refused is there after."""
    path = tmp_path / "ledger.sqlite"
    with Ledger(path) as ledger:
        for key in ("k", ""):
            with pytest.raises(OutOfDomain, match="is cut already"):
                ledger.once(key, lambda: (add(ledger), cut(ledger), cut(ledger)))

            assert list(tmp_path.iterdir()) == []
            assert ledger.history() == () and ledger.sent("k") is None

        assert ledger.once("k", lambda: (add(ledger), cut(ledger))) == range(1, 3)
        assert [entry.id for entry in ledger.history()] == [1, 2]
    with Ledger(path) as ledger:
        assert ledger.sent("k") == range(1, 3)
        assert ledger.stages()["lamp"] == "cut"


def test_without_a_key_it_is_written_every_time(tmp_path):
    with Ledger(tmp_path / "ledger.sqlite") as ledger:
        for _ in range(2):
            ledger.once("", lambda: add(ledger))

        assert len(ledger.history()) == 2


def test_two_programs_with_one_key_at_one_time_write_once(tmp_path):
    """Each waits for the other's transaction, and then finds the key."""
    path = tmp_path / "ledger.sqlite"
    together = threading.Barrier(4)

    def send():
        with Ledger(path) as ledger:
            together.wait()
            return ledger.once("k", lambda: add(ledger))

    with ThreadPoolExecutor(4) as pool:
        found = [each.result() for each in [pool.submit(send) for _ in range(4)]]

    with Ledger(path) as ledger:
        assert found == [range(1, 2)] * 4
        assert len(ledger.history()) == 1


def test_keys_are_kept_for_the_latest_alone(tmp_path, monkeypatch):
    monkeypatch.setattr(store, "_MOST_KEYS", 3)
    with Ledger(tmp_path / "ledger.sqlite") as ledger:
        for key in "abcde":
            ledger.once(key, lambda: add(ledger))

        assert [key for key in "abcde" if ledger.sent(key)] == ["c", "d", "e"]
