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
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.cannot_fit import Cure, remedies
from foldwright.fit.chances import within
from foldwright.fit.habits import Habit
from foldwright.fit.least_drift import MOST_DRIFT
from foldwright.fit.leave_long import rework
from foldwright.fit.network import Belief
from foldwright.fit.redraw import redraw, redraw_next
from foldwright.fit.windows import Costs
from foldwright.fit.works import BIAS, WORTH, Hands, Works, strays

if TYPE_CHECKING:
    from foldwright.fit.network import Flags, Floats, Whole

SENSIBLE, TO_SUIT, REFIT = "sensible", "to suit", "refit"

_TRIES = 12  # of one part; a maker gives up long before
_PASSES = 12  # of curing what a part misses
_SEEN = 0.1  # mm; of a gap seen and felt when parts are tried together
_INSIDE = 0.25  # share of the window that a cure aims inside its edge
_MEANT_INSIDE = 0.1  # the same, for what is made again
_TOUCHES = 1e-9
_LEAST_CHANCE = 1e-3
_HOPELESS = 0.3  # chance to suit under which one part is not made again by itself
_WEARY = 2.0  # how much dearer each try in vain makes the next
_BLUNDER = 4.0  # usual scatters; more is none


@dataclass
class Tally:
    """What one build cost.

    Attributes
    ----------
    remakes, trims, shims : int
    minutes : float
        Of rework: trimming, shimming and remaking; making once is not counted.
    filler : float
        Shimmed or filled [mm].
    drift : float
        Largest drift of any dim from the drawing, in units of its give.
    redrawn : int
        Parts whose drawing changed after the first.
    is_given_up : bool
        A part would not suit after many tries.
    """

    remakes: int = 0
    trims: int = 0
    shims: int = 0
    minutes: float = 0.0
    filler: float = 0.0
    drift: float = 0.0
    redrawn: int = 0
    is_given_up: bool = False


