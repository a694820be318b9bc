"""DXF files read back by the library that wrote them, and checked by its audit."""

import io
import math
import re
from dataclasses import replace

import ezdxf
import pytest
from hypothesis import given, reject
from shapely import Point as Spot
from shapely import Polygon

import zoo
from draw.test_bench_words import kerfed, rounded
from foldwright.draw import SheetInfo
from foldwright.draw.dxf import piece_dxf
from foldwright.errors import CannotMake
from foldwright.flat import pattern_of

INFO = SheetInfo(build="Test build", drawn="2031-01-02")
BOARD = zoo.BOARD


def pieces_of(part):
    return pattern_of(part, BOARD, zoo.CUTTERS).pieces


def read(data):
    document = ezdxf.read(io.StringIO(data.decode("utf-8")))
    audit = document.audit()

    assert not audit.errors and not audit.fixes
    return document


def area(polyline):
    """Area of a closed polyline: its chords, and the segment under each bulge."""
    points = list(polyline.get_points("xyb"))
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1], strict=True):
        total += (x0 * y1 - x1 * y0) / 2.0
        if bulge:
            angle = 4.0 * math.atan(bulge)
            radius = math.dist((x0, y0), (x1, y1)) / (2.0 * math.sin(angle / 2.0))
            total += radius**2 * (angle - math.sin(angle)) / 2.0
    return abs(total)


def flat_area(path):
    """Area inside a path of the pattern, by Green's theorem."""
    total, last = 0.0, path[-1].to
    for step in path:
        (x0, y0), (x1, y1) = last, step.to
        total += (x0 * y1 - x1 * y0) / 2.0
        if step.centre is not None:
            cx, cy = step.centre
            sweep = math.atan2(y1 - cy, x1 - cx) - math.atan2(y0 - cy, x0 - cx)
            sweep = sweep % math.tau if step.left else -((-sweep) % math.tau)
            radius = math.dist((x0, y0), (cx, cy))
            total += radius**2 * (sweep - math.sin(sweep)) / 2.0
        last = step.to
    return abs(total)


def on_layer(document, name):
    return [e for e in document.modelspace() if e.dxf.layer == name]


@pytest.mark.parametrize("part", zoo.ZOO.values(), ids=zoo.ZOO)
def test_a_dxf_passes_the_audit_and_reads_back_with_the_same_areas(part):
    for piece in pieces_of(part):
        document = read(piece_dxf(piece, INFO))
        outlines = on_layer(document, "cut outline")
        cutouts = on_layer(document, "cutout")

        assert document.header["$INSUNITS"] == 4
        assert len(outlines) == 1 and len(cutouts) == len(piece.cutouts)
        assert area(outlines[0]) == pytest.approx(flat_area(piece.outline), rel=1e-12)
        for one, other in zip(cutouts, piece.cutouts, strict=True):
            assert area(one) == pytest.approx(flat_area(other.path), rel=1e-12)


@given(zoo.random_profiles())
def test_every_fold_and_seam_of_a_random_profile_is_in_its_dxf(part):
    try:
        pieces = pieces_of(part)
    except CannotMake:  # its boards leave no inside
        reject()
    for piece in pieces:
        document = read(piece_dxf(piece, INFO))
        middles = [e for e in document.modelspace() if e.dxftype() == "LINE"]
        middles = [e for e in middles if e.dxf.layer.startswith("middle of")]
        lengths = sorted((e.dxf.end - e.dxf.start).magnitude for e in middles)

        assert len(on_layer(document, "witness mark")) == len(piece.seams)
        assert lengths == pytest.approx(sorted(math.dist(f.a, f.b) for f in piece.folds))


def test_witness_marks_point_into_the_blank_on_either_side():
    for name in ("handed", "l_profile"):
        for piece in pieces_of(zoo.FOLDED[name]):
            document = read(piece_dxf(piece, INFO))
            outline = Polygon(
                [p[:2] for p in on_layer(document, "cut outline")[0].get_points("xy")]
            ).buffer(1e-6)
            for mark in on_layer(document, "witness mark"):
                assert outline.contains(Spot(mark.dxf.end.x, mark.dxf.end.y))


def test_a_dxf_is_the_same_whenever_it_is_made():
    piece = pieces_of(zoo.box())[0]

    assert piece_dxf(piece, INFO) == piece_dxf(piece, INFO)
    assert not re.search(rb"ezdxf\s+1\.\d.*@", piece_dxf(piece, INFO))


def test_a_dxf_says_which_side_is_up():
    piece = pieces_of(zoo.box())[0]
    words = [e.dxf.text for e in read(piece_dxf(piece, INFO)).modelspace().query("TEXT")]

    assert any("THIS SIDE UP: inside of the box" in text for text in words)


def test_rounds_and_rows_of_kerfs_have_layers_of_their_own():
    """Where a round begins and ends, and each kerf by itself, as the saw goes."""
    document = read(piece_dxf(rounded(), INFO))
    curls = on_layer(document, "where a round begins and ends")
    kerfs = on_layer(read(piece_dxf(kerfed(), INFO)), "middle of saw kerf")

    assert sorted(round(e.dxf.start.x, 6) for e in curls) == [40.0, 71.4]
    assert len(kerfs) == 4


@pytest.mark.parametrize("method", ["bend", "score", "hot", "open"])
def test_a_fold_of_any_method_has_a_layer(method):
    """A line on a layer that the file does not list would fail the audit."""
    piece = replace(kerfed(), folds=(replace(kerfed().folds[-1], method=method),))
    document = read(piece_dxf(piece, INFO))
    names = {layer.dxf.name for layer in document.layers}

    assert {e.dxf.layer for e in document.modelspace()} <= names
