"""Strays: what no drawing can take back, and the readings that see it."""

import math
from dataclasses import replace

import numpy as np
import pytest
from pytest import approx

import round_parts
import zoo
from foldwright.plan import Bought, Dual, Parameter, Plate, Rib
from foldwright.plan.dual import number, slopes
from foldwright.shape import dims_of, face_corners, section_of, strays_of

NOUGHT, WIDTH, HEIGHT = zoo.length(0.0), zoo.length("width"), zoo.length("height")
SQUARE = Plate(
    name="square",
    stock="board3",
    thickness=3.0,
    parameters=(Parameter("width", 200.0, 2.0, 0.0), Parameter("height", 120.0, 2.0, 0.0)),
    outline=((NOUGHT, NOUGHT), (WIDTH, NOUGHT), (WIDTH, HEIGHT), (NOUGHT, HEIGHT)),
)
DISC = Plate(
    name="disc",
    stock="board3",
    thickness=3.0,
    parameters=(Parameter("diameter", 200.0, 2.0, 0.0),),
    diameter=zoo.length("diameter"),
)
PARTS = [
    zoo.box(),
    zoo.DESK,
    zoo.LANTERN,
    *zoo.TAPERS.values(),
    zoo.profile([(0, 0), (150, 0), (150, 80), (60, 110), (0, 110)]),
    zoo.drum(),
    SQUARE,
    round_parts.hood(),
    round_parts.tube(),
    round_parts.tube(square=True),
    round_parts.plug(),
    round_parts.strip(),
    round_parts.angle(),
    DISC,
    round_parts.rib(zoo.box()),
    round_parts.rib(zoo.drum()),
]


def strayed(part, **strays):
    """Dims of a part that strays so."""
    values = part.values() | {f"~{name}": value for name, value in strays.items()}
    return {name: number(d.value) for name, d in dims_of(part, values, finished=False).items()}


@pytest.mark.parametrize("part", PARTS, ids=lambda p: f"{p.name}-{p.kind}")
def test_a_part_as_drawn_has_no_strays_and_its_spare_dims_agree_with_the_others(part):
    drawn = strayed(part)
    zero = strayed(part, **{stray.name[1:]: 0.0 for stray in strays_of(part)})

    assert zero == drawn
    assert all(value > 0.0 for value in drawn.values())


@pytest.mark.parametrize("part", PARTS, ids=lambda p: f"{p.name}-{p.kind}")
def test_derivatives_with_respect_to_strays_are_exact(part):
    """Against central differences at a part that strays already."""
    rng = np.random.default_rng(1)
    values = part.values() | {s.name: float(rng.uniform(-2.0, 2.0)) for s in strays_of(part)}
    duals = {name: Dual.seed(name, value) for name, value in values.items()}
    exact = dims_of(part, duals, finished=True)
    for name in values:
        up = dims_of(part, values | {name: values[name] + 1e-4}, finished=True)
        down = dims_of(part, values | {name: values[name] - 1e-4}, finished=True)
        for dim in exact.values():
            slope = (number(up[dim.name].value) - number(down[dim.name].value)) / 2e-4

            assert slopes(dim.value).get(name, 0.0) == approx(slope, abs=1e-6)


@pytest.mark.parametrize("part", PARTS, ids=lambda p: f"{p.name}-{p.kind}")
def test_every_stray_is_seen_by_a_dim(part):
    duals = {s.name: Dual.seed(s.name, 0.5) for s in strays_of(part)}
    seen = set()
    for dim in dims_of(part, part.values() | duals, finished=True).values():
        seen |= {name for name, slope in slopes(dim.value).items() if slope}

    assert set(duals) <= seen


def test_diagonals_and_plumb_line_of_a_box_that_leans():
    """Corners in space: the upper edge of the front moved 4 to the right of the lower one."""
    dims = strayed(zoo.box(160.0, 220.0, 90.0), lean_right=4.0)

    assert dims["front_diagonal_a"] == approx(math.dist((0, 0), (164, 90)))
    assert dims["front_diagonal_b"] == approx(math.dist((160, 0), (4, 90)))
    assert dims["plumb_right"] == approx(54.0)
    assert dims["width"] == 160.0


