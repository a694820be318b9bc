"""Parts go through stages, are scrapped and made anew; the ledger tells each making apart."""

from datetime import UTC, datetime

import pytest

from foldwright.errors import OutOfDomain, UnknownName
from foldwright.ledger import STAGES, Change, Forgetting, Ledger, Scrap, StageReached, has_reached

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
WHEN = "2026-03-01T12:00:00Z"


@pytest.fixture
def ledger(tmp_path):
    with Ledger(tmp_path / "ledger.sqlite", clock=lambda: NOON) as ledger:
        yield ledger


def read(ledger, part, value, **more):
    return ledger.add_reading(
        part, "girth", value, tool="tape", bare=True, drawn=690.0, sigma=0.5, **more
    )


def revise(ledger, part, after=2.0):
    return ledger.add_revision([Change(part, "width", 1.0, after, 1.0)])


def test_a_stage_comes_back_as_it_was_marked(ledger):
    marked = ledger.mark("lamp", "cut", "mit der Säge")

    assert marked == StageReached(1, "lamp", "cut", WHEN, "mit der Säge", revision=0, making=1)
    with Ledger(ledger.path) as other:
        assert other.history() == (marked,)
        assert dict(other.stages()) == {"lamp": "cut"}


def test_a_part_goes_through_the_stages_in_order_and_may_skip_some(ledger):
    for stage in ("marked", "cut", "joined", "finished"):  # a plate is not folded
        ledger.mark("plate", stage)
        assert ledger.stages()["plate"] == stage
    for stage in STAGES[1:]:
        ledger.mark("box", stage)
        assert ledger.stages()["box"] == stage


@pytest.mark.parametrize(
    ("stage", "words"),
    [
        ("folded", "lamp is folded already. Take that back .* closed, joined, finished"),
        ("cut", "lamp is folded already, which takes in cut"),
        ("planned", "lamp is folded already, which takes in planned"),
    ],
)
def test_a_part_does_not_go_back_by_being_marked(ledger, stage, words):
    ledger.mark("lamp", "folded")

    with pytest.raises(OutOfDomain, match=words):
        ledger.mark("lamp", stage)
    assert len(ledger.history()) == 1


def test_a_part_that_is_finished_is_let_be(ledger):
    ledger.mark("lamp", "finished")

    with pytest.raises(OutOfDomain, match="finished already.*let it be"):
        ledger.mark("lamp", "finished")


def test_every_part_is_planned_before_it_is_marked(ledger):
    with pytest.raises(OutOfDomain, match="lamp is planned already"):
        ledger.mark("lamp", "planned")
    assert not ledger.path.exists()


def test_an_unknown_stage_offers_the_nearest(ledger):
    with pytest.raises(UnknownName, match='no stage "fold". Did you mean folded'):
        ledger.mark("lamp", "fold")


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_takes_in_those_before_it(stage):
    behind = [wanted for wanted in STAGES if has_reached(stage, wanted)]

    assert behind == list(STAGES[: STAGES.index(stage) + 1])


def test_has_reached_knows_no_other_stage():
    with pytest.raises(UnknownName, match="no stage"):
        has_reached("painted", "cut")


def test_a_withdrawn_stage_leaves_the_one_before(ledger):
    ledger.mark("lamp", "cut")
    folded = ledger.mark("lamp", "folded")
    ledger.withdraw(folded.id, "that was the lid")

    assert ledger.stages()["lamp"] == "cut"
    assert ledger.mark("lamp", "grooved").stage == "grooved"


def test_a_stage_between_may_be_withdrawn(ledger):
    ledger.mark("lamp", "cut")
    grooved = ledger.mark("lamp", "grooved")
    ledger.mark("lamp", "folded")
    ledger.withdraw(grooved.id)

    assert ledger.stages()["lamp"] == "folded"


def test_a_scrapped_part_begins_anew(ledger):
    first = read(ledger, "lamp", 700.0)
    ledger.mark("lamp", "folded")
    ended = ledger.scrap("lamp", "cut on the wrong side")
    other = read(ledger, "lid", 600.0)

    assert ended == Scrap(3, "lamp", WHEN, "cut on the wrong side", making=1)
    assert dict(ledger.stages()) == {"lamp": "planned"}
    assert ledger.readings() == (other,)
    assert ledger.all_readings() == (first, other)

    second = read(ledger, "lamp", 691.0)

    assert second.making == 2
    assert ledger.readings() == (other, second)
    assert [r.making for r in ledger.all_readings()] == [1, 1, 2]


