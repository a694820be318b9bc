"""What the maker holds in the hand: paper, files for machines, pictures, the book.

Room: draw. It is handed patterns and results, and works out nothing of a part.
Importing it is light: the PDF library loads with the first page.
"""

from foldwright.draw.book import book_pdf
from foldwright.draw.book_drawings import expected_and_wanted
from foldwright.draw.book_lists import purchase_rows
from foldwright.draw.book_records import (
    Book,
    Changed,
    CutInto,
    Layout,
    Neighbour,
    Purchase,
    Route,
    Standing,
    ToMeasure,
    Weight,
)
from foldwright.draw.drawing import A4, Paper, paper_named
from foldwright.draw.dxf import laid_out_dxf, piece_dxf
from foldwright.draw.gauges import gauges_pdf
from foldwright.draw.glb import scene_glb
from foldwright.draw.info import SheetInfo
from foldwright.draw.layout_screen import ShownSheet, shown_sheets, without_place
from foldwright.draw.layouts import laid_blanks, layout_pages, layouts_pdf
from foldwright.draw.marking_out import marking_out_pdf
from foldwright.draw.picture import Picture, eye_of, picture_of
from foldwright.draw.rack_picture import (
    cuts_on_screen,
    formers_on_screen,
    lengths_on_screen,
    sheets_on_screen,
)
from foldwright.draw.rings import Danger
from foldwright.draw.svg import Link, svg_on_screen
from foldwright.draw.svg_piece import piece_svg
from foldwright.draw.templates import templates_pdf
from foldwright.draw.turned import Shown, Stand, stand_of, turned_svg
from foldwright.draw.ways_plot import Figure, Way, WaysPlot

__all__ = [
    "A4",
    "Book",
    "Changed",
    "CutInto",
    "Danger",
    "Figure",
    "Layout",
    "Link",
    "Neighbour",
    "Paper",
    "Picture",
    "Purchase",
    "Route",
    "SheetInfo",
    "Shown",
    "ShownSheet",
    "Stand",
    "Standing",
    "ToMeasure",
    "Way",
    "WaysPlot",
    "Weight",
    "book_pdf",
    "cuts_on_screen",
    "expected_and_wanted",
    "eye_of",
    "formers_on_screen",
    "gauges_pdf",
    "laid_blanks",
    "laid_out_dxf",
    "layout_pages",
    "layouts_pdf",
    "lengths_on_screen",
    "marking_out_pdf",
    "paper_named",
    "picture_of",
    "piece_dxf",
    "piece_svg",
    "purchase_rows",
    "scene_glb",
    "sheets_on_screen",
    "shown_sheets",
    "stand_of",
    "svg_on_screen",
    "templates_pdf",
    "turned_svg",
    "without_place",
]
