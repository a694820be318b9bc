"""Drawings for a screen: well formed, in the page's own inks, at one scale from every side."""

import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest

from foldwright.box import Box
from foldwright.draw.drawing import (
    HIDDEN,
    LETTERING,
    Arc,
    Area,
    Group,
    Pen,
    Stroke,
    Words,
    circle,
    line,
    polyline,
)
from foldwright.draw.fonts import text_width
from foldwright.draw.hidden_lines import view_axes
from foldwright.draw.placing import clipped
from foldwright.draw.rings import KEY, Danger, keys_at
from foldwright.draw.route_screen import part_on_screen
from foldwright.draw.svg import Link, svg_of, svg_on_screen
from foldwright.draw.turned import Shown, stand_of, turned_svg
from foldwright.shape import body_of
from zoo import box, drum

SVG = "{http://www.w3.org/2000/svg}"
# What the page's style sheet defines.
INKS = {"ink", "wash", "shade", "paper", "graphite", "soft", "danger"}
EYES = [(0.52, -1.0, 0.55), (-1.0, 0.2, 0.1), (0.3, 1.0, -0.4), (0.01, -0.2, 1.0)]


def frame(x, y, z):
    motion = np.eye(4)
    motion[:3, 3] = x, y, z
    return motion


def build():
    bodies = {"case": body_of(box()), "lamp": body_of(drum()), "lamp-2": body_of(drum())}
    frames = {"lamp": frame(40.0, 30.0, 200.0), "lamp-2": frame(400.0, -90.0, 0.0)}
    return bodies, frames


def shown():
    return {
        "case": Shown(("case", "as drawn"), Link("/parts/case", "case: made, as drawn"), "1"),
        "lamp": Shown(("lamps",), Link("/parts/lamp", "lamps: not made yet"), "2"),
        "lamp-2": Shown(("lamps",), Link("/parts/lamp-2", "lamps: not made yet"), "2"),
    }


def turned(eye, dangers=()):
    bodies, frames = build()
    return turned_svg(bodies, frames, eye, frozenset({"case"}), shown(), dangers, "A & B")


@pytest.mark.parametrize("eye", EYES)
def test_it_is_well_formed_and_takes_its_inks_from_the_page(eye):
    """No colour of its own, no style attribute, no id that could stand twice in a page."""
    text = turned(eye, [Danger((0.0, 0.0, 0.0), ("case < lamp",))])
    root = ElementTree.fromstring(text)
    used = {
        element.get(name)
        for element in root.iter()
        for name in ("fill", "stroke")
        if element.get(name) not in (None, "none")
    }

    assert used <= {f"var(--{ink})" for ink in INKS}
    assert "var(--danger)" in used
    assert not [e for e in root.iter() if "style" in e.attrib or "id" in e.attrib]
    assert "#" not in text
    assert root.get("aria-label") == "A & B"


def test_numbers_are_as_fine_as_a_screen_shows():
    """Two decimals at most; a file keeps its twelve figures."""
    items = [line((0.0, 0.0), (10.0 / 3.0, 1.0), Pen("edge", 0.2)), Words((1 / 3, 0.0), "a", 3.0)]
    longest = max(len(d) for d in re.findall(r"\.(\d+)", svg_on_screen(items, 9, 9, "x")))

    assert longest == 2
    assert "3.33333333333" in svg_of(items, 9, 9, "x", "x")


def test_lines_of_one_pen_are_one_path_and_areas_stay_apart():
    """Two areas in one path could cancel where they overlap."""
    pen = Pen("edge", 0.2)
    strokes = [line((0.0, k), (5.0, k), pen) for k in range(4)]
    areas = [Area(circle((2.0, 2.0), 1.0)), Area(circle((2.5, 2.0), 1.0))]
    root = ElementTree.fromstring(svg_on_screen([*strokes, *areas], 9, 9, "x"))
    paths = [path.get("d") for path in root.iter(f"{SVG}path")]

    assert [d.count("M") for d in paths] == [4, 1, 1]


