"""What is worked out is worked out once, however many ask for it at a time."""

import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from foldwright.web.by_key import ByKey


def test_many_who_ask_at_once_have_it_worked_out_once():
    """Twenty threads, one piece of work; what was used least is dropped first."""
    latest, count = ByKey(2), []

    def work():
        count.append(1)
        time.sleep(0.05)
        return "drawn"

    with ThreadPoolExecutor(20) as pool:
        found = list(pool.map(lambda _: latest.once("eye", work), range(20)))
    for key in ("other", "eye", "third"):
        latest.once(key, work)
    before = len(count)
    latest.once("eye", work)

    assert found == ["drawn"] * 20
    assert (before, len(count)) == (3, 3)
    assert latest.found("other") is None and latest.found("eye") == "drawn"
    latest.once("other", work)
    assert len(count) == 4


def test_without_a_limit_all_is_kept():
    every = ByKey()
    for number in range(300):
        every.once(number, lambda: "worked out")

    assert all(every.found(number) == "worked out" for number in range(300))


def test_what_fails_is_tried_again():
    latest = ByKey(2)
    with pytest.raises(ZeroDivisionError):
        latest.once("eye", lambda: 1 / 0)

    assert latest.once("eye", lambda: "drawn") == "drawn"


def test_what_is_not_worth_keeping_is_worked_out_anew():
    """As an answer that says that nothing was done."""
    answers = ByKey(2, is_kept=lambda number: number < 400)

    assert [answers.once("a", lambda n=n: n) for n in (409, 303, 200)] == [409, 303, 303]


def test_after_a_failure_too_there_are_never_two_at_work():
    """One fails while a second waits; a third comes while that one is at work."""
    latest = ByKey()
    begun, waits, at_work, third_began = (threading.Event() for _ in range(4))

    def fails():
        begun.set()
        waits.wait()
        raise ZeroDivisionError

    def second():
        at_work.set()
        return "together" if third_began.wait(0.3) else "alone"

    def third():
        third_began.set()
        return "third"

    with ThreadPoolExecutor(3) as pool:
        first = pool.submit(latest.once, "key", fails)
        begun.wait()
        found = pool.submit(latest.once, "key", second)
        while latest._turns["key"].asking < 2:
            time.sleep(0.001)
        waits.set()
        at_work.wait()
        after = pool.submit(latest.once, "key", third)

        assert isinstance(first.exception(), ZeroDivisionError)
        assert found.result() == after.result() == "alone"
