"""Taking a reading: from what the maker typed to an entry of the ledger.

Checks that the part and the dim exist, corrects for the tool, and asks back
when the number looks like a slip.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from foldwright.errors import DoubtfulReading, OutOfDomain
from foldwright.fit import belief
from foldwright.ledger import Ledger, Reading, corrected, question, tool_named, usual_tool
from foldwright.make import Made, part_named
from foldwright.plan import AnyPart, Dual, Number, parse_length, show_length
from foldwright.plan.dual import number, slopes
from foldwright.shape import dim_named, dims_of

# A reading this many sigma from what the others say is asked about, but never
# for less than half a millimetre, which two honest readings may differ by.
_AT_ODDS, _LEAST_ODDS = 4.0, 0.5


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
    part_name, _, dim_name = name.partition(".")
    part = part_named(made, part_name)
    if not dim_name:
        first = next(iter(dims_of(part, finished=finished)), "length")
        raise OutOfDomain(
            f"{name} says which part was measured, not what of it. Write both, like "
            f"{part.name}.{first}.",
            name="dim",
        )
    dim = dim_named(part, dim_name, finished=finished)
    drawn = number(dim.value)
    instrument = tool_named(tool) if tool else usual_tool(dim.kind)
    value = parse_length(typed)
    if not value > 0.0:
        raise OutOfDomain(
            f"{typed} is not a length above 0. Type it like {drawn:.1f}.", name="value"
        )
    if not sure:  # asked about the number that was typed, before anything is taken off it
        units = made.plan.units
        question(name, value, drawn, dim.kind, lambda mm: show_length(mm, units))
    value = corrected(value, dim.kind, instrument)
    earlier = [r for r in made.readings[part.name] if not (instead and r.dim == dim_name)]
    if not sure:
        _require_agreement(made, part, earlier, name, value, instrument.sigma, finished)
    if instead:  # what was read under the part's own name, the new reading does over itself
        for old in made.readings[part.name]:
            if old.dim == dim_name and old.part != part.name:
                ledger.withdraw(old.id, "measured again")
    return ledger.add_reading(
        part=part.name,
        dim=dim_name,
        value=value,
        tool=instrument.name,
        bare=not finished,
        note=note,
        revision=made.revision_of(part.name),
        drawn=drawn,
        sigma=instrument.sigma,
        instead=instead,
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
            f"{name} read as {show_length(value, units)} does not agree with what was read before, "
            f"which makes it {show_length(number(expected), units)}. Measure once more; "
            "--instead withdraws the earlier readings of this dim.",
            value=value,
            suggestion=number(expected),
        )
