"""The build as browsers see it: at once, once for all, and the last good one while it is not."""

import shutil
import threading
import time

import pytest

from foldwright.errors import FoldwrightError
from foldwright.ledger import Ledger
from foldwright.web import LiveBuild, live


@pytest.fixture
def build(demo):
    return LiveBuild(demo)


def test_a_change_by_an_editor_is_seen(build):
    before = build.refresh()
    text = build.plan_path.read_text()
    build.plan_path.write_text(text.replace('name = "Harbour', 'name = "Old harbour', 1))
    after = build.refresh()

    assert after.version == before.version + 1
    assert after.made.plan.name == "Old harbour signal lamp"
    assert build.refresh() is after


def test_a_reading_by_another_process_is_seen(build):
    before = build.refresh()
    LiveBuild(build.folder).act(lambda made, ledger: ledger.undo())

    assert build.refresh().version > before.version


def test_a_ledger_that_another_process_only_reads_is_no_change(build):
    """Its log stands empty beside it for as long as somebody looks."""
    before = build.refresh()
    with Ledger(build.folder / "ledger.sqlite") as ledger:
        ledger.history()
        meanwhile = build.refresh()

    assert meanwhile is before is build.refresh()


def test_while_the_plan_has_faults_the_last_good_build_stays(build):
    good = build.refresh()
    text = build.plan_path.read_text()
    build.plan_path.write_text(text.replace("[build]", "[biuld]", 1))
    faulty = build.refresh()

    assert faulty.made is good.made
    assert faulty.faults and all(f.problem and f.remedy for f in faulty.faults)
    build.plan_path.write_text(text)
    assert build.refresh().faults == ()


def test_while_the_folder_is_away_the_last_good_build_stays(build, tmp_path):
    good = build.refresh()
    build.folder.rename(tmp_path / "away")
    gone = build.refresh()

    assert gone.made is good.made
    assert f"The folder {build.folder} is gone" in gone.trouble
    assert not build.folder.exists()
    with pytest.raises(FoldwrightError, match="is gone"):
        build.act(lambda made, ledger: None)
    (tmp_path / "away").rename(build.folder)
    back = build.refresh()
    assert back.trouble == "" and back.made is not good.made


def test_a_deleted_folder_that_comes_back_without_plan_names_the_plan(build):
    build.refresh()
    shutil.rmtree(build.folder)
    build.folder.mkdir()

    assert "plan.toml" in str(build.refresh().faults[0])


def test_a_mistake_of_ours_does_not_end_the_page(build, monkeypatch):
    good = build.refresh()
    monkeypatch.setattr(live, "make", lambda plan, ledger: 1 / 0)
    build.plan_path.touch()
    now = build.refresh()

    assert now.made is good.made and "mistake of its own" in now.trouble


def test_many_who_ask_at_once_read_it_once(build, monkeypatch):
    count = []
    once = live.make
    monkeypatch.setattr(live, "make", lambda *a: count.append(1) or once(*a))
    states = []
    threads = [threading.Thread(target=lambda: states.append(build.refresh())) for _ in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(states) == 20 and len({id(state) for state in states}) == 1
    assert len(count) == 1


def test_many_who_ask_for_the_same_sum_do_it_once(build):
    state, count, found = build.refresh(), [], []

    def work(made):
        count.append(1)
        time.sleep(0.05)
        return made.plan.name

    def ask():
        found.append(state.once("name", work))

    threads = [threading.Thread(target=ask) for _ in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert (len(count), found) == (1, ["Harbour signal lamp"] * 20)


def test_a_sum_that_cannot_be_done_is_not_kept(build):
    state = build.refresh()
    with pytest.raises(ZeroDivisionError):
        state.once("sum", lambda made: 1 / 0)

    assert state.once("sum", lambda made: 1) == 1


def test_listeners_are_told_of_each_version_once(build):
    told = []
    build.when_changed(told.append)
    for _ in range(3):
        build.refresh()
    build.plan_path.touch()
    build.refresh()

    assert told == [1, 2]