def test_a_box_that_tapers_is_as_wide_as_drawn_in_the_middle():
    dims = strayed(zoo.box(160.0), taper=1.0, flare=-0.6)

    assert dims["width_back"] - dims["width_front"] == approx(1.0)
    assert dims["width_top"] - dims["width_bottom"] == approx(-0.6)
    assert dims["width"] == 160.0


def test_three_heights_lie_in_one_plane():
    """Heights at (-80, -110), (80, -110) and (0, 110): 2 up to the right, 3 up to the back."""
    dims = strayed(zoo.box(160.0, 220.0, 90.0), tilt_right=2.0, tilt_back=3.0)

    assert dims["height_front_left"] == approx(90.0 - 1.0 - 1.5)
    assert dims["height_front_right"] == approx(90.0 + 1.0 - 1.5)
    assert dims["height_back"] == approx(90.0 + 1.5)


@pytest.mark.parametrize("way", [0.0, 25.0, 90.0])
def test_an_oval_drum_keeps_its_girth_and_a_caliper_spans_it(way):
    """An ellipse 224 by 216 turned by `way`: girth by 100,000 chords, widths by its points."""
    steps = np.linspace(0.0, math.tau, 100_001)
    turn = math.radians(way)
    x, y = 112.0 * np.cos(steps), 108.0 * np.sin(steps)
    x, y = x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)
    girth = float(np.hypot(np.diff(x), np.diff(y)).sum())
    dims = strayed(
        zoo.drum(outside_d=girth / math.pi),
        oval=4.0 * math.cos(2.0 * turn),
        oval_45=4.0 * math.sin(2.0 * turn),
    )

    assert dims["girth"] == approx(girth, abs=1e-9)
    for degrees in (0, 60, 120):
        f = math.radians(degrees)
        across = x * math.cos(f) + y * math.sin(f)
        assert dims[f"d_{degrees}"] == approx(float(across.max() - across.min()), abs=1e-4)
        assert dims[f"d_{degrees}"] - dims[f"bore_{degrees}"] == approx(2.0 * zoo.THICKNESS)


def test_three_lengths_tell_how_an_end_is_cut():
    """A plane through the end of a tube: z = length + 0.6 cos f + 0.8 sin f."""
    dims = strayed(zoo.drum(), slope_0=0.6, slope_90=0.8)
    lengths = [dims[f"length_{degrees}"] for degrees in (0, 120, 240)]

    assert sum(lengths) / 3.0 == approx(dims["length"])
    assert lengths[0] - dims["length"] == approx(0.6)
    assert (lengths[1] - lengths[2]) / math.sqrt(3.0) == approx(0.8)


def test_three_lengths_tell_the_angle_of_a_fold():
    """100 along both sides; the corner of 90 degrees at the foot opens as the part leans back."""
    part = zoo.profile([(0, 0), (150, 0), (150, 120), (0, 120)])
    square, leaning = strayed(part), strayed(part, lean_right=6.0)
    name = next(n for n in square if n.endswith("_across"))
    opened = math.pi / 2.0 + math.atan2(6.0, 120.0)

    assert square[name] == approx(100.0 * math.sqrt(2.0))
    assert {round(leaning[n], 6) for n in leaning if n.endswith("_across")} == {
        round(200.0 * math.sin(angle / 2.0), 6) for angle in (opened, math.pi - opened)
    }


def test_a_tube_offers_a_meet_the_bore_that_it_has():
    tube = round_parts.tube()
    drawn = number(section_of(tube, "top", mouth=True).spans[0].value)
    found = section_of(tube, "top", tube.values() | {"~bore_off": 0.07}, mouth=True)

    assert number(found.spans[0].value) == approx(drawn + 0.07)


def test_the_lengths_of_a_cube_stray_each_by_itself():
    """One size for three lengths; the other two have a stray of their own."""
    side = zoo.length("side")
    cube = replace(
        zoo.box(), parameters=(Parameter("side", 100.0, 1.0, 0.0),),
        width=side, depth=side, height=side,
    )  # fmt: skip
    names = {stray.name for stray in strays_of(cube)}
    dims = strayed(cube, depth_off=0.4)

    assert {"~depth_off", "~height_off"} <= names
    assert "~width_off" not in names
    assert (dims["width"], dims["depth"], dims["height"]) == approx((100.0, 100.4, 100.0))


