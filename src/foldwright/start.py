"""Start: the plan of one folded part, from one outline, a depth and a board.

The text is commented, so that it grows into a whole build in the maker's own
editor.
"""

from __future__ import annotations

import re

from foldwright.errors import OutOfDomain

_TEMPLATE = """\
# {name}: a Foldwright plan. Lengths are millimetres, or say so: "1 1/2 in".
# Change a number here, then run:  foldwright make {folder}

[build]
name = "{name}"

[size]                       # named sizes; parts can share them
depth = {{ plan = {depth}, give = {give} }}    # give: how far it may drift before it looks wrong

[rack.board]                 # what you have; add sheets = [{{ size = [1220, 2440] }}] when you like
material = "{board}"{thickness}

[part.{part}]
kind = "profile"             # an outline, seen from the front, pushed back by a depth
from = "board"
# corners [x right, z up], anticlockwise, outside
outline = [{outline}]
sides = [{sides}]            # a name for each side, in the same order
depth = "depth"
leave_open = [{leave_open}]  # sides or ends ("front", "back") that are not made

# A second part that has to suit this one, and what the fit should be:
#
# [part.lid]
# kind = "box"
# from = "board"
# width = 200
# depth = "depth + 2*thickness + 2"      # thickness is that of the part's own board
# height = 40
# leave_open = ["bottom"]
#
# [[meet]]
# kind = "slides-into"
# inner = "{part}.{first_side}"
# outer = "lid.bottom"
# gap = [0.4, 1.6]                       # per side
"""


def first_plan(
    *,
    name: str,
    folder: str,
    outline: list[tuple[float, float]],
    depth: float,
    board: str,
    thickness: float | None = None,
    leave_open: tuple[str, ...] = (),
) -> str:
    """Write the text of a plan with one folded part.

    Parameters
    ----------
    name : str
        Of the build; the part is named after it.
    folder : str
        As the maker typed it, for the hints.
    outline : list of (x, z)
        Corners [mm].
    depth : float
        [mm].
    board : str
        Material id.
    thickness : float, optional
        [mm], where the material comes in any.
    leave_open : tuple of str
        Faces that are not made.
    """
    sides = [f"side-{i + 1}" for i in range(len(outline))]
    return _TEMPLATE.format(
        name=name.replace("\\", "").replace('"', "'"),
        folder=folder,
        depth=f"{depth:.10g}",
        give=f"{min(4.0, max(1.0, depth / 100.0)):.3g}",
        board=board,
        thickness=f"\nthickness = {thickness:.10g}" if thickness is not None else "",
        part=part_name(name),
        outline=", ".join(f"[{x:.10g}, {z:.10g}]" for x, z in outline),
        sides=", ".join(f'"{side}"' for side in sides),
        leave_open=", ".join(f'"{face}"' for face in leave_open),
        first_side=sides[0],
    )


def part_name(name: str) -> str:
    """Name of a part made from that of the build: letters, digits and _."""
    plain = re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")
    return plain if plain and not plain[0].isdigit() else f"part_{plain}".rstrip("_")


def parse_corners(text: str) -> list[tuple[float, float]]:
    """Read corners typed as ``0,0  300,0  300,200  0,120`` (any unit after a number).

    Raises
    ------
    OutOfDomain
        What is typed is no list of corners.
    """
    from foldwright.plan import parse_length

    corners = []
    for spot in re.split(r"[;\s]+(?=[-+\d.])", text.strip().strip(";")):
        numbers = spot.strip(" ;").split(",")
        if len(numbers) != 2:
            raise OutOfDomain(
                f'"{spot}" is not a corner. Type each as x,z with a blank between corners: '
                "0,0 300,0 300,200 0,120.",
                name="outline",
            )
        corners.append((parse_length(numbers[0].strip()), parse_length(numbers[1].strip())))
    if len(corners) < 3:
        raise OutOfDomain(
            f"{len(corners)} corners make no outline; it needs 3 or more: 0,0 300,0 300,200 0,120.",
            name="outline",
        )
    return corners
