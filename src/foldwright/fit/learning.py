"""Learning: what a maker's own readings say of how that maker works.

Room: fit. From the first reading on, each process has a `Habit`: a bias and a
scatter, begun at what is usual (`shop.PROCESSES`) and shrunken towards it. All
readings teach, those of scrapped makings and those before a part was trimmed
too. One reading is the work of several processes, so their biases b are
believed together: what was read less what was drawn is

    d = G b + noise,   b ~ N(0, 1 / kappa),   noise ~ N(0, V)

G what a bias moves, V what own scatter and tool explain; both in usual
scatters, so this is linear regression with a conjugate prior. What is then
left goes to the causes in proportion, and each adds its share of a reading to
the scatter of its process. With one process and a perfect tool this is the law
of `habits` itself.

A miss beyond what hands do is a blunder, which is no habit. A setting of a
fence is made anew each time, and teaches nothing of the next. Pieces of one
tube are all as that tube came, and teach of it once.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from foldwright.fit.beliefs import AT_ODDS, reading_sigmas, seen_by
from foldwright.fit.causes import whole_root
from foldwright.fit.effects import Causes
from foldwright.fit.habits import Habit
from foldwright.ledger import Reading
from foldwright.plan import AnyPart, Tube, show_length
from foldwright.shape import Vector, dims_of
from foldwright.shop import PROCESSES

# A miss of more deviations than this is a blunder, and teaches nothing.
_BLUNDER = 4.5
# As many readings of one material tell its habits from the others; common practice, no source.
_ENOUGH = 5
# A bias that moves a size by less is not worth taking off [mm].
_SMALLEST = 0.05
# A process that strays by less than this is measured in hundredths, as a plug is [mm].
_BY_HUNDREDTHS = 0.1


@dataclass(frozen=True, eq=False)
class Look:
    """One making of a part, measured.

    Attributes
    ----------
    part : AnyPart
    causes : Causes
        How it strays.
    readings : sequence of Reading
        Of one making.
    taken_off : Mapping of str to float
        What was taken off its parameters for habits when its pattern was drawn [mm].
    """

    part: AnyPart
    causes: Causes
    readings: Sequence[Reading]
    taken_off: Mapping[str, float] = field(default_factory=dict)


def looks_of(
    parts: Mapping[str, AnyPart], causes: Mapping[str, Causes], readings: Sequence[Reading]
) -> tuple[Look, ...]:
    """Readings, making by making, of the parts that the plan has, also by an earlier name."""
    names = {part.was: name for name, part in parts.items() if part.was} | {n: n for n in parts}
    found: dict[tuple[str, int], list[Reading]] = {}
    for reading in readings:
        if reading.part in names:
            found.setdefault((names[reading.part], reading.making), []).append(reading)
    return tuple(Look(parts[name], causes[name], rows) for (name, _), rows in found.items())


def usual_habit(process: str) -> Habit:
    """Habit of nobody in particular, in units of the usual scatter."""
    usual = PROCESSES[process]
    return Habit.usual(1.0, usual.bias, usual.worth)


def habits_of(
    looks: Sequence[Look], forgotten: Mapping[str, int] | None = None
) -> dict[str, Habit]:
    """What the readings say of each process, and of it in each material where they are enough.

    Parameters
    ----------
    looks : sequence of Look
        Every making that was measured, scrapped ones too.
    forgotten : Mapping of str to int, optional
        Processes whose habit is to be forgotten, and the line of the ledger up to
        which; see `foldwright.ledger`.

    Returns
    -------
    dict of str to Habit
        By process, in units of its usual scatter; ``fold in board3`` for a stock of
        its own. Settings of fences and the like are not among them.
    """
    lines = forgotten or {}
    found = _learned(looks, lines)
    stocks = dict.fromkeys(look.part.stock for look in looks)
    for stock in stocks if len(stocks) > 1 else ():
        mine = [look for look in looks if look.part.stock == stock]
        if sum(len(look.readings) for look in mine) >= _ENOUGH:
            own = _learned(mine, lines)
            found |= {f"{process} in {stock}": habit for process, habit in own.items()}
    return found


@dataclass(frozen=True)
class TakeOff:
    """What to take off the next pattern of a part for its maker's habits.

    Attributes
    ----------
    shifts : Mapping of str to float
        To be taken off each parameter [mm].
    words : tuple of str
        Why, one sentence for each habit that matters.
    """

    shifts: Mapping[str, float]
    words: tuple[str, ...]


def to_take_off(
    part: AnyPart, causes: Causes, habits: Mapping[str, Habit], units: str = "mm"
) -> TakeOff:
    """How far a part would come out long by its maker's habits, to be taken off beforehand.

    Parameters
    ----------
    part : AnyPart
    causes : Causes
    habits : Mapping of str to Habit
        As from `habits_of`.
    units : str
        ``"mm"`` or ``"in"``.
    """
    count = len(part.parameters)
    total = np.zeros(count)
    words = []
    for process in dict.fromkeys(cause.process for cause in causes.causes):
        habit = habits.get(f"{process} in {part.stock}", habits.get(process))
        if habit is None:
            continue
        moves = habit.mean * causes.response(process)[:count]
        total += moves
        if np.abs(moves).max(initial=0.0) >= _SMALLEST:
            words.append(habit_words(process, habit, units))
    shifts = {
        p.name: float(x) for p, x in zip(part.parameters, total, strict=True) if abs(x) >= _SMALLEST
    }
    return TakeOff(shifts, tuple(words))


def by_habit(causes: Causes, habits: Mapping[str, Habit]) -> Causes:
    """Return how a part strays by this maker's own scatter, where something is known of it.

    The scatter of the next reading: what the habit leaves open of its bias is in it.
    """
    scale = [
        1.0
        if (habit := habits.get(cause.process)) is None
        else habit.deviation / usual_habit(cause.process).deviation
        for cause in causes.causes
    ]
    return replace(causes, matrix=causes.matrix * np.array(scale))


def habit_words(process: str, habit: Habit, units: str = "mm") -> str:
    """Return "You fold 0.6 mm long, seen 10 times over."."""
    usual = PROCESSES[process]
    amount = abs(habit.mean) * usual.scatter
    if usual.unit == "rad":
        shown = f"{math.degrees(amount):.1f} degrees"
    elif usual.scatter < _BY_HUNDREDTHS:
        shown = show_length(amount, units, True)
    else:  # over many folds less than a tenth adds up, but nobody can set it by itself
        shown = show_length(amount, units) if amount >= _SMALLEST else "a hair"
    worth = times_seen(process, habit)
    said = (usual.more if habit.mean >= 0.0 else usual.less).format(shown)
    times = {0: "hardly seen yet", 1: "seen once", 2: "seen twice"}
    seen = times.get(worth, f"seen {worth} times over")
    return f"You {said}, {seen}."


def times_seen(name: str, habit: Habit) -> int:
    """How many readings a habit rests on, by `name` as in `habits_of`."""
    return round(habit.kappa - usual_habit(name.partition(" in ")[0]).kappa)


def _learned(looks: Sequence[Look], forgotten: Mapping[str, int]) -> dict[str, Habit]:
    """Biases of all processes by regression, then scatters by what is left."""
    made_by = dict.fromkeys(c.process for look in looks for c in look.causes.causes)
    processes = [name for name in made_by if not PROCESSES[name].is_set_up]
    usual = [usual_habit(name) for name in processes]
    prior = np.array([habit.kappa for habit in usual])
    seen = _all_seen(looks, processes, prior, forgotten)
    weight, pull = np.diag(prior), np.zeros(len(processes))
    for one in seen:
        solved = np.linalg.solve(one.noise, np.column_stack([one.biases, one.missed]))
        weight += one.biases.T @ solved[:, :-1]
        pull += one.biases.T @ solved[:, -1]
    mean = np.linalg.solve(weight, pull)
    sure = 1.0 / np.diag(np.linalg.inv(weight))
    shares, squares = np.zeros(len(processes)), prior * mean**2
    for one in seen:
        share, square = one.left(mean)
        shares, squares = shares + share, squares + square
    return {
        name: Habit(float(m), float(k), habit.alpha + n / 2.0, habit.beta + q / 2.0)
        for name, habit, m, k, n, q in zip(
            processes, usual, mean, sure, map(float, shares), map(float, squares), strict=True
        )
    }


def _all_seen(
    looks: Sequence[Look], processes: Sequence[str], prior: Vector, forgotten: Mapping[str, int]
) -> list[_Seen]:
    """Makings that teach by themselves, and pieces of one tube, which teach of it only once."""
    found: list[_Seen] = []
    stocks: dict[str, list[Look]] = {}
    for look in looks:
        if isinstance(look.part, Tube):
            stocks.setdefault(look.part.stock, []).append(look)
        else:
            found.append(_Seen([look], processes, prior, forgotten))
    for pieces in stocks.values():
        together = _Seen(pieces, processes, prior, forgotten)
        if together.agrees(prior):
            found.append(together)
        else:  # another length of tube, or misread
            found += [_Seen([piece], processes, prior, forgotten) for piece in pieces]
    return found


class _Seen:
    """What makings have to say: misses, what biases move, what scatter and tool explain."""

    def __init__(
        self,
        looks: Sequence[Look],
        processes: Sequence[str],
        prior: Vector,
        forgotten: Mapping[str, int],
    ) -> None:
        from scipy.linalg import block_diag

        whole = whole_root([look.causes for look in looks])
        rows = [_Rows(look, processes, prior) for look in looks]
        missed, biases, tools, lines, keep = (
            np.concatenate(one)
            for one in zip(
                *((r.missed, r.biases, r.tools, r.lines, r.keep) for r in rows), strict=True
            )
        )
        causing = (block_diag(*(r.matrix for r in rows)) @ whole.root)[keep]
        missed, biases, lines = missed[keep], biases[keep], lines[keep]
        noise = causing @ causing.T + np.diag(tools[keep] ** 2)
        by = np.array(whole.processes)[whole.process]
        self.counts = []
        for j, process in enumerate(processes):
            # what is forgotten is still there, only unknown
            is_gone = lines < forgotten.get(process, 0)
            gone = np.where(is_gone, biases[:, j], 0.0)
            biases[:, j] -= gone
            noise += np.outer(gone, gone) / prior[j]
            self.counts.append((by == process) & ~causing[is_gone].any(axis=0))
        self.missed, self.causing, self.biases, self.noise = missed, causing, biases, noise

    def agrees(self, prior: Vector) -> bool:
        """Whether no reading is further from what the others expect of it than tools explain."""
        weight = np.linalg.inv(self.noise + self.biases / prior @ self.biases.T)
        times = np.abs(weight @ self.missed) / np.sqrt(np.diag(weight))
        return bool(times.max(initial=0.0) <= AT_ODDS)

    def left(self, mean: Vector) -> tuple[Vector, Vector]:
        """Share of a reading that each process has, and the squares of what is left for it."""
        solved = np.linalg.solve(
            self.noise, np.column_stack([self.causing, self.missed - self.biases @ mean])
        )
        shares = np.sum(self.causing * solved[:, :-1], axis=0)
        squares = (self.causing.T @ solved[:, -1]) ** 2
        return (
            np.array([float(shares[mine].sum()) for mine in self.counts]),
            np.array([float(squares[mine].sum()) for mine in self.counts]),
        )


class _Rows:
    """Readings of one making: what they miss by, what moves them, and which tell of the hand."""

    def __init__(self, look: Look, processes: Sequence[str], prior: Vector) -> None:
        part, causes = look.part, look.causes
        dims = {bare: dims_of(part, finished=not bare) for bare in (True, False)}
        readings = [r for r in look.readings if r.dim in dims[r.bare]]
        values = part.values()
        at = np.array([values.get(name, 0.0) for name in causes.names])
        _, self.matrix = seen_by(part, causes.names, at, [(r.dim, r.bare) for r in readings])
        off = np.array([look.taken_off.get(name, 0.0) for name in causes.names])
        self.missed = np.array([r.value - r.drawn for r in readings]) + self.matrix @ off
        self.tools = reading_sigmas(part, self.matrix, causes, [r.sigma for r in readings])
        self.biases = self.matrix @ np.column_stack([causes.response(name) for name in processes])
        self.lines = np.array([r.id for r in readings], dtype=np.int64)
        own = np.sum((self.matrix @ causes.matrix) ** 2, axis=1)
        spread = own + self.tools**2 + np.sum(self.biases**2 / prior, axis=1)
        self.keep = np.abs(self.missed) <= _BLUNDER * np.sqrt(spread)
