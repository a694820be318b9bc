"""Solids of tapers, faceted parts and rounded profiles: closed, flat, where they should be.

A second opinion on unions is `manifold3d`, which joins triangles.
"""

import itertools
import math
from dataclasses import replace

import manifold3d
import numpy as np
import pytest
from hypothesis import given
from pytest import approx
from shapely import Polygon

import zoo
from foldwright.errors import CannotMake
from foldwright.plan import Finish, Layer
from foldwright.shape import finished_solid, frame_on, solid
from foldwright.shape.blocks import block_planes, convex
from foldwright.shape.prisms import bare_outline, given_outline, inside_outline

PAINT = Finish("grey", (Layer("paint", 0.2),))
FLAT = (*zoo.TAPERS.values(), zoo.DESK)


def volume(whole):
    """Volume of a solid without arcs, by pyramids over its faces."""
    return sum(
        whole.area(face) * float(whole.normal(face) @ whole.corners(face)[0]) / 3.0
        for face in whole.faces
    )


def sizes(whole):
    """Areas of the faces by name, and dihedrals by the names of both faces."""
    angles = sorted((*sorted((e.left, e.right)), round(e.dihedral, 9)) for e in whole.edges())
    return {face.name: approx(whole.area(face), rel=1e-12) for face in whole.faces}, angles


def check_closed_and_flat(whole):
    """Every edge has its two faces (or `edges` fails), corners lie in their faces, it is one."""
    edges = whole.edges()
    corners = {i for face in whole.faces for i in face.loop}

    assert len(corners) == len(whole.vertices)
    assert len(corners) - len(edges) + len(whole.faces) == 2
    for face in whole.faces:
        if not face.cylinder:
            off = np.ptp(whole.corners(face) @ whole.normal(face))

            assert off < 1e-12 * 2000.0


@pytest.mark.parametrize("part", [*FLAT, zoo.LANTERN], ids=lambda part: part.name)
def test_zoo_is_closed_and_flat(part):
    """With and without finish, of either hand."""
    for kind in (part, replace(part, finish=PAINT), replace(part, mirrored=True)):
        check_closed_and_flat(solid(kind))


@given(zoo.random_tapers())
def test_random_tapers(part):
    """Closed and flat; the volume is that of a prismatoid, h (A0 + 4 Am + A1) / 6."""
    whole = solid(part)
    lower, upper = whole.face("bottom"), whole.face("top")
    middle = (whole.corners(lower)[::-1] + whole.corners(upper)) / 2.0
    height = whole.corners(upper)[0, 2]
    areas = whole.area(lower), Polygon(middle[:, :2]).area, whole.area(upper)

    check_closed_and_flat(whole)
    assert volume(whole) == approx(height * (areas[0] + 4 * areas[1] + areas[2]) / 6.0, rel=1e-9)


def joined_volume(part):
    """Volume of the union of the blocks, by another hand."""
    bodies = []
    for block in part.blocks:
        corners = convex(dict(block_planes(block, part.values()))).corners
        bodies.append(manifold3d.Manifold.hull_points(corners))
    return manifold3d.Manifold.batch_boolean(bodies, manifold3d.OpType.Add).volume()


@given(zoo.random_faceted())
def test_random_faceted(part):
    """Closed and flat, with the volume that the joined blocks have."""
    whole = solid(part)

    check_closed_and_flat(whole)
    assert volume(whole) == approx(joined_volume(part), rel=1e-9)


@given(zoo.random_rounded())
def test_random_rounded(part):
    """Closed; the ends have the area inside fine chords, the sides girth times depth."""
    whole = solid(part)
    outline = bare_outline(part, part.values())
    fine = Polygon(outline.chords(math.radians(0.02)))
    ends = {name: whole.area(whole.face(name)) for name in ("front", "back")}
    around = sum(whole.area(face) for face in whole.faces) - sum(ends.values())
    depth = part.values()["depth"]

    check_closed_and_flat(whole)
    assert ends == approx(dict.fromkeys(ends, fine.area), rel=1e-6)
    assert ends["front"] == approx(float(outline.area()), rel=1e-12)
    assert around == approx(fine.length * depth, rel=1e-6)


@given(zoo.random_rounded())
def test_rounds_are_tangent_and_bows_meet_at_corners(part):
    """A round joins its neighbours at exactly pi; the ends stand at exactly pi/2."""
    for edge in solid(part).edges():
        if {edge.left, edge.right} & {"front", "back"}:
            assert edge.dihedral == approx(math.pi / 2.0, abs=1e-12)
        elif "~" in edge.left or "~" in edge.right:
            assert edge.dihedral == math.pi


