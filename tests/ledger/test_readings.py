"""The ledger keeps what it is told, in order, and takes nothing back."""

import sqlite3
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.errors import LedgerTrouble, OutOfDomain, UnknownName
from foldwright.ledger import Change, Ledger, Reading, Revision, Withdrawal

NOON = datetime(2026, 3, 1, 12, 0, 0, 999_999, tzinfo=UTC)
GIRTH = {"part": "lamp", "dim": "girth", "value": 694.03}
BY_TAPE = {"tool": "tape", "bare": True, "drawn": 691.15, "sigma": 0.5}


@pytest.fixture
def path(tmp_path):
    return tmp_path / "ledger.sqlite"


@pytest.fixture
def ledger(path):
    with Ledger(path, clock=lambda: NOON) as ledger:
        yield ledger


def test_a_build_without_readings_gets_no_file(ledger, path):
    assert ledger.readings() == ()
    assert ledger.history() == ()
    assert ledger.revisions() == ()
    assert dict(ledger.kept()) == {}
    assert list(path.parent.iterdir()) == []


def test_a_reading_comes_back_as_it_was_given(ledger, path):
    given_back = ledger.add_reading(**GIRTH, **BY_TAPE, note="zwei Leute, größer")

    expected = Reading(
        id=1,
        part="lamp",
        dim="girth",
        value=694.03,
        tool="tape",
        bare=True,
        when="2026-03-01T12:00:00Z",
        note="zwei Leute, größer",
        revision=0,
        drawn=691.15,
        sigma=0.5,
        making=1,
        instead=False,
    )
    assert given_back == expected
    with Ledger(path) as other:
        assert other.readings() == (expected,)


@given(
    value=st.floats(allow_nan=False, allow_infinity=False),
    drawn=st.floats(allow_nan=False, allow_infinity=False),
    sigma=st.floats(min_value=5e-324, allow_infinity=False),
    note=st.text(st.characters(exclude_categories=["Cs"])),
)
def test_no_bit_of_a_number_or_note_is_lost(tmp_path_factory, value, drawn, sigma, note):
    path = tmp_path_factory.mktemp("ledger") / "ledger.sqlite"
    with Ledger(path) as ledger:
        written = ledger.add_reading(
            "lamp", "girth", value, tool="tape", bare=False, drawn=drawn, sigma=sigma, note=note
        )
    with Ledger(path) as ledger:
        assert ledger.readings() == (written,)


def test_a_clock_in_another_zone_is_written_in_utc(path):
    summer = datetime(2026, 7, 1, 0, 30, tzinfo=timezone(timedelta(hours=2)))
    with Ledger(path, clock=lambda: summer) as ledger:
        assert ledger.add_reading(**GIRTH, **BY_TAPE).when == "2026-06-30T22:30:00Z"


def test_a_withdrawn_reading_is_left_out_but_not_lost(ledger):
    wrong = ledger.add_reading(**GIRTH, **BY_TAPE)
    right = ledger.add_reading("lamp", "girth", 692.0, **BY_TAPE)

    ledger.withdraw(wrong.id, "tape lay askew")

    assert ledger.readings() == (right,)
    assert ledger.history() == (
        wrong,
        right,
        Withdrawal(3, wrong.id, "2026-03-01T12:00:00Z", "tape lay askew"),
    )


def test_lines_keep_their_order_within_one_second(ledger):
    first = ledger.add_reading(**GIRTH, **BY_TAPE)
    withdrawal = ledger.withdraw(first.id, "")
    second = ledger.add_reading(**GIRTH, **BY_TAPE)

    assert ledger.history() == (first, withdrawal, second)


@pytest.mark.parametrize("line", [2, 1, 4, -1])
def test_only_what_stands_can_be_withdrawn(ledger, line):
    """Entry 1 is withdrawn, 2 is its withdrawal, the others are not there."""
    ledger.add_reading(**GIRTH, **BY_TAPE)
    ledger.withdraw(1, "")
    third = ledger.add_reading(**GIRTH, **BY_TAPE)

    with pytest.raises(UnknownName, match=f'no entry to withdraw "{line}".*3') as caught:
        ledger.withdraw(line, "")
    assert caught.value.known == (str(third.id),)
    assert len(ledger.history()) == 3


def change(part="lamp_cap", parameter="lamp_d", after=221.0):
    return Change(part, parameter, 220.0, after, 220.0, ("lamp came out 0.9 large",))


def test_a_revision_comes_back_whole_and_in_order(ledger, path):
    changes = (change("lid", "hood_w", 241.0), change(), change("base", "pedestal_d", 419.5))

    first = ledger.add_revision(changes)

    assert first == Revision(1, "2026-03-01T12:00:00Z", changes, id=1)
    with Ledger(path) as other:
        assert other.revisions() == (first,)
        assert other.add_revision([change(after=222.0)]).number == 2


def test_kept_gives_the_latest_change_of_each_parameter(ledger):
    ledger.add_revision([change(after=221.0), change("lid", "hood_w", 241.0)])
    ledger.add_revision([change(after=222.0)])

    assert dict(ledger.kept()) == {
        ("lamp_cap", "lamp_d"): change(after=222.0),
        ("lid", "hood_w"): change("lid", "hood_w", 241.0),
    }


