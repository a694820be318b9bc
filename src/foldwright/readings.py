"""Taking a reading: from what the maker typed to an entry of the ledger.

Checks that the part and the dim exist, corrects for the tool, and asks back
when the number looks like a slip.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.errors import DoubtfulReading, OutOfDomain
from foldwright.fit import belief, dim_of_part
from foldwright.ledger import Ledger, Reading, Tool, corrected, question, tool_named, usual_tool
from foldwright.make import Made, part_named
from foldwright.plan import AnyPart, Dual, Number, parse_length, show_length
from foldwright.plan.dual import number, slopes
from foldwright.shape import dim_named, dims_of

# A reading this many sigma from what the others say is asked about, but never
# for less than half a millimetre, which two honest readings may differ by.
_AT_ODDS, _LEAST_ODDS = 4.0, 0.5
# No reading has more letters, and none is larger: 100 m [mm].
_LONGEST, _LARGEST = 40, 1e5


def take(
    made: Made,
    ledger: Ledger,
    name: str,
    typed: str,
    tool: str | None,
    finished: bool,
    note: str,
    sure: bool,
    instead: bool = False,
) -> Reading:
    """Keep one reading.

    Parameters
    ----------
    made : Made
        The build as it stands; gives the dim as drawn.
    ledger : Ledger
    name : str
        ``part.dim``.
    typed : str
        The number as typed, any unit of length.
    tool : str
        ``rule``, ``tape`` or ``caliper``; None for the usual one of such a dim.
    finished : bool
        Measured with the finish on.
    note : str
    sure : bool
        Keep it although it looks like a slip.
    instead : bool
        It stands in place of the earlier readings of this dim, which stay in
        the history.

    Raises
    ------
    UnknownName
        No such part, dim or tool; offers the nearest.
    DoubtfulReading
        A slip by a factor of ten, inches for mm, far off, or at odds with
        what was read before; not kept.
    OutOfDomain
        Not a length above 0, or no dim named.
    """
    (reading,) = take_all(
        made, ledger, [Typed(name, typed, tool, sure, instead)], finished=finished, note=note
    )
    return reading


@dataclass(frozen=True)
class Typed:
    """One reading as the maker typed it; fields as in `take`."""

    name: str
    typed: str
    tool: str | None = None
    sure: bool = False
    instead: bool = False


def take_all(
    made: Made, ledger: Ledger, typed: Sequence[Typed], *, finished: bool, note: str = ""
) -> tuple[Reading, ...]:
    """Keep several readings of parts that lie on the bench: all of them, or none.

    Parameters
    ----------
    made, ledger, finished, note
        As in `take`.
    typed : sequence of Typed

    Raises
    ------
    UnknownName, DoubtfulReading, OutOfDomain
        As `take`, of the first that is refused; nothing is kept then.
    """
    weighed = [_weigh(made, one, finished) for one in typed]
    return tuple(_keep(made, ledger, one, not finished, note) for one in weighed)


def check(made: Made, one: Typed, *, finished: bool) -> None:
    """Refuse a reading that would not be kept, as `take` does; nothing is kept."""
    _weigh(made, one, finished)


def with_unit(typed: str, units: str) -> str:
    """Typed number with the unit that the plan is in, where it was typed without one.

    Parameters
    ----------
    typed : str
        A comma may stand for the point, as in ``691,2``.
    units : str
        ``"mm"`` or ``"in"``.

    Examples
    --------
    >>> with_unit(" 691,2 ", "mm"), with_unit("8 1/2", "in"), with_unit("216 mm", "in")
    ('691.2 mm', '8 1/2 in', '216 mm')
    """
    text = typed.strip()
    if text.count(",") == 1 and "." not in text:
        text = text.replace(",", ".")
    return f"{text} {units}" if re.fullmatch(r"[-+\d./ ]+", text, re.ASCII) else text


@dataclass(frozen=True)
class _Weighed:
    """A reading that may be kept."""

    part: AnyPart
    dim: str
    value: float
    tool: Tool
    drawn: float
    instead: bool


def _weigh(made: Made, one: Typed, finished: bool) -> _Weighed:
    """Check a reading and correct it for its tool; nothing is kept yet."""
    part_name, _, dim_name = one.name.partition(".")
    part = part_named(made, part_name)
    if not dim_name:
        first = next(iter(dims_of(part, finished=finished)), "length")
        raise OutOfDomain(
            f"{one.name} says which part was measured, not what of it. Write both, like "
            f"{part.name}.{first}.",
            name="dim",
        )
    dim = dim_named(part, dim_name, finished=finished)
    drawn = number(dim.value)
    instrument = tool_named(one.tool) if one.tool else usual_tool(dim.kind)
    if len(one.typed) > _LONGEST:
        raise OutOfDomain(
            f'"{one.typed[:20]}…" is too long for a length. Type it like {drawn:.1f}.', name="value"
        )
    value = parse_length(one.typed)
    if value > _LARGEST:
        raise OutOfDomain(
            f"{one.typed} is longer than any part can be. Type it like {drawn:.1f}.", name="value"
        )
    if not value > 0.0:
        raise OutOfDomain(
            f"{one.typed} is not a length above 0. Type it like {drawn:.1f}.", name="value"
        )
    if not one.sure:  # asked about the number that was typed, before anything is taken off it
        units = made.plan.units
        said = f"The {dim_of_part(part.name, dim_name)}"
        question(said, value, drawn, dim.kind, lambda mm: show_length(mm, units))
    value = corrected(value, dim.kind, instrument)
    earlier = [r for r in made.readings[part.name] if not (one.instead and r.dim == dim_name)]
    if not one.sure:
        _require_agreement(made, part, earlier, one.name, value, instrument.sigma, finished)
    return _Weighed(part, dim_name, value, instrument, drawn, one.instead)


def _keep(made: Made, ledger: Ledger, one: _Weighed, bare: bool, note: str) -> Reading:
    was = made.plan.parts[one.part.name].was
    if one.instead and was:  # what was read under its own name, the new reading does over itself
        for old in made.all_readings:
            if (old.part, old.dim) == (was, one.dim):
                ledger.withdraw(old.id, "measured again")
    return ledger.add_reading(
        part=one.part.name,
        dim=one.dim,
        value=one.value,
        tool=one.tool.name,
        bare=bare,
        note=note,
        revision=made.revision_of(one.part.name),
        drawn=one.drawn,
        sigma=one.tool.sigma,
        instead=one.instead,
    )


def _require_agreement(
    made: Made,
    part: AnyPart,
    earlier: Sequence[Reading],
    name: str,
    value: float,
    sigma: float,
    finished: bool,
) -> None:
    """Ask back when a reading is at odds with the earlier readings of its part."""
    if not earlier:
        return
    board = made.boards.get(part.stock)
    known = belief(part, earlier, board)
    seeds: dict[str, Number] = {p: Dual.seed(p, x) for p, x in known.mean.items()}
    dim_name = name.partition(".")[2]
    expected = dims_of(part, seeds, finished=finished)[dim_name].value
    row = np.array([slopes(expected).get(p, 0.0) for p in known.mean])
    variance = float(row @ known.covariance @ row)
    is_read = any(r.dim == dim_name for r in earlier)
    if not is_read and variance > 0.5 * float(row @ belief(part, (), board).covariance @ row):
        return  # the earlier readings do not look at this dim
    spread = math.sqrt(variance + sigma**2)
    off = abs(value - number(expected))
    if off > max(_AT_ODDS * spread, _LEAST_ODDS):
        units = made.plan.units
        raise DoubtfulReading(
            f"The {dim_of_part(part.name, dim_name)}, read as {show_length(value, units)}, does "
            f"not agree with what was read before, which makes it "
            f"{show_length(number(expected), units)}. Measure once more; "
            "if it is so, let it stand instead of the earlier readings of this dim.",
            value=value,
            suggestion=number(expected),
        )
