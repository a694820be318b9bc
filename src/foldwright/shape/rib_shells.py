"""The shell that a rib is drawn for: as intended, or with the sizes that it came out with.

Room: shape. A rib follows its shell where that came out longer or shorter, and
where it is wider or higher at one end than at the other. It does not follow a
lean, a skew or a twist: a rib is there to take those out.

Start at `drawn_for`; `sized_shell` and `sized_section` are what `ribs` draws from.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from foldwright.plan import AnyPart, Box, Formula, Length, Number, Profile, Rib
from foldwright.plan.dual import number
from foldwright.shape.arcs import Outline
from foldwright.shape.cutting import CuttingPlane
from foldwright.shape.solid import Solid
from foldwright.shape.strayed_faces import strayed
from foldwright.shape.strays import lengths_of, off_name

# Strays that the other hand has the other way.
_HANDED = ("~tilt_right",)
# How much wider or higher a shell is at one end.
_ENDS = ("~taper", "~flare", "~tilt_right", "~tilt_back")
_NOTHING = 1e-9  # mm


def is_followed(name: str) -> bool:
    """Whether a rib follows this parameter or stray of its shell."""
    return not name.startswith("~") or name in _ENDS or name.endswith("_off")


def way_in_hand(rib: Rib, shell: AnyPart, name: str) -> float:
    """1, or -1 if a rib takes this stray of its shell the other way round.

    A rib is drawn in the hand of its first; the shell that it stands in may be of the other.
    """
    return -1.0 if name in _HANDED and rib.of.mirrored != shell.mirrored else 1.0


def drawn_for(rib: Rib, shell: AnyPart, values: Mapping[str, float]) -> Rib:
    """Return a rib drawn for its shell as that came out.

    Parameters
    ----------
    rib : Rib
    shell : AnyPart
        As intended.
    values : Mapping of str to float
        Its parameters and strays, as measured and in the rib's hand [mm]; those that are
        missing are as intended.
    """
    came_out = tuple(replace(p, value=values.get(p.name, p.value)) for p in shell.parameters)
    strays = tuple(
        (name, value)
        for name, value in values.items()
        if name.startswith("~") and is_followed(name) and abs(value) > _NOTHING
    )
    of = replace(shell, parameters=came_out, mirrored=rib.of.mirrored)
    return replace(rib, of=of, shell_strays=strays)


@lru_cache(maxsize=256)
def sized_shell(rib: Rib) -> AnyPart:
    """Return the shell of a rib with the lengths that stray by themselves, at the rib's station.

    A profile has its outline as wide and high as it is there, so that its rounds
    stay tangent. A box that is wider at its top is no box: `sized_section` sees to it.
    """
    shell, strays, values = rib.of, dict(rib.shell_strays), rib.of.values()
    changed: dict[str, Any] = {
        field: _fixed(number(length.value(values)) + strays[off_name(field)])
        for field, length in lengths_of(shell).items()
        if strays.get(off_name(field))
    }
    if isinstance(shell, Profile) and any(name in strays for name in _ENDS):
        changed["outline"] = _as_wide(rib, shell, strays)
    return replace(shell, **changed) if changed else shell


def sized_section(
    rib: Rib, body: Solid, plane: CuttingPlane, section: Outline, station: Number
) -> Outline:
    """Return a section of a box as wide and high at each corner as the box is there."""
    strays = {name: value for name, value in rib.shell_strays if name in _ENDS}
    if not isinstance(rib.of, Box) or not strays:
        return section
    spots = []
    for x, y in section.corners:
        spot: list[Number] = [station, station, station]
        spot[plane.right], spot[plane.up] = x, y
        spots.append((spot[0], spot[1], spot[2]))
    moved = strayed(rib.of, {"body": body.vertices, "section": tuple(spots)}, strays)["section"]
    return replace(section, corners=tuple((p[plane.right], p[plane.up]) for p in moved))


def _as_wide(
    rib: Rib, shell: Profile, strays: Mapping[str, float]
) -> tuple[tuple[Length, Length], ...]:
    """Outline of a profile at the station of its rib."""
    values = shell.values()
    spots = [(number(x.value(values)), number(z.value(values))) for x, z in shell.outline]
    back = number(rib.station.value(rib.values())) / number(shell.depth.value(values)) - 0.5
    (left, right), (low, high) = ((min(c), max(c)) for c in zip(*spots, strict=True))
    wider = strays.get("~taper", 0.0) * back / (right - left)
    higher = strays.get("~tilt_back", 0.0) * back / (high - low)
    middle = (left + right) / 2.0
    return tuple(
        (_fixed(x + (x - middle) * wider), _fixed(z + (z - low) * higher)) for x, z in spots
    )


def _fixed(value: float) -> Length:
    return Length(Formula.parse(f"{value:.9f}"))
