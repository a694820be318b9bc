"""Masses and centres against statics texts and closed forms.

* R. C. Hibbeler, Engineering Mechanics: Statics, 14th ed., problem 9-89: a plate 30 mm thick of
  a steel rectangle 150 by 225, a steel triangle and a brass triangle 150 by 225 on
  one another. Printed masses of the first part 7.95 kg; mean x 153 mm (from memory).
* University course page on centroids of composite bodies: three equal rectangles b by h,
  two standing, one lying; (4 h + b)/6 (the page prints 5 h by a slip against its own sum).
* Closed forms of any statics text (Hibbeler, inside back cover; Meriam and Kraige,
  Statics, appendix D): circular arc r sin a / a; lateral surface of a cone, one third of its
  height above the base; frustum shell h (2 R_top + R_bottom) / (3 (R_top + R_bottom)) above the
  bottom; half a disc 4 r / 3 pi.
"""

import math
from dataclasses import replace

import numpy as np
import pytest

import zoo
from foldwright.flat import Cone, Curved, CutLength, Panel, Pattern, Step, pattern_of
from foldwright.plan import Stock
from foldwright.sheet import masses, net_area, piece_mass, section_area
from foldwright.sheet.outlines import moments
from foldwright.shop import boards
from sheet import hand_made as blanks

STEEL, BRASS = 7850.0, 8740.0
FLAT = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0))


def solid_board(density, thickness):
    """Solid sheet of a given density."""
    board = next(b for b in boards().values() if b.core is None)
    figure = replace(board.face.density, value=density)
    return replace(board, thickness=thickness, face=replace(board.face, density=figure))


def plate(id, points, stock="a", space=FLAT, thickness=3.0):
    """A flat piece, one panel."""
    made = blanks.piece(id, blanks.loop(points), stock=stock)
    flat = tuple((float(x), float(y)) for x, y in points)
    return replace(made, panels=(Panel("p", "p", flat, space),), thickness=thickness)


def weigh(*pieces, density=1000.0, thickness=3.0, boards=None):
    part = replace(zoo.box(name="body"))
    pattern = Pattern("body", pieces)
    known = boards or {"a": solid_board(density, thickness)}
    return masses([part], {"body": pattern}, {}, known, {"body": np.eye(4)})


def test_steel_and_brass_plate():
    """Problem 9-89: 7.95 kg printed with three figures; total and mean x follow."""
    rectangle = [(0, 0), (150, 0), (150, 225), (0, 225)]
    lower = [(150, 0), (300, 0), (150, 225)]
    upper = [(300, 0), (300, 225), (150, 225)]
    steel, brass = solid_board(STEEL, 30.0), solid_board(BRASS, 30.0)
    pieces = [
        plate("r-1", rectangle, thickness=30.0),
        plate("s-1", lower, thickness=30.0),
        plate("b-1", upper, stock="brass", thickness=30.0),
    ]
    found = weigh(*pieces, boards={"a": steel, "brass": brass})

    assert piece_mass(pieces[0], steel) == pytest.approx(7.95, abs=0.005)
    assert found.mass == pytest.approx(16.35, abs=0.006)
    assert found.centre[0] == pytest.approx(153.0, abs=0.5)


def test_three_rectangles():
    """b = 20, h = 40: (4 h + b)/6 = 30."""
    b, h = 20.0, 40.0
    stand = [(0, 0), (b, 0), (b, h), (0, h)]
    lying = [(0, h), (h, h), (h, h + b), (0, h + b)]
    right = [(x + b, y) for x, y in stand]
    found = weigh(plate("a-1", stand), plate("b-1", right), plate("c-1", lying))

    assert found.centre[1] == pytest.approx((4 * h + b) / 6)


