"""Seams by construction: the two trimmed boards in cross-section, as polygons.

The mould line is the origin. Board 1 lies along +x with its inside upwards,
board 2 along the direction phi with its inside towards board 1.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon

from foldwright.errors import OutOfDomain
from foldwright.shop import butt, lap, mitre

LONG = 1000.0
CONVEX = st.floats(math.radians(20), math.radians(170))
ANY = st.one_of(CONVEX, st.floats(math.radians(190), math.radians(340)))
THICK = st.floats(0.5, 12.0)


def board(section, thickness, direction, side):
    """Cross-section of one board; its inside lies to the left (side 1) or right (-1)."""
    along = (math.cos(direction), math.sin(direction))
    inwards = (-side * along[1], side * along[0])

    def at(run, depth):
        return tuple(run * a + depth * i for a, i in zip(along, inwards, strict=True))

    return Polygon(
        [
            at(section.trim, 0.0),
            at(LONG, 0.0),
            at(LONG, thickness),
            at(section.trim_inside, thickness),
        ]
    )


def pair(one, two, t1, t2, phi):
    """Both boards at dihedral phi."""
    return board(one, t1, 0.0, 1), board(two, t2, phi, -1)


def contact(one, two):
    """Length over which two boards touch."""
    return one.buffer(1e-6).intersection(two.exterior).length


def assert_touching(one, two):
    """They touch and do not overlap."""
    assert one.intersection(two).area < 1e-7
    assert one.distance(two) < 1e-9


def stands_out(polygon, direction, side):
    """How far a board stands out past the outside of a face along `direction`."""
    out = (side * math.sin(direction), -side * math.cos(direction))
    return max(x * out[0] + y * out[1] for x, y in polygon.exterior.coords)


@given(t1=THICK, t2=THICK, phi=ANY)
def test_mitred_boards_touch_along_the_whole_mitre(t1, t2, phi):
    """From the outside line to the inside line; past 180 degrees too."""
    one, two = pair(mitre(t1, t2, phi), mitre(t2, t1, phi), t1, t2, phi)

    assert_touching(one, two)
    assert contact(one, two) >= math.hypot(t1, mitre(t1, t2, phi).trim_inside) - 1e-5


@given(t1=THICK, t2=THICK, phi=CONVEX)
def test_a_lap_covers_the_whole_edge_and_ends_flush(t1, t2, phi):
    """The covered edge lies against the inside of the other board."""
    over, under = lap(t1, t2, phi, covering=True), lap(t2, t1, phi, covering=False)
    one, two = pair(over, under, t1, t2, phi)

    assert_touching(one, two)
    edge = LineString([two.exterior.coords[0], two.exterior.coords[3]])
    assert edge.difference(one.buffer(1e-6)).length < 1e-5
    assert stands_out(one, phi, -1) == pytest.approx(0.0, abs=1e-9)
    assert (over.kind, under.kind) == ("lap over", "lap under")


@given(t1=THICK, t2=THICK, phi=ANY)
def test_butted_boards_touch_at_a_line_with_square_edges(t1, t2, phi):
    """The inside line under 180 degrees, the outside line past them."""
    try:
        one, two = butt(t1, t2, phi), butt(t2, t1, phi)
    except OutOfDomain:
        # Only where an edge would stand out past the mould line.
        assert min(t2 + t1 * math.cos(phi), t1 + t2 * math.cos(phi)) < 0.0 < math.sin(phi)
        return

    assert_touching(*pair(one, two, t1, t2, phi))
    assert one.bevel == two.bevel == 0.0


@given(t=THICK, phi=CONVEX)
def test_equal_boards_butt_at_the_cotangent_of_half_the_angle(t, phi):
    """Plane trigonometry: t cot(phi/2)."""
    assert butt(t, t, phi).trim == pytest.approx(t / math.tan(phi / 2), rel=1e-9)


@given(t1=THICK, t2=THICK, phi=st.floats(math.radians(20), math.radians(90)))
def test_a_board_that_runs_through_stays_flush_and_is_touched(t1, t2, phi):
    """Square edges all round; nothing stands out, nothing overlaps."""
    through = butt(t1, t2, phi, runs_through=True)
    stopped = butt(t2, t1, phi, runs_through=False)
    one, two = pair(through, stopped, t1, t2, phi)

    assert_touching(one, two)
    assert stands_out(one, phi, -1) < 1e-9 and stands_out(two, 0.0, 1) < 1e-9
    assert through.trim == through.trim_inside and stopped.trim == stopped.trim_inside


@pytest.mark.parametrize("runs_through", [None, True, False])
def test_faces_in_one_plane_butt_square_on_the_line(runs_through):
    """Nothing is taken off either."""
    section = butt(3.0, 2.0, math.pi + 5e-10, runs_through=runs_through)

    assert (section.trim, section.trim_inside, section.bevel) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("degrees", [180.0, 181.0, 270.0])
def test_nothing_laps_past_180_degrees(degrees):
    """The message offers what works there."""
    with pytest.raises(OutOfDomain, match='"mitre" or a "butt"'):
        lap(3.0, 3.0, math.radians(degrees), covering=True)


@pytest.mark.parametrize("degrees", [100.0, 270.0])
def test_no_square_edge_runs_through_past_90_degrees(degrees):
    """It would stand out past the other face."""
    with pytest.raises(OutOfDomain, match="would stand out"):
        butt(3.0, 3.0, math.radians(degrees), runs_through=True)
