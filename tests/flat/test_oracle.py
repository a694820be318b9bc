"""Patterns judged from outside: by the schema, by a second refolder, by the part asked for."""

import json
import math
from dataclasses import replace

import jsonschema
import numpy as np
import pytest
from hypothesis import event, given, reject
from hypothesis import strategies as st
from shapely import Polygon

import zoo
from foldwright.errors import CannotMake
from foldwright.flat import pattern_of, patterns_to_json, schema
from foldwright.plan import Box, Cutter, FoldAt, FoldWish
from foldwright.plan.dual import number
from foldwright.shop import boards
from oracle.refolder import judge, mould_faces, outline_area

# The goal for flat panels and mating seams [mm].
GOAL = 1e-6
ACCEPTS = jsonschema.Draft202012Validator(schema())


def document_of(part, board=zoo.BOARD, cutters=zoo.CUTTERS):
    """Parsed ``patterns.json`` of one part, accepted by the schema."""
    text = patterns_to_json("a test build", pattern_of(part, board, cutters).pieces)
    document = json.loads(text)
    ACCEPTS.validate(document)
    return document


def outline_asked(part):
    """Outside outline that the plan asks for, and its depth, from the formulas alone."""
    values = part.values()
    depth = number(part.depth.value(values))
    if isinstance(part, Box):
        x, z = number(part.width.value(values)), number(part.height.value(values))
        return [(0.0, 0.0), (x, 0.0), (x, z), (0.0, z)], ("bottom", "right", "top", "left"), depth
    corners = [(number(x.value(values)), number(z.value(values))) for x, z in part.outline]
    return corners, part.sides, depth


def faces_asked(part):
    """Corners of every made face in space, anticlockwise seen from outside."""
    corners, sides, depth = outline_asked(part)
    front = np.array([(x, 0.0, z) for x, z in corners])
    back = np.array([(x, depth, z) for x, z in corners])
    faces = {"front": front, "back": back[::-1]}
    for i, name in enumerate(sides):
        j = (i + 1) % len(corners)
        faces[name] = np.array([front[i], back[i], back[j], front[j]])
    return {name: face for name, face in faces.items() if name not in part.leave_open}


def corner_error(found, asked):
    """Largest distance of corners, which may start anywhere but run the same way round."""
    if len(found) != len(asked):
        return math.inf
    return min(
        float(np.linalg.norm(np.roll(found, i, axis=0) - asked, axis=1).max())
        for i in range(len(asked))
    )


def check(part):
    """Hold a part against the refolder and against what was asked for."""
    document = document_of(part)
    verdict = judge(document)
    found, asked = mould_faces(document), faces_asked(part)

    assert verdict.deviation < GOAL, verdict.worst
    assert set(found) == {(part.name, name) for name in asked}
    for name, corners in asked.items():
        assert corner_error(found[part.name, name], corners) < GOAL, name
    check_mould_corners(document, part)


def check_mould_corners(document, part):
    """Cut the outside planes of the panels with one another: corners of the outline asked for."""
    corners, sides, depth = outline_asked(part)
    planes = {}
    for piece in document["pieces"]:
        for panel in piece["panels"]:
            motion = np.array(panel["space"])
            planes[panel["face"]] = motion[:, 2], motion[:, 2] @ motion[:, 3]
    for end, y in (("front", 0.0), ("back", depth)):
        for i, (x, z) in enumerate(corners):
            names = (sides[i - 1], sides[i], end)
            if all(name in planes for name in names):
                normals, reach = zip(*(planes[name] for name in names), strict=True)
                met = np.linalg.solve(np.array(normals), np.array(reach))

                assert np.linalg.norm(met - (x, y, z)) < GOAL, names


@pytest.mark.parametrize("name", zoo.FOLDED)
def test_a_part_of_the_zoo_refolds_to_what_was_asked(name):
    """Re-entrant, sharp, blunt, handed, open, in two pieces."""
    check(zoo.FOLDED[name])


