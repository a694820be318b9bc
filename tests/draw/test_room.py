"""The room as a whole: light to import, its parts true by themselves."""

import math
import subprocess
import sys
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.draw.drawing import (
    LETTERING,
    LETTERING_NARROW,
    LETTERING_SLOPED,
    TEXT,
    TEXT_BOLD,
    Arc,
    bounds,
    sampled,
)
from foldwright.draw.flow import Column, height_of, table
from foldwright.draw.fonts import FOLDER, font_file, text_width, wrapped
from foldwright.draw.pdf import _beziers
from foldwright.draw.placing import Frame, spread
from foldwright.draw.section import Groove, section_scale

FACES = (TEXT, TEXT_BOLD, LETTERING, LETTERING_SLOPED, LETTERING_NARROW)


def test_importing_the_room_loads_no_heavy_library():
    """`foldwright --help` has half a second; reportlab alone takes a third."""
    code = (
        "import sys, foldwright.draw; "
        "print(sorted({'reportlab', 'numpy', 'shapely'} & set(sys.modules)))"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert out.stdout.strip() == "[]"


@pytest.mark.parametrize("face", FACES, ids=lambda f: f.file)
def test_faces_ship_with_their_licences_and_know_their_widths(face):
    """Widths against reportlab's own, which prints the pages."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont, TTFontFile

    every = TTFontFile(str(font_file(face))).charWidths
    pdfmetrics.registerFont(TTFont(f"check-{face.file}", str(font_file(face))))
    text = "Seams 0123456789, 97.5° and 12 19/32"
    theirs = pdfmetrics.stringWidth(text, f"check-{face.file}", 10.0)

    assert text_width(text, face, 10.0) == pytest.approx(theirs, rel=1e-6)
    assert len(every) > 200
    for code, thousandths in every.items():
        if code != 0xFFFF:  # ends the table, and is no character
            assert text_width(chr(code), face, 1000.0) == pytest.approx(thousandths), hex(code)
    for name in ("LICENCE-vollkorn.txt", "LICENCE-routed-gothic.txt", "ABOUT.txt"):
        assert (FOLDER / name).stat().st_size > 100


@given(st.floats(0.1, 2000.0), st.floats(-3.1, 3.1), st.floats(0.001, 6.28), st.booleans())
def test_curves_leave_their_arc_by_less_than_a_ten_millionth(radius, start, turn, left):
    """Common practice, no source: a cubic over 22.5 degrees is off by 7e-8 of the radius."""
    end = start + (turn if left else -turn)
    a, b = ((radius * math.cos(t), radius * math.sin(t)) for t in (start, end))
    arc = Arc(a, b, (0.0, 0.0), left)
    last = a
    for x1, y1, x2, y2, x3, y3 in _beziers(arc):
        for i in range(11):
            t = i / 10.0
            w = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
            x = w[0] * last[0] + w[1] * x1 + w[2] * x2 + w[3] * x3
            y = w[0] * last[1] + w[1] * y1 + w[2] * y2 + w[3] * y3

            assert math.hypot(x, y) == pytest.approx(radius, rel=1e-7)
        last = (x3, y3)

    assert math.dist(last, b) < 1e-9 * radius


@given(st.floats(0.5, 500.0), st.floats(-3.1, 3.1), st.floats(0.01, 6.2), st.booleans())
def test_bounds_of_an_arc_hold_its_points_and_no_more(radius, start, turn, left):
    """Against the arc walked in small steps."""
    end = start + (turn if left else -turn)
    a, b = ((radius * math.cos(t), radius * math.sin(t)) for t in (start, end))
    arc = Arc(a, b, (0.0, 0.0), left)
    walked = [arc.point(i / 2000.0) for i in range(2001)]
    box = bounds((arc,))

    assert box.left == pytest.approx(min(x for x, _ in walked), abs=1e-5 * radius)
    assert box.right == pytest.approx(max(x for x, _ in walked), abs=1e-5 * radius)
    assert box.low == pytest.approx(min(y for _, y in walked), abs=1e-5 * radius)
    assert box.high == pytest.approx(max(y for _, y in walked), abs=1e-5 * radius)
    assert all(box.grown(1e-6).holds(p) for p in sampled((arc,)))


@given(st.lists(st.floats(0.0, 200.0), min_size=1, max_size=30).map(sorted), st.floats(0.1, 8.0))
def test_labels_keep_their_gap_and_none_moves_without_need(places, gap):
    """The mean move is nil (a property of least squares with nothing but gaps)."""
    moved = spread(places, [gap] * (len(places) - 1))

    assert all(b - a >= gap - 1e-9 for a, b in pairwise(moved))
    assert sum(moved) == pytest.approx(sum(places), abs=1e-6)
    if all(b - a >= gap for a, b in pairwise(places)):
        assert moved == pytest.approx(places)


@given(
    st.floats(-20, 20),
    st.floats(-20, 20),
    st.floats(0.5, 9),
    st.floats(0.5, 9),
    st.floats(-3.1, 3.1),
)
def test_frames_overlap_as_shapely_says(x, y, w, h, turn):
    """Against a general-purpose geometry library, touching cases left aside."""
    from shapely.geometry import LineString, Polygon

    ours, fixed = Frame((x, y), (w, h), turn), Frame((0.0, 0.0), (6.0, 2.0), 0.4)
    a, b = Polygon(ours.corners()), Polygon(fixed.corners())
    if a.distance(b) > 1e-6 or a.intersection(b).area > 1e-6:
        assert ours.overlaps(fixed) == a.intersects(b)
    line = LineString([(-9.0, 1.0), (12.0, -4.0)])
    if a.distance(line) > 1e-6 or a.buffer(-1e-6).intersects(line):
        assert ours.crosses((-9.0, 1.0), (12.0, -4.0)) == a.intersects(line)


def test_wrapped_lines_fit_and_lose_no_letter():
    """Also a word that is longer than the line."""
    text = "A short one and averyverylongwordwithoutanyspaceinit at the end"
    lines = wrapped(text, TEXT, 3.7, 30.0)

    assert all(text_width(line, TEXT, 3.7) <= 30.0 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_a_section_that_is_too_wide_is_drawn_smaller():
    """5:1 while it fits; a wide floor with a flat cutter at less."""
    usual = Groove(floor=2.0, web=0.8, thickness=3.0, angle=math.radians(90.0))
    wide = Groove(floor=8.0, web=0.8, thickness=6.0, angle=math.radians(120.0))

    assert section_scale(usual, 85.0) == 5.0
    assert section_scale(wide, 85.0) < 3.0
    assert 2.0 * wide.half_mouth * section_scale(wide, 85.0) < 85.0 - 34.0


def test_a_number_in_a_table_is_never_broken():
    """It is set smaller instead; words wrap."""
    columns = (Column("Between", 1.0, face=TEXT), Column("Length", 1.0, right=True))
    _, row = table(columns, [("a name that has to wrap", "10 13/64 - 0.2 mm")])
    items, _ = row.block(0.0, 0.0, 30.0)
    texts = [item.text for item in items if hasattr(item, "text")]

    assert "10 13/64 - 0.2 mm" in texts
    assert "a name that has to wrap" not in texts
    assert height_of(row.block, 30.0) > height_of(row.block, 120.0)
