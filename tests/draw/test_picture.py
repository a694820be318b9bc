"""Pictures: hidden lines against rays shot one by one, cases that can be counted, leaders.

The ray test shares nothing with the drawing code: it intersects boxes with
rays by their slabs, in the frame of each box.
"""

import itertools
import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from draw.hand import INFO
from foldwright.box import Box
from foldwright.draw.drawing import Area, Group, Stroke, Words
from foldwright.draw.hidden_lines import patches_of, view_axes, visible_stretches
from foldwright.draw.inking import EDGE, PENCIL
from foldwright.draw.leaders import Name, set_names
from foldwright.draw.picture import eye_of, picture_of
from foldwright.draw.rings import Danger
from foldwright.draw.seen import seen_of
from foldwright.shape import FaceCut, Step, body_of
from zoo import FOLDED, ZOO, box, drum

CORNER = (1.0, -1.0, 1.0)
EYE = (0.52, -1.0, 0.55)


def at(x=0.0, y=0.0, z=0.0, turn=0.0):
    """A motion: turned about z, then moved."""
    motion = np.eye(4)
    motion[:2, :2] = [[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]]
    motion[:3, 3] = (x, y, z)
    return motion


def spun(rng):
    """A random motion: any rotation, a few hundred mm."""
    q, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    motion = np.eye(4)
    motion[:3, :3] = q if np.linalg.det(q) > 0 else -q
    motion[:3, 3] = rng.uniform(-150.0, 150.0, 3)
    return motion


def edges(seen, part=None, kind="edge"):
    return [line for line in seen.lines if line.kind == kind and part in (None, line.part)]


def run(line):
    return sum(math.dist(a, b) for a, b in itertools.pairwise(line.points))


def slab(size, motion, point, eye):
    """Share of the ray from a point towards the eye at which it leaves a box; None if it misses."""
    into = np.linalg.inv(motion)
    start = into[:3, :3] @ point + into[:3, 3]
    way = into[:3, :3] @ eye
    low, high = -math.inf, math.inf
    for i in range(3):
        if abs(way[i]) < 1e-12:
            if not 0.0 <= start[i] <= size[i]:
                return None
            continue
        t0, t1 = sorted(((0.0 - start[i]) / way[i], (size[i] - start[i]) / way[i]))
        low, high = max(low, t0), min(high, t1)
    return (low, high) if low < high else None


def test_a_cube_from_its_corner_shows_nine_edges_and_hides_three():
    """Exactly along the diagonal the hidden three lie behind the visible three."""
    for eye in (CORNER, (0.9, -1.0, 0.7), EYE):
        seen = seen_of({"cube": body_of(FOLDED["cube"])}, {}, eye)

        assert len(edges(seen)) == 9
        assert len(seen.areas) == 3


def test_a_cube_from_the_front_is_a_square():
    seen = seen_of({"cube": body_of(FOLDED["cube"])}, {}, (0.0, -1.0, 0.0))

    assert len(seen.areas) == 1
    assert sum(run(line) for line in edges(seen)) == pytest.approx(4 * 150.0)


def test_one_box_behind_another():
    """Seen from the front, the small box hides all of the smaller, and a window of the larger."""
    bodies = {
        "near": body_of(box(100.0, 50.0, 80.0)),
        "gone": body_of(box(60.0, 50.0, 40.0)),
        "wide": body_of(box(300.0, 50.0, 40.0)),
    }
    frames = {"gone": at(20.0, 200.0, 20.0), "wide": at(-100.0, 400.0, 20.0)}
    seen = seen_of(bodies, frames, (0.0, -1.0, 0.0))

    assert edges(seen, "gone") == []
    # its upper and lower edge lose 100 each; its ends are whole
    assert sum(run(line) for line in edges(seen, "wide")) == pytest.approx(2 * 200.0 + 2 * 40.0)
    assert sum(a.polygon.area for a in seen.areas if a.part == "wide") == pytest.approx(200.0 * 40)


