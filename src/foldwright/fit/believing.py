"""Believing: what a simulated maker who refits makes of what was read.

Room: fit. What is read is what is there, give or take the tool; what comes of one
stock is read together (`same_stock`); and every reading teaches how the hand works.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.beliefs import AT_ODDS, root_of
from foldwright.fit.least_squares import adjusted_from
from foldwright.fit.network import Belief

if TYPE_CHECKING:
    from foldwright.fit.bench import Bench
    from foldwright.fit.network import Flags, Floats, Whole

_BLUNDER = 4.0  # usual scatters; more is none


def belief_of(bench: Bench) -> Belief:
    """What the maker knows: readings of what is made, the learnt hand for the rest."""
    from scipy import sparse

    works, network = bench.works, bench.works.network
    made = bench.is_made[network.part]
    strays_by = sparse.diags_array(deviations_of(bench))
    ahead = sparse.diags_array((~made).astype(float)) @ works.root @ strays_by
    mean = np.where(made, bench.read, bench.meant)
    # what no tool sees keeps its scatter; what is read has the tool's
    alone = np.where(made, network.reads, 0.0)
    together, x, root = _read_together(bench, made & works.is_as_it_comes & (alone > 0.0))
    mean[together], alone[together] = x, 0.0
    rows = np.zeros((len(mean), root.shape[1]))
    rows[together] = root
    known = (ahead, sparse.diags_array(alone), sparse.csr_array(rows))
    return Belief(mean, sparse.hstack(known).tocsr(), bench.is_made.copy())


def deviations_of(bench: Bench) -> Floats:
    """How far each cause strays by the hand as learnt, in usual scatters, shape (q,)."""
    return np.array([habit.deviation for habit in bench.habits])[bench.works.process]


def _read_together(bench: Bench, those: Flags) -> tuple[Whole, Floats, Floats]:
    """Which dims of one stock agree, their values, and a root of how sure they are [mm]."""
    works, network = bench.works, bench.works.network
    root = works.root[:, works.is_shared].toarray()
    rows = np.flatnonzero(those)
    while len(rows) > 1:
        found = adjusted_from(
            np.eye(len(rows)),
            bench.read[rows],
            network.reads[rows],
            network.drawn[rows],
            root[rows],
        )
        times = np.abs(found.standardised)
        odd = times > max(AT_ODDS, float(times.max()) * (1.0 - 1e-6))
        if not odd.any():
            return rows, found.x, root_of(found.covariance)
        rows = rows[~odd]
    return rows[:0], np.zeros(0), np.zeros((0, 0))


def bias_of(bench: Bench) -> Floats:
    """What the learnt hand adds to every dim by itself [mm]."""
    return np.asarray(bench.works.biases @ np.array([h.mean for h in bench.habits]))


def learn(bench: Bench, part: int, deviations: Floats) -> None:
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
