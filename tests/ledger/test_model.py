"""Whatever is said in whatever order, the ledger tells what a plain model in memory tells.

The model keeps what was said and not taken back, and plays it from the start each
time it is asked. Two ledgers on one file take turns, as two programs would.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.errors import OutOfDomain, UnknownName
from foldwright.ledger import (
    STAGES,
    Change,
    Ledger,
    Scrap,
    Withdrawal,
    export_history,
    import_history,
)

PARTS = st.sampled_from(["lamp", "lid", "barrel"])
SAYING = st.one_of(
    st.tuples(st.just("read"), PARTS, st.sampled_from(["girth", "depth"]), st.booleans()),
    st.tuples(st.just("mark"), PARTS, st.sampled_from(STAGES)),
    st.tuples(st.just("scrap"), PARTS, st.sampled_from(["", "lamp"])),
    st.tuples(st.just("revise"), PARTS),
    st.tuples(st.just("forget"), st.sampled_from(["curl", "fold"])),
    st.tuples(st.just("withdraw"), st.integers(0, 30)),
    st.tuples(st.just("undo")),
)


class Plain:
    """What was said and not taken back: line -> saying."""

    def __init__(self):
        self.lines = 0
        self.revisions = 0
        self.said = {}

    def say(self, saying):
        """Take a saying in; False if it may not be said now."""
        kind, *what = saying
        if kind == "undo":
            return bool(self.said) and self.take_back(max(self.said))
        if kind == "withdraw":
            return what[0] in self.said and self.take_back(what[0])
        if kind == "mark" and STAGES.index(what[1]) <= self.bench(what[0])["stage"]:
            return False
        if kind == "scrap" and what[0] == what[1]:
            return False
        if kind == "revise":
            self.revisions += 1
            saying = (kind, what[0], self.revisions)
        self.lines += 1
        self.said[self.lines] = saying
        return True

    def take_back(self, line):
        kind, *what = self.said[line]
        if kind == "scrap":
            for later, (kind_then, *then) in self.said.items():
                if later > line and kind_then in ("read", "mark", "scrap"):
                    touched = {then[0], then[1]} if kind_then == "scrap" else {then[0]}
                    if touched & {name for name in what if name}:
                        return False
        del self.said[line]
        self.lines += 1
        return True

    def benches(self):
        """Play it all: what lies on the bench of each part, and what was put away."""
        empty = {"making": 1, "stage": 0, "readings": [], "away": []}
        bench = {part: {**empty, "readings": [], "away": []} for part in ("lamp", "lid", "barrel")}
        for line, (kind, *what) in sorted(self.said.items()):
            if kind == "mark":
                bench[what[0]]["stage"] = STAGES.index(what[1])
            elif kind == "read":
                part, dim, instead = what
                readings = bench[part]["readings"]
                if instead:
                    readings[:] = [(n, d) for n, d in readings if d != dim]
                readings.append((line, dim))
            elif kind == "scrap":
                for part in filter(None, what):
                    old = bench[part]
                    bench[part] = {
                        "making": old["making"] + 1,
                        "stage": 0,
                        "readings": [],
                        "away": [*old["away"], old["readings"]],
                    }
        return bench

    def bench(self, part):
        return self.benches()[part]


def say(ledger, saying):
    kind, *what = saying
    match kind:
        case "read":
            part, dim, instead = what
            ledger.add_reading(
                part, dim, 1.0, tool="rule", bare=True, drawn=1.0, sigma=0.2, instead=instead
            )
        case "mark":
            ledger.mark(*what)
        case "scrap":
            ledger.scrap(what[0], was=what[1])
        case "revise":
            ledger.add_revision([Change(what[0], "width", 1.0, 2.0, 1.0, ("why",))])
        case "forget":
            ledger.forget(what[0])
        case "withdraw":
            ledger.withdraw(what[0])
        case "undo":
            ledger.undo()


def agree(ledger, model):
    benches = model.benches()
    standing = sorted(line for b in benches.values() for line, _ in b["readings"])
    away = sorted(line for b in benches.values() for one in b["away"] for line, _ in one)
    assert [r.id for r in ledger.readings()] == standing
    assert [r.id for r in ledger.all_readings()] == sorted(standing + away)
    stages = ledger.stages()
    for part, bench in benches.items():
        assert stages.get(part, "planned") == STAGES[bench["stage"]]
        makings = ledger.makings(part)
        assert [m.number for m in makings] == list(range(1, bench["making"] + 1))
        assert [[r.id for r in m.readings] for m in makings] == [
            [line for line, _ in one] for one in (*bench["away"], bench["readings"])
        ]
        assert [m.scrap is None for m in makings] == [False] * (len(makings) - 1) + [True]
    revised = [what for _, (kind, *what) in sorted(model.said.items()) if kind == "revise"]
    assert [[r.changes[0].part, r.number] for r in ledger.revisions()] == revised
    forgot = {what[0]: n for n, (kind, *what) in sorted(model.said.items()) if kind == "forget"}
    assert {process: entry.id for process, entry in ledger.forgotten().items()} == forgot
    assert [entry.id for entry in ledger.history()] == list(range(1, model.lines + 1))


@given(sayings=st.lists(SAYING, max_size=30))
def test_the_ledger_tells_what_a_plain_model_tells(tmp_path_factory, sayings):
    folder = tmp_path_factory.mktemp("model")
    path = folder / "ledger.sqlite"
    model = Plain()
    with Ledger(path) as one, Ledger(path) as other:
        for i, saying in enumerate(sayings):
            ledger = (one, other)[i % 2]
            if model.say(saying):
                say(ledger, saying)
            else:
                with pytest.raises((OutOfDomain, UnknownName)):
                    say(ledger, saying)
            agree(ledger, model)
        agree(one, model)
        agree(other, model)
        history = one.history()
        export_history(one, folder / "out.jsonl")
    with Ledger(path) as afresh:
        agree(afresh, model)
        assert afresh.history() == history
    with Ledger(folder / "copy.sqlite") as copy:
        assert import_history(copy, folder / "out.jsonl").added == history
        agree(copy, model)
        assert copy.history() == history


def test_the_model_itself_is_right():
    """A sequence worked out by hand: two makings, one reading done over, one undone."""
    model = Plain()
    assert model.say(("read", "lamp", "girth", False))  # 1, put away
    assert model.say(("scrap", "lamp", ""))  # 2
    assert model.say(("read", "lamp", "girth", False))  # 3, done over
    assert model.say(("read", "lamp", "girth", True))  # 4
    assert not model.say(("withdraw", 2))
    assert model.say(("mark", "lamp", "cut"))  # 5
    assert not model.say(("mark", "lamp", "marked"))
    assert model.say(("undo",))  # 6 takes back 5

    bench = model.bench("lamp")
    assert bench == {"making": 2, "stage": 0, "readings": [(4, "girth")], "away": [[(1, "girth")]]}


def test_two_ledgers_on_one_file_see_each_other_at_once(tmp_path):
    path = tmp_path / "ledger.sqlite"
    with Ledger(path) as one, Ledger(path) as other:
        assert one.scrap("lamp").making == 1
        assert other.scrap("lamp").making == 2
        assert [type(e) for e in one.history()] == [Scrap, Scrap]
        other.undo()
        assert isinstance(one.history()[-1], Withdrawal)
        assert one.scrap("lamp").making == 2
