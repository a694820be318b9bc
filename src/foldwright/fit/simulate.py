"""Simulated builds: four ways of working on the same hands, many times over.

Room: fit. A run makes each build by every way with the same hands, so that ways
are compared pair by pair. Builds are independent and go through any
`concurrent.futures.Executor`: processes here, a cluster's elsewhere. Intervals are
bootstrap percentiles over builds.

Start at `simulate`; `coverage` asks how often stated intervals hold the truth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Executor
from dataclasses import asdict, dataclass, fields
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.fit.bench import REFIT, SENSIBLE, TO_SUIT, Tally
from foldwright.fit.habits import Habit
from foldwright.fit.orders import chosen_order
from foldwright.fit.random_works import random_works
from foldwright.fit.ways import build
from foldwright.fit.works import BIAS, WORTH, Stress, Works, hands_drawn, order_drawn, strays
from foldwright.shop import BLUNDER

if TYPE_CHECKING:
    from foldwright.fit.network import Floats, Whole

# Ways of working: how the maker decides, and whether in the order chosen or as drawn.
WAYS: dict[str, tuple[str, bool]] = {
    "sensible": (SENSIBLE, False),
    "to_suit": (TO_SUIT, True),
    "refit_drawn": (REFIT, False),
    "refit_chosen": (REFIT, True),
}
_RESAMPLES = 1000
_SEED = 4_117
_BAR = 40  # characters of the longest bar
_NINETY = 0.05, 0.95
_KINDS_OF_BUILD = 16  # that makers of `coverage` are given in turn


@dataclass(frozen=True)
class Interval:
    """A figure with its 90 % bootstrap interval."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, eq=False)
class Simulated:
    """Outcome of simulated builds.

    Attributes
    ----------
    tallies : dict
        Of each way, one `Tally` for each build, in the same order.
    scatters : tuple of float
        Ratio of window to scatter of every clearance as drawn.
    """

    tallies: dict[str, tuple[Tally, ...]]
    scatters: tuple[float, ...]

    def column(self, way: str, name: str) -> Floats:
        """One figure of a way, build by build."""
        return np.array([float(getattr(tally, name)) for tally in self.tallies[way]])

    def mean(self, way: str, name: str) -> Interval:
        """Average over builds."""
        values = self.column(way, name)
        drawn = _resampled(len(values))
        return _interval(float(values.mean()), values[drawn].mean(axis=1))

    def share(self, way: str, holds: Callable[[Tally], bool]) -> Interval:
        """Share of builds of which something holds."""
        values = np.array([float(holds(tally)) for tally in self.tallies[way]])
        return _interval(float(values.mean()), values[_resampled(len(values))].mean(axis=1))

    def ratio(self, way: str, other: str, name: str = "remakes") -> Interval | None:
        """Sum of a figure over the same of another way; None where that one had none."""
        ours, theirs = self.column(way, name), self.column(other, name)
        if not theirs.sum() > 0.0:
            return None
        drawn = _resampled(len(ours))
        below = theirs[drawn].sum(axis=1)
        ratios = ours[drawn].sum(axis=1)[below > 0.0] / below[below > 0.0]
        return _interval(float(ours.sum() / theirs.sum()), ratios)

    def as_json(self) -> dict[str, object]:
        """Everything as plain values; `remake_ratio` is over the sensible maker."""
        ratios = {way: self.ratio(way, "sensible") for way in self.tallies if way != "sensible"}
        return {
            "builds": len(next(iter(self.tallies.values()))),
            "window_over_scatter": _spread(self.scatters),
            "ways": {way: self._figures(way) for way in self.tallies},
            "remake_ratio": {way: found and found.value for way, found in ratios.items()},
            "remake_ratio_interval": {
                way: found and [found.low, found.high] for way, found in ratios.items()
            },
        }

    def _figures(self, way: str) -> dict[str, object]:
        found: dict[str, object] = {
            field.name: asdict(self.mean(way, field.name))
            for field in fields(Tally)
            if field.name != "is_given_up"
        }
        found["without_remake"] = asdict(self.share(way, lambda tally: tally.remakes == 0))
        found["within_give"] = asdict(self.share(way, _is_within_give))
        found["given_up"] = int(self.column(way, "is_given_up").sum())
        found["remakes_in_all"] = int(self.column(way, "remakes").sum())
        return found

    def plot(self) -> str:
        """Parts remade for each build as bars of text, with the interval as a line."""
        means = {way: self.mean(way, "remakes") for way in self.tallies}
        most = max((found.high for found in means.values()), default=0.0) or 1.0
        lines = ["parts remade for each build, with 90 % interval"]
        for way, found in means.items():
            low, value, high = (
                round(x / most * _BAR) for x in (found.low, found.value, found.high)
            )
            bar = "".join(
                "|" if i in (low, high) else "#" if i < value else "-" if low < i < high else " "
                for i in range(_BAR + 1)
            )
            lines.append(
                f"  {way.replace('_', ' '):13s}{bar.rstrip():{_BAR + 2}s}{found.value:.2f}"
            )
        return "\n".join(lines)


