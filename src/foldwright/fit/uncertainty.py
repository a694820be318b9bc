"""Uncertainty: what a measured length is good for.

Room: fit. Parts of a sum that are not known exactly, each with its deviation
and how well that is known itself (its *freedom*), add up as squares. Start at
`combined`; `compared` is the length of a thing held against one that is known.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.plan import Number
from foldwright.plan.dual import number, slopes


@dataclass(frozen=True)
class Deviation:
    """One standard deviation, and its degrees of freedom (infinite if it is certain)."""

    sigma: float
    freedom: float = math.inf


@dataclass(frozen=True)
class Combined:
    """A value put together from parts that are not certain.

    Attributes
    ----------
    value : float
    sigma : float
        Combined standard deviation.
    freedom : float
        Effective degrees of freedom.
    shares : Mapping of str to float
        What each part puts in, one standard deviation in the unit of the value.
    """

    value: float
    sigma: float
    freedom: float
    shares: Mapping[str, float]

    def factor(self, confidence: float) -> float:
        """How many sigma hold the value with this confidence, 0 to 1.

        Student's t; freedom that is no whole number is cut down to the next.

        References
        ----------
        JCGM 100:2008, G.3.2 and G.4.1.
        """
        from scipy.stats import norm, t

        if not 0.0 < confidence < 1.0:
            raise OutOfDomain(
                f"confidence is {confidence:g}; it lies between 0 and 1, as 0.95.",
                name="confidence",
            )
        tail = (1.0 + confidence) / 2.0
        if math.isinf(self.freedom):
            return float(norm.ppf(tail))
        return float(t.ppf(tail, max(1, math.floor(self.freedom))))

    def half_width(self, confidence: float) -> float:
        """Half the interval that holds the value with this confidence."""
        return self.factor(confidence) * self.sigma


def combined(value: Number, deviations: Mapping[str, Deviation]) -> Combined:
    """Carry deviations through a sum, to first order.

    ::

        sigma^2 = sum (c_i s_i)^2,   freedom = sigma^4 / sum ((c_i s_i)^4 / freedom_i)

    Parameters
    ----------
    value : float or Dual
        With its derivative c by each of the names in `deviations`.
    deviations : Mapping of str to Deviation
        s, each stray by itself.

    References
    ----------
    JCGM 100:2008, eq. (10) and (G.2b), the Welch-Satterthwaite formula.

    Examples
    --------
    >>> from foldwright.plan import Dual
    >>> total = Dual(10.0, {"a": 1.0, "b": 1.0})
    >>> round(combined(total, {"a": Deviation(0.3), "b": Deviation(0.4)}).sigma, 6)
    0.5
    """
    for name, deviation in deviations.items():
        if not (deviation.sigma >= 0.0 and deviation.freedom > 0.0) or math.isinf(deviation.sigma):
            raise OutOfDomain(
                f"{name} has a deviation of {deviation.sigma:g} with {deviation.freedom:g} degrees "
                "of freedom; give 0 or more, and more than 0.",
                name=name,
            )
    by = slopes(value)
    shares = {name: abs(by.get(name, 0.0)) * d.sigma for name, d in deviations.items()}
    variance = math.fsum(share**2 for share in shares.values())
    doubt = math.fsum(shares[name] ** 4 / d.freedom for name, d in deviations.items())
    freedom = variance**2 / doubt if doubt > 0.0 else math.inf
    return Combined(number(value), math.sqrt(variance), freedom, shares)


def compared(
    standard: Number,
    difference: Number,
    expansion: Number,
    warmth: Number,
    expansion_more: Number,
    warmer: Number,
) -> Number:
    """Length of a thing from that of a standard and the difference between the two.

    ::

        l = l_s + d - l_s (da theta + a_s dtheta)

    Parameters
    ----------
    standard : float or Dual
        l_s, at 20 C [mm].
    difference : float or Dual
        d, thing less standard as read [mm].
    expansion : float or Dual
        a_s of the standard [1/K].
    warmth : float or Dual
        theta, how much warmer than 20 C the thing is [K].
    expansion_more : float or Dual
        da, expansion of the thing less that of the standard [1/K].
    warmer : float or Dual
        dtheta, how much warmer the thing is than the standard [K].

    References
    ----------
    JCGM 100:2008, H.1, eq. (H.3).
    """
    return standard + difference - standard * (expansion_more * warmth + expansion * warmer)
