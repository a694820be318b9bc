"""Ribs that follow their shells: what a refit draws anew when a shell came out otherwise.

Room: fit. A rib has no other neighbour to be reconciled with, so nothing has to be
weighed up: it is drawn for the shell as measured, with its own gap. One that
suits within a tenth is left alone.

The maker is told how wide and high the rib is to be cut. What is kept beside it
in the ledger is the shell that it is drawn for, size by size, so that the rib
stays as it was cut when the shell is measured again.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.errors import CannotMake
from foldwright.fit.beliefs import Belief, seen_by
from foldwright.fit.clearance import Clearance
from foldwright.fit.names import part_in_words
from foldwright.fit.shifts import Shift
from foldwright.fit.words import came_out, meet_would_be, wanted
from foldwright.ledger import Change, Reading
from foldwright.plan import AnyPart, Box, Parameter, Rib
from foldwright.plan.dual import number
from foldwright.plan.sizes import usual_give, usual_trust
from foldwright.shape import dims_of, drawn_for, rib_disc, rib_outline, way_in_hand

# A rib whose edge lies within this of where its shell would have it is left alone [mm].
_SUITS = 0.1
# A change of a told length that no hand can cut [mm].
_TOLD = 0.05
_NOTHING = 1e-6  # mm
# A slope below this tells nothing.
_SEEN = 1e-9
# Which sizes of its shell a rib hangs on is tried with so much [mm].
_NUDGE = 0.1
_WAYS = ("width", "height")
# Sides of a rib in a box, and how their lengths are told.
_ENDS = {
    "bottom": "cut width at the bottom",
    "top": "cut width at the top",
    "left": "cut height at the left",
    "right": "cut height at the right",
}
# Stands between shell and name where the ledger keeps of a shell; no size has it in its name.
_OF_SHELL = "/"


@dataclass(frozen=True)
class Followed:
    """A rib drawn anew for its shell as measured.

    Attributes
    ----------
    before, after : Rib
        As intended so far, and now.
    shifts : tuple of Shift
        What is told: lengths of its blank, one or more.
    bearing : tuple of Reading
        Readings of its shell that see what the rib hangs on.
    """

    before: Rib
    after: Rib
    shifts: tuple[Shift, ...]
    bearing: tuple[Reading, ...]

    def of_shell(self) -> tuple[Change, ...]:
        """What the ledger keeps of the shell that the rib is drawn for."""
        old, new = _of_shell(self.before), _of_shell(self.after)
        return tuple(
            Change(self.after.name, kept_name(self.after.of.name, name), was, now, was)
            for name in dict.fromkeys((*old, *new))
            if abs((now := new.get(name, 0.0)) - (was := old.get(name, 0.0))) > _NOTHING
        )

    def why(self, clearances: tuple[Clearance, ...], units: str) -> tuple[str, ...]:
        """Say why the rib is drawn anew.

        Parameters
        ----------
        clearances : tuple of Clearance
            Of the rib in its shell, with the rib as intended so far.
        units : str
        """
        said = [came_out(reading, units) for reading in self.bearing]
        worst = max(clearances, key=lambda c: max(c.low - c.value, c.value - c.high), default=None)
        if worst is not None and not worst.low <= worst.value <= worst.high:
            said.append(f"{meet_would_be(worst, units)} {wanted(worst, units)}")
        of, how = part_in_words(self.after.of.name), "measured" if self.bearing else "intended now"
        said.append(f"It is drawn for the {of} as {how}.")
        return tuple(dict.fromkeys(said))


def kept_name(shell: str, name: str) -> str:
    """Name in the ledger of a parameter or stray of the shell that a rib is drawn for."""
    return f"{shell}{_OF_SHELL}{name}"


def is_of_shell(name: str) -> bool:
    """Whether a change in the ledger tells of a rib's shell, not of the rib."""
    return _OF_SHELL in name


def as_kept(rib: Rib, shell: AnyPart, kept: Mapping[str, Change]) -> Rib:
    """Return a rib drawn for its shell as intended, or as it was when a refit was kept.

    Parameters
    ----------
    rib : Rib
    shell : AnyPart
        As intended now.
    kept : Mapping of str to Change
        Latest kept change of the rib, by name in the ledger.
    """
    names = {shell.name, shell.was}
    values = {
        name: change.after
        for key, change in kept.items()
        for of, mark, name in [key.partition(_OF_SHELL)]
        if mark and of in names
    }
    return drawn_for(rib, shell, values)


