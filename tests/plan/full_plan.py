"""A plan with every kind of part and every key, for tests that change it."""

# ruff: noqa: E501 - a table in { } stays on one line of a plan

from __future__ import annotations

from pathlib import Path

from foldwright.errors import Fault, PlanFaults
from foldwright.plan import Plan, parse_plan
from plan.plans import THICKNESSES

HERE = Path(__file__).parent
"""Folder that the plan counts as lying in; its drawings are in ``drawings/``."""

FULL = """\
[build]
name = "Lantern"
paper = "roll 610"

[size]
body_w = { plan = 400, give = 4 }
pipe = 50.8
rim = 25

[finish.grey]
layers = [{ what = "paint", thickness = 0.06 }]

[finish.black]
layers = [{ what = "paint", thickness = 0.05 }]

[rack.board3]
material = "acp-3-0.3"
sheets = [{ size = [1220, 2440], count = 1, price = 68 }]
grain = true
trim = 8
kerf = 1.5
gap = 4

[rack.board2]
material = "acp-2-0.2"
sheets = [{ outline = [[0, 0], [600, 0], [600, 420], [0, 600]] }]

[rack.tube51]
material = "aluminium-soft"
tube_d = "2 in"
wall = 2
lengths = [{ length = 2000, count = 2, price = 14 }, { length = 730 }]

[rack.channel40]
material = "oak"
tube_side = 40
wall = 2.5
lengths = [{ length = 3000, count = 0 }]

[rack.bar50]
material = "aluminium-soft"
bar_d = 50
lengths = [{ length = 500 }]

[rack.pipe114]
former_d = 114

[cutter.saw]
angle_deg = 0
floor = 1.2

[cutter.v90]
angle_deg = 90
floor = 2
widest = 12

[material.oak]
thickness = 18
density = 0.7e-6

[part.body]
kind = "profile"
from = "board3"
finish = "grey"
outline = [
  { at = [0, 0], rise = -12 },
  ["body_w", 0],
  { at = ["body_w", 180], round = "rim" },
  { at = [300, 260], round = 30 },
  [0, 260],
]
sides = ["floor", "rear", "slope", "top", "face"]
depth = 300
leave_open = ["floor"]
fold = { method = "kerf", web = 0.8, kerfs = 7, pitch = 6 }
fold_at = [["rear", "front"], { faces = ["face", "top"], method = "open", web = 0.9 }]
cut_at = [["front", "face"]]
seam = { kind = "butt" }
seam_at = [{ faces = ["front", "top"], kind = "lap", over = "front" }]
backing = { from = "board2", width = 25 }
face_from = { back = "board2" }
grain = "across"
holes = [
  { on = "face", at = [60, 60], d = 8, name = "cable", drilled_in_place = true },
  { on = "back", at = ["body_w/2", 60], d = "rim" },
]
slots = [{ on = "front", at = [200, 40], length = 60, width = 8, rotate_deg = 15 }]
windows = [
  { on = "front", at = [200, 130], size = ["body_w - 240", 90], corner = 10 },
  { on = "rear", at = [150, 90], d = 40, name = "port" },
]
bolts = [
  { on = "back", at = [200, 130], circle_d = 80, count = 6, d = 5.5, start_deg = 30 },
  { on = "back", at = [330, 200], grid = [3, 2], pitch = [40, 30], d = 4.5, rotate_deg = 5 },
]
hatches = [{ on = "front", at = [330, 60], size = [80, 60], corner = 6, gap = 0.8, lip = 12 }]
openings = [{ on = "slope", through = "spout", gap = 1.5 }]

[part.crate]
kind = "box"
from = "board3"
width = 200
depth = 180
height = 90
seam = "lap"
backing = "board2"

[part.neck]
kind = "taper"
from = "board3"
lower = [[0, 0], [200, 0], [200, 160], [0, 160]]
upper = [[40, 30], [160, 30], [160, 130], [40, 130]]
sides = ["n_front", "n_right", "n_back", "n_left"]
height = 220
fold_at = [["n_front", "n_right"], ["n_front", "top"]]

[part.cheek]
kind = "faceted"
from = "board2"
blocks = [
  { size = [120, 80, 60], faces = { top = "roof" }, cuts = [
    { face = "brow", through = [0, 0, 40], out = [0, -1, 1] },
    { face = "jaw", through = [[120, 0, 30], [120, 80, 30], [60, 80, 60]] },
  ] },
  { at = [120, 0, 0], size = ["rim", 80, 30], faces = { front = "front", back = "back", bottom = "bottom" } },
]
leave_open = ["bottom"]
seam_at = [{ faces = ["brow", "roof"], kind = "butt" }]

[part.other_cheek]
mirror_of = "cheek"
finish = "black"
place = { at = [0, 400] }

[part.spout]
kind = "drum"
from = "board2"
outside_d = 76
length = 200
former = "pipe114"
backing = "board2"
stiff = false
place = { on = "body.slope", at = [150, 62], lift = -40 }
holes = [{ on = "wall", at = [30, 100], d = 6 }]

[part.cap]
kind = "hood"
from = "board2"
bottom_d = 180
top_d = 90
height = 70

[part.post]
kind = "tube"
from = "tube51"
length = 640
bolts = [{ on = "wall", at = [0, 30], grid = [1, 2], pitch = [10, 400], d = 6.5 }]

[part.rail]
kind = "tube"
from = "channel40"
length = 300

[part.stopper]
kind = "plug"
from = "bar50"
diameter = "pipe - 4"
length = 20
bolt_d = 6.8
count = 2
was = "stop"

[part.disc]
kind = "plug"
from = "board3"
diameter = 46

[part.foot]
kind = "plate"
from = "board3"
outline = [[0, 0], { at = [60, 0], rise = 8 }, [60, 60], { at = [0, 60], round = 12 }]
bare = true
count = 3
place = [{ at = [0, 0] }, { at = [200, 0] }, { at = [100, 150], rotate_deg = 60 }]

[part.gusset]
kind = "plate"
from = "board3"
outline = { file = "drawings/gusset.svg", id = "edge", scale = 1.5 }

[part.lath]
kind = "strip"
from = "board3"
length = 280
width = 30

[part.angle]
kind = "strip"
from = "board3"
length = 280
width = 30
flange = "rim"
fold_deg = 120
fold = { method = "groove" }
count = 4
place = { on = "crate.top", at = [10, 10], step = [0, 40] }

[part.frame]
kind = "rib"
from = "board3"
of = "body"
station = 150
gap = 0.6
clip = 8
windows = [{ on = "top", at = [150, 100], size = [120, 80] }]

[part.web_of_cheek]
kind = "rib"
from = "board3"
of = "other_cheek"
along = "x"
station = -80

[part.gauge]
kind = "bought"
mass = 0.4
diameter = 80
length = 45
place = { on = "crate.top", at = [100, 90] }

[part.lock]
kind = "bought"
mass = 0.1
size = [40, 30, 12]

[[meet]]
kind = "rests-on"
upper = "foot.bottom"
lower = "crate"
margin = [1, 90]

[[meet]]
kind = "slides-into"
name = "stopper"
inner = "stopper"
outer = "post"
gap = [0.1, 0.4]
"""


def read_full(text: str = FULL) -> Plan:
    """Read a plan that is expected to be sound, as lying beside its drawings."""
    return parse_plan(text, str(HERE / "plan.toml"), THICKNESSES)


def full_with(*changes: tuple[str, str]) -> str:
    """Return `FULL` with each (old, new) made, once; the old has to be there."""
    text = FULL
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def full_faults(text: str) -> list[Fault]:
    """Faults of a plan; none if it is sound."""
    try:
        read_full(text)
    except PlanFaults as error:
        return list(error.faults)
    return []
