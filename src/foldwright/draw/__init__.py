"""What the maker holds in the hand: templates, marking-out sheets, gauges, SVG.

Room: draw. It is handed patterns and words, and works out nothing of a part.
Importing it is light: the PDF library loads with the first page.
"""

from foldwright.draw.drawing import A4, Paper, paper_named
from foldwright.draw.dxf import laid_out_dxf, piece_dxf
from foldwright.draw.gauges import gauges_pdf
from foldwright.draw.info import SheetInfo
from foldwright.draw.marking_out import marking_out_pdf
from foldwright.draw.svg_piece import piece_svg
from foldwright.draw.templates import templates_pdf

__all__ = [
    "A4",
    "Paper",
    "SheetInfo",
    "gauges_pdf",
    "laid_out_dxf",
    "marking_out_pdf",
    "paper_named",
    "piece_dxf",
    "piece_svg",
    "templates_pdf",
]
