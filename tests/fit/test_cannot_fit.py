"""Contradictions and remedies, against trying everything on small builds."""

import math
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from scipy import sparse
from scipy.optimize import linprog

from foldwright.errors import OutOfDomain
from foldwright.fit.cannot_fit import Cure, contradiction, done, remedies
from foldwright.fit.network import Belief, Network


def instance(seed):
    """Four parts of one or two dims, five clearances, some parts made and off."""
    rng = np.random.default_rng(seed)
    part = np.repeat(np.arange(4), rng.integers(1, 3, 4))
    n, m = len(part), 5
    slopes = rng.choice([-1.0, 1.0], (m, n)) * (rng.random((m, n)) < 0.5)
    net = Network(
        tuple(f"p{p}/d{i}" for i, p in enumerate(part)), tuple(f"p{i}" for i in range(4)), part,
        np.zeros(n), np.zeros(n), np.ones(n), np.ones(n, dtype=bool),
        tuple(f"m{i}" for i in range(m)), np.arange(m), np.zeros(m), np.full(m, -0.5),
        np.full(m, 0.5), sparse.csr_array(slopes),
    )  # fmt: skip
    made = rng.random(4) < 0.6
    mean = np.where(made[part], rng.normal(0.0, 1.2, n), 0.0)
    cures = [Cure("remake", p, float(rng.uniform(20, 90))) for p in range(4) if made[p]]
    cures += [
        Cure("trim", int(part[d]), float(rng.uniform(5, 12)), 2.0, dim=d)
        for d in range(n)
        if made[part[d]] and rng.random() < 0.6
    ]
    cures += [
        Cure("shim", 0, float(rng.uniform(3, 6)), 1.5, clearance=r)
        for r in range(m)
        if rng.random() < 0.4
    ]
    return net, Belief(mean, sparse.csr_array((n, 1)), made), cures


def can_fit(net, known, rows, cures=()):
    """Whether these clearances can all be met with these cures, by SciPy's linear programme."""
    made = known.is_made.copy()
    for cure in cures:
        if cure.kind == "remake":
            made[cure.part] = False
    slopes = net.slopes.toarray()
    free = ~made[net.part]
    columns = [slopes[:, i] for i in np.flatnonzero(free)]
    bounds = [(None, None)] * len(columns)
    for cure in cures:
        if cure.kind == "trim":
            columns.append(-slopes[:, cure.dim])
        elif cure.kind == "shim":
            columns.append(-np.eye(len(net.low))[:, cure.clearance])
        else:
            continue
        bounds.append((0.0, cure.most))
    held = net.clearances(np.where(free, 0.0, known.mean))
    rows = list(rows)
    if not columns:
        return all(net.low[r] <= held[r] <= net.high[r] for r in rows)
    matrix = np.column_stack(columns)[rows]
    upper = np.vstack([matrix, -matrix])
    limit = np.concatenate([(net.high - held)[rows], (held - net.low)[rows]])
    return linprog(np.zeros(len(columns)), A_ub=upper, b_ub=limit, bounds=bounds).status == 0


@pytest.mark.parametrize("seed", range(40))
def test_a_contradiction_is_one_and_loses_it_with_any_row_left_out(seed):
    net, known, _ = instance(seed)
    found = contradiction(net, known)

    if found is None:
        assert can_fit(net, known, range(5))
        return
    assert not can_fit(net, known, found.clearances)
    for left_out in found.clearances:
        assert can_fit(net, known, [r for r in found.clearances if r != left_out])


@pytest.mark.parametrize("seed", range(40))
def test_the_first_remedy_is_the_cheapest_of_all_sets_of_cures(seed):
    net, known, cures = instance(seed)
    if contradiction(net, known) is None:
        assert remedies(net, known, cures) == ()
        return
    costs = [
        sum(c.minutes for c in chosen)
        for count in range(1, len(cures) + 1)
        for chosen in combinations(cures, count)
        if can_fit(net, known, range(5), chosen)
    ]
    found = remedies(net, known, cures, count=1)

    if not costs:
        assert found == ()
        return
    # a tenth of a minute for each mm may make one that does less the better
    slack = 0.1 * sum(amount for _, amount in found[0].cures) + 0.1 * 2.0 * len(cures)
    assert min(costs) - 1e-6 <= found[0].minutes <= min(costs) + slack
    cured, after = done(net, known, found[0])
    # a millionth of a millimetre for the tolerance of either solver
    cured = replace(cured, low=cured.low - 1e-6, high=cured.high + 1e-6)
    assert can_fit(cured, after, range(5))


def test_remedies_come_cheapest_first_and_differ():
    net, known, cures = next(
        case for case in map(instance, range(100)) if len(remedies(*case, count=3)) == 3
    )
    found = remedies(net, known, cures, count=3)

    assert len({tuple(c for c, _ in remedy.cures) for remedy in found}) == 3
    assert found[0].minutes <= found[1].minutes + 1.0


def test_a_limit_on_drift_can_be_what_contradicts():
    """A made part 3 mm off, its neighbour may drift 1 give of 1 mm, the window is 0.5 wide."""
    net = replace(
        instance(0)[0],
        keys=("a/d", "b/d"), parts=("a", "b"), part=np.arange(2), at=np.zeros(2),
        drawn=np.zeros(2), give=np.ones(2), is_free=np.ones(2, dtype=bool), meets=("m",),
        meet=np.zeros(1, int), level=np.zeros(1), low=np.full(1, -0.5), high=np.full(1, 0.5),
        slopes=sparse.csr_array([[1.0, -1.0]]),
    )  # fmt: skip
    known = Belief(np.array([3.0, 0.0]), sparse.csr_array((2, 1)), np.array([True, False]))

    assert contradiction(net, known) is None
    found = contradiction(net, known, most_drift=1.0)
    assert found is not None
    assert (found.meets, found.made) == (("m",), ("a",))
    again = remedies(net, known, [Cure("remake", 0, 30.0)], most_drift=1.0)
    assert [cure.kind for cure, _ in again[0].cures] == ["remake"]
    assert math.isclose(again[0].minutes, 30.0)


def test_a_cure_that_does_nothing_is_refused():
    net, known, _ = next(c for c in map(instance, range(50)) if contradiction(*c[:2]))

    with pytest.raises(OutOfDomain, match="does nothing"):
        remedies(net, known, [Cure("trim", 0, 5.0, 0.0, dim=0)])
