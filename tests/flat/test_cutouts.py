"""Cutouts on blanks: they lie in space where the plan has them, whole and apart."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import zoo
from foldwright.errors import CannotMake
from foldwright.flat import pattern_of, patterns_from_json, patterns_to_json, refolded
from foldwright.flat.refold import curled
from foldwright.plan import (
    Block,
    Faceted,
    Feature,
    Finish,
    Layer,
    PlaneCut,
    Rib,
    Strip,
    Taper,
)
from foldwright.shape import (
    FaceCut,
    bare_face_frame,
    bare_face_paths,
    face_cuts,
    face_frame,
    opening,
    path_area,
    path_bounds,
    path_chords,
)

PAINT = Finish("grey", (Layer("primer", 0.08), Layer("paint", 0.06)))
COAT = 0.14


def feature(kind, face, at, **more):
    """A feature; plain numbers become lengths."""
    sizes = ("d", "length", "width", "corner", "pitch_d", "pitch", "row_pitch", "gap", "lip")
    lengths = {name: zoo.length(more.pop(name)) for name in sizes if name in more}
    name = more.pop("name", kind)
    return Feature(kind, name, face, at=(zoo.length(at[0]), zoo.length(at[1])), **lengths, **more)


def pattern(part, *features, **more):
    """Pattern of a part with these features."""
    return pattern_of(replace(part, features=features), zoo.BOARD, zoo.CUTTERS, **more)


def in_space(part, found):
    """Each cutout as it lies when its piece is folded up, shape (n, 3), in order."""
    lying = []
    for piece in found.pieces:
        motions = refolded(piece)
        for cutout in piece.cutouts:
            flat = np.array([(*p, 0.0, 1.0) for p in path_chords(cutout.path)])
            middle = flat[:, :2].mean(axis=0)
            panel = next(p for p in piece.panels if holds(p.flat, middle))
            lying.append(flat @ motions[panel.id][:3].T)
    return lying


def holds(flat, point):
    """Whether a point lies in a polygon."""
    from shapely import Point, Polygon

    return Polygon(flat).contains(Point(point))


def apart(one, other):
    """Largest distance from a point of either set to the other set."""
    between = np.linalg.norm(one[:, None] - other[None], axis=2)
    return max(between.min(axis=0).max(), between.min(axis=1).max())


# --- in space ------------------------------------------------------------------

FACES = ("side_1", "side_2", "side_3", "side_4", "side_5", "side_6", "front", "back")
SLOTS = tuple(
    feature("slot", face, (35.0, 30.0), length=16.0, width=5.0, rotate=0.4, name=f"slot {face}")
    for face in FACES
)


@pytest.mark.parametrize("mirrored", [False, True], ids=["this hand", "other hand"])
@pytest.mark.parametrize("finish", [None, PAINT], ids=["bare", "painted"])
def test_every_slot_folds_up_to_where_its_face_has_it(mirrored, finish):
    part = zoo.profile(zoo.HANDED_CORNERS, finish=finish, mirrored=mirrored)

    found = in_space(part, pattern(part, *SLOTS))

    wanted = [
        np.array([(*p, 0.0, 1.0) for p in path_chords(cut.path)])
        @ bare_face_frame(part, cut.face)[:3].T
        for cut in face_cuts(replace(part, features=SLOTS))
    ]
    assert len(found) == len(FACES)
    assert max(min(apart(w, f) for f in found) for w in wanted) < 1e-6


def test_the_other_hand_has_all_its_slots_reflected():
    part = zoo.profile(zoo.HANDED_CORNERS, finish=PAINT)
    other = replace(part, mirrored=True)

    there = in_space(part, pattern(part, *SLOTS))
    here = in_space(other, pattern(other, *SLOTS))

    for slot in there:
        assert min(apart(slot * [-1.0, 1.0, 1.0], found) for found in here) < 1e-6


def test_cutouts_run_clockwise_with_their_arcs_and_areas():
    found = pattern(zoo.profile(zoo.HANDED_CORNERS), *SLOTS)

    for piece in found.pieces:
        for cutout in piece.cutouts:
            assert path_area(cutout.path) == pytest.approx(-(11.0 * 5.0 + math.pi * 6.25), rel=1e-9)
            assert sum(step.centre is not None for step in cutout.path) == 2


def other_kind(cls, **more):
    """A painted part of 3 mm board."""
    return cls(name="it", stock="board3", thickness=3.0, parameters=(), finish=PAINT, **more)


def square(x0, y0, x1, y1):
    """Corners of an upright rectangle."""
    return tuple(
        (zoo.length(x), zoo.length(y)) for x, y in [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    )


_L = zoo.length
BLOCK = Block(
    at=(_L(0.0), _L(0.0), _L(0.0)),
    size=(_L(300.0), _L(240.0), _L(200.0)),
    faces=("left", "right", "front", "back", "bottom", "top"),
    cuts=(PlaneCut("slope", (_L(150.0), _L(120.0), _L(150.0)), (0.3, -0.2, 1.0)),),
)
SHELL = zoo.box(300.0, 300.0, 200.0, name="shell")
OTHERS = (
    *(
        (
            other_kind(
                Taper,
                lower=square(0.0, 0.0, 300.0, 260.0),
                upper=square(40.0, 50.0, 220.0, 200.0),
                sides=("a", "b", "c", "d"),
                height=zoo.length(180.0),
            ),
            face,
        )
        for face in ("a", "b", "c", "d", "top", "bottom")
    ),
    *((other_kind(Faceted, blocks=(BLOCK,)), face) for face in ("slope", "front", "left")),
    *(
        (
            other_kind(
                Strip,
                length=zoo.length(200.0),
                width=zoo.length(170.0),
                flange=zoo.length(160.0),
                turn=1.2,
            ),
            face,
        )
        for face in ("top", "flange")
    ),
    (
        other_kind(
            Rib,
            of=SHELL,
            station=zoo.length(100.0),
            gap=zoo.length(0.5),
            clip=zoo.length(8.0),
        ),
        "top",
    ),
)


@pytest.mark.parametrize("mirrored", [False, True], ids=["this hand", "other hand"])
@pytest.mark.parametrize(("part", "face"), OTHERS, ids=lambda x: getattr(x, "kind", x))
def test_every_kind_of_board_folds_its_slot_to_where_the_finished_face_has_it(part, face, mirrored):
    """In the plane of the face; the finish stands square to it."""
    (_, (wide, high)) = path_bounds(bare_face_paths(part, face)[0])
    at = (wide / 2.0 + 3.0, high / 2.0 - 2.0)
    slot = feature("slot", face, at, length=16.0, width=5.0, rotate=0.3)
    frame = face_frame(part, face)
    wanted = frame @ [*at, 0.0, 1.0]
    normal = frame[:3, 2]
    hand = np.array([-1.0 if mirrored else 1.0, 1.0, 1.0])
    part = replace(part, mirrored=mirrored)

    (lying,) = in_space(part, pattern(part, slot))

    off = lying.mean(axis=0) * hand - wanted[:3]
    if isinstance(part, Strip):
        off[2] -= COAT  # its frame has the finished top where the bare one is
    assert off - normal * (off @ normal) == pytest.approx(np.zeros(3), abs=1e-6)
    assert -COAT - 1e-6 <= off @ normal <= 1e-6 + (COAT if isinstance(part, Strip) else 0.0)


@given(zoo.random_boxes(), st.data())
def test_a_hole_in_a_random_box_folds_up_to_its_place(part, data):
    faces = [f for f in ("bottom", "top", "front", "back", "left", "right")
             if f not in part.leave_open]  # fmt: skip
    face = data.draw(st.sampled_from(faces))
    w, d, h = (p.value for p in part.parameters)
    across, up = {"bottom": (w, d), "top": (w, d), "front": (w, h), "back": (w, h)}.get(
        face, (d, h)
    )
    at = (across / 2.0, up / 2.0)

    found = in_space(part, pattern(part, feature("hole", face, at, d=0.5)))

    middle = bare_face_frame(part, face) @ np.array([*at, 0.0, 1.0])
    off = np.linalg.norm(found[0] - middle[:3], axis=1)
    assert off == pytest.approx(0.25, abs=1e-6)


def test_a_hole_drilled_in_place_is_only_marked():
    hole = feature("hole", "front", (60.0, 40.0), d=6.5, drilled_in_place=True, name="foot bolt")

    (piece,) = pattern(zoo.box(), hole).pieces

    (mark,) = [m for m in piece.marks if m.kind == "centre"]
    assert piece.cutouts == ()
    assert (mark.d, mark.why) == (pytest.approx(6.5), "foot bolt")


def test_an_opening_is_cut_beside_the_features():
    host = zoo.box()
    through = Feature("opening", "", "top", gap=zoo.length(1.0), through="drum")
    where = np.eye(4)
    where[:3, 3] = (80.0, 110.0, 0.0)
    cut = opening(host, through, zoo.drum(60.0), np.eye(4), where)

    found = pattern(host, feature("hole", "top", (20.0, 20.0), d=5.0), cuts=(cut,))

    (piece,) = found.pieces
    assert [c.why for c in piece.cutouts] == ["hole", "opening for drum"]
    assert path_area(piece.cutouts[1].path) == pytest.approx(-math.pi * 31.0**2, rel=1e-9)


# --- flat parts ----------------------------------------------------------------


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("face", ["top", "bottom"])
def test_both_sides_of_a_plate_are_cut_from_its_top(face, mirrored):
    plate = replace(zoo.SHEETS["notched"], finish=PAINT, mirrored=mirrored)
    one = feature("slot", face, (60.0, 30.0), length=20.0, width=6.0, rotate=0.3)

    (piece,) = pattern(plate, one).pieces

    (cut,) = face_cuts(replace(plate, features=(one,)))
    there = np.array([(*p, 0.0, 1.0) for p in path_chords(cut.path)])
    there = there @ bare_face_frame(plate, face)[:2].T
    here = np.array(path_chords(piece.cutouts[0].path))
    assert apart(there, here) < 1e-9
    assert path_area(piece.cutouts[0].path) < 0.0


def test_a_hole_from_below_is_where_it_looks_from_below():
    """From below, x runs the other way: lower-left is the plate's upper-left corner."""
    (piece,) = pattern(zoo.SHEETS["notched"], feature("hole", "bottom", (60.0, 30.0), d=6.0)).pieces

    low, high = path_bounds(piece.cutouts[0].path)
    assert ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0) == pytest.approx((60.0, 230.0))


