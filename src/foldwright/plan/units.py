"""Units, at the edge: text to mm and radians, and back to text.

Room: plan. Inside, every length is mm and every angle radians. Makers write
``12.5``, ``12.5 mm``, ``1/2 in``, ``1 1/2 in``, ``1-1/2"``, ``30 deg``; a
number without a unit is mm, or degrees. Reading is exact: everything is a
fraction until the last step, so that ``1 1/2 in`` is 38.1 to the last bit.

Showing never pretends to more than a hand can do: 0.1 mm for marking out,
0.01 mm for plugs and gaps (``fine``). In inches, a length for marking out is
shown as the nearest 1/64, the finest graduation of a usual inch rule, and
where the eye could see what is left over (0.05 mm or more), it is said as the
trade says it: ``8 21/32 in full`` is a little over, ``5/16 in bare`` a little
under. A fine length is read off a caliper, so it is shown in thousandths of
an inch: ``0.031 in``; so is what is less than half of a graduation.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction

from foldwright.errors import QuantityError, offer_names

_LENGTHS: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),  # international inch, exactly 25.4 mm since 1959
    "inch": Fraction(254, 10),
    "inches": Fraction(254, 10),
    '"': Fraction(254, 10),
    "″": Fraction(254, 10),
    "ft": Fraction(3048, 10),
    "'": Fraction(3048, 10),
}
_ANGLES: dict[str, float] = {
    "deg": math.pi / 180.0,
    "degrees": math.pi / 180.0,
    "°": math.pi / 180.0,
    "rad": 1.0,
}
_INCH = 25.4
_RULE = 64  # graduations to the inch
_SEEN = 0.05  # mm; what rounds to less than 0.1 mm is not worth saying
_FULL, _BARE = " full", " bare"

_LONGEST = 60  # characters
_UNIT = r"(?P<unit>[A-Za-zµ]+\.?|[\"″'°])?"
_QUANTITY = re.compile(
    r"(?P<sign>[+-]?)\s*"
    r"(?:(?P<whole>\d+)(?:\s+|\s*(?P<dash>-)\s*)(?P<top2>\d+)\s*/\s*(?P<bottom2>\d+)"
    r"|(?P<top>\d+)\s*/\s*(?P<bottom>\d+)"
    r"|(?P<plain>\d+\.?\d*|\.\d+))\s*" + _UNIT
)
_LOOKS_LIKE = re.compile(r"[+-]?\s*[\d.][\d\s.,/-]*(?P<unit>[A-Za-zµ]+\.?|[\"″'°])?")
_NUMBER = r"\d+(?:\.\d+)?"
# "3 mm", and "10 to 15 mm" or "600.0 by 400.0 mm", but no area and no volume
_IN_WORDS = re.compile(
    rf"(?:(?P<first>{_NUMBER})(?P<joint> (?:by|to|and|or) ))?"
    rf"(?P<number>{_NUMBER}) mm\b(?!\s*[2-4²³])"
)
_COMMA = re.compile(r"\d\s*,\s*\d")


def is_quantity(text: str) -> bool:
    """Whether the text is meant as a number with its unit, not as a formula.

    ``420 - 20`` is a formula; ``420/2`` is both, and the same either way.
    ``1-1/2`` without a unit could be either; it counts as a quantity, so that
    `parse_length` can ask.
    """
    text = text.strip()
    if not _LOOKS_LIKE.fullmatch(text):
        return False
    return bool(re.search(r"[A-Za-zµ\"″'°,]", text) or _QUANTITY.fullmatch(text))


def parse_length(text: str) -> float:
    """Length in mm from text such as ``"12.5"``, ``"12.5 mm"``, ``"1 1/2 in"``.

    Raises
    ------
    QuantityError
        Not a length; says what is wrong and how to write it.

    Examples
    --------
    >>> parse_length("1 1/2 in")
    38.1
    """
    amount, unit = _amount(text, "a length", "12.5, 12.5 mm or 1 1/2 in")
    if unit in _ANGLES:
        raise QuantityError(
            f'"{text}" is an angle, and a length is wanted here.',
            text=text,
            remedy="Write it in mm or in, like 12.5 mm.",
        )
    if unit and unit not in _LENGTHS:
        raise _unknown_unit(text, unit, "length", ("mm", "cm", "m", "in", "ft"))
    return float(amount * _LENGTHS.get(unit, Fraction(1)))


def parse_angle(text: str) -> float:
    """Angle in radians from text such as ``"30"``, ``"30 deg"``, ``"0.5 rad"``.

    Raises
    ------
    QuantityError
        Not an angle; says what is wrong and how to write it.
    """
    amount, unit = _amount(text, "an angle", "30 or 30 deg")
    if unit in _LENGTHS:
        raise QuantityError(
            f'"{text}" is a length, and an angle is wanted here.',
            text=text,
            remedy="Write it in degrees, like 30 deg.",
        )
    if unit and unit not in _ANGLES:
        raise _unknown_unit(text, unit, "angle", ("deg", "rad"))
    return float(amount) * _ANGLES.get(unit, math.pi / 180.0)


# A range wider than this leaves a hand room for tenths [mm]. Common practice, no source.
_FINE_RANGE = 2.0


def is_fine_range(low: float, high: float) -> bool:
    """Whether a wanted range is so narrow that it is told to the hundredth.

    Parameters
    ----------
    low, high : float
        Its ends [mm].

    Examples
    --------
    >>> is_fine_range(0.2, 0.8), is_fine_range(15.0, 25.0)
    (True, False)
    """
    return high - low <= _FINE_RANGE


def show_length(length: float, units: str = "mm", fine: bool = False) -> str:
    """Show a length the way a hand can work to it.

    Parameters
    ----------
    length : float
        [mm], may be negative.
    units : str
        ``"mm"`` or ``"in"``, as the build says.
    fine : bool
        For plugs and gaps: 0.01 mm, or thousandths of an inch.

    Examples
    --------
    >>> show_length(219.96), show_length(0.512, fine=True)
    ('220.0 mm', '0.51 mm')
    >>> show_length(38.1, "in"), show_length(0.8, "in", fine=True)
    ('1 1/2 in', '0.031 in')
    >>> show_length(220.0, "in")
    '8 21/32 in full'
    """
    if units == "mm":
        return f"{_signless_zero(length, 2 if fine else 1)} mm"
    if units != "in":
        raise QuantityError(
            f'Lengths cannot be shown in "{units}".', text=units, remedy='Use "mm" or "in".'
        )
    if fine:
        return f"{_signless_zero(length / _INCH, 3)} in"
    return _show_fraction(length)


def shown_difference(length: float, other: float, units: str = "mm", fine: bool = False) -> float:
    """Return how much longer a length is than another, as far as both are shown [mm].

    So that a sentence that shows all three of them adds up. Of fractions of an inch
    nothing is left out, since these are shown with what is missing from them.

    Parameters
    ----------
    length, other : float
        [mm].
    units, fine
        As in `show_length`.

    Examples
    --------
    >>> show_length(694.04), show_length(690.26), show_length(shown_difference(694.04, 690.26))
    ('694.0 mm', '690.3 mm', '3.7 mm')
    """
    if units == "in" and not fine:
        return length - other
    unit, digits = (_INCH, 3) if units == "in" else (1.0, 2 if fine else 1)
    return round(round(length / unit, digits) - round(other / unit, digits), digits) * unit


def in_units(words: str, units: str) -> str:
    """Return a sentence with its lengths as the build shows them.

    What the shop and the patterns have to say is written in mm; a build in inches says
    it in inches: to a 1/64 what is said to a tenth or less, to a thousandth what is said
    finer.

    Examples
    --------
    >>> in_units("Leave 19.05 mm of the 25.4 mm.", "in")
    'Leave 0.750 in of the 1 in.'
    >>> in_units("An offcut of 609.6 by 304.8 mm.", "in")
    'An offcut of 24 in by 12 in.'
    """
    if units == "mm":
        return words

    def shown(number: str) -> str:
        _, _, decimals = number.partition(".")
        return show_length(float(number), units, fine=len(decimals) > 1)

    def said(found: re.Match[str]) -> str:
        before = f"{shown(found['first'])}{found['joint']}" if found["first"] else ""
        return before + shown(found["number"])

    return _IN_WORDS.sub(said, words)


def _signless_zero(value: float, digits: int) -> str:
    shown = f"{value:.{digits}f}"
    return shown.lstrip("-") if float(shown) == 0.0 else shown


def _show_fraction(length: float) -> str:
    """Nearest 1/64 in, and whether it is a full or a bare one if the eye could see it."""
    steps = round(abs(length) / _INCH * _RULE)
    whole, part = divmod(steps, _RULE)
    words = [str(whole)] if whole or not part else []
    if part:
        words.append(str(Fraction(part, _RULE)))
    left = abs(length) - steps * _INCH / _RULE
    if not steps and abs(left) >= _SEEN:
        return show_length(length, "in", fine=True)
    sign = "-" if length < 0.0 and steps else ""
    shown = f"{sign}{' '.join(words)} in"
    return shown if abs(left) < _SEEN else shown + (_FULL if left > 0.0 else _BARE)


def _amount(text: str, what: str, example: str) -> tuple[Fraction, str]:
    """Read number and unit of a quantity, exactly; unit "" if there is none."""
    shown = text if len(text) <= _LONGEST else text[:_LONGEST] + "..."
    if _COMMA.search(text):
        raise QuantityError(
            f'"{shown}" has a comma in it.',
            text=text,
            remedy=f'Write the decimal point: "{_COMMA.sub(_pointed, shown)}".',
        )
    found = _QUANTITY.fullmatch(text.strip()) if len(text) <= _LONGEST else None
    if not found:
        raise QuantityError(
            f'"{shown}" is not {what}.', text=text, remedy=f"Write it like {example}."
        )
    unit = (found["unit"] or "").rstrip(".").lower()
    if found["dash"] and not unit:
        raise QuantityError(
            f'"{shown}" could be a difference or a mixed fraction.',
            text=text,
            remedy=f'Write "{found["whole"]} {found["top2"]}/{found["bottom2"]} in" for inches, '
            "or the result of the difference.",
        )
    top, bottom = found["top2"] or found["top"], found["bottom2"] or found["bottom"]
    if bottom and not int(bottom):
        raise QuantityError(f'"{shown}" divides by 0.', text=text, remedy="Check the fraction.")
    amount = Fraction(found["plain"] or found["whole"] or 0)
    if top:
        amount += Fraction(int(top), int(bottom))
    return (-amount if found["sign"] == "-" else amount), unit


def _pointed(found: re.Match[str]) -> str:
    return re.sub(r"\s*,\s*", ".", found.group())


def _unknown_unit(text: str, unit: str, what: str, known: tuple[str, ...]) -> QuantityError:
    return QuantityError(
        f'"{text}" has the unit "{unit}", which is no unit of {what}.',
        text=text,
        remedy=offer_names(unit, known),
    )
