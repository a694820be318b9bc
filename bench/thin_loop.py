"""How long the thin loop takes, each figure beside something a maker would otherwise wait for.

Run with ``make bench``. Prints medians of several runs and ratios within this
run; nothing here fails on a slow machine.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

EXAMPLE = Path(__file__).parent.parent / "examples" / "harbour-signal-lamp"
RUNS = 7


def median_of(task: Callable[[], object], runs: int = RUNS) -> float:
    """Median wall time of a task [s], one warm-up not counted."""
    task()
    times = []
    for _ in range(runs):
        begin = time.perf_counter()
        task()
        times.append(time.perf_counter() - begin)
    return statistics.median(times)


def command(*words: str) -> Callable[[], object]:
    """Return a task that runs a command in a new process."""
    return lambda: subprocess.run(words, check=True, capture_output=True)


def main() -> None:
    """Measure and print."""
    python = sys.executable
    foldwright = str(Path(python).with_name("foldwright"))
    help_time = median_of(command(foldwright, "--help"))
    pip_time = median_of(command(python, "-m", "pip", "--help"))
    print(
        f"foldwright --help           {help_time:.3f} s, pip --help {pip_time:.3f} s, "
        f"ratio {help_time / pip_time:.2f}"
    )

    from foldwright.flat import forget_patterns
    from foldwright.ledger import Ledger
    from foldwright.make import make, open_build
    from foldwright.outputs import rendered

    plan, ledger = open_build(EXAMPLE)

    def patterns() -> object:
        forget_patterns()
        return make(plan, ledger).pieces

    read_time = median_of(lambda: open_build(EXAMPLE))
    pattern_time = median_of(patterns)
    print(f"demo plan read              {read_time:.3f} s")
    print(
        f"demo patterns, proved       {pattern_time:.3f} s after imports, "
        f"ratio to reading the plan {pattern_time / read_time:.2f}"
    )
    paper_time = median_of(lambda: rendered(make(plan, ledger), "a day"), runs=3)
    print(f"demo paper (PDF, SVG)       {paper_time:.3f} s")

    with tempfile.TemporaryDirectory() as folder:
        trial = Ledger(Path(folder) / "ledger.sqlite")
        trial.add_reading(
            part="lamp",
            dim="girth",
            value=694.0,
            tool="tape",
            bare=True,
            note="",
            revision=0,
            drawn=690.27,
            sigma=0.5,
        )
        refit_time = median_of(lambda: make(plan, trial).outcome)
    print(f"demo refit                  {refit_time:.3f} s")
    print(f"least drift, PIQP to SLSQP  {_solver_ratio():.4f} (60 dims, 120 clearances)")


def _solver_ratio() -> float:
    import numpy as np
    from scipy.optimize import minimize

    from foldwright.fit import least_drift

    rng = np.random.default_rng(1)
    n, m = 60, 120
    matrix = np.zeros((m, n))
    for row in matrix:
        row[rng.choice(n, 3, replace=False)] = rng.normal(size=3)
    goal, give, sigmas = rng.normal(size=n), np.full(n, 2.0), np.full(m, 0.3)
    centre = matrix @ (goal + 0.5 * rng.normal(size=n))
    windows = np.column_stack([centre - 1.0, centre + 1.0])
    rows = matrix * give
    level = matrix @ goal

    def scipy_way() -> object:
        return minimize(
            lambda y: float(y[:n] @ y[:n] + 100.0 * (y[n:] / sigmas).sum()),
            np.concatenate([np.zeros(n), np.full(m, 3.0)]),
            jac=lambda y: np.concatenate([2.0 * y[:n], 100.0 / sigmas]),
            method="SLSQP",
            bounds=[(None, None)] * n + [(0, None)] * m,
            constraints=[
                {
                    "type": "ineq",
                    "fun": lambda y: rows @ y[:n] + level - windows[:, 0] + y[n:],
                    "jac": lambda y: np.hstack([rows, np.eye(m)]),
                },
                {
                    "type": "ineq",
                    "fun": lambda y: windows[:, 1] - rows @ y[:n] - level + y[n:],
                    "jac": lambda y: np.hstack([-rows, np.eye(m)]),
                },
            ],
        )

    ours = median_of(lambda: least_drift(goal, give, matrix, windows, sigmas))
    return ours / median_of(scipy_way, runs=1)


if __name__ == "__main__":
    main()
