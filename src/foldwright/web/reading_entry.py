"""Readings on a route sheet: what is asked for, what was typed, what came of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from starlette.datastructures import FormData

from foldwright.build_book import is_fine, to_read
from foldwright.draw.book_drawings import Figure
from foldwright.draw.book_names import called, measured_name
from foldwright.draw.book_records import ToMeasure
from foldwright.draw.route_screen import tool_on_screen
from foldwright.errors import DoubtfulReading, FoldwrightError
from foldwright.fit import (
    MeetForecast,
    handiest,
    how_far_off,
    is_in_danger,
    part_in_words,
    says,
    tightest,
)
from foldwright.ledger import TOOLS, Reading, doubt
from foldwright.make import Made, sentence_of_chance
from foldwright.plan import Bought, show_length
from foldwright.plan.dual import number
from foldwright.readings import Typed, with_unit
from foldwright.shape import Dim, dims_of
from foldwright.web.history import tool_of
from foldwright.web.live import State
from foldwright.web.part_state import eye_on, info_in, sheet_of

# Fields of the form, before the name of the dim.
_VALUE, _MEANT, _TOOL, _INSTEAD, _SURE = "value.", "meant.", "tool.", "instead.", "sure."
_MOST_FIELDS = 12
_LONGEST_NOTE = 300


@dataclass(frozen=True)
class Field:
    """One reading to type.

    Attributes
    ----------
    dim, name : str
        As the plan has it, and in words.
    how : str
        Where the tool goes.
    drawn : str
        As drawn, bare.
    example : str
        The same as one would type it.
    tools : tuple of str
        That can read it.
    tool : str
        That is chosen.
    picture : Figure or None
        Where the tool goes.
    before : str
        What was read of it already; empty if nothing.
    typed : str
        What was typed and is not kept yet.
    problem : str
        Why not.
    suggestion : str
        What was likely meant, with its unit; empty if nobody knows.
    instead : bool
        Whether it was to stand instead of the earlier readings.
    """

    dim: str
    name: str
    how: str
    drawn: str
    example: str
    tools: tuple[str, ...]
    tool: str
    picture: Figure | None
    before: str
    typed: str = ""
    problem: str = ""
    suggestion: str = ""
    instead: bool = False


@dataclass(frozen=True)
class Typing:
    """What was typed into a sheet and could not be kept as it is.

    Attributes
    ----------
    part : str
    readings : tuple of Typed
        All that were typed, in order.
    finished : bool
    note : str
    dim : str
        The one that is asked about; empty if it is none of them.
    fault : FoldwrightError
        Why nothing was kept.
    """

    part: str
    readings: tuple[Typed, ...]
    finished: bool
    note: str
    dim: str
    fault: FoldwrightError

    @property
    def is_doubt(self) -> bool:
        """Whether it is kept if the maker is sure."""
        return isinstance(self.fault, DoubtfulReading)


@dataclass(frozen=True)
class CameOut:
    """What came of readings just written down.

    Attributes
    ----------
    headings : tuple of str
        "2.6 large on the girth".
    readings : tuple of (str, str, str)
        Dim in the plan and in words, and the value with what was drawn.
    dangers : tuple of (str, str, str)
        Meets in danger that look at the part: what meets, what is expected and wanted, odds.
    others : tuple of str
        Meets in danger that do not look at it.
    odd : tuple of str
        Readings that do not agree, in words.
    """

    headings: tuple[str, ...]
    readings: tuple[tuple[str, str, str, str], ...]
    dangers: tuple[tuple[str, str, str], ...]
    others: tuple[str, ...]
    odd: tuple[str, ...] = ()


def fields_of(
    state: State, made: Made, part: str, asked: str, typing: Typing | None
) -> tuple[Field, ...]:
    """Fields to show on a sheet.

    Parameters
    ----------
    state : State
    made : Made
    part : str
    asked : str
        A dim that the maker wants to read, whatever tells most; empty for none. One that
        does not exist is not asked for.
    typing : Typing, optional
        Shows what was typed, and only the dims that it was typed for.
    """
    if isinstance(made.parts[part], Bought):
        return ()
    dims = dims_of(made.parts[part], finished=False)
    if typing is not None:
        names = [one.name.partition(".")[2] for one in typing.readings]
        found = [_field(state, made, part, dims[name]) for name in names if name in dims]
        by_name = {one.name.partition(".")[2]: one for one in typing.readings}
        return tuple(_as_typed(made, field, by_name[field.dim], typing) for field in found)
    if asked in dims:
        return (_field(state, made, part, dims[asked]),)
    wanted = state.once(f"to read {part}", lambda m: to_read(m, part))
    return tuple(_field(state, made, part, dims[one.dim.name]) for one in wanted)


def other_dims(state: State, made: Made, part: str) -> tuple[tuple[str, str, str], ...]:
    """All dims that can be measured: name in the plan, in words, as drawn."""
    if isinstance(made.parts[part], Bought):
        return ()
    record = made.parts[part]
    return tuple(
        (
            dim.name,
            measured_name(dim.name),
            show_length(number(dim.value), made.plan.units, is_fine(record, dim)),
        )
        for dim in dims_of(record, finished=False).values()
    )


def _field(state: State, made: Made, part: str, dim: Dim) -> Field:
    return state.once(f"field {part}.{dim.name}", lambda m: _drawn_field(state, m, part, dim))


def _drawn_field(state: State, made: Made, part: str, dim: Dim) -> Field:
    record, units = made.parts[part], made.plan.units
    fine = is_fine(record, dim)
    shown = show_length(number(dim.value), units, fine)
    row = ToMeasure(dim.name, number(dim.value), dim.how, dim.kind, is_fine=fine)
    sheet = sheet_of(state, part)
    earlier = [r for r in made.readings[part] if r.dim == dim.name]
    before = [show_length(r.value, units, r.is_fine) for r in earlier]
    return Field(
        dim=dim.name,
        name=measured_name(dim.name),
        how=dim.how,
        drawn=shown,
        example=shown.removesuffix(f" {units}"),
        tools=tuple(tool.name for tool in TOOLS.values() if dim.kind in tool.kinds),
        tool=handiest(dim).name,
        picture=tool_on_screen(sheet, row, eye_on(made), info_in(state)),
        before=", ".join(before),
    )


def _as_typed(made: Made, field: Field, one: Typed, typing: Typing) -> Field:
    field = replace(field, typed=one.typed, tool=one.tool or field.tool, instead=one.instead)
    if field.dim != typing.dim:
        return field
    meant = None
    if isinstance(typing.fault, DoubtfulReading):
        dim = dims_of(made.parts[typing.part], finished=typing.finished)[field.dim]
        meant = doubt(typing.fault.value, number(dim.value), dim.kind)
    return replace(
        field,
        problem=str(typing.fault),
        suggestion="" if meant is None else show_length(meant, made.plan.units),
    )


def typed_in(form: FormData, part: str, units: str) -> tuple[Typed, ...]:
    """Readings of one part as a form has them, in order; fields left empty are left out.

    Parameters
    ----------
    form : FormData
        ``value.DIM`` with ``tool.DIM``, ``instead.DIM`` and ``sure.DIM`` beside it;
        ``meant.DIM`` is what the maker meant instead.
    part : str
    units : str
        What a number without a unit is in.
    """
    found: list[Typed] = []
    for key, value in form.multi_items():
        dim = key.removeprefix(_VALUE)
        if dim == key or not str(value).strip() or len(found) >= _MOST_FIELDS:
            continue
        found.append(
            Typed(
                name=f"{part}.{dim}",
                typed=with_unit(str(form.get(_MEANT + dim, value)), units),
                tool=str(form.get(_TOOL + dim, "")) or None,
                sure="yes" in (form.get(_SURE + dim), form.get("sure")),
                instead=form.get(_INSTEAD + dim, "") == "yes",
            )
        )
    return tuple(found)


def note_in(form: FormData) -> str:
    """Note of a form, one line of it, not endlessly long."""
    return " ".join(str(form.get("note", "")).split())[:_LONGEST_NOTE]


def after_of(made: Made, part: str, after: str) -> CameOut | None:
    """What came of the readings that an address names by their lines; None if none stands."""
    lines = {
        int(line) for line in after.split(",")[:_MOST_FIELDS] if line.isascii() and line.isdigit()
    }
    found = [reading for reading in made.readings[part] if reading.id in lines]
    if not found:
        return None
    dangers = [f for f in made.forecasts if is_in_danger(f) and f.clearances]
    ours = [f for f in dangers if made.looks_at(f, part)]
    return CameOut(
        headings=tuple(_came_out(made, reading) for reading in found),
        readings=tuple(_row(made, reading) for reading in found),
        dangers=tuple(_danger(made, f) for f in ours),
        others=tuple(part_in_words(f.meet.name) for f in dangers if f not in ours),
        odd=made.at_odds(),
    )


def _came_out(made: Made, reading: Reading) -> str:
    """Say it in a few words: "2.6 mm large on the girth"."""
    said = f"{how_far_off(reading, made.plan.units)} on the {measured_name(reading.dim).lower()}"
    return said[:1].upper() + said[1:]


def _row(made: Made, reading: Reading) -> tuple[str, str, str, str]:
    fine, units = reading.is_fine, made.plan.units
    drawn = f"as drawn {show_length(reading.drawn, units, fine)}; by {tool_of(reading)}"
    value = show_length(reading.value, units, fine)
    return reading.dim, measured_name(reading.dim), value, drawn


def _danger(made: Made, found: MeetForecast) -> tuple[str, str, str]:
    i = tightest(found.clearances, found.sigmas)
    c, units = found.clearances[i], made.plan.units
    said = says(found.meet, called)
    wanted = " to ".join(show_length(end, units, c.is_fine) for end in (c.low, c.high))
    place = f" {c.across}" if c.across else ""
    clash = c.value < 0.0 <= c.low
    got = show_length(abs(c.value) if clash else c.value, units, c.is_fine)
    got += " too little" if clash else ""
    return (
        f"{said[:1].upper()}{said[1:]}",
        f"{c.what[:1].upper()}{c.what[1:]}{place}: {got} expected, {wanted} wanted.",
        sentence_of_chance(found.chance),
    )