def test_makings_tell_how_each_one_went(ledger):
    revise(ledger, "lamp")
    ledger.mark("lamp", "cut")
    first = read(ledger, "lamp", 700.0)
    wrong = read(ledger, "lamp", 7000.0)
    ledger.withdraw(wrong.id, "slip")
    ended = ledger.scrap("lamp")
    revise(ledger, "lamp", after=3.0)
    ledger.mark("lamp", "marked")

    spoiled, present = ledger.makings("lamp")

    assert (spoiled.number, spoiled.stage, spoiled.revision) == (1, "cut", 1)
    assert (spoiled.readings, spoiled.scrap) == ((first,), ended)
    assert (present.number, present.stage, present.revision) == (2, "marked", 2)
    assert (present.readings, present.scrap) == ((), None)


def test_a_part_that_is_not_begun_has_one_making(ledger):
    (making,) = ledger.makings("lamp")

    assert (making.number, making.stage, making.revision) == (1, "planned", None)
    assert (making.readings, making.scrap) == ((), None)


def test_a_part_may_be_scrapped_before_anything_was_written_of_it(ledger):
    ledger.scrap("lamp")
    ledger.scrap("lamp")

    assert [m.number for m in ledger.makings("lamp")] == [1, 2, 3]


def test_a_reading_of_a_scrapped_making_may_still_be_withdrawn(ledger):
    wrong = read(ledger, "lamp", 7000.0)
    ledger.scrap("lamp")
    ledger.withdraw(wrong.id, "slip")

    assert ledger.all_readings() == ()


def test_a_withdrawn_scrap_lets_its_readings_stand_again(ledger):
    first = read(ledger, "lamp", 691.0)
    ledger.mark("lamp", "cut")
    ended = ledger.scrap("lamp")
    ledger.withdraw(ended.id, "it could be saved")
    second = read(ledger, "lamp", 691.5)

    assert ledger.readings() == (first, second)
    assert (second.making, ledger.stages()["lamp"]) == (1, "cut")
    assert len(ledger.makings("lamp")) == 1


def test_a_scrap_stays_while_what_came_after_stands(ledger):
    ended = ledger.scrap("lamp")
    marked = ledger.mark("lamp", "cut")
    measured = read(ledger, "lamp", 691.0)

    with pytest.raises(OutOfDomain, match="begun anew .* entries 2, 3. Take those back first"):
        ledger.withdraw(ended.id)
    ledger.withdraw(measured.id)
    with pytest.raises(OutOfDomain, match="see entry 2"):
        ledger.withdraw(ended.id)
    ledger.withdraw(marked.id)
    ledger.withdraw(ended.id)

    assert len(ledger.makings("lamp")) == 1


def test_what_came_after_of_other_parts_does_not_hold_a_scrap(ledger):
    ended = ledger.scrap("lamp")
    ledger.mark("lid", "cut")
    read(ledger, "base", 600.0)
    ledger.withdraw(ended.id)

    assert len(ledger.makings("lamp")) == 1


def test_a_renamed_part_is_scrapped_under_both_names(ledger):
    read(ledger, "lamp", 700.0)
    ledger.mark("lamp", "cut")
    new = read(ledger, "barrel", 701.0)
    ledger.scrap("barrel", was="lamp")

    assert ledger.readings() == ()
    assert dict(ledger.stages()) == {"lamp": "planned", "barrel": "planned"}
    assert read(ledger, "barrel", 691.0).making == 2

    ledger.undo()
    ledger.undo()

    assert new in ledger.readings()
    assert len(ledger.readings()) == 2


def test_a_scrap_of_an_earlier_name_holds_too(ledger):
    ended = ledger.scrap("barrel", was="lamp")
    ledger.mark("lamp", "cut")

    with pytest.raises(OutOfDomain, match="begun anew"):
        ledger.withdraw(ended.id)


def test_a_part_was_never_called_by_its_own_name(ledger):
    with pytest.raises(OutOfDomain, match="no other name"):
        ledger.scrap("lamp", was="lamp")


def test_a_making_keeps_the_revision_it_was_begun_by(ledger):
    ledger.mark("lamp", "cut")
    revise(ledger, "lamp")

    assert ledger.mark("lamp", "folded").revision == 0
    assert read(ledger, "lamp", 691.0).revision == 0

    ledger.scrap("lamp")

    assert read(ledger, "lamp", 691.0).revision == 1
    assert ledger.makings("lamp")[1].revision == 1


