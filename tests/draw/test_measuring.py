"""Dimension lines on pictures: that they are as long as what they measure, and out of the way."""

import math

import numpy as np
import pytest

from draw.hand import INFO
from foldwright.box import Box
from foldwright.draw.book_drawings import sized_figure
from foldwright.draw.book_records import ToMeasure
from foldwright.draw.dimension_lines import ROOM
from foldwright.draw.drawing import DIMENSION, Stroke, Words, bounds
from foldwright.draw.hidden_lines import view_axes
from foldwright.draw.measuring import measuring_lines
from foldwright.draw.picture import picture_of
from foldwright.plan.dual import number
from foldwright.shape import body_of, dims_of
from round_parts import rib
from zoo import box, drum, profile

EYES = [(0.52, -1.0, 0.55), (-0.4, -1.0, 0.8), (1.0, 0.6, 0.3)]


def measured(part, dims, eye, motion=None):
    body = body_of(part)
    frames = {} if motion is None else {"it": motion}
    drawn = picture_of({"it": body}, frames, 90.0, 70.0, eye=eye, air=ROOM)
    given = [ToMeasure(name, value, "") for name, value in dims.items()]
    return drawn, measuring_lines(drawn, part.kind, body, motion, given, INFO)


def dimension_lines(items):
    """Lines with figures: every third dimension stroke, after its two extension lines."""
    strokes = [i for i in items if isinstance(i, Stroke) and i.pen == DIMENSION]
    return [stroke.path[0] for stroke in strokes[2::3]]


@pytest.mark.parametrize("eye", EYES)
def test_a_straight_dim_is_as_long_as_its_edge_in_the_picture(eye):
    """The projection of an axis has the length sqrt(1 - (a . eye)^2) of itself."""
    sizes = {"width": 160.0, "depth": 220.0, "height": 90.0}
    drawn, items = measured(box(*sizes.values()), sizes, eye)
    towards = np.array(eye) / math.hypot(*eye)
    found = dimension_lines(items)

    assert [w.text for w in items if isinstance(w, Words)] == ["160.0", "220.0", "90.0"]
    for line, size, axis in zip(found, sizes.values(), range(3), strict=True):
        shown = size * drawn.scale * math.sqrt(1.0 - towards[axis] ** 2)

        assert math.dist(line.a, line.b) == pytest.approx(shown, rel=1e-6)


@pytest.mark.parametrize("eye", EYES)
def test_a_caliper_spans_the_whole_diameter(eye):
    drawn, items = measured(drum(220.0, 310.0), {"outside_d": 220.0}, eye)
    (line,) = dimension_lines(items)

    assert math.dist(line.a, line.b) == pytest.approx(220.0 * drawn.scale, rel=1e-3)


@pytest.mark.parametrize("eye", EYES)
def test_the_length_of_what_is_round_stands_beside_its_wall(eye):
    """Square to the eye beside the axis: as far from it as the drum's radius and the offset."""
    drawn, items = measured(drum(220.0, 60.0), {"length": 60.0}, eye)
    (line,) = dimension_lines(items)
    foot, top = (drawn.at((0.0, 0.0, z)) for z in (0.0, 60.0))
    along = (top[0] - foot[0], top[1] - foot[1])
    away = (line.a[0] - foot[0]) * along[1] - (line.a[1] - foot[1]) * along[0]

    assert abs(away) / math.hypot(*along) == pytest.approx(110.0 * drawn.scale + 4.5, abs=0.1)


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("flipped", [False, True])
def test_lines_and_figures_stand_clear_of_the_part_and_in_the_picture(eye, flipped):
    motion = np.diag([1.0, -1.0, -1.0, 1.0]) if flipped else np.eye(4)
    sizes = {"length": 310.0, "outside_d": 220.0}
    drawn, items = measured(drum(220.0, 310.0), sizes, eye, motion)
    for line in dimension_lines(items):
        for end in (line.a, line.b):
            assert 0.0 <= end[0] <= 90.0
            assert 0.0 <= end[1] <= 70.0
        assert not crosses_wall(drawn, motion, line)
    for item in items:
        if isinstance(item, Words):
            assert 0.0 < item.at[0] < 90.0
            assert 0.0 < item.at[1] < 70.0
            assert -math.pi / 2.0 + 0.19 < item.turn < math.pi / 2.0 + 0.21


