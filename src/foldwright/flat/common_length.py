"""Common length: how much of an edge both boards of a seam reach.

Room: flat. A side of a panel stops short of its corners by what the next side
takes off: the setback of a fold, the trim of a lap or a butt. Where both
boards stop short from opposite ends, a short edge may be left no length at
all over which they meet. The seams of the whole part then give way (see
`giving_way`), and what folds take is said (see `words_for_gaps`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from foldwright.flat.develop import Sheet, TooNarrow, panel_rim
from foldwright.flat.rims import Rim
from foldwright.shop import mitre


def common_lengths(
    sheet: Sheet, net: frozenset[int], rims: Mapping[str, Rim]
) -> Mapping[int, float]:
    """Length over which both panels of each straight seam between flat faces reach it.

    Parameters
    ----------
    sheet : Sheet
    net : frozenset of int
        Edges that fold; the others are seams.
    rims : Mapping of str to Rim
        Outside skin of each face between its zones, in its own frame. A seam
        of a face without one is left out.

    Returns
    -------
    Mapping of int to float
        By edge number [mm]; negative where the boards miss each other, by how much.
    """
    found = {}
    for number, edge in enumerate(sheet.edges):
        faces = (edge.left, edge.right)
        if number in net or any(f not in rims or f in sheet.unrolled for f in faces):
            continue
        if sheet.solid.edge_centre(edge) is not None:
            continue
        low, high = _reach(sheet, rims[edge.left], edge.left, number)
        back, forth = _reach(sheet, rims[edge.right], edge.right, number)
        whole = sheet.edge_length(number)  # the right face runs along it the other way
        found[number] = min(high, whole - back) - max(low, whole - forth)
    return found


def _reach(sheet: Sheet, rim: Rim, face: str, number: int) -> tuple[float, float]:
    """Where a panel starts and ends along one side of its face, from where that starts [mm]."""
    corners, i = sheet.outlines[face], sheet.side_of_edge(number, face)
    (ax, ay), (bx, by) = corners[i], corners[(i + 1) % len(corners)]
    whole = sheet.edge_length(number)
    along = ((bx - ax) / whole, (by - ay) / whole)
    start, end = ((x - ax) * along[0] + (y - ay) * along[1] for x, y in rim.ends(number))
    return start, end


def giving_way(part: str, sheet: Sheet, fixed: frozenset[int]) -> tuple[Sheet, frozenset[int]]:
    """Mitre the seams whose trims leave a neighbour, or their own face, nothing.

    A mitre takes nothing off the outside skin, so a part that is mitred
    throughout keeps the whole length of every edge.

    Parameters
    ----------
    part : str
        For messages.
    sheet : Sheet
    fixed : frozenset of int
        Edges whose seams are wished one by one, and stay as they are.

    Returns
    -------
    (Sheet, frozenset of int)
        With these edges mitred.
    """
    mitred: set[int] = set()
    while True:
        amiss = _swallowing(part, sheet) - fixed - mitred
        if not amiss:
            return sheet, frozenset(mitred)
        seams = dict(sheet.seams)
        for number in amiss:
            edge = sheet.edges[number]
            one, two = (sheet.boards[face][1].thickness for face in (edge.left, edge.right))
            seams[number, edge.left] = mitre(one, two, edge.dihedral)
            seams[number, edge.right] = mitre(two, one, edge.dihedral)
        sheet = replace(sheet, seams=seams)
        mitred |= amiss


def _swallowing(part: str, sheet: Sheet) -> set[int]:
    """Seams, no mitres, beside an edge or round a face that they leave nothing, if none folds."""
    none: frozenset[int] = frozenset()
    rims: dict[str, Rim] = {}
    found: set[int] = set()
    for face in sheet.outlines:
        try:
            rims[face] = panel_rim(part, sheet, none, face, blank=False)
            panel_rim(part, sheet, none, face, blank=True)
        except TooNarrow as fault:
            found |= set(fault.seams)
    for number, length in common_lengths(sheet, none, rims).items():
        if length <= 0.0:
            found |= set(_beside(sheet, number))
    return {
        number for number in found if sheet.seams[number, sheet.edges[number].left].kind != "mitre"
    }


def _beside(sheet: Sheet, number: int) -> list[int]:
    """Edges that follow on an edge round either of its faces."""
    edge = sheet.edges[number]
    found = []
    for face in (edge.left, edge.right):
        sides = [side.edge for side in sheet.rims[face][1]]
        i = sides.index(number)
        found += [n for n in (sides[i - 1], sides[(i + 1) % len(sides)]) if n is not None]
    return found


def words_for_gaps(
    part: str, sheet: Sheet, net: frozenset[int], letters: Mapping[int, str]
) -> list[str]:
    """What to say of seams that are left no common length, and of the folds that take it."""
    rims = {face: panel_rim(part, sheet, net, face, blank=False) for face in sheet.outlines}
    said = []
    for number, length in common_lengths(sheet, net, rims).items():
        if length <= 0.0:
            edge, whole = sheet.edges[number], sheet.edge_length(number)
            ends = [sheet.edges[n] for n in _beside(sheet, number) if n in net]
            folds = f"folds {', '.join(f'{e.left} to {e.right}' for e in ends)}"
            said.append(
                f"Seam {letters[number]}, {edge.left} to {edge.right}, holds nothing: the "
                f"{folds if ends else 'seams'} beside it take up its {whole:.1f} mm, one board "
                "from each end. Fill it, or cut one of them apart with cut_at."
            )
    return said