def test_a_thing_bought_by_numbers_alone_strays_too():
    fixed = zoo.length(80.0)
    gauge = Bought(
        name="gauge", stock="", thickness=0.0, parameters=(), mass=0.2, diameter=fixed, length=fixed
    )
    dims = strayed(gauge, diameter_off=0.2)

    assert [stray.name for stray in strays_of(gauge)] == ["~diameter_off", "~length_off"]
    assert dims["diameter"] == approx(80.2)


def test_a_rib_has_no_corners_to_measure_from():
    """They are clipped off."""
    zero = zoo.length(0.0)
    rib = Rib(
        name="rib", stock="board3", thickness=3.0, of=zoo.box(),
        parameters=(Parameter("station", 60.0, 1.0, 0.0),),
        station=zoo.length("station"), gap=zero, clip=zero,
    )  # fmt: skip

    assert {"width_lower", "width_upper"} <= set(dims_of(rib, finished=False))
    assert "diagonal_a" not in dims_of(rib, finished=False)


def test_widths_at_both_edges_are_asked_only_where_both_are_as_wide_as_the_part():
    """Along the top of a stepped rib or of a gable a rule reads far less than over all."""
    zero = zoo.length(0.0)
    stepped = Rib(
        name="rib", stock="board3", thickness=3.0,
        of=zoo.profile([(0.0, 0.0), (200.0, 0.0), (200.0, 90.0), (90.0, 90.0), (0.0, 40.0)]),
        parameters=(Parameter("station", 60.0, 1.0, 0.0),),
        station=zoo.length("station"), gap=zero, clip=zero,
    )  # fmt: skip
    ridge = (zoo.length(100.0), zoo.length(120.0))
    low = [(zoo.length(x), zoo.length(y)) for x, y in ((0.0, 0.0), (200.0, 0.0), (200.0, 60.0))]
    left = (zoo.length(0.0), zoo.length(60.0))
    gable = replace(SQUARE, outline=(*low, ridge, left))

    for part in (stepped, gable):
        dims = dims_of(part, finished=False)
        assert "width" in dims
        assert not {"width_lower", "width_upper"} & set(dims)
    assert {"width_lower", "width_upper"} <= set(dims_of(SQUARE, finished=False))


def test_a_plate_out_of_square_shows_in_its_diagonals():
    dims = strayed(SQUARE, skew=1.5)

    assert dims["diagonal_a"] == approx(math.hypot(201.5, 120.0))
    assert dims["diagonal_b"] == approx(math.hypot(198.5, 120.0))


@pytest.mark.parametrize(
    ("dim", "face", "ends"),
    [
        ("front_diagonal_a", "front", ((0, 0, 0), (1, 0, 1))),
        ("front_diagonal_b", "front", ((1, 0, 0), (0, 0, 1))),
        ("side_diagonal_a", "right", ((1, 0, 0), (1, 1, 1))),
        ("side_diagonal_b", "right", ((1, 1, 0), (1, 0, 1))),
        ("top_diagonal_a", "top", ((0, 0, 1), (1, 1, 1))),
        ("top_diagonal_b", "top", ((1, 0, 1), (0, 1, 1))),
    ],
)
@pytest.mark.parametrize("name", [s.name for s in strays_of(zoo.box()) if s.name != "~twist"])
def test_diagonals_are_those_of_the_corners_that_meets_see(dim, face, ends, name):
    """A small stray of any kind changes both alike, to first order."""
    part, small = zoo.box(160.0, 220.0, 90.0), 1e-4
    size = np.array([160.0, 220.0, 90.0])

    def apart(values):
        corners = np.array([[number(c) for c in p] for p in face_corners(part, face, values)])
        drawn = np.array([[number(c) for c in p] for p in face_corners(part, face, part.values())])
        at = [int(np.argmin(np.linalg.norm(drawn - size * end, axis=1))) for end in ends]
        return float(np.linalg.norm(corners[at[0]] - corners[at[1]]))

    strays = part.values() | {name: small}
    by_corners = (apart(strays) - apart(part.values())) / small
    dims = [number(dims_of(part, v, finished=False)[dim].value) for v in (strays, part.values())]

    assert (dims[0] - dims[1]) / small == approx(by_corners, abs=1e-4)