def test_a_path_says_the_same_on_screen_as_in_a_file():
    """A command left out goes on in lines, after an arc it is written again."""
    start = (0.0, 0.0)
    path = (
        *polyline([start, (4.0, 0.0)]),
        Arc((4.0, 0.0), (4.0, 2.0), (4.0, 1.0)),
        *polyline([(4.0, 2.0), (0.0, 2.0), start]),
    )
    on_screen, in_file = (
        re.search(r' d="([^"]*)"', text).group(1)
        for text in (
            svg_on_screen([Stroke(path, HIDDEN)], 9, 9, "x"),
            svg_of([Stroke(path, HIDDEN)], 9, 9, "x", "x"),
        )
    )

    assert in_file == "M0 9 L4 9 A1 1 0 0 0 5 8 A1 1 0 0 0 4 7 L0 7 L0 9 Z"
    assert on_screen == "M0 9 4 9 A1 1 0 0 0 5 8 A1 1 0 0 0 4 7 L0 7 0 9 Z"


def test_a_linked_group_leads_there_and_has_a_name():
    """Quotes and angle brackets of a name are written as they have to be."""
    group = Group((Words((0.0, 0.0), "lid", 3.0, LETTERING),), "lid")
    text = svg_on_screen([group], 9, 9, "x", {"lid": Link("/parts/lid?a=1&b", 'the "lid" <b>')})
    root = ElementTree.fromstring(text)
    (link,) = root.iter(f"{SVG}a")

    assert link.get("href") == "/parts/lid?a=1&b"
    assert link.get("aria-label") == link.find(f"{SVG}title").text == 'the "lid" <b>'
    assert root.get("role") == "group"  # an image would hide its links from a screen reader


def test_the_keyboard_passes_over_a_linked_group_that_lies_hidden():
    """It would stop where nothing shows."""
    seen = Group((Words((0.0, 0.0), "lid", 3.0, LETTERING),), "lid")
    links = {name: Link(f"/parts/{name}", name) for name in ("lid", "rib")}
    root = ElementTree.fromstring(svg_on_screen([seen, Group((), "rib")], 9, 9, "x", links))

    assert {a.get("href"): a.get("tabindex") for a in root.iter(f"{SVG}a")} == {
        "/parts/lid": None,
        "/parts/rib": "-1",
    }


def test_every_part_that_is_seen_is_a_link_with_an_area_to_hit():
    """Bare paper can be hit as well as wash."""
    root = ElementTree.fromstring(turned(EYES[0]))
    links = {a.get("href"): a for a in root.iter(f"{SVG}a")}

    assert set(links) == {"/parts/case", "/parts/lamp", "/parts/lamp-2"}
    for link in links.values():
        assert [p for p in link.iter(f"{SVG}path") if p.get("fill") != "none"]
        assert link.get("aria-label")
    fills = {p.get("fill") for p in links["/parts/lamp"].iter(f"{SVG}path")}
    assert fills == {"var(--paper)"}


def test_parts_that_share_a_line_of_the_list_are_named_once():
    """By the one that is seen largest."""
    root = ElementTree.fromstring(turned(EYES[0]))
    words = [text.text for text in root.iter(f"{SVG}text")]

    assert words.count("lamps") == 1
    assert words.count("2") == 1  # its key, for a phone


