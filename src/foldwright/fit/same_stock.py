"""Same stock: what is read of one piece of tube tells of all others of that stock.

Room: fit. Tube comes with a bore and an outside of its own, and every piece that is
cut from it has the same. So the pieces of a stock are adjusted together: four
readings of one bore are one estimate, twice as sure as each, and a leg that nobody
has measured yet is expected as the measured ones are. A piece that does not agree
with the others was misread, or comes of another length: it is named, and stands by
its own readings alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from foldwright.fit.beliefs import (
    AtOdds,
    Belief,
    Looked,
    adjusted_together,
    at_odds,
    belief,
    looked_at,
    root_of,
)
from foldwright.fit.causes import whole_root
from foldwright.fit.effects import USUAL, Practice
from foldwright.fit.least_squares import Adjusted
from foldwright.ledger import Reading
from foldwright.plan import AnyPart, Tube
from foldwright.shape import Vector
from foldwright.shop import Board

# How far a part's parameters come out above what is intended by the maker's habits [mm].
type Off = Mapping[str, float]


def beliefs_of(
    parts: Mapping[str, AnyPart],
    readings: Mapping[str, Sequence[Reading]],
    boards: Mapping[str, Board],
    offs: Mapping[str, Off],
    practice: Practice = USUAL,
) -> dict[str, Belief]:
    """What is known of every part of a build, pieces of one stock together.

    Parameters
    ----------
    parts : Mapping of str to AnyPart
    readings : Mapping of str to sequence of Reading
        By part; none means that it is not made.
    boards : Mapping of str to Board
        By stock.
    offs : Mapping of str to Mapping
        By part, as in `belief`.
    practice : Practice
    """

    def asked(name: str) -> tuple[AnyPart, Sequence[Reading], Board | None, Practice, Off]:
        part = parts[name]
        return part, readings[name], boards.get(part.stock), practice, offs[name]

    found = {name: belief(*asked(name)) for name in parts}
    stocks: dict[str, list[str]] = {}
    for name, part in parts.items():
        if isinstance(part, Tube) and not found[name].at_odds:
            stocks.setdefault(part.stock, []).append(name)
    for stock, names in stocks.items():
        found |= _together(stock, {name: looked_at(*asked(name)) for name in names}, found)
    return found


def _together(
    stock: str, pieces: dict[str, Looked], alone: Mapping[str, Belief]
) -> dict[str, Belief]:
    """Beliefs of the pieces of a stock that are otherwise than each alone has it."""
    found: dict[str, Belief] = {}
    while len(pieces) > 1 and any(one.looks for one in pieces.values()):
        adjusted, seen = _adjusted(pieces)
        looks = [reading for one in pieces.values() for reading in one.looks]
        odd = [one.reading for one in at_odds(looks, adjusted.standardised, seen)]
        if not odd:
            return found | _each(stock, pieces, alone, adjusted)
        strangers = {
            name: one
            for name, one in pieces.items()
            if any(reading is other for reading in one.looks for other in odd)
        }
        for name, one in strangers.items():
            others, _ = _adjusted(pieces | {name: replace(one, looks=())})
            expected, *_ = one.seen(_split(pieces, others.x)[name])
            found[name] = replace(alone[name], at_odds=_named(one, odd, expected, stock))
        pieces = {name: one for name, one in pieces.items() if name not in strangers}
    return found


def _adjusted(pieces: Mapping[str, Looked]) -> tuple[Adjusted, Vector]:
    looked = tuple(pieces.values())
    return adjusted_together(looked, whole_root([one.causes for one in looked]).root.toarray())


def _split(pieces: Mapping[str, Looked], rows: Vector) -> dict[str, Vector]:
    """Rows of each piece, of those of all."""
    ends = np.cumsum([len(one.start) for one in pieces.values()])[:-1]
    return dict(zip(pieces, np.split(rows, ends), strict=True))


def _named(one: Looked, odd: Sequence[Reading], expected: Vector, stock: str) -> tuple[AtOdds, ...]:
    """Readings of a piece that are at odds, against what the other pieces make of it."""
    return tuple(
        AtOdds(reading, float(value), abs(reading.value - float(value)) / reading.sigma, stock)
        for reading, value in zip(one.looks, expected, strict=True)
        if any(reading is other for other in odd)
    )


def _each(
    stock: str, pieces: Mapping[str, Looked], alone: Mapping[str, Belief], adjusted: Adjusted
) -> dict[str, Belief]:
    """What all that was read says of each piece; their roots have the same columns."""
    values = _split(pieces, adjusted.x)
    roots = _split(pieces, root_of(adjusted.covariance))
    return {
        name: replace(
            alone[name],
            mean=one.known(values[name]),
            root=roots[name],
            redundancy=adjusted.redundancy,
            chi_square=adjusted.chi_square,
            told_by=stock,
        )
        for name, one in pieces.items()
    }