def test_a_reading_knows_the_revision_that_its_part_was_made_by(ledger):
    """Revision 1 changed the cap alone, so that the lamp is as first drawn."""
    ledger.add_revision([change()])
    cap = GIRTH | {"part": "lamp_cap"}

    assert ledger.add_reading(**cap, **BY_TAPE).revision == 1
    assert ledger.add_reading(**GIRTH, **BY_TAPE).revision == 0
    assert ledger.add_reading(**cap, **BY_TAPE, revision=0).revision == 0


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ([], "says nothing"),
        ([change(), change(after=222.0)], "lamp_cap.lamp_d is changed twice"),
        ([change(), change("lid", "hood_w", float("nan"))], "after is nan"),
        ([change(part="")], "part is empty"),
    ],
)
def test_a_faulty_revision_is_refused_whole(ledger, changes, words):
    with pytest.raises(OutOfDomain, match=words):
        ledger.add_revision(changes)
    assert ledger.revisions() == ()


def test_a_revision_that_fails_half_way_leaves_nothing(ledger, path):
    """A stranger's trigger lets the second change fail."""
    ledger.add_reading(**GIRTH, **BY_TAPE)
    stranger = sqlite3.connect(path)
    stranger.execute(
        "CREATE TRIGGER stranger BEFORE INSERT ON change WHEN NEW.part = 'lid'"
        " BEGIN SELECT RAISE(ABORT, 'no lid'); END"
    )
    stranger.commit()
    stranger.close()
    before = ledger.history()

    with pytest.raises(LedgerTrouble, match="no lid.*Nothing was written"):
        ledger.add_revision([change(), change("lid", "hood_w")])

    assert ledger.revisions() == ()
    assert ledger.history() == before
    assert ledger.add_revision([change()]).number == 1


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"value": float("nan")}, "value is nan"),
        ({"drawn": float("inf")}, "drawn is inf"),
        ({"sigma": 0.0}, "sigma is 0"),
        ({"part": ""}, "part is empty"),
        ({"tool": ""}, "tool is empty"),
        ({"revision": -1}, "revision is -1"),
        ({"note": "half a letter \udcff"}, "note has a character .* at place 15"),
    ],
)
def test_a_reading_that_is_no_reading_is_refused(ledger, path, wrong, words):
    with pytest.raises(OutOfDomain, match=words):
        ledger.add_reading(**(GIRTH | BY_TAPE | wrong))
    assert not path.exists()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET written = ''",
        "DELETE FROM entry",
        "INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE id = 1",
        "INSERT INTO entry VALUES (0, 'reading', '')",
        "UPDATE stage SET stage = 'folded'",
        "DELETE FROM stage",
        "INSERT OR REPLACE INTO stage SELECT * FROM stage",
        "UPDATE scrap SET part = 'lid'",
        "DELETE FROM scrap",
        "INSERT OR REPLACE INTO scrap SELECT * FROM scrap",
        "UPDATE forgetting SET process = 'fold'",
        "DELETE FROM forgetting",
        "INSERT OR REPLACE INTO forgetting SELECT * FROM forgetting",
        "UPDATE reading SET value = 1",
        "DELETE FROM reading",
        "INSERT OR REPLACE INTO reading SELECT * FROM reading",
        "UPDATE withdrawal SET note = ''",
        "DELETE FROM withdrawal",
        "INSERT INTO entry VALUES (7, 'withdrawal', '');"
        " INSERT OR REPLACE INTO withdrawal SELECT 7, entry, '' FROM withdrawal",
        "INSERT INTO entry VALUES (7, 'withdrawal', '');"
        " INSERT INTO withdrawal VALUES (7, 2, 'of a withdrawal')",
        "UPDATE revision SET number = 2",
        "DELETE FROM revision",
        "INSERT OR REPLACE INTO revision SELECT * FROM revision",
        "UPDATE change SET after = 1",
        "DELETE FROM change",
        "INSERT OR REPLACE INTO change (revision, part, parameter, before, after, plan_value, why)"
        " SELECT revision, part, parameter, 1, 1, 1, '[]' FROM change",
        "INSERT INTO change (revision, part, parameter, before, after, plan_value, why)"
        " VALUES (1, 'lid', 'width', 1, 1, 1, '[]')",
    ],
)
def test_the_file_itself_refuses_to_forget(ledger, path, statement):
    """Asked by a stranger, with the settings that SQLite has by itself."""
    ledger.add_reading(**GIRTH, **BY_TAPE)
    ledger.withdraw(1, "")
    ledger.add_revision([change()])
    ledger.mark("lamp", "cut")
    ledger.scrap("lamp")
    ledger.forget("curl")
    before = ledger.history()
    stranger = sqlite3.connect(path)
    try:
        with pytest.raises(sqlite3.IntegrityError, match="append-only"), stranger:
            for each in statement.split(";"):
                stranger.execute(each)
    finally:
        stranger.close()

    assert ledger.history() == before


def test_columns_hold_what_they_say(ledger, path):
    ledger.add_reading(**GIRTH, **BY_TAPE)
    stranger = sqlite3.connect(path)
    try:
        with pytest.raises(sqlite3.IntegrityError, match="cannot store TEXT"), stranger:
            stranger.execute("INSERT INTO entry VALUES (2, 'reading', '')")
            stranger.execute(
                "INSERT INTO reading SELECT 2, part, dim, 'about 694', tool, bare, note,"
                " revision, drawn, sigma, making, instead FROM reading"
            )
    finally:
        stranger.close()
