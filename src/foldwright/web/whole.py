"""The first view: the whole build in one picture, and how things stand in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from foldwright.build_book import how_much_is_made, spelled
from foldwright.draw import svg_on_screen
from foldwright.draw.info import listed
from foldwright.draw.inking import SAMPLE, ink_sample, pencil_sample
from foldwright.draw.rings import ring_sample
from foldwright.fit import dim_in_words, part_in_words
from foldwright.make import Made, Outcome, sentence_of_chance
from foldwright.plan import show_length
from foldwright.web.eye import eye_named
from foldwright.web.jobs import jobs_of
from foldwright.web.live import State
from foldwright.web.pages import live_of, page
from foldwright.web.picture_view import ROUTES as PICTURES
from foldwright.web.picture_view import drawn
from foldwright.web.stands import (
    Line,
    Stands,
    address_of,
    chances_of,
    in_short,
    lines_of,
    numbers_of,
    stands_now,
)
from foldwright.what_next import Next

# Parts whose meets hold at least this often, and which nothing waits for, go without a line.
_SURE = 0.95
# How long a page waits for forecasts when it asks for nothing but them [s].
_PATIENCE = 20.0


@dataclass(frozen=True)
class InDanger:
    """A meet in danger as the page says it."""

    letter: str
    said: str
    numbers: str
    chance: str
    parts: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Row:
    """A line of the order of work: its place, what is made, why then, and the odds that it suits.

    `after` is the odds once the refit that is at hand is kept; empty if there is none.
    """

    place: str
    name: str
    address: str
    why: str
    chance: str
    after: str = ""


@dataclass(frozen=True)
class Work:
    """What to do: a heading, sentences, rows of the table, and what can be made in any order."""

    heading: str
    sentences: tuple[str, ...]
    rows: tuple[Row, ...]
    also: tuple[tuple[str, str], ...]
    measure: tuple[tuple[str, str, str], ...]


def whole(request: Request) -> Response:
    """Show the build."""
    state = live_of(request).refresh()
    made = state.made
    if made is None:
        return page(request, "whole.html", state=state, picture=None)
    if "stands" in request.query_params:  # asked for by the script of a page that lacks them
        stands_now(state, _PATIENCE)
    eye = eye_named(request, made)
    picture = drawn(state, made, eye)
    stands = stands_now(state)  # only now: forecasts that run would hold the picture up
    lines = lines_of(made, stands)
    return page(
        request,
        "whole.html",
        state=state,
        picture=picture,
        samples=_samples(),
        how_much=how_much_is_made(made),
        overall=state.once("overall", _overall),
        lines=lines,
        stands=stands,
        dangers=_dangers(made, stands) if stands else (),
        count=_count(stands) if stands else "",
        work=_work(made, stands, lines, _after_refit(request, state)) if stands else None,
        last=_last_reading(made),
    )


def _overall(made: Made) -> str:
    """How large the whole build is: "480.0 wide, 520.0 deep and 998.0 mm high"."""
    from foldwright.draw.seen import box_of  # loads NumPy and Shapely

    bodies = {name: body for name, body in made.bodies.items() if name in made.parts}
    if not bodies:
        return ""
    (left, low), (right, high) = box_of(bodies, made.frames, (0.0, -1.0, 0.0))
    (front, _), (back, _) = box_of(bodies, made.frames, (1.0, 0.0, 0.0))
    wide, deep, tall = (
        show_length(mm, made.plan.units) for mm in (right - left, back - front, high - low)
    )
    return f"{wide} wide, {deep} deep and {tall} high"


def _samples() -> tuple[tuple[str, str], ...]:
    """What the lines of the picture mean, each with a sample."""
    width, height = SAMPLE.right + 1.5, SAMPLE.high + 1.5
    return tuple(
        (svg_on_screen(items, width, height, f"sample: {words}"), words)
        for items, words in (
            (ink_sample(), "in ink: made"),
            (pencil_sample(), "in pencil: not made yet"),
            (ring_sample(SAMPLE), "ringed twice: in danger"),
        )
    )


def _dangers(made: Made, stands: Stands) -> tuple[InDanger, ...]:
    letters = iter("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    return tuple(
        InDanger(
            next(letters, "") if one.at is not None else "",
            in_short(one),
            " ".join(numbers_of(one, made)),
            sentence_of_chance(one.chance or 0.0),
            tuple((part_in_words(part), address_of(part)) for part in dict.fromkeys(one.parts)),
        )
        for one in stands.dangers
    )


def _count(stands: Stands) -> str:
    """Say how many meets are in danger."""
    count = len(stands.dangers)
    if not count:
        return "Everything suits." if stands.standings else ""
    words = spelled(count)
    return f"{words[:1].upper()}{words[1:]} {'meet is' if count == 1 else 'meets are'} in danger."


def _work(
    made: Made, stands: Stands, lines: Sequence[Line], after: Mapping[str, float] | None
) -> Work:
    """What to do next: the parts that decide something first, in rows; then those that do not."""
    found = stands.next
    order = {part: i for i, part in enumerate((*found.begun, *found.now, *found.waits))}
    rows, also = [], []
    open_lines = [line for line in lines if line.parts[0] in order]
    in_danger = {part for one in stands.dangers for part in one.parts}
    for line in sorted(open_lines, key=lambda line: _rank(line, stands, in_danger)):
        part = line.parts[0]
        chances = [stands.chances[p] for p in line.parts if p in stands.chances]
        waits, decides = found.waits.get(part), found.why.get(part, "")
        is_sure = not chances or min(chances) >= _SURE
        if part in found.now and is_sure and not decides and part not in in_danger:
            also.append((line.name, line.address))
            continue
        after_it = [(after or {})[p] for p in line.parts if p in (after or {})]
        rows.append(
            Row(
                "then" if waits else "now",
                line.name,
                line.address,
                _why(line, found, in_danger),
                _odds(chances),
                _odds(after_it) if after_it and _odds(after_it) != _odds(chances) else "",
            )
        )
    heading, sentences = _first(rows, also, found)
    return Work(heading, sentences, tuple(rows), tuple(also), _to_measure(found))


def _rank(line: Line, stands: Stands, in_danger: set[str]) -> tuple[int, float]:
    """Begun first, then what is in danger, what decides others, the rest; what waits last."""
    part, found = line.parts[0], stands.next
    kinds = (
        part in found.begun,
        bool(in_danger.intersection(line.parts)) and part not in found.waits,
        bool(found.why.get(part)),
        part not in found.waits,
    )
    place = kinds.index(True) if True in kinds else len(kinds)
    if part in found.waits:
        return place, float(list(found.waits).index(part))
    return place, min((stands.chances.get(p, 1.0) for p in line.parts), default=1.0)


def _why(line: Line, found: Next, in_danger: set[str]) -> str:
    part = line.parts[0]
    if waits := found.waits.get(part):
        names = listed([part_in_words(other) for other in waits])
        return f"Leave it until the {names} {'is' if len(waits) == 1 else 'are'} measured."
    said = "It is begun: finish it and measure it. " if part in found.begun else ""
    if in_danger.intersection(line.parts):
        said += "A meet of it is in danger. "
    why = part_in_words(found.why.get(part, ""))
    return (said + why[:1].upper() + why[1:]).strip()


def _odds(chances: Sequence[float]) -> str:
    return sentence_of_chance(min(chances)).removesuffix(" in 100") if chances else ""


def _first(
    rows: Sequence[Row], also: Sequence[tuple[str, str]], found: Next
) -> tuple[str, tuple[str, ...]]:
    """Heading and sentences on what to do now."""
    if not found.now and not found.begun:
        return "Nothing is left to make", ("Every part is made and measured.",)
    name = rows[0].name if rows else also[0][0]
    if found.begun and part_in_words(found.begun[0]) == name:
        return f"Finish the {name}", ("It is begun and not measured yet.",)
    why = next((row.why for row in rows if row.name == name), "")
    said = [why] if why else []
    if len(found.now) > 1:
        said.append(
            f"{spelled(len(found.now)).capitalize()} parts can be made now; none of them "
            "decides anything in another."
        )
    return f"Make the {name} next", tuple(said)


def _to_measure(found: Next) -> tuple[tuple[str, str, str], ...]:
    """Name, address, and the dims that tell most, of each part that others wait for."""
    return tuple(
        (part_in_words(part), address_of(part), listed([dim_in_words(dim) for dim in dims]))
        for part, dims in found.to_measure.items()
        if dims
    )


def _last_reading(made: Made) -> str:
    """Say what was measured last: "Last reading: pedestal, height 260.0, by rule, 5 September."."""
    readings = [reading for every in made.readings.values() for reading in every]
    if not readings:
        return "Nothing is measured yet."
    last = max(readings, key=lambda reading: reading.id)
    try:
        when = datetime.fromisoformat(last.when).astimezone()
    except ValueError:
        said = last.when
    else:
        is_today = when.date() == datetime.now(UTC).astimezone().date()
        said = f"{when:%H:%M} today" if is_today else f"{when.day} {when:%B %Y}"
    value = show_length(last.value, made.plan.units, made.is_fine(last.part, last.dim))
    what = f"{part_in_words(last.part)}, {dim_in_words(last.dim)}"
    return f"Last reading: {what} {value}, by {last.tool}, {said}."


def _after_refit(request: Request, state: State) -> Mapping[str, float] | None:
    """Odds of each part once the refit is kept, if one was worked out for this build."""
    job = jobs_of(request).of("refit")
    if job is None or job.is_going or job.version != state.version:
        return None
    return chances_of(job.result.after) if isinstance(job.result, Outcome) else None


ROUTES = [Route("/", whole), *PICTURES]