def crosses_wall(drawn, motion, line):
    """Whether the middle of a line lies on the drum: nearer to its axis than its radius."""
    foot, top = (drawn.at(motion[:3, :3] @ np.array([0.0, 0.0, z])) for z in (0.0, 310.0))
    mid = ((line.a[0] + line.b[0]) / 2.0, (line.a[1] + line.b[1]) / 2.0)
    along = (top[0] - foot[0], top[1] - foot[1])
    size = math.hypot(*along)
    share = ((mid[0] - foot[0]) * along[0] + (mid[1] - foot[1]) * along[1]) / size**2
    off = abs((mid[0] - foot[0]) * along[1] - (mid[1] - foot[1]) * along[0]) / size
    return 0.0 < share < 1.0 and off < 110.0 * drawn.scale - 0.1


def test_a_tape_goes_round_the_wall_at_mid_length():
    """Its two edges run from one outline of the wall to the other."""
    drawn, items = measured(drum(220.0, 310.0), {"girth": 691.2}, EYES[0])
    tapes = [i for i in items if isinstance(i, Stroke) and i.pen.name == "tape"]
    middle = drawn.at(np.array([0.0, 0.0, 155.0]))
    box_ = Box(*map(float, bounds(tapes[0].path)))

    assert len(tapes) == 2
    assert box_.width == pytest.approx(220.0 * drawn.scale, rel=1e-3)
    # the body is made of chords, so its middle is known to their bow
    assert box_.middle[0] == pytest.approx(middle[0], abs=0.15 * drawn.scale)
    assert [w.text for w in items if isinstance(w, Words)] == ["691.2"]


@pytest.mark.parametrize("eye", EYES[:2])
def test_diagonals_run_from_corner_to_corner_of_a_face_that_is_seen(eye):
    sizes = (160.0, 220.0, 90.0)
    drawn, items = measured(
        box(*sizes), {"front_diagonal_a": 183.6, "front_diagonal_b": 183.6}, eye
    )
    rising, falling = [i.path[0] for i in items if isinstance(i, Stroke) and i.pen == DIMENSION][:2]
    corners = {z: [drawn.at((x, 0.0, z)) for x in (0.0, 160.0)] for z in (0.0, 90.0)}

    assert (*rising.a, *rising.b) == pytest.approx((*corners[0.0][0], *corners[90.0][1]))
    assert (*falling.a, *falling.b) == pytest.approx((*corners[0.0][1], *corners[90.0][0]))


def test_a_face_that_is_not_seen_has_no_diagonal():
    _, items = measured(box(), {"side_diagonal_a": 237.7}, EYES[1])

    assert items == []


@pytest.mark.parametrize("eye", EYES)
def test_a_width_at_one_end_stands_along_that_end(eye):
    """As long as the projected edge, whichever of the two edges of that end it stands by."""
    sizes = {"width_front": 160.0, "depth_left": 220.0, "height_front_left": 90.0}
    drawn, items = measured(box(160.0, 220.0, 90.0), sizes, eye)
    towards = np.array(eye) / math.hypot(*eye)
    lines = dimension_lines(items)

    assert len(lines) == 3
    for line, size, axis in zip(lines, sizes.values(), range(3), strict=True):
        shown = size * drawn.scale * math.sqrt(1.0 - towards[axis] ** 2)

        assert math.dist(line.a, line.b) == pytest.approx(shown, rel=1e-6)


def test_a_plumb_line_hangs_clear_of_the_part_as_high_as_it():
    drawn, items = measured(box(160.0, 220.0, 90.0), {"plumb_right": 50.0}, EYES[0])
    string = next(i.path[0] for i in items if isinstance(i, Stroke) and i.pen.name == "tape")
    corner = drawn.at((0.0, 0.0, 90.0))

    assert math.dist(string.a, string.b) == pytest.approx(
        math.dist(corner, drawn.at((0.0, 0.0, 0.0))), rel=1e-6
    )
    assert string.a[0] < corner[0] - 2.0


