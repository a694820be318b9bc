"""How the build stands: worked out beside the page, for the build that is on view."""

import threading

from foldwright.web import LiveBuild, stands
from foldwright.web.stands import stands_now


def test_whoever_saves_again_and_again_waits_for_the_last_only(demo):
    """The thread that works it out is busy while three plans follow one another."""
    build, busy = LiveBuild(demo), threading.Event()
    stands._AHEAD.submit(busy.wait, 60.0)
    text = build.plan_path.read_text()
    states = []
    for n in range(3):
        build.plan_path.write_text(f"{text}\n# {n}\n")
        states.append(build.refresh())
        assert stands_now(states[-1]) is None
    busy.set()

    assert stands_now(states[-1], wait=60.0).standings
    assert [stands_now(state) for state in states[:-1]] == [None, None]


def test_a_plan_with_faults_leaves_the_last_good_build_to_be_worked_out(demo):
    build, busy = LiveBuild(demo), threading.Event()
    stands._AHEAD.submit(busy.wait, 60.0)
    good = build.refresh()
    stands_now(good)
    build.plan_path.write_text("nonsense")
    faulty = build.refresh()
    busy.set()

    assert faulty.faults and not good.is_past
    assert stands_now(faulty, wait=60.0) is stands_now(good, wait=60.0) is not None
