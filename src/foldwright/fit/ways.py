"""Ways of working: how a simulated maker decides what to cut next, and to what size.

Room: fit. Four ways, on the same hands, with the same trimming and shimming
open to all:

* the *sensible maker* cuts as drawn, tries each part against its neighbours,
  trims what is over, shims what is slack, and remakes what cannot be cured,
  corrected by what the last one missed by;
* *to suit* measures the neighbours that are there and cuts each part to their
  middle, without looking ahead;
* *refit* redraws everything not made yet after each part, leans on its windows,
  leaves long where trimming is cheap, and learns the hand from the first
  reading; in the order in which the plan draws the parts, or in a chosen one.

`build` runs one way through one build and returns what it cost.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.aiming import aim
from foldwright.fit.believing import belief_of, bias_of, learn
from foldwright.fit.bench import REFIT, Bench, Tally
from foldwright.fit.curing import cure_all
from foldwright.fit.habits import Habit
from foldwright.fit.leave_long import rework
from foldwright.fit.redraw import redraw
from foldwright.fit.remaking import by_last_miss, is_scrap, to_remake
from foldwright.fit.windows import Costs
from foldwright.fit.works import BIAS, WORTH, Hands, Works, strays

if TYPE_CHECKING:
    from foldwright.fit.network import Floats

_TRIES = 12  # of one part; a maker gives up long before
_SEEN = 0.1  # mm; of a gap seen and felt when parts are tried together


def build(
    works: Works,
    hands: Hands,
    way: str,
    order: Sequence[int],
    *,
    is_sparse: bool = True,
) -> Tally:
    """Make a whole build, part by part.

    Parameters
    ----------
    works : Works
    hands : Hands
    way : str
        ``"sensible"``, ``"to suit"`` or ``"refit"``.
    order : sequence of int
        Parts, first to last.
    is_sparse : bool
        Whether a refit leaves alone what can be let be.
    """
    network = works.network
    usual = Habit.usual(1.0, BIAS, WORTH)
    bench = Bench(
        works,
        hands,
        way,
        is_sparse,
        np.zeros(len(network.parts), dtype=bool),
        network.drawn.copy(),
        network.drawn.copy(),
        network.drawn.copy(),
        np.zeros(len(network.low)),
        [usual] * len(works.processes),
        np.zeros(len(network.parts), dtype=int),
    )
    if way == REFIT:  # the first drawing leaves long and looks ahead already
        costs = Costs(*rework(network, belief_of(bench), works.minutes, works.cures))
        bench.meant = redraw(network, belief_of(bench), costs, is_sparse=False)
    for part in order:
        _make(bench, part)
    changed = np.abs(bench.meant - network.drawn)[network.is_free]
    bench.tally.drift = float((changed / network.give[network.is_free]).max(initial=0.0))
    bench.tally.redrawn = len(bench.redrawn)
    return bench.tally


def _make(bench: Bench, part: int) -> None:
    """Make a part, try it, cure it; remake it, or what it meets, until all suits."""
    _cut(bench, part, np.zeros(len(bench.true)))
    for _ in range(_TRIES):
        if bench.way != REFIT or not is_scrap(bench, part):
            break
        _again(bench, part, np.zeros(len(bench.true)))
    for _ in range(_TRIES):
        row = cure_all(bench)
        if row is None:
            break
        again = to_remake(bench, row)
        if bench.way == REFIT:
            _see_gap(bench, row)
        bench.is_made[list(again)] = False
        for i, other in enumerate(again):
            _again(bench, other, by_last_miss(bench, again[i:]))
    else:
        bench.tally.is_given_up = True


def _again(bench: Bench, part: int, correction: Floats) -> None:
    """Make a part again."""
    bench.tally.remakes += 1
    bench.tally.minutes += float(bench.works.minutes[part])
    _cut(bench, part, correction)


def _cut(bench: Bench, part: int, correction: Floats) -> None:
    """Cut and form a part, and read what came out."""
    works, network = bench.works, bench.works.network
    mine, attempt = network.part == part, bench.tries[part]
    bench.is_made[part] = False
    meant = np.where(mine, aim(bench, part, correction), bench.meant)
    if np.any(np.abs(meant - bench.meant) > network.steps):  # less than that, nobody marks out
        if network.redrawings[part] > 0.0:
            bench.redrawn.add(part)
        bench.meant = meant
    cut = bench.meant - bias_of(bench) if bench.way == REFIT else bench.meant
    bench.true = np.where(mine, cut + strays(works, bench.hands, part, attempt), bench.true)
    rng = np.random.default_rng([bench.hands.seed, 4, part, attempt])
    read = bench.true + network.reads * rng.standard_normal(len(mine))
    bench.read = np.where(mine, read, bench.read)
    bench.is_made[part] = True
    bench.tries[part] += 1
    # what was shimmed for the part before is shimmed no more
    bench.shimmed[works.touches[:, part]] = 0.0
    if bench.way == REFIT:
        learn(bench, part, bench.read - cut)


def _see_gap(bench: Bench, row: int) -> None:
    """Take up in the readings what trying the parts together shows of a gap.

    Least squares: the readings of the dims behind it move by as much as each is unsure.
    """
    slopes = bench.works.network.slopes[[row]]
    dims, effect = slopes.indices, slopes.data
    off = bench.clearances()[row] - (
        bench.works.network.clearances(bench.read)[row] - bench.shimmed[row]
    )
    weight = bench.works.network.reads[dims] ** 2 * effect
    bench.read[dims] += weight * off / (effect @ weight + _SEEN**2)
