"""How many formers are chosen a second, beside a loop that finds each root by itself.

Run with ``make bench``. Skinned board, a rack of six pipes, drums and yields at
random; one process. The loop is what a script does: for each drum a bracketed
search for the curvature that springs to it, the moment by the same formula
written in plain Python. Ratios within this run.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np
from scipy.optimize import brentq

from foldwright.shop import boards, tightest_curl
from foldwright.shop.board_sections import section_of
from foldwright.shop.formers import choose_formers, former_for

BOARD = boards()["acp-2-0.2"]
RACK = [60.3, 88.9, 114.3, 168.3, 219.1, 323.9]
COUNT, IN_LOOP, RUNS = 100_000, 500, 5


def median_of(task: Callable[[], object]) -> float:
    """Median wall time of a task [s], one warm-up not counted."""
    task()
    times = []
    for _ in range(RUNS):
        begin = time.perf_counter()
        task()
        times.append(time.perf_counter() - begin)
    return statistics.median(times)


def pipe_by_search(factor: float, drum: float) -> float:
    """Pipe that springs to a drum, by a bracketed search."""
    section, t = section_of(BOARD), BOARD.thickness
    layers = list(
        zip(
            section.inner.tolist(),
            section.outer.tolist(),
            section.modulus.tolist(),
            (section.yields * factor).tolist(),
            section.hardening.tolist(),
            strict=True,
        )
    )
    rigidity = sum(2.0 * e * (b**3 - a**3) / 3.0 for a, b, e, _, _ in layers)
    wanted = 2.0 / (drum - t)

    def off(bent: float) -> float:
        held = 0.0
        for a, b, e, flow, slope in layers:
            c = min(max(flow / (e * bent), a), b)
            held += 2.0 * (
                e * bent * (c**3 - a**3) / 3.0
                + (1.0 - slope / e) * flow * (b**2 - c**2) / 2.0
                + slope * bent * (b**3 - c**3) / 3.0
            )
        return bent - held / rigidity - wanted

    return 2.0 / brentq(off, wanted, 2.0 / t, xtol=1e-15, rtol=1e-13) - t


def main() -> None:
    """Measure and print."""
    rng = np.random.default_rng(1)
    drums, factors = rng.uniform(80.0, 600.0, COUNT), rng.uniform(0.8, 1.2, COUNT)

    def pipes() -> object:
        return former_for(section_of(BOARD, factors), BOARD.thickness, drums)

    def choices() -> object:
        return choose_formers(
            section_of(BOARD, factors),
            BOARD.thickness,
            drums,
            RACK,
            tightest=tightest_curl(BOARD),
        )

    def loop() -> list[float]:
        pairs = zip(factors[:IN_LOOP].tolist(), drums[:IN_LOOP].tolist(), strict=True)
        return [pipe_by_search(f, d) for f, d in pairs]

    apart = float(np.max(np.abs(np.array(loop()) - np.asarray(pipes())[:IN_LOOP])))
    pipe_rate, choice_rate = COUNT / median_of(pipes), COUNT / median_of(choices)
    loop_rate = IN_LOOP / median_of(loop)
    print(f"pipe that springs to a drum    {pipe_rate:10.0f} a second")
    print(f"choice from a rack of {len(RACK)}        {choice_rate:10.0f} a second")
    print(
        f"the same pipe by search        {loop_rate:10.0f} a second, at most {apart:.1e} mm apart"
    )
    print(
        f"ratio to the search            {pipe_rate / loop_rate:10.1f} for the pipe, "
        f"{choice_rate / loop_rate:.1f} for the choice"
    )


if __name__ == "__main__":
    main()