@pytest.mark.parametrize("name", zoo.SHEETS)
def test_a_sheet_of_the_zoo_is_a_sound_pattern(name):
    """Plates lie flat, drums close."""
    verdict = judge(document_of(zoo.SHEETS[name]))

    assert verdict.deviation < GOAL, verdict.worst
    assert verdict.findings


@given(part=zoo.random_boxes())
def test_random_boxes_refold_to_what_was_asked(part):
    """Within 1e-6 mm, by the refolder that shares no code with the program."""
    check(part)


def in_one_piece(part):
    """Pass over a part that no net or no room allows; the program says so and refuses."""
    try:
        pattern_of(part, zoo.BOARD, zoo.CUTTERS)
    except CannotMake as refused:
        said = [
            w for w in ("every way to unfold it overlaps", "no room inside") if w in str(refused)
        ]
        if not said:
            raise
        event(f"refused: {said[0]}")
        reject()
    return part


@given(part=zoo.random_profiles())
def test_random_profiles_refold_to_what_was_asked(part):
    """Turns of 10 to 170 degrees, convex and re-entrant, within 1e-6 mm."""
    check(in_one_piece(part))


@pytest.mark.parametrize("tilt", [1e-8, 1e-6, 1e-5, 3e-5, 1e-4, 1e-3])
def test_a_side_that_is_nearly_level_is_not_taken_for_level(tilt):
    """Two folds whose turns differ by a hair each keep their own."""
    check(zoo.profile([(0, 0), (100, -100 * tilt), (100, 90), (0, 90)], 200.0, name="tilted"))


# --- mirror ------------------------------------------------------------------


def folds_of(document):
    """Pairs of faces that stay joined."""
    return tuple(
        FoldAt(tuple(fold["panels"])) for piece in document["pieces"] for fold in piece["folds"]
    )


def measures(document):
    """Area of each panel by face, of each zone by pair, and of all the blanks [mm2]."""
    found = {}
    # Patches are as large as the hand needs them, whatever the scale.
    own = [piece for piece in document["pieces"] if "role" not in piece]
    for piece in own:
        for panel in piece["panels"]:
            found[panel["face"]] = Polygon(panel["flat"]).area
        for fold in piece["folds"]:
            found["/".join(sorted(fold["panels"]))] = Polygon(fold["zone"]).area
    found["blanks"] = sum(outline_area(piece["outline"]) for piece in own)
    return found


def other_hand(part):
    """The same profile in a looking glass, x to -x."""
    corners, sides, _ = outline_asked(part)
    # Side i runs from corner i on; read backwards it runs from corner i + 1.
    names = [*reversed(sides[:-1]), sides[-1]]
    lengths = tuple((zoo.length(x), zoo.length(z)) for x, z in zoo.mirrored(corners))
    return replace(part, outline=lengths, sides=tuple(names))


@given(part=zoo.random_profiles())
def test_the_other_hand_has_the_areas_of_the_first(part):
    """Folded along the same edges, panels, zones and blanks of the mirror image are as large."""
    document = document_of(in_one_piece(part))
    image = replace(other_hand(part), fold_at=folds_of(document))
    found, mirrored = measures(document), measures(document_of(image))

    assert mirrored == pytest.approx(found, rel=1e-9, abs=1e-6)


def test_a_handed_part_is_not_its_mirror_image():
    """The blank of one hand, laid on that of the other, does not cover it; turned over, it does."""
    first = document_of(zoo.FOLDED["handed"])
    image = replace(other_hand(zoo.FOLDED["handed"]), fold_at=folds_of(first))
    second = document_of(image)
    for face in ("front", "side_2", "side_5"):
        one, two = (shape_in_place(document, face) for document in (first, second))
        flipped = two * (1.0, -1.0)

        assert same_shape(one, flipped[::-1])
    front_one, front_two = (shape_in_place(document, "front") for document in (first, second))

    assert not same_shape(front_one, front_two)


def shape_in_place(document, face):
    """Corners of a panel, free of where it lies on the blank."""
    panels = (panel for piece in document["pieces"] for panel in piece["panels"])
    return np.array(next(panel["flat"] for panel in panels if panel["face"] == face))


