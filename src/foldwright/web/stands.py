"""How things stand, in words: what is made, what is in danger, what to make next.

Forecasts take a second after each change. They are worked out beside the page, which
is served without them first: a picture is drawn before they are begun, as the two would
only hold each other up.
"""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass

from foldwright.build_book import standings
from foldwright.draw import Danger, Link, Shown, Standing, expected_and_wanted
from foldwright.draw.info import listed
from foldwright.fit import MeetForecast, dim_in_words, how_far_off, part_in_words
from foldwright.make import Made
from foldwright.plan import Bought, show_length
from foldwright.web.live import State
from foldwright.what_next import Next, what_next

# A dim that came out no further off than this is as drawn: no rule tells less [mm].
_AS_DRAWN = 0.5
_KEY = "how it stands"
# One at a time: two would only slow each other down.
_AHEAD = ThreadPoolExecutor(1, "foldwright-forecasts")


@dataclass(frozen=True)
class Stands:
    """What the forecasts say.

    Attributes
    ----------
    standings : tuple of Standing
        Of all meets that have a clearance.
    next : Next
    chances : Mapping of str to float
        By part, the least of the chances of its meets; parts that meet nothing are left out.
    """

    standings: tuple[Standing, ...]
    next: Next
    chances: dict[str, float]

    @property
    def dangers(self) -> tuple[Standing, ...]:
        """Meets in danger, the likeliest to fail first."""
        found = [one for one in self.standings if one.in_danger]
        return tuple(sorted(found, key=lambda one: one.chance or 0.0))


def stands_by_now(state: State) -> Stands | None:
    """How the build stands, if that is worked out already; does not begin to."""
    ahead: Future[Stands | None] | None = state.found(_KEY)
    return ahead.result() if ahead is not None and ahead.done() else None


def stands_now(state: State, wait: float = 0.0) -> Stands | None:
    """How the build stands; None while that is worked out, which begins if it has not.

    A build that another has taken the place of is not begun: whoever saves five times in a
    row waits for the last only.

    Parameters
    ----------
    state : State
    wait : float
        How long to wait for it [s].
    """
    ahead: Future[Stands | None] = state.once(_KEY, lambda made: _AHEAD.submit(_of, state, made))
    try:
        return ahead.result(wait)
    except TimeoutError:
        return None


def _of(state: State, made: Made) -> Stands | None:
    if state.is_past:
        return None
    found = what_next(made)
    return Stands(standings(made), found, chances_of(made.forecasts))


def chances_of(forecasts: Iterable[MeetForecast]) -> dict[str, float]:
    """By part, the least of the chances of its meets; parts that meet nothing are left out."""
    chances: dict[str, float] = {}
    for forecast in forecasts:
        if forecast.clearances:
            for part in forecast.meet.parts:
                chances[part] = min(chances.get(part, 1.0), forecast.chance)
    return chances


@dataclass(frozen=True)
class Line:
    """One line of the list of parts: a part, or all of a set that stand alike.

    Attributes
    ----------
    parts : tuple of str
        Names in the plan.
    name : str
        As the list says it.
    is_made : bool
    said : str
        How it stands, in a few words; may be empty.
    """

    parts: tuple[str, ...]
    name: str
    is_made: bool
    said: str

    @property
    def address(self) -> str:
        """Where its route sheet is."""
        return address_of(self.parts[0])


def address_of(part: str) -> str:
    """Address of a part's route sheet."""
    return f"/parts/{part}"


def lines_of(made: Made, stands: Stands | None) -> tuple[Line, ...]:
    """All parts in the order of the plan, copies that stand alike in one line."""
    sets: dict[tuple[str, bool, str], list[str]] = {}
    for name, part in made.parts.items():
        is_made = made.is_made(name)
        # measured copies differ by tenths; in the picture that is one set of legs
        said = _said(made, name, stands)
        key = (part.family or name, is_made, "" if part.family and is_made else said)
        sets.setdefault(key, []).append(name)
    found = []
    for (family, is_made, said), names in sets.items():
        if len(names) == 1:
            found.append(
                Line((names[0],), part_in_words(names[0]), is_made, _said(made, names[0], stands))
            )
        else:
            numbers = _runs([name.rpartition("-")[2] for name in names])
            worst = said or ("made" if is_made else "")
            found.append(Line(tuple(names), f"{part_in_words(family)} {numbers}", is_made, worst))
    return tuple(found)


def _runs(numbers: list[str]) -> str:
    """Write "1 to 4" or "1, 3 and 4"."""
    if not all(n.isdigit() for n in numbers):
        return listed(numbers)
    values = [int(n) for n in numbers]
    if len(values) > 2 and values == list(range(values[0], values[-1] + 1)):
        return f"{values[0]} to {values[-1]}"
    return listed(numbers)


def _said(made: Made, name: str, stands: Stands | None) -> str:
    """How a part came out, or what becomes of it."""
    if isinstance(made.parts[name], Bought):
        return "bought"
    if made.is_made(name):
        return _came_out(made, name)
    if stands and (waits := stands.next.waits.get(name)):
        return f"to suit the {listed([part_in_words(other) for other in waits])}"
    if revision := made.revision_of(name):
        return f"revision {revision}"
    stage = made.stage(name)
    return "" if stage == "planned" else stage


def _came_out(made: Made, name: str) -> str:
    latest = {reading.dim: reading for reading in made.readings[name]}
    if not latest:
        return "made"
    worst = max(latest.values(), key=lambda reading: abs(reading.value - reading.drawn))
    if abs(worst.value - worst.drawn) < _AS_DRAWN:
        return "as drawn"
    off = how_far_off(worst, made.plan.units).replace(" mm ", " ")
    return f"{off} on the {dim_in_words(worst.dim)}"


def shown_of(lines: Iterable[Line]) -> dict[str, Shown]:
    """Parts as the picture names them, each keyed to its line."""
    found = {}
    for number, line in enumerate(lines, 1):
        state = "made" if line.is_made else "not made yet"
        said = f", {line.said}" if line.said and line.said != state else ""
        rows = (line.name, *([line.said] if line.said else []))
        for part in line.parts:
            label = f"{line.name}: {state}{said}"
            found[part] = Shown(rows, Link(address_of(part), label), str(number))
    return found


def dangers_of(stands: Stands | None, made: Made) -> tuple[Danger, ...]:
    """Places to ring in the picture, with what to write beside them."""
    found = []
    for one in stands.dangers if stands else ():
        if one.at is not None:
            found.append(Danger(one.at, (in_short(one), *numbers_of(one, made)), one.parts))
    return tuple(found)


def in_short(one: Standing) -> str:
    """Say which meet: "pedestal into lid"."""
    said = one.said.rpartition(", ")[0] or one.said
    return part_in_words(said[:1].lower() + said[1:])


def numbers_of(one: Standing, made: Made) -> tuple[str, str]:
    """Say in two rows what is expected of a meet and what is wanted."""
    return expected_and_wanted(
        one, lambda mm, fine: show_length(mm, made.plan.units, fine).removesuffix(" mm")
    )
