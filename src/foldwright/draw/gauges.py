"""Fold gauges at 1:1: one for the inside and one for the outside of each angle.

Room: draw. A fold is driven past its finished angle and springs back, so a
gauge has the angle *to fold to*. Angles are gathered over the whole build to
a tenth of a degree, so that none is more than 0.05 degrees off its gauge.

Seen across the fold, one side of the board is a hollow corner, the other a
ridge. The gauge for the hollow is a *point*, that for the ridge a *notch*;
where a fold turns outwards the hollow lies outside. Both touch the flats
alone: the point has its tip cut off clear of the groove's mouth or the inner
radius, the notch a round hole in its corner.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from foldwright.draw import cautions
from foldwright.draw.blank import Blank, FoldLine, in_words
from foldwright.draw.drawing import (
    CUT,
    LETTERING,
    TEXT_BOLD,
    Arc,
    Group,
    Item,
    Line,
    Page,
    Paper,
    Path,
    Stroke,
    Words,
    bounds,
)
from foldwright.draw.flow import Block, height_of, paragraph
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo, runs
from foldwright.draw.lots import Lot, lots_of
from foldwright.draw.sheet import (
    ADVICE_GAUGES,
    HEADING,
    LEFT,
    RIGHT,
    RUNNING,
    SECOND,
    TITLE,
    Title,
    caution,
    check_bars,
    heading,
    legend_row,
    title_block,
)

if TYPE_CHECKING:
    from foldwright.flat.pattern import Piece

LEG = 40.0  # length of each edge that touches the board [mm]
NOTCH_HOLE = 3.0  # radius of the hole in a notch's corner [mm]
_BODY = 17.0  # card above the point or the notch, to hold and to write on [mm]
_FOOT = 5.0  # flat end of each prong of a notch [mm]
_CLEAR = 1.5  # by how much a cut-off tip clears the mouth or the radius [mm]
_LEAST_TIP = 3.0  # what is cut off at least, along the leg [mm]
_GAP = 8.0


@dataclass(frozen=True)
class Gauge:
    """One angle to fold to, and what it serves.

    Attributes
    ----------
    fold_to : float
        Inside angle to fold to [degrees], to a tenth; beyond 180 the fold
        turns outwards.
    tip : float
        How much is cut off the point, along the leg [mm].
    serves : tuple of (str, str)
        Finished angle, and the folds that get it: ("90.0°", "lid A to D").
    """

    fold_to: float
    tip: float
    serves: tuple[tuple[str, str], ...]

    @property
    def between(self) -> float:
        """Angle of point and notch [rad], at most 180 degrees."""
        return math.radians(min(self.fold_to, 360.0 - self.fold_to))

    @property
    def turns_outwards(self) -> bool:
        """Whether the hollow of the fold lies on the outside of the part."""
        return self.fold_to > 180.0


def gauges_of(pieces: Sequence[Piece]) -> tuple[Gauge, ...]:
    """Return the gauges that a build needs, the sharpest fold first."""
    found: dict[float, list[tuple[Lot, FoldLine]]] = {}
    for lot in lots_of(pieces):
        for fold in lot.blank.bends:  # a row of kerfs is held to one gauge
            # noise of the last digits must not part folds at the half of a tenth
            angle = round(round(math.degrees(fold.fold_to), 6), 1)
            found.setdefault(angle, []).append((lot, fold))
    return tuple(
        Gauge(angle, max(_tip(lot.blank, fold) for lot, fold in folds), _serves(folds))
        for angle, folds in sorted(found.items())
    )


def point_outline(gauge: Gauge) -> Path:
    """Outline of the gauge for the hollow: point down, its corner at (0, 0)."""
    sin, cos = math.sin(gauge.between / 2.0), math.cos(gauge.between / 2.0)
    top = LEG * cos + _BODY
    corners = [
        (-gauge.tip * sin, gauge.tip * cos),
        (gauge.tip * sin, gauge.tip * cos),
        (LEG * sin, LEG * cos),
        (LEG * sin, top),
        (-LEG * sin, top),
        (-LEG * sin, LEG * cos),
    ]
    return tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))


def notch_outline(gauge: Gauge) -> Path:
    """Outline of the gauge for the ridge: notch down, its corner at (0, 0)."""
    sin, cos = math.sin(gauge.between / 2.0), math.cos(gauge.between / 2.0)
    hole = NOTCH_HOLE
    right, left = (hole * sin, -hole * cos), (-hole * sin, -hole * cos)
    low, wide = -LEG * cos, LEG * sin + _FOOT
    run = [
        right,
        (LEG * sin, low),
        (wide, low),
        (wide, _BODY),
        (-wide, _BODY),
        (-wide, low),
        (-LEG * sin, low),
        left,
    ]
    sides = tuple(Line(a, b) for a, b in pairwise(run))
    return (*sides, Arc(left, right, (0.0, 0.0), left=False))


def gauges_pdf(pieces: Sequence[Piece], info: SheetInfo) -> bytes:
    """Gauge sheets of a whole build.

    Parameters
    ----------
    pieces : sequence of Piece
        All pieces, so that equal angles share a gauge.
    info : SheetInfo

    Returns
    -------
    bytes
        A PDF file at 1:1.
    """
    from foldwright.draw.pdf import pdf_of  # loads reportlab

    return pdf_of(gauge_pages(pieces, info), f"{info.build}: gauges", info.printed)


def gauge_pages(pieces: Sequence[Piece], info: SheetInfo, *, is_bound: bool = False) -> list[Page]:
    """Pages of `gauges_pdf`; one that `is_bound` into a book leaves it the title block."""
    paper = info.at_true_size(info.page)
    width = paper.width - LEFT - RIGHT
    gauges = gauges_of(pieces)
    blocks = [_gauge_block(gauge) for gauge in gauges]
    first, top = _opening(bool(gauges), width, paper)
    filled: list[list[Item]] = [first]
    low = 43.0
    for block in blocks:
        if top - height_of(block, width) < low:
            filled.append(heading("Gauges, continued", LEFT, paper.height - 14.0)[0])
            top = paper.height - 26.0
        items, top = block(LEFT, top, width)
        filled[-1] += items
        top -= 6.0
    pages = []
    for i, items in enumerate(filled, 1):
        fields = (
            ("Build", info.build),
            ("Part", "all, by fold angle"),
            ("Sizes", "degrees, inside angle"),
            ("Scale", "1:1"),
        )
        numbered = (*fields, ("Sheet", f"{i} of {len(filled)}"), ("Drawn", info.drawn))
        foot = [
            *legend_row([CUT], LEFT, 36.5, paper.width - RIGHT),
            *([] if is_bound else title_block(Title(numbered), paper)),
            *check_bars(paper, (*ADVICE_GAUGES, info.correction)),
        ]
        pages.append(Page(paper, (*items, *foot), fields))
    return pages


def _opening(any_gauges: bool, width: float, paper: Paper) -> tuple[list[Item], float]:
    items, top = heading("Gauges", LEFT, paper.height - 11.0, TITLE)
    text = "This build has no folds, so it needs no gauges."
    if any_gauges:
        text = (
            "Glue to card and cut out; drill the hole of a notch first, 6 mm. Hold the gauge "
            "square across the fold and fold until no light shows under either leg. Then let go: "
            "the fold springs back to its finished angle."
        )
    block, top = paragraph(text, RUNNING)(LEFT, top - 1.0, width)
    items += block
    if any_gauges:
        block, top = caution(
            *cautions.GAUGED.said,
            LEFT,
            top - 3.0,
            width,
        )
        items += block
    return items, top - 7.0


def _gauge_block(gauge: Gauge) -> Block:
    """Both gauges of one angle, side by side, with what they serve above."""

    def block(x: float, top: float, width: float) -> tuple[list[Item], float]:
        fold_to = f"{gauge.fold_to:.1f}°"
        items: list[Item] = [Words((x, top - HEADING), f"Fold to {fold_to}", HEADING, TEXT_BOLD)]
        y = top - HEADING * 1.3
        serves = "; ".join(f"{folds}, finished {angle}" for angle, folds in gauge.serves)
        if gauge.turns_outwards:
            serves += f". Folded outwards: each gauge has {360.0 - gauge.fold_to:.1f}° of its own"
        text, y = paragraph(serves + ".", SECOND)(x, y, width)
        items += text
        y -= 3.5
        hollow, ridge = ("outside", "inside") if gauge.turns_outwards else ("inside", "outside")
        bottom = y
        for path, side, place in (
            (point_outline(gauge), hollow, 0.0),
            (notch_outline(gauge), ridge, bounds(point_outline(gauge)).width + _GAP),
        ):
            box = bounds(path)
            shift = (x + place - box.left, y - box.high)
            items.append(Group((Stroke(path, CUT),), shift=shift))
            items += _written(gauge, side, shift[0], y, box.width)
            bottom = min(bottom, y - box.height)
        return items, bottom

    return block


def _written(gauge: Gauge, side: str, mid: float, top: float, width: float) -> list[Item]:
    """Words on a gauge: its angle, the side it is held to, the angle when finished."""
    finished = ", ".join(angle for angle, _ in gauge.serves)
    lines = ((f"{gauge.fold_to:.1f}°", 4.2), (side, 3.2), (f"finished {finished}", 2.5))
    if width - 3.0 >= max(text_width(text, LETTERING, size) for text, size in lines):
        items: list[Item] = []
        y = top - 1.2
        for text, size in lines:
            y -= 0.72 * size + 1.1
            items.append(Words((mid, y), text, size, LETTERING, "middle"))
            y -= 0.15 * size
        return items
    # a sharp angle makes a narrow gauge: write up along it
    short = f"{gauge.fold_to:.1f}° {side}"
    size = min(3.2, width * 0.5)
    return [Words((mid + 0.36 * size, top - 2.0), short, size, LETTERING, "end", math.pi / 2.0)]


def _serves(folds: Sequence[tuple[Lot, FoldLine]]) -> tuple[tuple[str, str], ...]:
    """Folds by finished angle, then by piece."""
    by_angle: dict[float, dict[str, list[str]]] = {}
    for lot, fold in folds:
        angle = round(round(math.degrees(fold.inside_angle), 6), 1)
        letters = by_angle.setdefault(angle, {}).setdefault(_short_name(lot), [])
        if fold.letter not in letters:  # strips of many seams have one fold each
            letters.append(fold.letter)
    return tuple(
        (f"{angle:.1f}°", "; ".join(f"{name} {runs(letters)}" for name, letters in parts.items()))
        for angle, parts in sorted(by_angle.items())
    )


def _short_name(lot: Lot) -> str:
    """Parts and pieces in running text; strips and patches of one part together."""
    role = in_words(lot.blank.piece.role).partition(", ")[0]
    if role:
        return f"{lot.blank.part}, {role}s"
    return lot.title[:1].lower() + lot.title[1:]


def _tip(blank: Blank, fold: FoldLine) -> float:
    """How much of the point to cut off, along its leg, from the corner of the hollow.

    With c = tan(turn/2), the hollow's corner lies t c from the outer mould
    line. A groove cut from the hollow side ends its mouth (r + w) c + h
    tan(alpha/2) from there; a fold cut from the other side is round with
    radius r and meets the flats r c from the corner.
    """
    f = fold.fold
    t = blank.piece.thickness
    c = math.tan(min(abs(f.turn) + f.over_fold, math.radians(175.0)) / 2.0)
    hollow = "inside" if f.turn > 0.0 else "outside"
    if f.cut_side == hollow:
        reach = (f.inner_radius + f.web) * c + (t - f.web) * math.tan(f.cutter / 2.0) - t * c
    else:
        reach = f.inner_radius * c
    reach += 0.5 * (fold.kerfs - 1) * fold.pitch
    return min(max(_LEAST_TIP, reach + _CLEAR), LEG / 2.0)
