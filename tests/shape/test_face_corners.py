"""Where faces and holes lie, on duals, against what is drawn and what is measured."""

import math
from dataclasses import replace

import numpy as np
import pytest

import zoo
from every_meet import every_meet, made_of
from foldwright.errors import CannotMake
from foldwright.plan import Feature
from foldwright.plan.dual import hypot, number
from foldwright.shape import (
    datum_of,
    dims_of,
    face_corners,
    face_cuts,
    face_frame,
    face_origin,
    finished_solid,
    flat_faces,
    hole_middles,
    reach_along,
    strays_of,
)
from foldwright.shape.planes import distance
from round_parts import PAINT, angle, battery, gauge, hood, plug, rib, strip, tube

SQUARE = [(0.0, 0.0), (120.0, 0.0), (120.0, 90.0), (0.0, 90.0)]
SLOPED = [(0.0, 0.0), (300.0, 0.0), (300.0, 160.0), (0.0, 90.0)]
FOLDED = [
    zoo.box(),
    zoo.box(finish=PAINT, leave_open=("top",)),
    zoo.box(finish=PAINT, mirrored=True),
    zoo.profile(SLOPED, finish=PAINT),
    zoo.profile(SLOPED, mirrored=True),
    zoo.taper(SQUARE, [(20.0, 10.0), (90.0, 10.0), (90.0, 70.0), (20.0, 70.0)], finish=PAINT),
    zoo.faceted(zoo.block((0, 0, 0), (180, 120, 90), [("brow", (0, 0, 60), (0, -1, 1.2))])),
]
OTHERS = [
    zoo.drum(), hood(), tube(), tube(square=True), plug(), strip(), angle(), angle(70.0),
    rib(zoo.box(leave_open=("top",))), rib(zoo.drum()), gauge(), battery(),
]  # fmt: skip


def plain(spot):
    """A point as floats."""
    return np.array([number(c) for c in spot])


@pytest.mark.parametrize("part", FOLDED, ids=lambda p: f"{p.name}-{p.mirrored}")
def test_corners_of_a_folded_part_are_those_of_its_finished_solid(part):
    """Each corner of a face is a corner of the solid, and none is left out."""
    solid = finished_solid(part)
    for face in solid.faces:
        drawn = np.array([solid.vertices[i] for i in face.loop])
        found = np.array([plain(c) for c in face_corners(part, face.name, part.values())])
        if part.kind == "profile" and face.name in ("front", "back"):
            # the rectangle round it
            assert found.min(axis=0) == pytest.approx(drawn.min(axis=0))
            assert found.max(axis=0) == pytest.approx(drawn.max(axis=0))
        else:
            apart = np.linalg.norm(drawn[:, None] - found[None], axis=2)
            assert apart.min(axis=1).max() < 1e-9
            assert apart.min(axis=0).max() < 1e-9


@pytest.mark.parametrize("part", [*FOLDED, *OTHERS], ids=lambda p: f"{p.name}-{p.mirrored}")
def test_the_origin_of_a_face_is_that_of_its_frame(part):
    """Unpainted flat parts; a painted one stands on its paint."""
    for face in flat_faces(part):
        assert plain(face_origin(part, face, part.values())) == pytest.approx(
            face_frame(part, face)[:3, 3], abs=1e-9
        )


def test_a_painted_plate_lies_its_two_coats_higher():
    """3 mm and 0.14 on each face."""
    base = replace(every_meet().parts["base"], finish=PAINT)

    assert number(face_origin(base, "top", base.values())[2]) == pytest.approx(3.28)


def test_a_curved_face_has_no_corners():
    with pytest.raises(CannotMake, match="is curved"):
        face_corners(zoo.drum(), "wall", {"outside_d": 220.0, "length": 310.0})


@pytest.mark.parametrize("seed", range(8))
def test_strays_put_corners_where_the_spare_dims_measure_them(seed):
    """Widths front and back, top and bottom, depths, heights and diagonals of a strayed box.

    Corner to corner in space is longer than the reading along one way by a share of the
    strays squared, some thousandths here.
    """
    box = zoo.box(240.0, 180.0, 120.0)
    rng = np.random.default_rng(seed)
    values = box.values() | {s.name: float(rng.uniform(-1, 1)) for s in strays_of(box)}
    dims = {name: number(dim.value) for name, dim in dims_of(box, values, finished=True).items()}

    def middle(face, keep):
        """Middle of the corners of a face that lie low or high along an axis."""
        axis, high = keep
        corners = sorted((plain(c) for c in face_corners(box, face, values)), key=lambda c: c[axis])
        return np.mean(corners[2:] if high else corners[:2], axis=0)

    def across(axis, one, other, keep):
        return middle(other, keep)[axis] - middle(one, keep)[axis]

    assert across(0, "left", "right", (1, False)) == pytest.approx(dims["width_front"], abs=0.02)
    assert across(0, "left", "right", (1, True)) == pytest.approx(dims["width_back"], abs=0.02)
    assert across(0, "left", "right", (2, True)) == pytest.approx(dims["width_top"], abs=0.02)
    assert across(1, "front", "back", (0, False)) == pytest.approx(dims["depth_left"], abs=0.02)
    assert across(1, "front", "back", (0, True)) == pytest.approx(dims["depth_right"], abs=0.02)
    assert across(2, "bottom", "top", (1, True)) == pytest.approx(dims["height_back"], abs=0.02)


