"""How a meet stands, in one line and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from foldwright.fit import MeetForecast
    from foldwright.make import Made


def meet_line(made: Made, found: MeetForecast) -> str:
    """What a meet is expected to be, what is wanted, and how likely it holds."""
    from foldwright.fit import is_in_danger
    from foldwright.make import sentence_of_chance
    from foldwright.plan import show_length

    low, high = found.meet.gap
    # An overhang is kept as a negative margin; say it the way the maker wrote it.
    sign = -1.0 if low < 0.0 and high <= 0.0 else 1.0
    word = {("slides-into", 1.0): "a side", ("rests-on", 1.0): "margin"}.get(
        (found.meet.kind, sign), "overhang"
    )

    def shown(mm: float) -> str:
        return show_length(sign * mm, made.plan.units, True)

    gaps = "; ".join(dict.fromkeys(f"{shown(c.value)} {word} {c.across}" for c in found.clearances))
    low, high = sorted((low, high), key=lambda mm: sign * mm)
    danger = "  In danger: " if is_in_danger(found) else "  "
    return (
        f"{danger}{found.meet.name}: {gaps} expected, {shown(low)} to {shown(high)} wanted; "
        f"holds {sentence_of_chance(found.chance)}."
    )


def meet_json(found: MeetForecast) -> dict[str, Any]:
    """Return the same for a program."""
    return {
        "meet": found.meet.name,
        "kind": found.meet.kind,
        "chance": found.chance,
        "clearances": [
            {
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
