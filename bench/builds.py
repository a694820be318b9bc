"""What simulated builds need: remakes, minutes and redrawn parts, way by way.

Run: python bench/builds.py [usual] [tight] [demo] [strained] [coverage]
         [-n BUILDS] [--first SEED] [--processes N]

Without names, all of them. Builds by every way on the same hands, seeds from SEED on;
in brackets 90 % bootstrap intervals over builds. Refits in the chosen order are also
made without the rule that leaves alone what can be let be, on the same seeds.
"""

import argparse
import os
import time
from collections.abc import Callable
from concurrent.futures import Executor, ProcessPoolExecutor
from functools import cache, partial
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from foldwright.fit.bench import Tally
from foldwright.fit.random_works import random_works
from foldwright.fit.simulate import Interval, Simulated, coverage, simulate
from foldwright.fit.works import Stress, Works
from foldwright.make import Made
from foldwright.plan import read_plan
from foldwright.shop import thicknesses

HARD = Stress(1.5, 2.0, 2.0)
DEMO = Path(__file__).parents[1] / "examples" / "harbour-signal-lamp" / "plan.toml"


@cache
def demo() -> Works:
    """Return the demo build as drawn."""
    return Made(read_plan(DEMO, thicknesses()), ()).assembly.works


SETS: dict[str, tuple[Callable[[], Works | Callable[[int], Works]], Stress | None]] = {
    "usual": (lambda: partial(random_works, width=(2.5, 5.0)), None),
    "tight": (lambda: partial(random_works, width=(1.5, 2.5)), None),
    "demo": (demo, None),
    "strained": (lambda: partial(random_works, width=(2.5, 5.0)), HARD),
}


def within_give(tally: Tally) -> bool:
    """Whether no dim drifted further than is seen."""
    return tally.drift <= 1.001


def said(found: Interval | None) -> str:
    """A figure with its interval."""
    return "none" if found is None else f"{found.value:.3f} ({found.low:.3f} to {found.high:.3f})"


def report(name: str, count: int, first: int, executor: Executor) -> None:
    """Make the builds of one set and print what they needed."""
    works, stress = SETS[name]
    begin = time.perf_counter()
    run = partial(simulate, works(), count, first=first, stress=stress, executor=executor)
    found = run()
    full = run(ways=("refit_chosen",), is_sparse=False)
    tallies = {**found.tallies, "not_sparse": full.tallies["refit_chosen"]}
    found = Simulated(tallies, found.scatters)
    took = time.perf_counter() - begin
    print(f"\n{name}: {count} builds, seeds {first} to {first + count - 1}, in {took:.0f} s")
    print(f"  {'':13s} {'remakes':>24s} {'minutes of rework':>24s} {'redrawn':>8s} "
          f"{'in give':>7s} {'given up':>8s}")  # fmt: skip
    for way in tallies:
        print(
            f"  {way:13s} {said(found.mean(way, 'remakes')):>24s} "
            f"{said(found.mean(way, 'minutes')):>24s} {found.mean(way, 'redrawn').value:8.2f} "
            f"{found.share(way, within_give).value:7.3f} "
            f"{int(found.column(way, 'is_given_up').sum()):8d}"
        )
    for way in ("to_suit", "refit_drawn", "refit_chosen", "not_sparse"):
        print(f"  remakes, {way} over sensible: {said(found.ratio(way, 'sensible'))}")
    minutes = found.ratio("refit_chosen", "to_suit", "minutes")
    print(f"  minutes, refit_chosen over to_suit in the same order: {said(minutes)}")
    for figure in ("redrawn", "remakes"):
        ratio = found.ratio("refit_chosen", "not_sparse", figure)
        print(f"  {figure}, refit_chosen sparse over not sparse: {said(ratio)}", flush=True)


def report_coverage(count: int) -> None:
    """Print how often stated 90 % intervals hold the truth."""
    for label, stress in (("hands as assumed", None), ("strained", HARD)):
        print(
            f"\nstated 90 % over {count} builds, {label}: before any reading "
            f"{coverage(count, 0, stress=stress):.3f}, after three "
            f"{coverage(count, 3, stress=stress):.3f}"
        )


def main() -> None:
    """Read what is asked, and print it."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument(
        "sets",
        nargs="*",
        metavar="set",
        choices=[*SETS, "coverage", []],
        help=", ".join(SETS) + ", coverage",
    )
    parser.add_argument("-n", type=int, default=40, help="builds of each set")
    parser.add_argument("--first", type=int, default=0, help="seed of the first")
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args()
    with ProcessPoolExecutor(asked.processes) as executor:
        for name in asked.sets or [*SETS, "coverage"]:
            if name == "coverage":
                report_coverage(max(asked.n, 2000))
            else:
                report(name, asked.n, asked.first, executor)


if __name__ == "__main__":
    main()