@pytest.mark.parametrize("eye", EYES)
def test_the_build_keeps_its_scale_and_its_centre_whatever_the_eye(eye):
    """Every corner, put where a camera of that scale over that centre has it, is inside."""
    bodies, frames = build()
    stand = stand_of(bodies, frames)
    axes = view_axes(eye)
    for name, body in bodies.items():
        points = body.points() + frames.get(name, np.eye(4))[:3, 3]
        across, up, _ = (axes @ (points - stand.centre).T) * stand.scale

        assert np.abs(across).max() <= stand.width / 2.0 - 31.0 + 1e-9  # beside it stand names
        assert np.abs(up).max() <= stand.height / 2.0
    root = ElementTree.fromstring(turned(eye))
    size = [float(v) for v in root.get("viewBox").split()[2:]]
    assert size == pytest.approx([stand.width, stand.height], abs=1e-6)
    (lines,) = (g for g in root.iter(f"{SVG}g") if g.get("class") == "lines")
    points = [
        (float(x), float(y))
        for path in lines.iter(f"{SVG}path")
        for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d"))
    ]
    corners = np.concatenate(
        [b.points() + frames.get(n, np.eye(4))[:3, 3] for n, b in bodies.items()]
    )
    across, up, _ = (axes @ (corners - stand.centre).T) * stand.scale
    wanted = (across.min() + stand.width / 2.0, across.max() + stand.width / 2.0)
    # pens have a width, and pencil runs past its corners
    assert min(x for x, _ in points) == pytest.approx(wanted[0], abs=1.2)
    assert max(x for x, _ in points) == pytest.approx(wanted[1], abs=1.2)


def test_names_are_left_out_where_there_is_no_room_and_the_largest_stay():
    """A build of many parts: the column is as high as the picture."""
    bodies = {"case": body_of(box())} | {f"knob{i}": body_of(drum()) for i in range(60)}
    frames = {f"knob{i}": frame(90.0 * (i % 8), 90.0 * (i // 8), 500.0) for i in range(60)}
    parts = {
        name: Shown((name,), Link(f"/parts/{name}", name), str(i)) for i, name in enumerate(bodies)
    }
    text = turned_svg(bodies, frames, EYES[0], frozenset(), parts, (), "many")
    root = ElementTree.fromstring(text)
    height = float(root.get("viewBox").split()[3])
    (areas,) = (g for g in root.iter(f"{SVG}g") if g.get("class") == "areas")
    names = [t for t in areas.iter(f"{SVG}text")]

    assert 10 <= len(names) < 60
    assert all(0.0 <= float(t.get("y")) <= height for t in names)
    assert len(list(areas.iter(f"{SVG}a"))) == 61


def test_keys_part_where_they_would_touch():
    """Five dots in one spot, and one alone that stays where it is."""
    dots = {f"p{i}": (50.0, 50.0) for i in range(5)} | {"alone": (10.0, 10.0)}
    items = keys_at(dots, {part: str(i) for i, part in enumerate(dots)}, Box(0, 0, 100, 100))
    rings = [i.path[0].centre for i in items if isinstance(i, Area) and i.shade == "paper"]
    gaps = [math.dist(a, b) for k, a in enumerate(rings) for b in rings[:k]]

    assert len(rings) == 6
    assert min(gaps) > 2.0 * KEY
    assert rings[-1] == (10.0, 10.0)


@pytest.mark.parametrize("eye", EYES)
def test_a_neighbour_that_runs_off_a_picture_ends_before_its_name(eye):
    """Its leader comes to the name and ends there; no line goes on under the words."""
    bodies = {"case": body_of(box()), "lamp": body_of(drum(30.0, 60.0))}
    frames = {"lamp": frame(10.0, 20.0, 40.0)}
    figure = part_on_screen("lamp", ("case",), bodies, frames, eye, made=frozenset())
    lines = [
        (seg.a, seg.b) for item in figure.items if isinstance(item, Stroke) for seg in item.path
    ]
    words = [item for item in figure.items if isinstance(item, Words)]

    assert [word.text for word in words] == ["case"]
    for word in words:
        long = text_width(word.text, word.face, word.size)
        left = word.at[0] - (long if word.anchor == "end" else 0.0)
        over = Box(left, word.at[1], left + long, word.at[1] + word.size)
        assert over.left >= -1e-9
        assert over.right <= figure.width + 1e-9
        assert not [seg for seg in lines if clipped(*seg, over)]
