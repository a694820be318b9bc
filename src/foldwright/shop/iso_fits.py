"""ISO fits: the limits of a size and a class like H7, and what two of them leave.

Room: shop. Knows numbers only. The tables are ``iso_fits.toml`` beside this
file, which says what of them is from memory.

A *grade* (IT7) is how wide a tolerance is, a *fundamental deviation* (the H of
H7) which of its two ends lies nearer the nominal size, and how far off. Lengths
are in mm here, in micrometres in the table, as in the standard.

Start at `iso_fit` for a hole and a shaft, `size_limits` for one of them.

References
----------
ISO 286-1:2010, ISO code system for tolerances on linear sizes, Tables 1 to 5.
"""

from __future__ import annotations

import math
import re
import tomllib
from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from foldwright.errors import OutOfDomain

GRADES = ("01", "0", *(str(grade) for grade in range(1, 19)))
# In the order of the standard, from the most clearance to the most interference.
SHAFT_LETTERS = (
    *("a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "js", "j", "k", "m", "n"),
    *("p", "r", "s", "t", "u", "v", "x", "y", "z", "za", "zb", "zc"),
)
_CLASS = re.compile(r"([A-Za-z]{1,2})(01|0|1[0-8]|[1-9])")
# Shafts of these lie below the nominal size: the table gives their upper deviation.
_BELOW = SHAFT_LETTERS[: SHAFT_LETTERS.index("js")]
_LARGEST = 3150.0  # [mm]
_LARGEST_USUAL = 500.0  # [mm]; above it fewer letters, and holes mirror shafts
_SMALLEST_STEP = 3.0  # [mm]; up to it holes mirror shafts as well
# ISO 286-1:2010, Table 1, note: not for sizes of 1 mm or less.
_COARSE_FROM, _NOT_UP_TO = 14, 1.0
_INCH, _TABLE_INCH = 25.4, 25.0  # [mm]; the second in the steps of inch tables
# Multiples of the factor i for grades 5 to 18, ISO 286-1:1988, Annex A.
_MULTIPLES = (7, 10, 16, 25, 40, 64, 100, 160, 250, 400, 640, 1000, 1600, 2500)


@dataclass(frozen=True)
class SizeLimits:
    """What a size may be.

    Attributes
    ----------
    size : float
        Nominal [mm].
    tolerance_class : str
        ``"H7"``.
    upper, lower : float
        Limit deviations from the nominal size [mm], with sign.
    """

    size: float
    tolerance_class: str
    upper: float
    lower: float

    @property
    def largest(self) -> float:
        """Upper limit of size [mm]."""
        return self.size + self.upper

    @property
    def smallest(self) -> float:
        """Lower limit of size [mm]."""
        return self.size + self.lower


@dataclass(frozen=True)
class IsoFit:
    """A hole and a shaft of one nominal size; a negative clearance is interference."""

    hole: SizeLimits
    shaft: SizeLimits

    @property
    def most_clearance(self) -> float:
        """Largest hole less smallest shaft [mm]."""
        return self.hole.upper - self.shaft.lower

    @property
    def least_clearance(self) -> float:
        """Smallest hole less largest shaft [mm]."""
        return self.hole.lower - self.shaft.upper

    @property
    def kind(self) -> str:
        """``"clearance"``, ``"transition"`` or ``"interference"``, as the standard says."""
        if self.least_clearance >= 0.0:
            return "clearance"
        return "interference" if self.most_clearance <= 0.0 else "transition"


def iso_fit(
    size: float, hole: str, shaft: str, look_up: Callable[..., SizeLimits] | None = None
) -> IsoFit:
    """Fit of a hole and a shaft.

    Parameters
    ----------
    size : float
        Nominal size of both [mm], above 0, up to 3150.
    hole, shaft : str
        Tolerance classes, ``"H7"`` and ``"g6"``.
    look_up : Callable
        `size_limits`, or `inch_limits`.

    Raises
    ------
    OutOfDomain
        As `size_limits`; or a hole written in small letters, a shaft in capitals.

    Examples
    --------
    >>> fit = iso_fit(25.0, "H7", "g6")
    >>> round(fit.most_clearance, 3), round(fit.least_clearance, 3), fit.kind
    (0.041, 0.007, 'clearance')
    """
    for said, name, right in ((hole, "hole", hole.upper()), (shaft, "shaft", shaft.lower())):
        if said != right:
            raise OutOfDomain(
                f'"{said}" is no class of a {name}: holes have capital letters, shafts small ones. '
                f'Write "{right}", or change the two about.',
                name=name,
            )
    limits = look_up or size_limits
    return IsoFit(limits(size, hole, name="hole"), limits(size, shaft, name="shaft"))


def size_limits(size: float, tolerance_class: str, *, name: str = "tolerance_class") -> SizeLimits:
    """Limits of a size with a tolerance class.

    Parameters
    ----------
    size : float
        Nominal [mm], above 0, up to 3150.
    tolerance_class : str
        Fundamental deviation and grade: ``"H7"``, ``"js6"``, ``"ZC9"``.
    name : str
        What the class is called in an error.

    Raises
    ------
    OutOfDomain
        No such class, or none for this size in the standard.

    References
    ----------
    ISO 286-1:2010, Tables 1 to 5; the delta of Table 3 is the difference of
    the grade and the next finer one, see `_hole_limits`. js and JS are half the grade
    either way; older tables round odd grades 7 to 11 down to whole micrometres.

    Examples
    --------
    >>> limits = size_limits(40.0, "p6")
    >>> round(limits.upper, 3), round(limits.lower, 3)
    (0.042, 0.026)
    """
    letters, grade = _split(tolerance_class, name)
    width = iso_tolerance(size, grade)
    if letters.lower() == "js":
        upper, lower = width / 2.0, -width / 2.0
    elif letters.islower():
        upper, lower = _shaft_limits(size, letters, grade, width, name)
    else:
        upper, lower = _hole_limits(size, letters, grade, width, name)
    return SizeLimits(size, tolerance_class, upper, lower)


def inch_limits(size: float, tolerance_class: str, *, name: str = "tolerance_class") -> SizeLimits:
    """Limits as the inch tables of American handbooks have them.

    Their steps are those of the standard with 25 mm to the inch (2.00 in stands
    for 50 mm, not 50.8), their values are rounded to a ten-thousandth of an inch.

    Parameters
    ----------
    size, tolerance_class, name
        As `size_limits`, the size in mm.

    Raises
    ------
    OutOfDomain
        As `size_limits`.

    References
    ----------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., Tables
    A-13 and A-14; the tables have 0 to 16 in and fewer letters.

    Examples
    --------
    >>> round(inch_limits(50.8, "s6").largest / 25.4, 4)
    2.0023
    """
    metric = size_limits(size / _INCH * _TABLE_INCH, tolerance_class, name=name)
    width = round((metric.upper - metric.lower) / _INCH, 4) * _INCH
    if abs(metric.upper) < abs(metric.lower):
        upper = round(metric.upper / _INCH, 4) * _INCH
        return SizeLimits(size, tolerance_class, upper, upper - width)
    lower = round(metric.lower / _INCH, 4) * _INCH
    return SizeLimits(size, tolerance_class, lower + width, lower)


def iso_tolerance(size: float, grade: str) -> float:
    """Width of a standard tolerance grade [mm].

    Parameters
    ----------
    size : float
        Nominal [mm], above 0, up to 3150.
    grade : str
        One of `GRADES`: ``"01"``, ``"0"``, ``"1"`` to ``"18"``.

    Raises
    ------
    OutOfDomain
        No such grade, or none for this size.

    References
    ----------
    ISO 286-1:2010, Table 1.

    Examples
    --------
    >>> iso_tolerance(40.0, "7")
    0.025
    """
    if grade not in GRADES:
        raise OutOfDomain(
            f'There is no grade IT{grade}. There are IT01, IT0 and IT1 to IT18: write "7".',
            name="grade",
        )
    if not 0.0 < size <= _LARGEST:  # also catches nan
        raise OutOfDomain(
            f"{size:g} mm lies outside the tables, which reach from above 0 to {_LARGEST:g} mm. "
            "Check the unit; for larger sizes agree on plain plus and minus.",
            name="size",
        )
    if size <= _NOT_UP_TO and int(grade) >= _COARSE_FROM:
        raise OutOfDomain(
            f"IT{grade} is not used for sizes of {_NOT_UP_TO:g} mm or less. "
            f"Use IT{_COARSE_FROM - 1} or finer.",
            name="grade",
        )
    width = _value(_tables()["grade"], grade, size)
    if math.isnan(width):
        raise OutOfDomain(
            f"IT{grade} is given up to {_LARGEST_USUAL:g} mm only, the size is {size:g} mm. "
            "Use IT1 or coarser.",
            name="grade",
        )
    return width


def tolerance_factor(over: float, up_to: float) -> float:
    """Standard tolerance factor of a range of sizes [mm], from which the grades were worked out.

    ::

        D = sqrt(D1 D2)
        i = 0.45 D^(1/3) + 0.001 D   up to 500 mm
        I = 0.004 D + 2.1            above;   both in micrometres, D in mm

    Parameters
    ----------
    over, up_to : float
        D1 and D2, the ends of the range [mm]; the first range counts from 1, so 0 is taken as 1.

    Raises
    ------
    OutOfDomain
        Ends that are no range.

    References
    ----------
    ISO 286-1:1988, Annex A.

    Examples
    --------
    >>> round(tolerance_factor(30.0, 50.0), 9)
    0.001561243
    """
    if not 0.0 <= over < up_to <= _LARGEST:
        raise OutOfDomain(
            f"over {over:g} up to {up_to:g} mm is no range of sizes. "
            f"Give 0 or more first, then something larger, up to {_LARGEST:g}.",
            name="up_to",
        )
    middle = math.sqrt((over or 1.0) * up_to)
    if over >= _LARGEST_USUAL:
        return (0.004 * middle + 2.1) * 1e-3
    return (0.45 * math.cbrt(middle) + 0.001 * middle) * 1e-3


def worked_out_tolerance(over: float, up_to: float, grade: str) -> float:
    """Width of a grade by its formula, before the standard rounded it [mm].

    Multiples of `tolerance_factor`: 7 for IT5, 10, 16, 25, 40 and so on to 2500 for IT18.

    Raises
    ------
    OutOfDomain
        A grade finer than 5, which follows another rule.

    References
    ----------
    ISO 286-1:1988, Annex A.
    """
    if grade not in GRADES[GRADES.index("5") :]:
        raise OutOfDomain(
            f"IT{grade} is no multiple of the tolerance factor; IT5 to IT18 are. "
            "Look it up instead.",
            name="grade",
        )
    return _MULTIPLES[int(grade) - 5] * tolerance_factor(over, up_to)


def _split(tolerance_class: str, name: str) -> tuple[str, str]:
    found = _CLASS.fullmatch(tolerance_class)
    letters = found[1] if found else ""
    if (
        found is None
        or not (letters.islower() or letters.isupper())
        or letters.lower() not in SHAFT_LETTERS
    ):
        raise OutOfDomain(
            f'"{tolerance_class[:20]}" is no tolerance class. Write one or two letters and a '
            "grade, H7 for a hole or g6 for a shaft; the letters i, l, o, q and w are not used.",
            name=name,
        )
    return letters, found[2]


def _shaft_limits(
    size: float, letters: str, grade: str, width: float, name: str
) -> tuple[float, float]:
    """Upper and lower deviation of a shaft [mm]."""
    nearest = _shaft_deviation(size, letters, grade, name)
    return (nearest, nearest - width) if letters in _BELOW else (nearest + width, nearest)


def _hole_limits(
    size: float, letters: str, grade: str, width: float, name: str
) -> tuple[float, float]:
    """Upper and lower deviation of a hole [mm].

    ::

        A to H           EI = -es of the shaft
        K, M, N to IT8,
        P to ZC to IT7   ES = -ei of the shaft + delta
        coarser          ES = -ei, N: 0, K: none
        delta = IT(n) - IT(n - 1), 0 up to 3 and over 500 mm

    so that a hole-basis fit and its shaft-basis twin (H7/p6, P7/h6) leave the same.
    """
    number = int(grade)
    if letters == "J":
        upper = _value(_tables()["hole"], f"J{grade}", size)
        if math.isnan(upper):
            raise _no_class(size, letters, grade, name)
        return upper, upper - width
    if letters.lower() in _BELOW:
        lower = 0.0 - _shaft_deviation(size, letters.lower(), grade, name)
        return lower + width, lower
    fine = number <= (8 if letters in ("K", "M", "N") else 7)
    curved = _SMALLEST_STEP < size <= _LARGEST_USUAL
    # A class of the standard, with a value of its own: ISO 286-1:2010, Table 3, footnote.
    if letters == "M" and number == 6 and 250.0 < size <= 315.0:
        return -0.009, -0.009 - width
    if curved and not fine and letters in ("K", "N"):
        if letters == "K":
            raise _no_class(size, letters, grade, name)
        return 0.0, -width
    # The k of a fine shaft stands for K throughout; in other grades it is 0.
    upper = 0.0 - _shaft_deviation(
        size, letters.lower(), "6" if letters == "K" and fine else grade, name
    )
    if curved and fine:
        if grade in ("01", "0", "1", "2"):  # Table 3 gives delta from IT3 on
            raise _no_class(size, letters, grade, name)
        upper += width - iso_tolerance(size, str(number - 1))
    return upper, upper - width


def _shaft_deviation(size: float, letters: str, grade: str, name: str) -> float:
    """Fundamental deviation of a shaft [mm]."""
    number = int(grade)
    if letters in ("a", "b") and size <= _NOT_UP_TO:
        raise _no_class(size, letters, grade, name)
    if letters == "k" and not 4 <= number <= 7:
        return 0.0
    large = size > _LARGEST_USUAL
    table = _tables()["large_shaft" if large else "shaft"]
    deviation = _value(table, f"j{grade}" if letters == "j" else letters, size)
    if math.isnan(deviation):
        raise _no_class(size, letters, grade, name)
    return deviation


def _no_class(size: float, letters: str, grade: str, name: str) -> OutOfDomain:
    return OutOfDomain(
        f"{letters}{grade} has no value for {size:g} mm in the standard as carried here. "
        "Use the next letter or grade to it.",
        name=name,
    )


def _value(table: Mapping[str, Sequence[float]], row: str, size: float) -> float:
    """Entry of a row for a size [mm]; nan where there is none."""
    step = bisect_left(table["step"], size)
    if row not in table or step >= len(table["step"]):
        return math.nan
    return table[row][step] / 1000.0


@cache
def _tables() -> dict[str, Any]:
    text = files(__package__).joinpath("iso_fits.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