def test_three_directions_cross_in_the_middle_of_the_rim():
    drawn, items = measured(drum(), {f"d_{d}": 220.0 for d in (0, 60, 120)}, EYES[0])
    lines = [i.path[0] for i in items if isinstance(i, Stroke) and i.pen == DIMENSION]
    across = [line for line in lines if math.dist(line.a, line.b) > 8.0]
    middle = drawn.at((0.0, 0.0, 310.0))

    assert len(across) == 3
    for line in across:
        centre = ((line.a[0] + line.b[0]) / 2.0, (line.a[1] + line.b[1]) / 2.0)
        assert centre == pytest.approx(middle, abs=0.15)


def test_lengths_stand_on_the_wall_where_it_is_seen():
    """Of three places round, one or two look at the reader."""
    drawn, items = measured(drum(), {f"length_{d}": 310.0 for d in (0, 120, 240)}, EYES[0])
    lines = [i.path[0] for i in items if isinstance(i, Stroke) and i.pen == DIMENSION]
    along = [line for line in lines if math.dist(line.a, line.b) > 8.0]
    foot, top = (drawn.at((0.0, 0.0, z)) for z in (0.0, 310.0))

    assert 1 <= len(along) <= 2
    for line in along:
        assert math.dist(line.a, line.b) == pytest.approx(math.dist(foot, top), rel=1e-3)


@pytest.mark.parametrize("eye", EYES)
def test_no_figures_stand_on_others(eye):
    """The near one of two ends lies where the width over all does: one line tells both."""
    sizes = {"width": 160.0, "width_front": 160.0, "width_bottom": 160.0, "width_back": 160.0}
    _, items = measured(box(160.0, 8.0, 4.0), sizes, eye)
    spots = [item.at for item in items if isinstance(item, Words)]

    assert spots
    assert all(math.dist(a, b) > 2.5 for i, a in enumerate(spots) for b in spots[:i])


def test_what_a_picture_cannot_show_has_no_line():
    _, items = measured(box(), {"inside_depth": 200.0, "slope_length": 44.0}, EYES[0])

    assert items == []


def test_a_dim_seen_from_its_end_has_no_line():
    _, items = measured(box(), {"depth": 220.0}, (0.0, -1.0, 0.0))

    assert items == []


def test_the_picture_knows_where_a_point_of_the_build_lies():
    drawn, _ = measured(box(), {}, EYES[1])
    right, up, _ = view_axes(EYES[1])
    origin, at = drawn.at((0.0, 0.0, 0.0)), drawn.at((10.0, 20.0, 30.0))

    assert at[0] - origin[0] == pytest.approx(drawn.scale * float(right @ (10.0, 20.0, 30.0)))
    assert at[1] - origin[1] == pytest.approx(drawn.scale * float(up @ (10.0, 20.0, 30.0)))


@pytest.mark.parametrize("eye", EYES)
def test_a_dim_of_what_is_cut_back_stands_within_its_figure(eye):
    """Beside the box round a rib whose corner is gone there is room that no rib takes."""
    part = rib(profile(corners=((0, 0), (390, 0), (390, 250), (280, 250), (0, 60))))
    dims = [
        ToMeasure(name, number(dim.value), "")
        for name, dim in dims_of(part, finished=False).items()
    ]
    figure = sized_figure("it", part.kind, body_of(part), eye, INFO, dims, is_made=False)
    (group,) = figure.items
    (dx, dy), seen = group.shift, 0
    for item in group.items:
        if isinstance(item, Stroke) and item.pen == DIMENSION:
            ink = bounds(item.path)
            assert ink.left + dx >= -1e-9 and ink.right + dx <= figure.width + 1e-9
            assert ink.low + dy >= -1e-9 and ink.high + dy <= figure.height + 1e-9
            seen += 1

    assert seen >= 6
