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

    Returns
    -------
    dict of str to Belief
        By part. A piece of which nothing that all have alike was read has the mean of the
        others there, and is not made for that.
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
    agreeing, odd = dict(pieces), list[Reading]()
    while any(_sees_stock(one) for one in agreeing.values()) and len(agreeing) > 1:
        adjusted, seen = _adjusted(agreeing)
        looks = [reading for one in agreeing.values() for reading in one.looks]
        now = [one.reading for one in at_odds(looks, adjusted.standardised, seen)]
        if not now:
            break
        odd += now
        agreeing = {name: one for name, one in agreeing.items() if not _is_among(one.looks, now)}
    named = {
        name: replace(alone[name], at_odds=_named(stock, name, pieces, agreeing, odd))
        for name, one in pieces.items()
        if name not in agreeing
    }
    if len(agreeing) < 2 or not any(_sees_stock(one) for one in agreeing.values()):
        return named
    return named | _each(stock, agreeing, alone, adjusted)


def _is_among(looks: Sequence[Reading], those: Sequence[Reading]) -> bool:
    return any(reading is other for reading in looks for other in those)


def _sees_stock(one: Looked) -> bool:
    """Whether a reading looks at what all pieces of a stock have alike."""
    if not one.looks:
        return False
    _, matrix, _ = one.seen(one.start)
    alike = [bool(cause.set_up) for cause in one.causes.causes]
    return bool(np.abs(matrix @ one.causes.matrix[:, alike]).max(initial=0.0) > 0.0)


def _adjusted(pieces: Mapping[str, Looked]) -> tuple[Adjusted, Vector]:
    looked = tuple(pieces.values())
    return adjusted_together(looked, whole_root([one.causes for one in looked]).root.toarray())


def _split(pieces: Mapping[str, Looked], rows: Vector) -> dict[str, Vector]:
    """Rows of each piece, of those of all."""
    ends = np.cumsum([len(one.start) for one in pieces.values()])[:-1]
    return dict(zip(pieces, np.split(rows, ends), strict=True))


def _named(
    stock: str,
    name: str,
    pieces: Mapping[str, Looked],
    agreeing: Mapping[str, Looked],
    odd: Sequence[Reading],
) -> tuple[AtOdds, ...]:
    """Readings of a piece that are at odds, against those that agree, or else all others."""
    one = pieces[name]
    rest = agreeing if any(other.looks for other in agreeing.values()) else pieces
    others = {**rest, name: replace(one, looks=())}
    expected, *_ = one.seen(_split(others, _adjusted(others)[0].x)[name])
    found = [
        AtOdds(reading, float(value), abs(reading.value - float(value)) / reading.sigma, stock)
        for reading, value in zip(one.looks, expected, strict=True)
        if _is_among((reading,), odd)
    ]
    return tuple(sorted(found, key=lambda at: -at.times))


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
            tells=_sees_stock(one),
        )
        for name, one in pieces.items()
    }