def simulate(
    works: Works | Callable[[int], Works],
    count: int,
    *,
    first: int = 0,
    ways: Sequence[str] = tuple(WAYS),
    stress: Stress | None = None,
    is_sparse: bool = True,
    executor: Executor | None = None,
    done: Callable[[int], None] | None = None,
) -> Simulated:
    """Make builds by every way of working, on the same hands.

    Parameters
    ----------
    works : Works or callable
        The build, or a function from a seed to one (`random_works`), for builds that
        differ.
    count : int
        How many builds, 1 or more.
    first : int
        Seed of the first, 0 or more; each one after it has the next.
    ways : sequence of str
        Of `WAYS`.
    stress : Stress, optional
        Hands worse than the model assumes.
    is_sparse : bool
        Whether refits leave alone what can be let be.
    executor : Executor, optional
        Runs the builds; one after another otherwise.
    done : callable, optional
        Is told how many builds are done.

    Raises
    ------
    OutOfDomain
        No builds, or an unknown way.
    """
    if count < 1:
        raise OutOfDomain(f"{count} builds tell nothing. Ask for 1 or more.", name="count")
    for way in ways:
        if way not in WAYS:
            raise OutOfDomain(
                f'There is no way of working "{way}". There are: {", ".join(WAYS)}.', name="ways"
            )
    task = partial(_one_build, works, tuple(ways), stress, is_sparse)
    run: Callable[..., Iterable[tuple[dict[str, Tally], list[float]]]]
    run = executor.map if executor is not None else map
    tallies: dict[str, list[Tally]] = {way: [] for way in ways}
    scatters: list[float] = []
    for i, (found, wide) in enumerate(run(task, range(first, first + count))):
        for way, tally in found.items():
            tallies[way].append(tally)
        scatters += wide
        if done is not None:
            done(i + 1)
    return Simulated({way: tuple(found) for way, found in tallies.items()}, tuple(scatters))


def _one_build(
    works: Works | Callable[[int], Works],
    ways: Sequence[str],
    stress: Stress | None,
    is_sparse: bool,
    seed: int,
) -> tuple[dict[str, Tally], list[float]]:
    """One build by every way; a function of the module, so that processes can be handed it."""
    one = works if isinstance(works, Works) else works(seed)
    hands = hands_drawn(one, seed, stress=stress)
    drawn = tuple(order_drawn(one))
    chosen = drawn
    if any(WAYS[way][1] for way in ways):
        chosen = chosen_order(one.network, one.root, one.minutes, one.cures)
    found = {
        way: build(one, hands, WAYS[way][0], chosen if WAYS[way][1] else drawn, is_sparse=is_sparse)
        for way in ways
    }
    carried = one.network.slopes @ one.root
    sigma = np.sqrt(np.asarray(carried.multiply(carried).sum(axis=1)).ravel())
    wide = (one.network.high - one.network.low)[sigma > 0.0] / sigma[sigma > 0.0]
    return found, [float(w) for w in wide]


def coverage(count: int, readings: int, *, stress: Stress | None = None) -> float:
    """Share of 90 % intervals that hold how the next part comes out.

    A blunder lies outside whatever the hand strays by, so that the interval is that of
    a hand which does not blunder, wider by as much as blunders take off its 90 %.

    Parameters
    ----------
    count : int
        Independent makers, each with hands of their own and a random build.
    readings : int
        Parts of the same process that were read before.
    stress : Stress, optional
        Hands worse than the model assumes.
    """
    from scipy import stats

    works = [random_works(seed, parts=3) for seed in range(min(count, _KINDS_OF_BUILD))]
    held = 0
    for seed in range(count):
        one = works[seed % len(works)]
        hands = hands_drawn(one, seed, stress=stress)
        dim = 0  # of the first part
        process = int(one.biases[[dim]].indices[0])
        size = float(one.biases[dim, process])
        deviation = [strays(one, hands, 0, i)[dim] / size for i in range(readings + 1)]
        habit = Habit.usual(1.0, BIAS, WORTH).learned(deviation[:-1])
        blundered = BLUNDER / np.count_nonzero(one.network.part == 0)  # one dim of a part
        tail = (1.0 - 0.9 / (1.0 - blundered)) / 2.0
        half = stats.t.isf(tail, habit.freedom) * habit.scale
        held += abs(deviation[-1] - habit.mean) <= half
    return held / count


def _is_within_give(tally: Tally) -> bool:
    return tally.drift <= 1.0 + 1e-3  # a thousandth of a give is not seen


def _resampled(count: int) -> Whole:
    return np.random.default_rng(_SEED).integers(count, size=(_RESAMPLES, count))


def _interval(value: float, found: Floats) -> Interval:
    low, high = np.quantile(found, _NINETY) if len(found) else (value, value)
    return Interval(value, float(low), float(high))


def _spread(values: Sequence[float]) -> dict[str, float]:
    if not values:
        return {}
    least, middle, most = np.quantile(np.array(values), (0.0, 0.5, 1.0))
    return {"least": float(least), "median": float(middle), "most": float(most)}
