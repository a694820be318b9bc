"""Dims of tapers, faceted parts and rounded outlines: checked in the head, slopes exact."""

import math
from dataclasses import replace

import pytest
from pytest import approx

import zoo
from foldwright.errors import CannotMake
from foldwright.plan import Dual, Finish, Layer, Parameter, Plate
from foldwright.plan.dual import number, slopes
from foldwright.shape import dims_of, section_of

PAINT = Finish("grey", (Layer("primer", 0.3), Layer("paint", 0.2)))


def numbers(**values):
    """Parameters by name."""
    return tuple(Parameter(name, value, 2.0, 1.0) for name, value in values.items())


def lengths(*texts):
    """Lengths from formulas; None stays None."""
    return tuple(text if text is None else zoo.length(text) for text in texts)


def hopper(**more):
    """A hopper whose upper outline follows its inset."""
    return zoo.taper(
        [("0", "0"), ("w", "0"), ("w", "d"), ("0", "d")],
        [("i", "j"), ("w-i", "j"), ("w-i", "d-j"), ("i", "d-j")],
        name="hopper",
        sides=("front", "right", "back", "left"),
        parameters=numbers(w=300.0, d=200.0, i=25.0, j=50.0, height=60.0),
        **more,
    )


def desk(**more):
    """A box with a sloping cut and a smaller box in its corner."""
    return zoo.faceted(
        zoo.block((0, 0, 0), ("w", "d", "h"), [("slope", ("w", 0, "h-40"), (1, 0, 1.5))]),
        zoo.block(
            (0, "d-150", "h"),
            ("b", 150, 80),
            faces=("left", "step", "nose", "back", "below", "roof"),
        ),
        name="desk",
        sizes={"w": 300.0, "d": 200.0, "h": 100.0, "b": 100.0},
        **more,
    )


def lantern(**more):
    """Two rounds, a bow out and a bow in; the bow on the right meets the bottom at a corner."""
    return zoo.profile(
        [("0", "0"), ("w", "0"), ("w", "h"), ("0", "h")],
        name="lantern",
        sides=("bottom", "right", "top", "left"),
        parameters=numbers(w=260.0, h=180.0, r=40.0, b=30.0, s=-12.0, depth=200.0),
        rounds=lengths(None, None, "r", "r*0.6"),
        rises=lengths(None, "b", None, "s"),
        **more,
    )


def plate(**more):
    """A plate with a bowed top and a rolled corner."""
    return Plate(
        name="plate",
        stock="s",
        thickness=3.0,
        parameters=numbers(w=300.0, h=150.0, b=20.0, r=25.0),
        outline=tuple(lengths(*pair) for pair in [("0", "0"), ("w", "0"), ("w", "h"), ("0", "h")]),
        rounds=lengths(None, "r", None, None),
        rises=lengths(None, None, "b", None),
        **more,
    )


PARTS = {
    "hopper": hopper(finish=PAINT),
    "open hopper": hopper(finish=PAINT, leave_open=("top",)),
    "desk": desk(finish=PAINT),
    "open desk": desk(finish=PAINT, leave_open=("roof",)),
    "lantern": lantern(finish=PAINT),
    "open lantern": lantern(finish=PAINT, leave_open=("top", "front")),
    "bare lantern": lantern(finish=PAINT, bare=True),
    "plate": plate(finish=PAINT),
}


@pytest.mark.parametrize("name", PARTS)
@pytest.mark.parametrize("finished", [True, False])
@pytest.mark.parametrize("stretch", [0.97, 1.0, 1.03])
def test_slopes_are_exact(name, finished, stretch):
    """Every derivative of every dim agrees with the central difference."""
    part = PARTS[name]
    values = {key: value * stretch for key, value in part.values().items()}
    seeds = {key: Dual.seed(key, value) for key, value in values.items()}
    found = dims_of(part, seeds, finished=finished)
    step = 1e-4
    for key in values:
        above = dims_of(part, {**values, key: values[key] + step}, finished=finished)
        below = dims_of(part, {**values, key: values[key] - step}, finished=finished)
        for dim in found.values():
            central = (above[dim.name].value - below[dim.name].value) / (2.0 * step)

            assert slopes(dim.value).get(key, 0.0) == approx(central, abs=2e-7), (dim.name, key)


@pytest.mark.parametrize("name", PARTS)
def test_floats_and_duals_agree(name):
    """The number that is drawn and the number that is predicted are one."""
    part = PARTS[name]
    seeds = {key: Dual.seed(key, value) for key, value in part.values().items()}
    plain = {dim.name: dim.value for dim in dims_of(part, finished=True).values()}
    dual = {dim.name: number(dim.value) for dim in dims_of(part, seeds, finished=True).values()}

    assert plain == approx(dual, abs=1e-12)


def test_dims_of_a_hopper():
    """Slant of the front: 50 mm in over 60 up; of the right: 25 in over 60 up, 65 long."""
    found = {dim.name: dim.value for dim in dims_of(hopper(), finished=True).values()}

    assert found["height"] == approx(60.0)
    assert (found["lower_width"], found["lower_depth"]) == approx((300.0, 200.0))
    assert (found["upper_width"], found["upper_depth"]) == approx((250.0, 100.0))
    assert found["front_lower_length"] == approx(300.0)
    assert found["right_upper_length"] == approx(100.0)
    assert found["front_slant"] == approx(math.hypot(50.0, 60.0))
    assert found["right_slant"] == approx(65.0)


