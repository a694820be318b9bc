"""Habits: what a maker's hand does, learnt from the first reading on.

Room: fit. A process (cutting to a line, folding, curling) strays by a bias and
a scatter that are both unknown. They are believed together in a
normal-inverse-gamma law, which readings turn into another of its kind::

    mu | s2 ~ N(mean, s2 / kappa),   s2 ~ InverseGamma(alpha, beta)

    kappa' = kappa + n,   mean' = (kappa mean + sum d) / kappa'
    alpha' = alpha + n/2
    beta'  = beta + sum (d - dbar)^2 / 2 + kappa n (dbar - mean)^2 / (2 kappa')

The mean is shrunken: one reading moves it by n / (kappa + n) of the way, so
that learning from the first reading gains, and waiting loses. What the next
part will come out at is Student's t.

Deviations are in units of the usual scatter of the process, so that one habit
serves all parts that the process makes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foldwright.errors import OutOfDomain

if TYPE_CHECKING:
    from foldwright.fit.network import Floats


@dataclass(frozen=True)
class Habit:
    """Belief about the bias and scatter of one process.

    Attributes
    ----------
    mean : float
        Bias expected.
    kappa : float
        How many readings that mean is worth, above 0.
    alpha, beta : float
        Of the scatter squared, above 0; alpha above 1 for it to have a mean.
    """

    mean: float
    kappa: float
    alpha: float
    beta: float

    def __post_init__(self) -> None:
        """Refuse what is no law."""
        for name in ("kappa", "alpha", "beta"):
            value = getattr(self, name)
            if not (value > 0.0 and math.isfinite(value)):
                raise OutOfDomain(f"{name} is {value:g}; make it more than 0.", name=name)

    @staticmethod
    def usual(scatter: float, bias: float, worth: float) -> Habit:
        """Habit of nobody in particular.

        Parameters
        ----------
        scatter : float
            Scatter that is usual.
        bias : float
            How biases differ from maker to maker, one standard deviation.
        worth : float
            How many readings the usual scatter is worth, above 2.

        Examples
        --------
        >>> habit = Habit.usual(scatter=1.0, bias=0.5, worth=10.0)
        >>> habit.kappa, round(habit.scatter, 3)
        (4.0, 1.0)
        """
        alpha = worth / 2.0
        return Habit(0.0, (scatter / bias) ** 2, alpha, scatter**2 * (alpha - 1.0))

    def learned(self, deviations: Iterable[float]) -> Habit:
        """Return the habit once these deviations were read.

        References
        ----------
        K. P. Murphy, Conjugate Bayesian analysis of the Gaussian distribution,
        2007, eqs. (85) to (89), with an inverse gamma instead of a gamma law.
        """
        data = [float(d) for d in deviations]
        if not all(math.isfinite(d) for d in data):
            raise OutOfDomain("a deviation is no number. Give plain numbers.", name="deviations")
        n = len(data)
        if not n:
            return self
        average = sum(data) / n
        return self._after(n, n, average, sum((d - average) ** 2 for d in data))

    def learned_together(self, deviations: Floats, effects: Floats, covariance: Floats) -> Habit:
        """Return the habit once the dims of one part were read, which share a hand.

        Dims that one marking out or one setting made stray alike tell less than as many
        readings by themselves. In the Bayesian regression ``d = effects mu + e``, ``e``
        of `covariance` times s2, they are worth ``effects' covariance^-1 effects``.

        Parameters
        ----------
        deviations : ndarray, shape (k,)
        effects : ndarray, shape (k,)
            What a bias of 1 adds to each.
        covariance : ndarray, shape (k, k)
            Of the deviations about their bias, at a scatter of 1; regular.

        References
        ----------
        A. Gelman and others, Bayesian Data Analysis, 3rd ed., sec. 14.8, regression with
        known relative covariance and a normal inverse-gamma prior.
        """
        if not np.all(np.isfinite(deviations)):
            raise OutOfDomain("a deviation is no number. Give plain numbers.", name="deviations")
        weighted = np.linalg.solve(covariance, np.column_stack([effects, deviations]))
        worth = float(effects @ weighted[:, 0])
        average = float(effects @ weighted[:, 1]) / worth
        left = deviations - average * effects
        spread = float(left @ np.linalg.solve(covariance, left))
        return self._after(len(deviations), worth, average, spread)

    def _after(self, count: int, worth: float, average: float, spread: float) -> Habit:
        """`count` numbers, `worth` so many readings, their average and squares about it."""
        kappa = self.kappa + worth
        apart = self.kappa * worth * (average - self.mean) ** 2 / (2.0 * kappa)
        return Habit(
            (self.kappa * self.mean + worth * average) / kappa,
            kappa,
            self.alpha + count / 2.0,
            self.beta + spread / 2.0 + apart,
        )

    @property
    def scatter(self) -> float:
        """Scatter expected: root of the mean of its square; infinite while alpha is at most 1."""
        return math.sqrt(self.beta / (self.alpha - 1.0)) if self.alpha > 1.0 else math.inf

    @property
    def freedom(self) -> float:
        """Degrees of freedom of Student's t for the next deviation."""
        return 2.0 * self.alpha

    @property
    def scale(self) -> float:
        """Scale of Student's t for the next deviation: its bias unknown, its scatter unknown."""
        return math.sqrt(self.beta * (self.kappa + 1.0) / (self.alpha * self.kappa))

    @property
    def deviation(self) -> float:
        """One standard deviation of the next deviation; infinite while alpha is at most 1."""
        if self.alpha <= 1.0:
            return math.inf
        return self.scale * math.sqrt(self.alpha / (self.alpha - 1.0))