def test_a_strip_is_measured_from_its_finished_corner():
    strip = Strip(
        name="strip",
        stock="board3",
        thickness=3.0,
        parameters=(),
        finish=PAINT,
        length=zoo.length(200.0),
        width=zoo.length(40.0),
    )

    (piece,) = pattern(strip, feature("hole", "top", (30.0, 12.0), d=6.0)).pieces

    low, high = path_bounds(piece.cutouts[0].path)
    assert ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0) == pytest.approx((30.0, 12.0))


def test_a_bolt_circle_on_a_ring_is_round_its_middle():
    bolts = feature("bolts", "top", (0.0, 0.0), d=5.0, pitch_d=170.0, count=8)

    (piece,) = pattern(zoo.SHEETS["ring"], bolts).pieces

    assert [c.why for c in piece.cutouts] == ["bore"] + ["bolts"] * 8


# --- walls ---------------------------------------------------------------------


@pytest.mark.parametrize("mirrored", [False, True], ids=["this hand", "other hand"])
def test_a_window_curls_to_its_angles(mirrored):
    drum = replace(zoo.drum(), finish=PAINT, mirrored=mirrored)
    window = feature("window", "wall", (150.0, 100.0), length=80.0, width=50.0)

    (piece,) = pattern(drum, window).pieces

    spots = np.array([curled(piece.curved[0], p) for p in path_chords(piece.cutouts[0].path)])
    angles = np.arctan2(spots[:, 1], spots[:, 0] * (-1.0 if mirrored else 1.0))
    half = (40.0 + COAT) / (110.0 - COAT)
    assert angles.min() == pytest.approx(150.0 / 110.0 - half, abs=1e-9)
    assert angles.max() == pytest.approx(150.0 / 110.0 + half, abs=1e-9)
    assert spots[:, 2].min() == pytest.approx(75.0 - COAT, abs=1e-9)
    assert path_area(piece.cutouts[0].path) < 0.0


