"""Standing: where the datum of a part comes to lie in the build, on floats or duals.

Room: shape. What stands on another part moves with the face that it stands
on: a taller box lifts all that is on its top. `frames` has the motions as
drawn; here the shift follows the parameters of every part below, while all
turns stay as drawn, since what a face tilts by moves nothing to first order
but what stands far out on it.

The datum is set off from the face's lower-left corner as the plan says, and a
maker sets it off from there with a rule, whatever the face came out as.
"""

from __future__ import annotations

from collections.abc import Mapping

from foldwright.plan import AnyPart, Number, Placement, Rib
from foldwright.shape.face_corners import face_origin
from foldwright.shape.place import face_frame
from foldwright.shape.planes import Spot
from foldwright.shape.ribs import rib_plane
from foldwright.shape.solid import Vector


def datum_of(
    name: str,
    parts: Mapping[str, AnyPart],
    values: Mapping[str, Mapping[str, Number]],
    frames: Mapping[str, Vector],
) -> Spot:
    """Datum of a part in the build frame [mm].

    Parameters
    ----------
    name : str
        Of the part.
    parts : Mapping
        All parts by name, as drawn.
    values : Mapping
        Parameters of each part [mm], floats or duals.
    frames : Mapping
        Motion (4, 4) of each part as drawn, see `frames`.
    """
    part = parts[name]
    place = part.place or Placement()
    if isinstance(part, Rib) and part.place is None:
        return in_build(_rib_datum(part, values[name]), part.of.name, parts, values, frames)
    if not place.on:
        return (place.at[0], place.at[1], place.lift)
    below = parts[place.on]
    corner = face_origin(below, place.face, values[place.on])
    axes = face_frame(below, place.face)[:3, :3]
    off = axes @ (*place.at, place.lift)
    x, y, z = (corner[k] + float(off[k]) for k in range(3))
    return in_build((x, y, z), place.on, parts, values, frames)


def in_build(
    spot: Spot,
    name: str,
    parts: Mapping[str, AnyPart],
    values: Mapping[str, Mapping[str, Number]],
    frames: Mapping[str, Vector],
) -> Spot:
    """Point of a part's frame in the build frame [mm]; see `datum_of`."""
    datum, turned = datum_of(name, parts, values, frames), turned_by(frames[name], spot)
    return (datum[0] + turned[0], datum[1] + turned[1], datum[2] + turned[2])


def turned_by(frame: Vector, way: Spot) -> Spot:
    """Direction of a part's frame in the build frame."""
    rows = frame[:3, :3].tolist()
    x, y, z = (row[0] * way[0] + row[1] * way[1] + row[2] * way[2] for row in rows)
    return (x, y, z)


def _rib_datum(rib: Rib, values: Mapping[str, Number]) -> Spot:
    """Datum of a rib in the frame of its shell, as `rib_motion` has it."""
    plane, station = rib_plane(rib), rib.station.value(values)
    if rib.mirrored and plane.along == 0:
        station = -station
    spot: list[Number] = [0.0, 0.0, 0.0]
    spot[plane.along] = station - plane.way * rib.thickness / 2.0
    return (spot[0], spot[1], spot[2])
