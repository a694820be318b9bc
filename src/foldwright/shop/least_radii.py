"""Least radii: how tightly sheet metal may be bent cold, as the standards say.

Room: shop. The tables stand in ``least_radii.toml`` beside this file, with what
of them was seen and what is remembered. Steel goes by its tensile strength
(`radius_din_6935`), European aluminium by alloy, temper and thickness
(`radius_en_485`), American aluminium by alloy, temper and the nearest thickness
of the table (`radius_aa`). Where a material has no table, `radius_by_reduction`
tells from a tensile test.

All radii are inside radii. `least_bend_radius` asks the table that a matter
names, or takes the one figure that it has.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from foldwright.errors import OutOfDomain, offer_names
from foldwright.shop.materials import Matter
from foldwright.shop.physical import require_above_zero, require_between

_INCH = 25.4
_SQUARE = math.pi / 2.0
_STEEP = math.radians(120.0)  # DIN 6935: beyond it the next thicker class
_LITTLE = 1e-9  # rounding of an angle or a thickness that was worked out
_MEMORY = "value from memory, unchecked"
# A bend along the rolling direction cracks sooner: DIN 6935 takes the next thicker class.
# For aluminium the same is done here; common practice, no source.
_NEXT_ROW = "the next thicker row is taken, as is common practice"
_LAST_ROW = "There is no thicker row to take; bend a test strip."


@dataclass(frozen=True)
class LeastRadius:
    """Least inside radius of a cold bend.

    Attributes
    ----------
    radius : float
        [mm].
    ratio : float
        The same in thicknesses [-].
    source : str
        Table it comes from, and whether it was seen there or is remembered.
    remark : str
        What was done that the table does not say; empty if nothing.
    """

    radius: float
    ratio: float
    source: str
    remark: str = ""


def outer_strain(thickness: float, inside_radius: float) -> float:
    """Strain of the outer fibre of a bend about the middle of the sheet [-].

    ::

        e = 1 / (2 R/T + 1)

    Parameters
    ----------
    thickness, inside_radius : float
        T, above 0, and R, 0 or more [mm].

    Raises
    ------
    OutOfDomain
        Sizes that no sheet has.

    References
    ----------
    S. Kalpakjian and S. R. Schmid, Manufacturing Engineering and Technology,
    chapter on sheet metal, bending (edition and equation number unchecked).

    Examples
    --------
    >>> outer_strain(2.0, 4.0)
    0.2
    """
    require_above_zero(thickness, "the thickness", name="thickness")
    require_between(inside_radius, 0.0, math.inf, "the inside radius", name="inside_radius")
    return 1.0 / (2.0 * inside_radius / thickness + 1.0)


def radius_by_reduction(thickness: float, reduction: float) -> float:
    """Least inside radius of a bend from the reduction of area in a tensile test [mm].

    ::

        R = T (50/r - 1)

    Metal that necks to half its section or less before it breaks can be folded
    flat on itself, so R is 0 from r = 50 on.

    Parameters
    ----------
    thickness : float
        T [mm].
    reduction : float
        r, reduction of area at the break [%], above 0, up to 100.

    Raises
    ------
    OutOfDomain
        A thickness or a reduction that cannot be.

    References
    ----------
    S. Kalpakjian and S. R. Schmid, Manufacturing Engineering and Technology,
    chapter on sheet metal, minimum bend radius (equation number unchecked).

    Examples
    --------
    >>> radius_by_reduction(2.0, 20.0)
    3.0
    """
    require_above_zero(thickness, "the thickness", name="thickness")
    require_above_zero(reduction, "the reduction of area", name="reduction", unit="%")
    require_between(reduction, 0.0, 100.0, "the reduction of area", name="reduction", unit="%")
    return thickness * max(0.0, 50.0 / reduction - 1.0)


def radius_din_6935(
    thickness: float, tensile: float, turn: float = _SQUARE, *, along: bool = False
) -> LeastRadius:
    """Least inside radius of a cold bend of flat rolled steel, by DIN 6935.

    Along the rolling direction the value of the next thicker class holds, and
    again the next beyond 120 degrees.

    Parameters
    ----------
    thickness : float
        [mm], up to 20.
    tensile : float
        Least tensile strength [MPa], up to 640.
    turn : float
        [rad].
    along : bool
        Whether the bend line runs along the rolling direction.

    Raises
    ------
    OutOfDomain
        Beyond the table.

    References
    ----------
    DIN 6935 (1975-10), table of smallest permissible bend radii.

    Examples
    --------
    >>> radius_din_6935(6.0, 420.0).radius, radius_din_6935(6.0, 420.0, 2.4).radius
    (10.0, 12.0)
    """
    _require_bend(thickness, turn)
    require_above_zero(tensile, "the tensile strength", name="tensile", unit="MPa")
    table = _tables()["din-6935"]
    limits = sorted(float(limit) for limit in table["radius"])
    strength = next((limit for limit in limits if tensile <= limit + _LITTLE), None)
    if strength is None:
        raise OutOfDomain(
            f"steel of {tensile:g} MPa is stronger than DIN 6935 has radii for, {limits[-1]:g}. "
            "Bend a test strip, and give its radius as bend_radius of the material.",
            name="tensile",
        )
    radii = table["radius"][f"{strength:g}"]
    at = _row_for(thickness, table["up_to"], "DIN 6935")
    steps = int(along) + int(turn > _STEEP + _LITTLE)
    remark = ""
    if at + steps >= len(radii):
        remark = _LAST_ROW
    radius = float(radii[min(at + steps, len(radii) - 1)])
    return LeastRadius(
        radius, radius / thickness, f"{table['source']}; seen: {table['seen']}", remark
    )


def radius_en_485(
    alloy: str, temper: str, thickness: float, turn: float = _SQUARE, *, along: bool = False
) -> LeastRadius:
    """Least inside radius of a cold bend of aluminium sheet, by EN 485-2.

    The standard has columns for 90 and, for the softer tempers, for 180
    degrees. Up to 90 degrees the first is taken, between them a share of both;
    where there is no second, the next thicker row beyond 120 degrees, as DIN
    6935 does for steel. A bend along the rolling direction takes the next
    thicker row too. What is not of the standard is remarked.

    Parameters
    ----------
    alloy, temper : str
        ``"5754"`` (with or without ``EN AW-``), ``"H22"``.
    thickness : float
        [mm].
    turn : float
        [rad].
    along : bool
        Whether the bend line runs along the rolling direction.

    Raises
    ------
    OutOfDomain
        No such alloy, temper or thickness in the table.

    References
    ----------
    EN 485-2, Aluminium and aluminium alloys, sheet, strip and plate,
    mechanical properties: columns bend radius.

    Examples
    --------
    >>> radius_en_485("EN AW-6082", "T6", 1.5).ratio
    2.5
    """
    _require_bend(thickness, turn)
    table = _tables()["en-485-2"]
    alloy = re.sub(r"(?i)^EN\s*AW[- ]*", "", alloy.strip())
    tempers = _named(table["alloy"], alloy, "EN 485-2", "alloy")
    rows: list[list[float]] = _named(tempers, temper.strip(), f"EN 485-2, {alloy}", "temper")
    at = _row_for(thickness, [row[1] for row in rows], f"EN 485-2, {alloy} {temper},")
    here, steps, remarks = rows[at], int(along), []
    if along:
        remarks.append(f"Along the rolling direction {_NEXT_ROW}.")
    if len(here) == 3 and turn > _STEEP + _LITTLE:
        steps += 1
        remarks.append(f"Beyond 120 degrees the standard has no radius; {_NEXT_ROW}.")
    elif len(here) > 3 and _SQUARE + _LITTLE < turn < math.pi - _LITTLE:
        remarks.append("Between the columns of 90 and 180 degrees, in proportion to the turn.")
    if at + steps >= len(rows):
        remarks.append(_LAST_ROW)
    row = rows[min(at + steps, len(rows) - 1)]
    # A thicker row may have lost the column of 180 degrees.
    flat = max([*row[3:], *here[3:], row[2]]) if len(here) > 3 else row[2]
    share = max(0.0, turn - _SQUARE) / (math.pi - _SQUARE)
    ratio = row[2] + share * (flat - row[2])
    is_seen = [alloy, temper, row[0]] in table["seen"] and share < _LITTLE
    how = "seen in a reprint" if is_seen else _MEMORY
    return LeastRadius(ratio * thickness, ratio, f"{table['source']}, {how}", " ".join(remarks))


def radius_aa(
    alloy: str, temper: str, thickness: float, turn: float = _SQUARE, *, along: bool = False
) -> LeastRadius:
    """Least inside radius of a 90 degree bend of aluminium, by the Aluminum Association.

    Between two thicknesses of the table that of the thicker is taken, and the
    next thicker again beyond 120 degrees and along the rolling direction.

    Parameters
    ----------
    alloy, temper : str
        ``"5052"``, ``"H32"``.
    thickness : float
        [mm], up to 1/2 in.
    turn : float
        [rad].
    along : bool
        Whether the bend line runs along the rolling direction.

    Raises
    ------
    OutOfDomain
        No such alloy, temper or thickness in the table.

    References
    ----------
    Aluminum Association, Aluminum Design Manual (January 2005), part VII,
    Table 3-1.

    Examples
    --------
    >>> radius_aa("5052", "H32", 3.175).ratio
    1.5
    """
    _require_bend(thickness, turn)
    table = _tables()["aa"]
    tempers = _named(table["alloy"], alloy.strip(), "the table", "alloy")
    ratios = _named(tempers, temper.strip(), f"the table, {alloy}", "temper")
    known = [(i * _INCH, r) for i, r in zip(table["inches"], ratios, strict=True) if r >= 0]
    steps = int(along)
    at = _row_for(thickness, [t for t, _ in known], f"the table, {alloy} {temper},")
    remarks = []
    if along:
        remarks.append(f"Along the rolling direction {_NEXT_ROW}.")
    if turn > _STEEP + _LITTLE:
        steps += 1
        remarks.append(f"Beyond 120 degrees {_NEXT_ROW}.")
    if at + steps >= len(known):
        remarks.append(_LAST_ROW)
    ratio = float(known[min(at + steps, len(known) - 1)][1])
    how = "seen in a reprint" if alloy in table["seen"] else _MEMORY
    return LeastRadius(ratio * thickness, ratio, f"{table['source']}, {how}", " ".join(remarks))


def least_bend_radius(
    matter: Matter, thickness: float, turn: float = _SQUARE, *, along: bool = False
) -> LeastRadius:
    """Least inside radius of a cold bend of solid sheet.

    Parameters
    ----------
    matter : Matter
        Its `bend_radius` names the table to ask, or is the answer itself.
    thickness : float
        [mm].
    turn : float
        [rad].
    along : bool
        Whether the bend line runs along the rolling direction.

    Raises
    ------
    OutOfDomain
        Beyond the table.

    Examples
    --------
    >>> from foldwright.shop import matters
    >>> least_bend_radius(matters()["al-5754-H22"], 1.5).radius
    1.5
    """
    figure = matter.bend_radius
    match figure.table:
        case ("EN 485-2", alloy, temper):
            return radius_en_485(alloy, temper, thickness, turn, along=along)
        case ("AA", alloy, temper):
            return radius_aa(alloy, temper, thickness, turn, along=along)
        case ("DIN 6935", tensile):
            return radius_din_6935(thickness, float(tensile), turn, along=along)
        case _:
            _require_bend(thickness, turn)
            remark = (
                "The figure is for a bend across the rolling direction; bend a test strip."
                if along
                else ""
            )
            return LeastRadius(figure.value * thickness, figure.value, figure.source, remark)


def alloys_and_tempers() -> Mapping[str, tuple[tuple[str, str], ...]]:
    """Return each alloy with a temper that a table has, by ``"EN 485-2"`` and ``"AA"``."""
    tables = _tables()
    return {
        name: tuple(
            (alloy, temper)
            for alloys, tempers in tables[key]["alloy"].items()
            for alloy in alloys.split("/")
            for shared in tempers
            for temper in shared.split("/")
        )
        for name, key in (("EN 485-2", "en-485-2"), ("AA", "aa"))
    }


@cache
def _tables() -> dict[str, Any]:
    text = files(__package__).joinpath("least_radii.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _named(table: Mapping[str, Any], name: str, where: str, kind: str) -> Any:
    """Entry of a table whose keys hold one or more names, apart by ``/``."""
    for names, entry in table.items():
        if name in names.split("/"):
            return entry
    known: Iterable[str] = (one for names in table for one in names.split("/"))
    raise OutOfDomain(
        f'There is no {kind} "{name}" in {where}. {offer_names(name, known)}', name=kind
    )


def _row_for(thickness: float, up_to: Sequence[float], where: str) -> int:
    """Index of the first row that reaches the thickness [mm]."""
    for i, limit in enumerate(up_to):
        if thickness <= limit + _LITTLE:
            return i
    raise OutOfDomain(
        f"{thickness:g} mm is thicker than {where} has radii for, {up_to[-1]:g} mm. "
        "Bend a test strip, and give its radius as bend_radius of the material.",
        name="thickness",
    )


def _require_bend(thickness: float, turn: float) -> None:
    require_above_zero(thickness, "the thickness", name="thickness")
    require_between(turn, 0.0, math.pi, "the turn of the bend", name="turn", unit="deg")