def followed(
    rib: Rib, drawn: Rib, shell: AnyPart, known: Belief, readings: Sequence[Reading]
) -> Followed | None:
    """Return the rib drawn anew, or None if it suits.

    Parameters
    ----------
    rib : Rib
        As intended so far.
    drawn : Rib
        As the plan draws it.
    shell : AnyPart
        Its shell as intended.
    known : Belief
        Of the shell.
    readings : sequence of Reading
        Of the shell; what none of them sees is taken as intended.

    Raises
    ------
    CannotMake
        No rib can be drawn for the shell as measured.
    """
    seen = _seen(shell, known, readings)
    read = {
        name: mean * way_in_hand(rib, shell, name)
        for name, mean in known.mean.items()
        if any(name in names for _, names in seen)
    }
    after = drawn_for(rib, shell, read)
    if _apart(rib, after) <= _SUITS:
        return None
    shifts = tuple(_shifts(drawn, rib, after))
    if not shifts:
        return None
    hangs_on = {name for name in read if _hangs_on(after, shell, read, name)}
    bearing = tuple(reading for reading, names in seen if hangs_on & names)
    return Followed(rib, after, shifts, bearing)


def _seen(
    shell: AnyPart, known: Belief, readings: Sequence[Reading]
) -> list[tuple[Reading, set[str]]]:
    """Readings of a shell, each with the parameters and strays that it sees."""
    names, mean = tuple(known.mean), np.array(tuple(known.mean.values()))
    dims = dims_of(shell, finished=False)
    used = [reading for reading in readings if reading.dim in dims]
    _, matrix = seen_by(shell, names, mean, [(r.dim, r.bare) for r in used])
    return [
        (reading, {name for name, slope in zip(names, row, strict=True) if abs(slope) > _SEEN})
        for reading, row in zip(used, matrix, strict=True)
    ]


def _hangs_on(rib: Rib, shell: AnyPart, read: Mapping[str, float], name: str) -> bool:
    """Whether a millimetre of one size of its shell moves a rib by what a hand can cut."""
    try:
        nudged = drawn_for(rib, shell, {**read, name: read[name] + _NUDGE})
        return _apart(rib, nudged) > _TOLD * _NUDGE
    except CannotMake:  # a little more, and there is no rib
        return True


def _of_shell(rib: Rib) -> dict[str, float]:
    return {p.name: p.value for p in rib.of.parameters} | dict(rib.shell_strays)


def _apart(one: Rib, other: Rib) -> float:
    """How far the edges of two ribs are apart at most [mm]."""
    first, second = _edges(one), _edges(other)
    if len(first) != len(second):  # a facet came or went
        return float("inf")
    return max(math.dist(a, b) for a, b in zip(first, second, strict=True))


def _edges(rib: Rib) -> list[tuple[float, float]]:
    """A point of a round rib, or the corners of another, about the middle over all [mm]."""
    across = rib_disc(rib, rib.values(), finished=False)
    if across is not None:
        return [(number(across) / 2.0, 0.0)]
    corners = _corners(rib)
    x, y = ((min(along) + max(along)) / 2.0 for along in zip(*corners, strict=True))
    return [(a - x, b - y) for a, b in corners]


def _corners(rib: Rib) -> list[tuple[float, float]]:
    outline = rib_outline(rib, rib.values(), finished=False, clipped=False)
    assert outline is not None, "a rib is a disc or has an outline"
    return outline.plain()


def _shifts(drawn: Rib, before: Rib, after: Rib) -> Iterator[Shift]:
    """Lengths of the blank that change, as a maker is told them."""
    for lengths in (_over_all, _by_side):
        plan, old, new = (lengths(rib) for rib in (drawn, before, after))
        if isinstance(after.of, Box) and not plan.keys() == old.keys() == new.keys():
            plan, old, new = (_end_by_end(rib) for rib in (drawn, before, after))
        both = [name for name in new if name in old]  # a small facet may have come or gone
        changed = [name for name in both if abs(new[name] - old[name]) > _TOLD]
        for name in changed:
            value = plan.get(name, old[name])
            give = usual_give(value)
            size = Parameter(name, value, give, usual_trust(give))
            yield Shift(after.name, size, old[name], new[name], ())
        if changed:
            return


def _over_all(rib: Rib) -> dict[str, float]:
    """How wide and high a rib is cut, at either end if it is wider or higher there."""
    across = rib_disc(rib, rib.values(), finished=False)
    if across is not None:
        return {"cut diameter": number(across)}
    if isinstance(rib.of, Box):
        ends = _end_by_end(rib)
        wide, high = (tuple(v for k, v in ends.items() if k.startswith(f"cut {w}")) for w in _WAYS)
        if max(abs(wide[1] - wide[0]), abs(high[1] - high[0])) > _TOLD:
            return ends
    xs, ys = zip(*_corners(rib), strict=True)
    return {"cut width": max(xs) - min(xs), "cut height": max(ys) - min(ys)}


def _end_by_end(rib: Rib) -> dict[str, float]:
    """Lengths of the four sides of a rib in a box."""
    sides = _by_side(rib)
    return {said: sides[f"cut length at {side}"] for side, said in _ENDS.items()}


def _by_side(rib: Rib) -> dict[str, float]:
    """Length of each side of a rib that is not round, before its corners are clipped."""
    outline = rib_outline(rib, rib.values(), finished=False, clipped=False)
    if outline is None:
        return {}
    return {
        f"cut length at {name}": number(outline.chord(i)) for i, name in enumerate(outline.names)
    }
