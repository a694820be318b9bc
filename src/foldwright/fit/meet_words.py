"""Meets in words: what two parts do to one another, and what happens when a meet is missed.

Room: fit. One table for all kinds, so that the page, the book and the command
line say the same. Start at `would_be`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from foldwright.fit.clearance import Clearance
from foldwright.plan import Meet, show_length

DOES: Mapping[str, tuple[str, str]] = {
    "slides-into": ("slides into", "takes in"),
    "rests-on": ("rests on", "carries"),
    "presses-into": ("is pressed into", "is plugged by"),
    "drops-between": ("drops between the walls of", "takes in, between its walls,"),
    "bolts-to": ("is bolted to", "is bolted to"),
    "wraps": ("is laid round", "is wrapped by"),
    "level-with": ("is level with", "is level with"),
    "reveal": ("stands beside", "stands beside"),
    "plumb": ("stands plumb", "stands plumb"),
    "pair": ("looks like", "looks like"),
    "relation": ("adds up with", "adds up with"),
    "stands-in": ("stands in", "is held true by"),
}
"""What the first part of a meet does to the last, and the last to the first."""


def says(meet: Meet, names: Callable[[str], str] = str) -> str:
    """Return "lamp cap slides into lamp"; a relation goes by its name.

    Parameters
    ----------
    meet : Meet
    names : callable
        How to say the name of a part.
    """
    if meet.kind == "relation":
        return names(meet.name)
    first = _listed([names(end.part) for end in meet.ends[: max(1, len(meet.ends) - 1)]])
    does = DOES[meet.kind][0]
    return f"{first} {does}" if len(meet.ends) == 1 else f"{first} {does} {names(meet.outer)}"


def others(meet: Meet, part: str) -> tuple[str, ...]:
    """Other parts of a meet, seen from one of them; of a row that drops in only what takes it."""
    found = tuple(name for name in meet.parts if name != part)
    return (meet.outer,) if meet.kind == "drops-between" and part != meet.outer else found


def does(meet: Meet, part: str) -> str:
    """What a part of a meet does to the others."""
    return DOES[meet.kind][1 if part == meet.outer and len(meet.ends) > 1 else 0]


def would_be(clearance: Clearance, units: str) -> str:
    """What the meet would be like with nothing changed, and what that does to the piece."""
    said = _BE[clearance.meet.kind](
        clearance, show_length(abs(clearance.value), units, clearance.is_fine)
    )
    too = _too(clearance)
    consequence = _MISSED.get(clearance.what, ("", ""))[too > 0] if too else ""
    place = clearance.across if clearance.what not in _PLACED else ""
    sentence = f"As drawn, {said}{', ' + place if place else ''}."
    return f"{sentence} {consequence}" if consequence else sentence


def _listed(names: Sequence[str]) -> str:
    """Return "a, b and c"."""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def _too(clearance: Clearance) -> int:
    """-1 below the wanted range, 1 above it, 0 within."""
    return int(clearance.value > clearance.high) - int(clearance.value < clearance.low)


def _slides(c: Clearance, amount: str) -> str:
    inner, outer = c.meet.inner, c.meet.outer
    if c.value < 0.0:
        return f"{inner} would be {amount} a side too large for {outer}"
    return f"{inner} in {outer} would have {amount} a side"


def _stands(c: Clearance, amount: str) -> str:
    if c.value < 0.0:
        return f"{c.meet.inner} would be {amount} too large for {c.meet.outer}"
    return f"{c.meet.inner} would stand {amount} off the wall of {c.meet.outer}"


def _rests(c: Clearance, amount: str) -> str:
    lower_stands_out = (c.value >= 0.0) == (c.what == "margin")
    return f"{c.meet.outer if lower_stands_out else c.meet.inner} would stand out {amount}"


def _presses(c: Clearance, amount: str) -> str:
    how = "over" if c.value >= 0.0 else "under"
    return f"{c.meet.inner} would be {amount} {how} the bore of {c.meet.outer}"


def _drops(c: Clearance, amount: str) -> str:
    inner = _listed([end.part for end in c.meet.ends[:-1]])
    if c.value < 0.0:
        return f"{inner} would be {amount} too long to drop into {c.meet.outer}"
    return f"{inner} in {c.meet.outer} would have {amount} in all"


def _bolts(c: Clearance, amount: str) -> str:
    return f"the holes of {c.meet.inner} and {c.meet.outer} would lie {amount} apart"


def _wraps(c: Clearance, amount: str) -> str:
    laps = (c.value >= 0.0) == (c.what == "lap")
    how = "lap by" if laps else "come short of each other by"
    return f"the ends of {c.meet.inner} round {c.meet.outer} would {how} {amount}"


def _steps(c: Clearance, amount: str) -> str:
    how = "above" if c.value >= 0.0 else "below"
    return f"{c.meet.inner} would stand {amount} {how} {c.meet.outer}"


def _reveals(c: Clearance, amount: str) -> str:
    between = f"between {c.meet.inner} and {c.meet.outer}"
    if c.what == "taper":
        how = "wider" if c.value >= 0.0 else "narrower"
        return f"the gap {between} would get {amount} {how} {c.across}"
    if c.value < 0.0:
        return f"{c.meet.inner} and {c.meet.outer} would clash by {amount}"
    return f"the gap {between} would be {amount}"


def _leans(c: Clearance, amount: str) -> str:
    how = "out" if c.value >= 0.0 else "in"
    return f'"{c.meet.ends[0].face}" of {c.meet.inner} would lean {how} by {amount}'


def _pairs(c: Clearance, amount: str) -> str:
    how = "larger" if c.value >= 0.0 else "smaller"
    return f"{c.meet.inner} would be {amount} {how} than {c.meet.outer}"


def _comes_to(c: Clearance, amount: str) -> str:
    sign = "-" if c.value < 0.0 else ""
    return f"{c.meet.name} would come to {sign}{amount}"


_BE: Mapping[str, Callable[[Clearance, str], str]] = {
    "slides-into": _slides,
    "rests-on": _rests,
    "presses-into": _presses,
    "drops-between": _drops,
    "bolts-to": _bolts,
    "wraps": _wraps,
    "level-with": _steps,
    "reveal": _reveals,
    "plumb": _leans,
    "pair": _pairs,
    "relation": _comes_to,
    "stands-in": _stands,
}

# Their sentences say already where it is.
_PLACED = ("taper",)

_MISSED: Mapping[str, tuple[str, str]] = {
    "gap a side": ("It binds.", "It rattles, and the gap shows."),
    "gap to the wall": ("It binds, or bows the wall out.", "It does not hold the shell true."),
    "interference": ("The plug turns, or drops out.", "The tube may split."),
    "gap in all": ("It does not go in.", "It shifts about, and the gap shows."),
    "gap round the girth": ("The sheet has to be trimmed.", "The seam does not close."),
    "lap": ("There is too little to glue or rivet.", "The lap runs into what is next to it."),
    "offset of the holes": ("The bolt does not go in.", "The bolt does not go in."),
    "step": ("The eye sees the step.", "The eye sees the step."),
    "reveal": ("The gap looks closed.", "The gap gapes."),
    "taper": ("The eye sees the wedge.", "The eye sees the wedge."),
    "lean": ("The eye sees it lean.", "The eye sees it lean."),
    "unlike": ("The two do not look alike.", "The two do not look alike."),
}
"""What happens below the wanted range, and above it."""


def tightest(found: Sequence[Clearance], sigmas: Sequence[float]) -> int:
    """Which clearance has least room to its limits, in scatters."""
    rooms = [
        min(c.value - c.low, c.high - c.value) / max(s, 1e-9)
        for c, s in zip(found, sigmas, strict=True)
    ]
    return rooms.index(min(rooms))
