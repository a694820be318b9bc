"""What a build book says, as plain data for its pages.

Room: draw. Text goes to the pages as data, never as markup, so that a part
may be called anything. Drawings are referred to by their file names.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from foldwright.draw import cautions
from foldwright.draw.blank import Blank, blank_of, in_words
from foldwright.draw.book_changes import changed_pages
from foldwright.draw.book_drawings import (
    COLUMN,
    TEXT_WIDTH,
    Figure,
    alike,
    bars_figure,
    blank_figure,
    cover_figure,
    legend_figure,
    page_figure,
    part_figure,
    section_figure,
    set_up_figures,
)
from foldwright.draw.book_lists import (
    cut_list,
    purchase_rows,
    rows_of_kerfs,
    set_up_rows,
    setting,
    standing_row,
    weight,
)
from foldwright.draw.book_names import (
    NONE,
    mass,
    title,
)
from foldwright.draw.book_records import Book, Route
from foldwright.draw.book_routes import (
    TO_MEASURE,
    fold_table,
    measured_first,
    neighbour_row,
    opening,
    to_measure,
)
from foldwright.draw.book_steps import steps_of
from foldwright.draw.drawing import Page
from foldwright.draw.gauges import gauge_pages
from foldwright.draw.info import SheetInfo
from foldwright.draw.picture import eye_of

if TYPE_CHECKING:
    from foldwright.flat.pattern import Fold, Piece

type Said = dict[str, Any]

# A route sheet is to be one page: so high may a blank be that lies across it,
# one that stands in a column, and one of several [mm].
_BROAD, _TALL, _SEVERAL = 72.0, 86.0, 54.0
_MANY = 8  # folds
_HALF_A_SHEET = 100.0  # height of its drawing where a part takes two sheets [mm]
_COVER_HEIGHT = 175.0


class Pages:
    """Words and drawings of a book while they are gathered."""

    def __init__(self, book: Book, info: SheetInfo) -> None:
        self.book = book
        self.info = info
        self.files: dict[str, str] = {}
        self.pictures: dict[int, Said] = {}
        self.large: dict[int, list[Said]] = {}
        self.eye = eye_of(book.seen_from)
        self.pieces = tuple(piece for route in book.routes for piece in route.pieces)

    def figure(self, name: str, figure: Figure) -> Said:
        """Keep a drawing as a file, and say where it is and how large."""
        file = f"{name}.svg"
        self.files[file] = figure.svg
        return {
            "file": file,
            "width": figure.width,
            "height": figure.height,
            "caption": figure.caption,
        }

    def said(self) -> Said:
        """Everything that the pages say."""
        book, info = self.book, self.info
        return {
            "build": info.build,
            "drawn": info.drawn,
            "sizes": info.sizes,
            "paper": book.paper,
            "bars": self.figure("bars", bars_figure(book.paper)),
            "cover": self._cover(),
            "standing": self._standing(),
            "order": [
                [
                    title(r.part),
                    r.made_from or NONE,
                    "last, to suit" if r.is_last else r.stage,
                ]
                for r in book.routes
            ],
            "routes": [self._route(i, route) for i, route in enumerate(book.routes)],
            "changes": changed_pages(book, info, self._drawn),
            "cut_list": cut_list(book, info),
            "set_ups": self._set_ups(),
            "gauges": [
                self._whole_page(f"gauges-{i}", page, "gauges")
                for i, page in enumerate(self._gauge_pages())
            ],
            "layouts": [
                {"title": layout.title} | self._whole_page(f"layout-{i}", layout.page, layout.title)
                for i, layout in enumerate(book.layouts)
            ],
            "unplaced": [list(row) for row in book.unplaced],
            "purchases": purchase_rows(book.purchases),
            "weight": weight(book, info),
            "at_set_ups": cautions.ROUTER.said,
            "at_weight": cautions.HANGING.said,
            "cautions": [list(c.said) for c in cautions.EVERY]
            + [list(row) for row in book.cautions],
        }

    def _gauge_pages(self) -> Sequence[Page]:
        folded = any(piece.folds for piece in self.pieces)
        return gauge_pages(self.pieces, self.info, is_bound=True) if folded else ()

    def _whole_page(self, name: str, page: Page, title: str) -> Said:
        fields = [list(field) for field in page.fields]
        return self.figure(name, page_figure(page, title)) | {"fields": fields}

    def _cover(self) -> Said:
        book = self.book
        count = book.parts_count or len(book.bodies)
        made = book.made_count
        if made is None:
            made = sum(route.is_made and route.kind != "bought" for route in book.routes)
        facts = [["Drawn", self.info.drawn]] if self.info.drawn else []
        facts.append(["Parts", str(count)])
        facts.append(["Made", str(made) if made else "none yet"])
        if book.weight is not None:
            facts.append(["Mass", mass(book.weight.total)])
        facts.append(["Sizes", self.info.sizes])
        picture = cover_figure(book, self.info, self.eye, _COVER_HEIGHT) if book.bodies else None
        return {
            "picture": self.figure("cover", picture) if picture else None,
            "legend": self.figure("legend", legend_figure()),
            "facts": facts,
        }

    def _standing(self) -> Said:
        return {
            "sentences": list(self.book.how_things_stand),
            "rows": [standing_row(meet, self.info) for meet in self.book.meets],
            "any_after": any(meet.after is not None for meet in self.book.meets),
        }

    def _route(self, number: int, route: Route) -> Said:
        info = self.info
        blanks = [blank_of(piece, route.pieces) for piece in route.pieces]
        own = [blank for blank in blanks if not blank.piece.role]
        fields = [
            ["Build", info.build],
            ["Part", title(route.part)],
            ["Made from", route.made_from or NONE],
            ["Sizes", info.sizes],
            ["Revision", str(route.revision)],
        ]
        dims = measured_first(route)[:TO_MEASURE]
        picture = part_figure(route, self.book, self.eye, info, dims)
        self.pictures[number] = self.figure(f"part-{number}", picture)
        self.large[number] = self._large_blanks(number, route, own or blanks)
        return {
            "title": title(route.part),
            "fields": fields,
            "sentences": opening(route, blanks, info),
            "stage": route.stage,
            "picture": self.pictures[number],
            "blanks": self._blanks(number, route, own or blanks),
            "large": self.large[number],
            "folds": [fold_table(blank, info, many=len(own) > 1) for blank in own if blank.folds],
            "set_ups": self._own_set_ups(number, route, own or blanks),
            "steps": [
                {
                    "text": s.text,
                    "caution": [s.caution.hazard, s.caution.short] if s.caution else [],
                }
                for s in steps_of(route, info)
            ],
            **to_measure(route, info),
            "neighbours": [neighbour_row(n, info) for n in route.neighbours],
            "cut_into": [
                [cut.name, in_words(cut.face), cut.what + (", in place" * cut.drilled_in_place)]
                for cut in route.cut_into
            ],
            "notes": list(route.notes),
        }

    def _drawn(self, number: int, route: Route) -> tuple[Said, list[Said]]:
        """Picture of a part and its blanks across the sheet, as its route sheet has them."""
        return self.pictures[number], self.large[number]

    def _own_set_ups(self, number: int, route: Route, blanks: Sequence[Blank]) -> list[Said]:
        """Set-ups and seams of a part's blanks; what two of them share is said once."""
        found: dict[str, Figure] = {}
        for blank in blanks:
            for figure in set_up_figures(blank.piece, route.pieces, self.info):
                found.setdefault(figure.svg, figure)
        return [
            self.figure(f"setup-{number}-{i}", figure) for i, figure in enumerate(found.values())
        ]

    def _blanks(self, number: int, route: Route, blanks: Sequence[Blank]) -> list[Said]:
        """Drawings of the part's own blanks: a broad one across the sheet, others in a column."""
        found = []
        for i, blank in enumerate(blanks):
            beside = len(blanks) > 1 or blank.box.height > 0.75 * blank.box.width
            width = COLUMN if beside else TEXT_WIDTH
            height = (_TALL if len(blanks) == 1 else _SEVERAL) if beside else _BROAD
            if len(blank.folds) > _MANY:
                height *= 1.4  # its letters need the room; the lists go on overleaf
            figure = blank_figure(blank.piece, route.pieces, self.info, width, height)
            said = self.figure(f"blank-{number}-{i}", figure)
            found.append(said | {"title": blank.title, "beside": beside})
        return found

    def _large_blanks(self, number: int, route: Route, blanks: Sequence[Blank]) -> list[Said]:
        """The same across the sheet, as large as half of it takes."""
        height = _HALF_A_SHEET / max(1, len(blanks))
        return [
            self.figure(
                f"large-{number}-{i}",
                blank_figure(blank.piece, route.pieces, self.info, TEXT_WIDTH, height),
            )
            for i, blank in enumerate(blanks)
        ]

    def _set_ups(self) -> list[Said]:
        """Folds of the whole build by how they are cut."""
        groups: dict[tuple[object, ...], list[tuple[Piece, Fold]]] = {}
        for piece in self.pieces:
            for fold in piece.folds:
                groups.setdefault(alike(fold, piece), []).append((piece, fold))
        return [set_up(self, number, members) for number, members in enumerate(groups.values(), 1)]


def set_up(pages: Pages, number: int, members: Sequence[tuple[Piece, Fold]]) -> Said:
    """One set-up of the build: what to set, which folds get it, its section."""
    info = pages.info
    piece, fold = members[0]
    rows = set_up_rows(pages.pieces, members)
    drawn = fold.cut_side != "none"
    return {
        "title": f"Set-up {number}: {info.stock_of(piece.stock, piece.thickness)}",
        "text": " ".join((setting(fold, info, piece.thickness), *rows_of_kerfs(members, info))),
        "rows": rows,
        "section": pages.figure(f"section-{number}", section_figure(piece, fold, info))
        if drawn
        else None,
    }
