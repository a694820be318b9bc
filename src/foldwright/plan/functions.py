"""What a formula can call and which words it keeps for itself.

Room: plan. All take floats or `Dual` numbers. Angles are in degrees. A
function that has no value at a number says so with a `ValueError`, which
`Formula.value` turns into words with the place in the formula.
"""

from __future__ import annotations

import keyword
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import reduce

from foldwright.plan import dual
from foldwright.plan.dual import Number, number

_DEGREE = math.pi / 180.0

CONSTANTS: Mapping[str, float] = {"pi": math.pi, "inch": 25.4}
"""Names that always mean the same; `inch` is exact since 1959."""

_SQUARE_ANGLE = 1e-12  # |cos| below this is 90 degrees as well as a float can say it


def _tan(x: Number) -> Number:
    if abs(math.cos(number(x))) < _SQUARE_ANGLE:
        raise ValueError("tan has no value at 90 degrees")
    return dual.tan(x)


def _sqrt(x: Number) -> Number:
    if number(x) < 0.0:
        raise ValueError(f"the square root of {number(x):.6g} is asked for")
    return dual.sqrt(x)


def _arc(name: str, function: Callable[[Number], Number]) -> Callable[[Number], Number]:
    def inside(x: Number) -> Number:
        if not -1.0 <= number(x) <= 1.0:
            raise ValueError(f"{name} takes -1 to 1, not {number(x):.6g}")
        return function(x) / _DEGREE

    return inside


def _hypot(*sides: Number) -> Number:
    return reduce(dual.hypot, sides)


def _lowest(*choices: Number) -> Number:
    return min(choices, key=number)


def _highest(*choices: Number) -> Number:
    return max(choices, key=number)


@dataclass(frozen=True)
class _Function:
    fewest: int
    most: int
    of: Callable[..., Number]


_MANY = 20

FUNCTIONS: Mapping[str, _Function] = {
    "abs": _Function(1, 1, abs),
    "acos": _Function(1, 1, _arc("acos", dual.acos)),
    "asin": _Function(1, 1, _arc("asin", dual.asin)),
    "atan": _Function(1, 1, lambda x: dual.atan2(x, 1.0) / _DEGREE),
    "atan2": _Function(2, 2, lambda y, x: dual.atan2(y, x) / _DEGREE),
    "cos": _Function(1, 1, lambda x: dual.cos(x * _DEGREE)),
    "hypot": _Function(2, 3, _hypot),
    "max": _Function(2, _MANY, _highest),
    "min": _Function(2, _MANY, _lowest),
    "sin": _Function(1, 1, lambda x: dual.sin(x * _DEGREE)),
    "sqrt": _Function(1, 1, _sqrt),
    "tan": _Function(1, 1, lambda x: _tan(x * _DEGREE)),
}
"""What a formula can call."""

RESERVED: frozenset[str] = frozenset({*FUNCTIONS, *CONSTANTS, *keyword.kwlist})
"""Words that mean something in a formula, so that no size or part can have them."""