def same_shape(one, two):
    """Whether two polygons are equal but for a motion that does not turn them over."""
    ways = []
    for corners in (one, two):
        sides = np.roll(corners, -1, axis=0) - corners
        before = np.roll(sides, 1, axis=0)
        turns = np.arctan2(
            before[:, 0] * sides[:, 1] - before[:, 1] * sides[:, 0], (before * sides).sum(axis=1)
        )
        ways.append(np.column_stack([np.hypot(*sides.T), turns]))
    return any(
        np.allclose(ways[0], np.roll(ways[1], i, axis=0), atol=1e-6) for i in range(len(one))
    )


# --- scale -------------------------------------------------------------------


def scaled(part, factor):
    """The part with every length, the board and the cut scaled."""
    return replace(
        part,
        thickness=factor * part.thickness,
        parameters=tuple(replace(p, value=factor * p.value) for p in part.parameters),
        outline=tuple(
            (zoo.length(factor * number(x.value({}))), zoo.length(factor * number(z.value({}))))
            for x, z in part.outline
        ),
        fold=replace(
            part.fold,
            web=None if part.fold.web is None else factor * part.fold.web,
            floor=None if part.fold.floor is None else factor * part.fold.floor,
            radius=None if part.fold.radius is None else factor * part.fold.radius,
        ),
    )


@pytest.mark.parametrize("factor", [0.5, 2.0, 3.7])
def test_a_grooved_part_scales_with_its_board_and_cut(factor):
    """Twice the part of twice the board, grooved twice as deep and wide: four times the blank."""
    fold = FoldWish(method="groove", web=0.8, floor=2.0, cutter=math.radians(90))
    part = replace(zoo.profile([(0, 0), (260, 0), (260, 70), (90, 240), (0, 180)]), fold=fold)
    board = zoo.BOARD
    large = replace(
        board, thickness=factor * board.thickness, skin_thickness=factor * board.skin_thickness
    )
    cutters = tuple(
        Cutter(c.name, c.angle, factor * c.floor, factor * c.widest) for c in zoo.CUTTERS
    )
    found = measures(document_of(part))
    grown = measures(document_of(scaled(part, factor), large, cutters))

    assert grown == pytest.approx({k: factor**2 * v for k, v in found.items()}, rel=1e-9)


@given(part=zoo.random_profiles(), factor=st.floats(0.5, 4.0))
def test_a_bent_part_scales_with_its_sheet(part, factor):
    """Bends of solid sheet know no length but thickness and radius."""
    part = replace(part, fold=FoldWish(method="bend", radius=0.6, k=0.4), thickness=0.6)
    sheet = boards()["al-5005-H24"]
    try:
        small = document_of(part, sheet.of_thickness(0.6), ())
    except CannotMake:  # a bend has another setback than the grooves that the facets were made for
        reject()
    large_part = replace(scaled(part, factor), fold_at=folds_of(small))
    large = document_of(large_part, sheet.of_thickness(factor * 0.6), ())
    found, grown = measures(small), measures(large)

    assert judge(large).deviation < GOAL
    assert grown == pytest.approx({k: factor**2 * v for k, v in found.items()}, rel=1e-6)


@given(part=zoo.random_boxes())
def test_a_deeper_part_has_the_same_folds(part):
    """Depth changes lengths along y only: every fold keeps its section."""
    document = document_of(part)
    deeper = replace(
        part,
        fold_at=folds_of(document),
        parameters=tuple(
            replace(p, value=p.value + 250.0) if p.name == "depth" else p for p in part.parameters
        ),
    )
    shallow, deep = sections(document), sections(document_of(deeper))

    assert shallow == pytest.approx(deep)


def sections(document):
    """Numbers of each fold's section, by its faces and by what they are."""
    return {
        (*sorted(fold["panels"]), key): fold[key]
        for piece in document["pieces"]
        for fold in piece["folds"]
        for key in ("turn_deg", "zone_width", "inner_radius")
    }
