"""Paths: closed outlines of straight lines and circular arcs, in a plane.

Room: shape. Arcs stay arcs until a file format or a check needs chords.
"""

from __future__ import annotations

from dataclasses import dataclass

type Point = tuple[float, float]
type Path = tuple[Step, ...]


@dataclass(frozen=True)
class Step:
    """One step of a path, from the last `to`: a line, or an arc about `centre`.

    `left` is the way of an arc: True turns anticlockwise. A path starts at its
    last `to`. Outlines run anticlockwise (material on the left), cutouts clockwise.
    """

    to: Point
    centre: Point | None = None
    left: bool = True


@dataclass(frozen=True)
class FaceCut:
    """Something cut into a face of a part, bare, in the frame of the face.

    Attributes
    ----------
    face : str
    path : Path
        Clockwise, in the frame of the face (`level_frame`): x along its lower
        edge from its lower-left corner seen from outside, y up; the centre
        is the origin of a round face; on a curled wall x runs round the
        **outside** from the seam, y along the axis [mm].
    why : str
        What it is for, in the maker's words.
    centre : Point
    drilled_in_place : bool
        Only the centre is marked.
    key : str
        Where the part's table says it; see `Feature`.
    """

    face: str
    path: Path
    why: str
    centre: Point
    drilled_in_place: bool = False
    key: str = ""
