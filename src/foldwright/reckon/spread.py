"""Spread: how sure an answer is, from how sure its inputs are.

Room: reckon. Each uncertain input is moved by one standard deviation up and
down with the others held, and half the difference of the answers is what it
adds; independent inputs add as squares. This is the law of propagation of
uncertainty with slopes taken over the spread itself (JCGM 100:2008, 5.1.2 and
the note to 5.1.3), so that a bend in the answer counts.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from typing import Any

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.shop import Board, Figure, Matter

_NEVER = 1e-300
_ROUNDING = 1e-9


def with_spread(reckoner: Reckoner, values: Mapping[str, Any], answer: Answer) -> Answer:
    """Fill in the spread of each number of an answer.

    Parameters
    ----------
    reckoner : Reckoner
    values : Mapping
        Its inputs, as its function takes them.
    answer : Answer
        What it says to them.
    """
    variances = dict.fromkeys((line.name for line in answer.lines), 0.0)
    for asked in reckoner.inputs:
        for pair in _moved(asked, values[asked.name]):
            for name, difference in _differences(reckoner, values, asked.name, pair, answer):
                variances[name] += difference**2
    return replace(
        answer,
        lines=tuple(
            line
            if isinstance(line.value, str)
            else replace(line, spread=_beyond_rounding(line, math.sqrt(variances[line.name])))
            for line in answer.lines
        ),
    )


def _beyond_rounding(line: Line, spread: float) -> float:
    """Return the spread, or none where it is only what the arithmetic rounds."""
    return spread if spread > _ROUNDING * abs(float(line.value)) else 0.0


def _differences(
    reckoner: Reckoner,
    values: Mapping[str, Any],
    name: str,
    pair: tuple[Any, Any],
    answer: Answer,
) -> Iterator[tuple[str, float]]:
    """Yield what one uncertain input adds to each line: half the difference of up and down.

    Where one side leaves the domain of the formula, the other side alone tells.
    """
    here = _numbers(answer)
    found = []
    for moved in pair:
        try:
            found.append(_numbers(reckoner.answer(**{**values, name: moved})))
        except OutOfDomain:
            continue
    for line in here:
        ends = [numbers[line] for numbers in found if line in numbers]
        if len(ends) == 2:
            yield line, (ends[1] - ends[0]) / 2.0
        elif ends:
            yield line, ends[0] - here[line]


def _numbers(answer: Answer) -> dict[str, float]:
    return {
        line.name: float(line.value)
        for line in answer.lines
        if not isinstance(line.value, str) and math.isfinite(line.value)
    }


def _moved(asked: Input, value: Any) -> Iterator[tuple[Any, Any]]:
    """Yield the value moved down and up by each of its uncertainties."""
    if isinstance(value, Matter):
        yield from _moved_matter(value)
    elif isinstance(value, Board):
        for low, high in _moved_matter(value.face):
            yield replace(value, face=low), replace(value, face=high)
        if value.core is not None:
            for low, high in _moved_matter(value.core):
                yield replace(value, core=low), replace(value, core=high)
    elif asked.spread > 0.0 and value is not None:
        sigma = math.radians(asked.spread) if asked.unit == "deg" else asked.spread
        if asked.several:  # readings by one hand with one tool: each strays by itself
            for i, one in enumerate(value):
                yield (
                    (*value[:i], one - sigma, *value[i + 1 :]),
                    (*value[:i], one + sigma, *value[i + 1 :]),
                )
        else:
            yield value - sigma, value + sigma


def _moved_matter(matter: Matter) -> Iterator[tuple[Matter, Matter]]:
    for field in fields(matter):
        figure = getattr(matter, field.name)
        if isinstance(figure, Figure) and figure.spread > 0.0 and abs(figure.value) > _NEVER:
            lower: dict[str, Any] = {field.name: _times(figure, 1.0 - figure.spread)}
            higher: dict[str, Any] = {field.name: _times(figure, 1.0 + figure.spread)}
            yield replace(matter, **lower), replace(matter, **higher)


def _times(figure: Figure, factor: float) -> Figure:
    return replace(figure, value=figure.value * factor)
