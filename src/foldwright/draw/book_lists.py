"""Lists of a build book that hold for the whole build.

Room: draw. How each meet stands, the cut list, which folds share a set-up,
what to buy, what it all weighs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from foldwright.draw.blank import blank_of, in_words
from foldwright.draw.book_names import chance, expected, mass, money, span, title
from foldwright.draw.book_records import FROM_RACK, Book, Purchase, Standing
from foldwright.draw.info import SheetInfo, degrees, runs
from foldwright.draw.wording import counted

if TYPE_CHECKING:
    from foldwright.flat.pattern import Fold, Piece

type Said = dict[str, Any]


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


def purchase_rows(purchases: Sequence[Purchase]) -> Said:
    """Rows of the purchase list, the total of the prices known, and how many to buy have none."""
    rows = [[p.what, p.why, str(p.count), money(p.each), money(p.total)] for p in purchases]
    known = [p.total for p in purchases if p.total is not None]
    return {
        "rows": rows,
        "total": money(math.fsum(known)) if known else "",
        "open": sum(p.total is None and p.why != FROM_RACK for p in purchases),
    }


def weight(book: Book, info: SheetInfo) -> Said | None:
    """Masses by part, and where the centre lies."""
    found = book.weight
    if found is None:
        return None
    rows = sorted(found.parts, key=lambda row: (-row[1], row[0]))
    ways = (("right", "left"), ("back", "to the front"), ("up", "down"))  # words carry the sign
    where = [(way[along < 0.0], abs(along)) for way, along in zip(ways, found.centre, strict=True)]
    return {
        "total": mass(found.total),
        "centre": [[name, info.length(value)] for name, value in where],
        "rows": [[title(name), mass(kilograms)] for name, kilograms in rows],
        "notes": list(found.notes),
    }
