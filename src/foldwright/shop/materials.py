"""Materials: what a board is made of, each figure with source and spread.

Room: shop. The built-in table is ``materials.toml`` beside this file; a plan
may bring tables of its own. A *board* is either solid (its face material
right through) or skinned (two equal skins on a core).

Start at `boards`, the built-in table, and `board_from_table`, which reads
one that a maker wrote.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files

from foldwright.errors import OutOfDomain, offer_names

_FIGURES = ("density", "modulus", "poisson", "strength", "bend_radius")
_OWN_KEYS = ("what", "like", "thickness", "skin_thickness", *_FIGURES, "core_strength")


@dataclass(frozen=True)
class Figure:
    """A number of the table: value, one standard deviation as a share of it, source."""

    value: float
    spread: float
    source: str


@dataclass(frozen=True)
class Matter:
    """What a layer consists of.

    Attributes
    ----------
    density : Figure
        [kg/m3].
    modulus : Figure
        Young's modulus [MPa].
    poisson : Figure
        [-].
    strength : Figure
        Flow stress at the strains of a fold [MPa].
    bend_radius : Figure
        Least inside radius of a 90 degree bend, in thicknesses [-].
    """

    what: str
    density: Figure
    modulus: Figure
    poisson: Figure
    strength: Figure
    bend_radius: Figure

    @property
    def plane_strain_modulus(self) -> float:
        """E / (1 - nu^2) [MPa]: a wide strip cannot narrow as it bends."""
        return self.modulus.value / (1.0 - self.poisson.value**2)

    @property
    def bend_strain(self) -> float:
        """Outer strain [-] that the material takes when bent: 1/(2 R/t + 1) at its least radius."""
        return 1.0 / (2.0 * self.bend_radius.value + 1.0)


@dataclass(frozen=True)
class Board:
    """A board or sheet.

    Attributes
    ----------
    thickness : float
        Of the whole board [mm]; 0 in the table where any thickness is sold.
    skin_thickness : float
        Of each skin [mm]; 0 for solid sheet.
    face : Matter
        Skins, or the whole of a solid sheet.
    core : Matter or None
        None for solid sheet.
    """

    name: str
    what: str
    thickness: float
    skin_thickness: float
    face: Matter
    core: Matter | None
    source: str

    @property
    def is_skinned(self) -> bool:
        """Two skins on a core."""
        return self.core is not None

    @property
    def areal_mass(self) -> float:
        """Mass of a square metre [kg/m2]."""
        if self.core is None:
            return self.face.density.value * self.thickness * 1e-3
        core = self.thickness - 2.0 * self.skin_thickness
        return (
            2.0 * self.skin_thickness * self.face.density.value + core * self.core.density.value
        ) * 1e-3

    def of_thickness(self, thickness: float) -> Board:
        """Return the same material in another thickness [mm]."""
        return replace(self, thickness=thickness)


@cache
def boards() -> Mapping[str, Board]:
    """Return the built-in boards by name."""
    text = files(__package__).joinpath("materials.toml").read_text(encoding="utf-8")
    table = tomllib.loads(text)
    matter = {
        name: Matter(what=entry["what"], **{key: Figure(**entry[key]) for key in _FIGURES})
        for name, entry in table["matter"].items()
    }
    return {
        name: Board(
            name=name,
            what=entry["what"],
            thickness=float(entry.get("thickness", 0.0)),
            skin_thickness=float(entry.get("skin_thickness", 0.0)),
            face=matter[entry["face"]],
            core=matter[entry["core"]] if "core" in entry else None,
            source=entry["source"],
        )
        for name, entry in table["board"].items()
    }


def thicknesses() -> dict[str, float | None]:
    """Return the thickness [mm] of each built-in board; None where any is sold."""
    return {name: board.thickness or None for name, board in boards().items()}


def board_from_table(name: str, table: Mapping[str, object]) -> Board:
    """Read a material table that a maker wrote into a plan.

    Parameters
    ----------
    name : str
        Name of the table, ``[material.NAME]``.
    table : Mapping
        ``like`` names the built-in board that it starts from; every other key
        replaces one figure: thickness, skin_thickness [mm], density [kg/m3],
        modulus, strength, core_strength [MPa], poisson, bend_radius [-].

    Raises
    ------
    OutOfDomain
        Unknown key or board, or a figure that no material has.
    """
    unknown = [key for key in table if key not in _OWN_KEYS]
    if unknown:
        raise OutOfDomain(
            f'Material "{name}" has no figure "{unknown[0]}". {offer_names(unknown[0], _OWN_KEYS)}',
            name=unknown[0],
        )
    like = str(table.get("like", ""))
    if like not in boards():
        raise OutOfDomain(
            f'Material "{name}" needs like = "..." with the built-in board it resembles. '
            f"{offer_names(like, boards())}",
            name="like",
        )
    start = boards()[like]
    given = {
        key: _positive(name, key, value)
        for key, value in table.items()
        if key not in ("what", "like")
    }
    face = start.face
    for key in _FIGURES:
        if key in given:
            face = replace(face, **{key: Figure(given[key], 0.05, "the plan's own figure")})  # type: ignore[arg-type]
    core = start.core
    if core is not None and "core_strength" in given:
        core = replace(core, strength=Figure(given["core_strength"], 0.05, "the plan's own figure"))
    board = Board(
        name=name,
        what=str(table.get("what", start.what)),
        thickness=given.get("thickness", start.thickness),
        skin_thickness=given.get("skin_thickness", start.skin_thickness),
        face=face,
        core=core,
        source="the plan's own table",
    )
    if board.face.poisson.value >= 0.5:
        raise OutOfDomain(
            f'Material "{name}": poisson is {board.face.poisson.value:g}; solids have 0 to 0.5.',
            name="poisson",
        )
    if board.is_skinned and 2.0 * board.skin_thickness >= board.thickness:
        raise OutOfDomain(
            f'Material "{name}": two skins of {board.skin_thickness:g} mm leave no core in '
            f"{board.thickness:g} mm. Make skin_thickness smaller.",
            name="skin_thickness",
        )
    return board


def _positive(name: str, key: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not value > 0.0:
        raise OutOfDomain(
            f'Material "{name}": {key} = {value!r} is not a number above 0.', name=key
        )
    return float(value)