@given(zoo.random_rounded())
def test_inside_corners_lie_one_board_from_both_sides(part):
    """Also where a side is an arc, and where two are tangent."""
    outside = given_outline(part, part.values())
    inside = inside_outline(part, part.values(), finished=False)
    for i, corner in enumerate(inside.plain()):
        for side in (i - 1, i):
            assert apart(outside, side % len(outside), corner) == approx(3.0, abs=1e-9)


def apart(outline, i, point):
    """Distance of a point from the line or circle of a side."""
    arc, (ax, ay) = outline.arcs[i], outline.corners[i]
    if arc is not None:
        return abs(math.dist(arc.centre, point) - arc.radius)
    (dx, dy) = outline.difference(i)
    return abs(dx * (point[1] - ay) - dy * (point[0] - ax)) / math.hypot(dx, dy)


@pytest.mark.parametrize("part", FLAT, ids=lambda part: part.name)
def test_finish_moves_every_face_in_by_its_coat(part):
    """Bare faces are parallel to the finished ones, 0.2 mm further in, leaning or not."""
    part = replace(part, finish=PAINT)
    bare, finished = solid(part), finished_solid(part)
    for face in bare.faces:
        normal = bare.normal(face)
        apart = finished.corners(face) @ normal - bare.corners(face) @ normal

        assert apart == approx(np.full(len(apart), 0.2), abs=1e-11)
    given = np.array(solid(replace(part, finish=None)).vertices)

    assert np.array(finished.vertices) == approx(given, abs=1e-11)


@given(zoo.random_tapers() | zoo.random_faceted() | zoo.random_rounded())
def test_the_other_hand(part):
    """Mirrored twice is the part again; areas and dihedrals are kept, and x turns over."""
    whole, other = solid(part), solid(replace(part, mirrored=True))

    assert other.mirrored() == whole
    assert sizes(other) == sizes(whole)
    for face in whole.faces:
        assert other.normal(other.face(face.name)) == approx(whole.normal(face) * [-1, 1, 1])
    for edge in other.edges():
        found = other.edge_centre(edge)
        twin = next(e for e in whole.edges() if {e.start, e.end} == {edge.start, edge.end})
        kept = whole.edge_centre(twin)
        assert (found is None) == (kept is None)
        if found and kept:
            # Seen from outside the other hand, the loop and the way both turn round.
            same = twin.start == edge.start
            assert found[0] == approx(kept[0] * [-1, 1, 1])
            assert found[1] == (-kept[1] if same else kept[1])


def test_arc_edges_of_a_lantern():
    """Seen from outside the front its round runs anticlockwise in the loop of the front."""
    part = zoo.profile(
        [(0, 0), (300, 0), (300, 150), (0, 150)],
        sides=("bottom", "right", "top", "left"),
        rounds=(None, None, zoo.length(30), None),
        rises=(zoo.length(-20), None, None, None),
    )
    whole = solid(part)
    for edge in whole.edges():
        found = whole.edge_centre(edge)
        faces = {edge.left, edge.right}
        if "right~top" in faces and faces & {"front", "back"}:
            centre, way = found
            assert centre[[0, 2]] == approx([270.0, 120.0])
            assert way == (1 if edge.left in ("front", "back") else -1)
            assert whole.edge_length(edge) == approx(15.0 * math.pi)
        elif "bottom" in faces and faces & {"front", "back"}:
            assert found[1] == (-1 if edge.left in ("front", "back") else 1)
            assert found[0][2] == approx(-(150.0**2 - 20.0**2) / 40.0)
        else:
            assert found is None


def test_frame_of_an_end_with_a_bow():
    """The lower-left corner is that of the rectangle round the bow."""
    part = zoo.profile(
        [(0, 0), (200, 0), (200, 100), (0, 100)],
        rises=(zoo.length(25), None, None, zoo.length(30)),
    )
    whole = solid(part)
    frame = frame_on(whole, whole.face("front"))

    assert frame[:3, 3] == approx([-30.0, 0.0, -25.0])


