"""Reading the round kinds: drum, hood, tube, plug.

Room: plan. Curled from board (drum, hood), or cut from a length of tube or
bar (tube, plug); a plug can be sawn from board too. A square tube is among
them: it is cut to length like a round one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from foldwright.plan.formula import Formula
from foldwright.plan.kinds import Drum, Hood, Plug, Tube
from foldwright.plan.reading import KindReader, Reading
from foldwright.plan.records import Length
from foldwright.plan.sizes import THICKNESS

_ROUND = ("wall", "bottom", "top")
_SQUARE = ("left", "right", "front", "back", "bottom", "top")
_ENDS = ("bottom", "top")
_SAME = 0.05  # mm; a length that agrees with the board it is sawn from
_LEAST_FLARE = 0.1  # mm between the diameters of a hood; less is a drum


def _read_drum(reading: Reading) -> None:
    reading.faces = _ROUND
    reading.each_scalar("outside_d", "length")
    reading.fields["former"] = _former(reading)
    _has_bore(reading, "outside_d")


def _former(reading: Reading) -> str:
    table, rack = reading.table, reading.shelf.rack
    name = table.text("former", "pipe114", "") or ""
    if name and name not in rack.formers and name not in rack.broken:
        remedy = f"Use one of these, or add a table [rack.{name}] with its former_d."
        table.faults.unknown(table.key("former"), "former", name, rack.formers, remedy)
    return name


def _has_bore(reading: Reading, key: str) -> None:
    diameter, thickness = reading.value(key), reading.terms.thickness
    if diameter is None or thickness is None or diameter > 2.0 * thickness:
        return
    problem = f"{key} is {diameter:g} mm, and two walls leave no bore."
    remedy = f"Make it more than {2.0 * thickness:g} mm; the board is {thickness:g} thick."
    reading.table.fault("geometry", key, problem, remedy)


def _read_hood(reading: Reading) -> None:
    reading.faces = _ROUND
    reading.each_scalar("bottom_d", "top_d", "height")
    _has_bore(reading, "bottom_d")
    _has_bore(reading, "top_d")
    bottom, top = reading.value("bottom_d"), reading.value("top_d")
    if bottom is not None and top is not None and abs(bottom - top) < _LEAST_FLARE:
        problem = f"A hood of {bottom:g} mm at both ends is a cylinder."
        remedy = 'Make it kind = "drum" with its outside_d, or give it two diameters.'
        reading.table.fault("geometry", "top_d", problem, remedy)


def _read_tube(reading: Reading) -> None:
    reading.scalar("length")
    if reading.stock is None:
        reading.is_whole = False
        return
    square = reading.stock.form == "square tube"
    reading.faces = _SQUARE if square else _ROUND
    reading.fields |= {"across": reading.stock.across, "square": square}


def _read_plug(reading: Reading) -> None:
    reading.faces = _ROUND
    stock = reading.stock
    board = stock is None or stock.form == "board"  # if it has a fault, nothing else is asked
    reading.each(
        {
            "diameter": lambda: reading.scalar("diameter", "36"),
            "length": lambda: reading.scalar("length", "20", needed=not board),
        }
    )
    _check_length(reading, board)
    diameter = reading.value("diameter")
    across = stock.across if stock else 0.0
    reading.fields["across"] = across
    if diameter is not None and stock and not board and diameter > across:
        problem = f"A plug of {diameter:g} mm cannot be filed from a bar of {across:g} mm."
        remedy = "Take a thicker bar, or check which of the two is meant in mm."
        reading.table.fault("geometry", "diameter", problem, remedy)
    if not reading.table.has("bolt_d"):
        return
    bolt = reading.size(reading.table, "bolt_d", scaled=False)
    if bolt is None:
        return
    reading.fields["bolt_d"] = bolt.length
    if bolt.value >= (diameter or math.inf):
        problem = f"A bolt hole of {bolt.value:g} mm leaves nothing of a plug of {diameter:g} mm."
        reading.table.fault("geometry", "bolt_d", problem, "Make it less than the diameter.")


def _check_length(reading: Reading, board: bool) -> None:
    """Length of a plug from board is the thickness of the board."""
    thickness = reading.terms.thickness
    if not board or thickness is None:
        return
    length = reading.value("length")
    if length is not None and abs(length - thickness) > _SAME:
        problem = f"A plug sawn from board of {thickness:g} mm is not {length:g} mm long."
        remedy = "Leave the length out, or make the plug from a bar."
        reading.table.fault("geometry", "length", problem, remedy)
    reading.parameters.pop("length", None)
    board_length = Length(Formula.reference(THICKNESS), 1.0, ((THICKNESS, thickness),))
    reading.fields["length"] = board_length


ROUND_READERS: Mapping[str, KindReader] = {
    "drum": KindReader(
        Drum,
        _read_drum,
        ("outside_d", "length", "former"),
        ("outside_d", "length"),
        unmade=_ENDS,
        is_curled=True,
    ),
    "hood": KindReader(
        Hood,
        _read_hood,
        ("bottom_d", "top_d", "height"),
        ("bottom_d", "top_d", "height"),
        unmade=_ENDS,
        is_curled=True,
    ),
    "tube": KindReader(
        Tube,
        _read_tube,
        ("length",),
        ("length",),
        forms=("tube", "square tube"),
        unmade=_ENDS,
    ),
    "plug": KindReader(
        Plug,
        _read_plug,
        ("diameter", "length", "bolt_d"),
        ("diameter", "length"),
        forms=("bar", "square bar", "board"),
    ),
}
"""How drum, hood, tube and plug are read."""
