"""Materials: what a board is made of, each figure with spread and source.

Room: shop. A *matter* is one substance in one condition: aluminium 5754 H22,
birch plywood. A *board* is a sheet, either solid (its face matter right
through) or skinned (two equal skins on a core).

`material_table` has the built-in ones, and reads those that a maker writes.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace


@dataclass(frozen=True)
class Figure:
    """A number of the table: value, one standard deviation as a share of it, source.

    Where it hangs on thickness, `table` names the standard and the row of it
    (``("EN 485-2", "5754", "H22")``), and `value` is that of 2 mm sheet.
    """

    value: float
    spread: float
    source: str
    table: tuple[str, ...] = ()


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
        Least inside radius of a 90 degree bend, in thicknesses [-]; of what is not bent
        cold, that of the tightest curl.
    proof : Figure
        Stress at 0.2 % of lasting strain, or the yield point [MPa].
    tensile : Figure
        Tensile strength [MPa].
    elongation : Figure
        Strain at break, as a share [-].
    hardening : Figure
        Slope of stress over strain just past yield [MPa].
    expansion : Figure
        Growth with heat, as a share per kelvin [1/K].
    swelling : Figure
        Growth along the sheet, as a share per per cent of moisture that it takes up [-];
        0 for metals.
    friction : Figure
        Dry, against aluminium [-].
    folds : tuple of str
        Ways of folding a solid sheet of it, the usual one first: ``"bend"``, ``"hot"``,
        ``"score"``, ``"kerf"``, ``"groove"``, ``"open"``; empty if it is not folded.
    """

    what: str
    density: Figure
    modulus: Figure
    poisson: Figure
    strength: Figure
    bend_radius: Figure
    proof: Figure
    tensile: Figure
    elongation: Figure
    hardening: Figure
    expansion: Figure
    swelling: Figure
    friction: Figure
    folds: tuple[str, ...] = ("bend",)

    @property
    def plane_strain_modulus(self) -> float:
        """E / (1 - nu^2) [MPa]: a wide strip cannot narrow as it bends."""
        return self.modulus.value / (1.0 - self.poisson.value**2)

    @property
    def bend_strain(self) -> float:
        """Outer strain [-] that the material takes when bent: 1/(2 R/t + 1) at its least radius."""
        return 1.0 / (2.0 * self.bend_radius.value + 1.0)


# The names of what a table has to give of each matter.
FIGURES = tuple(field.name for field in fields(Matter) if field.name not in ("what", "folds"))
# Skins are cut, one of them; the other bends.
_SKINNED_FOLDS = ("groove", "open", "kerf")


@dataclass(frozen=True)
class StripResult:
    """What a folded test strip said of one way of folding a board.

    `web` is what was left under the cut [mm], the thickness where nothing was cut; `k`
    the neutral line as a share of it, and `spread` one standard deviation of `k`.
    """

    method: str
    web: float
    k: float
    spread: float


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
    thicknesses : tuple of float
        In which sheet of it is sold [mm]; empty if it is not sold as sheet.
    tubes : tuple of (float, float)
        Outside and wall of the tubes sold [mm].
    bars : tuple of float
        Diameters of the round bars sold [mm].
    strips : tuple of StripResult
        What the maker's folded test strips of it said.
    """

    name: str
    what: str
    thickness: float
    skin_thickness: float
    face: Matter
    core: Matter | None
    source: str
    thicknesses: tuple[float, ...] = ()
    tubes: tuple[tuple[float, float], ...] = ()
    bars: tuple[float, ...] = ()
    strips: tuple[StripResult, ...] = ()

    @property
    def is_skinned(self) -> bool:
        """Two skins on a core."""
        return self.core is not None

    @property
    def folds(self) -> tuple[str, ...]:
        """Ways of folding it, the usual one first; see `Matter`."""
        return _SKINNED_FOLDS if self.is_skinned else self.face.folds

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