def test_a_small_hole_in_a_wall_stays_as_round_as_its_drill():
    (piece,) = pattern(zoo.drum(), feature("hole", "wall", (150.0, 100.0), d=6.0)).pieces

    path = piece.cutouts[0].path
    assert all(step.centre is not None for step in path)
    assert path_area(path) == pytest.approx(-math.pi * 9.0, rel=1e-9)
    low, high = path_bounds(path)
    assert (low[0] + high[0]) / 2.0 == pytest.approx(150.0 * 108.5 / 110.0, rel=1e-9)


def test_a_hole_across_the_seam_of_a_drum_is_refused():
    with pytest.raises(CannotMake, match='Vent in "wall" of drum runs across seam a'):
        pattern(zoo.drum(), feature("hole", "wall", (2.0, 100.0), d=20.0, name="vent"))


# --- refusals and notes ----------------------------------------------------------


def folded_and_cut(found):
    """Sides of the front of a box that are folds, and that are seams."""
    (piece,) = found.pieces
    folds = [f for f in piece.folds if "front" in f.panels]
    return {(set(f.panels) - {"front"}).pop() for f in folds}


SIDES = {
    "bottom": (80.0, 1.0),
    "top": (80.0, 89.0),
    "left": (1.0, 45.0),
    "right": (159.0, 45.0),
}