@pytest.mark.parametrize("seed", range(6))
def test_lines_are_hidden_where_rays_say_so(seed):
    """Random boxes anyhow, also through one another: 30 points on each edge."""
    rng = np.random.default_rng(seed)
    sizes = {f"b{i}": rng.uniform(30.0, 200.0, 3) for i in range(6)}
    frames = {name: spun(rng) for name in sizes}
    bodies = {name: body_of(box(*size)) for name, size in sizes.items()}
    eye = rng.normal(size=3)
    eye /= np.linalg.norm(eye)
    axes = view_axes(eye)
    seen = seen_of(bodies, frames, eye)
    drawn = {name: [np.array(s.points) for s in edges(seen, name)] for name in sizes}
    checked = 0
    for name, size in sizes.items():
        for a, b in box_edges(size, frames[name]):
            for t in (np.arange(30) + 0.5) / 30:
                point = a + t * (b - a)
                depth = clearance(sizes, frames, point, eye)
                if abs(depth - 0.02) < 0.5:
                    continue  # too near to a change for a sample to judge
                flat = (axes @ point)[:2]
                beside = min((off(flat, s) for s in drawn[name]), default=math.inf)
                checked += 1

                assert (beside < 1e-3) == (depth < 0.0), (name, t, depth, beside)
    assert checked > 1000


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(1, 12)), max_size=12))
def test_what_is_left_of_a_line_is_what_no_screen_before_it_covers(screens):
    """Upright screens before a line 40 long: marked off mm by mm, it comes to the same."""
    corners = [[(a, -1, 5), (a + n, -1, 5), (a + n, 1, 5), (a, 1, 5)] for a, n in screens]
    line = np.array([[[0.0, 0.0, 0.0], [40.0, 0.0, 0.0]]])
    patches = patches_of(np.array(corners, dtype=float).reshape(-1, 4, 3))
    which, low, high = visible_stretches(np.repeat(line, 3, axis=0), patches)
    covered = {mm for a, n in screens for mm in range(a, a + n)}
    left = [mm not in covered for mm in range(40)]
    ends = [mm for mm in range(41) if ([False, *left, False][mm]) != [False, *left, False][mm + 1]]

    assert which.tolist() == sorted([0, 1, 2] * (len(ends) // 2))
    for i in range(3):
        found = np.column_stack([low, high])[which == i].ravel() * 40.0

        # screens are taken larger by a millionth, see `patches_of`
        assert found == pytest.approx(ends, abs=1e-5)


def test_copies_that_share_a_body_look_as_if_each_had_its_own():
    """Also turned alike and not, made and not."""
    parts = [drum(), FOLDED["open_box"], ZOO["ring"]]
    frames = {f"{i}": at(90.0 * i, 40.0 * i, 0.0, 0.5 * (i // 6)) for i in range(12)}
    shared = [body_of(part) for part in parts]
    ruled = {"0": 3.0, "3": 6.0}
    together = seen_of({n: shared[int(n) % 3] for n in frames}, frames, EYE, ruled=ruled)
    apart = seen_of({n: body_of(parts[int(n) % 3]) for n in frames}, frames, EYE, ruled=ruled)

    assert together == apart
    assert {line.part for line in together.lines if line.kind == "ruling"} <= set(ruled)


def box_edges(size, motion):
    corners = [np.array(c) * size for c in itertools.product((0.0, 1.0), repeat=3)]
    placed = [motion[:3, :3] @ c + motion[:3, 3] for c in corners]
    for i, j in itertools.combinations(range(8), 2):
        if bin(i ^ j).count("1") == 1:
            yield placed[i], placed[j]


def clearance(sizes, frames, point, eye):
    """How deep inside or behind the boxes a point lies: negative if it is seen.

    For each box the share of the ray beyond the point that lies in the box;
    the point's own box counts too, since it hides its far edges.
    """
    deepest = -1.0
    for name, size in sizes.items():
        found = slab(size, frames[name], point, eye)
        if found is not None:
            deepest = max(deepest, min(found[1], found[1] - max(found[0], 0.0)))
    return deepest


def off(point, line):
    a, b = line[0], line[-1]
    share = np.clip((point - a) @ (b - a) / max((b - a) @ (b - a), 1e-12), 0.0, 1.0)
    return float(np.linalg.norm(a + share * (b - a) - point))


def test_what_is_seen_leaves_no_gaps_and_no_overlaps():
    """The areas of a convex body fill its shadow: half of the sum of |n . eye| over its faces."""
    eye = np.array(EYE) / math.hypot(*EYE)
    for name in ("closed_box", "sharp_wedge", "blunt_ridge"):
        body = body_of(FOLDED[name])
        shadow = sum(f.area * abs(np.dot(f.normal, eye)) for s in body.surfaces for f in s.facets)
        seen = seen_of({"it": body}, {}, EYE)

        assert sum(a.polygon.area for a in seen.areas) == pytest.approx(shadow / 2.0, rel=1e-4)


@pytest.mark.parametrize("eye", [EYE, (1.0, 0.3, 0.2), (0.1, 1.0, 1.0)])
def test_a_drum_is_outlined_where_its_wall_turns_away(eye):
    """Two lines, a diameter apart, square to the eye's way across: within 1e-9."""
    seen = seen_of({"drum": body_of(drum(220.0, 310.0))}, {}, eye)
    outlines = edges(seen, kind="outline")
    xs = sorted(line.points[0][0] for line in outlines)

    assert len(outlines) == 2
    assert xs == pytest.approx([-110.0, 110.0], abs=1e-9)
    assert all(abs(a[0] - b[0]) < 1e-9 for a, b in (line.points for line in outlines))


def test_a_drum_seen_along_its_axis_has_no_outline_but_its_rims():
    seen = seen_of({"drum": body_of(drum(220.0, 310.0))}, {}, (0.0, 0.0, 1.0))

    assert edges(seen, kind="outline") == []
    assert sum(run(line) for line in edges(seen)) == pytest.approx(math.pi * 220.0, rel=2e-3)


def test_a_steep_hood_from_above_shows_its_whole_wall():
    """Looked at within its half angle of the axis, no generatrix is edge-on (closed form)."""
    from foldwright.plan import Hood
    from zoo import _common, length

    hood = Hood(
        **_common("hood", a=300.0, b=100.0, h=100.0),
        bottom_d=length("a"),
        top_d=length("b"),
        height=length("h"),
    )
    body = body_of(hood)

    # the wall leans 45 degrees: from 60 above the horizon all of it looks up at the eye
    assert edges(seen_of({"h": body}, {}, eye_at(60.0)), kind="outline") == []
    assert len(edges(seen_of({"h": body}, {}, eye_at(30.0)), kind="outline")) == 2


def eye_at(elevation_deg):
    angle = math.radians(elevation_deg)
    return (0.0, -math.cos(angle), math.sin(angle))


def test_one_looks_through_a_hole():
    """A window in the front of a box shows what stands inside it."""
    corners = ((20.0, 20.0), (20.0, 120.0), (120.0, 120.0), (120.0, 20.0))
    window = FaceCut("front", tuple(Step(c) for c in corners), "window", (70.0, 70.0))
    bodies = {
        "shell": body_of(FOLDED["cube"], [window]),
        "inside": body_of(box(40.0, 40.0, 40.0)),
    }
    frames = {"inside": at(50.0, 60.0, 50.0)}
    seen = seen_of(bodies, frames, (0.0, -1.0, 0.0))

    assert sum(run(line) for line in edges(seen, "inside")) == pytest.approx(4 * 40.0)
    assert sum(a.polygon.area for a in seen.areas if a.part == "inside") == pytest.approx(1600.0)


def test_an_open_box_shows_its_inside_dark():
    seen = seen_of({"box": body_of(FOLDED["open_box"])}, {}, (0.5, -1.0, 1.0))
    dark = [a for a in seen.areas if not a.is_lit and a.face in ("back", "left")]

    assert {a.face for a in dark} == {"back", "left"}
    assert edges(seen, kind="inner")


def test_made_is_ink_and_not_made_is_pencil():
    bodies = {"a": body_of(FOLDED["cube"]), "b": body_of(drum())}
    drawn = picture_of(bodies, {"b": at(300.0)}, 150.0, 100.0, made=frozenset({"a"}))
    groups = {item.name: item for item in drawn.items if isinstance(item, Group)}

    def pens(name):
        return {item.pen.name for item in groups[name].items if isinstance(item, Stroke)}

    assert pens("a") == {EDGE.name}
    assert pens("b") == {PENCIL.name}
    assert {item.shade for item in groups["a wash"].items} == {"wash", "shade"}
    assert "b wash" not in groups
    assert any(isinstance(item, Area) for item in groups["a"].items)  # swelling edges
    assert not any(isinstance(item, Area) for item in groups["b"].items)


def test_pencil_lines_overrun_their_corners():
    """A cube's three seen faces in pencil: nine lines, each longer than its edge."""
    bodies = {"a": body_of(FOLDED["cube"])}
    inked = picture_of(bodies, {}, 100.0, 100.0)
    pencilled = picture_of(bodies, {}, 100.0, 100.0, made=frozenset())

    def lengths(drawn):
        strokes = [s for s in drawn.items[-1].items if isinstance(s, Stroke)]
        return sorted(math.dist(s.path[0].a, s.path[-1].b) for s in strokes)

    assert len(lengths(pencilled)) == 9
    assert all(1.0 < b - a < 3.0 for a, b in zip(lengths(inked), lengths(pencilled), strict=True))


def test_heavy_edges_lie_away_from_the_light():
    """A box from front, right and above: light comes from the upper left."""
    seen = seen_of({"box": body_of(box(200.0, 150.0, 120.0))}, {}, EYE)
    heavy = {frozenset(line.faces): max(line.heavy) for line in edges(seen)}

    assert heavy[frozenset({"front", "bottom"})] > 0.5
    assert heavy[frozenset({"right", "back"})] > 0.5
    assert heavy[frozenset({"front", "right"})] > 0.5  # from light into shade
    assert heavy[frozenset({"front", "left"})] == 0.0
    assert heavy[frozenset({"top", "back"})] == 0.0
    assert heavy[frozenset({"front", "top"})] == 0.0


def test_a_picture_keeps_to_its_room():
    bodies = {name: body_of(part) for name, part in ZOO.items()}
    rng = random.Random(1)
    frames = {n: at(rng.uniform(0, 900), rng.uniform(0, 900), rng.uniform(0, 400)) for n in bodies}
    drawn = picture_of(bodies, frames, 178.0, 120.0, names={n: (n, "as drawn") for n in bodies})

    for x, y in points(drawn.items):
        assert 0.0 <= x <= 178.0
        assert 0.0 <= y <= 120.0


def test_a_picture_is_dimensioned_over_all_three_ways():
    """Two boxes of 100 by 60 by 40, one 50 to the right of the other and 10 above it."""
    body = body_of(box(100.0, 60.0, 40.0))
    frames = {"a": at(0.0, 0.0, 0.0), "b": at(50.0, 0.0, 10.0)}
    names = {n: (n, "as drawn") for n in frames}
    drawn = picture_of(dict.fromkeys(frames, body), frames, 178.0, 120.0, names=names, sized=INFO)
    plain = picture_of(dict.fromkeys(frames, body), frames, 178.0, 120.0, names=names)
    said = [item.text for item in drawn.items if isinstance(item, Words)]

    assert [text for text in said if text[0].isdigit()] == ["150.0", "60.0", "50.0"]
    assert not any(isinstance(i, Words) and i.text[0].isdigit() for i in plain.items)
    for x, y in points(drawn.items):
        assert 0.0 <= x <= 178.0
        assert 0.0 <= y <= 120.0


def points(items):
    for item in items:
        if isinstance(item, Group):
            yield from points(item.items)
        elif isinstance(item, Words):
            yield item.at
        else:
            for segment in item.path:
                yield from (segment.a, segment.b)


def test_letters_are_ringed_on_their_edges():
    body = body_of(box(200.0, 150.0, 120.0))
    letters = [("A", ("front", "right")), ("B", ("back", "left"))]
    drawn = picture_of({"box": body}, {}, 100.0, 100.0, letters=letters)
    words = [item.text for item in drawn.items if isinstance(item, Words)]

    assert words == ["A"]  # the other edge is hidden


def test_a_meet_in_danger_is_ringed_twice_where_it_is():
    """Two rings round the corner of a box, and its words beside the picture."""
    corner = (200.0, 0.0, 120.0)
    drawn = picture_of(
        {"box": body_of(box(200.0, 150.0, 120.0))},
        {},
        150.0,
        100.0,
        names={"box": ("box",)},
        dangers=[Danger(corner, ("lid over box",))],
    )
    (ringed,) = [i for i in drawn.items if isinstance(i, Group) and i.name == "danger 0"]
    words = [item.text for item in drawn.items if isinstance(item, Words)]
    x, y = drawn.at(corner)

    assert len(ringed.items) == 2
    for ring in ringed.items:
        reach = [math.dist(segment.a, (x, y)) for segment in ring.path]

        assert min(reach) > 3.0
        assert max(reach) < 7.5
    assert {"In danger:", "lid over box"} <= set(words)


@pytest.mark.parametrize(
    ("parts", "hidden"), [(("near", "far"), False), (("far",), True), ((), False)]
)
def test_a_ring_behind_another_part_is_dashed_and_said_to_be_hidden(parts, hidden):
    """The middle of a far box lies behind a near one, as the eye looks along y."""
    bodies = {name: body_of(box(200.0, 150.0, 120.0)) for name in ("near", "far")}
    frames = {"near": np.eye(4), "far": np.eye(4)}
    frames["far"][1, 3] = 400.0
    drawn = picture_of(
        bodies, frames, 150.0, 100.0, eye=(0.0, -1.0, 0.0),
        names={"near": ("near",)}, dangers=[Danger((100.0, 475.0, 60.0), ("the far one",), parts)],
    )  # fmt: skip
    (ringed,) = [i for i in drawn.items if isinstance(i, Group) and i.name == "danger 0"]
    words = [item.text for item in drawn.items if isinstance(item, Words)]

    assert all(bool(ring.pen.dashes) == hidden for ring in ringed.items)
    assert ("In danger, hidden:" in words) == hidden


@given(
    st.lists(
        st.tuples(st.floats(60.0, 140.0), st.floats(10.0, 190.0)),
        min_size=1,
        max_size=24,
        unique_by=lambda p: (round(p[0]), round(p[1])),
    )
)
def test_leaders_cross_neither_one_another_nor_names(dots):
    further = ("as drawn",), ("in danger", "0.10 expected", "0.50 wanted")
    names = [Name(f"part {i}", (f"part {i}", *further[i % 5 == 0])) for i in range(len(dots))]
    where = {f"part {i}": dot for i, dot in enumerate(dots)}
    found = set_names(names, where, Box(60.0, 10.0, 140.0, 190.0), Box(0.0, 0.0, 200.0, 260.0))
    items = [item for name in found for item in (*name.leader, *name.words)]
    lines = [(seg.a, seg.b) for item in items if isinstance(item, Stroke) for seg in item.path]
    rows = sorted((w.at[0] > 100.0, w.at[1]) for w in items if isinstance(w, Words))

    assert len(rows) == sum(len(name.rows) for name in names)
    assert all(0.0 <= low <= 260.0 for _, low in rows)
    for (a, b), (c, d) in itertools.combinations(lines, 2):
        assert not properly_cross(a, b, c, d)
    for (side, low), (other, high) in itertools.pairwise(rows):
        assert side != other or high - low > 3.0


def properly_cross(a, b, c, d):
    def side(p, q, r):
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < -1e-6 and side(c, d, a) * side(c, d, b) < -1e-6


def test_the_first_side_named_is_looked_at_most_squarely():
    assert eye_of(["front", "left", "right", "above"])[0] < 0.0
    x, y, z = eye_of(["right", "front", "below"])

    assert x > -y > 0.0 > z


@pytest.mark.parametrize("sides", [["front"], ["left"], ["front", "left"], ["back", "right"]])
def test_a_picture_that_asks_for_no_height_is_seen_from_a_little_above(sides):
    """Level, it would show no depth; what is asked for is still looked at most squarely."""
    x, y, z = eye_of(sides)

    assert 0.05 < z / math.hypot(x, y) < 0.3
