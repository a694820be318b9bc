"""Reading the flat kinds, plate, strip and rib, and what is bought.

Room: plan. A rib belongs to the shell that it stands in, which has to be
read before it. A bought thing is only its envelope and its mass: it is never
scaled, and none of its dims is a parameter, since no refit can change it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from foldwright.plan.corners import anticlockwise, read_corners, sound, usual_sides
from foldwright.plan.dual import number
from foldwright.plan.kinds import (
    AnyPart,
    Bought,
    Box,
    Drum,
    Faceted,
    Hood,
    Plate,
    Profile,
    Rib,
    Strip,
    Taper,
)
from foldwright.plan.places import one_part
from foldwright.plan.reading import LEAST, KindReader, Reading
from foldwright.plan.wishes import read_fold

_PLATE = ("top", "bottom", "edge")
_BOX = ("bottom", "top", "front", "back", "left", "right")
_DRUM = ("wall", "bottom", "top")
_SHELLS: Mapping[str, str] = {
    "box": "y",
    "profile": "y",
    "taper": "z",
    "drum": "z",
    "hood": "z",
    "faceted": "",
}
"""Kinds that a rib can stand in, and along which axis its station counts."""

_USUAL_GAP, _USUAL_CLIP = 0.5, 5.0  # mm; common practice, no source
_USUAL_FOLD = 90.0  # degrees
_LEAST_FOLD, _MOST_FOLD = 1.0, 179.0  # degrees
_HEAVIEST = 10_000.0  # kg


def _read_plate(reading: Reading) -> None:
    reading.faces = _PLATE
    table, has = reading.table, reading.table.has
    if has("outline") == has("diameter"):
        problem = f"{table.what} needs either its outline or its diameter."
        table.fault("missing", "", problem, "Write outline = [[0, 0], ...] or diameter = 200.")
    if has("bore") and not has("diameter"):
        problem = f"{table.what} has a bore, but no diameter."
        table.fault("missing", "bore", problem, "A ring has both diameter and bore.")
    for key in table.data:
        if key == "outline":
            _read_outline(reading)
        elif key in ("diameter", "bore"):
            reading.scalar(key)
    bore, diameter = reading.value("bore"), reading.value("diameter")
    if bore is not None and diameter is not None and bore >= diameter:
        problem = f"The bore of {bore:g} mm is not below the diameter."
        table.fault("geometry", "bore", problem, f"Make it less than {diameter:g} mm.")


def _read_outline(reading: Reading) -> None:
    outline = read_corners(reading, "outline", "xy")
    if outline is None:
        return
    outline.sides = usual_sides(len(outline.corners))
    sound(reading, outline, folded=False)
    reading.fields |= anticlockwise(outline).record


def _read_strip(reading: Reading) -> None:
    table = reading.table
    reading.faces = ("top", "flange") if table.has("flange") else ("top",)
    reading.each(
        {
            "length": lambda: reading.scalar("length"),
            "width": lambda: reading.scalar("width", "30"),
            "flange": lambda: reading.scalar("flange", needed=False),
        }
    )
    if not table.has("flange"):
        for key in ("fold_deg", "fold"):
            if table.has(key):
                problem = f"{table.what} has a {key}, but no flange to fold."
                table.fault("missing", key, problem, "Add flange = 25 for an angle.")
        return
    turn = table.degrees("fold_deg", _LEAST_FOLD, _MOST_FOLD)
    if turn is None and not table.has("fold_deg"):
        turn = math.radians(_USUAL_FOLD)
    reading.fields["turn"] = turn
    reading.fields["fold"] = read_fold(table, reading.terms.thickness)


def _read_rib(reading: Reading) -> None:
    reading.faces = _PLATE
    table = reading.table
    reading.scalar("station", "150", least=-math.inf)
    shell = _shell(reading)
    gap = reading.size(table, "gap", _USUAL_GAP, above=None, scaled=False)
    clip = reading.size(table, "clip", _USUAL_CLIP, above=None, scaled=False)
    if gap and clip:
        reading.fields |= {"gap": gap.length, "clip": clip.length}
    along = table.choice("along", ("x", "y", "z"), "y") or "y"
    if shell is None:
        reading.is_whole = False
        return
    axis = _SHELLS[shell.kind] or along
    if table.has("along") and along != axis:
        problem = f'A rib in a {shell.kind} stands square to its {axis}, not to "{along}".'
        table.fault("geometry", "along", problem, "Leave it out; it is for faceted parts.")
    reading.fields |= {"of": shell, "along": axis}
    _inside(reading, shell)


def _shell(reading: Reading) -> AnyPart | None:
    """Part that the rib stands in; None if it has a fault."""
    table = reading.table
    name = table.text("of", next(iter(reading.drafts), "pedestal"))
    draft = one_part(table, "of", name, reading.drafts) if name is not None else None
    if draft is None or not draft.kind:
        return None
    if draft.kind not in _SHELLS:
        problem = f'"{name}" is a {draft.kind}, which has no inside for a rib.'
        table.fault(
            "geometry", "of", problem, f"A rib stands in one of these: {', '.join(_SHELLS)}."
        )
        return None
    return draft.part


def _inside(reading: Reading, shell: AnyPart) -> None:
    """Note a station that lies outside the shell."""
    match shell:
        case Box() | Profile():
            extent = shell.depth
        case Taper() | Hood():
            extent = shell.height
        case Drum():
            extent = shell.length
        case Faceted():
            return
        case _:
            raise AssertionError(shell.kind)
    far, station = number(extent.value(shell.values())), reading.value("station")
    if station is not None and not 0.0 < station < far:
        problem = f"The station at {station:g} mm lies outside {shell.name}, which is {far:g} long."
        reading.table.fault("geometry", "station", problem, "Count it from the datum of the shell.")


def _read_bought(reading: Reading) -> None:
    table = reading.table
    if not table.has("mass"):
        table.missing("mass", "Add mass = 0.4, in kg as weighed.")
    mass = table.number("mass", 0.0, _HEAVIEST)
    if mass is None:
        reading.is_whole = False
    reading.fields["mass"] = mass
    if table.has("size") == table.has("diameter"):
        problem = f"{table.what} needs either its size or its diameter and length."
        table.fault("missing", "", problem, "Write size = [120, 80, 45], or diameter and length.")
        return
    if table.has("size"):
        reading.faces = _BOX
        if table.has("length"):
            problem = "Its length is in its size already."
            table.fault("unknown-key", "length", problem, "Leave it out.")
        sides = table.lengths("size", 3, "[120, 80, 45]")
        keys = ("width", "depth", "height")
    else:
        reading.faces = _DRUM
        if not table.has("length"):
            table.missing("length", "Add length = 60.")
        ends = [table.length(key, 0.0) for key in ("diameter", "length")]
        sides = None if None in ends else tuple(v for v in ends if v is not None)
        keys = ("diameter", "length", "")
    if sides is None:
        reading.is_whole = False
        return
    for key, side in zip(keys, sides, strict=False):
        if side < LEAST:
            where = "size" if table.has("size") else key
            problem = f"Its {key} is {side:g} mm; it takes {LEAST:g} or more."
            table.fault("out-of-range", where, problem, "Measure the thing as it was bought.")
            return
        reading.fields[key] = reading.fixed(side, scaled=False).length


FLAT_READERS: Mapping[str, KindReader] = {
    "plate": KindReader(
        Plate, _read_plate, ("outline", "diameter", "bore"), ("diameter", "bore"), unmade=("edge",)
    ),
    "strip": KindReader(
        Strip,
        _read_strip,
        ("length", "width", "flange", "fold_deg", "fold"),
        ("length", "width", "flange"),
    ),
    "rib": KindReader(
        Rib,
        _read_rib,
        ("of", "station", "gap", "clip", "along"),
        ("station",),
        unmade=("edge",),
    ),
    "bought": KindReader(Bought, _read_bought, ("mass", "size", "diameter", "length"), forms=()),
}
"""How plate, strip, rib and bought things are read."""
