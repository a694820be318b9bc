"""Long work runs beside the page: told while it goes on, stopped when asked, done once."""

import errno
import os
import threading
import time

import pytest

from foldwright.web import LiveBuild
from foldwright.web.jobs import Jobs, local_path
from web import slow_work


@pytest.fixture
def told():
    return []


@pytest.fixture
def jobs(demo, told):
    jobs = Jobs(LiveBuild(demo), told.append)
    yield jobs
    jobs.close()


def clearing(told):
    """What is told of jobs by the time when one clears, and what it clears by."""
    seen = []
    return seen, lambda: seen.append([job.state for job in told])


def until(true, seconds=20.0):
    """Wait for something that another process does."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it did not come"
        time.sleep(0.01)


def is_alive(pid):
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def test_a_job_runs_in_a_process_of_its_own_and_tells_how_far_it_is(jobs, told):
    job = jobs.wait(jobs.start("count", slow_work.counts, 20).id, 30)

    assert job.state == "done"
    assert job.result[0] == "harbour-signal-lamp"
    assert job.result[1] != os.getpid()
    assert [t.done for t in told] == sorted(t.done for t in told)
    assert {"running", "done"} <= {t.state for t in told}
    assert any(t.words.startswith("Counting") and t.of == 20 for t in told)


def test_what_was_worked_out_is_not_worked_out_again(jobs):
    first = jobs.wait(jobs.start("count", slow_work.counts, 1).id, 30)

    assert jobs.start("count", slow_work.counts, 1).id == first.id
    assert jobs.start("count", slow_work.counts, 2).id != first.id


def test_a_changed_build_is_worked_out_anew(jobs, demo):
    first = jobs.start("count", slow_work.counts, 1)
    plan = demo / "plan.toml"
    plan.write_text(plan.read_text() + "\n# changed\n")

    assert jobs.start("count", slow_work.counts, 1).id != first.id


def test_a_job_is_stopped_at_once_and_stays_stopped(jobs):
    id = jobs.start("work", slow_work.never_ends).id
    until(lambda: jobs.get(id).words == "Working")
    pid = jobs._works[id].process.pid

    assert jobs.stop(id) and not jobs.stop(id)
    assert jobs.get(id).state == "stopped"
    until(lambda: not is_alive(pid))


def test_what_a_stopped_job_leaves_is_cleared_before_its_end_is_told(jobs, told):
    """The page says that nothing is kept; by then nothing is."""
    cleared, clear = clearing(told)
    id = jobs.start("work", slow_work.never_ends, clear=clear).id
    until(lambda: jobs.get(id).words == "Working")
    pid = jobs._works[id].process.pid
    jobs.stop(id)
    jobs.wait(id, 30)

    assert len(cleared) == 1 and "stopped" not in cleared[0]
    assert told[-1].state == "stopped"
    assert not is_alive(pid)


@pytest.mark.parametrize(
    ("function", "args", "state"), [("refuses", (), "refused"), ("counts", (1,), "done")]
)
def test_what_a_job_leaves_is_cleared_however_it_ends(jobs, told, function, args, state):
    cleared, clear = clearing(told)
    jobs.wait(jobs.start("work", getattr(slow_work, function), *args, clear=clear).id, 30)

    assert len(cleared) == 1 and state not in cleared[0]
    assert told[-1].state == state


def test_a_job_that_never_had_its_turn_is_over_when_stopped(jobs):
    """It need not wait for those at work to leave what it laid aside."""
    ids = [jobs.start(f"work{i}", slow_work.never_ends).id for i in range(2)]
    until(lambda: [jobs.get(id).state for id in ids].count("running") == 2)
    cleared = threading.Event()
    id = jobs.start("third", slow_work.never_ends, clear=cleared.set).id
    jobs.stop(id)

    assert cleared.wait(20)
    assert jobs.wait(id, 20).state == "stopped"
    assert [jobs.get(id).state for id in ids] == ["running", "running"]


def test_the_same_kind_for_something_else_ends_the_one_before(jobs):
    first = jobs.start("work", slow_work.never_ends)
    second = jobs.start("work", slow_work.counts, 1)

    assert jobs.get(first.id).state == "stopped"
    assert jobs.wait(second.id, 30).state == "done"


def test_jobs_wait_for_their_turn(jobs):
    ids = [jobs.start(f"work{i}", slow_work.never_ends).id for i in range(3)]
    until(lambda: [jobs.get(id).state for id in ids].count("running") == 2)
    time.sleep(0.2)

    assert [jobs.get(id).state for id in ids].count("waiting") == 1
    jobs.stop(next(id for id in ids if jobs.get(id).state == "running"))
    until(lambda: [jobs.get(id).state for id in ids].count("running") == 2)


def test_a_refusal_is_told_in_its_words(jobs):
    job = jobs.wait(jobs.start("work", slow_work.refuses).id, 30)

    assert (job.state, job.words) == ("refused", "The sheet is too small. Take a larger one.")


@pytest.mark.parametrize(
    ("function", "words"), [(slow_work.errs, "mistake of its own"), (slow_work.dies, "by itself")]
)
def test_what_goes_wrong_is_told_and_the_rest_goes_on(jobs, function, words):
    job = jobs.wait(jobs.start("work", function).id, 30)

    assert job.state == "refused" and words in job.words
    assert jobs.wait(jobs.start("count", slow_work.counts, 1).id, 30).state == "done"


def test_a_job_that_cannot_be_begun_says_so_and_does_not_wait_for_ever(jobs, monkeypatch):
    def none_left(process):
        raise OSError(errno.EAGAIN, os.strerror(errno.EAGAIN))

    with monkeypatch.context() as scarce:
        scarce.setattr(jobs._context.Process, "start", none_left)
        job = jobs.wait(jobs.start("count", slow_work.counts, 1).id, 30)

    assert job.state == "refused" and "could not be begun" in job.words
    assert jobs.wait(jobs.start("count", slow_work.counts, 1).id, 30).state == "done"


def test_jobs_end_with_the_server(jobs):
    id = jobs.start("work", slow_work.never_ends).id
    until(lambda: jobs.get(id).words == "Working")
    pid = jobs._works[id].process.pid
    jobs.close()

    until(lambda: not is_alive(pid))


def test_a_job_is_stopped_from_the_page(app, browser):
    id = app.state.jobs.start("work", slow_work.never_ends).id
    answer = browser.submit(f"/jobs/{id}/stop", back="/rack")

    assert (answer.status_code, answer.headers["location"]) == (303, "/rack")
    assert browser.get(f"/jobs/{id}").json()["state"] == "stopped"


@pytest.mark.parametrize(
    "back", ["http://evil.example", "//evil.example", "/\\evil.example", "rack", "", "/\r\nX: y"]
)
def test_no_form_leads_elsewhere(back):
    assert local_path(back) == "/"


def test_jobs_can_be_asked_for_and_stopped_while_one_is_begun(jobs, monkeypatch):
    """Beginning the first process takes a second, and every page asks for jobs."""
    is_asked, let_go, begun = threading.Event(), threading.Event(), []
    make = jobs._context.Process

    def slow(**what):
        process = make(**what)
        begin = process.start

        def start():
            is_asked.set()
            let_go.wait(20)
            begun.append(process)
            del process.start  # what is sent to another process holds nothing of ours
            begin()

        process.start = start
        return process

    monkeypatch.setattr(jobs._context, "Process", slow)
    job = jobs.start("count", slow_work.never_ends)
    assert is_asked.wait(20)

    assert jobs.get(job.id).state == "waiting"
    assert jobs.stop(job.id)
    assert begun == [], "it waited until the process was begun"
    let_go.set()
    assert jobs.wait(job.id, 30).state == "stopped"
    (process,) = begun
    assert not process.is_alive()


def test_what_cannot_be_sent_to_a_process_ends_in_words(jobs):
    """It is our own mistake, and leaves no job that waits for ever."""
    job = jobs.wait(jobs.start("count", lambda folder, *, say: None).id, 30)

    assert job.state == "refused" and "mistake of its own" in job.words
