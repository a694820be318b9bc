"""Plans for the tests: a small sound one, and a way to change it."""

from __future__ import annotations

from pathlib import Path

from foldwright.errors import Fault, PlanFaults
from foldwright.plan import Plan, parse_plan

EXAMPLE = Path(__file__).parents[2] / "examples" / "harbour-signal-lamp" / "plan.toml"
THIN_LAMP = Path(__file__).parent / "thin_lamp.toml"

THICKNESSES = {"acp-3-0.3": 3.0, "acp-2-0.2": 2.0, "aluminium-soft": None}
"""Materials as the shop room lists them: by name, None for any thickness."""

SMALL = """\
[build]
name = "Lamp"

[size]
lamp_d = { plan = 220, give = 3, trust = 1 }
lid_w = 300

[finish.grey]
layers = [{ what = "paint", thickness = 0.06 }]

[rack.board3]
material = "acp-3-0.3"
sheets = [{ size = [1220, 2440], count = 1 }]

[rack.pipe114]
former_d = 114

[part.lid]
kind = "box"
from = "board3"
width = "lid_w"
depth = 200
height = 45
leave_open = ["bottom"]
finish = "grey"

[part.gable]
kind = "profile"
from = "board3"
outline = [
  [0, 0],
  ["lid_w", 0],
  ["lid_w", 80],
  [100, 160],
  [0, 80],
]
depth = 120
leave_open = ["side-1"]
place = { on = "lid.top", at = [10, 20] }

[part.lamp]
kind = "drum"
from = "board3"
outside_d = "lamp_d"
length = 310
former = "pipe114"

[part.ring]
kind = "plate"
from = "board3"
diameter = "lamp_d + 10"
bore = 60

[[meet]]
kind = "rests-on"
upper = "ring"
lower = "lamp"
overhang = [3, 12]
"""


def read(text: str) -> Plan:
    """Read a plan that is expected to be sound."""
    return parse_plan(text, "plan.toml", THICKNESSES)


def changed(*changes: tuple[str, str]) -> str:
    """Return `SMALL` with each (old, new) made, once; the old has to be there."""
    text = SMALL
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def faults(text: str) -> list[Fault]:
    """Faults of a plan; none if it is sound."""
    try:
        read(text)
    except PlanFaults as error:
        return list(error.faults)
    return []
