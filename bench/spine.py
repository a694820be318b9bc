"""How long a build of some thirty parts takes, each figure as a ratio within one run.

Run with ``make bench``. The yardstick of each ratio is something the maker
would otherwise wait for: reading the plan, or drawing everything anew.
"""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

from thin_loop import EXAMPLE, median_of

from foldwright.flat import forget_patterns
from foldwright.make import make, open_build
from foldwright.outputs import Wish, rendered


def main() -> None:
    """Measure and print."""
    plan, ledger = open_build(EXAMPLE)
    with ledger:
        read_time = median_of(lambda: open_build(EXAMPLE))

        def patterns() -> object:
            forget_patterns()
            return make(plan, ledger).pieces

        def quick() -> object:
            forget_patterns()
            return rendered(make(plan, ledger), "a day", Wish(is_quick=True))

        print(f"{len(plan.parts)} parts; plan read {read_time:.3f} s")
        pattern_time = median_of(patterns)
        print(
            f"all patterns, proved               {pattern_time:.3f} s after imports, "
            f"{pattern_time / read_time:.2f} of reading the plan"
        )
        quick_time = median_of(quick, runs=3)
        print(f"the same with SVG and DXF files    {quick_time:.3f} s")
        change_time = _one_dim_changed(plan, ledger)
        print(
            f"one dim changed, patterns again    {change_time:.3f} s, "
            f"{change_time / pattern_time:.2f} of all patterns"
        )
        begin = time.perf_counter()
        rendered(make(plan, ledger), "a day", Wish(seconds=1.0))
        print(f"everything, layouts and book too   {time.perf_counter() - begin:.3f} s")
    Path(EXAMPLE / "ledger.sqlite").unlink(missing_ok=True)


def _one_dim_changed(plan, ledger) -> float:  # type: ignore[no-untyped-def]
    """Median over the parts: time to draw the build again when one of its dims has changed [s]."""
    times = []
    made = make(plan, ledger)
    _ = made.pieces
    for name, part in plan.parts.items():
        for i, parameter in enumerate(part.parameters[:1]):
            moved = list(part.parameters)
            moved[i] = replace(parameter, value=parameter.value + 0.1)
            parts = dict(plan.parts) | {name: replace(part, parameters=tuple(moved))}
            begin = time.perf_counter()
            _ = make(replace(plan, parts=parts), ledger).pieces
            times.append(time.perf_counter() - begin)
    worst, middle = max(times), sorted(times)[len(times) // 2]
    print(f"  worst of the parts               {worst:.3f} s")
    return middle


if __name__ == "__main__":
    main()
