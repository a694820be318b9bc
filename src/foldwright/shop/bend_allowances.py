"""Bend allowances: how much sheet a bend takes, by each rule that the trade uses.

Room: shop. A bend of solid sheet turns through theta at inside radius r in
thickness t. Its *allowance* is the length of the neutral line round it, its
*setback* the distance from the outside mould line back to where it begins, its
*deduction* what the flat is shorter than the two outside lengths::

    allowance = theta (r + K t)
    setback   = (r + t) tan(theta/2)
    deduction = 2 setback - allowance

The rules differ in K, some print the allowance itself, and two print the
deduction, as a compensation value or a shortening. They compete: `rules_of_k`
gives all that hold for a bend, side by side. A test strip of the maker (see
`strips`) beats each of them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from foldwright.errors import OutOfDomain
from foldwright.shop.mould_lines import setback
from foldwright.shop.physical import require_above_zero, require_between

_INCH = 25.4
# Share of T that the handbook adds to 1.57 R for a right angle, by how hard the sheet is.
HARDNESS: Mapping[str, float] = MappingProxyType(
    {
        "soft": 0.55,  # soft brass, soft copper
        "half-hard": 0.64,  # half-hard copper and brass, soft steel, aluminium
        "hard": 0.71,  # bronze, hard copper, cold-rolled and spring steel
    }
)
# The handbook's pi/2, as printed.
_QUARTER_TURN = 1.57
# Per degree, on T and on R; as printed.
AIRFRAME = (0.0078, 0.01743)
# On r and on s, for a right angle; as printed.
LINEAR = (0.43, 1.48)
# Groover: K under and from this r/t.
_GROOVER_RATIO, _GROOVER_K = 2.0, (0.33, 0.50)
# DIN 6935: opening angles up to which its ways of measuring legs hold.
_DIN_SQUARE, _DIN_LAST = math.radians(90.0), math.radians(165.0)
# K of free bending over a V, by hardness: up to r = t, up to 3 t, beyond.
_K_BY_RATIO: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {
        "soft": (0.33, 0.40, 0.50),
        "half-hard": (0.38, 0.43, 0.50),
        "hard": (0.40, 0.45, 0.50),
    }
)
# Radii of the rows and thicknesses of the columns [in], and K; as printed.
_ROW_RADII = (0.030, 0.060, 0.090, 0.120, 0.188)
_ROWS: Mapping[str, tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]] = MappingProxyType(
    {
        "aluminium": (
            (0.032, 0.063, 0.100, 0.125),
            (
                (0.398, 0.404, 0.406, 0.407),
                (0.394, 0.402, 0.381, 0.407),
                (0.391, 0.401, 0.380, 0.406),
                (0.391, 0.401, 0.380, 0.406),
                (0.392, 0.401, 0.380, 0.406),
            ),
        ),
        "cold-rolled-steel": (
            (0.048, 0.060, 0.093),
            (
                (0.438, 0.467, 0.459),
                (0.433, 0.463, 0.457),
                (0.433, 0.463, 0.456),
                (0.433, 0.463, 0.456),
                (0.420, 0.453, 0.450),
            ),
        ),
        "stainless-steel": (
            (0.029, 0.078),
            ((0.483, 0.449), (0.479, 0.446), (0.475, 0.446), (0.475, 0.446), (0.454, 0.438)),
        ),
    }
)
METALS = tuple(_ROWS)
"""Metals that the table of K by radius and thickness knows."""


@dataclass(frozen=True)
class KRule:
    """What one rule says of a bend.

    Attributes
    ----------
    name : str
        Short, for a program: ``"din-6935"``.
    what : str
        In words.
    k : float
        Neutral line from the inside, as a share of the thickness [-].
    holds : str
        Where the rule holds.
    source : str
    """

    name: str
    what: str
    k: float
    holds: str
    source: str


def allowance(turn: float, radius: float, thickness: float, k: float) -> float:
    """Length of the neutral line round a bend: ``theta (r + K t)`` [mm].

    Parameters
    ----------
    turn : float
        theta [rad], 0 to pi.
    radius, thickness : float
        r, 0 or more, and t, above 0 [mm].
    k : float
        K [-], 0 at the inside face and 1 at the outside face.

    Raises
    ------
    OutOfDomain
        Outside those.

    References
    ----------
    Arc of a circle. Printed in this form in M. P. Groover, Fundamentals of
    Modern Manufacturing, chapter on sheet metalworking, bending.

    Examples
    --------
    >>> round(allowance(math.radians(90), 1.524, 1.6002, 0.402), 4)
    3.4044
    """
    _require_bend(turn, radius, thickness)
    require_between(k, 0.0, 1.0, "the neutral line k", name="k", unit="")
    return turn * (radius + k * thickness)


def outside_setback(turn: float, radius: float, thickness: float) -> float:
    """Distance from the outside mould line back to the bend: ``(r + t) tan(theta/2)`` [mm].

    Parameters
    ----------
    turn : float
        theta [rad], 0 to below pi: a hem has no mould line.
    radius, thickness : float
        r and t [mm].

    Raises
    ------
    OutOfDomain
        Not such a bend.
    """
    _require_bend(turn, radius, thickness)
    if turn >= math.pi:
        raise OutOfDomain(
            "a hem, turned by 180 degrees, has no outside mould line to measure to. "
            "Measure its legs to the round, and add the allowance to the straight lengths.",
            name="turn",
        )
    return setback(radius + thickness, turn)


def deduction(turn: float, radius: float, thickness: float, taken: float) -> float:
    """What the flat is shorter than the two outside lengths: ``2 setback - allowance`` [mm].

    `taken` is the allowance [mm], by whichever rule.
    """
    return 2.0 * outside_setback(turn, radius, thickness) - taken


def allowance_by_hardness(
    turn: float, radius: float, thickness: float, coefficient: float
) -> float:
    """Allowance by the handbook's rule for how hard the sheet is [mm].

    ::

        L = (c T + 1.57 R) angle/90

    Parameters
    ----------
    turn, radius, thickness : float
        As in `allowance`.
    coefficient : float
        c, one of `HARDNESS` [-].

    References
    ----------
    Machinery's Handbook, 31st ed., Industrial Press, p. 1421, formulas (32) to (34).

    Examples
    --------
    >>> round(allowance_by_hardness(math.radians(90), 2.0, 1.0, HARDNESS["soft"]), 6)
    3.69
    """
    _require_bend(turn, radius, thickness)
    require_between(coefficient, 0.0, math.pi / 2.0, "the coefficient", name="coefficient", unit="")
    return (coefficient * thickness + _QUARTER_TURN * radius) * math.degrees(turn) / 90.0


def k_of_hardness(coefficient: float) -> float:
    """K with which `allowance` adds ``c T`` for a right angle: ``c / (pi/2)`` [-]."""
    require_between(coefficient, 0.0, math.pi / 2.0, "the coefficient", name="coefficient", unit="")
    return coefficient / (math.pi / 2.0)


def allowance_of_airframes(
    turn: float,
    radius: float,
    thickness: float,
    coefficients: tuple[float, float] = AIRFRAME,
) -> float:
    """Allowance by the rule of airframe handbooks [mm].

    ::

        BA = (0.0078 T + 0.01743 R) degrees

    References
    ----------
    FAA-H-8083-31, Aviation Maintenance Technician Handbook - Airframe, vol. 1,
    ch. 4. 0.01743 stands for pi/180, so K is 0.0078/0.01743 = 0.4475.
    """
    _require_bend(turn, radius, thickness)
    on_t, on_r = coefficients
    return (on_t * thickness + on_r * radius) * math.degrees(turn)


def k_din_6935(radius: float, thickness: float) -> float:
    """Neutral line of a bend of solid sheet, as a share of its thickness.

    DIN 6935 gives k for half the thickness, ``k = 0.65 + 0.5 lg(r/s)``, at
    most 1; the share of the whole thickness is half of that.

    Parameters
    ----------
    radius, thickness : float
        Inside radius r and thickness s [mm], above 0.

    Raises
    ------
    OutOfDomain
        r/s so small that the formula leaves no material inside (under 0.06).

    References
    ----------
    DIN 6935, Cold bending of flat rolled steel; formula as given in
    textbook reprints.
    """
    if not (0.0 < radius < math.inf and 0.0 < thickness < math.inf):
        raise OutOfDomain(
            f"a bend needs a radius and a thickness above 0, got {radius:g} and {thickness:g} mm.",
            name="radius",
        )
    k = min(1.0, 0.65 + 0.5 * math.log10(radius / thickness))
    if k <= 0.05:
        raise OutOfDomain(
            f"an inside radius of {radius:g} mm is too sharp for {thickness:g} mm sheet. "
            f"Use at least {0.1 * thickness:.2g} mm.",
            name="radius",
        )
    return k / 2.0


def compensation_din_6935(opening: float, radius: float, thickness: float) -> float:
    """Compensation value v: flat length = sum of the outside legs + v, so v is mostly negative.

    ::

        beta to 90:    v = arc - 2 (r + s)                       legs to the outer tangents
        90 to 165:     v = arc - 2 (r + s) tan((180 - beta)/2)   legs to the mould line
        165 to 180:    v = 0
        arc = theta (r + k s/2),  theta = 180 - beta

    Parameters
    ----------
    opening : float
        beta, angle between the legs [rad], 0 to pi.
    radius, thickness : float
        r and s [mm].

    Returns
    -------
    float
        v [mm].

    Raises
    ------
    OutOfDomain
        Not such a bend, or a radius too sharp for the formula of k.

    References
    ----------
    DIN 6935, as given in notes and articles that cite it.

    Examples
    --------
    >>> round(compensation_din_6935(math.radians(90), 1.0, 1.0), 1)
    -1.9
    """
    require_between(opening, 0.0, math.pi, "the opening angle", name="opening", unit="deg")
    turn = math.pi - opening
    arc = allowance(turn, radius, thickness, k_din_6935(radius, thickness))
    if opening > _DIN_LAST:
        return 0.0
    if opening > _DIN_SQUARE:
        return -deduction(turn, radius, thickness, arc)
    return arc - 2.0 * (radius + thickness)


def shortening_linear(
    radius: float, thickness: float, coefficients: tuple[float, float] = LINEAR
) -> float:
    """Shortening at a right angle by the linear rule ``v = 0.43 r + 1.48 s`` [mm].

    Flat length = sum of the outside legs - v. The same as K = 0.33, since
    2 - pi/2 = 0.43 and 2 - 0.33 pi/2 = 1.48; at r/t = 2 it differs from DIN 6935
    by 0.4 mm in 3 mm sheet.

    References
    ----------
    Worksheet on bending, "Biegeumformen berechnen, Ausgleichswerte"; no standard.

    Examples
    --------
    >>> round(shortening_linear(7.0, 3.18), 2)
    7.72
    """
    _require_bend(math.pi / 2.0, radius, thickness)
    on_r, on_s = coefficients
    return on_r * radius + on_s * thickness


def k_of_groover(radius: float, thickness: float) -> float:
    """K by a textbook's rule: 0.33 under r/t = 2, else 0.50 [-].

    References
    ----------
    M. P. Groover, Fundamentals of Modern Manufacturing, chapter on sheet
    metalworking, bend allowance.
    """
    _require_bend(math.pi / 2.0, radius, thickness)
    sharp, gentle = _GROOVER_K
    return sharp if radius / thickness < _GROOVER_RATIO else gentle


def k_by_ratio(radius: float, thickness: float, hardness: str) -> float:
    """K of free bending over a V, by hardness, in steps at r = t and r = 3 t [-].

    References
    ----------
    Shop table of K-factors, seen as a reprint on several pages without its source.
    """
    _require_bend(math.pi / 2.0, radius, thickness)
    sharp, middling, gentle = _K_BY_RATIO[_require_hardness(hardness)]
    if radius <= thickness:
        return sharp
    return middling if radius <= 3.0 * thickness else gentle


def k_by_table(radius: float, thickness: float, metal: str) -> float | None:
    """K by radius and thickness of one metal [-], straight between the printed ones.

    None outside of the table: radii of 0.030 to 0.188 in, and the thicknesses
    printed for that metal.

    Parameters
    ----------
    radius, thickness : float
        [mm].
    metal : str
        One of `METALS`.

    References
    ----------
    Reference table of K-factors which attributes its rows to Machinery's
    Handbook, 26th ed. (seen as a reprint).

    Examples
    --------
    >>> k_by_table(1.524, 1.6002, "aluminium")
    0.402
    """
    _require_bend(math.pi / 2.0, radius, thickness)
    if metal not in _ROWS:
        raise OutOfDomain(
            f'the table has no metal "{metal}". There are: {", ".join(METALS)}.', name="metal"
        )
    thicknesses, rows = _ROWS[metal]
    across, down = _place(thickness / _INCH, thicknesses), _place(radius / _INCH, _ROW_RADII)
    if across is None or down is None:
        return None
    (i, u), (j, v) = across, down
    return (
        (1.0 - v) * ((1.0 - u) * rows[j][i] + u * rows[j][i + 1])
        + v * ((1.0 - u) * rows[j + 1][i] + u * rows[j + 1][i + 1])
    )  # fmt: skip


def rules_of_k(
    radius: float, thickness: float, hardness: str, metal: str | None = None
) -> tuple[KRule, ...]:
    """All rules that hold for a bend, side by side, the standard first.

    Parameters
    ----------
    radius, thickness : float
        [mm].
    hardness : str
        One of `HARDNESS`.
    metal : str or None
        One of `METALS`, to look up the table by radius and thickness as well.
    """
    _require_hardness(hardness)
    found = []
    try:
        found.append(_din_rule(radius, thickness))
    except OutOfDomain:
        # so sharp that the standard says nothing; the others are shown without it
        _require_bend(math.pi / 2.0, radius, thickness)
    handbook = "Machinery's Handbook, 31st ed., p. 1421"
    found.append(
        KRule(
            "hardness",
            f"the handbook, {hardness}",
            k_of_hardness(HARDNESS[hardness]),
            "any radius, by hardness alone",
            handbook,
        )
    )
    on_t, on_r = AIRFRAME
    airframe = "FAA-H-8083-31, vol. 1, ch. 4"
    found.append(
        KRule("airframe", "airframe handbooks", on_t / on_r, "aluminium alloy sheet", airframe)
    )
    found.append(
        KRule(
            "linear",
            "the linear rule",
            (2.0 - LINEAR[1]) / (math.pi / 2.0),
            "right angles",
            "worksheet on bending, no standard",
        )
    )
    found.append(
        KRule(
            "groover",
            "a textbook",
            k_of_groover(radius, thickness),
            "0.33 under r/t = 2, else 0.50",
            "Groover, Fundamentals of Modern Manufacturing",
        )
    )
    found.append(
        KRule(
            "ratio",
            "a shop table",
            k_by_ratio(radius, thickness, hardness),
            "free bending over a V",
            "reprints of a shop table, no source",
        )
    )
    tabled = k_by_table(radius, thickness, metal) if metal else None
    if metal and tabled is not None:
        source = "a reprint that names Machinery's Handbook, 26th ed."
        words = f"{metal} 0.76 to 4.8 mm radius"
        found.append(KRule("table", "the table of K", tabled, words, source))
    return tuple(found)


def flat_length(legs: Sequence[float], deductions: Sequence[float]) -> float:
    """Flat length of a strip from its outside lengths: their sum less what each bend takes [mm].

    Parameters
    ----------
    legs : sequence of float
        Outside lengths to the mould lines, end to end [mm]: one more than bends.
    deductions : sequence of float
        [mm].

    Raises
    ------
    OutOfDomain
        Lengths that are not above 0, the wrong number of bends, or nothing left.
    """
    _require_lengths(legs, len(deductions), "legs")
    length = math.fsum(legs) - math.fsum(deductions)
    require_above_zero(length, "the flat length", name="legs")
    return length


def flats(legs: Sequence[float], setbacks: Sequence[float]) -> tuple[float, ...]:
    """Straight lengths between the bends: each leg less the setback of the bends it meets [mm].

    Parameters
    ----------
    legs : sequence of float
        Outside lengths to the mould lines [mm].
    setbacks : sequence of float
        Of each bend [mm]: one less than legs.

    Raises
    ------
    OutOfDomain
        As `flat_length`, or two bends that run into one another.

    Examples
    --------
    >>> flats((30.0, 50.0, 30.0), (5.0, 5.0))
    (25.0, 40.0, 25.0)
    """
    _require_lengths(legs, len(setbacks), "legs")
    before, after = (0.0, *setbacks), (*setbacks, 0.0)
    left = tuple(leg - a - b for leg, a, b in zip(legs, before, after, strict=True))
    for i, (leg, straight) in enumerate(zip(legs, left, strict=True), 1):
        if straight < 0.0:
            raise OutOfDomain(
                f"leg {i} of {leg:g} mm is {-straight:.1f} mm shorter than the setbacks of its "
                "bends. Lengthen it, or use a smaller radius.",
                name="legs",
            )
    return left


def developed_width(straights: Sequence[float], allowances: Sequence[float]) -> float:
    """Flat length of a strip from its straight lengths: their sum and the allowances [mm].

    Raises
    ------
    OutOfDomain
        A length below 0, or no length at all.
    """
    for length in (*straights, *allowances):
        require_between(length, 0.0, math.inf, "a length", name="flats")
    width = math.fsum(straights) + math.fsum(allowances)
    require_above_zero(width, "the developed width", name="flats")
    return width


def _din_rule(radius: float, thickness: float) -> KRule:
    return KRule(
        "din-6935",
        "DIN 6935",
        k_din_6935(radius, thickness),
        "flat rolled steel, bent cold; used for other metals too",
        "DIN 6935, as reprinted",
    )


def _require_bend(turn: float, radius: float, thickness: float) -> None:
    require_between(turn, 0.0, math.pi, "the turn", name="turn", unit="deg")
    require_between(radius, 0.0, math.inf, "the inside radius", name="radius")
    require_above_zero(thickness, "the thickness", name="thickness")


def _require_hardness(hardness: str) -> str:
    if hardness not in HARDNESS:
        raise OutOfDomain(
            f'sheet is not known as "{hardness}". There are: {", ".join(HARDNESS)}.',
            name="hardness",
        )
    return hardness


def _require_lengths(legs: Sequence[float], bends: int, name: str) -> None:
    if len(legs) != bends + 1:
        raise OutOfDomain(
            f"{len(legs)} lengths with {bends} bends do not make a strip; it has one length more "
            "than bends. Count again.",
            name=name,
        )
    for leg in legs:
        require_above_zero(leg, "an outside length", name=name)


def _place(value: float, steps: Sequence[float]) -> tuple[int, float] | None:
    """Interval of a table that a value lies in and its share of it; None outside."""
    # printed inches turned to millimetres and back must still be on the table
    nearly = 1e-9 * value
    if not steps[0] - nearly <= value <= steps[-1] + nearly:
        return None
    i = max(i for i in range(len(steps) - 1) if steps[i] <= value + nearly)
    return i, (value - steps[i]) / (steps[i + 1] - steps[i])
