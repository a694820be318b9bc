"""The build book: everything about a build in one document that a maker would want to own.

Room: draw. `book_pdf` sets a `Book` of results by Typst, from ``book.typ``
beside this module. What the pages say goes to them as JSON, the drawings as
SVG; both are held in memory, and only the faces shipped here are used, so
that the same book is the same file everywhere.
"""

from __future__ import annotations

import json
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from foldwright.draw.fonts import FOLDER

if TYPE_CHECKING:
    from foldwright.draw.book_records import Book
    from foldwright.draw.info import SheetInfo


def book_pdf(book: Book, info: SheetInfo) -> bytes:
    """Set a build book.

    Parameters
    ----------
    book : Book
        Results, worked out elsewhere.
    info : SheetInfo
        Build, date, units, names of the stocks.

    Returns
    -------
    bytes
        A PDF file, the same for the same book.
    """
    import typst

    from foldwright.draw.book_words import Pages  # loads NumPy and Shapely

    pages = Pages(book, info)
    said = json.dumps(pages.said(), ensure_ascii=False)
    sources: Any = {
        "main.typ": files("foldwright.draw").joinpath("book.typ").read_bytes(),
        "book.json": said.encode(),
        **{name: svg.encode() for name, svg in pages.files.items()},
    }
    found = typst.compile(
        sources,
        format="pdf",
        font_paths=[str(FOLDER)],
        ignore_system_fonts=True,
        timestamp=0,
    )
    assert isinstance(found, bytes), "one document is one run of bytes"
    return found
