"""Seams: how far each skin stops short where two boards meet.

Room: shop. A seam at interior dihedral phi joins board 1 to board 2. `trim`
is how far the outside skin stops short of the mould line, `trim_inside` how
far the inside skin does; negative runs past it. The saw tilts `bevel` from
square.

* `mitre`: both edges bevelled, for any dihedral.
* `lap`: one board covers the edge of the other; under 180 degrees only.
* `butt`: both edges square. The boards touch along the inside line and leave a
  V outside to fill (past 180 degrees along the outside line, the V inside); or
  one board runs through and the other stands against its inside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain

# Faces nearer to one plane than this are in it [rad].
_FLAT = 1e-9


@dataclass(frozen=True)
class SeamSection:
    """Edge of one board at a seam: `trim`, `trim_inside` [mm], `bevel` [rad] from square."""

    kind: str
    trim: float
    trim_inside: float
    bevel: float


def mitre(thickness: float, mate_thickness: float, dihedral: float) -> SeamSection:
    """Mitre: the outside skins meet on the mould line, so nothing shows.

    ::

        inside trim  d_1 = (t_2 + t_1 cos phi) / sin phi
        saw tilt     atan(d_1 / t_1);  theta/2 for equal boards

    Past 180 degrees d_1 is negative: the inside skin is the larger one.

    Parameters
    ----------
    thickness, mate_thickness : float
        t_1, t_2 [mm], above 0.
    dihedral : float
        phi, interior [rad], 0 to 2 pi but not 0, pi or 2 pi.

    Returns
    -------
    SeamSection
        Of board 1.

    Raises
    ------
    OutOfDomain
        The faces lie in one plane or on one another.

    References
    ----------
    Plane trigonometry: the plane through the two mould lines, outside and
    inside. Common practice for mitres; see the mitre tables checked in the tests.

    Examples
    --------
    >>> round(mitre(3.0, 3.0, math.pi / 2).trim_inside, 6)
    3.0
    """
    if abs(math.sin(dihedral)) < 1e-9:
        raise OutOfDomain(
            f"two faces at {math.degrees(dihedral):.1f} degrees have no mitre. "
            "Make them one face, or change the outline.",
            name="outline",
        )
    inside = (mate_thickness + thickness * math.cos(dihedral)) / math.sin(dihedral)
    return SeamSection("mitre", 0.0, inside, math.atan(inside / thickness))


def lap(thickness: float, mate_thickness: float, dihedral: float, *, covering: bool) -> SeamSection:
    """Lap: one board covers the edge of the other, ending flush with its outside.

    ::

        covering   outside 0,              inside t_1 cot phi
        covered    outside t_2 / sin phi,  inside (t_2 + t_1 cos phi) / sin phi

    The covered edge lies against the inside of the covering board.

    Parameters
    ----------
    thickness, mate_thickness : float
        t_1 of this board, t_2 of the other [mm], above 0.
    dihedral : float
        phi, interior [rad], 0 to pi.
    covering : bool
        This board covers the other's edge.

    Returns
    -------
    SeamSection
        Of board 1; its kind is ``"lap over"`` or ``"lap under"``.

    Raises
    ------
    OutOfDomain
        Faces in one plane, or a re-entrant edge, where nothing can lie over.

    References
    ----------
    Plane trigonometry; verified by construction in the tests.

    Examples
    --------
    >>> lap(3.0, 2.0, math.pi / 2, covering=False).trim
    2.0
    """
    if not 0.0 < dihedral < math.pi - _FLAT:
        raise OutOfDomain(
            f"two faces at {math.degrees(dihedral):.1f} degrees inside cannot be lapped; "
            'under 180 can. Use a "mitre" or a "butt" there.',
            name="seam_at",
        )
    sin, cos = math.sin(dihedral), math.cos(dihedral)
    if covering:
        return _section("lap over", thickness, 0.0, thickness * cos / sin)
    outside = mate_thickness / sin
    return _section("lap under", thickness, outside, (mate_thickness + thickness * cos) / sin)


def butt(
    thickness: float,
    mate_thickness: float,
    dihedral: float,
    *,
    runs_through: bool | None = None,
) -> SeamSection:
    """Butt: both edges sawn square.

    With no board running through, under 180 degrees the inside skins meet on
    the inside line; past 180 the outside skins meet on the outside line; in
    one plane both end on the line between them::

        phi < pi    both skins (t_2 + t_1 cos phi) / sin phi;  equal boards t cot(phi/2)
        phi >= pi   both skins 0

    With a board running through (phi up to 90 degrees), it ends flush with the
    other's outside, and the other stands against its inside::

        through     both skins t_1 cot phi
        the other   both skins (t_2 + t_1 cos phi) / sin phi

    Parameters
    ----------
    thickness, mate_thickness : float
        t_1 of this board, t_2 of the other [mm], above 0.
    dihedral : float
        phi, interior [rad], 0 to 2 pi.
    runs_through : bool or None
        This board runs through, the other does, or neither.

    Returns
    -------
    SeamSection
        Of board 1.

    Raises
    ------
    OutOfDomain
        A board running through past 90 degrees, or one so much thicker than
        its mate that its square edge would stand out.

    References
    ----------
    Plane trigonometry; verified by construction in the tests.

    Examples
    --------
    >>> round(butt(3.0, 3.0, math.pi / 2).trim, 6)
    3.0
    """
    is_flat = abs(dihedral - math.pi) < _FLAT
    if runs_through is not None and not is_flat:
        if dihedral > math.pi / 2.0 + _FLAT:
            raise OutOfDomain(
                f"at {math.degrees(dihedral):.1f} degrees inside, a square edge that runs through "
                'would stand out; up to 90 it does not. Leave out "over", or use a lap or a mitre.',
                name="seam_at",
            )
        if runs_through:
            trim = thickness / math.tan(dihedral)
        else:
            trim = (mate_thickness + thickness * math.cos(dihedral)) / math.sin(dihedral)
        return _section("butt", thickness, trim, trim)
    if dihedral > math.pi or is_flat:
        return _section("butt", thickness, 0.0, 0.0)
    trim = (mate_thickness + thickness * math.cos(dihedral)) / math.sin(dihedral)
    if trim < 0.0:
        raise OutOfDomain(
            f"butted to {mate_thickness:g} mm board at {math.degrees(dihedral):.1f} degrees, the "
            f'edge of {thickness:g} mm board would stand out. Use a "mitre" or a "lap" there.',
            name="seam_at",
        )
    return _section("butt", thickness, trim, trim)


def _section(kind: str, thickness: float, trim: float, trim_inside: float) -> SeamSection:
    return SeamSection(kind, trim, trim_inside, math.atan((trim_inside - trim) / thickness))