def test_more_than_half_a_turn():
    """A rise larger than half the chord bows round past its ends; area by segment of a circle."""
    part = zoo.profile([(0, 0), (60, 0), (60, 200), (0, 200)], rises=(zoo.length(70), *[None] * 3))
    whole = solid(part)
    radius = (30.0**2 + 70.0**2) / 140.0
    sweep = 2.0 * math.pi - 2.0 * math.asin(30.0 / radius)

    assert whole.sweep(whole.face("side_1")) == approx(sweep)
    assert whole.normal(whole.face("side_1")) == approx([0.0, 0.0, -1.0], abs=1e-12)
    assert whole.area(whole.face("front")) == approx(
        60.0 * 200.0 + radius**2 / 2.0 * (sweep - math.sin(sweep))
    )


REFUSED = {
    "twisted side": (
        zoo.taper(
            [(0, 0), (100, 0), (100, 100), (0, 100)], [(20, 20), (80, 25), (80, 80), (20, 80)]
        ),
        'Side "side_1" of taper is not flat',
    ),
    "side to a point": (
        zoo.taper([(0, 0), (100, 0), (100, 100), (0, 100)], [(50, 50)] * 4),
        "has no length, or runs the other way",
    ),
    "sides in line": (
        zoo.taper([(0, 0), (50, 0), (100, 0), (50, 90)], [(20, 9), (50, 9), (80, 9), (50, 63)]),
        'Sides "side_1" and "side_2" of taper lie in one line',
    ),
    "crossing": (
        zoo.taper([(0, 0), (90, 60), (90, 0), (0, 60)], [(0, 0), (90, 60), (90, 0), (0, 60)]),
        "crosses itself",
    ),
    "no room": (
        zoo.taper([(0, 0), (90, 0), (90, 90), (0, 90)], [(9, 9), (81, 9), (81, 81), (9, 81)], 5.0),
        "no room inside",
    ),
    "tight bow": (
        zoo.profile(
            [(0, 0), (200, 0), (200, 5), (0, 5)], rises=(None, zoo.length(2.5), None, None)
        ),
        "bends to a radius of 2.5 mm",
    ),
    "round too large": (
        zoo.profile(
            [(0, 0), (200, 0), (200, 50), (0, 50)], rounds=(None, zoo.length(60), None, None)
        ),
        "leave nothing of it between them",
    ),
    "rounds overlap": (
        zoo.profile(
            [(0, 0), (200, 0), (200, 50), (0, 50)], rounds=(None, *[zoo.length(26)] * 2, None)
        ),
        'ends of side "side_2" leave nothing',
    ),
    "bow through the other side": (
        zoo.profile([(0, 0), (200, 0), (200, 50), (0, 50)], rises=(zoo.length(-60), *[None] * 3)),
        "crosses or touches itself",
    ),
    "nearly tangent": (
        zoo.profile(
            [(0, 0), (200, 0), (200, 50), (0, 50)], rises=(None, zoo.length(24.95), None, None)
        ),
        "nearly tangent",
    ),
    "box in the middle": (
        zoo.faceted(
            zoo.block((0, 0, 0), (300, 200, 100)),
            zoo.block((50, 50, 100), (99, 99, 80), faces=("l", "r", "f", "b", "x", "roof")),
        ),
        'stands in the middle of face "top"',
    ),
    "two regions": (
        zoo.faceted(
            zoo.block((0, 0, 0), (300, 200, 100)),
            zoo.block((100, 0, 50), (50, 200, 130), faces=("l", "r", "front", "back", "x", "roof")),
        ),
        'Face "top" of faceted is in 2 regions',
    ),
    "only an edge": (
        zoo.faceted(
            zoo.block((0, 0, 0), (300, 200, 100)),
            zoo.block((-100, 0, 100), (100, 200, 99), faces=("l", "r", "f", "b", "x", "roof")),
        ),
        "only touch along an edge",
    ),
    "apart": (
        zoo.faceted(
            zoo.block((0, 0, 0), (300, 200, 100)),
            zoo.block((400, 0, 0), (90, 90, 99), faces=("l", "r", "f", "b", "x", "roof")),
        ),
        "do not make one body",
    ),
    "one name, two planes": (
        zoo.faceted(
            zoo.block((0, 0, 0), (300, 200, 100)),
            zoo.block((0, 0, 100), (90, 90, 99), faces=("left", "r", "f", "b", "x", "right")),
        ),
        'Face "right" of faceted lies in two planes',
    ),
    "two names, one plane": (
        zoo.faceted(
            zoo.block((0, 0, 0), (300, 200, 100)),
            zoo.block((300, 0, 0), (90, 200, 50), faces=("l", "r", "f", "back", "x", "roof")),
        ),
        "meet in one plane",
    ),
    "cut in the air": (
        zoo.faceted(zoo.block((0, 0, 0), (90, 90, 90), [("cut", (99, 0, 0), (1, 0, 0))])),
        'The cut "cut" takes nothing off block 1',
    ),
    "nothing left": (
        zoo.faceted(zoo.block((0, 0, 0), (90, 90, 90), [("cut", (0, 0, -9), (0, 0, 1))])),
        "leave nothing of it",
    ),
    "a sliver of an edge": (
        zoo.faceted(zoo.block((0, 0, 0), (90, 90, 90), [("cut", (90, 0, 89.99), (1, 0, 0.5))])),
        "mm long",
    ),
    "two thin blocks": (
        zoo.faceted(
            zoo.block((0, 0, 0), (90, 90, 2.8)),
            zoo.block((0, 0, 2.8), (90, 90, 2.9), faces=(*zoo.BOX_FACES[:4], "x", "roof")),
        ),
        "no room inside for 3 mm",
    ),
    "thin": (zoo.faceted(zoo.block((0, 0, 0), (90, 90, 5.5))), "no room inside for 3 mm"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused_in_words(name):
    """What cannot be made is refused, and the message names it."""
    part, words = REFUSED[name]
    with pytest.raises(CannotMake, match=words):
        solid(part)


def test_four_faces_at_one_corner_need_a_bare_plan():
    """An oblique pyramid keeps its tip only if nothing is taken off its faces."""
    tip = (30.0, 40.0, 100.0)
    base = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]
    cuts = []
    for i, (a, b) in enumerate(zip(base, [*base[1:], base[0]], strict=True)):
        along = np.array([b[0] - a[0], b[1] - a[1], 0.0])
        up = np.array([tip[0] - a[0], tip[1] - a[1], tip[2]])
        cuts.append((f"slope_{i}", (*a, 0.0), np.cross(along, up)))
    block = zoo.block((0, 0, 0), (100, 100, 100), cuts)
    plain = solid(zoo.faceted(block))

    assert min(math.dist(v, tip) for v in plain.vertices) < 1e-9
    check_closed_and_flat(plain)
    assert solid(zoo.faceted(block, finish=PAINT, bare=True)) == plain
    with pytest.raises(CannotMake, match=r"do not meet in one point.*bare = true"):
        solid(zoo.faceted(block, finish=PAINT))


def test_a_post_on_a_slope():
    """Its foot is cut by the plane of the slope, turned round; no gap is left between."""
    out = (1.0, 0.3, 1.7)
    part = zoo.faceted(
        zoo.block((0, 0, 0), (300, 200, 100), [("slope", (250, 100, 60), out)]),
        zoo.block(
            (240, 0, 10),
            (60, 120, 250),
            [("foot", (250, 100, 60), [-x for x in out])],
            faces=("post", "right", "front", "rear", "below", "roof"),
        ),
    )
    whole = solid(part)

    check_closed_and_flat(whole)
    assert "foot" not in {face.name for face in whole.faces}
    assert volume(whole) == approx(joined_volume(part), rel=1e-9)


def test_two_thin_blocks_may_have_room_together():
    """Of 3.5 mm each they are 7 mm thick, and the boards take 6."""
    whole = solid(
        zoo.faceted(
            zoo.block((0, 0, 0), (90, 90, 3.5)),
            zoo.block((0, 0, 3.5), (90, 90, 3.5), faces=(*zoo.BOX_FACES[:4], "x", "roof")),
        )
    )

    assert len(whole.vertices) == 8
    assert {face.name for face in whole.faces} == {*zoo.BOX_FACES[:5], "roof"}


def test_a_corner_on_a_straight_edge_is_kept_on_both_sides():
    """A step half way along the edge of the top splits it for the front too."""
    whole = solid(
        zoo.faceted(
            zoo.block((0, 0, 0), (300, 200, 100)),
            zoo.block(
                (300, 0, 0), (90, 120, 60), faces=("x", "end", "front", "rear", "bottom", "low")
            ),
        )
    )
    check_closed_and_flat(whole)

    assert volume(whole) == approx(300 * 200 * 100 + 90 * 120 * 60)
    assert len(whole.face("right").loop) == 6


def test_loops_start_nowhere_special():
    """Faces turn anticlockwise seen from outside: the volume by pyramids is positive."""
    for part in FLAT:
        assert volume(solid(part)) > 0.0
        assert all(len(set(face.loop)) == len(face.loop) for face in solid(part).faces)
        assert all(a != b for face in solid(part).faces for a, b in itertools.pairwise(face.loop))
