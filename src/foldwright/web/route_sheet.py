"""A route sheet: the page that goes with a part through the shop.

What it says is what the build book says, from the same functions; what it adds is
how the part stands now, where to type a reading, and what came of the last one.
"""

from __future__ import annotations

import re
import threading
from collections import Counter, OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route as Address

from foldwright.build_book import spelled
from foldwright.draw import SheetInfo
from foldwright.draw.blank import blank_of
from foldwright.draw.book_drawings import Figure
from foldwright.draw.book_names import called, chance, expected, span, title
from foldwright.draw.book_records import Neighbour
from foldwright.draw.book_records import Route as Sheet
from foldwright.draw.book_routes import fold_table, opening, to_measure
from foldwright.draw.book_steps import Step, steps_of
from foldwright.draw.drawing import Paper
from foldwright.draw.info import listed
from foldwright.draw.route_screen import (
    SetUpTold,
    blank_on_paper,
    blank_on_screen,
    gap_scale,
    lettered_on_screen,
    part_on_screen,
    set_ups_on_screen,
)
from foldwright.draw.wording import counted
from foldwright.errors import UnknownName
from foldwright.fit import is_in_danger, others
from foldwright.flat import Pattern
from foldwright.ledger import STAGES
from foldwright.make import Made
from foldwright.plan import Bought
from foldwright.progress import stages_left
from foldwright.web.history import Past, past_of
from foldwright.web.live import State
from foldwright.web.pages import live_of, made_of, page
from foldwright.web.part_state import eye_on, info_in, sheet_of
from foldwright.web.print_room import Room, height_of_words, room_for_blank
from foldwright.web.reading_entry import Typing, after_of, fields_of, other_dims
from foldwright.web.stands import stands_now

# How long a sheet waits for forecasts [s].
_PATIENCE = 30.0
# Blanks are drawn whole for so many pieces; of more, those that are alike are named in words.
_MOST_BLANKS = 8
_MOST_PATTERNS = 400
# A drawing beside what is filled in on a printed sheet, and the lowest of several [mm].
_PAPER_WIDE, _LEAST_BLANK = 122.0, 34.0
# A section on it [mm], and letters to the line beside one.
_SECTION, _BESIDE_SECTION = 40.0, 34.0


@dataclass(frozen=True)
class Suits:
    """A neighbour as the sheet says it.

    Attributes
    ----------
    does : str
        "Slides into the lamp".
    addresses : tuple of (str, str)
        Name and address of each of the other parts.
    chance, gap : str
    scale : Figure
    in_danger : bool
    """

    does: str
    addresses: tuple[tuple[str, str], ...]
    chance: str
    gap: str
    scale: Figure
    in_danger: bool


@dataclass(frozen=True)
class Flat:
    """What is drawn of a part's blanks, worked out once for each pattern.

    On paper a blank is drawn anew, for the room that the words leave to it.
    """

    blanks: tuple[tuple[Figure, Figure], ...]
    set_ups: tuple[SetUpTold, ...]
    folds: tuple[dict[str, Any], ...]


@dataclass(frozen=True)
class Drawings:
    """What is drawn of a part, worked out once for each state of the build."""

    picture: Figure
    on_paper: Figure
    letters: Figure | None
    flat: Flat
    how: str  # how full the printed sheet is, as `Room` has it


_FLAT: OrderedDict[tuple[object, ...], tuple[Pattern, Flat]] = OrderedDict()
_LOCK = threading.Lock()


@dataclass(frozen=True)
class Told:
    """What a sheet says in words, worked out once for each state of the build."""

    sheet: Sheet
    title: str
    stands: str
    sentences: tuple[str, ...]
    suits: tuple[Suits, ...]
    to_fill: tuple[tuple[str, ...], ...]
    steps: tuple[Step, ...]
    position: str
    before: str
    after: str


def in_the_order(state: State) -> tuple[str, ...]:
    """All parts in making order: those made first, then wave by wave."""
    return state.once("making order", _in_the_order)


def _in_the_order(made: Made) -> tuple[str, ...]:
    waves = [part for wave in made.assembly.waves for part in wave]
    done = [part for part in made.parts if part not in waves]
    return (*done, *waves)


def name_in(made: Made, name: str) -> str:
    """Name of a part as the plan has it.

    Raises
    ------
    UnknownName
        With the nearest names.
    """
    if name not in made.parts:
        raise UnknownName("part", name[:80], made.parts)
    return name


def route_sheet(request: Request) -> Response:
    """Show the route sheet of one part."""
    made_of(request)
    state = live_of(request).refresh()
    return sheet_page(request, state, str(request.path_params["name"]))


