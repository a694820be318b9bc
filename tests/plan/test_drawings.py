"""Outlines from DXF and SVG files: true size, arcs kept, faults that name the place.

DXF files are written by ezdxf (and one by hand), SVG files by hand; areas are
held against closed forms.
"""

import math

import ezdxf
import pytest
from ezdxf.enums import InsertUnits
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import PlanFaults
from foldwright.plan import parse_plan
from foldwright.plan.chains import Segment, Trouble, one_outline
from plan.plans import SMALL, THICKNESSES

GABLE = SMALL[SMALL.index("outline = [") : SMALL.index("depth = 120")]
RECTANGLE = [(10, 20), (110, 20), (110, 80), (10, 80)]


def plan_with(folder, drawing, *, scale=1.0, kind="plate"):
    """Plan with a plate (or the gable) that has this ``{ file = ... }`` as its outline."""
    text = SMALL.replace('name = "Lamp"', f"scale = {scale}")
    if kind == "plate":
        text = text.replace('diameter = "lamp_d + 10"\nbore = 60', f"outline = {drawing}")
    else:
        text = text.replace(GABLE, f"outline = {drawing}\n").replace('"side-1"', '"side-2"')
    return parse_plan(text, str(folder / "plan.toml"), THICKNESSES)


def outline_of(folder, drawing, **how):
    """Corners and rises as drawn [mm]."""
    part = plan_with(folder, drawing, **how).parts["ring"]
    corners = [(x.value({}), y.value({})) for x, y in part.outline]
    assert part.parameters == ()
    rises = [r.value({}) if r else 0.0 for r in part.rises] or [0.0] * len(corners)
    return corners, rises


def area(corners, rises):
    """Area [mm2] inside, the segments of its arcs with it."""
    total = 0.0
    for i, (x, y) in enumerate(corners):
        nx, ny = corners[(i + 1) % len(corners)]
        total += 0.5 * (x * ny - nx * y)
        chord, rise = math.hypot(nx - x, ny - y), rises[i]
        turn = 4.0 * math.atan2(2.0 * abs(rise), chord)
        radius = chord / (2.0 * math.sin(turn / 2.0)) if rise else 0.0
        total += math.copysign(0.5 * radius**2 * (turn - math.sin(turn)), rise)
    return total


def problem(folder, drawing):
    """Code and words of the one fault."""
    with pytest.raises(PlanFaults) as caught:
        plan_with(folder, drawing)
    (fault,) = caught.value.faults
    assert "outline = " in fault.text
    return fault.code, f"{fault.problem} {fault.remedy}"


@pytest.fixture
def dxf(tmp_path):
    """Empty drawing in mm that saves itself as a.dxf in `tmp_path`."""
    drawing = ezdxf.new("R2010", units=InsertUnits.Millimeters)
    drawing.filename = str(tmp_path / "a.dxf")
    return drawing


A_DXF = '{ file = "a.dxf" }'


def test_lines_in_any_order_and_direction_are_joined(dxf, tmp_path):
    a, b, c, d = RECTANGLE
    for start, end in ((c, b), (a, b), (d, a), (c, d)):
        dxf.modelspace().add_line(start, end)
    dxf.save()

    assert outline_of(tmp_path, A_DXF) == (RECTANGLE, [0.0] * 4)


def test_a_rounded_rectangle_of_lines_and_arcs_keeps_its_arcs(dxf, tmp_path):
    """Area w h - (4 - pi) r^2."""
    space = dxf.modelspace()
    for start, end in (
        ((10, 0), (90, 0)), ((100, 10), (100, 50)), ((90, 60), (10, 60)), ((0, 50), (0, 10)),
    ):  # fmt: skip
        space.add_line(start, end)
    for centre, start in (((90, 10), 270), ((90, 50), 0), ((10, 50), 90), ((10, 10), 180)):
        space.add_arc(centre, 10, start, start + 90)
    dxf.save()
    corners, rises = outline_of(tmp_path, A_DXF)

    assert len(corners) == 8 and corners[0] == (10, 0)
    assert sum(1 for r in rises if r == approx(10 * (1 - math.cos(math.pi / 4)))) == 4
    assert area(corners, rises) == approx(6000 - (4 - math.pi) * 100, rel=1e-9)