@pytest.mark.parametrize("side", SIDES)
def test_a_hole_across_a_fold_or_seam_is_refused_by_name(side):
    part = zoo.box()
    folds = folded_and_cut(pattern(part))
    words = f'the fold to "{side}"' if side in folds else "seam [a-z]"

    with pytest.raises(CannotMake, match=f'Vent in "front" of box runs across {words}') as refused:
        pattern(part, feature("hole", "front", SIDES[side], d=8.0, name="vent"))

    assert "Move it" in refused.value.remedy


@pytest.mark.parametrize("side", SIDES)
def test_moving_a_refused_hole_as_far_as_said_mends_it(side):
    part = zoo.box()
    x, y = SIDES[side]
    with pytest.raises(CannotMake) as refused:
        pattern(part, feature("hole", "front", (x, y), d=8.0))
    by = float(refused.value.remedy.split("Move it ")[1].split(" mm")[0])
    toward = {"bottom": (0, 1), "top": (0, -1), "left": (1, 0), "right": (-1, 0)}[side]

    moved = (x + by * toward[0], y + by * toward[1])

    notes = pattern(part, feature("hole", "front", moved, d=8.0)).notes
    assert not [note for note in notes if "Hole" in note]


def test_a_hole_in_the_bevel_of_a_seam_is_refused():
    """A mitred edge is 3 mm narrower inside: 2 mm of the outside skin is no edge to drill at."""
    part = zoo.box()
    folds = folded_and_cut(pattern(part))
    at = {"left": (7.0, 45.0), "right": (153.0, 45.0)}
    side = next(s for s in at if s not in folds)

    with pytest.raises(CannotMake, match="runs across the bevel of seam [a-z]. Move it 4.0 mm"):
        pattern(part, feature("hole", "front", at[side], d=10.0))