@pytest.mark.parametrize("stray", ["~lean_right", "~lean_back", "~skew", "~twist"])
def test_each_stray_moves_what_its_words_say(stray):
    """By 1 mm."""
    box = zoo.box(240.0, 180.0, 120.0)
    way, kept, moved = {
        "~lean_right": (0, "bottom", "top"),
        "~lean_back": (1, "bottom", "top"),
        "~skew": (0, "front", "back"),
        "~twist": (2, "left", "right"),
    }[stray]
    values = box.values() | {stray: 1.0}

    def shift(face):
        after, before = (face_corners(box, face, v) for v in (values, box.values()))
        return sorted(
            float(plain(a)[way] - plain(b)[way]) for a, b in zip(after, before, strict=True)
        )

    assert shift(kept) == pytest.approx([0.0] * 4)
    assert shift(moved) == pytest.approx([0, 0, 1, 1] if stray == "~twist" else [1.0] * 4)


def test_an_end_cut_askew_is_higher_at_the_seam():
    drum = zoo.drum()
    seam, _, opposite, _ = face_corners(drum, "top", drum.values() | {"~slope_0": 0.5})

    assert number(seam[2]) - number(opposite[2]) == pytest.approx(1.0)


@pytest.mark.parametrize("part", [*FOLDED, *OTHERS], ids=lambda p: f"{p.name}-{p.mirrored}")
def test_a_part_reaches_as_far_along_an_axis_as_its_corners(part):
    for axis in range(3):
        way = [float(axis == k) for k in range(3)]
        low, high = (number(x) for x in reach_along(part, part.values(), way))
        points = [plain(c) for f in flat_faces(part) for c in face_corners(part, f, part.values())]

        assert low <= min(p[axis] for p in points) + 1e-9
        assert high >= max(p[axis] for p in points) - 1e-9


def test_a_drum_on_its_side_reaches_as_far_as_it_is_long_and_aslant_further():
    """Aslant by an angle a: L cos a + D sin a."""
    drum, a = zoo.drum(220.0, 310.0), math.radians(30.0)
    low, high = reach_along(drum, drum.values(), (0.0, math.sin(a), math.cos(a)))

    assert number(high) - number(low) == pytest.approx(310 * math.cos(a) + 220 * math.sin(a))


def test_datums_are_those_of_the_frames_but_for_the_paint_of_plates():
    made = made_of(every_meet())
    values = {name: part.values() for name, part in made.parts.items()}
    for name, part in made.parts.items():
        on_base = part.place is not None and part.place.on == "base"
        found = plain(datum_of(name, made.parts, values, made.frames))

        assert found - made.frames[name][:3, 3] == pytest.approx([0, 0, 0.2 if on_base else 0])


@pytest.mark.parametrize("mirrored", [False, True])
def test_holes_lie_where_they_are_cut(mirrored):
    """An unpainted box: the middles of its cuts, put from the face into the part."""
    hole = Feature("hole", "a", "front", (zoo.length(30), zoo.length(40)), d=zoo.length(6))
    bolts = Feature(
        "bolts", "b", "front", (zoo.length(120), zoo.length(45)), d=zoo.length(6),
        pitch_d=zoo.length(50), count=3, start=0.3, rotate=0.2,
    )  # fmt: skip
    box = zoo.box(features=(hole, bolts), mirrored=mirrored)
    found = hole_middles(box, "front", ("a", "b"), box.values())
    frame = face_frame(box, "front")
    cut = [frame @ (*c.centre, 0.0, 1.0) for c in face_cuts(box)]

    assert [h.name for h in found] == ["a", "b 1", "b 2", "b 3"]
    for one, other in zip(found, cut, strict=True):
        assert plain(one.middle) == pytest.approx(other[:3])


def test_hypot_of_corners_is_their_distance():
    """The diagonal of the front of a box of 160 by 90."""
    box = zoo.box()
    a, _, c, _ = face_corners(box, "front", box.values())

    assert number(distance(a, c)) == pytest.approx(number(hypot(160.0, 90.0)))
