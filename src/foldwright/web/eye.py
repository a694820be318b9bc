"""Where the build is seen from, as an address has it.

The eye stands on a grid of two degrees: a hand that turns the build back finds the
picture that it had before.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from starlette.requests import Request

from foldwright.draw import eye_of
from foldwright.errors import OutOfDomain
from foldwright.make import Made

# Of the grid that the eye stands on, and how far one press moves it [degrees].
GRID = 2
_STEP, _STEP_UP = 20, 10
# From lower nothing is learnt, and from straight above front and back change places.
LOWEST, HIGHEST = -30, 80


@dataclass(frozen=True)
class Eye:
    """Where the build is seen from.

    Attributes
    ----------
    turn : int
        Round the build [degrees]: 0 from the front, 90 from its right side.
    tilt : int
        Above it [degrees].
    """

    turn: int
    tilt: int

    @property
    def towards(self) -> tuple[float, float, float]:
        """Direction from the build towards the eye."""
        turn, tilt = math.radians(self.turn), math.radians(self.tilt)
        level = math.cos(tilt)
        return level * math.sin(turn), -level * math.cos(turn), math.sin(tilt)

    @property
    def text(self) -> str:
        """As an address has it."""
        return f"{self.turn},{self.tilt}"

    def moved(self, turn: int, tilt: int) -> Eye:
        """Another eye, further round and further up."""
        return _on_grid(self.turn + turn, self.tilt + tilt)

    def presses(self) -> tuple[tuple[str, str], ...]:
        """What to press to turn the build, and where the eye is then."""
        ways = (
            ("turn left", -_STEP, 0),
            ("turn right", _STEP, 0),
            ("from higher up", 0, _STEP_UP),
            ("from lower down", 0, -_STEP_UP),
        )
        return tuple(
            (words, self.moved(turn, tilt).text)
            for words, turn, tilt in ways
            if self.moved(turn, tilt) != self
        )

    def words(self) -> str:
        """Say where it stands: "from the front and the right, a little from above"."""
        fore, right, up = -self.towards[1], self.towards[0], self.tilt
        sides = [
            (abs(fore), "the front" if fore > 0.0 else "the back"),
            (abs(right), "the right" if right > 0.0 else "the left"),
        ]
        seen = [name for share, name in sorted(sides, reverse=True) if share > 0.2]
        level = "" if abs(up) < 5 else ", from above" if up > 40 else ", a little from above"
        level = ", from below" if up <= -5 else level
        return f"from {' and '.join(seen or ['straight above'])}{level}"


def eye_from(text: str) -> Eye:
    """Read an eye as an address has it.

    Parameters
    ----------
    text : str
        Turn and tilt in degrees, like ``"-28,24"``.

    Raises
    ------
    OutOfDomain
        It is something else.
    """
    try:
        turn, tilt = (float(number) for number in text.split(","))
    except ValueError:
        turn = tilt = math.nan
    if not (math.isfinite(turn) and math.isfinite(tilt) and abs(turn) < 1e6):
        shown = text if len(text) <= 40 else f"{text[:40]}…"
        raise OutOfDomain(
            f'"{shown}" is no place to look from. Write how far round from the front and how '
            "far up, in degrees, like eye=-28,24.",
            name="eye",
        )
    return _on_grid(turn, tilt)


def eye_named(request: Request, made: Made) -> Eye:
    """Where a request wants to look from; as the plan says if it does not."""
    text = request.query_params.get("eye")
    return eye_from(text) if text is not None else first_eye(made)


def first_eye(made: Made) -> Eye:
    """Where the plan wants its build to be seen from."""
    x, y, z = eye_of(made.plan.seen_from or ("front", "right", "above"))
    return _on_grid(math.degrees(math.atan2(x, -y)), math.degrees(math.atan2(z, math.hypot(x, y))))


def _on_grid(turn: float, tilt: float) -> Eye:
    around = GRID * round(turn / GRID) % 360
    up = GRID * round(min(max(tilt, LOWEST), HIGHEST) / GRID)
    return Eye(around - 360 if around > 180 else around, up)
