"""Reasons in words: why a refit changes what it changes.

Room: fit. A calm colleague: what came out, what it would do, what is wanted.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from foldwright.fit.clearance import Clearance
from foldwright.fit.meet_words import would_be
from foldwright.fit.names import dim_in_words, part_in_words
from foldwright.fit.shifts import Shift
from foldwright.ledger import Reading
from foldwright.plan import show_length, shown_difference

# Share of the range within which a clearance is called near its edge.
_NEAR = 0.15


def reasons(
    shift: Shift, readings: Mapping[str, Sequence[Reading]], units: str = "mm"
) -> tuple[str, ...]:
    """Sentences that say why a parameter changes.

    Parameters
    ----------
    shift : Shift
    readings : Mapping
        By part; those of made parts.
    units : str
        ``"mm"`` or ``"in"``.
    """
    said: dict[str, None] = {}
    for clearance in shift.forced_by:
        for part in clearance.meet.parts:
            for reading in readings.get(part, ()):
                said[came_out(reading, units)] = None
    for clearance in shift.forced_by:
        if not clearance.low <= clearance.value <= clearance.high:
            said[f"{meet_would_be(clearance, units)} {wanted(clearance, units)}"] = None
    if not any(not c.low <= c.value <= c.high for c in shift.forced_by):
        for clearance in shift.forced_by:
            said[
                f"{meet_would_be(clearance, units)} {_short_of_room(clearance)} "
                f"{_range(clearance, units)}."
            ] = None
    drift = shift.after - shift.parameter.value
    if abs(drift) > shift.parameter.give:
        said[
            f"This drifts {show_length(abs(drift), units)} from the drawing, more than its give "
            f"of {show_length(shift.parameter.give, units)}: it may show."
        ] = None
    return tuple(said)


def how_far_off(reading: Reading, units: str) -> str:
    """Return "2.6 mm large", or "as drawn"."""
    fine = reading.is_fine
    off = shown_difference(reading.value, reading.drawn, units, fine)
    if abs(off) < (0.005 if fine else 0.05):  # what the last figure shown cannot tell
        return "as drawn"
    return f"{show_length(abs(off), units, fine)} {'large' if off > 0.0 else 'small'}"


def came_out(reading: Reading, units: str) -> str:
    """Return "lamp came out 2.6 large on the girth: 694.1 by tape, 691.5 as drawn."."""
    fine = reading.is_fine
    tool = reading.tool
    if tool == "tape" and reading.dim == "girth":
        tool = "tape, its thickness taken off"
    return (
        f"{part_in_words(reading.part)} came out {how_far_off(reading, units)} "
        f"on the {dim_in_words(reading.dim)}: "
        f"{show_length(reading.value, units, fine)} by {tool}, "
        f"{show_length(reading.drawn, units, fine)} as drawn."
    )


def meet_would_be(clearance: Clearance, units: str) -> str:
    """What the meet would be like, its parts by the names that one says."""
    return _parts_in_words(would_be(clearance, units), clearance.meet.parts)


def _parts_in_words(sentence: str, parts: Sequence[str]) -> str:
    """A sentence with the names of these parts as one says them; the longest names first."""
    for part in sorted(parts, key=len, reverse=True):
        sentence = re.sub(rf"\b{re.escape(part)}\b", part_in_words(part), sentence)
    return sentence


def _short_of_room(clearance: Clearance) -> str:
    """How near an end of its range a clearance lies, before the range is said."""
    room = min(clearance.value - clearance.low, clearance.high - clearance.value)
    if room < _NEAR * (clearance.high - clearance.low):
        return "That is near the edge of what is wanted,"
    return "That leaves the hand less room than it needs within what is wanted,"


def wanted(clearance: Clearance, units: str) -> str:
    """Return "0.20 to 0.80 is wanted."."""
    return f"{_range(clearance, units)} is wanted."


def _range(clearance: Clearance, units: str) -> str:
    ends = (clearance.low, clearance.high)
    low, high = (show_length(end, units, clearance.is_fine) for end in ends)
    return f"{low} to {high}"
