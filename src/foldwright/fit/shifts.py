"""Shifts and forecasts: what a refit changes, and how each meet stands.

Room: fit. Records, and the one rule by which a meet is called in danger: its
leaned window is missed by more than 1.5 sigma or 60 % of half the range,
whichever is less.
"""

from __future__ import annotations

from dataclasses import dataclass

from foldwright.fit.clearance import Clearance
from foldwright.fit.windows import DEEP
from foldwright.plan import Meet, Parameter

_LET_BE_SIGMA, _LET_BE_SHARE = 1.5, 0.6


@dataclass(frozen=True)
class Shift:
    """A parameter that a refit changes: from, to [mm], and the clearances that force it."""

    part: str
    parameter: Parameter
    before: float
    after: float
    forced_by: tuple[Clearance, ...]


@dataclass(frozen=True)
class MeetForecast:
    """How a meet stands.

    Attributes
    ----------
    clearances : tuple of Clearance
    sigmas : tuple of float
        One standard deviation of each [mm].
    chance : float
        That all of them hold, 0 to 1.
    """

    meet: Meet
    clearances: tuple[Clearance, ...]
    sigmas: tuple[float, ...]
    chance: float


def is_in_danger(found: MeetForecast) -> bool:
    """Whether any clearance of a meet is expected to lie too near an end of its range."""
    return any(_is_missed(c, s) for c, s in zip(found.clearances, found.sigmas, strict=True))


def _is_missed(clearance: Clearance, sigma: float) -> bool:
    half = (clearance.high - clearance.low) / 2.0
    lean = min(DEEP * sigma, half)
    low, high = clearance.low + lean, clearance.high - lean
    miss = max(low - clearance.value, clearance.value - high)
    return miss > min(_LET_BE_SIGMA * sigma, _LET_BE_SHARE * half)
