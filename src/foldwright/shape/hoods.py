"""Hoods: a sheet curled to a right cone frustum, its ends cut square to the sheet.

Room: shape. In the plane through the axis the wall is a leaning rectangle: as
long as the slant, as thick as board and finish. Because its ends are square,
the rims of the outside and inside skins do not lie at one height: on a hood
that narrows upwards the inside rim of the bottom stands lowest and the outside
rim of the top highest. The height of the plan is measured over all, as a square
held against the hood standing on a table shows it::

    tan b = (D - d) / (2 (H - T sin b))     lean b, thickness over all T
    slant = (H - T sin b) / cos b

`bottom_d` and `top_d` are those of the outside rims, where a caliper rests.
A hood that widens upwards is the same one stood on its head.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from foldwright.errors import CannotMake, offer_names
from foldwright.plan import Hood, Number
from foldwright.plan.dual import cos, number, sin
from foldwright.shape.measured import Dim, Section, Span

HOOD_FACES = ("wall", "bottom", "top")
# Fixed-point steps for the lean; each gains at least a digit but for hoods about as
# high as their board is thick, and those end at the last step all the same.
_MOST_STEPS = 500
_CLOSE = 1e-15


@dataclass(frozen=True)
class HoodWall:
    """The wall of a hood in the plane through its axis.

    Attributes
    ----------
    bottom_d, top_d : Number
        Diameters of the outside rims [mm].
    slant : Number
        Along the outside, rim to rim [mm].
    lean : Number
        Half angle of the cone [rad]; positive narrows upwards.
    through : float
        Thickness of the wall [mm].
    bottom_z : Number
        Height of the outside rim of the bottom over the datum [mm].
    """

    bottom_d: Number
    top_d: Number
    slant: Number
    lean: Number
    through: float
    bottom_z: Number

    @property
    def height(self) -> Number:
        """Over all, inside rim to outside rim [mm]."""
        return self.slant * cos(self.lean) + self.through * _size(sin(self.lean))

    @property
    def top_z(self) -> Number:
        """Height of the outside rim of the top over the datum [mm]."""
        return self.bottom_z + self.slant * cos(self.lean)

    def bore(self, outside_d: Number) -> Number:
        """Diameter of the inside rim of the end whose outside rim has `outside_d` [mm]."""
        return outside_d - 2.0 * self.through * cos(self.lean)

    def inside_d(self, z: float) -> Number:
        """Diameter of the inside, a cone, at a height over the datum [mm]."""
        rim_d = self.bore(self.bottom_d)
        rim_z = self.bottom_z - self.through * sin(self.lean)
        return rim_d - 2.0 * (z - rim_z) * sin(self.lean) / cos(self.lean)


def hood_wall(hood: Hood, values: Mapping[str, Number], *, finished: bool) -> HoodWall:
    """Wall of a hood, with the finish on or bare.

    Raises
    ------
    CannotMake
        No higher than its wall is thick, or no diameter.
    """
    given = hood.thickness + (0.0 if hood.bare else hood.coat_outside + hood.coat_inside)
    bottom_d, top_d = hood.bottom_d.value(values), hood.top_d.value(values)
    height = hood.height.value(values)
    _require_hood(hood, number(bottom_d), number(top_d), number(height), given)
    lean, slant = lean_and_slant(bottom_d, top_d, height, given)
    bottom_z = given * sin(lean) if number(lean) > 0.0 else 0.0
    # The finish grows the leaning rectangle on all four sides; `grown` may be negative.
    grown = hood.coat_outside * (int(finished) - int(not hood.bare))
    return HoodWall(
        bottom_d=bottom_d + 2.0 * grown * (cos(lean) + sin(lean)),
        top_d=top_d + 2.0 * grown * (cos(lean) - sin(lean)),
        slant=slant + 2.0 * grown,
        lean=lean,
        through=hood.thickness + (hood.coat_outside + hood.coat_inside if finished else 0.0),
        bottom_z=bottom_z + grown * (sin(lean) - cos(lean)),
    )


def hood_dims(hood: Hood, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    """Every dim of a hood."""
    wall = hood_wall(hood, values, finished=finished)
    found = [Dim("height", wall.height, "over all, on a table, with a square, the mean of three")]
    for end, across in (("bottom", wall.bottom_d), ("top", wall.top_d)):
        found += [
            Dim(
                f"{end}_d",
                across,
                f"outside rim of the {end}, the mean of three directions",
                "diameter",
            ),
            Dim(f"{end}_girth", across * math.pi, f"tape round the outside rim, {end}", "girth"),
            Dim(
                f"{end}_bore",
                wall.bore(across),
                f"inside rim of the {end}, the mean of three directions",
                "diameter",
            ),
        ]
    found.append(Dim("slant", wall.slant, "along the outside, rim to rim, beside the seam"))
    return {dim.name: dim for dim in found}


def hood_section(hood: Hood, face: str, values: Mapping[str, Number], *, mouth: bool) -> Section:
    """Circle that an end of a hood offers to a meet; see `dims.section_of`.

    The gap is judged at that rim; a hood that widens behind it goes in no further.
    """
    if face not in ("bottom", "top"):
        asked = f'has no end "{face}"' if face else "has two ends"
        raise CannotMake(
            f"{hood.name} {asked}.",
            part=hood.name,
            field="",
            remedy=f'Write "{hood.name}.FACE". {offer_names(face, ("bottom", "top"))}',
        )
    name = f"{face}_bore" if mouth else f"{face}_d"
    across = hood_dims(hood, values, finished=True)[name].value
    z = 0.0 if face == "bottom" else number(hood.height.value(values))
    return Section((Span(name, across, (1.0, 0.0, 0.0)),), (0.0, 0.0, z))


def _size(x: Number) -> Number:
    return x if number(x) >= 0.0 else -x


def lean_and_slant(
    bottom_d: Number, top_d: Number, height: Number, through: float
) -> tuple[Number, Number]:
    """Half angle of the cone [rad] and length along its outside [mm].

    Diameters of the outside rims, height over all, thickness of the wall [mm];
    the wall is thinner than it is high.
    """
    lean = _lean(bottom_d, top_d, height, through)
    return lean, (height - through * _size(sin(lean))) / cos(lean)


def _lean(bottom_d: Number, top_d: Number, height: Number, through: float) -> Number:
    """Solve ``H sin b - T sin b |sin b| = (D - d)/2 cos b`` for the lean b [rad]."""
    half, high = (number(bottom_d) - number(top_d)) / 2.0, number(height)
    b = 0.0
    for _ in range(_MOST_STEPS):
        nearer = math.atan2(half, high - through * abs(math.sin(b)))
        if abs(nearer - b) < _CLOSE:
            break
        b = nearer
    # One Newton step on duals: hardly moves the value, and hands on exact slopes.
    s, c = math.sin(b), math.cos(b)
    rest = height * s - through * s * abs(s) - (bottom_d - top_d) / 2.0 * c
    steepness = high * c - 2.0 * through * abs(s) * c + half * s
    return b - rest / steepness


def _require_hood(hood: Hood, bottom_d: float, top_d: float, height: float, through: float) -> None:
    if not height > through:
        raise CannotMake(
            f"{hood.name} is {height:.1f} mm high, no more than its wall of {through:.1f} mm.",
            part=hood.name,
            field="height",
            remedy='Make it higher, or cut a flat ring: kind = "plate" with a bore.',
        )
    for end, across in (("bottom_d", bottom_d), ("top_d", top_d)):
        if across < 0.0:
            raise CannotMake(
                f"{hood.name} is {across:.1f} mm across.",
                part=hood.name,
                field=end,
                remedy="Make it larger.",
            )
