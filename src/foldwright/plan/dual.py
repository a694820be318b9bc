"""Dual numbers: a value together with its exact slopes.

Room: plan. Every dim is worked out once, by code that does not care whether
it is handed floats or `Dual` numbers. Handed duals, the same code returns
exact first derivatives by the chain rule (forward mode), with no step size.

Slopes are kept in a dict from the name of an independent quantity to the
derivative with respect to it, since a dim depends on few of them.

The functions `sqrt`, `sin`, `cos`, `tan`, `asin`, `acos`, `atan2`, `hypot`
take floats or duals, angles in radians.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

type Number = float | Dual


@dataclass(frozen=True, slots=True)
class Dual:
    """A number and its slopes.

    Attributes
    ----------
    value : float
        The number itself.
    slopes : Mapping[str, float]
        Derivative with respect to each named independent quantity; absent means 0.
    """

    value: float
    slopes: Mapping[str, float] = field(default_factory=dict)

    @staticmethod
    def seed(name: str, value: float) -> Dual:
        """Return the independent quantity `name`: slope 1 with respect to itself."""
        return Dual(value, {name: 1.0})

    def through(self, value: float, slope: float) -> Dual:
        """Chain rule: the function value, and its slope at this number."""
        return Dual(value, {k: slope * d for k, d in self.slopes.items()})

    def __add__(self, other: Number) -> Dual:
        if isinstance(other, Dual):
            return Dual(self.value + other.value, _combined(self.slopes, 1.0, other.slopes, 1.0))
        return Dual(self.value + other, self.slopes)

    __radd__ = __add__

    def __neg__(self) -> Dual:
        return self.through(-self.value, -1.0)

    def __pos__(self) -> Dual:
        return self

    def __sub__(self, other: Number) -> Dual:
        if isinstance(other, Dual):
            return Dual(self.value - other.value, _combined(self.slopes, 1.0, other.slopes, -1.0))
        return Dual(self.value - other, self.slopes)

    def __rsub__(self, other: Number) -> Dual:
        return -self + other

    def __mul__(self, other: Number) -> Dual:
        if isinstance(other, Dual):
            slopes = _combined(self.slopes, other.value, other.slopes, self.value)
            return Dual(self.value * other.value, slopes)
        return self.through(self.value * other, other)

    __rmul__ = __mul__

    def __truediv__(self, other: Number) -> Dual:
        if isinstance(other, Dual):
            value = self.value / other.value
            slopes = _combined(self.slopes, 1.0 / other.value, other.slopes, -value / other.value)
            return Dual(value, slopes)
        return self.through(self.value / other, 1.0 / other)

    def __rtruediv__(self, other: float) -> Dual:
        value = other / self.value
        return self.through(value, -value / self.value)

    def __pow__(self, other: Number) -> Dual:
        if isinstance(other, Dual):
            value = self.value**other.value
            base = other.value * self.value ** (other.value - 1.0)
            return Dual(
                value, _combined(self.slopes, base, other.slopes, value * math.log(self.value))
            )
        if other == 0.0:  # x**0 is 1 everywhere, also at 0 where x**-1 is not defined
            return self.through(1.0, 0.0)
        return self.through(self.value**other, other * self.value ** (other - 1.0))

    def __rpow__(self, other: float) -> Dual:
        value = other**self.value
        return self.through(value, value * math.log(other))

    def __abs__(self) -> Dual:
        return self if self.value >= 0.0 else -self

    def __lt__(self, other: Number) -> bool:
        return self.value < number(other)

    def __le__(self, other: Number) -> bool:
        return self.value <= number(other)

    def __gt__(self, other: Number) -> bool:
        return self.value > number(other)

    def __ge__(self, other: Number) -> bool:
        return self.value >= number(other)


def number(x: Number) -> float:
    """Plain value of a float or dual."""
    return x.value if isinstance(x, Dual) else x


def slopes(x: Number) -> Mapping[str, float]:
    """Slopes of a float (none) or dual."""
    return x.slopes if isinstance(x, Dual) else {}


def sqrt(x: Number) -> Number:
    """Square root."""
    root = math.sqrt(number(x))
    return x.through(root, 0.5 / root) if isinstance(x, Dual) else root


def sin(x: Number) -> Number:
    """Sine of an angle [rad]."""
    s = math.sin(number(x))
    return x.through(s, math.cos(x.value)) if isinstance(x, Dual) else s


def cos(x: Number) -> Number:
    """Cosine of an angle [rad]."""
    c = math.cos(number(x))
    return x.through(c, -math.sin(x.value)) if isinstance(x, Dual) else c


def tan(x: Number) -> Number:
    """Tangent of an angle [rad]."""
    t = math.tan(number(x))
    return x.through(t, 1.0 + t * t) if isinstance(x, Dual) else t


def asin(x: Number) -> Number:
    """Angle [rad] whose sine is x."""
    a = math.asin(number(x))
    return x.through(a, 1.0 / math.sqrt(1.0 - x.value**2)) if isinstance(x, Dual) else a


def acos(x: Number) -> Number:
    """Angle [rad] whose cosine is x."""
    a = math.acos(number(x))
    return x.through(a, -1.0 / math.sqrt(1.0 - x.value**2)) if isinstance(x, Dual) else a


def atan2(y: Number, x: Number) -> Number:
    """Angle [rad] of the point (x, y), -pi to pi."""
    angle = math.atan2(number(y), number(x))
    if not isinstance(x, Dual) and not isinstance(y, Dual):
        return angle
    square = number(x) ** 2 + number(y) ** 2
    return Dual(angle, _combined(slopes(y), number(x) / square, slopes(x), -number(y) / square))


def hypot(x: Number, y: Number) -> Number:
    """Length of the vector (x, y)."""
    length = math.hypot(number(x), number(y))
    if not isinstance(x, Dual) and not isinstance(y, Dual):
        return length
    return Dual(length, _combined(slopes(x), number(x) / length, slopes(y), number(y) / length))


def _combined(
    a: Mapping[str, float], by_a: float, b: Mapping[str, float], by_b: float
) -> dict[str, float]:
    # a sum is what is worked out most; its slopes are taken over as they are
    total = dict(a) if by_a == 1.0 else {k: by_a * d for k, d in a.items()}
    for k, d in b.items():
        total[k] = total.get(k, 0.0) + by_b * d
    return total
