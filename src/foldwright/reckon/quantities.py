"""Quantities of a reckoner: what was typed, to a value, and back.

Room: reckon. Lengths and angles are read as everywhere else (``46.12``,
``1 1/2 in``, ``30 deg``); here stand the units that only a sum needs. A
number without a unit is in the unit that the input names.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from foldwright.errors import QuantityError, offer_names
from foldwright.plan import parse_angle, parse_length

_POUND_FORCE = 4.4482216152605  # N, exact: 0.45359237 kg at 9.80665 m/s2
_INCH = 25.4
# What may be typed for each unit, and what one of it is in the unit.
_SCALES: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "MPa": {
            "MPa": 1.0,
            "GPa": 1e3,
            "kPa": 1e-3,
            "N/mm2": 1.0,
            "psi": _POUND_FORCE / _INCH**2,
            "ksi": 1e3 * _POUND_FORCE / _INCH**2,
        },
        "N": {"N": 1.0, "kN": 1e3, "kgf": 9.80665, "lbf": _POUND_FORCE},
        "N mm": {
            "N mm": 1.0,
            "Nmm": 1.0,
            "N m": 1e3,
            "Nm": 1e3,
            "lbf in": _POUND_FORCE * _INCH,
            "lbf ft": _POUND_FORCE * 12.0 * _INCH,
        },
        "N/mm": {"N/mm": 1.0, "N/m": 1e-3, "kN/m": 1.0},
        "kg": {"kg": 1.0, "g": 1e-3, "lb": 0.45359237, "oz": 0.45359237 / 16.0},
        "kg/m3": {"kg/m3": 1.0, "g/cm3": 1e3, "g/l": 1.0},
        "K": {"K": 1.0, "C": 1.0, "degC": 1.0, "F": 5.0 / 9.0},  # differences, not readings
        "1/K": {"1/K": 1.0, "um/m/K": 1e-6, "ppm/K": 1e-6},
        "mm2": {"mm2": 1.0, "cm2": 100.0, "m2": 1e6, "in2": _INCH**2},
        "m2": {"m2": 1.0, "cm2": 1e-4, "mm2": 1e-6, "ft2": (12.0 * _INCH) ** 2 * 1e-6},
        "cm3": {"cm3": 1.0, "ml": 1.0, "l": 1e3, "mm3": 1e-3},
        "min": {"min": 1.0, "h": 60.0, "s": 1.0 / 60.0},
        "per min": {"per min": 1.0, "/min": 1.0},
        "-": {"": 1.0, "%": 0.01},
    }
)
UNITS = ("mm", "deg", *_SCALES)

_NUMBER = re.compile(
    r"(?P<sign>[+-]?)\s*(?:(?P<top>\d+)\s*/\s*(?P<bottom>\d+)|"
    r"(?P<plain>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?))\s*(?P<unit>.*)"
)
_LONGEST = 60  # characters
_LARGEST = 1e15  # past all that is made, and its square is still a number


def parse_quantity(text: str, unit: str) -> float:
    """Value of what was typed, in `unit`; angles in radians.

    Parameters
    ----------
    text : str
        ``"46.12"``, ``"1 1/2 in"``, ``"70 GPa"``, ``"12 %"``.
    unit : str
        One of `UNITS`.

    Raises
    ------
    QuantityError
        Not such a quantity; says how to write it.

    Examples
    --------
    >>> parse_quantity("1 1/2 in", "mm"), parse_quantity("70 GPa", "MPa")
    (38.1, 70000.0)
    """
    if unit == "mm":
        return parse_length(text)
    if unit == "deg":
        return parse_angle(text)
    scales = _SCALES[unit]
    shown = text if len(text) <= _LONGEST else text[:_LONGEST] + "..."
    wanted = "a plain number" if unit == "-" else f"a number in {unit}"
    found = _NUMBER.fullmatch(text.strip()) if len(text) <= _LONGEST else None
    if found is None or found["bottom"] in ("0", "00"):
        raise QuantityError(
            f'"{shown}" is not {wanted}.',
            text=text,
            remedy=f"Write it like {'0.25' if unit == '-' else f'2.5 {unit}'}.",
        )
    typed = found["unit"].strip()
    known = {"": 1.0, **scales}
    if typed not in known:
        raise QuantityError(
            f'"{shown}" has the unit "{typed}", and {wanted} is asked.',
            text=text,
            remedy="Leave the unit out." if unit == "-" else offer_names(typed, scales),
        )
    amount = int(found["top"]) / int(found["bottom"]) if found["top"] else float(found["plain"])
    value = (-amount if found["sign"] == "-" else amount) * known[typed]
    if not abs(value) <= _LARGEST:
        raise QuantityError(
            f'"{shown}" is larger than any measure.', text=text, remedy="Check the exponent."
        )
    return value


def show_number(value: float, digits: int) -> str:
    """Number with so many decimals, without a sign on zero; very small or large ones as 1.2e-05.

    Examples
    --------
    >>> show_number(-0.001, 1), show_number(2.34e-5, 1)
    ('0.0', '2.3e-05')
    """
    if value and (abs(value) < 0.5 * 10.0**-digits * 1e-2 or abs(value) >= 1e9):
        return f"{value:.1e}"
    shown = f"{value:.{digits}f}"
    return shown.lstrip("-") if float(shown) == 0.0 else shown
