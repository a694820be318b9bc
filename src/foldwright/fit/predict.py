"""Prediction: the chance that each meet holds.

Room: fit. Linear and Gaussian: the clearances of a meet are jointly normal
about their expected values, with the covariance of the parts' parameters
carried through the exact derivatives.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.fit.beliefs import Belief
from foldwright.fit.clearances import Clearance, key_of
from foldwright.plan import Meet
from foldwright.shape import Vector

# Enough draws for a chance in 100, a third of a hundredth out.
_DRAWS = 32768


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


def covariance_of(clearances: Sequence[Clearance], beliefs: Mapping[str, Belief]) -> Vector:
    """Joint covariance of clearances, shape (m, m) [mm2]."""
    total = np.zeros((len(clearances), len(clearances)))
    for belief in beliefs.values():
        matrix = np.array(
            [
                [c.slopes.get(key_of(belief.part, name), 0.0) for name in belief.mean]
                for c in clearances
            ]
        )
        if matrix.size:
            total += matrix @ belief.covariance @ matrix.T
    return total


def forecast(
    meet: Meet, clearances: Sequence[Clearance], beliefs: Mapping[str, Belief]
) -> MeetForecast:
    """Chance that a meet holds, from its clearances and what is known of the parts."""
    covariance = covariance_of(clearances, beliefs)
    sigmas = np.sqrt(np.diag(covariance))
    return MeetForecast(
        meet,
        tuple(clearances),
        tuple(float(s) for s in sigmas),
        _chance(clearances, covariance, sigmas),
    )


def _chance(clearances: Sequence[Clearance], covariance: Vector, sigmas: Vector) -> float:
    """Probability of the box: exact when uncorrelated, else by draws from a fixed seed."""
    off = covariance - np.diag(np.diag(covariance))
    if np.abs(off).max(initial=0.0) < 1e-12:
        return math.prod(
            within(c.value, float(s), c.low, c.high)
            for c, s in zip(clearances, sigmas, strict=True)
        )
    draws = np.random.default_rng(1).multivariate_normal(
        [c.value for c in clearances], covariance, _DRAWS, method="eigh"
    )
    low, high = ([getattr(c, side) for c in clearances] for side in ("low", "high"))
    return float(np.mean(np.all((draws >= low) & (draws <= high), axis=1)))


def within(mean: float, sigma: float, low: float, high: float) -> float:
    """Probability that a normal variable lies in a range; sigma may be 0."""
    if sigma <= 0.0:
        return float(low <= mean <= high)

    def below(x: float) -> float:
        return 0.5 * math.erfc((mean - x) / (sigma * math.sqrt(2.0)))

    return below(high) - below(low)