def sheet_page(
    request: Request, state: State, name: str, typing: Typing | None = None, status: int = 200
) -> Response:
    """Set a route sheet.

    Parameters
    ----------
    request : Request
    state : State
    name : str
        As it stands in the address.
    typing : Typing, optional
        What was typed and is asked back about.
    status : int
    """
    made = state.made
    assert made is not None, "made_of has seen to that"
    try:
        name_in(made, name)
    except UnknownName as fault:
        near = [(title(n), f"/parts/{n}") for n in fault.nearest]
        return page(request, "no_part.html", 404, state=state, wanted=name[:80], near=near)
    stands_now(state, _PATIENCE)  # one thread works the forecasts out, for all who wait
    asked = request.query_params.get("measure", "")
    told = state.once(f"told {name}", lambda m: _told(state, m, name))
    drawn = state.once(f"drawings {name}", lambda m: _drawings(state, m, name, told))
    return page(
        request,
        "part.html",
        status,
        state=state,
        name=name,
        told=told,
        drawn=drawn,
        fields=fields_of(state, made, name, asked, typing),
        others=other_dims(state, made, name),
        typing=typing,
        came_out=after_of(made, name, request.query_params.get("after", "")),
        past=_past(request, state, name),
        stages=stages_left(made, name),
        is_bought=isinstance(made.parts[name], Bought),
        units=made.plan.units,
        sizes=info_in(state).sizes,
        stage=made.stage(name),
        further=further_in(told.sheet),
        revision=made.revision_of(name),
    )


def _past(request: Request, state: State, name: str) -> tuple[Past, ...]:
    return state.once(f"past {name}", lambda made: past_of(live_of(request).folder, made, name))


def _told(state: State, made: Made, name: str) -> Told:
    info, sheet = info_in(state), sheet_of(state, name)
    order = in_the_order(state)
    at = order.index(name)
    blanks = [blank_of(piece, sheet.pieces) for piece in sheet.pieces]
    return Told(
        sheet=sheet,
        title=title(name),
        stands=_how_it_stands(state, made, name),
        sentences=tuple(opening(sheet, blanks, info)),
        suits=_suits(made, sheet, info),
        to_fill=tuple(map(tuple, to_measure(sheet, info)["measure"])),
        steps=tuple(steps_of(sheet, info)),
        position=f"sheet {at + 1} of {len(order)}",
        before=order[at - 1] if at else "",
        after=order[at + 1] if at + 1 < len(order) else "",
    )


def _how_it_stands(state: State, made: Made, name: str) -> str:
    """One sentence: how far it is, and what is wanted of it now."""
    stage, readings = made.stage(name), made.readings[name]
    wanted = len(fields_of(state, made, name, "", None))
    want = ""
    if wanted:
        count = f"{spelled(wanted)} reading{'' if wanted == 1 else 's'}"
        want = f"{count[:1].upper()}{count[1:]} {'is' if wanted == 1 else 'are'} wanted"
    danger = [f for f in made.forecasts if name in f.meet.parts and is_in_danger(f)]
    if isinstance(made.parts[name], Bought):
        said = "Bought, not made."
    elif readings and wanted:
        said = f"{_begun(stage)} and measured. {_more(wanted)} would tell more."
    elif readings:
        said = f"{_begun(stage)} and measured. Nothing more needs measuring."
    elif stage == "planned":
        said = f"Not made yet. {want} once it is." if want else "Not made yet."
    else:
        said = f"{_begun(stage)}, not measured yet."
        further = " before it goes further" if stage != STAGES[-1] else ""
        said += f" {want}{further}." if want else ""
    if danger:
        meets = listed([called(f.meet.name) for f in danger])
        said += f" In danger: {meets}."
    return said


def _more(count: int) -> str:
    """Say how many more readings: "Two more readings"."""
    words = spelled(count)
    return f"{words[:1].upper()}{words[1:]} more reading{'' if count == 1 else 's'}"


def _begun(stage: str) -> str:
    return stage[:1].upper() + stage[1:]


def _suits(made: Made, sheet: Sheet, info: SheetInfo) -> tuple[Suits, ...]:
    meets = [
        found
        for found in made.forecasts
        if sheet.part in found.meet.parts and others(found.meet, sheet.part) and found.clearances
    ]
    return tuple(
        Suits(
            does=f"{meet.does[:1].upper()}{meet.does[1:]}",
            addresses=tuple(
                (called(other), f"/parts/{other}") for other in others(found.meet, sheet.part)
            ),
            chance=chance(meet.chance),
            gap=_gap(meet, info),
            scale=gap_scale(meet, info),
            in_danger=is_in_danger(found),
        )
        for meet, found in zip(sheet.neighbours, meets, strict=True)
    )


