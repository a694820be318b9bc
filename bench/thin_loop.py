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


if __name__ == "__main__":
    main()
