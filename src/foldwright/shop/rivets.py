"""Rivets: blind rivets through thin sheet, how far apart, how long, what they hold.

Room: shop. *Grip* is the thickness of all sheets together. The tables lie in
``rivets.toml`` beside this file.

Start at `riveted_row`.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from foldwright.errors import OutOfDomain
from foldwright.shop.materials import Matter
from foldwright.shop.physical import require_above_zero, require_between

_SAME = 1e-6  # [mm]
# A rivet as thick as three of the sheets holds about as much as they do.
# Machinery's Handbook and shop practice; common practice.
_RIVET_PER_SHEET = 3.0
# The sheet's pressure on a rivet at failure: EN 1999-1-4:2007, Table 8.1, for blind rivets,
# without partial factor: 2.5 sqrt(t^3 d) Rm, at most 1.5 t d Rm. Value from memory, unchecked.
_TILTING, _BEARING = 2.5, 1.5


@dataclass(frozen=True)
class Rivet:
    """A blind rivet: diameter and hole [mm], least shear and tension [N]."""

    diameter: float
    hole: float
    shear: float
    tension: float


@dataclass(frozen=True)
class RivetRule:
    """Distances of rivets [mm]: from the middle to the edge, and from one to the next."""

    edge: float
    least_pitch: float
    usual_pitch: float
    largest_pitch: float


def rivet_rule(diameter: float) -> RivetRule:
    """Where rivets go: edge 2 D, pitch at least 3 D, usually 4 D to 8 D.

    Parameters
    ----------
    diameter : float
        D [mm].

    References
    ----------
    Navy training manuals on sheet metal and FAA-H-8083-31, as general rules: edge 2 D to 4 D,
    pitch 3 D to 8 D. Others go to 10 D or 12 D.

    Examples
    --------
    >>> rivet_rule(4.0).edge, rivet_rule(4.0).largest_pitch
    (8.0, 32.0)
    """
    require_above_zero(diameter, "the rivet", name="rivet")
    return RivetRule(2.0 * diameter, 3.0 * diameter, 4.0 * diameter, 8.0 * diameter)


def rivets() -> tuple[Rivet, ...]:
    """All blind rivets of the table, thinnest first."""
    return tuple(Rivet(*map(float, row)) for row in _table()["rivets"])


def rivet_of(diameter: float) -> Rivet:
    """Blind rivet of that diameter.

    Raises
    ------
    OutOfDomain
        None is sold.
    """
    for rivet in rivets():
        if abs(rivet.diameter - diameter) < _SAME:
            return rivet
    sold = ", ".join(f"{rivet.diameter:g}" for rivet in rivets())
    raise OutOfDomain(
        f"No blind rivet is {diameter:g} mm thick. There are {sold} mm. Use one of these.",
        name="rivet",
    )


def rivet_for(thickest: float) -> Rivet:
    """Rivet three times as thick as the thickest sheet [mm], the next that is sold.

    Sheet past a third of the thickest rivet gets the thickest.
    """
    require_above_zero(thickest, "the sheet", name="sheet")
    wanted = _RIVET_PER_SHEET * thickest
    return next((r for r in rivets() if r.diameter >= wanted - _SAME), rivets()[-1])


def rivet_length(rivet: Rivet, grip: float) -> float:
    """Length of body that closes on a grip [mm]; of two that do, the shorter.

    Raises
    ------
    OutOfDomain
        Too thin or too thick for any length.

    References
    ----------
    ISO 15981:2002, Table 1.

    Examples
    --------
    >>> rivet_length(rivet_of(4.0), 6.0)
    10.0
    """
    require_above_zero(grip, "the grip", name="grip")
    ranges = _table()["grips"][f"{rivet.diameter:g}"]
    for length, least, most in ranges:
        if least <= grip <= most:
            return float(length)
    raise OutOfDomain(
        f"A {rivet.diameter:g} mm blind rivet grips {ranges[0][1]:g} to {ranges[-1][2]:g} mm, the "
        f"sheets are {grip:g} mm together. Take another diameter, or bolts.",
        name="grip",
    )


def bearing_load(rivet_d: float, sheet_thickness: float, tensile: float) -> float:
    """Pull along the sheet at which one rivet tilts and tears its hole out long [N].

    ::

        F = min(2.5 sqrt(t / d), 1.5) t d Rm

    Parameters
    ----------
    rivet_d, sheet_thickness : float
        d, and t of the thinner sheet [mm].
    tensile : float
        Rm of that sheet [MPa].

    References
    ----------
    EN 1999-1-4:2007, Table 8.1, without partial factor; value from memory, unchecked.
    """
    require_above_zero(rivet_d, "the rivet", name="rivet")
    require_above_zero(sheet_thickness, "the sheet", name="sheet")
    require_above_zero(tensile, "the sheet's strength", name="tensile", unit="MPa")
    share = min(_TILTING * math.sqrt(sheet_thickness / rivet_d), _BEARING)
    return share * sheet_thickness * rivet_d * tensile


@dataclass(frozen=True)
class RivetedRow:
    """A row of blind rivets along a seam: counts, lengths [mm], loads [N].

    `holds` is the least of what shears the rivets, tears their holes, and tears
    the sheet between them; there is no reserve in it. `ends` is from the last
    rivet's middle to the end of the row.
    """

    rivet: Rivet
    body_length: float
    count: int
    pitch: float
    ends: float
    edge: float
    rivets_shear: float
    holes_tear: float
    sheet_tears: float

    @property
    def holds(self) -> float:
        """Load along the sheet at which the weakest goes [N]."""
        return min(self.rivets_shear, self.holes_tear, self.sheet_tears)


def riveted_row(
    rivet: Rivet, thinner: float, grip: float, length: float, sheet: Matter, pitch: float = 0.0
) -> RivetedRow:
    """One row of rivets, evenly spaced over a length.

    Parameters
    ----------
    rivet : Rivet
    thinner, grip : float
        The thinner sheet, and all of them together [mm].
    length : float
        Of the seam [mm].
    sheet : Matter
    pitch : float
        Largest that is wanted [mm]; 0 for six diameters, the middle of the usual range.

    Raises
    ------
    OutOfDomain
        A pitch under three diameters, a seam too short for two rivets, or a
        sheet thicker than the grip.
    """
    rule = rivet_rule(rivet.diameter)
    require_above_zero(thinner, "the sheet", name="sheet")
    require_above_zero(length, "the seam", name="length")
    if not thinner < grip:
        raise OutOfDomain(
            f"Sheets {grip:g} mm thick together cannot hold one of {thinner:g} mm and another. "
            "Give the thickness of all of them.",
            name="grip",
        )
    wanted = pitch or (rule.usual_pitch + rule.largest_pitch) / 2.0
    require_between(wanted, rule.least_pitch, math.inf, "the pitch (three diameters)", name="pitch")
    room = length - 2.0 * rule.edge
    if room < rule.least_pitch:
        raise OutOfDomain(
            f"A seam of {length:g} mm has no room for two {rivet.diameter:g} mm rivets; "
            f"{2.0 * rule.edge + rule.least_pitch:g} has. Use thinner rivets, or one and glue.",
            name="length",
        )
    # no wider than wanted, but never under the least pitch
    gaps = min(math.ceil(room / wanted - _SAME), math.floor(room / rule.least_pitch + _SAME))
    count, even = gaps + 1, room / gaps
    net = length - count * rivet.hole
    return RivetedRow(
        rivet=rivet,
        body_length=rivet_length(rivet, grip),
        count=count,
        pitch=even,
        ends=rule.edge,
        edge=rule.edge,
        rivets_shear=count * rivet.shear,
        holes_tear=count * bearing_load(rivet.diameter, thinner, sheet.tensile.value),
        sheet_tears=net * thinner * sheet.tensile.value,
    )


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(files("foldwright.shop").joinpath("rivets.toml").read_text("utf-8"))
