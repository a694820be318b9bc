"""How readings are taken: the tools, what to take off, and slips of the hand.

Room: ledger. A *kind* says what sort of dim is read: a ``length`` between
faces or edges, a ``diameter`` across a round part, a ``girth`` round it, or an
``angle``. `tool_named` and `usual_tool` give a tool, `corrected` what its
reading means, and `question` asks back before a doubtful reading is kept.

All deviations here are common practice, no source; a maker who knows better
says so with the reading.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType

from foldwright.errors import DoubtfulReading, OutOfDomain, UnknownName

KINDS = ("angle", "diameter", "girth", "length")


@dataclass(frozen=True)
class Tool:
    """A tool that readings are taken with.

    Attributes
    ----------
    name : str
        As typed after ``--with``.
    sigma : float
        One standard deviation of a careful reading [mm; rad for angles].
    kinds : tuple of str
        What it can read.
    thickness : float
        Of what is wrapped round the part [mm]; 0 for a tool that is not.
    """

    name: str
    sigma: float
    kinds: tuple[str, ...]
    thickness: float = 0.0


# Common practice, no source: a careful hand, a good tool, warm dry board.
TOOLS = MappingProxyType(
    {
        tool.name: tool
        for tool in (
            Tool("rule", 0.25, ("length", "diameter")),  # steel rule, read to half a millimetre
            Tool("tape", 0.5, ("length", "girth"), thickness=0.15),  # thin steel tape
            Tool("caliper", 0.05, ("length", "diameter")),
            Tool("protractor", math.radians(0.3), ("angle",)),
        )
    }
)
# A caliper opens 150 mm as a rule, most drums are larger: who has the reach names it.
_USUAL = MappingProxyType(
    {"length": "rule", "diameter": "rule", "girth": "tape", "angle": "protractor"}
)


def tool_named(name: str) -> Tool:
    """Tool called `name`; raises `UnknownName` if there is none."""
    try:
        return TOOLS[name]
    except KeyError:
        raise UnknownName("tool", name, TOOLS) from None


def usual_tool(kind: str) -> Tool:
    """Tool that a dim of this kind is read with when the maker names none."""
    _require_kind(kind)
    return TOOLS[_USUAL[kind]]


def corrected(value: float, kind: str, tool: Tool) -> float:
    """Dim that a reading means, once what the tool adds is taken off.

    A tape laid round a drum lies with its own middle half its thickness t
    outside the skin, and keeps its length there, so that a girth reads long::

        reading = pi (D + t),   girth = pi D = reading - pi t

    Any other reading stands as it is.

    Parameters
    ----------
    value : float
        As read [mm; rad for angles].
    kind : str
        One of `KINDS`.
    tool : Tool

    Returns
    -------
    float
        The dim [mm or rad].

    Raises
    ------
    OutOfDomain
        The tool cannot read this kind of dim, or the value is no measure.

    References
    ----------
    Common practice, no source. That the middle of a strip this thin keeps
    its length is the neutral line of DIN 6935 at large r/s (k = 1).

    Examples
    --------
    >>> round(corrected(694.5, "girth", tool_named("tape")), 2)
    694.03
    """
    _require_kind(kind)
    if kind not in tool.kinds:
        able = ", ".join(t.name for t in TOOLS.values() if kind in t.kinds)
        raise OutOfDomain(
            f"A {tool.name} cannot read {_with_article(kind)}. Read it with: {able}.", name="tool"
        )
    _require_measure(value, kind)
    if kind == "girth":
        return value - math.pi * tool.thickness
    return value


@dataclass(frozen=True)
class Slip:
    """A slip of the hand that would explain a reading.

    `factor` times the reading is what was likely meant; `words` say what happened.
    """

    factor: float
    words: str
    kinds: tuple[str, ...] = ("diameter", "girth", "length")


_SLIPS = (
    Slip(0.1, "a decimal point has likely slipped", KINDS),
    Slip(10.0, "a decimal point has likely slipped, or it was read in centimetres", KINDS),
    Slip(25.4, "it was likely read in inches"),
    Slip(1.0 / 25.4, "it was likely read in millimetres and typed as inches"),
    Slip(1000.0, "it was likely read in metres"),
    Slip(2.0, "it is likely a radius", ("diameter",)),
    Slip(1.0 / math.pi, "it is likely a girth", ("diameter",)),
    Slip(math.pi, "it is likely a diameter", ("girth",)),
)
# How far a made part may be from the drawing before it is asked about: a tenth, but at
# most 15 mm or 5 degrees, and at least 2 mm or 2 degrees, which is a bad day, no slip.
# Common practice, no source.
_SHARE = 0.1
_MOST = MappingProxyType({False: 15.0, True: math.radians(5.0)})
_LEAST = MappingProxyType({False: 2.0, True: math.radians(2.0)})


def doubt(value: float, drawn: float, kind: str = "length") -> float | None:
    """Value that was likely meant, if `value` looks like a slip; else None.

    Parameters
    ----------
    value, drawn : float
        The reading, and the dim as drawn [mm; rad for angles].
    kind : str
        One of `KINDS`.

    Examples
    --------
    >>> round(doubt(2214.0, 220.0), 2), round(doubt(22.14, 220.0), 2)
    (221.4, 221.4)
    >>> doubt(221.4, 220.0) is None
    True
    """
    found = _explained(value, drawn, kind)
    return None if found is None else found[0]


def is_far(value: float, drawn: float, kind: str = "length") -> bool:
    """Whether a reading is further from the drawing than hands go."""
    angle = kind == "angle"
    limit = max(_LEAST[angle], min(_MOST[angle], _SHARE * abs(drawn)))
    return abs(value - drawn) > limit


def question(
    name: str,
    value: float,
    drawn: float,
    kind: str,
    show: Callable[[float], str] | None = None,
) -> None:
    """Ask back about a reading that looks like a slip, or is far off.

    Parameters
    ----------
    name : str
        The dim as a sentence begins with it: "The girth of the lamp".
    value, drawn : float
        The reading, and the dim as drawn [mm; rad for angles].
    kind : str
        One of `KINDS`.
    show : callable, optional
        How a value is shown; tenths of a millimetre or of a degree otherwise.

    Raises
    ------
    DoubtfulReading
        Asks; its `suggestion` is what was likely meant, or None.
    OutOfDomain
        Not a number, or a length of nothing.
    """
    _require_kind(kind)
    _require_measure(value, kind)
    shown = show or (_degrees if kind == "angle" else _tenths)
    found = _explained(value, drawn, kind)
    if found is not None:
        meant, words = found
        raise DoubtfulReading(
            f"{name} is drawn {shown(drawn)} and was typed {shown(value)}: {words}. "
            f"Did you mean {shown(meant)}?",
            value=value,
            suggestion=meant,
        )
    if is_far(value, drawn, kind):
        off = f"{shown(abs(value - drawn))} {_way(value - drawn, kind)}"
        raise DoubtfulReading(
            f"{name} is drawn {shown(drawn)} and was typed {shown(value)}, {off}. "
            "Measure it once more; if it is so, say that you are sure.",
            value=value,
            suggestion=None,
        )


def _explained(value: float, drawn: float, kind: str) -> tuple[float, str] | None:
    """Find what was likely meant and what happened; None if the reading needs no such story."""
    # Small dims: 1.5 read as 0.15 is near in millimetres, yet ten times off.
    out_of_scale = drawn != 0.0 and not 0.25 < value / drawn < 4.0
    if not is_far(value, drawn, kind) and not out_of_scale:
        return None
    stories = [(value * slip.factor, slip.words) for slip in _SLIPS if kind in slip.kinds]
    if kind == "angle":
        stories.append((math.pi - value, "it was likely read on the other side of the fold"))
    likely = [
        (meant, words)
        for meant, words in stories
        if abs(meant - drawn) <= _SHARE * abs(drawn) and not is_far(meant, drawn, kind)
    ]
    return min(likely, key=lambda story: abs(story[0] - drawn), default=None)


def _require_kind(kind: str) -> None:
    if kind not in KINDS:
        raise UnknownName("kind of dim", kind, KINDS)


def _require_measure(value: float, kind: str) -> None:
    if not math.isfinite(value):
        raise OutOfDomain(
            f"{value:g} is not {_with_article(kind)}. Type it like 221.4.", name="value"
        )
    if kind != "angle" and value <= 0.0:
        raise OutOfDomain(
            f"{value:g} is not {_with_article(kind)}: it has to be more than 0.", name="value"
        )


def _with_article(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _way(difference: float, kind: str) -> str:
    if kind == "length":
        return "long" if difference > 0.0 else "short"
    return "large" if difference > 0.0 else "small"


def _tenths(value: float) -> str:
    return f"{value:.1f}"


def _degrees(value: float) -> str:
    return f"{math.degrees(value):.1f}°"
