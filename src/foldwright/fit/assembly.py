"""Assembly: a build's parts, readings and meets as one network.

Room: fit. The solvers of this room work on arrays; here a build becomes those
arrays, and what they answer becomes words about parts again. Every dim of every
part has its place in the arrays, made or not: its parameters, which a refit may
change while the part is not made, and its strays, which nobody can.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.beliefs import Belief as PartBelief
from foldwright.fit.cannot_fit import Contradiction, Remedy, contradiction, remedies
from foldwright.fit.causes import WholeRoot, whole_root
from foldwright.fit.chances import DRAWS, chances, drivers
from foldwright.fit.clearance import Clearance, key_of
from foldwright.fit.cures import cures_of
from foldwright.fit.effects import Causes
from foldwright.fit.leave_long import rework
from foldwright.fit.meet_words import tightest
from foldwright.fit.minutes import minutes_of, redrawing_of
from foldwright.fit.network import USUAL_STEP, Belief, Network
from foldwright.fit.no_trim import why_no_trim
from foldwright.fit.orders import chosen_order, waves
from foldwright.fit.reading_by import reading_of, step_of
from foldwright.fit.redraw import redraw
from foldwright.fit.shifts import MeetForecast, Shift
from foldwright.fit.stages import can_change
from foldwright.fit.windows import Costs, expected
from foldwright.fit.works import Works
from foldwright.ledger import has_reached
from foldwright.plan import AnyPart, Meet, Parameter, Rib

if TYPE_CHECKING:
    from foldwright.fit.cannot_fit import Cure
    from foldwright.fit.network import Floats, Sparse

# Of a dim that nobody asks about: it has to be above 0 for the arrays.
_NO_GIVE = 1.0
# So many reasons are told for a change, those that spare this share of the most.
_MOST_TOLD, _WORTH_TELLING = 3, 0.25

# All clearances of all meets, meet by meet, at given dims of all parts.
type ClearancesAt = Callable[[Mapping[str, Mapping[str, float]]], Sequence[Sequence[Clearance]]]


@dataclass(frozen=True)
class Assembly:
    """A build half-way: what is drawn, what is intended now, what came out.

    Attributes
    ----------
    drawn, parts : Mapping of str to AnyPart
        As the plan draws them; with the parameters as intended now.
    meets : tuple of Meet
    clearances_at : callable
    known : Mapping of str to PartBelief
        What is known of each part's dims: expected, and how sure once it is made.
    causes : Mapping of str to Causes
        How each part strays that is not made yet.
    stages : Mapping of str to str
        How far each part is.
    """

    drawn: Mapping[str, AnyPart]
    parts: Mapping[str, AnyPart]
    meets: tuple[Meet, ...]
    clearances_at: ClearancesAt
    known: Mapping[str, PartBelief]
    causes: Mapping[str, Causes]
    stages: Mapping[str, str]

    @cached_property
    def names(self) -> tuple[tuple[str, str], ...]:
        """Part and name of every dim: parameters, then strays, part by part."""
        return tuple((name, dim) for name in self.parts for dim in self.causes[name].names)

    @cached_property
    def _changeable(self) -> Mapping[str, frozenset[str]]:
        """Parameters of each part that can be drawn anew at its stage; of a made one, if remade."""
        return {
            name: can_change(part, "planned" if self.known[name].is_made else self.stages[name])
            for name, part in self.parts.items()
        }

    @cached_property
    def _loose(self) -> tuple[tuple[int, float], ...]:
        """Clearances with a scatter of their own, which no dim has: their rows, and how much."""
        start = {
            name: dict.fromkeys(self.causes[name].names, 0.0) | dict(self.known[name].mean)
            for name in self.parts
        }
        rows = [c for clearances in self.clearances_at(start) for c in clearances]
        return tuple((i, c.own) for i, c in enumerate(rows) if c.own > 0.0)

    @cached_property
    def _read_by(self) -> Floats:
        """How well the usual tools read each dim once it is made."""
        found = [reading_of(self.parts[part], dim) for part, dim in self.names]
        return np.array([*found, *(0.0 for _ in self._loose)])

    @cached_property
    def _steps(self) -> Floats:
        """Smallest change of each dim that a hand can make."""
        found = [step_of(self.parts[part]) for part, _ in self.names]
        return np.array([*found, *(USUAL_STEP for _ in self._loose)])

    @cached_property
    def place(self) -> Mapping[str, int]:
        """Place of each ``part/name`` in the arrays."""
        return {key_of(part, dim): i for i, (part, dim) in enumerate(self.names)}

    def parameter(self, dim: int) -> Parameter | None:
        """Parameter as the plan draws it; None for a stray."""
        part, name = self.names[dim]
        return next((p for p in self.drawn[part].parameters if p.name == name), None)

    def values(self, x: Floats) -> dict[str, dict[str, float]]:
        """Return dims by part and name."""
        found: dict[str, dict[str, float]] = {name: {} for name in self.parts}
        for (part, dim), value in zip(self.names, x[: len(self.names)], strict=True):
            found[part][dim] = float(value)
        return found

    @cached_property
    def hands(self) -> WholeRoot:
        """How all parts stray when they are made, made already or not."""
        return whole_root(tuple(self.causes[name] for name in self.parts))

    @cached_property
    def belief(self) -> Belief:
        """What is known of all dims at once.

        What is not made strays by its causes, some of them shared; what is made is as
        sure as its readings, and so is what other pieces of its stock tell of.
        """
        from scipy import sparse

        known = tuple(self.known[name] for name in self.parts)
        mean = np.array([self.known[part].mean.get(dim, 0.0) for part, dim in self.names])
        made = np.array([one.is_made for one in known], dtype=bool)
        untold = np.array([not _is_told(self.known[part]) for part, _ in self.names], dtype=float)
        ahead = sparse.diags_array(untold) @ self.hands.root
        loose = sparse.diags_array([own for _, own in self._loose]) if self._loose else None
        root = sparse.block_array([[sparse.hstack([ahead, self._read]), None], [None, loose]])
        if loose is None:
            root = sparse.hstack([ahead, self._read])
        return Belief(np.append(mean, np.zeros(len(self._loose))), root.tocsr(), made)

    @property
    def _read(self) -> Sparse:
        """Root of what readings leave open; the pieces that one stock tells of share columns."""
        from scipy import sparse

        rows, columns, entries = [], [], []
        begin: dict[tuple[bool, str], int] = {}
        width = 0
        for name in self.parts:
            one = self.known[name]
            if not _is_told(one):
                continue
            group = bool(one.told_by), one.told_by or name
            if group not in begin:
                begin[group] = width
                width += one.root.shape[1]
            at = [self.place[key_of(name, dim)] for dim in one.mean]
            i, j = np.nonzero(one.root)
            rows += [at[k] for k in i]
            columns += [begin[group] + int(k) for k in j]
            entries += one.root[i, j].tolist()
        return sparse.csr_array((entries, (rows, columns)), shape=(len(self.names), width))

    @cached_property
    def network(self) -> Network:
        """The network where the dims are expected now."""
        return self.network_at(self.belief.mean)

    def network_at(self, x: Floats) -> Network:
        """Return the network with its clearances taken at given dims."""
        from scipy import sparse

        rows = [c for clearances in self.clearances_at(self.values(x)) for c in clearances]
        index = {name: i for i, name in enumerate(self.parts)}
        loose, count = len(self._loose), len(self.names)
        drawn = [*(self.parameter(i) for i in range(count)), *[None] * loose]
        entries = [
            (i, self.place[key], d) for i, c in enumerate(rows) for key, d in c.slopes.items()
        ]
        entries += [(row, count + j, 1.0) for j, (row, _) in enumerate(self._loose)]
        slopes = sparse.csr_array(
            ([d for *_, d in entries], ([i for i, *_ in entries], [j for _, j, _ in entries])),
            shape=(len(rows), count + loose),
        )
        order = {meet.name: i for i, meet in enumerate(self.meets)}
        return Network(
            keys=(*self.place, *(f"/{i}" for i in range(loose))),
            parts=tuple(self.parts),
            part=np.array(
                [
                    *(index[part] for part, _ in self.names),
                    *(index[rows[row].meet.inner] for row, _ in self._loose),
                ]
            ),
            at=np.asarray(x),
            drawn=np.array(
                [p.value if p else 0.0 for p in drawn],
            ),
            give=np.array([p.give if p else _NO_GIVE for p in drawn]),
            is_free=np.array(
                [*(dim in self._changeable[part] for part, dim in self.names), *[False] * loose]
            ),
            meets=tuple(meet.name for meet in self.meets),
            meet=np.array([order[c.meet.name] for c in rows], dtype=int),
            level=np.array([c.value for c in rows]),
            low=np.array([c.low for c in rows]),
            high=np.array([c.high for c in rows]),
            slopes=slopes,
            read=self._read_by,
            step=self._steps,
            redrawing=np.array([redrawing_of(part) for part in self.parts.values()]),
        )

    def clearances(self, x: Floats) -> Sequence[Sequence[Clearance]]:
        """Clearances meet by meet, when the dims are `x`."""
        return self.clearances_at(self.values(x))

    def forecasts(self, x: Floats | None = None) -> tuple[MeetForecast, ...]:
        """How each meet stands: as expected now, or with the parts not made yet meant to be `x`."""
        if not self.meets:
            return ()
        mean = self.belief.mean if x is None else x
        network = self.network if x is None else self.network_at(mean)
        belief = Belief(mean, self.belief.root, self.belief.is_made)
        sigmas = belief.sigmas(network.slopes)
        likely = chances(network, belief, draws=DRAWS)
        found = []
        start = 0
        for i, clearances in enumerate(self.clearances(mean)):
            own = sigmas[start : start + len(clearances)]
            start += len(clearances)
            found.append(
                MeetForecast(
                    self.meets[i],
                    tuple(clearances),
                    tuple(float(s) for s in own),
                    float(likely.meet[i]) if clearances else 1.0,
                )
            )
        return tuple(found)

    def drivers_of(self, found: MeetForecast) -> dict[str, float]:
        """Share that each part has in the scatter of a meet where it is tightest, largest first.

        Empty for what cannot miss, and for a meet that is not of this network.
        """
        if not found.clearances or found.meet.name not in self.network.meets:
            return {}
        which = self.network.meets.index(found.meet.name)
        rows = np.flatnonzero(self.network.meet == which)
        if len(rows) != len(found.clearances):  # of a rib drawn anew, which has a side more or less
            return {}
        row = int(rows[tightest(found.clearances, found.sigmas)])
        return drivers(self.network, self.belief, row)

    @cached_property
    def minutes(self) -> Floats:
        """Minutes to make each part, shape (number of parts,)."""
        return np.array([minutes_of(part) for part in self.parts.values()])

    @cached_property
    def cures(self) -> tuple[Cure, ...]:
        """What can be trimmed, shimmed and filled once parts are made."""
        return cures_of(self.parts, self.stages, self.meets, self.network)

    @cached_property
    def refitted(self) -> Floats:
        """Dims after a refit; equal to the mean of the belief for everything that stands."""
        if not self.meets:
            return self.belief.mean
        return redraw(self.network, self.belief, self._costs, self.network_at)

    @cached_property
    def shifts(self) -> tuple[Shift, ...]:
        """What the refit changes, and the clearances that force it."""
        before, after = self.belief.mean, self.refitted
        now = [c for clearances in self.clearances(before) for c in clearances]
        saved = self._saved(after) if self.meets else np.zeros(0)
        found = []
        for dim in np.flatnonzero(np.abs(after - before) > self.network.steps):
            parameter = self.parameter(int(dim))
            if parameter is not None:
                key = self.network.keys[dim]
                behind = [i for i, c in enumerate(now) if key in c.slopes]
                most = max((saved[i] for i in behind), default=0.0)
                told = sorted(behind, key=lambda i: -saved[i])[:_MOST_TOLD]
                forced = tuple(now[i] for i in told if saved[i] >= _WORTH_TELLING * most)
                part, name = self.names[dim]
                # What is drawn moves as what comes out does; they differ by a habit.
                drawn = self.parts[part].values()[name]
                moved = float(after[dim] - before[dim])
                found.append(Shift(part, parameter, drawn, drawn + moved, forced))
        return tuple(found)

    def _saved(self, after: Floats) -> Floats:
        """Minutes of rework that each clearance is spared by the refit."""
        sigmas = self.belief.sigmas(self.network.slopes)
        then = self.network_at(after)

        def minutes(network: Network) -> Floats:
            return expected(network.level, network.low, network.high, sigmas, self._costs)

        return minutes(self.network) - minutes(then)

    @cached_property
    def _costs(self) -> Costs:
        return Costs(*rework(self.network, self.belief, self.minutes, self.cures))

    @cached_property
    def order(self) -> tuple[int, ...]:
        """Parts in the order of least rework: those that are made first, then those begun."""
        stands = [int(i) for i in np.flatnonzero(self.belief.is_made)]
        stands += [i for i, name in enumerate(self.parts) if name in self.begun]
        return chosen_order(self.network, self._hands_root, self.minutes, self.cures, stands)

    @cached_property
    def begun(self) -> frozenset[str]:
        """Parts that are cut and not measured yet: they are what they are, and nobody knows."""
        return frozenset(
            name
            for name, stage in self.stages.items()
            if has_reached(stage, "cut") and not self.known[name].is_made
        )

    @cached_property
    def waves(self) -> tuple[tuple[str, ...], ...]:
        """Names of the parts not measured yet, wave by wave; what is measured holds up nothing."""
        names = tuple(self.parts)
        waiting = [p for p in self.order if not self.belief.is_made[p]]
        found = waves(self.network, self.belief, waiting)
        place = {names[p]: i for i, wave in enumerate(found) for p in wave}
        for name, part in self.parts.items():  # a rib is drawn to its shell as measured
            if isinstance(part, Rib) and name in place and name not in self.begun:
                place[name] = max(place[name], place.get(part.of.name, -1) + 1)
        count = max(place.values(), default=-1) + 1
        return tuple(tuple(n for n, at in place.items() if at == i) for i in range(count))

    @cached_property
    def _hands_root(self) -> Sparse:
        """How every part strays when it is made, with room for what has a scatter of its own."""
        from scipy import sparse

        loose = sparse.diags_array([own for _, own in self._loose]) if self._loose else None
        if loose is None:
            return self.hands.root
        return sparse.block_array([[self.hands.root, None], [None, loose]]).tocsr()

    @cached_property
    def contradiction(self) -> Contradiction | None:
        """Made parts and meets that contradict one another, if any do."""
        return contradiction(self.network, self.belief) if self.meets else None

    @cached_property
    def remedies(self) -> tuple[Remedy, ...]:
        """Cheapest ways to make everything meet again; each is proved by solving anew."""
        if self.contradiction is None:
            return ()
        minutes = dict(zip(self.parts, map(float, self.minutes), strict=True))
        cures = cures_of(self.parts, self.stages, self.meets, self.network, minutes)
        return remedies(self.network, self.belief, cures)

    @cached_property
    def why_no_trim(self) -> tuple[str, ...]:
        """Why trimming one of the parts that contradict helps nothing; empty if it does."""
        found = self.contradiction
        if found is None:
            return ()
        trims = [cure for cure in self.cures if cure.kind == "trim"]
        names = [name for _, name in self.names]
        return why_no_trim(
            self.network, self.belief, found, trims, self.stages, lambda dim: names[dim]
        )

    @cached_property
    def works(self) -> Works:
        """Return the build as simulated makers find it, nothing made yet."""
        loose = len(self._loose)
        hands = self.hands
        minutes = dict.fromkeys(self.parts, 1.0)
        extra = (*hands.processes, "hole") if loose else hands.processes
        return Works(
            self.network,
            self._hands_root,
            np.append(hands.process, np.full(loose, len(hands.processes))).astype(int),
            extra,
            np.append(hands.is_shared, np.zeros(loose, dtype=bool)),
            self.minutes,
            tuple(
                cure
                for cure in cures_of(self.parts, {}, self.meets, self.network, minutes)
                if cure.kind != "remake"
            ),
        )


def _is_told(known: PartBelief) -> bool:
    """Whether readings tell of a part, its own or those of other pieces of its stock."""
    return known.is_made or bool(known.told_by)
