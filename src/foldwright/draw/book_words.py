"""What a build book says, as plain data for its pages.

Room: draw. Text goes to the pages as data, never as markup, so that a part
may be called anything. Drawings are referred to by their file names.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from foldwright.draw import cautions
from foldwright.draw.blank import Blank, blank_of, in_words
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
from foldwright.draw.book_records import Book, Changed, Neighbour, Route, Standing, ToMeasure
from foldwright.draw.book_steps import steps_of
from foldwright.draw.drawing import Page
from foldwright.draw.gauges import gauge_pages
from foldwright.draw.info import SheetInfo, degrees, listed, runs
from foldwright.draw.picture import eye_of
from foldwright.draw.wording import counted, describe

if TYPE_CHECKING:
    from foldwright.flat.pattern import Fold, Piece

type Said = dict[str, Any]

_NONE = "\N{EN DASH}"

# A route sheet is to be one page: so high may a blank be that lies across it,
# one that stands in a column, and one of several [mm].
_BROAD, _TALL, _SEVERAL = 72.0, 86.0, 54.0
_MANY = 8  # folds
_HALF_A_SHEET = 100.0  # height of its drawing where a part takes two sheets [mm]
# So many dims have a row on a route sheet, and so many more stand in a sentence.
_TO_MEASURE, _ALSO = 4, 8
_COVER_HEIGHT = 175.0


class Pages:
    """Words and drawings of a book while they are gathered."""

    def __init__(self, book: Book, info: SheetInfo) -> None:
        self.book = book
        self.info = info
        self.files: dict[str, str] = {}
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
                    r.made_from or _NONE,
                    "last, to suit" if r.is_last else r.stage,
                ]
                for r in book.routes
            ],
            "routes": [self._route(i, route) for i, route in enumerate(book.routes)],
            "changes": [self._changed(change) for change in book.changes],
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
            "purchases": purchases(book),
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
            ["Made from", route.made_from or _NONE],
            ["Sizes", info.sizes],
            ["Revision", str(route.revision)],
        ]
        return {
            "title": title(route.part),
            "fields": fields,
            "sentences": opening(route, blanks, info),
            "stage": route.stage,
            "picture": self.figure(
                f"part-{number}",
                part_figure(route, self.book, self.eye, info, measured_first(route)[:_TO_MEASURE]),
            ),
            "blanks": self._blanks(number, route, own or blanks),
            "large": self._large_blanks(number, route, own or blanks),
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

    def _changed(self, change: Changed) -> Said:
        """A part before and after a refit, and why."""
        number, route = next(
            (i, route)
            for i, route in enumerate(self.book.routes)
            if change.part in (route.part, *route.same_as)
        )
        state = f"kept as revision {change.revision}" if change.revision else "on offer, not kept"
        fields = [["Build", self.info.build], ["Part", title(change.part)], ["Change", state]]
        return {
            "title": f"{title(change.part)}: what changes",
            "fields": fields,
            "picture": f"part-{number}.svg",
            "rows": [
                [what, self.info.length(before), self.info.length(after), self._by(after - before)]
                for what, before, after in change.rows
            ],
            "why": [sentence[:1].upper() + sentence[1:] for sentence in change.why],
            "meets": [
                [said, chance(before), chance(after)] for said, before, after in change.meets
            ],
            "is_made": route.is_made,
            "warning": ""
            if route.is_made
            else "A blank that is cut by an earlier drawing is not this one: measure it against "
            "the route sheet before you fold it.",
        }

    def _by(self, amount: float) -> str:
        return f"{self.info.length(abs(amount))} {'larger' if amount > 0.0 else 'smaller'}"

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


def title(name: str) -> str:
    """Name as a heading has it: ``lamp_cap`` is "Lamp cap"."""
    words = called(name)
    return words[:1].upper() + words[1:]


def called(name: str) -> str:
    """Name as prose has it; of copies with their number: ``leg-2`` is "leg 2"."""
    return re.sub(r"-(\d+)$", r" \1", in_words(name))


def mass(kilograms: float) -> str:
    """Mass as a scale shows it: grams below a kilogram."""
    if kilograms < 1.0:
        return f"{1000.0 * kilograms:.0f}\N{NO-BREAK SPACE}g"
    return f"{kilograms:.1f}\N{NO-BREAK SPACE}kg"


def chance(share: float | None) -> str:
    """``97 in 100``; never 0 or 100, since nothing by hand is certain."""
    return _NONE if share is None else f"{min(99, max(1, round(100.0 * share)))} in 100"


def span(wanted: tuple[float, float], info: SheetInfo) -> str:
    """``0.20 to 0.80``; a range below nothing is said by its size."""
    low, high = wanted
    if high <= 0.0:
        low, high = -high, -low
    return f"{info.length(low, True)} to {info.length(high, True)}"


def expected(value: float, wanted: tuple[float, float], info: SheetInfo) -> str:
    """The number beside its range, with the sign that the range is said with."""
    return info.length(-value if wanted[1] <= 0.0 else value, True)


def standing_row(meet: Standing, info: SheetInfo) -> list[str]:
    """A row of the table of meets."""
    after = "" if meet.after is None else chance(meet.after)
    return [
        f"In danger: {meet.said[:1].lower()}{meet.said[1:]}" if meet.in_danger else meet.said,
        span(meet.wanted, info),
        expected(meet.expected, meet.wanted, info),
        chance(meet.chance),
        after,
    ]


def neighbour_row(meet: Neighbour, info: SheetInfo) -> list[str]:
    """A row of what a part has to suit."""
    what = f"{meet.does[:1].upper()}{meet.does[1:]} the {called(meet.part)}"
    gap = f"{meet.word} {span(meet.wanted, info)}"
    return [what, gap, expected(meet.expected, meet.wanted, info), chance(meet.chance)]


def opening(route: Route, blanks: Sequence[Blank], info: SheetInfo) -> list[str]:
    """First sentences of a route sheet: what it is made from, how many, what it weighs."""
    found = []
    own = [blank for blank in blanks if not blank.piece.role]
    if len(own) == 1:
        found.append(describe(own[0], info))
    elif own:
        found.append(f"{counted(len(own), 'blank').capitalize()}, joined along their letters.")
    for length in route.lengths:
        found.append(f"Sawn square, {info.length_with_unit(length.length)} long.")
    if route.mirror_of:
        found.append(f"The other hand of the {called(route.mirror_of)}: do not mix them up.")
    if route.same_as:
        others = listed([called(name) for name in route.same_as])
        found.append(f"Make {1 + len(route.same_as)} alike: this one, {others}.")
    if route.mass is not None and route.mass > 0.0:
        found.append(f"It will weigh {mass(route.mass)}.")
    return found


def to_measure(route: Route, info: SheetInfo) -> Said:
    """Rows to fill in, what tells most first, and a sentence on what else can be measured."""
    dims = measured_first(route)
    rows = [
        [
            measured_name(dim.dim),
            dim.how,
            info.length(dim.value, dim.is_fine),
            "" if dim.measured is None else info.length(dim.measured, dim.is_fine),
        ]
        for dim in dims[:_TO_MEASURE]
    ]
    rest = dims[_TO_MEASURE:]
    more = [
        f"{measured_name(d.dim).lower()} {info.length(d.value, d.is_fine)}" for d in rest[:_ALSO]
    ]
    if len(rest) > _ALSO:
        more.append(f"and {len(rest) - _ALSO} more")
    return {"measure": rows, "more": f"Also as drawn: {', '.join(more)}." if more else ""}


def measured_first(route: Route) -> list[ToMeasure]:
    """Dims of a part, what tells most first, then what is measured already."""
    return sorted(route.to_measure, key=lambda dim: (not dim.worth, dim.measured is None))


def measured_name(dim: str) -> str:
    """Name of a dim: ``outside_d`` is "Outside diameter"."""
    words = re.sub(r"^(.+)~(.+)_length$", r"edge of \1 and \2", dim)
    return re.sub(r" d$", " diameter", title(re.sub(r"-(\d+)(?![0-9])", r" \1", words)))


def fold_table(blank: Blank, info: SheetInfo, *, many: bool) -> Said:
    """Folds of one blank, with the words that go below."""
    faces = {panel.id: in_words(panel.face) for panel in blank.piece.panels}
    rows = [
        [
            fold.letter,
            ", ".join(faces.get(p, in_words(p)) for p in fold.fold.panels)
            + (f", {fold.kerfs} kerfs" if fold.kerfs > 1 else ""),
            degrees(fold.inside_angle),
            degrees(fold.fold_to),
            info.length(fold.length),
        ]
        for fold in blank.bends
    ]
    outwards = [fold.letter for fold in blank.bends if fold.fold.turn < 0.0]
    note = "Fold each to its gauge, let go, and measure the inside angle."
    if outwards:
        note += f" {listed(outwards)}: fold the other way, so that the inside angle opens."
    piece = blank.title.partition(", ")[2] or "piece 1"
    return {"title": f"Folds, {piece}" if many else "Folds", "rows": rows, "note": note}


def cut_list(book: Book, info: SheetInfo) -> list[Said]:
    """Blanks and lengths by stock, the largest first."""
    stocks: dict[str, list[tuple[float, list[str]]]] = {}
    for route in book.routes:
        count = str(1 + len(route.same_as))
        for piece in route.pieces:
            blank = blank_of(piece, route.pieces)
            size = blank.box
            what = describe_short(piece, info)
            name = info.stock_of(piece.stock, piece.thickness)
            sides = sorted((size.width, size.height), reverse=True)
            row = [blank.title, what, count, *(info.length(side) for side in sides)]
            stocks.setdefault(name, []).append((size.width * size.height, row))
        for length in route.lengths:
            name = route.made_from or in_words(length.stock)
            row = [title(length.part), "sawn square", count, info.length(length.length), ""]
            stocks.setdefault(name, []).append((length.length, row))
    return [
        {"stock": name, "rows": [row for _, row in sorted(rows, key=lambda r: (-r[0], r[1][0]))]}
        for name, rows in stocks.items()
    ]


def describe_short(piece: Piece, info: SheetInfo) -> str:
    """What a blank becomes, in a few words."""
    if piece.folds:
        return counted(len(blank_of(piece).bends), "fold")
    if piece.spare:
        size = blank_of(replace(piece, spare=0.0)).box
        sides = sorted((size.width, size.height), reverse=True)
        return f"curled, trimmed to {' by '.join(info.length(side) for side in sides)}"
    return "curled" if piece.curved else "flat"


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


def rows_of_kerfs(members: Sequence[tuple[Piece, Fold]], info: SheetInfo) -> list[str]:
    """How many kerfs stand side by side in each row of a set-up, and how far apart."""
    found: dict[str, None] = {}
    for piece in dict.fromkeys(piece for piece, _ in members):
        blank, cut = blank_of(piece), [fold for owner, fold in members if owner is piece]
        rows = {line.row for line in blank.folds if line.row and line.fold in cut}
        for bend in blank.bends:
            if bend.letter in rows:
                found[
                    f"{title(piece.part)} {bend.letter}: {bend.kerfs} kerfs, "
                    f"{info.length_with_unit(bend.pitch)} from middle to middle."
                ] = None
    return list(found)


def set_up_rows(pieces: Sequence[Piece], members: Sequence[tuple[Piece, Fold]]) -> list[list[str]]:
    """Which folds of which blanks get a set-up; strips that are alike stand together."""
    by_piece: dict[str, list[Fold]] = {}
    for owner, one in members:
        by_piece.setdefault(owner.id, []).append(one)
    rows: dict[tuple[str, str, str, str], list[str]] = {}
    for owner in pieces:
        if owner.id not in by_piece:
            continue
        blank = blank_of(owner)
        letters_here = {f.row or f.letter for f in blank.folds if f.fold in by_piece[owner.id]}
        lines = [f for f in blank.bends if f.letter in letters_here]
        turns = sorted(lines, key=lambda f: f.inside_angle)
        angles = list(dict.fromkeys(degrees(f.inside_angle) for f in turns))
        across = angles[0] if len(angles) == 1 else f"{angles[0]} to {angles[-1]}"
        role = in_words(owner.role).partition(",")[0]
        name = title(owner.part) if role else blank.title
        letters = runs([f.letter for f in lines])
        rows.setdefault((name, role, letters, across), []).append(owner.id)
    return [
        [f"{name}, {len(ids)} {role}s" if len(ids) > 1 else f"{name}, {role}", letters, across]
        if role
        else [name, letters, across]
        for (name, role, letters, across), ids in rows.items()
    ]


def setting(fold: Fold, info: SheetInfo, thickness: float) -> str:
    """What to set for one kind of groove or bend."""
    if fold.cut_side == "none":
        return f"Bend, inner radius {info.setting(fold.inner_radius)}; nothing is cut."
    cutter = (
        "Saw kerf"
        if fold.cutter == 0.0
        else f"Cutter {degrees(fold.cutter).replace('.0°', '°')}, flat floor"
    )
    depth = info.setting(thickness - fold.web)
    text = (
        f"{cutter} {info.setting(fold.floor)} wide; leave {info.setting(fold.web)}, {depth} deep."
    )
    if math.isfinite(fold.shuts_at) and fold.turn > 0.0:
        text += f" The cut shuts at an inside angle of {degrees(math.pi - fold.shuts_at)}."
    return text


def purchases(book: Book) -> Said:
    """Rows of the purchase list, and its total where every price is known."""
    rows = [[p.what, p.why, str(p.count), money(p.each), money(p.total)] for p in book.purchases]
    known = [p.total for p in book.purchases if p.total is not None]
    return {
        "rows": rows,
        "total": money(math.fsum(known)) if known else "",
        "open": len(book.purchases) - len(known),
    }


def money(amount: float | None) -> str:
    """An amount with two decimals; a dash where it is not known."""
    return _NONE if amount is None else f"{amount:.2f}"


def weight(book: Book, info: SheetInfo) -> Said | None:
    """Masses by part, and where the centre lies."""
    found = book.weight
    if found is None:
        return None
    x, y, z = found.centre
    rows = sorted(found.parts, key=lambda row: (-row[1], row[0]))
    where: Mapping[str, float] = {"right": x, "back": y, "up": z}
    return {
        "total": mass(found.total),
        "centre": [[name, info.length(value)] for name, value in where.items()],
        "rows": [[title(name), mass(kilograms)] for name, kilograms in rows],
        "notes": list(found.notes),
    }
