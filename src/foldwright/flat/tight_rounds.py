"""Tight rounds: rounds that their board does not curl to, sawn as rows of kerfs.

Room: flat. A round whose inner skin would crack or wrinkle becomes one fold
between its two flat neighbours: a row of kerfs of the same turn, which follows
the round. The curved face itself is then not made; the faces across its ends
keep their arcs. Start at `kerf_rows`.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.shape import Edge, Face, Solid
from foldwright.shop import (
    Board,
    FoldRequest,
    FoldSection,
    SetUp,
    choose_section,
    least_curl,
    may_wrinkle,
)

# A round this near to tangent runs on into its neighbours [rad].
_TANGENT = 1e-7


@dataclass(frozen=True)
class KerfRow:
    """A round that is sawn instead of curled.

    Attributes
    ----------
    face : str
        The round.
    edge : Edge
        Between its neighbours; its ends are those of the side of the left one.
    beyond : (int, int)
        Vertices of the side of the right one.
    section : FoldSection
        Its setback is taken from where the round starts, not from the mould line.
    note : str
        What the maker should know.
    """

    face: str
    edge: Edge
    beyond: tuple[int, int]
    section: FoldSection
    note: str


def kerf_rows(
    solid: Solid,
    boards: Mapping[str, tuple[str, Board]],
    set_ups: tuple[SetUp, ...],
    spoken_for: Collection[str] = (),
) -> list[KerfRow]:
    """Rounds too tight to curl that a saw of the list can make.

    Parameters
    ----------
    solid : Solid
    boards : Mapping of str to (str, Board)
        Stock and board of each face that is made.
    set_ups : tuple of SetUp
        The maker's cutters.
    spoken_for : collection of str
        Faces that the plan has wishes for; they stay as they are.

    Returns
    -------
    list of KerfRow
        Never so many that their folds close a ring.
    """
    rows: list[KerfRow] = []
    joined = {face.name: face.name for face in solid.faces}
    for face in solid.made_faces():
        if face.name in spoken_for:
            continue
        row = _row(solid, face, boards, set_ups)
        if row is not None and joined[row.edge.left] != joined[row.edge.right]:
            old, new = joined[row.edge.right], joined[row.edge.left]
            joined = {name: new if group == old else group for name, group in joined.items()}
            rows.append(row)
    return rows


def _row(
    solid: Solid,
    face: Face,
    boards: Mapping[str, tuple[str, Board]],
    set_ups: tuple[SetUp, ...],
) -> KerfRow | None:
    cylinder = face.cylinder
    # A row for a re-entrant round would be sawn from outside, where it shows.
    if cylinder is None or cylinder.sense < 0:
        return None
    board = boards[face.name][1]
    middle = cylinder.radius - board.thickness / 2.0
    if middle >= least_curl(board) and not may_wrinkle(board, middle):
        return None
    sides = _tangent_sides(solid, face)
    if sides is None or any(boards.get(name) != boards[face.name] for name, _ in sides):
        return None
    turn = solid.sweep(face)
    request = FoldRequest("kerf", radius=cylinder.radius - board.thickness)
    try:
        section = choose_section(board, turn, request, set_ups)
    except OutOfDomain:
        return None
    (left, (start, end)), (right, beyond) = sides
    to_round = cylinder.radius * math.tan(turn / 2.0)
    off = cylinder.radius * (1.0 / math.cos(turn / section.kerfs / 2.0) - 1.0)
    return KerfRow(
        face.name,
        Edge(left, right, start, end, math.pi - turn),
        beyond,
        replace(section, setback=section.setback - to_round),
        f"The round from {left} to {right}, {cylinder.radius:.1f} mm outside, is too tight to curl "
        f"in {board.thickness:g} mm board: saw it as a row of kerfs. Its edges stand up to "
        f"{max(off, 0.1):.1f} mm off the round; bevel its ends as the seams beside them.",
    )


def _tangent_sides(solid: Solid, face: Face) -> list[tuple[str, tuple[int, int]]] | None:
    """Both flat neighbours that a round runs on into, each with its side in its own loop."""
    found = []
    for edge in solid.edges():
        if face.name not in (edge.left, edge.right) or solid.edge_centre(edge) is not None:
            continue
        name = edge.right if edge.left == face.name else edge.left
        other = solid.face(name)
        if other.cylinder or name in solid.open_faces:
            return None
        normals = (solid.normal_at(face, edge.start), solid.normal(other))
        if float(np.linalg.norm(np.cross(*normals))) >= _TANGENT:
            return None
        ends = (edge.start, edge.end) if edge.left == name else (edge.end, edge.start)
        found.append((name, ends))
    return found if len(found) == 2 and found[0][0] != found[1][0] else None