def test_a_hole_nearer_than_the_board_is_thick_is_said():
    notes = pattern(
        zoo.SHEETS["notched"], feature("hole", "top", (80.0, 7.0), d=10.0, name="vent")
    ).notes

    assert notes == (
        'Vent in "top" leaves 2.0 mm of board to the edge of its face, '
        "less than the board is thick.",
    )


def test_holes_that_touch_are_refused():
    one = feature("hole", "front", (60.0, 40.0), d=10.0, name="vent")
    other = feature("hole", "front", (70.0, 40.0), d=10.0, name="lamp")

    with pytest.raises(CannotMake, match='Lamp in "front" of box runs into vent'):
        pattern(zoo.box(), one, other)


def test_a_hole_into_the_bore_of_a_ring_is_refused():
    with pytest.raises(CannotMake, match="runs into the bore"):
        pattern(zoo.SHEETS["ring"], feature("hole", "top", (65.0, 0.0), d=12.0))


def test_a_hole_beside_its_face_is_refused():
    with pytest.raises(CannotMake, match="lies beside the face"):
        pattern(zoo.box(), feature("hole", "front", (300.0, 40.0), d=10.0))


def test_a_cut_in_a_face_that_is_not_made_is_refused():
    part = zoo.box(leave_open=("top",))
    cut = FaceCut("top", face_cuts(zoo.box(features=(TOP_HOLE,)))[0].path, "vent", (60.0, 40.0))

    with pytest.raises(CannotMake, match="that face is not made"):
        pattern(part, cuts=(cut,))


TOP_HOLE = feature("hole", "top", (60.0, 40.0), d=10.0)


# --- hatches -------------------------------------------------------------------


def hatch(**more):
    """A hatch in the front."""
    values = {"length": 60.0, "width": 30.0, "corner": 5.0, "gap": 0.5, "lip": 10.0}
    return feature("hatch", "front", (80.0, 45.0), **{"name": "service"} | values | more)


def test_a_hatch_brings_its_lid_and_its_ledge():
    found = pattern(zoo.box(), hatch())

    body, lid, ledge = found.pieces
    assert [p.id for p in found.pieces] == ["box-1", "box-2", "box-3"]
    assert (lid.role, ledge.role) == ("hatch lid, service", "hatch ledge, service")
    assert path_area(lid.outline) == pytest.approx(59.0 * 29.0 - (4.0 - math.pi) * 4.5**2, rel=1e-9)
    assert path_area(body.cutouts[0].path) < 0.0
    assert len(ledge.cutouts) == 1
    assert (lid.stock, lid.thickness) == ("board3", 3.0)


def test_a_hatch_without_a_name_of_its_own_is_a_hatch():
    _, lid, ledge = pattern(zoo.box(), hatch(name="hatch")).pieces

    assert (lid.role, ledge.role) == ("hatch lid", "hatch ledge")


def test_the_grain_of_a_lid_runs_as_that_of_its_face():
    turned = hatch(length=40.0, rotate=math.radians(20.0))

    found = pattern(zoo.box(), turned, grained=frozenset({"board3"}))

    body, lid, _ = found.pieces
    window = np.array([step.to for step in body.cutouts[0].path])
    # The longest side of the window, as it lies on the blank, is the x of the lid.
    sides = window - np.roll(window, 1, axis=0)
    along = sides[np.argmax(np.linalg.norm(sides, axis=1))]
    across = math.atan2(along[1], along[0])
    assert body.grain is not None
    assert lid.grain is not None
    assert math.sin(body.grain - across - lid.grain) == pytest.approx(0.0, abs=1e-9)


def test_a_ledge_without_room_is_refused():
    with pytest.raises(CannotMake, match='Service in "front" of box has no room behind'):
        pattern(zoo.box(), hatch(lip=20.0, width=50.0))


def test_cutouts_marks_and_roles_are_written_and_read_back():
    found = pattern(
        zoo.box(), hatch(), feature("hole", "top", (60.0, 40.0), d=6.0, drilled_in_place=True)
    )

    assert patterns_from_json(patterns_to_json("lamp", found.pieces)) == found.pieces
