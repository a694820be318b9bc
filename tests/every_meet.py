"""A small build in which parts meet in every way there is."""

from __future__ import annotations

from foldwright.make import Made
from foldwright.plan import Plan, parse_plan
from foldwright.shop import thicknesses

EVERY_MEET = """\
[build]
name = "Chart desk"

[size]
desk_w = { plan = 400, give = 4 }
lid_h = { plan = 60, give = 2 }

[finish.grey]
layers = [{ what = "paint", thickness = 0.1 }]

[rack.board3]
material = "acp-3-0.3"
sheets = [{ size = [1220, 2440] }]

[rack.board2]
material = "acp-2-0.2"
sheets = [{ size = [1000, 2000] }]

[rack.tube30]
material = "al-6060-T66"
tube_d = 30
wall = 2
lengths = [{ length = 2000 }]

[rack.bar28]
material = "al-6060-T66"
bar_d = 28
lengths = [{ length = 500 }]

[cutter.v90]
angle_deg = 90
floor = 2
widest = 8

[part.base]
kind = "plate"
from = "board3"
outline = [[0, 0], ["desk_w + 40", 0], ["desk_w + 40", 300], [0, 300]]
finish = "grey"
holes = [{ name = "post", on = "top", at = [30, 30], d = 8.4, drilled_in_place = true }]
bolts = [
  { name = "foot holes", on = "top", at = [200, 40], grid = [2, 1], pitch = [100, 20], d = 6.4 },
]

[part.desk]
kind = "box"
from = "board3"
width = "desk_w"
depth = 260
height = 200
leave_open = ["top"]
finish = "grey"
place = { on = "base.top", at = [20, 20] }

[part.lid]
kind = "box"
from = "board3"
width = "desk_w + 8"
depth = 268
height = "lid_h"
leave_open = ["bottom"]
finish = "grey"
place = { on = "base.top", at = [16, 16], lift = 160 }

[part.till]
kind = "box"
from = "board2"
count = 3
width = 130
depth = 100
height = 80
flexible = true
leave_open = ["top"]
place = { on = "base.top", at = [24, 30], lift = 4 }

[part.left_post]
kind = "box"
from = "board3"
width = 40
depth = 40
height = "200 + lid_h - 40"
place = { at = [-25, 20], lift = 3.2 }

[part.right_post]
kind = "box"
from = "board3"
width = 40
depth = 40
height = "200 + lid_h - 40"
place = { at = [425, 20], lift = 3.2 }

[part.foot]
kind = "strip"
from = "board3"
length = 160
width = 30
place = { on = "base.top", at = [120, 25] }
bolts = [{ name = "holes", on = "top", at = [80, 15], grid = [2, 1], pitch = [100, 20], d = 6.4 }]

[part.leg]
kind = "tube"
from = "tube30"
count = 2
length = 100

[part.leg_plug]
kind = "plug"
from = "bar28"
count = 2
diameter = 26.15
length = 25
bolt_d = 6.8

[part.drum]
kind = "drum"
from = "board2"
outside_d = 180
length = 120
finish = "grey"

[part.band]
kind = "strip"
from = "board2"
length = 571
width = 20
finish = "grey"

[[meet]]
kind = "rests-on"
upper = "desk"
lower = "base"
margin = [15, 25]

[[meet]]
kind = "slides-into"
inner = "desk.top"
outer = "lid"
gap = [0.3, 1.5]

[[meet]]
kind = "presses-into"
inner = "leg_plug"
outer = "leg"
interference = [0.08, 0.22]

[[meet]]
kind = "drops-between"
inner = ["till-1", "till-2", "till-3"]
outer = "desk"
walls = ["left", "right"]
gap = [2, 5]

[[meet]]
kind = "bolts-to"
inner = "foot"
outer = "base"
outer_holes = ["foot holes"]
bolt_d = 6

[[meet]]
kind = "wraps"
sheet = "band"
round = "drum"
gap = [0, 2]

[[meet]]
name = "posts level with the lid"
kind = "level-with"
faces = ["left_post.top", "lid.top"]

[[meet]]
kind = "reveal"
faces = ["left_post.right", "lid.left"]
gap = [0.2, 2]

[[meet]]
kind = "plumb"
face = "desk.front"

[[meet]]
kind = "pair"
parts = ["left_post", "right_post"]

[[meet]]
name = "stack under the lid"
kind = "relation"
formula = "till-1.height + 2*leg-2.length - desk.inside_height"
range = [80, 86]
"""


def every_meet(*changes: tuple[str, str]) -> Plan:
    """Plan of the desk, with pieces of its text changed."""
    text = EVERY_MEET
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} occurs {text.count(old)} times"
        text = text.replace(old, new)
    return parse_plan(text, "plan.toml", thicknesses())


def made_of(plan: Plan) -> Made:
    """Everything that follows, with nothing measured."""
    return Made(plan)
