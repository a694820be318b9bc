"""Physical: refuse numbers that no measure can have.

Room: shop. What takes sizes asks here first, so that each refusal reads the
same and names its argument.
"""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain


def require_above_zero(value: float, what: str, *, name: str, unit: str = "mm") -> None:
    """Refuse what is not a finite number above 0.

    Parameters
    ----------
    value : float
    what : str
        In words, as the sentence begins: "the bend radius".
    name : str
        Of the argument.
    unit : str
        Shown after the value.

    Examples
    --------
    >>> require_above_zero(-2.0, "the wall", name="wall")
    Traceback (most recent call last):
    foldwright.errors.OutOfDomain: The wall is -2 mm; it has to be above 0. Measure it again.
    """
    if not (math.isfinite(value) and value > 0.0):
        raise OutOfDomain(
            f"{_capital(what)} is {_shown(value, unit)}; it has to be above 0. Measure it again.",
            name=name,
        )


def require_between(
    value: float, low: float, high: float, what: str, *, name: str, unit: str = "mm"
) -> None:
    """Refuse what is not a finite number from `low` to `high`, both allowed; as above.

    Angles are given in radians, and shown in degrees where `unit` is ``"deg"``.
    """
    if not (math.isfinite(value) and low <= value <= high):
        scale = math.degrees(1.0) if unit == "deg" else 1.0
        limits = f"{low * scale:g} to {_shown(high * scale, unit)}"
        if math.isinf(high):
            limits = "a number" if math.isinf(low) else f"at least {low * scale:g}"
        raise OutOfDomain(
            f"{_capital(what)} is {_shown(value * scale, unit)}; it has to be {limits}. "
            "Measure it again.",
            name=name,
        )


def require_whole(
    value: float, least: int, what: str, *, name: str, most: int | None = None
) -> int:
    """Whole number of a count, `least` or more, up to `most`.

    Raises
    ------
    OutOfDomain
        A fraction, too few or too many.

    Examples
    --------
    >>> require_whole(12.0, 3, "the number of sides", name="sides")
    12
    """
    top = math.inf if most is None else most
    if not (math.isfinite(value) and value == round(value) and least <= value <= top):
        limits = f"{least} or more" if most is None else f"{least} to {most}"
        raise OutOfDomain(
            f"{_capital(what)} is {value:g}; it has to be a whole number, {limits}. Count again.",
            name=name,
        )
    return round(value)


def _capital(what: str) -> str:
    return what[:1].upper() + what[1:]


def _shown(value: float, unit: str) -> str:
    return f"{value:g} {unit}".rstrip()