@pytest.mark.parametrize("extrusion", [(0, 0, 1), (0, 0, -1)])
def test_bulges_of_polylines_are_arcs_seen_from_either_side(dxf, tmp_path, extrusion):
    """A half disc on a square; seen from below, x changes its sign and so does the way round."""
    points = [(0, 0, 0), (40, 0, 1), (40, 40, 0), (0, 40, 0)]
    dxf.modelspace().add_lwpolyline(
        points, format="xyb", close=True, dxfattribs={"extrusion": extrusion}
    )
    dxf.save()
    corners, rises = outline_of(tmp_path, A_DXF)

    assert area(corners, rises) == approx(1600 + 0.5 * math.pi * 400, rel=1e-9)
    assert max(rises) == approx(20.0) and min(rises) == 0.0
    assert {x for x, _ in corners} == ({0, 40} if extrusion[2] > 0 else {0, -40})


def test_old_polylines_and_arcs_seen_from_below_are_read_too(dxf, tmp_path):
    """The arc stands in the mirrored frame: its centre is at -x."""
    space = dxf.modelspace()
    space.add_polyline2d([(0, 40), (0, 0), (40, 0), (40, 40)])
    space.add_arc((-20, 40), 20, 0, 180, dxfattribs={"extrusion": (0, 0, -1)})
    dxf.save()

    assert area(*outline_of(tmp_path, A_DXF)) == approx(1600 + 0.5 * math.pi * 400, rel=1e-9)


def test_a_circle_comes_as_four_arcs(dxf, tmp_path):
    dxf.modelspace().add_circle((30, 40), 25)
    dxf.save()
    corners, rises = outline_of(tmp_path, A_DXF)

    assert len(corners) == 4 and corners[0] == approx((30, 15))
    assert area(corners, rises) == approx(math.pi * 625, rel=1e-9)


def test_a_keyhole_arc_of_more_than_half_a_turn_is_split(dxf, tmp_path):
    """A disc of 10 less the segment under the chord of 60 degrees, on a stem of 10 by 20."""
    space = dxf.modelspace()
    space.add_arc((0, 0), 10, -60, 240)
    low = -10 * math.sin(math.radians(60))
    space.add_polyline2d([(-5, low), (-5, low - 20), (5, low - 20), (5, low)])
    dxf.save()
    corners, rises = outline_of(tmp_path, A_DXF)
    segment = 50 * (math.pi / 3 - math.sin(math.pi / 3))

    assert len(corners) == 5
    assert area(corners, rises) == approx(100 * math.pi - segment + 200, rel=1e-9)


def test_curves_come_as_chords_within_two_hundredths(dxf, tmp_path):
    """Ellipse of 50 by 30: the chords lie inside, by less than 0.02 mm all round."""
    dxf.modelspace().add_ellipse((0, 0), major_axis=(50, 0), ratio=0.6)
    dxf.save()
    corners, rises = outline_of(tmp_path, A_DXF)
    around = 2 * math.pi * 50  # more than its true girth

    assert not any(rises) and len(corners) > 20
    assert 0 < math.pi * 1500 - area(corners, rises) < 0.02 * around


@pytest.mark.parametrize(
    ("unit", "factor"),
    [(InsertUnits.Inches, 25.4), (InsertUnits.Unitless, 1.0), (InsertUnits.Centimeters, 10.0)],
)
def test_units_of_the_header_are_kept_and_none_are_mm(dxf, tmp_path, unit, factor):
    dxf.units = unit
    dxf.modelspace().add_lwpolyline([(1, 2), (5, 2), (5, 6)], close=True)
    dxf.save()

    corners, _ = outline_of(tmp_path, A_DXF)
    assert corners == [approx((x * factor, y * factor)) for x, y in [(1, 2), (5, 2), (5, 6)]]


def test_both_scales_multiply_a_drawing(dxf, tmp_path):
    dxf.modelspace().add_lwpolyline([(0, 0), (40, 0), (40, 30)], close=True)
    dxf.save()

    corners, _ = outline_of(tmp_path, '{ file = "a.dxf", scale = 3 }', scale=0.5)
    assert corners == [(0, 0), (60, 0), (60, 45)]


