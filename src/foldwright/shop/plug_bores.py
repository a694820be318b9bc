"""Plug bores: what readings inside a tube say of its bore.

Room: shop. Inside jaws read low: their flats bridge a chord of the bore, and
jaws that are not square across it read a chord too. So the mean of several
readings, turned about the tube, plus what the jaws are short.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.errors import OutOfDomain

# What inside jaws of a slide caliper read low [mm] when rocked for the largest reading:
# common practice, no source. Try yours in a ring of known bore, a ball bearing's say.
JAWS_READ_LOW = 0.02
# One standard deviation of a single reading [mm]; common practice, no source.
READING_SPREAD = 0.03
# A bore whose readings differ by more than this is oval or was misread [mm]: common
# practice, no source.
_OVAL = 0.15
# No tube is oval by more than this share of its bore and still takes a plug; such readings
# are of two tubes, or one number with a decimal comma. Common practice, no source.
_SLIP = 0.05


@dataclass(frozen=True)
class Bore:
    """Bore of a tube.

    Attributes
    ----------
    diameter : float
        Mean of the readings, and what the jaws are short [mm].
    spread : float
        One standard deviation of the readings about their mean [mm]; 0 for a single one.
    uncertainty : float
        One standard deviation of the mean itself [mm].
    oval : float
        Largest less smallest reading [mm].
    count : int
    """

    diameter: float
    spread: float
    uncertainty: float
    oval: float
    count: int

    @property
    def is_oval(self) -> bool:
        """Whether the readings differ by more than the caliper does."""
        return self.oval > _OVAL


def measured_bore(readings: float | Sequence[float], jaws_low: float = JAWS_READ_LOW) -> Bore:
    """Bore from one or several readings.

    Parameters
    ----------
    readings : float or sequence of float
        As the inside jaws showed them [mm].
    jaws_low : float
        What the jaws read low [mm]; 0 for a bore gauge.

    Raises
    ------
    OutOfDomain
        No reading, a reading that is not above 0, readings that differ by more than a
        twentieth, or jaws that read more low than 0.5 mm.

    Examples
    --------
    >>> bore = measured_bore((46.08, 46.12, 46.10), jaws_low=0.02)
    >>> round(bore.diameter, 2), round(bore.spread, 2)
    (46.12, 0.02)
    """
    values = (readings,) if isinstance(readings, int | float) else tuple(readings)
    if not values:
        raise OutOfDomain(
            "there is no reading of the bore. Measure it in three directions.", name="bore"
        )
    for value in values:
        if not 0.0 < value < math.inf:  # also catches nan
            raise OutOfDomain(
                f"a bore of {value:g} mm is none; it has to be above 0. Measure again.",
                name="bore",
            )
    if not -0.5 <= jaws_low <= 0.5:
        raise OutOfDomain(
            f"jaws that read {jaws_low:g} mm low are no jaws to measure with. "
            "Try them in a ring of known bore; 0.02 mm is usual.",
            name="jaws_low",
        )
    mean = math.fsum(values) / len(values)
    if max(values) - min(values) > _SLIP * mean:
        raise OutOfDomain(
            f"readings from {min(values):g} to {max(values):g} mm are not of one bore. Measure "
            "again; a comma parts two readings, so write a decimal point, like 46.12.",
            name="bore",
        )
    spread = 0.0
    if len(values) > 1:
        spread = math.sqrt(math.fsum((v - mean) ** 2 for v in values) / (len(values) - 1))
    # So few readings may agree by chance: the mean is never surer than the tool makes it.
    uncertainty = max(spread, READING_SPREAD) / math.sqrt(len(values))
    return Bore(mean + jaws_low, spread, uncertainty, max(values) - min(values), len(values))


def chord_shortfall(diameter: float, flat: float) -> float:
    """How much jaws with flats read low in a bore [mm].

    ::

        e = D - sqrt(D^2 - w^2)

    Parameters
    ----------
    diameter : float
        D of the bore [mm].
    flat : float
        w, width of the flats of both jaws together, across the bore [mm].

    Raises
    ------
    OutOfDomain
        Flats that do not go into the bore.

    References
    ----------
    Pythagoras, for the chord that the corners of the flats touch.

    Examples
    --------
    >>> round(chord_shortfall(6.0, 0.5), 3)
    0.021
    """
    if not 0.0 <= flat < diameter < math.inf:
        raise OutOfDomain(
            f"flats of {flat:g} mm do not go into a bore of {diameter:g} mm. "
            "Measure across both jaws.",
            name="flat",
        )
    return diameter - math.sqrt(diameter**2 - flat**2)