def test_a_trimmed_part_is_of_the_revision_that_the_maker_says(ledger):
    ledger.mark("lamp", "cut")
    revise(ledger, "lamp")
    ledger.mark("lamp", "folded", revision=1)

    assert ledger.makings("lamp")[0].revision == 1


def test_a_withdrawn_revision_no_longer_holds(ledger):
    revise(ledger, "lamp", after=2.0)
    second = revise(ledger, "lamp", after=3.0)
    ledger.withdraw(second.id, "the lamp was measured wrongly")

    assert [r.number for r in ledger.revisions()] == [1]
    assert ledger.kept()["lamp", "width"].after == 2.0
    assert ledger.mark("lamp", "cut").revision == 1
    assert revise(ledger, "lamp").number == 3  # a drawing of revision 2 may be about


def test_a_reading_instead_of_others_does_them_over(ledger):
    read(ledger, "lamp", 700.0)
    read(ledger, "lamp", 701.0)
    lid = read(ledger, "lid", 600.0)
    better = read(ledger, "lamp", 691.0, instead=True)

    assert ledger.readings() == (lid, better)
    assert ledger.all_readings() == (lid, better)


def test_what_was_done_over_stands_again_when_that_is_taken_back(ledger):
    first = read(ledger, "lamp", 700.0)
    second = read(ledger, "lamp", 695.0, instead=True)
    read(ledger, "lamp", 691.0, instead=True)

    ledger.undo()
    assert ledger.readings() == (second,)
    ledger.undo()
    assert ledger.readings() == (first,)


def test_a_reading_of_a_new_making_does_nothing_over_in_the_old_one(ledger):
    first = read(ledger, "lamp", 700.0)
    ledger.scrap("lamp")
    second = read(ledger, "lamp", 691.0, instead=True)

    assert ledger.all_readings() == (first, second)


def test_undo_takes_back_the_newest_that_stands(ledger):
    measured = read(ledger, "lamp", 691.0)
    revised = revise(ledger, "lid")
    marked = ledger.mark("lamp", "cut")
    forgot = ledger.forget("curl")
    scrapped = ledger.scrap("lamp")

    back = [ledger.undo("too soon") for _ in range(5)]

    assert back == [scrapped, forgot, marked, revised, measured]
    assert ledger.readings() == ledger.revisions() == ()
    assert dict(ledger.stages()) == {"lamp": "planned"}
    assert dict(ledger.forgotten()) == {}
    assert [(e.entry, e.note) for e in ledger.history()[5:]] == [
        (line, "too soon") for line in (5, 4, 3, 2, 1)
    ]


def test_when_nothing_stands_there_is_nothing_to_take_back(ledger):
    with pytest.raises(OutOfDomain, match="nothing stands"):
        ledger.undo()
    assert not ledger.path.exists()

    ledger.mark("lamp", "cut")
    ledger.undo()

    with pytest.raises(OutOfDomain, match="nothing stands"):
        ledger.undo()


def test_what_was_learnt_is_forgotten_from_then_on(ledger):
    before = read(ledger, "lamp", 700.0)
    forgot = ledger.forget("curl", "new former")
    after = read(ledger, "lamp", 691.0)

    assert forgot == Forgetting(2, "curl", WHEN, "new former")
    assert dict(ledger.forgotten()) == {"curl": forgot}
    since = ledger.forgotten()["curl"].id
    assert [r for r in ledger.all_readings() if r.id > since] == [after]
    assert ledger.readings() == (before, after)  # a dim stays what it is


def test_forgetting_can_itself_be_taken_back(ledger):
    first = ledger.forget("curl")
    second = ledger.forget("curl")
    ledger.withdraw(second.id)

    assert dict(ledger.forgotten()) == {"curl": first}
    ledger.undo()
    assert dict(ledger.forgotten()) == {}


@pytest.mark.parametrize(
    ("say", "words"),
    [
        (lambda ledger: ledger.mark("", "cut"), "part is empty"),
        (lambda ledger: ledger.mark("lamp", "cut", revision=-1), "revision is -1"),
        (lambda ledger: ledger.mark("lamp", "cut", revision=2**63), "revision is 9223372036"),
        (lambda ledger: ledger.mark("lamp", "cut", "\ud800"), "note has a character"),
        (lambda ledger: ledger.scrap(""), "part is empty"),
        (lambda ledger: ledger.scrap("lamp\udcff"), "part has a character"),
        (lambda ledger: ledger.forget(""), "process is empty"),
    ],
)
def test_what_says_nothing_is_refused_before_a_file_is_made(ledger, say, words):
    with pytest.raises(OutOfDomain, match=words):
        say(ledger)
    assert not ledger.path.exists()