def test_angle_of_two_plates():
    """Base 100 by 2, upright 58 by 2 on its back edge, 50 wide: moments taken by hand."""
    base = plate("a-1", [(0, 0), (100, 0), (100, 50), (0, 50)], thickness=2.0)
    # its flat x runs up, its outside looks to -x: half a thickness inwards is x = 1
    up = ((0.0, 0.0, -1.0, 0.0), (0.0, -1.0, 0.0, 50.0), (-1.0, 0.0, 0.0, 58.0))
    upright = plate("b-1", [(0, 0), (58, 0), (58, 50), (0, 50)], space=up, thickness=2.0)
    found = weigh(base, upright, density=2700.0, thickness=2.0)

    assert found.mass == pytest.approx(0.04266)
    assert found.centre[0] == pytest.approx((100 * 50 + 58 * 1) / 158)
    assert found.centre[1] == pytest.approx(25.0)
    assert found.centre[2] == pytest.approx((100 * -1 + 58 * 29) / 158)


def test_a_hole_moves_the_centre():
    """Square of 200 with a hole of 100 in its right half, by subtraction."""
    made = plate("a-1", [(0, 0), (200, 0), (200, 200), (0, 200)])
    made = replace(made, cutouts=(blanks.hole(100.0, (150.0, 100.0)),))
    area = math.pi * 50.0**2
    found = weigh(made)

    assert net_area(made) == pytest.approx(200.0**2 - area, rel=1e-12)
    assert found.centre[0] == pytest.approx((4e4 * 100 - area * 150) / (4e4 - area), rel=1e-6)


def test_half_a_disc():
    """4 r / 3 pi above its straight side, to rounding."""
    r = 80.0
    path = (Step((-r, 0.0), (0.0, 0.0)), Step((r, 0.0)))
    found = moments(path)

    assert found.area == pytest.approx(math.pi * r * r / 2.0, rel=1e-12)
    assert found.centroid == pytest.approx((0.0, 4.0 * r / (3.0 * math.pi)), abs=1e-10)


def arc_shell(turn, sense=1, thickness=3.0, radius=100.0, length=50.0):
    """A wall bent round z, symmetric about +x."""
    neutral = radius - sense * thickness / 2.0
    half = neutral * turn / 2.0
    flat = ((-half, 0.0), (half, 0.0), (half, length), (-half, length))
    wall = Curved(
        "wall", flat, (0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), 0.0, radius, neutral, sense
    )
    return replace(plate("a-1", flat), panels=(), curved=(wall,))


@pytest.mark.parametrize("turn", [0.5, math.pi / 2.0, math.pi, 2.0 * math.pi])
@pytest.mark.parametrize("sense", [1, -1])
def test_circular_arc(turn, sense):
    """Centre of an arc of half angle a at r sin a / a, r in the middle of the board."""
    middle = 100.0 - sense * 1.5
    found = weigh(arc_shell(turn, sense))

    assert found.mass == pytest.approx(middle * turn * 50.0 * 3.0 * 1e-6, rel=1e-9)
    assert found.centre[0] == pytest.approx(middle * math.sin(turn / 2) / (turn / 2), abs=1e-6)
    assert found.centre[2] == pytest.approx(25.0)


@pytest.mark.parametrize("top", [0.0, 30.0, 90.0])
@pytest.mark.parametrize("lean", [0.3, 1.2])
@pytest.mark.parametrize("place", ["edge", "middle"])
def test_cone_and_frustum_shell(top, lean, place):
    """Thin shell: h (2 R_top + R_bottom) / (3 (R_top + R_bottom)) above the bottom."""
    bottom = 120.0
    inner, outer = top / math.sin(lean), bottom / math.sin(lean)
    sweep = 2.0 * math.pi * math.sin(lean)
    first = 0.4
    corners = [
        (rho * math.cos(a), rho * math.sin(a))
        for rho, a in (
            (inner, first),
            (outer, first),
            (outer, first + sweep),
            (inner, first + sweep),
        )
    ]
    centre = (0.0, 0.0)
    outline = [Step(corners[1]), Step(corners[2], centre), Step(corners[3])]
    outline.append(Step(corners[0], centre, left=False) if top else Step(corners[0]))
    start = first if place == "edge" else first + sweep / 2.0
    wall = Cone(
        "wall", tuple(corners), (0.0, 0.0, 0.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0), lean, centre,
        start, 0.05, 1,
    )  # fmt: skip
    made = replace(blanks.piece("a-1", tuple(outline), stock="a"), thickness=0.1, curved=(wall,))
    found = weigh(made, thickness=0.1)
    height = (bottom - top) / math.tan(lean)
    low = -bottom / math.tan(lean)

    assert found.centre[2] - low == pytest.approx(
        height * (2 * top + bottom) / (3 * (top + bottom)), rel=2e-4
    )
    assert found.centre[:2] == pytest.approx((0.0, 0.0), abs=0.02)