def test_a_layer_names_the_outline_and_blocks_are_looked_into(dxf, tmp_path):
    block = dxf.blocks.new("SHAPE")
    block.add_lwpolyline(RECTANGLE, close=True, dxfattribs={"layer": "Cut"})
    dxf.modelspace().add_blockref("SHAPE", (100, 0))
    dxf.modelspace().add_circle((0, 0), 500, dxfattribs={"layer": "frame"})
    dxf.modelspace().add_text("gable", height=5, dxfattribs={"layer": "Cut"})
    dxf.save()
    corners, _ = outline_of(tmp_path, '{ file = "a.dxf", layer = "cut" }')

    assert corners == [(x + 100, y) for x, y in RECTANGLE]
    code, words = problem(tmp_path, '{ file = "a.dxf", layer = "cat" }')
    assert code == "bad-drawing" and 'on layer "cat"' in words and "Cut, frame" in words


def test_a_drawing_can_be_the_outline_of_a_profile(dxf, tmp_path):
    dxf.modelspace().add_lwpolyline(RECTANGLE[::-1], close=True)
    dxf.save()
    gable = plan_with(tmp_path, A_DXF, kind="profile").parts["gable"]

    assert gable.sides == ("side-1", "side-2", "side-3", "side-4")
    assert [p.name for p in gable.parameters] == ["depth"]
    assert [(x.value({}), z.value({})) for x, z in gable.outline] == RECTANGLE


def test_open_ends_are_named_with_their_coordinates(dxf, tmp_path):
    dxf.modelspace().add_lwpolyline([(0, 0), (40, 0), (40, 30), (0, 30)])
    dxf.save()
    code, words = problem(tmp_path, A_DXF)

    assert code == "bad-drawing"
    assert "open: lines end at (0, 0) and (0, 30)" in words and "a.dxf" in words


@pytest.mark.parametrize(("gap", "closes"), [(0.009, True), (0.011, False)])
def test_ends_within_a_hundredth_are_one(dxf, tmp_path, gap, closes):
    dxf.modelspace().add_lwpolyline([(0, 0), (40, 0), (40, 30), (0, 30), (0, gap)])
    dxf.save()

    if closes:
        assert len(outline_of(tmp_path, A_DXF)[0]) == 4
    else:
        assert "(0, 0.011)" in problem(tmp_path, A_DXF)[1]


def test_crossing_lines_are_told(dxf, tmp_path):
    dxf.modelspace().add_lwpolyline([(0, 0), (40, 30), (40, 0), (0, 30)], close=True)
    dxf.save()

    code, words = problem(tmp_path, A_DXF)
    assert code == "geometry" and "crosses or touches itself" in words


def test_a_line_drawn_twice_is_told_where_it_ends(dxf, tmp_path):
    dxf.modelspace().add_lwpolyline([(0, 0), (40, 0), (40, 30)], close=True)
    dxf.modelspace().add_line((0, 0), (40, 0))
    dxf.save()

    assert "More than two lines meet at (0, 0) and (40, 0)" in problem(tmp_path, A_DXF)[1]


def test_several_outlines_are_told_apart(dxf, tmp_path):
    dxf.modelspace().add_lwpolyline(RECTANGLE, close=True)
    dxf.modelspace().add_circle((60, 50), 5)
    dxf.save()
    _, words = problem(tmp_path, A_DXF)

    assert "2 outlines: one of 100 by 60 mm from (10, 20); one of 10 by 10 mm" in words
    assert "layer" in words and "windows are features" in words


def test_lines_that_do_not_lie_flat_are_told(dxf, tmp_path):
    dxf.modelspace().add_circle((0, 0), 5, dxfattribs={"extrusion": (0, 1, 0)})
    dxf.save()

    assert "do not lie flat" in problem(tmp_path, A_DXF)[1]


def test_a_drawing_in_the_wrong_unit_is_told(dxf, tmp_path):
    dxf.units = InsertUnits.Kilometers
    dxf.modelspace().add_circle((0, 0), 5)
    dxf.save()

    assert "beyond 100000 mm" in problem(tmp_path, A_DXF)[1]


