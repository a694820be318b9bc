"""Taking a reading: from what the maker typed to an entry of the ledger.

Checks that the part and the dim exist, corrects for the tool, and asks back
when the number looks like a slip.
"""

from __future__ import annotations

from foldwright.errors import OutOfDomain
from foldwright.ledger import Ledger, Reading, corrected, question, tool_named, usual_tool
from foldwright.make import Made, part_named
from foldwright.plan import parse_length, show_length
from foldwright.plan.dual import number
from foldwright.shape import dim_named


def take(
    made: Made,
    ledger: Ledger,
    name: str,
    typed: str,
    tool: str | None,
    finished: bool,
    note: str,
    sure: bool,
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

    Raises
    ------
    UnknownName
        No such part, dim or tool; offers the nearest.
    DoubtfulReading
        A slip by a factor of ten, inches for mm, or far off; not kept.
    OutOfDomain
        Not a length above 0.
    """
    part_name, _, dim_name = name.partition(".")
    part = part_named(made, part_name)
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
    )
