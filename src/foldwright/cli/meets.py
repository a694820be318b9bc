"""How a meet stands, in one line and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from foldwright.fit import MeetForecast
    from foldwright.make import Made

# Of more numbers with one range than these only the one nearest to missing is said.
_AT_ONCE = 4
# The share of the scatter from which on one part is named for it.
_MOSTLY = 0.5


def meet_line(made: Made, found: MeetForecast) -> str:
    """What a meet is expected to be, what is wanted, and how likely it holds."""
    from foldwright.fit import is_in_danger
    from foldwright.make import sentence_of_chance

    danger = "  In danger: " if is_in_danger(found) else "  "
    if not found.clearances:
        return f"{danger}{found.meet.name}: the holes cannot miss."
    said = "; ".join(_ranges(found, made.plan.units))
    line = f"{danger}{found.meet.name}: {said}; holds {sentence_of_chance(found.chance)}."
    return f"{line}{_driven(made, found)}" if is_in_danger(found) else line


def _driven(made: Made, found: MeetForecast) -> str:
    """Which part most of the scatter comes of, where it is one that is not made yet."""
    from foldwright.fit import part_in_words
    from foldwright.plan import Tube

    part, share = next(iter(made.drivers_of(found).items()), ("", 0.0))
    if share < _MOSTLY or made.is_made(part):
        return ""
    # care changes no bore: a tube is as it comes
    is_tube = isinstance(made.parts[part], Tube)
    do = "measure it once it is cut" if is_tube else "make that with care"
    return f" Most of its scatter comes of the {part_in_words(part)}: {do}."


def _ranges(found: MeetForecast, units: str) -> Iterator[str]:
    """What is expected and what is wanted, for each range by itself."""
    from foldwright.fit import tightest
    from foldwright.plan import is_fine_range, show_length

    groups: dict[tuple[str, float, float], list[int]] = {}
    for i, c in enumerate(found.clearances):
        groups.setdefault((c.what, c.low, c.high), []).append(i)
    for (what, low, high), members in groups.items():
        if len(members) > _AT_ONCE:
            rows = [found.clearances[i] for i in members]
            members = [members[tightest(rows, [found.sigmas[i] for i in members])]]
        show = partial(show_length, units=units, fine=is_fine_range(low, high))
        gaps = dict.fromkeys(
            f"{show(c.value)} {what.removeprefix('gap ')} {c.across}".rstrip()
            for c in (found.clearances[i] for i in members)
        )
        ends = f"{show(low)} to {show(high)}"
        yield f"{'; '.join(gaps)} expected, {ends} wanted"


def meet_json(found: MeetForecast) -> dict[str, Any]:
    """Return the same for a program."""
    return {
        "meet": found.meet.name,
        "kind": found.meet.kind,
        "chance": found.chance,
        "clearances": [
            {
                "what": c.what,
                "across": c.across,
                "expected": c.value,
                "sigma": sigma,
                "low": c.low,
                "high": c.high,
                "dims": list(c.dims),
            }
            for c, sigma in zip(found.clearances, found.sigmas, strict=True)
        ],
    }
