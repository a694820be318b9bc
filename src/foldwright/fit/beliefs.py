"""Beliefs: what is known of each part's parameters, made or not.

Room: fit. A part that is not made comes out as intended, give or take the
scatter of the hand. A part that is made is what was measured, give or take
the tool; what no reading sees keeps the scatter of the hand.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.fit.clearances import key_of
from foldwright.ledger import Reading
from foldwright.plan import (
    AnyPart,
    Bought,
    Box,
    Drum,
    Dual,
    Faceted,
    Hood,
    Number,
    Profile,
    Taper,
)
from foldwright.plan.dual import number, slopes
from foldwright.shape import Vector, dims_of
from foldwright.shop import PROCESSES

# Prior scatter is widened by this where a reading looks, so that the reading
# alone decides; far beyond any blunder, well within rounding.
_LET_THE_READING_DECIDE = 1e6
_ROUNDS = 4  # Gauss-Newton; dims are nearly linear in the parameters


@dataclass(frozen=True)
class Belief:
    """Parameters of one part: `mean` by name [mm], `covariance` (n, n) [mm2], same order."""

    part: str
    mean: Mapping[str, float]
    covariance: Vector
    is_made: bool


def scatter(part: AnyPart) -> dict[str, float]:
    """One standard deviation of each parameter when the part is made by hand [mm]."""
    match part:
        case Drum() | Hood():
            along, around = ("length", "height"), PROCESSES["curl"].scatter / math.pi
            return {p.name: PROCESSES["cut"].scatter if p.name in along else around for p in part.parameters}
        case Box() | Profile() | Taper() | Faceted():
            way = "fold line"
        case Bought():
            way = "bought"
        case _:
            way = "cut"
    return {p.name: PROCESSES[way].scatter for p in part.parameters}


def belief(part: AnyPart, readings: Sequence[Reading]) -> Belief:
    """What is known of a part.

    Parameters
    ----------
    part : AnyPart
        Its parameters as intended.
    readings : sequence of Reading
        Of this part; none means that it is not made.

    Returns
    -------
    Belief

    Notes
    -----
    The readings are a weighted least-squares adjustment of the parameters they
    see. The covariance follows in Joseph's form with the prior left as it is,
    so that what the readings do not see is neither narrowed nor widened.
    """
    names = [p.name for p in part.parameters]
    mean = np.array([p.value for p in part.parameters])
    prior = np.diag([scatter(part)[name] ** 2 for name in names])
    if not readings:
        # what is bought is there already, as its maker says
        return Belief(part.name, part.values(), prior, is_made=isinstance(part, Bought))
    noise = np.diag([reading.sigma**2 for reading in readings])
    wide = _LET_THE_READING_DECIDE * prior
    start = mean.copy()
    for _ in range(_ROUNDS):
        seen, matrix = _seen(part, names, mean, readings)
        gain = wide @ matrix.T @ np.linalg.inv(matrix @ wide @ matrix.T + noise)
        missed = np.array([r.value for r in readings]) - seen
        mean = start + gain @ (missed + matrix @ (mean - start))
    left = np.eye(len(names)) - gain @ matrix
    covariance = left @ prior @ left.T + gain @ noise @ gain.T
    return Belief(
        part.name, dict(zip(names, map(float, mean), strict=True)), covariance, is_made=True
    )


def _seen(
    part: AnyPart, names: Sequence[str], mean: Vector, readings: Sequence[Reading]
) -> tuple[Vector, Vector]:
    """What the tools would read at these parameters, and the derivatives."""
    values: dict[str, Number] = {
        name: Dual.seed(key_of(part.name, name), float(value))
        for name, value in zip(names, mean, strict=True)
    }
    bare, finished = (dims_of(part, values, finished=f) for f in (False, True))
    found = [(bare if r.bare else finished)[r.dim].value for r in readings]
    matrix = [[slopes(d).get(key_of(part.name, n), 0.0) for n in names] for d in found]
    return np.array([number(d) for d in found]), np.array(matrix)
