"""Reading by: which tool reads a dim, and how well, before anybody has read it.

Room: fit. What is small enough for a caliper is read with one, a girth with a
tape, the rest with a rule; read twice, as one does with what others hang on.
"""

from __future__ import annotations

import math

from foldwright.fit.network import USUAL_STEP
from foldwright.ledger import tool_named
from foldwright.plan import AnyPart, Drum, Hood, Plug, Tube

_JAWS = 150.0  # mm that a usual caliper opens
_TWICE = math.sqrt(0.5)
_BY_CALIPER = 0.01  # mm; what is filed to a caliper is filed to what it shows


def reading_of(part: AnyPart, dim: str) -> float:
    """One standard deviation of a parameter or stray as read with the usual tool [mm]."""
    caliper, rule, tape = (tool_named(name).sigma for name in ("caliper", "rule", "tape"))
    match part:
        case Tube() | Plug():
            sigma = rule if dim == "length" and part.values().get(dim, 0.0) > _JAWS else caliper
        case Drum() | Hood() if dim.endswith("_d") or dim in _sizes(part):
            sigma = tape / math.pi  # a girth, as a diameter
        case _:
            sigma = caliper if 0.0 < part.values().get(dim, math.inf) <= _JAWS else rule
    return _TWICE * sigma


def step_of(part: AnyPart) -> float:
    """Smallest change of a part's dims that a hand can make [mm]."""
    return _BY_CALIPER if isinstance(part, Plug) else USUAL_STEP


def _sizes(part: Drum | Hood) -> tuple[str, ...]:
    """Names of the sizes that draw its diameters."""
    lengths = (part.outside_d,) if isinstance(part, Drum) else (part.bottom_d, part.top_d)
    return tuple(name for length in lengths for name in length.formula.names)
