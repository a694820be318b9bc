"""How long refits and chances take.

Run: python bench/fit.py

Medians of several runs, and ratios within this run; nothing fails on a slow machine.
What simulated builds need is in `builds.py`.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
import statistics
import time
from collections.abc import Callable

import numpy as np
from scipy import sparse
from scipy.optimize import minimize

from foldwright.fit.chances import Bends, chances
from foldwright.fit.least_drift import PAST_GIVE, least_drift
from foldwright.fit.network import Belief, Network
from foldwright.fit.redraw import redraw, sigmas_when_cut
from foldwright.fit.windows import Costs, aims, slacks


def median_of(task: Callable[[], object], runs: int = 5) -> float:
    """Median wall time of a task [s], one warm-up not counted."""
    task()
    times = []
    for _ in range(runs):
        begin = time.perf_counter()
        task()
        times.append(time.perf_counter() - begin)
    return statistics.median(times)


def instance(
    dims: int, rows: int, made: float = 0.0, seed: int = 0
) -> tuple[Network, Belief, Costs]:
    """A banded network: parts of four dims, clearances of four near-by dims."""
    rng = np.random.default_rng(seed)
    part = np.repeat(np.arange(dims // 4), 4)
    near = rng.integers(0, dims, rows)
    columns = (near[:, None] + rng.integers(-12, 13, (rows, 4))) % dims
    slopes = sparse.csr_array(
        (
            rng.choice([-1.0, 1.0, 0.5, -0.5], 4 * rows),
            (np.repeat(np.arange(rows), 4), columns.ravel()),
        ),
        shape=(rows, dims),
    )
    sigma = rng.uniform(0.2, 0.8, dims)
    spread = np.sqrt(slopes.multiply(slopes) @ sigma**2) + 1e-6
    half = rng.uniform(2.5, 5.0, rows) * spread / 2.0
    drawn = rng.uniform(50.0, 400.0, dims)
    net = Network(
        tuple(f"p{p}/d{i}" for i, p in enumerate(part)), tuple(f"p{i}" for i in range(dims // 4)),
        part, drawn, drawn, np.full(dims, 3.0), np.ones(dims, dtype=bool),
        tuple(f"m{i}" for i in range(rows)), np.arange(rows), np.zeros(rows), -half, half, slopes,
    )  # fmt: skip
    is_made = rng.random(dims // 4) < made
    mean = drawn + np.where(is_made[part], rng.normal(0.0, sigma), 0.0)
    root = sparse.csr_array(sparse.diags_array(sigma * np.where(is_made[part], 0.2, 1.0)))
    return net, Belief(mean, root, is_made), Costs(np.full(rows, 60.0), np.full(rows, 8.0))


def programme(net: Network, known: Belief, costs: Costs) -> tuple:
    """Arguments of `least_drift` with every dim free, windows off by what was made."""
    sigmas = sigmas_when_cut(net, known)
    rng = np.random.default_rng(1)
    off = rng.normal(0.0, 0.5, len(net.low))
    window = net.low + off, net.high + off
    aimed = aims(*window, sigmas, costs)
    held = net.slopes @ net.drawn
    return (
        net.drawn, net.give, net.slopes, aimed[0] + held, aimed[1] + held, sigmas,
        *slacks(*window, sigmas, costs, aimed),
    )  # fmt: skip


def by_slsqp(goal, give, slopes, low, high, sigmas, below, above):
    """The same programme by SciPy's general constrained solver."""
    n, m = len(goal), len(sigmas)
    lengths = np.concatenate([below.lengths, above.lengths])
    weights = (np.concatenate([below.weights, above.weights]) / sigmas).ravel()
    effect = np.hstack([np.eye(m) * s for s in np.repeat([1.0, -1.0], len(lengths) // 2)])
    a = slopes.toarray() * give
    rows, level = np.hstack([a, a, -a, effect]), slopes @ goal
    linear = np.concatenate([np.zeros(n), np.full(2 * n, PAST_GIVE), weights])

    def drift(y):
        return y[:n] + y[n : 2 * n] - y[2 * n : 3 * n]

    def gradient(y):
        d = 2.0 * drift(y)
        return linear + np.concatenate([d, d, -d, np.zeros(len(y) - 3 * n)])

    ends = [(0.0, None if np.isinf(x) else x) for x in lengths.ravel()]
    return minimize(
        lambda y: float((drift(y) ** 2).sum() + linear @ y),
        np.zeros(len(linear)),
        jac=gradient,
        method="SLSQP",
        bounds=[(-1.0, 1.0)] * n + [(0.0, 1.5)] * (2 * n) + ends,
        constraints=[
            {"type": "ineq", "fun": lambda y: rows @ y + level - low, "jac": lambda _: rows},
            {"type": "ineq", "fun": lambda y: high - level - rows @ y, "jac": lambda _: -rows},
        ],
        options={"maxiter": 60},
    )


def times() -> None:
    """Solve, refit, chances."""
    large = programme(*instance(300, 600))
    solve = 1e3 * median_of(lambda: least_drift(*large))
    print(f"one solve, 300 dims x 600 clearances   {solve:8.1f} ms")
    net, known, costs = instance(300, 600, made=0.3)
    for is_sparse in (True, False):
        label = "sparse" if is_sparse else "full"
        took = median_of(lambda s=is_sparse: redraw(net, known, costs, is_sparse=s), 3)
        print(f"whole refit, {label:6s}                    {1e3 * took:8.1f} ms")
    small = programme(*instance(60, 120))
    ours = median_of(lambda: least_drift(*small))
    begin = time.perf_counter()
    by_slsqp(*small)
    theirs = time.perf_counter() - begin
    print(f"60 x 120: SciPy SLSQP, 60 steps at most, takes {theirs / ours:.0f} times as long")
    net, known, _ = instance(60, 100)
    rng = np.random.default_rng(1)
    found = [(row, net.slopes[[row]].indices) for row in range(50)]
    directions, weights, which = [], [], []
    for row, dims in found:
        matrix = rng.normal(size=(len(dims), len(dims))) * 0.1
        for value, vector in zip(*np.linalg.eigh(matrix + matrix.T), strict=True):
            direction = np.zeros(60)
            direction[dims] = vector[: len(dims)]
            directions.append(direction)
            weights.append(np.atleast_1d(value)[0])
            which.append(row)
    bends = Bends(np.array(directions), np.array(weights), np.array(which))
    took = median_of(lambda: chances(net, known, draws=1_000_000, bends=bends), 3)
    print(f"a million draws, 60 dims x 100, half bent {took:6.2f} s on two threads")


def main() -> None:
    """Measure and print."""
    times()


if __name__ == "__main__":
    main()
