"""Folds of a part: whether hands can hold them, what they come near to, how sure they are.

The mechanics are those of `shop`; here they meet the pattern: how much flat
there is beyond a fold, which hole stands near it, whether two grooves run into
one another. Distances are measured in the flat, from the edge of the zone that
bends. Kerfs of a row are one fold. Start at `form_folds`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING, Any

from foldwright.draw.blank import in_words
from foldwright.flat import Fold, Piece, section_of_fold
from foldwright.shape import path_chords
from foldwright.shop import Board, FoldSection, SetUp, least_flange, least_hole_distance
from foldwright.shop.fold_checks import NEAR, cut_top_width, shutting_room, skin_strain
from foldwright.shop.grooves import SHUTTING_MARGIN, cut_section
from foldwright.shop.springs import over_fold_spread

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

# A zone is taken this much wider when it parts the sheet, so that nothing hangs on by
# rounding [mm].
_PARTS = 0.05
# Amounts under this are not worth a word [mm].
_LITTLE = 0.05
# A fence is set in steps of this, and no floor is wider [mm].
_FLOOR_STEP, _WIDEST_FLOOR = 0.5, 12.0
# A hole at least so much longer than wide is a slot.
_SLOT = 1.5
# Folds that lie within this of one another run side by side [rad].
_SIDE_BY_SIDE = math.radians(10.0)
# What is known of the over-fold to better than this needs no word [rad].
_SURE = math.radians(0.5)
# So many folds are named one by one.
_NAMED = 3
# Ways of folding that a hand does; sheet is bent under a bar or in a vice.
_BY_HAND = ("groove", "kerf", "open", "score", "hot")
_STRIPS = ("Backing strip of seam", "Backing strips of seams")


@dataclass(frozen=True)
class _Bend:
    """A fold as the hand makes it: one, or the kerfs of a row."""

    piece: Piece
    board: Board
    folds: tuple[Fold, ...]

    @property
    def panels(self) -> tuple[str, str]:
        return self.folds[0].panels[0], self.folds[-1].panels[1]

    @property
    def name(self) -> str:
        """The two faces in the maker's words, or the seam that a backing strip is for."""
        if self.piece.role:
            return in_words(self.piece.role).rpartition("seam ")[2]
        faces = {panel.id: panel.face for panel in self.piece.panels}
        one, other = (in_words(faces.get(panel) or panel) for panel in self.panels)
        return f"{one} to {other}"

    @cached_property
    def section(self) -> FoldSection:
        """Of one kerf, where a row shares the turn."""
        return section_of_fold(self.folds[0], self.board)

    @cached_property
    def zone(self) -> BaseGeometry:
        """All that is neither flat face."""
        import shapely

        return shapely.MultiPolygon([shapely.Polygon(f.zone) for f in self.folds]).convex_hull

    @property
    def mouth(self) -> float:
        """How far the cut reaches beyond its zone on the face that it is cut from [mm]."""
        one = self.section
        if one.cut_side == "none":
            return 0.0
        top = cut_top_width(self.board.thickness, one.web, one.cutter, one.floor)
        return (top - one.floor) / 2.0

    def needs(self, from_mould_line: float) -> float:
        """Return a distance from the mould line as one from the edge of the zone [mm]."""
        return from_mould_line - self.section.setback


@dataclass(frozen=True)
class _Said:
    """What is said of one fold; folds of which the same is said share a sentence."""

    of: str
    words: str