@pytest.mark.parametrize(
    "content",
    [b"", b"not a drawing", b"\x00\xff" * 500, b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nx\n"],
)
def test_files_that_are_no_dxf_are_told(tmp_path, content):
    (tmp_path / "a.dxf").write_bytes(content)

    code, words = problem(tmp_path, A_DXF)
    assert code == "bad-drawing" and "a.dxf" in words


HAND = """0
SECTION
2
ENTITIES
0
LINE
8
0
10
0.0
20
0.0
11
30.0
21
0.0
0
LINE
8
0
10
30.0
20
0.0
11
0.0
21
40.0
0
LINE
8
0
10
0.0
20
40.0
11
0.0
21
0.0
0
ENDSEC
0
EOF
"""


def test_a_drawing_written_by_hand_without_a_header_is_in_mm(tmp_path):
    (tmp_path / "a.dxf").write_text(HAND)

    assert outline_of(tmp_path, A_DXF)[0] == [(0, 0), (30, 0), (0, 40)]


@pytest.mark.parametrize(
    ("drawing", "code", "words"),
    [
        ('{ file = "b.dxf" }', "no-file", "no drawing"),
        ('{ file = "../a.dxf" }', "no-file", "outside the folder"),
        ('{ file = "/etc/a.dxf" }', "no-file", "outside the folder"),
        ('{ file = "a.pdf" }', "bad-drawing", "neither a DXF nor an SVG"),
        ('{ file = "." }', "bad-drawing", "neither a DXF"),
        ('{ file = "a\\u0000.dxf" }', "no-file", "no drawing"),
        ('{ file = "' + "x" * 999 + '.dxf" }', "no-file", "no drawing"),
        ('{ layer = "x" }', "missing", "Add file"),
        ("{ file = 3 }", "wrong-kind", "a text is wanted"),
        ('{ file = "a.dxf", id = "x" }', "unknown-key", "layer"),
        ('{ file = "a.dxf", scale = 0 }', "out-of-range", "scale"),
        ('{ file = "a.dxf", scale = "2" }', "wrong-kind", "without quotes"),
    ],
)
def test_what_names_no_drawing_of_the_build_is_told(tmp_path, drawing, code, words):
    (tmp_path / "a.dxf").write_text(HAND)
    found, text = problem(tmp_path, drawing)

    assert found == code and words in text


def test_a_link_out_of_the_folder_is_not_followed(tmp_path):
    home = tmp_path / "build"
    home.mkdir()
    (tmp_path / "a.dxf").write_text(HAND)
    (home / "a.dxf").symlink_to(tmp_path / "a.dxf")

    assert problem(home, A_DXF)[0] == "no-file"


def svg(folder, inside, head='width="200mm" height="100mm" viewBox="0 0 200 100"'):
    text = f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{inside}</svg>'
    (folder / "a.svg").write_text(text)
    return '{ file = "a.svg" }'


BAR = '<path d="M 10 90 H 60 V 70 H 10 Z"/>'


@pytest.mark.parametrize(
    ("head", "unit", "height"),
    [
        ('width="200mm" height="100mm" viewBox="0 0 200 100"', 1.0, 100.0),
        ('width="20cm" height="10cm" viewBox="0 0 400 200"', 0.5, 200.0),
        ('width="8in" height="4in" viewBox="0 0 96 48"', 25.4 * 8 / 96, 48.0),
        ('viewBox="0 0 200 100"', 25.4 / 96, 100.0),
        ('width="400" height="200" viewBox="0 0 200 100"', 25.4 / 48, 100.0),
        ('width="200" height="100"', 25.4 / 96, 100.0),
        ("", 25.4 / 96, 0.0),
    ],
)
def test_pages_in_true_size_are_read_so_and_others_at_96_to_the_inch(tmp_path, head, unit, height):
    """CSS Values and Units Module Level 3, 6.2: 1in = 96px."""
    corners, _ = outline_of(tmp_path, svg(tmp_path, BAR, head))
    expected = [(10, 90), (60, 90), (60, 70), (10, 70)]

    assert corners == [approx((x * unit, (height - y) * unit), abs=1e-8) for x, y in expected]


def test_circles_rectangles_and_transforms_of_an_svg_keep_their_arcs(tmp_path):
    """A circle of 20 turned and doubled; a rectangle with round corners."""
    round_ = '<g transform="translate(50 50) rotate(20) scale(2)"><circle r="10"/></g>'
    corners, rises = outline_of(tmp_path, svg(tmp_path, round_))
    assert area(corners, rises) == approx(math.pi * 400, rel=1e-9)
    assert len(corners) == 4

    square = '<rect x="10" y="10" width="80" height="50" rx="8"/>'
    corners, rises = outline_of(tmp_path, svg(tmp_path, square))
    assert area(corners, rises) == approx(4000 - (4 - math.pi) * 64, rel=1e-9)
    assert len(corners) == 8


@pytest.mark.parametrize(
    ("curve", "true"),
    [
        ("M 0 100 C 60 100 100 60 100 0 L 0 0 Z", None),
        ("M 0 50 Q 50 -50 100 50 Z", 100 * 50 * 2 / 3),  # a parabola: two thirds of its box
        ("M 0 50 A 50 30 0 0 1 100 50 Z", math.pi * 50 * 30 / 2),
    ],
)
def test_other_curves_of_an_svg_are_chords_within_two_hundredths(tmp_path, curve, true):
    corners, rises = outline_of(tmp_path, svg(tmp_path, f'<path d="{curve}"/>'))
    if true is None:  # area under a cubic Bezier, by a fine sum
        ts = [i / 20000 for i in range(20001)]
        points = [
            (
                180 * (1 - t) ** 2 * t + 300 * (1 - t) * t**2 + 100 * t**3,
                100 * (1 - t) ** 3 + 300 * (1 - t) ** 2 * t + 180 * (1 - t) * t**2,
            )
            for t in ts
        ]
        true = abs(area([*points, (0, 0)], [0.0] * (len(points) + 1)))

    assert not any(rises)
    assert abs(area(corners, rises) - true) < 0.02 * 200


def test_an_id_names_the_outline_or_its_group(tmp_path):
    inside = f'<g id="both"><g id="bar">{BAR}</g><circle id="dot" cx="30" cy="80" r="3"/></g>'
    svg(tmp_path, inside)

    assert len(outline_of(tmp_path, '{ file = "a.svg", id = "bar" }')[0]) == 4
    assert "2 outlines" in problem(tmp_path, '{ file = "a.svg", id = "both" }')[1]
    _, words = problem(tmp_path, '{ file = "a.svg", id = "bear" }')
    assert "bar, both, dot" in words


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "cannot be read as SVG"),
        (b"<svg", "cannot be read as SVG"),
        (b"<html></html>", "no SVG drawing"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='a b'/>", "cannot be read as SVG"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no line or arc"),
        (
            b"<svg xmlns='http://www.w3.org/2000/svg'><path d='M 0 0 L 9 9 L 9 0'/></svg>",
            "open: lines end at",
        ),
        (
            b"<svg xmlns='http://www.w3.org/2000/svg'><path d='M 0 0 L 90 90 L 90 0 L 0 90 Z'/>"
            b"</svg>",
            "crosses or touches itself",
        ),
    ],
)
def test_files_that_are_no_outline_in_svg_are_told(tmp_path, content, words):
    (tmp_path / "a.svg").write_bytes(content)

    assert words in problem(tmp_path, '{ file = "a.svg" }')[1]


@given(
    st.lists(st.floats(0.3, 1.0), min_size=3, max_size=12),
    st.randoms(use_true_random=False),
)
def test_a_ring_of_lines_comes_back_however_it_is_shuffled(radii, random):
    """Same corners, anticlockwise, from the lowest."""
    count = len(radii)
    ring = [
        (100 * r * math.cos(2 * math.pi * i / count), 100 * r * math.sin(2 * math.pi * i / count))
        for i, r in enumerate(radii)
    ]
    lines = [Segment(ring[i], ring[(i + 1) % count]) for i in range(count)]
    random.shuffle(lines)
    found = one_outline([s.turned() if random.random() < 0.5 else s for s in lines])
    first = min(range(count), key=lambda i: (round(ring[i][1], 6), ring[i][0]))

    assert [s.start for s in found] == ring[first:] + ring[:first]


def test_nothing_but_specks_is_no_outline():
    assert isinstance(one_outline([Segment((0, 0), (0.001, 0))]), Trouble)
