"""Where other parts stand on folded ones, and what a plate is cut along."""

import math
from dataclasses import replace

import numpy as np
import pytest
from pytest import approx
from shapely import Polygon

import zoo
from foldwright.errors import CannotMake
from foldwright.plan import Finish, Layer, Plate
from foldwright.shape import dims_of, face_frame, finished_solid, plate_path, solid
from foldwright.shape.plates import plate_shape

PAINT = Finish("grey", (Layer("paint", 0.5),))


@pytest.mark.parametrize(
    "part", [*zoo.TAPERS.values(), zoo.DESK, zoo.LANTERN], ids=lambda part: part.name
)
@pytest.mark.parametrize("mirrored", [False, True])
def test_frames_of_flat_faces(part, mirrored):
    """Right-handed, z along the outward normal, no corner left of or below the origin."""
    part = replace(part, mirrored=mirrored)
    whole = finished_solid(part)
    for face in whole.faces:
        if face.cylinder:
            continue
        frame = face_frame(part, face.name)
        flat = (whole.corners(face) - frame[:3, 3]) @ frame[:3, :3]

        assert np.linalg.det(frame[:3, :3]) == approx(1.0)
        assert frame[:3, 2] == approx(whole.normal(face))
        assert flat.min() > -1e-9
        assert flat[:, 2] == approx(np.zeros(len(flat)), abs=1e-9)
        if abs(frame[2, 2]) < 0.999:
            assert frame[2, 0] == approx(0.0, abs=1e-12)  # x is level


def test_frame_of_a_slope():
    """The slope of the desk falls 40 in 40 towards the right."""
    frame = face_frame(zoo.DESK, "slope")

    assert frame[:3, 2] == approx([math.sqrt(0.5), 0.0, math.sqrt(0.5)])
    assert frame[:3, 0] == approx([0.0, 1.0, 0.0])
    assert frame[:3, 3] == approx([300.0, 0.0, 60.0])


def test_curved_faces_carry_no_parts():
    """Said in words; so is a face that is not there."""
    with pytest.raises(CannotMake, match='curved face "top~left" of lantern'):
        face_frame(zoo.LANTERN, "top~left")
    with pytest.raises(CannotMake, match='no face "roofs" to stand on'):
        face_frame(zoo.DESK, "roofs")


@pytest.mark.parametrize("part", [zoo.LANTERN, zoo.FOLDED["l_profile"]], ids=lambda p: p.name)
def test_bare_dims_grow_all_round(part):
    """A plan of bare dims: the finished solid stands out by the coat on every face."""
    part = replace(part, bare=True, finish=PAINT)
    bare, finished = solid(part), finished_solid(part)
    for name in ("front", "back"):
        apart = finished.corners(finished.face(name)) - bare.corners(bare.face(name))

        assert apart @ bare.normal(bare.face(name)) == approx(np.full(len(apart), 0.5))


def bowed_plate(**more):
    """A 300 x 150 plate, its top bowed up by 20, its lower right corner rolled off by 25."""
    corners = [(0, 0), (300, 0), (300, 150), (0, 150)]
    return Plate(
        name="plate",
        stock="s",
        thickness=3.0,
        parameters=(),
        outline=tuple((zoo.length(x), zoo.length(y)) for x, y in corners),
        rounds=(None, zoo.length(25), None, None),
        rises=(None, None, zoo.length(20), None),
        **more,
    )


def test_a_plate_is_cut_along_true_arcs():
    """Area: rectangle, segment of a circle on top, corner less (1 - pi/4) r^2."""
    radius = (150.0**2 + 20.0**2) / 40.0
    sweep = 2.0 * math.asin(150.0 / radius)
    path = plate_path(bowed_plate(), finished=True)
    shape = plate_shape(bowed_plate(), {}, finished=True)
    arcs = [step for step in path if step.centre]

    assert len(path) == 5
    assert [step.left for step in arcs] == [True, True]
    assert arcs[0].centre == approx((275.0, 25.0))
    assert arcs[1].centre == approx((150.0, 170.0 - radius))
    assert shape.area() == approx(
        300.0 * 150.0
        + radius**2 / 2.0 * (sweep - math.sin(sweep))
        - (1.0 - math.pi / 4.0) * 25.0**2
    )
    assert dims_of(bowed_plate(), finished=True)["height"].value == approx(170.0)
    assert dims_of(bowed_plate(), finished=True)["side-3_rise"].value == approx(20.0)


def test_a_painted_plate_is_smaller_all_round():
    """Half a millimetre in, arcs too: the round comes to 24.5, the bow to its radius less 0.5."""
    path = plate_path(bowed_plate(finish=PAINT), finished=False)
    start = path[-1].to
    for step in path:
        if step.centre is not None:
            full = plate_path(bowed_plate(), finished=False)[path.index(step)]
            assert math.dist(step.to, step.centre) == approx(
                math.dist(full.to, full.centre) - 0.5, abs=1e-9
            )
            assert math.dist(start, step.centre) == approx(math.dist(step.to, step.centre))
        start = step.to
    dims = dims_of(bowed_plate(finish=PAINT), finished=False)

    assert dims["width"].value == approx(299.0)
    assert dims["height"].value == approx(169.0)


def test_the_other_hand_of_a_plate():
    """Reflected, and still anticlockwise."""
    one, other = (
        plate_path(bowed_plate(mirrored=mirrored), finished=True) for mirrored in (False, True)
    )

    assert {(-x, y) for x, y in (step.to for step in one)} == {step.to for step in other}
    assert Polygon([step.to for step in other]).exterior.is_ccw
    assert {(-step.centre[0], step.centre[1]) for step in one if step.centre} == {
        step.centre for step in other if step.centre
    }
    assert face_frame(bowed_plate(mirrored=True), "top")[:3, 3] == approx([-300.0, 0.0, 3.0])


def test_plates_that_cannot_be_cut():
    """A bow through the far side, and a round larger than its side."""
    through = replace(bowed_plate(), rises=(None, None, zoo.length(-151), None))
    with pytest.raises(CannotMake, match="crosses itself"):
        plate_path(through, finished=True)
    with pytest.raises(CannotMake, match="leave nothing of it"):
        plate_path(
            replace(bowed_plate(), rounds=(None, zoo.length(160), None, None)), finished=True
        )
