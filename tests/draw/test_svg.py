"""SVG files come in at their true size, with their lines told apart by name."""

import math
import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from draw.hand import INFO, comb, drum, handed, outwards, ring
from foldwright.draw import piece_svg

PIECES = [handed(), outwards(), drum(), ring(), comb()]
SVG = "{http://www.w3.org/2000/svg}"


def read(piece, info=INFO):
    root = ElementTree.fromstring(piece_svg(piece, info))
    height = float(root.get("viewBox").split()[3])
    groups = {g.get("id"): g for g in root.iter(f"{SVG}g") if g.get("id")}
    return root, height, groups


def points_of(path, height):
    """End points of a path's commands, y up; the last two numbers of each."""
    out = []
    for command in re.findall(r"[MLA][^MLAZ]*", path.get("d")):
        numbers = [float(n) for n in command[1:].split()]
        out.append((numbers[-2], height - numbers[-1]))
    return out


@pytest.mark.parametrize("piece", PIECES, ids=lambda p: p.id)
def test_one_unit_is_one_mm(piece):
    """Width and height in mm agree with the viewBox (SVG 1.1, section 7.7)."""
    root, _, _ = read(piece)
    _, _, width, height = (float(v) for v in root.get("viewBox").split())

    assert root.get("width") == f"{width:.12g}mm"
    assert root.get("height") == f"{height:.12g}mm"


def test_the_cut_outline_is_the_record_seen_on_its_marked_side():
    """Mirrored, since the inside is marked; the words say so."""
    piece = handed()
    root, height, groups = read(piece)
    (path,) = groups["cut-outline"]
    found = points_of(path, height)[:-1]
    x0, y0 = (min(p[k] for p in found) for k in (0, 1))
    found = sorted((round(x - x0, 6) + 0.0, round(y - y0, 6) + 0.0) for x, y in found)
    wanted = sorted((260.0 - s.to[0], s.to[1]) for s in piece.outline)

    assert [v for p in found for v in p] == pytest.approx([v for p in wanted for v in p], abs=1e-6)
    assert path.get("d").endswith("Z")
    assert "inside of the cheek" in root.find(f"{SVG}desc").text


def test_arcs_stay_arcs():
    """Radii 115 and 30, each circle closed."""
    _, _, groups = read(ring())
    radii = sorted(
        float(m) for p in groups["cut-outline"] for m in re.findall(r"A(\S+) ", p.get("d"))
    )

    assert set(radii) == {30.0, 115.0}
    assert all(p.get("d").endswith("Z") for p in groups["cut-outline"])


def test_words_stand_apart_from_lines():
    """A cutting service can drop one group and keep the rest."""
    root, _, groups = read(outwards())
    texts = set(root.iter(f"{SVG}text"))

    assert texts == set(groups["words"].iter(f"{SVG}text"))
    assert {"cut-outline", "middle-of-groove", "middle-of-groove-on-the-other-side"} <= set(groups)
    assert all("sans-serif" in t.get("font-family") for t in texts)


def test_a_name_with_markup_in_it_does_no_harm():
    """Ampersands and angle brackets are escaped."""
    root, _, _ = read(drum(), replace(INFO, build='Salt & <"Pepper">'))

    assert root.find(f"{SVG}title").text == 'Salt & <"Pepper">: Lamp'


def test_everything_lies_within_the_drawing():
    """Also the legend of a blank that is narrower than its words."""
    narrow = replace(drum(), outline=handed().outline, seams=(), curved=())
    for piece in (narrow, handed(), ring()):
        root, height, _ = read(piece)
        width = float(root.get("viewBox").split()[2])
        for path in root.iter(f"{SVG}path"):
            for x, y in points_of(path, height):
                assert -1e-6 <= x <= width + 1e-6
                assert -1e-6 <= y <= height + 1e-6
        assert math.isfinite(height)
