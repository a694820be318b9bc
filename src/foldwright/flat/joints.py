"""Joints: what each edge of a part would be as a fold, and as a seam.

Room: flat. Asks `shop` for the section of every fold that could be made and
for both sides of every seam, following the wishes of the plan edge by edge.
Each face has its own board: two boards meet in a seam, always.
Start at `joints_of`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from foldwright.errors import CannotMake, OutOfDomain
from foldwright.flat.common_length import giving_way
from foldwright.flat.develop import Sheet
from foldwright.flat.tight_rounds import kerf_rows
from foldwright.plan import FoldAt, FoldWish, SeamAt, SeamWish
from foldwright.shape import Edge, Solid
from foldwright.shop import (
    Board,
    FoldRequest,
    FoldSection,
    SeamSection,
    SetUp,
    butt,
    choose_section,
    lap,
    mitre,
)

SMOOTH = "smooth"
"""Method of a joint without a fold, between a curved face and one that is tangent to it."""

# Faces nearer to one plane than this are in it; a curl this near to tangent runs on [rad].
_FLAT, _TANGENT = 1e-9, 1e-7

# A lap wished for a whole part is made about square corners alone, where the sine of the
# dihedral is at least this; further off its edge runs out thin and long, and at the
# corners its neighbours leave it no common length. Common practice, no source.
_LAPPABLE = 0.9

# Why an edge is mitred though the whole part asks for another seam.
_ANGLE = "its angle does not suit the seam asked for"
_LENGTH = "the seam asked for would take the whole of an edge beside it"


@dataclass(frozen=True)
class Wishes:
    """What the plan asks of single edges and faces of a part; see `plan.Part`.

    `boards` names the stock and board of each face that is not of the part's own.
    """

    fold_at: tuple[FoldAt, ...] = ()
    cut_at: tuple[tuple[str, str], ...] = ()
    seam: SeamWish = field(default_factory=SeamWish)
    seam_at: tuple[SeamAt, ...] = ()
    boards: Mapping[str, tuple[str, Board]] = field(default_factory=dict)

    def named(self) -> frozenset[str]:
        """Faces that single wishes name."""
        pairs = [*self.cut_at]
        pairs += [at.faces for at in self.fold_at]
        pairs += [at.faces for at in self.seam_at]
        return frozenset(name for pair in pairs for name in pair)


@dataclass(frozen=True)
class Joints:
    """Every edge worked out.

    Attributes
    ----------
    sheet : Sheet
        The solid, ready to unfold.
    must : frozenset of int
        Edges that the maker forces to fold.
    mitred : Mapping of int to str
        Edges that are mitred though the whole part asks for another seam, and why.
    notes : tuple of str
        Which rounds are sawn instead of curled.
    """

    sheet: Sheet
    must: frozenset[int]
    mitred: Mapping[int, str]
    notes: tuple[str, ...] = ()


def request_of(wish: FoldWish) -> FoldRequest:
    """What the shop is asked for a wish of the plan."""
    return FoldRequest(
        wish.method,
        wish.web,
        wish.floor,
        wish.cutter,
        wish.radius,
        wish.k,
        wish.kerfs,
        wish.pitch,
    )


def joints_of(
    part: str,
    solid: Solid,
    own: tuple[str, Board],
    request: FoldRequest,
    set_ups: tuple[SetUp, ...],
    wishes: Wishes,
    *,
    saws_rounds: bool = True,
) -> Joints:
    """Work out every edge between two made faces.

    Parameters
    ----------
    part : str
        For messages.
    solid : Solid
        Bare outside faces.
    own : (str, Board)
        Stock and board of the faces that `wishes` gives no other.
    request : FoldRequest
        What is asked of folds that `wishes` asks nothing more of.
    set_ups : tuple of SetUp
        The maker's cutters.
    wishes : Wishes
    saws_rounds : bool
        Whether rounds too tight to curl may become rows of kerfs.

    Raises
    ------
    CannotMake
        A fold that no set-up makes, a seam that its dihedral does not allow,
        an edge wished that the part does not have, a fold forced between two
        boards.
    """
    boards = {face.name: wishes.boards.get(face.name, own) for face in solid.made_faces()}
    rows = kerf_rows(solid, boards, set_ups, wishes.named()) if saws_rounds else []
    sawn = {row.face for row in rows}
    solid = replace(solid, open_faces=solid.open_faces | sawn)
    edges = (*_made_edges(solid), *(row.edge for row in rows))
    first = len(edges) - len(rows)
    cut = _numbers(part, edges, wishes.cut_at, "cut_at")
    cut |= _numbers(part, edges, [at.faces for at in wishes.seam_at], "seam_at")
    must = _numbers(part, edges, [at.faces for at in wishes.fold_at], "fold_at")
    requests = {
        number: request_of(at.wish)
        for at in wishes.fold_at
        if at.wish is not None
        for number in _numbers(part, edges, [at.faces], "fold_at")
    }
    must |= frozenset(range(first, len(edges)))
    folds = {first + i: row.section for i, row in enumerate(rows)}
    for number, edge in enumerate(edges[:first]):
        if number in cut:
            continue
        if boards[edge.left] != boards[edge.right]:
            if number in must:
                raise _two_boards(part, edge, boards)
        elif is_curved(solid, edge):
            if is_smooth(solid, edge):
                folds[number] = smooth_section(boards[edge.left][1].thickness)
            elif number in must:
                raise _beside_curve(part, edge)
        elif abs(edge.turn) > _FLAT:
            asked = requests.get(number, request)
            folds[number] = _section(part, boards[edge.left][1], edge, asked, set_ups)
    seams, mitred = _seams(part, solid, edges, boards, wishes)
    beyond = {first + i: row.beyond for i, row in enumerate(rows)}
    sheet = Sheet(solid, edges, folds, seams, boards, beyond)
    meant = _numbers(part, edges, [at.faces for at in wishes.seam_at], "seam_at")
    level = {number for number, edge in enumerate(edges) if abs(edge.turn) < _FLAT}
    sheet, given = giving_way(part, sheet, meant | level)
    why = dict.fromkeys(mitred, _ANGLE) | dict.fromkeys(given, _LENGTH)
    return Joints(sheet, must, why, tuple(row.note for row in rows))


def _made_edges(solid: Solid) -> tuple[Edge, ...]:
    return tuple(
        edge
        for edge in solid.edges()
        if edge.left not in solid.open_faces and edge.right not in solid.open_faces
    )


def _numbers(
    part: str, edges: Sequence[Edge], wanted: Iterable[tuple[str, str]], key: str
) -> frozenset[int]:
    found = set()
    for a, b in wanted:
        numbers = [i for i, edge in enumerate(edges) if {edge.left, edge.right} == {a, b}]
        if not numbers:
            raise CannotMake(
                f'Faces "{a}" and "{b}" of {part} share no edge.',
                part=part,
                field=key,
                remedy="Name two made faces that touch along an edge.",
            )
        found.update(numbers)
    return frozenset(found)


def _two_boards(part: str, edge: Edge, boards: Mapping[str, tuple[str, Board]]) -> CannotMake:
    return CannotMake(
        f'Faces "{edge.left}" and "{edge.right}" of {part} cannot fold: one is '
        f"{boards[edge.left][0]}, the other {boards[edge.right][0]}.",
        part=part,
        field="fold_at",
        remedy="Take the pair out of fold_at, or cut both from one board.",
    )


def is_curved(solid: Solid, edge: Edge) -> bool:
    """Whether one of the faces of an edge is curved."""
    return any(solid.face(name).cylinder for name in (edge.left, edge.right))


def is_smooth(solid: Solid, edge: Edge) -> bool:
    """Whether a curved face runs on into its neighbour without a corner, so that it may stay."""
    if solid.edge_centre(edge) is not None:
        return False
    one, other = (solid.normal_at(solid.face(f), edge.start) for f in (edge.left, edge.right))
    return float(np.linalg.norm(np.cross(one, other))) < _TANGENT and float(one @ other) > 0.0


def smooth_section(thickness: float) -> FoldSection:
    """Where board runs on from a flat face into a curl: joined, and nothing is folded."""
    return FoldSection(
        turn=0.0,
        method=SMOOTH,
        cut_side="none",
        web=thickness,
        k=0.5,
        inner_radius=0.0,
        zone_width=0.0,
        setback=0.0,
        floor=0.0,
        cutter=0.0,
        cutter_name="",
        shuts_at=math.inf,
        over_fold=0.0,
        strain=0.0,
        corner_loss=0.0,
    )


def _beside_curve(part: str, edge: Edge) -> CannotMake:
    return CannotMake(
        f'Faces "{edge.left}" and "{edge.right}" of {part} cannot fold: one is curved '
        "and meets the other at a corner.",
        part=part,
        field="fold_at",
        remedy="Take the pair out of fold_at.",
    )


def _section(
    part: str, board: Board, edge: Edge, request: FoldRequest, set_ups: tuple[SetUp, ...]
) -> FoldSection:
    try:
        return choose_section(board, edge.turn, request, set_ups)
    except OutOfDomain as fault:
        raise CannotMake(
            f"Fold {edge.left} to {edge.right} of {part}: {fault}",
            part=part,
            field=fault.name,
            remedy=f'To cut it apart instead: cut_at = [["{edge.left}", "{edge.right}"]].',
        ) from fault


# --- seams -----------------------------------------------------------------------


def _seams(
    part: str,
    solid: Solid,
    edges: Sequence[Edge],
    boards: Mapping[str, tuple[str, Board]],
    wishes: Wishes,
) -> tuple[dict[tuple[int, str], SeamSection], frozenset[int]]:
    own = {frozenset(at.faces): at.wish for at in wishes.seam_at}
    areas = {face.name: solid.area(face) for face in solid.made_faces()}
    seams: dict[tuple[int, str], SeamSection] = {}
    mitred = set()
    for number, edge in enumerate(edges):
        wish = own.get(frozenset((edge.left, edge.right)))
        larger = edge.left if areas[edge.left] >= areas[edge.right] else edge.right
        try:
            asked = wish or wishes.seam
            if wish is None and asked.kind == "lap" and math.sin(edge.dihedral) < _LAPPABLE:
                mitred.add(number)
                asked = SeamWish()
            pair = _both_sides(edge, asked, larger, boards)
        except OutOfDomain as fault:
            # A wish for the whole part holds where it can; one for this edge is meant.
            if wish is not None or wishes.seam.kind == "mitre":
                raise CannotMake(
                    f"Seam {edge.left} to {edge.right} of {part}: {fault}",
                    part=part,
                    field="seam_at" if wish is not None else fault.name,
                    remedy="",
                ) from fault
            pair = _both_sides(edge, SeamWish(), larger, boards)
            mitred.add(number)
        seams[number, edge.left], seams[number, edge.right] = pair
    return seams, frozenset(mitred)


def _both_sides(
    edge: Edge, wish: SeamWish, larger: str, boards: Mapping[str, tuple[str, Board]]
) -> tuple[SeamSection, SeamSection]:
    """Sections of a seam, left and right."""
    one, two = (boards[face][1].thickness for face in (edge.left, edge.right))
    phi = edge.dihedral
    named = wish.over if wish.over in (edge.left, edge.right) else ""
    if abs(edge.turn) < _FLAT:
        return butt(one, two, phi), butt(two, one, phi)
    if wish.kind == "lap":
        over = (named or larger) == edge.left
        return lap(one, two, phi, covering=over), lap(two, one, phi, covering=not over)
    if wish.kind == "butt":
        through = None if not named else named == edge.left
        return (
            butt(one, two, phi, runs_through=through),
            butt(two, one, phi, runs_through=None if through is None else not through),
        )
    return mitre(one, two, phi), mitre(two, one, phi)