def form_folds(
    pieces: Sequence[Piece], boards: Mapping[str, Board]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Warnings and remarks about the folds of a part.

    Parameters
    ----------
    pieces : sequence of Piece
        Of one part.
    boards : Mapping of str to Board
        By name of the stock, each in its thickness.

    Returns
    -------
    (tuple of str, tuple of str)
        What does not go well as drawn, each with the nearest that does; what to
        know of it. Backing strips only get remarks: they are easily cut anew.
    """
    bends = [bend for piece in pieces for bend in _bends(piece, boards[piece.stock])]
    own = [bend for bend in bends if not bend.piece.role]
    strips = [bend for bend in bends if bend.piece.role]
    warnings = [
        *_together("Fold", "Folds", (_flange(bend) for bend in own)),
        *(words for bend in own for words in _holes(bend)),
        *_together("Fold", "Folds", (_shutting(bend) for bend in own)),
        *_facets(own),
    ]
    remarks = [
        *_together(*_STRIPS, (_flange(bend) for bend in strips)),
        *_together("Fold", "Folds", (_skin(bend) for bend in own)),
        *_together(*_STRIPS, (_skin(bend) for bend in strips)),
        *_springback(bends),
    ]
    return tuple(dict.fromkeys(warnings)), tuple(dict.fromkeys(remarks))


def _bends(piece: Piece, board: Board) -> Iterator[_Bend]:
    """Folds of a piece, the kerfs of a row together."""
    # The strips between kerfs lie on no face; their ids hold what they lie between.
    between = {panel.id for panel in piece.panels if not panel.face and "~" in panel.id}
    row: list[Fold] = []
    for fold in piece.folds:
        row.append(fold)
        if fold.panels[1] not in between:
            yield _Bend(piece, board, tuple(row))
            row = []


def _together(what: str, several: str, said: Iterable[_Said | None]) -> list[str]:
    """Sentences, each once, with the folds that it holds of."""
    found: dict[str, list[str]] = {}
    for remark in said:
        if remark is not None:
            found.setdefault(remark.words, []).append(remark.of)
    return [
        f"{what if len(set(names)) == 1 else several} {_listed(names)}: {words}"
        for words, names in found.items()
    ]


def _listed(given: Sequence[str]) -> str:
    names = list(dict.fromkeys(given))
    if len(names) > _NAMED:
        names = [*names[:_NAMED], f"{len(names) - _NAMED} more"]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


# --- flanges -------------------------------------------------------------------


def _flange(bend: _Bend) -> _Said | None:
    """Say so when there is too little flat beyond a fold to hold it by."""
    has = min(_beyond(bend, panel) for panel in bend.panels)
    fingers, bar = (
        bend.needs(least_flange(bend.board, bend.section, hold)) for hold in ("fingers", "bar")
    )
    by_hand = bend.section.method in _BY_HAND
    if has >= (fingers if by_hand else bar) - _LITTLE:
        return None
    words = (
        f"only {has:.1f} mm is flat beyond it, and "
        + (f"fingers need {fingers:.1f} mm. " if by_hand else f"a bar needs {bar:.1f} mm. ")
        + (
            f"Clamp it under a bar, which needs {bar:.1f} mm."
            if has >= bar - _LITTLE
            else f"Leave {bar - has:.1f} mm on for a bar to hold, and cut it off once it is folded."
        )
    )  # fmt: skip
    return _Said(bend.name, words)


def _beyond(bend: _Bend, panel: str) -> float:
    """How far the sheet reaches beyond a fold on the side of one panel, square to it [mm].

    All of it counts, folded up already or not: a hand holds by either.
    """
    import shapely

    piece, first = bend.piece, bend.folds[0]
    flat = shapely.Polygon(next(p.flat for p in piece.panels if p.id == panel))
    parted = shapely.Polygon(path_chords(piece.outline)).difference(bend.zone.buffer(_PARTS))
    sides = [part for part in _polygons(parted) if part.intersection(flat).area > 0.0]
    # Sheet that hangs together round the end of a fold is no flange; its own face is.
    both = [p for p in piece.panels if p.id in bend.panels and p.id != panel]
    if len(sides) != 1 or any(
        sides[0].intersection(shapely.Polygon(p.flat)).area > _LITTLE for p in both
    ):
        sides = [flat]
    (ax, ay), (bx, by) = first.a, first.b
    length = math.dist(first.a, first.b)
    across = [
        abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / length
        for x, y in shapely.get_coordinates(sides[0])
    ]
    near = min(
        abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / length
        for x, y in shapely.get_coordinates(flat)
    )
    return float(max(across) - near)


def _polygons(shape: BaseGeometry) -> list[Any]:
    return [part for part in getattr(shape, "geoms", [shape]) if part.area > 0.0]


# --- holes ---------------------------------------------------------------------


def _holes(bend: _Bend) -> Iterator[str]:
    """Name what is cut too near to a fold, with how far it has to move."""
    import shapely

    for cutout in bend.piece.cutouts:
        cut = shapely.Polygon(path_chords(cutout.path))
        has = float(cut.distance(bend.zone))
        narrow, long = _sides(cut)
        needs = bend.needs(
            least_hole_distance(bend.board, bend.section, narrow, is_slot=long > _SLOT * narrow)
        )
        # Nearer than the board is thick is said where it is cut.
        if bend.piece.thickness <= has < needs - _LITTLE:
            happens = (
                "breaks out to the cut" if bend.section.cut_side != "none" else "is drawn oval"
            )
            yield (
                f"{cutout.why[:1].upper()}{cutout.why[1:]} is {has:.1f} mm from the fold "
                f"{bend.name}, and {needs:.1f} mm is the least, or it {happens}. Move it "
                f"{needs - has:.1f} mm away, or cut it once that is folded."
            )


def _sides(cut: BaseGeometry) -> tuple[float, float]:
    """Width and length of the least rectangle about a cutout [mm]."""
    import shapely

    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(cut))
    one, other = math.dist(corners[0], corners[1]), math.dist(corners[1], corners[2])
    return min(one, other), max(one, other)


# --- cuts ----------------------------------------------------------------------


def _shutting(bend: _Bend) -> _Said | None:
    """Say so when a cut may shut before the fold is where it has to be held."""
    one = bend.section
    if math.isinf(one.shuts_at):
        return None
    doubt = _doubt(bend)
    room = shutting_room(one)
    if room >= SHUTTING_MARGIN + doubt:
        return None
    wider = _wide_enough(bend, SHUTTING_MARGIN + doubt)
    words = (
        f"its cut shuts {math.degrees(room):.1f} degrees past where it is held, and how far that "
        f"is, is known to {math.degrees(doubt):.1f}. "
        + (
            f"A floor of {wider:.1f} mm is on the safe side."
            if wider
            else "Take a cutter with a wider angle."
        )
    )  # fmt: skip
    return _Said(bend.name, words)


def _wide_enough(bend: _Bend, room: float) -> float:
    """Narrowest floor that leaves so much room to shut [mm]; 0 if none does."""
    fold, floor = bend.folds[0], bend.section.floor
    while floor < _WIDEST_FLOOR:
        floor += _FLOOR_STEP
        cutter = SetUp("", fold.cutter, floor, floor)
        one = cut_section(
            bend.board, fold.turn, fold.method, fold.web, floor, cutter, fold.k
        )  # fmt: skip
        if shutting_room(one) >= room:
            return floor
    return 0.0


def _facets(bends: Sequence[_Bend]) -> Iterator[str]:
    """Name panels whose two grooves run into one another on the face that they are cut from."""
    import shapely

    for one, other in combinations(bends, 2):
        shared = set(one.panels) & set(other.panels)
        if one.piece.id != other.piece.id or not shared or not _are_side_by_side(one, other):
            continue
        if one.section.cut_side != other.section.cut_side:
            continue
        has = float(shapely.distance(one.zone, other.zone))
        needs = one.mouth + other.mouth
        if _PARTS < has < needs - _LITTLE:  # at 0 they meet in a corner
            depth = 2.0 * _depth(one)
            angle = math.degrees(2.0 * math.atan(has / depth))
            yield (
                f"Panel {in_words(shared.pop())} is {has:.1f} mm wide between its folds, and the "
                f"mouths of its two grooves take {needs:.1f} mm: nothing is left of its "
                f"{one.section.cut_side} skin. A cutter of {angle:.0f} degrees or less leaves "
                f"some, or make it {needs - has:.1f} mm wider."
            )


def _depth(bend: _Bend) -> float:
    """How deep its cut goes [mm]."""
    return bend.board.thickness - bend.section.web


def _are_side_by_side(one: _Bend, other: _Bend) -> bool:
    (ax, ay), (bx, by) = one.folds[0].a, one.folds[0].b
    (cx, cy), (dx, dy) = other.folds[0].a, other.folds[0].b
    ways = math.atan2(by - ay, bx - ax), math.atan2(dy - cy, dx - cx)
    return abs(math.remainder(ways[0] - ways[1], math.pi)) < _SIDE_BY_SIDE


# --- what to know --------------------------------------------------------------


def _skin(bend: _Bend) -> _Said | None:
    """Say so when a fold stretches the skin nearly as far as it takes."""
    if bend.section.method not in ("groove", "kerf", "open"):
        return None  # bends keep to the least radius, hot and scored folds stretch nothing
    skin = skin_strain(bend.board, bend.section)
    if skin.strain <= NEAR * skin.takes:
        return None
    wider = math.ceil(bend.section.floor * skin.strain / (NEAR * skin.takes) / _FLOOR_STEP)
    words = (
        f"{skin.verdict}, {100.0 * skin.strain:.0f} of {100.0 * skin.takes:.0f} in 100. Fold it "
        f"once, slowly, and never back; a floor of {wider * _FLOOR_STEP:.1f} mm keeps well off."
    )
    return _Said(bend.name, words)


def _springback(bends: Sequence[_Bend]) -> list[str]:
    """How far folds spring back at most, and how sure that is."""
    sprung = [bend for bend in bends if bend.section.over_fold > 0.0]
    if not sprung:
        return []
    most = max(sprung, key=_doubt)
    if _doubt(most) < _SURE:
        return []
    over = max(bend.section.over_fold * len(bend.folds) for bend in sprung)
    return [
        f"Folds spring back by up to {math.degrees(over):.1f} degrees, known to "
        f"{math.degrees(_doubt(most)):.1f}: let each go, gauge it, and fold it on if need be."
    ]


def _doubt(bend: _Bend) -> float:
    """One standard deviation of the over-fold of a bend [rad]; kerfs of a row err alike."""
    one = bend.section
    if one.over_fold == 0.0:
        return 0.0
    each = over_fold_spread(bend.board, one.web, one.zone_width, abs(one.turn))
    return each * len(bend.folds)