def _gap(meet: Neighbour, info: SheetInfo) -> str:
    """Say what is wanted and what is expected: "Gap a side: 0.20 to 0.80 wanted, ..."."""
    word = f"{meet.word[:1].upper()}{meet.word[1:]}"
    got = expected(meet.expected, meet.wanted, info)
    return f"{word}: wanted {span(meet.wanted, info)}; expected {got}."


def _drawings(state: State, made: Made, name: str, told: Told) -> Drawings:
    info, sheet = info_in(state), sheet_of(state, name)
    neighbours = dict.fromkeys(
        other
        for found in made.forecasts
        if name in found.meet.parts
        for other in others(found.meet, name)
    )
    inked = frozenset(n for n in made.parts if made.beliefs[n].is_made)
    eye = eye_on(made)
    flat, how = _flat(made.pattern(name), told, info)
    picture, on_paper = (
        part_on_screen(
            name, tuple(neighbours), made.bodies, made.frames, eye, made=inked, is_printed=printed
        )
        for printed in (False, True)
    )
    return Drawings(
        picture=picture,
        on_paper=on_paper,
        letters=lettered_on_screen(sheet, eye),
        flat=flat,
        how=how,
    )


def _flat(pattern: Pattern, told: Told, info: SheetInfo) -> tuple[Flat, str]:
    sheet = told.sheet
    own = [piece for piece in sheet.pieces if not piece.role] or list(sheet.pieces)
    set_ups = tuple(set_ups_on_screen(own, sheet.pieces, info))
    blanks = [blank_of(piece, sheet.pieces) for piece in own]
    folds = tuple(fold_table(blank, info, many=len(own) > 1) for blank in blanks if blank.folds)
    room = _print_room(told, set_ups, folds, info.page)
    # a pattern is the same object until its part is changed; kept with it, its id stays its own
    key = (id(pattern), info.units, info.page.name, tuple(info.stocks.items()), room.high)
    with _LOCK:
        kept = _FLAT.get(key)
    if kept is None:
        shown = own[:_MOST_BLANKS]
        high = max(room.high / max(1, len(shown)), _LEAST_BLANK)
        drawn = tuple(
            (
                blank_on_screen(piece, sheet.pieces, info),
                blank_on_paper(piece, sheet.pieces, info, _PAPER_WIDE, high),
            )
            for piece in shown
        )
        kept = pattern, Flat(drawn, set_ups, folds)
        with _LOCK:
            _FLAT[key] = kept
            while len(_FLAT) > _MOST_PATTERNS:
                _FLAT.popitem(last=False)
    return kept[1], room.how


def _print_room(
    told: Told,
    set_ups: Sequence[SetUpTold],
    folds: Sequence[dict[str, Any]],
    paper: Paper,
) -> Room:
    """What a printed sheet leaves for the blanks."""
    sheet, headings = told.sheet, 1
    doing = 0.0
    for one in set_ups:
        figure = one.on_paper
        words = height_of_words(one.sentences, _BESIDE_SECTION if figure else 60.0)
        doing += max(words, _SECTION * figure.height / figure.width) if figure else words
        headings += 1
    for table in folds:
        doing += height_of_words(["Folds"] * (1 + len(table["rows"])) + [str(table["note"])])
        headings += 1
    if sheet.cut_into:
        # its cells stand side by side: a row is as high as its longest
        doing += height_of_words(f"{cut.what}{' ' * 24}" for cut in sheet.cut_into)
        headings += 1
    for step in told.steps:
        doing += height_of_words([f"{step.text}   "])
        if step.caution:
            said = step.caution.short or step.caution.text
            doing += height_of_words([f"{step.caution.hazard} {said}    "])
    doing += height_of_words(["Local rules"])
    if sheet.notes:
        doing += height_of_words(sheet.notes)
        headings += 1
    return room_for_blank(
        paper.height,
        doing,
        headings,
        [meet.gap for meet in told.suits],
        [how for _, how, *_ in told.to_fill],
        [*told.sentences, "From what, and its finish", "Scale"],
    )


def further_in(sheet: Sheet) -> str:
    """Pieces that belong to a part beside its own blanks: "10 backing strips, a patch"."""
    roles = Counter(re.split(r",|-\d", piece.role)[0] for piece in sheet.pieces if piece.role)
    return listed([counted(count, called(role)) for role, count in roles.items()])


ROUTES = [Address("/parts/{name}", route_sheet)]
