"""The run of a folder of reference cases: one line a case, and a summary.

Room: reference. ``foldwright-check-reference DIR`` reads every ``*.toml`` in a
folder, puts each ``[[case]]`` through the model it names and compares what is
expected, name by name, within the tolerance of the case: at most
``rtol |value| + atol``. A model that no module here knows is listed as not
covered, and so is an expected name that the model does not answer.
"""

from __future__ import annotations

import math
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from foldwright.errors import FoldwrightError
from foldwright.reference.case import Model
from foldwright.reference.models import MODELS

HOLDS, MISSES, REFUSED, NOT_COVERED, NOT_READ = (
    "holds",
    "misses",
    "refused",
    "not covered",
    "not to be read",
)
_GOOD = (HOLDS, NOT_COVERED)


@dataclass(frozen=True)
class Outcome:
    """What became of one case: `state` is one of the words above, `detail` says why."""

    case: str
    topic: str
    model: str
    state: str
    detail: str = ""


def run(folder: Path, models: Mapping[str, Mapping[str, Model]] = MODELS) -> tuple[Outcome, ...]:
    """Run all cases of a folder.

    Parameters
    ----------
    folder : Path
    models : Mapping
        By topic and name of the model.
    """
    return tuple(
        outcome for path in sorted(folder.glob("*.toml")) for outcome in _run_file(path, models)
    )


def check(case: Mapping[str, Any], models: Mapping[str, Mapping[str, Model]] = MODELS) -> Outcome:
    """Put one case through its model and compare."""
    try:
        topic, name = str(case["topic"]), str(case["model"])
        given, expected = case.get("given", {}), case["expect"]
        said = (str(case["id"]), topic, name)
    except (KeyError, TypeError) as fault:
        return Outcome(str(case.get("id", "?")), "", "", NOT_READ, f"the case has no {fault}")
    model = models.get(topic, {}).get(name)
    if model is None:
        return Outcome(*said, NOT_COVERED, f"model {name} of {topic} is not computed here")
    try:
        answers = model(given)
        differences = [_difference(case, expect, answers) for expect in expected]
    except FoldwrightError as fault:
        return Outcome(*said, REFUSED, str(fault))
    except Exception as fault:  # a case is somebody else's text; the run goes on
        return Outcome(*said, REFUSED, f"{type(fault).__name__}: {fault}")
    missed = [sentence for state, sentence in differences if state == MISSES]
    if missed:
        return Outcome(*said, MISSES, "; ".join(missed))
    unknown = [sentence for state, sentence in differences if state == NOT_COVERED]
    if unknown:
        return Outcome(*said, NOT_COVERED, "; ".join(unknown))
    return Outcome(*said, HOLDS)


def main() -> None:
    """Run from the command line; exit code 1 when a case is missed, 2 when nothing can be run."""
    if len(sys.argv) != 2 or sys.argv[1] in ("-h", "--help"):
        print("Usage: foldwright-check-reference DIR\n\nRuns every case file (*.toml) in DIR.")
        sys.exit(0 if len(sys.argv) == 2 else 2)
    folder = Path(sys.argv[1])
    if not folder.is_dir():
        print(f"{folder} is no folder. Give the folder that holds the case files.", file=sys.stderr)
        sys.exit(2)
    outcomes = run(folder)
    if not outcomes:
        print(f"There is no case in {folder}: no [[case]] in any *.toml file.", file=sys.stderr)
        sys.exit(2)
    for outcome in outcomes:
        detail = f": {outcome.detail}" if outcome.detail else ""
        print(f"{outcome.state:15} {outcome.topic}/{outcome.model} {outcome.case}{detail}")
    print(summary(outcomes))
    sys.exit(0 if all(outcome.state in _GOOD for outcome in outcomes) else 1)


def summary(outcomes: Sequence[Outcome]) -> str:
    """Return counts by state, and the models that are not covered."""
    counts = Counter(outcome.state for outcome in outcomes)
    words = ", ".join(f"{count} {state}" for state, count in counts.items())
    lacking = sorted({f"{o.topic}/{o.model}" for o in outcomes if o.state == NOT_COVERED})
    said = f"{len(outcomes)} cases: {words}."
    return said + (f" Not covered: {', '.join(lacking)}." if lacking else "")


def _run_file(path: Path, models: Mapping[str, Mapping[str, Model]]) -> Iterator[Outcome]:
    try:
        cases = tomllib.loads(path.read_text(encoding="utf-8")).get("case", [])
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as fault:
        yield Outcome(path.name, "", "", NOT_READ, str(fault))
        return
    if not isinstance(cases, list):
        yield Outcome(path.name, "", "", NOT_READ, "its cases are not written as [[case]]")
        return
    for case in cases:
        yield check(case, models)


def _difference(
    case: Mapping[str, Any], expect: Mapping[str, Any], answers: Mapping[str, Any]
) -> tuple[str, str]:
    """Compare one expected number, word or list with ours."""
    name, wanted = str(expect["name"]), expect["value"]
    if name not in answers:
        return NOT_COVERED, f"{name} is not answered"
    # a tolerance of the one number takes the place of the case's
    own = "atol" in expect or "rtol" in expect
    source = expect if own else case
    rtol, atol = float(source.get("rtol", 0.0)), float(source.get("atol", 0.0))
    got = answers[name]
    pairs = list(zip(wanted, got, strict=True)) if isinstance(wanted, list) else [(wanted, got)]
    for one, other in pairs:
        if isinstance(one, str) or isinstance(other, str):
            if str(one) != str(other):
                return MISSES, f"{name} is {other}, expected {one}"
            continue
        limit = rtol * abs(one) + atol
        # the comparison itself rounds: a printed 0.1 is not the tenth we worked out
        rounding = 4.0 * math.ulp(max(abs(one), abs(float(other)), limit))
        if not abs(float(other) - one) <= limit + rounding:  # also catches nan
            return MISSES, f"{name} is {float(other):.10g}, expected {one:.10g} within {limit:.3g}"
    return HOLDS, ""