@dataclass
class _Bench:
    """A build half-way: what is made, what is known of it, and what it was meant to be."""

    works: Works
    hands: Hands
    way: str
    is_sparse: bool
    is_made: Flags
    true: Floats
    read: Floats
    meant: Floats
    shimmed: Floats
    habits: list[Habit]
    tries: Whole
    tally: Tally = field(default_factory=Tally)
    redrawn: set[int] = field(default_factory=set)

    def complete(self) -> Flags:
        """Clearances whose parts are all made."""
        return ~self.works.touches[:, ~self.is_made].any(axis=1)

    def clearances(self) -> Floats:
        return self.works.network.clearances(self.true) - self.shimmed


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
    bench = _Bench(
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
        costs = Costs(*rework(network, _belief(bench), works.minutes, works.cures))
        bench.meant = redraw(network, _belief(bench), costs, is_sparse=False)
    for part in order:
        _make(bench, part)
    changed = np.abs(bench.meant - network.drawn)[network.is_free]
    bench.tally.drift = float((changed / network.give[network.is_free]).max(initial=0.0))
    bench.tally.redrawn = len(bench.redrawn)
    return bench.tally


def _make(bench: _Bench, part: int) -> None:
    """Make a part, try it, cure it; remake it, or what it meets, until all suits."""
    _cut(bench, part, np.zeros(len(bench.true)))
    for _ in range(_TRIES):
        row = _cure(bench)
        if row is None:
            break
        again = _to_remake(bench, row)
        if bench.way == REFIT:
            _see_gap(bench, row)
        bench.is_made[list(again)] = False
        for i, other in enumerate(again):
            bench.tally.remakes += 1
            bench.tally.minutes += float(bench.works.minutes[other])
            _cut(bench, other, _by_last_miss(bench, again[i:]))
    else:
        bench.tally.is_given_up = True


def _cut(bench: _Bench, part: int, correction: Floats) -> None:
    """Cut and form a part, and read what came out."""
    works, network = bench.works, bench.works.network
    mine, attempt = network.part == part, bench.tries[part]
    bench.is_made[part] = False
    aim = np.where(mine, _aim(bench, part, correction), bench.meant)
    if np.any(np.abs(aim - bench.meant) > network.steps):  # less than that, nobody marks out
        bench.redrawn.add(part)
        bench.meant = aim
    cut = bench.meant - _bias(bench) if bench.way == REFIT else bench.meant
    bench.true = np.where(mine, cut + strays(works, bench.hands, part, attempt), bench.true)
    rng = np.random.default_rng([bench.hands.seed, 4, part, attempt])
    read = bench.true + network.reads * rng.standard_normal(len(mine))
    bench.read = np.where(mine, read, bench.read)
    bench.is_made[part] = True
    bench.tries[part] += 1
    # what was shimmed for the part before is shimmed no more
    bench.shimmed[works.touches[:, part]] = 0.0
    if bench.way == REFIT:
        _learn(bench, part, bench.read - cut)


def _see_gap(bench: _Bench, row: int) -> None:
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


def _to_remake(bench: _Bench, row: int) -> tuple[int, ...]:
    """Which parts to make again for a missed clearance.

    The one that is cheapest to make until it suits: its minutes over the chance that
    the next one, corrected, suits everything it meets, each try in vain making the next
    dearer. Where no one part has a chance, the cheapest set of parts that has, whatever
    the way of working: any maker sees that two parts have to go.
    """
    network = bench.works.network
    found = []
    for part in sorted(network.parts_of(row)):
        if bench.way == REFIT:
            after = network.clearances(_put_right(bench, part)) - bench.shimmed
        else:
            after = _unshimmed(bench, (part,)) + network.slopes @ _by_last_miss(bench, (part,))
        chance = _chance_to_suit(bench, part, after)
        weary = _WEARY ** (bench.tries[part] - 1)
        minutes = weary * float(bench.works.minutes[part]) / max(chance, _LEAST_CHANCE)
        found.append((minutes, part, chance))
    _, part, chance = min(found, key=lambda f: f[:2])
    return (_set_to_remake(bench) if chance < _HOPELESS else ()) or (part,)


def _by_last_miss(bench: _Bench, parts: tuple[int, ...]) -> Floats:
    """How parts that are made again are corrected by what the last ones missed by.

    Nothing for a refit, which draws them anew with all that it knows.
    """
    if bench.way == REFIT:
        return np.zeros(len(bench.true))
    again = list(parts)
    was = bench.is_made[again]
    bench.is_made[again] = True
    found = _correction(bench, parts, _unshimmed(bench, parts))
    bench.is_made[again] = was
    return found


def _unshimmed(bench: _Bench, parts: tuple[int, ...]) -> Floats:
    """Clearances with what was shimmed for these parts taken out, as it is when they are remade."""
    is_theirs = bench.works.touches[:, list(parts)].any(axis=1)
    return bench.clearances() + np.where(is_theirs, bench.shimmed, 0.0)


def _set_to_remake(bench: _Bench) -> tuple[int, ...]:
    """Cheapest set of parts that, made again, can all suit; empty if none is found."""
    works, network = bench.works, bench.works.network
    g = bench.clearances()
    inside = _MEANT_INSIDE * (network.high - network.low)
    low, high = network.low + inside, network.high - inside
    met = (g >= network.low) & (g <= network.high)
    belief = _belief(bench)
    tighter = replace(
        network,
        # gaps are seen where both parts are there, dims are read
        level=network.level + np.where(bench.complete(), g - network.clearances(belief.mean), 0.0),
        low=np.where(met, np.minimum(low, g), low),
        high=np.where(met, np.maximum(high, g), high),
    )
    again = [
        Cure("remake", int(part), float(works.minutes[part]))
        for part in np.flatnonzero(bench.is_made)
    ]
    # a redraw goes past a give only if nothing else helps, and so does the choice of parts
    for most in (1.0, MOST_DRIFT):
        found = remedies(tighter, belief, again, count=1, most_drift=most)
        if found:
            return tuple(cure.part for cure, _ in found[0].cures)
    return ()


def _put_right(bench: _Bench, part: int) -> Floats:
    """Where a refit would put all dims if a part were made again."""
    bench.is_made[part] = False
    found = _redrawn(bench, part, is_sparse=False)
    bench.is_made[part] = True
    return found


def _chance_to_suit(bench: _Bench, part: int, after: Floats) -> float:
    """Chance that a part suits all that it meets, if the clearances are meant so."""
    works, network = bench.works, bench.works.network
    mine = np.flatnonzero(network.part == part)
    own = network.slopes[:, mine].tocsr()
    rows = np.flatnonzero(bench.complete() & (np.diff(own.indptr) > 0))
    carried = own[rows] @ works.root[mine]
    sigma = np.sqrt(np.asarray(carried.multiply(carried).sum(axis=1)).ravel())
    return float(within(after[rows], sigma, network.low[rows], network.high[rows]).prod())


def _aim(bench: _Bench, part: int, correction: Floats) -> Floats:
    """What a part is meant to come out as."""
    network = bench.works.network
    mine = network.part == part
    if bench.way == REFIT:
        return _next(bench, part)
    if correction.any():
        return np.where(mine, bench.meant + correction, bench.meant)
    if bench.way == SENSIBLE:
        return network.drawn
    bench.is_made[part] = True  # as if it were there, to see what it would meet
    there = np.where(bench.is_made[network.part], bench.read, network.drawn)
    there = np.where(mine, network.drawn, there)
    found = _correction(bench, (part,), network.clearances(there) - bench.shimmed)
    bench.is_made[part] = False
    return np.where(mine, network.drawn + found, bench.meant)


def _correction(bench: _Bench, parts: tuple[int, ...], clearances: Floats) -> Floats:
    """Least change of the parts' own dims that brings what they meet to the middle."""
    network = bench.works.network
    rows = np.flatnonzero(bench.complete())
    own = np.flatnonzero(np.isin(network.part, parts) & network.is_free)
    found = np.zeros(len(network.keys))
    if not rows.size or not own.size:
        return found
    matrix = network.slopes[rows][:, own].toarray() * network.give[own]
    rows, matrix = rows[matrix.any(axis=1)], matrix[matrix.any(axis=1)]
    if rows.size:
        middle = (network.low[rows] + network.high[rows]) / 2.0
        least = np.linalg.lstsq(matrix, middle - clearances[rows], rcond=1e-9)[0]
        found[own] = network.give[own] * least
    return found


def _cure(bench: _Bench) -> int | None:
    """Trim and shim what is missed; the clearance that cannot be cured, or None if all is met."""
    network = bench.works.network
    for _ in range(_PASSES):
        g = bench.clearances()
        missed = np.flatnonzero(
            bench.complete() & ((g < network.low - _TOUCHES) | (g > network.high + _TOUCHES))
        )
        if not missed.size:
            return None
        if not _one_cure(bench, int(missed[0]), g):
            break
    return int(missed[0])


def _one_cure(bench: _Bench, row: int, g: Floats) -> bool:
    """Cure one missed clearance by the cheapest cure that harms no other."""
    network = bench.works.network
    low, high = network.low[row], network.high[row]
    inside = _INSIDE * (high - low)
    wanted = low + inside if g[row] < low else high - inside
    for cure in bench.works.cures_of[row]:
        if cure.clearance == row:
            amount = cure.way * (wanted - g[row])
            if not 0.0 < amount <= cure.most:
                continue
            bench.shimmed[row] -= cure.way * amount
            bench.tally.shims += 1
            bench.tally.filler += float(amount)
        else:
            if not bench.is_made[cure.part]:
                continue
            effect = cure.way * network.slopes[[row], [cure.dim]].item()
            amount = (wanted - g[row]) / effect
            if not 0.0 < amount <= cure.most or _harms(bench, cure, row, amount, g):
                continue
            rng = np.random.default_rng([bench.hands.seed, 5, cure.dim, bench.tally.trims])
            done = max(0.0, amount + bench.works.trimmed[cure.dim] * rng.standard_normal())
            bench.true[cure.dim] += cure.way * done
            bench.read[cure.dim] += cure.way * done
            bench.tally.trims += 1
        bench.tally.minutes += cure.minutes
        return True
    return False


def _harms(bench: _Bench, cure: Cure, row: int, amount: float, g: Floats) -> bool:
    """Whether trimming for one clearance makes another miss that is met now."""
    network = bench.works.network
    column = network.slopes[:, [cure.dim]].toarray().ravel()
    after = g + column * cure.way * amount
    met = (g >= network.low) & (g <= network.high)
    missed = (after < network.low) | (after > network.high)
    missed[row] = False
    return bool(np.any(bench.complete() & met & missed))


def _belief(bench: _Bench) -> Belief:
    """What the maker knows: readings of what is made, the learnt hand for the rest."""
    from scipy import sparse

    works, network = bench.works, bench.works.network
    made = bench.is_made[network.part]
    strays_by = np.array([habit.deviation for habit in bench.habits])[works.process]
    ahead = sparse.diags_array((~made).astype(float)) @ works.root @ sparse.diags_array(strays_by)
    # what no tool sees keeps its scatter; what is read has the tool's
    known = sparse.diags_array(np.where(made, network.reads, 0.0))
    mean = np.where(made, bench.read, bench.meant)
    return Belief(mean, sparse.hstack([ahead, known]).tocsr(), bench.is_made.copy())


def _redrawn(bench: _Bench, part: int, *, is_sparse: bool) -> Floats:
    """Where a refit puts all dims when a part is about to be cut, and what was shimmed for it."""
    works = bench.works
    shimmed = np.where(works.touches[:, part], 0.0, bench.shimmed)
    network = replace(works.network, level=works.network.level - shimmed)
    belief = _belief(bench)
    costs = Costs(*rework(network, belief, works.minutes, works.cures))
    return redraw_next(network, belief, costs, part, is_sparse=is_sparse)


def _next(bench: _Bench, part: int) -> Floats:
    """Draw the part about to be cut."""
    network = bench.works.network
    is_sparse = bench.is_sparse and not bench.tries[part]
    found = _redrawn(bench, part, is_sparse=is_sparse)
    mine = (network.part == part) & network.is_free
    return np.where(mine, found, bench.meant)


def _bias(bench: _Bench) -> Floats:
    """What the learnt hand adds to every dim by itself [mm]."""
    return np.asarray(bench.works.biases @ np.array([h.mean for h in bench.habits]))


def _learn(bench: _Bench, part: int, deviations: Floats) -> None:
    """Learn each process from a part, from every dim that it alone, or it most, makes."""
    works, network = bench.works, bench.works.network
    mine = np.flatnonzero((network.part == part) & network.is_free)
    effects = works.biases[mine].toarray()
    root = works.root[mine].toarray()
    main = np.abs(effects).argmax(axis=1)
    for process in np.unique(main[np.abs(effects).max(axis=1, initial=0.0) > 0.0]):
        effect = effects[:, process]
        seen = deviations[mine] / np.where(effect, effect, 1.0)
        # a blunder tells nothing of the habit
        rows = (main == process) & (effect != 0.0) & (np.abs(seen) < _BLUNDER)
        if rows.any():
            covariance = root[rows] @ root[rows].T + np.diag(network.reads[mine][rows] ** 2)
            bench.habits[process] = bench.habits[process].learned_together(
                deviations[mine][rows], effect[rows], covariance
            )
