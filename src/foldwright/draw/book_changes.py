"""What the pages say of a refit: parts before and after, why, and what they then suit.

Room: draw. Copies of one part that changed together share a page.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby, pairwise
from typing import Any

from foldwright.draw.book_names import called, chance, measured_name, title
from foldwright.draw.book_records import Book, Changed, Route
from foldwright.draw.info import SheetInfo, listed

type Said = dict[str, Any]


def changed_pages(
    book: Book, info: SheetInfo, drawn: Callable[[int, Route], tuple[Said, Sequence[Said]]]
) -> list[Said]:
    """A page for each part that a refit changes; copies that change together share one.

    Parameters
    ----------
    book : Book
    info : SheetInfo
    drawn : callable
        Picture and blanks of a route, by its place and itself.
    """
    groups = groupby(book.changes, lambda change: _together(change, book))
    return [_page(list(group), book, info, drawn) for _, group in groups]


def _together(change: Changed, book: Book) -> tuple[object, ...]:
    """What copies share that are told on one page; one blank stands for all on it."""
    number, route = _route_of(change.part, book)
    cut = number if change.revision and route.pieces else None
    return (
        change.family or change.part,
        change.revision,
        tuple(what for what, _, _ in change.rows),
        cut,
    )


def _route_of(part: str, book: Book) -> tuple[int, Route]:
    """Route that a part is made by, and its place in the book."""
    return next(
        (i, route) for i, route in enumerate(book.routes) if part in (route.part, *route.same_as)
    )


def _page(
    group: Sequence[Changed],
    book: Book,
    info: SheetInfo,
    drawn: Callable[[int, Route], tuple[Said, Sequence[Said]]],
) -> Said:
    first = group[0]
    number, route = _route_of(first.part, book)
    state = f"kept as revision {first.revision}" if first.revision else "on offer, not kept"
    name = _names(first.family, [change.part for change in group])
    picture, blanks = drawn(number, route)
    return {
        "title": f"{name}: what changes",
        "fields": [["Build", info.build], ["Part", name], ["Change", state]],
        "picture": picture,
        "blanks": list(blanks),
        "rows": [
            _row(title(change.part) if len(group) > 1 else "", what, before, after, change, info)
            for change in group
            for what, before, after in change.rows
        ],
        "why": _why(group),
        "meets": [
            [
                said[:1].upper() + said[1:],
                *([] if first.revision else [chance(before)]),
                chance(after),
            ]
            for change in group
            for said, before, after in change.meets
        ],
        "is_kept": bool(first.revision),
        "warning": ""
        if route.is_made
        else "A blank that is cut by an earlier drawing is not this one: measure it against "
        "the route sheet before you fold it."
        if route.pieces
        else "What is sawn or filed by an earlier drawing is not this one: measure it against "
        "the route sheet.",
    }


def _why(group: Sequence[Changed]) -> list[Said]:
    """Reasons, copy by copy, those that all copies have once and last."""
    of_all = [s for s in group[0].why if len(group) > 1 and all(s in one.why for one in group)]
    told = [
        (title(change.part) if len(group) > 1 else "", [s for s in change.why if s not in of_all])
        for change in group
    ]
    told.append(("All of them", of_all))
    return [
        {"of": of, "said": [sentence[:1].upper() + sentence[1:] for sentence in said]}
        for of, said in told
        if said
    ]


def _names(family: str, parts: Sequence[str]) -> str:
    """Return "Leg plugs 1 to 4", or the name of the one part."""
    if len(parts) == 1:
        return title(parts[0])
    numbers = [int(part.rpartition("-")[2]) for part in parts]
    in_a_row = len(numbers) > 2 and all(b == a + 1 for a, b in pairwise(numbers))
    said = f"{numbers[0]} to {numbers[-1]}" if in_a_row else listed([str(n) for n in numbers])
    return f"{title(family)}s {said}"


def _row(
    of: str, what: str, before: float, after: float, change: Changed, info: SheetInfo
) -> list[str]:
    """What is changed: from, to, and by how much."""
    fine = what in change.fine
    by = info.length(abs(after - before), fine)
    how = "larger" if after > before else "smaller"
    name = f"{of}, {called(measured_name(what)).lower()}" if of else measured_name(what)
    return [name, info.length(before, fine), info.length(after, fine), f"{by} {how}"]
