"""One SVG file per piece, at 1:1, as the marked side shows it.

Room: draw. For browsers and for cutting services: the lines of each kind
stand in a group that is named for them, all words in a group of their own.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.blank import blank_of
from foldwright.draw.blank_drawing import draw_blank
from foldwright.draw.drawing import Group, Item, Stroke, Words
from foldwright.draw.info import SheetInfo
from foldwright.draw.sheet import NAME, SMALL, legend_row
from foldwright.draw.svg import svg_of
from foldwright.draw.view import Detail, View
from foldwright.draw.wording import describe, drill_names, line_names, sign_names

if TYPE_CHECKING:
    from foldwright.flat.pattern import Piece

_MARGIN = 10.0
_FOOT = 24.0  # room below the blank for what it is, and for the legend
_NARROWEST = 150.0  # the words below need this much


def piece_svg(piece: Piece, info: SheetInfo, others: Sequence[Piece] = ()) -> str:
    """One piece at 1:1, seen on its marked side.

    Parameters
    ----------
    piece : Piece
    info : SheetInfo
    others : sequence of Piece
        Pieces that it joins, so that witness marks meet across the seams.

    Returns
    -------
    str
        An SVG document whose unit is the mm.
    """
    blank = blank_of(piece, others)
    box = blank.box
    width = max(box.width, _NARROWEST) + 2.0 * _MARGIN
    height = box.height + 2.0 * _MARGIN + _FOOT
    view = View((_MARGIN, _MARGIN + _FOOT), 1.0, Box(0.0, _FOOT, width, height))
    picture = draw_blank(blank, view, Detail(zones=True))
    named: dict[str, list[Item]] = {}
    for item in picture.lines:
        name = item.pen.name if isinstance(item, Stroke) else "signs"
        named.setdefault(name, []).append(item)
    kinds = ", ".join(
        (
            info.build,
            info.stock_of(piece.stock, piece.thickness),
            f"revision {piece.revision}",
            info.sizes,
            *((f"drawn {info.drawn}",) if info.drawn else ()),
        )
    )
    words: list[Item] = [
        *picture.labels,
        Words((_MARGIN, 19.0), f"{blank.title}. THIS SIDE UP: {blank.side_up}.", NAME),
        Words((_MARGIN, 14.2), kinds, SMALL),
        *legend_row(
            [*line_names(blank, zones=True), *drill_names(blank, info), *sign_names(blank)],
            _MARGIN,
            4.0,
            width - _MARGIN,
        ),
    ]
    groups = [Group(tuple(items), name) for name, items in sorted(named.items())]
    about = f"{describe(blank, info)} Seen on the side that is marked: {blank.side_up}. Scale 1:1."
    title = f"{info.build}: {blank.title}"
    return svg_of([*groups, Group(tuple(words), "words")], width, height, title, about)
