"""What is said of a drawing: how it stands, what a pick comes to, and what is off.

Room: scans. Numbers as everywhere: tenths of a millimetre, or what the build has
for units. A trust under a tenth is said as a tenth, since no hand works finer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.plan import show_length
from foldwright.scans.drawing import Drawing, Pick
from foldwright.scans.scaling import Scaled
from foldwright.scans.standing import PLACES_NEEDED, Standing
from foldwright.scans.straightening import Straightened
from foldwright.scans.taking import Taken, TakenHole, TakenOutline

KIND_WORDS = {
    "place": "known place",
    "known": "known length",
    "length": "length",
    "angle": "angle",
    "outline": "outline",
    "hole": "hole",
}

# A miss of this many deviations is no accident (2.5: 12 in 1000).
_OFF = 2.5
# So many numbers beyond those needed, and the one that is off can be told from the others.
_TELLS_WHICH = {"places": 4, "lengths": 2}
_LEAST_TRUST = 0.1  # mm; no hand works finer


@dataclass(frozen=True)
class Check:
    """How a known place or length agrees: what was known, how it misses, what to say."""

    pick: Pick
    known: str
    miss: str
    remark: str


def trust_of(trust: float) -> float:
    """Trust as it is shown and written [mm]: rounded up to a tenth, never below one."""
    return max(_LEAST_TRUST, math.ceil(trust * 10.0 - 1e-9) / 10.0)


def name_of(pick: Pick, drawing: Drawing) -> str:
    """What a pick is called: its own name, or its kind and which of its kind it is."""
    if pick.name:
        return pick.name
    alike = [each.id for each in drawing.of_kind(pick.kind)]
    return f"{KIND_WORDS[pick.kind]} {alike.index(pick.id) + 1}"


def said_taken(taken: Taken | TakenHole | TakenOutline, kind: str, units: str) -> str:
    """What a pick comes to, in words and with its trust.

    Examples
    --------
    >>> said_taken(Taken(421.34, 0.32), "length", "mm")
    '421.3 ± 0.4 mm'
    >>> said_taken(Taken(140.82, 0.03), "angle", "mm")
    '140.8 ± 0.1°'
    """
    if isinstance(taken, TakenHole):
        across = _with_trust(taken.d, units)
        middle = f"{_bare(taken.x.value, units)} right, {_bare(taken.y.value, units)} up"
        trust = _trust(max(taken.x.trust, taken.y.trust), units)
        return f"{across} across; its middle {middle}, ± {trust}"
    if isinstance(taken, TakenOutline):
        x, y = np.ptp(np.array(taken.corners), axis=0)
        wide = f"{_bare(float(x), units)} by {show_length(float(y), units)}"
        return f"{len(taken.corners)} corners, {wide}, each ± {_trust(taken.trust, units)}"
    if kind == "angle":
        return f"{taken.value:.1f} ± {trust_of(taken.trust):.1f}°"
    return _with_trust(taken, units)


def said_standing(drawing: Drawing, standing: Standing, units: str) -> list[str]:
    """How a drawing stands, and what it still wants; the first sentence says how things are."""
    if standing.trouble:
        return [f"{standing.trouble[0].upper()}{standing.trouble[1:]}"]
    say = _SAYING.get(standing.by)
    return say(drawing, standing, units) if say else _not_true(drawing)


def checks_of(drawing: Drawing, standing: Standing, units: str) -> list[Check]:
    """How each known place or length agrees with the others, where there are more than needed."""
    if standing.places is not None and standing.places.redundancy:
        picks = drawing.of_kind("place")
        misses = [float(np.hypot(*miss)) for miss in standing.places.misses]
        remarks = _remarks(standing.places, "places")
        known = [f"{_bare(p.given[0], units)}, {_bare(p.given[1], units)}" for p in picks]
        said = [f"{show_length(miss, units)} out" for miss in misses]
    elif standing.lengths is not None:
        picks = drawing.of_kind("known")
        remarks = _remarks(standing.lengths, "lengths")
        known = [show_length(pick.given[0], units) for pick in picks]
        said = [said_miss(float(miss), units) for miss in standing.lengths.misses]
    else:
        return []
    rows = zip(picks, known, said, remarks, strict=True)
    return [Check(*row) for row in rows]


def said_miss(miss: float, units: str) -> str:
    """Whether something comes out large or short.

    Examples
    --------
    >>> said_miss(2.61, "mm"), said_miss(-0.4, "mm"), said_miss(0.02, "mm")
    ('2.6 mm large', '0.4 mm short', 'as known')
    """
    if abs(miss) < 0.05:
        return "as known"
    return f"{show_length(abs(miss), units)} {'large' if miss > 0.0 else 'short'}"


def _not_true(drawing: Drawing) -> list[str]:
    places = len(drawing.of_kind("place"))
    if places:
        left = PLACES_NEEDED - places
        more = "one more known place" if left == 1 else f"{left} more known places"
        return [f"The drawing is not straight yet: pick {more}, no three of them in one line."]
    said = [
        "The drawing is not true yet, so nothing can be taken off it in mm.",
        "Is it a photo? Pick four places whose measures you know, like the corners of the sheet. "
        "Is it a scan or a print? Pick a length that you know across, and one up.",
    ]
    if drawing.mm_per_pixel:
        said.append("Its file says how large the page is; say below at what scale it is drawn.")
    return said


def _by_places(drawing: Drawing, standing: Standing, units: str) -> list[str]:
    found = standing.places
    assert found is not None  # `by` says so
    count = len(found.misses)
    if not found.redundancy:
        return [
            "Straightened by four known places.",
            "Nothing checks them: a fifth, or a length that you know, shows whether one is off.",
        ]
    worst = float(np.hypot(found.misses[:, 0], found.misses[:, 1]).max())
    return [
        f"Straightened by {_count(count)} known places; the worst is "
        f"{show_length(worst, units)} out.",
        *_off(found, "places"),
    ]


def _by_lengths(drawing: Drawing, standing: Standing, units: str) -> list[str]:
    found = standing.lengths
    assert found is not None  # `by` says so
    count = len(found.misses)
    lengths = "one known length" if count == 1 else f"{_count(count)} known lengths"
    if not found.is_separate:
        return [
            f"Scaled by {lengths}, the same across and up.",
            "Prints stretch unevenly, often by 3 in 1000. Pick a known length in the other "
            "direction too, and trust gets better there.",
            *_off(found, "lengths"),
        ]
    stretch = 1000.0 * (found.up / found.across - 1.0)
    said = f"Scaled by {lengths}, across and up each by itself. "
    if abs(stretch) < 0.5:
        said += "The print is stretched evenly."
    else:
        # more mm to a pixel means that the print came out shorter there
        way = "short" if stretch > 0.0 else "long"
        said += f"The print is {abs(stretch):.0f} in 1000 too {way} up, against across."
    return [said, *_off(found, "lengths")]


def _by_page(drawing: Drawing, standing: Standing, units: str) -> list[str]:
    at = f"1 to {drawing.page_scale:g}"
    if drawing.is_exact:
        return [f"Taken at the size of its page, drawn {at}.", "A length that you know checks it."]
    return [
        f"Taken at the size that the scanner says, drawn {at}.",
        "Scanners and prints stretch, often by 3 in 1000. Pick lengths that you know, and they "
        "count instead.",
    ]


_SAYING: dict[str, Callable[[Drawing, Standing, str], list[str]]] = {
    "places": _by_places,
    "lengths": _by_lengths,
    "page": _by_page,
}


def _off(found: Straightened | Scaled, what: str) -> list[str]:
    worst = float(np.abs(found.standardised).max(initial=0.0))
    if worst <= _OFF:
        return []
    if found.redundancy >= _TELLS_WHICH[what]:
        return ["One of them is off, see below. Trust is worse until it is put right."]
    return [
        f"They disagree by more than picking explains. Pick one more known {what[:-1]}, and it "
        "shows which is off."
    ]


def _remarks(found: Straightened | Scaled, what: str) -> Sequence[str]:
    size = np.abs(found.standardised)
    worst = int(np.argmax(size))
    if float(size[worst]) <= _OFF or found.redundancy < _TELLS_WHICH[what]:
        return [""] * len(size)
    return ["this one is off" if i == worst else "" for i in range(len(size))]


def _count(number: int) -> str:
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
    return words[number] if number < len(words) else str(number)


def _with_trust(taken: Taken, units: str) -> str:
    return f"{_bare(taken.value, units)} ± {_trust(taken.trust, units)}"


def _trust(trust: float, units: str) -> str:
    return show_length(trust_of(trust), units, fine=units == "in")


def _bare(length: float, units: str) -> str:
    return show_length(length, units).removesuffix(" mm")