def test_mouth_of_an_open_hopper():
    """At the open top a 3 mm wall at 5:12 takes 3 x 13/12 off each side of the width.

    A right triangle of 5, 12, 13: its wall is cut by a level plane 13/12 as thick.
    """
    found = dims_of(hopper(leave_open=("top",)), finished=True)
    wall = 3.0 * 13.0 / 12.0

    assert found["front_upper_mouth"].value == approx(250.0 - 2.0 * wall)
    assert "front_upper_length" not in found


def test_dims_of_a_desk():
    """Heights add, parallel faces have a distance, edges a length; the cut falls 40 in 60."""
    found = {dim.name: dim.value for dim in dims_of(desk(), finished=True).values()}

    assert (found["width"], found["depth"], found["height"]) == approx((300.0, 200.0, 180.0))
    assert found["left_to_step"] == approx(100.0)
    assert found["bottom_to_top"] == approx(100.0)
    assert found["front~slope_length"] == approx(math.hypot(40.0, 60.0))
    assert found["front~right_length"] == approx(60.0)
    assert found["step~top_length"] == approx(150.0)


def test_dims_of_a_lantern():
    """A bow of 30 on the right adds to the width, a bow of 12 inwards on the left does not."""
    found = {dim.name: dim.value for dim in dims_of(lantern(), finished=True).values()}

    assert found["width"] == approx(290.0, abs=0.5)  # the round takes a little off the left
    assert found["height"] == approx(180.0)
    assert found["bottom_length"] == approx(260.0)
    assert 0.0 < found["right_rise"] < 30.0  # the round shortens the bow
    assert 0.0 < found["left_rise"] < 12.0


def test_paint_adds_its_layer_all_round():
    """Bare dims of faces that look away from each other are smaller by two coats."""
    for part, name in ((hopper(finish=PAINT), "height"), (desk(finish=PAINT), "left_to_step")):
        thin, full = (dims_of(part, finished=finished)[name].value for finished in (False, True))

        assert full - thin == approx(1.0)


def test_ends_of_a_taper_as_sections():
    """The wide bottom rests; the narrow top gets wider behind and is refused."""
    bottom = section_of(hopper(), "bottom", mouth=False)

    assert [span.value for span in bottom.spans] == approx([300.0, 200.0])
    assert bottom.centre == approx((150.0, 100.0, 0.0))
    with pytest.raises(CannotMake, match='gets wider behind "top"'):
        section_of(hopper(), "top", mouth=False)
    with pytest.raises(CannotMake, match='gets narrower behind "bottom"'):
        section_of(hopper(leave_open=("bottom",)), "bottom", mouth=True)
    with pytest.raises(CannotMake, match="no rectangle"):
        section_of(zoo.TAPERS["leaning_tower"], "top", mouth=False)
    with pytest.raises(CannotMake, match='cannot use face "front"'):
        section_of(hopper(), "front", mouth=False)


def test_faces_of_a_desk_as_sections():
    """The roof is a rectangle with upright walls; the top is no rectangle."""
    roof = section_of(desk(), "roof", mouth=False)
    mouth = section_of(desk(leave_open=("roof",)), "roof", mouth=True)

    assert sorted(span.value for span in roof.spans) == approx([100.0, 150.0])
    assert roof.centre == approx((50.0, 125.0, 180.0))
    assert sorted(span.value for span in mouth.spans) == approx([94.0, 144.0])
    for span in (*roof.spans, *mouth.spans):
        assert abs(span.direction[0 if round(span.value) in (100, 94) else 1]) == approx(1.0)
    with pytest.raises(CannotMake, match="no rectangle"):
        section_of(desk(), "top", mouth=False)


def test_curved_sides_are_no_section():
    """A meet compares flat faces; beside a bow the end is no rectangle."""
    with pytest.raises(CannotMake, match='Side "right" of lantern is curved'):
        section_of(lantern(), "right", mouth=False)
    with pytest.raises(CannotMake, match="no upright rectangle"):
        section_of(lantern(), "front", mouth=False)


@pytest.mark.parametrize("name", ["hopper", "desk", "lantern", "plate"])
def test_the_other_hand_has_the_same_dims(name):
    """A mirror changes no length."""
    part = PARTS[name]
    other = replace(part, mirrored=True)

    assert {d.name: d.value for d in dims_of(part, finished=True).values()} == {
        d.name: d.value for d in dims_of(other, finished=True).values()
    }


def test_section_of_the_other_hand():
    """Its centre lies on the other side of x = 0."""
    roof = section_of(desk(mirrored=True), "roof", mouth=False)

    assert roof.centre == approx((-50.0, 125.0, 180.0))


def test_mouth_beside_a_round_is_clear_along_the_side():
    """The bent board ends where its round does; the wall on the left takes its 3 mm off."""
    part = zoo.profile(
        [(0, 0), (200, 0), (200, 80), (0, 80)],
        sides=("bottom", "right", "top", "left"),
        rounds=(None, None, zoo.length(40), None),
        leave_open=("top",),
    )

    assert dims_of(part, finished=True)["top_mouth"].value == approx(160.0 - 3.0)
    assert section_of(part, "top", mouth=True).spans[0].value == approx(157.0)