def test_a_drum_of_the_zoo():
    """A curled cylinder: all round mid-thickness, half way up."""
    drum = zoo.drum(220.0, 310.0)
    pattern = pattern_of(drum, zoo.BOARD, zoo.CUTTERS)
    found = masses([drum], {"drum": pattern}, {}, {"board3": zoo.BOARD}, {})

    area = math.pi * (220.0 - zoo.THICKNESS) * 310.0
    assert found.mass == pytest.approx(area * zoo.BOARD.areal_mass * 1e-6, rel=1e-6)
    assert found.centre == pytest.approx((0.0, 0.0, 155.0), abs=0.05)


def test_a_closed_box_has_its_centre_in_the_middle():
    part = zoo.ZOO["cube"]
    found = masses(
        [part], {"cube": pattern_of(part, zoo.BOARD, zoo.CUTTERS)}, {}, {"board3": zoo.BOARD}, {}
    )
    assert found.centre == pytest.approx((75.0, 75.0, 75.0), abs=0.3)


def test_layered_panel():
    """500 by 400 of 0.5 + 2 + 0.5 (2700 and 920 kg/m3): A (2 ts rs + tc rc) = 0.908 kg."""
    skinned = next(b for b in boards().values() if b.core is not None)
    face = replace(skinned.face, density=replace(skinned.face.density, value=2700.0))
    core = replace(skinned.core, density=replace(skinned.core.density, value=920.0))
    board = replace(skinned, thickness=3.0, skin_thickness=0.5, face=face, core=core)

    assert piece_mass(plate("a-1", [(0, 0), (500, 0), (500, 400), (0, 400)]), board) == (
        pytest.approx(0.908)
    )


@pytest.mark.parametrize(
    ("form", "area"),
    [
        ("tube", math.pi / 4 * (40**2 - 36**2)),
        ("square tube", 40**2 - 36**2),
        ("bar", math.pi / 4 * 40**2),
        ("square bar", 40**2),
    ],
)
def test_a_metre_of_tube_and_bar(form, area):
    """Section by length by density."""
    wall = 2.0 if "tube" in form else 0.0
    stock = Stock("s", "steel", wall, form=form, across=40.0)
    part = zoo.box(name="leg")
    pattern = Pattern("leg", (), lengths=(CutLength("leg-1", "leg", "s", 1000.0),))
    found = masses([part], {"leg": pattern}, {"s": stock}, {"s": solid_board(STEEL, 1.0)}, {})

    assert section_area(stock) == pytest.approx(area)
    assert found.mass == pytest.approx(area * 1000.0 * STEEL * 1e-9)


def test_the_build_frame_turns_and_moves_the_centre():
    part = zoo.ZOO["cube"]
    frame = np.array(
        [[0.0, -1.0, 0.0, 10.0], [1.0, 0.0, 0.0, 20.0], [0.0, 0.0, 1.0, 30.0], [0, 0, 0, 1.0]]
    )
    pattern = {"cube": pattern_of(part, zoo.BOARD, zoo.CUTTERS)}
    found = masses([part], pattern, {}, {"board3": zoo.BOARD}, {"cube": frame})

    assert found.centre == pytest.approx((10.0 - 75.0, 20.0 + 75.0, 105.0), abs=0.3)


def test_what_has_no_known_weight_is_named():
    part = zoo.box(name="mystery")
    found = masses([part], {}, {}, {}, {})

    assert found.mass == 0.0
    assert any("No weight is known of mystery" in note for note in found.notes)
