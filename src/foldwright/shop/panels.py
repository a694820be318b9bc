"""Panels: how stiff and how strong skinned board is, as a beam.

Room: shop. Two equal faces t on a core c: the faces lie d = c + t apart, the
whole is h = c + 2 t thick. The faces carry the bending, the core the shear,
and a soft core lets a short panel sag more by shear than by bending.

`Panel` holds the numbers; `panel_of` takes them from a board, solid sheet
included. Start at `sag_at_middle`; what limits the load is in
`face_yield_moment`, `wrinkling_stress` and `core_shear_stress`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.shop.materials import Board, Matter
from foldwright.shop.physical import require_above_zero, require_between

WRINKLING = 0.5
"""Share of (E_f E_c G_c)^(1/3) at which faces wrinkle in practice; in theory 0.91."""
# Part of a solid rectangular section that carries shear as if evenly.
_SHEAR_SHARE = 5.0 / 6.0


@dataclass(frozen=True)
class Panel:
    """Section of a skinned board, or of solid sheet, which has no core.

    Attributes
    ----------
    face, core : float
        t, thickness of each face, and c, of the core [mm]; for solid sheet
        half of the sheet, and 0.
    face_modulus, core_modulus, core_shear : float
        E_f, E_c, G_c [MPa]; for solid sheet the last two are those of the sheet.
    """

    face: float
    core: float
    face_modulus: float
    core_modulus: float
    core_shear: float

    def __post_init__(self) -> None:
        require_above_zero(self.face, "the face", name="face")
        require_between(self.core, 0.0, math.inf, "the core", name="core")
        for name in ("face_modulus", "core_modulus", "core_shear"):
            words = f"the {name.replace('_', ' ')}"
            require_above_zero(getattr(self, name), words, name=name, unit="MPa")

    @property
    def thickness(self) -> float:
        """Of the whole panel, h [mm]."""
        return self.core + 2.0 * self.face

    @property
    def apart(self) -> float:
        """From middle to middle of the faces, d [mm]."""
        return self.core + self.face


def panel_of(board: Board) -> Panel:
    """Section of a board with its thickness.

    Raises
    ------
    OutOfDomain
        No thickness, or skins that leave no core.
    """
    require_above_zero(board.thickness, "the thickness of the board", name="thickness")
    if board.core is None:
        stiff = board.face.modulus.value
        return Panel(board.thickness / 2.0, 0.0, stiff, stiff, shear_modulus(board.face))
    core = board.thickness - 2.0 * board.skin_thickness
    require_above_zero(core, "the core between the skins", name="thickness")
    return Panel(
        board.skin_thickness,
        core,
        board.face.modulus.value,
        board.core.modulus.value,
        shear_modulus(board.core),
    )


def shear_modulus(matter: Matter) -> float:
    """G = E / (2 (1 + nu)) [MPa], of what is alike in all directions."""
    return matter.modulus.value / (2.0 * (1.0 + matter.poisson.value))


def section_modulus(panel: Panel) -> float:
    """Moment per width over the stress in the middle of thin faces, ``W = t (h - t)`` [mm2].

    References
    ----------
    Data sheets of composite panel (rigidity by DIN 53293) print W in cm3/m,
    which is numerically the same.

    Examples
    --------
    >>> section_modulus(Panel(0.5, 3.0, 70_000.0, 200.0, 70.0))
    1.75
    """
    return panel.face * (panel.thickness - panel.face)


def plate_rigidity(panel: Panel, poisson: float) -> float:
    """Rigidity of a wide panel per width, of its faces alone [N mm].

    ::

        D = E_f (h^3 - c^3) / (12 (1 - nu^2))

    Parameters
    ----------
    panel : Panel
    poisson : float
        nu of the faces [-], from 0 to below 0.5.

    References
    ----------
    Plate of three layers, texts on sandwich construction. Data sheets of
    composite panel print E J in kN cm2/m, a hundredth of this.
    """
    require_between(
        poisson, 0.0, math.nextafter(0.5, 0.0), "Poisson's ratio", name="poisson", unit=""
    )
    cubes = panel.thickness**3 - panel.core**3
    return panel.face_modulus * cubes / (12.0 * (1.0 - poisson**2))


def equivalent_modulus(panel: Panel) -> float:
    """Modulus of solid sheet as thick and as stiff, ``E_f (1 - (c/h)^3)`` [MPa].

    Examples
    --------
    >>> round(equivalent_modulus(Panel(0.5, 3.0, 70_000.0, 200.0, 70.0)))
    40469
    """
    return panel.face_modulus * (1.0 - (panel.core / panel.thickness) ** 3)


def bending_rigidity(panel: Panel, width: float) -> float:
    """Rigidity of a beam of panel against bending [N mm2].

    ::

        EI = E_f b t d^2 / 2 + E_f b t^3 / 6 + E_c b c^3 / 12

    Parameters
    ----------
    panel : Panel
    width : float
        b [mm].

    References
    ----------
    M. F. Ashby et al., Metal Foams: A Design Guide, ch. 10, eq. (10.1), after
    H. G. Allen, Analysis and Design of Structural Sandwich Panels, 1969.
    """
    require_above_zero(width, "the width", name="width")
    faces = panel.face * panel.apart**2 / 2.0 + panel.face**3 / 6.0
    return width * (panel.face_modulus * faces + panel.core_modulus * panel.core**3 / 12.0)


def shear_rigidity(panel: Panel, width: float) -> float:
    """Rigidity of a beam of panel against shear, ``AG = b d^2 G_c / c`` [N].

    Of solid sheet ``5/6 b h G``.

    References
    ----------
    As `bending_rigidity`, eq. (10.3); solid sheet by S. Timoshenko's beam.
    """
    require_above_zero(width, "the width", name="width")
    if panel.core == 0.0:
        return _SHEAR_SHARE * width * panel.thickness * panel.core_shear
    return width * panel.apart**2 * panel.core_shear / panel.core


def sag_at_middle(panel: Panel, width: float, span: float, load: float) -> float:
    """Sag of a panel that lies on two edges under a load on a line across its middle [mm].

    ::

        v = F L^3 / (48 EI) + F L / (4 AG)

    Parameters
    ----------
    panel : Panel
    width, span : float
        b and L, from edge to edge [mm].
    load : float
        F [N], 0 or more.

    Raises
    ------
    OutOfDomain
        Sizes that are not above 0, or a load below.

    References
    ----------
    As `bending_rigidity`, eq. (10.4).
    """
    _require_load(span, load)
    bending = load * span**3 / (48.0 * bending_rigidity(panel, width))
    return bending + shear_sag(panel, width, moment_at_middle(span, load))


def sag_spread_out(panel: Panel, width: float, span: float, load: float) -> float:
    """Sag at the middle of a panel on two edges under a load spread evenly over it [mm].

    ::

        v = 5 F L^3 / (384 EI) + F L / (8 AG)

    `load` is all of it [N]; its own weight is such a load.

    References
    ----------
    Beam of S. Timoshenko under an even load; the first term is in every table of beams.
    """
    _require_load(span, load)
    bending = 5.0 * load * span**3 / (384.0 * bending_rigidity(panel, width))
    return bending + shear_sag(panel, width, moment_spread_out(span, load))


def shear_sag(panel: Panel, width: float, moment: float) -> float:
    """Part of the sag between two edges that shear makes, ``M / AG`` [mm].

    Shear is the slope of the moment, so what it adds from edge to middle is the
    moment at the middle over the rigidity.
    """
    require_between(moment, 0.0, math.inf, "the moment", name="moment", unit="N mm")
    return moment / shear_rigidity(panel, width)


def moment_at_middle(span: float, load: float) -> float:
    """Largest moment between two edges under a load at the middle, ``F L / 4`` [N mm]."""
    _require_load(span, load)
    return load * span / 4.0


def moment_spread_out(span: float, load: float) -> float:
    """Largest moment between two edges under a load spread evenly, ``F L / 8`` [N mm]."""
    _require_load(span, load)
    return load * span / 8.0


def face_stress(panel: Panel, width: float, moment: float) -> float:
    """Largest stress in the faces under a moment, at their outside [MPa].

    ::

        sigma = M E_f (h/2) / EI

    `moment` is that on the whole width [N mm].

    References
    ----------
    As `bending_rigidity`, eq. (10.5).
    """
    require_between(moment, 0.0, math.inf, "the moment", name="moment", unit="N mm")
    outermost = panel.thickness / 2.0
    return moment * panel.face_modulus * outermost / bending_rigidity(panel, width)


def core_shear_stress(panel: Panel, width: float, shear: float) -> float:
    """Shear in the core, ``tau = Q / (b d)`` [MPa]; of solid sheet ``3 Q / (2 b h)``.

    `shear` is the force across the section [N]: half the load between two edges.

    References
    ----------
    As `bending_rigidity`, ch. 10: thin faces on a soft core.
    """
    require_between(shear, 0.0, math.inf, "the shear force", name="shear", unit="N")
    require_above_zero(width, "the width", name="width")
    if panel.core == 0.0:
        return 1.5 * shear / (width * panel.thickness)
    return shear / (width * panel.apart)


def face_yield_moment(panel: Panel, face_yield: float) -> float:
    """Moment per width at which thin faces yield, ``M = sigma_y t d`` [N mm per mm].

    Of solid sheet, whose "faces" are no thin ones, ``sigma_y h^2 / 6``.

    References
    ----------
    As `bending_rigidity`, ch. 10, face yield.

    Examples
    --------
    >>> face_yield_moment(Panel(0.5, 3.0, 70_000.0, 200.0, 70.0), 90.0)
    157.5
    """
    require_above_zero(face_yield, "the yield of the faces", name="face_yield", unit="MPa")
    if panel.core == 0.0:
        return face_yield * panel.thickness**2 / 6.0
    return face_yield * panel.face * panel.apart


def wrinkling_stress(panel: Panel, coefficient: float = WRINKLING) -> float:
    """Pressure along a face at which it wrinkles into or off the core [MPa].

    ::

        sigma = 0.5 (E_f E_c G_c)^(1/3)

    Parameters
    ----------
    panel : Panel
        With a core.
    coefficient : float
        0.5 as used in design, 0.91 in theory.

    Raises
    ------
    OutOfDomain
        Solid sheet, which has no face that could wrinkle alone.

    References
    ----------
    N. J. Hoff and S. E. Mautner, The buckling of sandwich-type panels, J. Aeronautical
    Sciences 12, 1945; D. Zenkert, An Introduction to Sandwich Construction.
    Coefficient from memory, unchecked.
    """
    require_above_zero(coefficient, "the coefficient", name="coefficient", unit="")
    if panel.core == 0.0:
        raise OutOfDomain(
            "solid sheet has no faces that could wrinkle. Ask for a board with skins.",
            name="board",
        )
    return coefficient * math.cbrt(panel.face_modulus * panel.core_modulus * panel.core_shear)


def _require_load(span: float, load: float) -> None:
    require_above_zero(span, "the span", name="span")
    require_between(load, 0.0, math.inf, "the load", name="load", unit="N")
