"""What checks of folded patterns share: the open file, and the solid asked for.

`check` holds a part of flat faces against the refolder that shares no code
with the program, and against its own solid: every face comes out where it
should, and areas, edges and dihedrals read off the pattern are the solid's.
"""

import json
import math

import jsonschema
import numpy as np
from pytest import approx

import zoo
from foldwright.flat import pattern_of, patterns_to_json, schema
from foldwright.shape import solid
from oracle.refolder import judge, mould_faces

# The goal for flat panels and mating seams [mm].
GOAL = 1e-6
# The goal for areas, lengths and dihedrals [-].
CLOSE = 1e-9
ACCEPTS = jsonschema.Draft202012Validator(schema())


def document_of(part, cutters=zoo.CUTTERS, others=(), board=zoo.BOARD):
    """Parsed ``patterns.json`` of one part, accepted by the schema."""
    pattern = pattern_of(part, board, cutters, others=others)
    return parsed(pattern.pieces)


def parsed(pieces):
    """Parsed ``patterns.json`` of some pieces, accepted by the schema."""
    document = json.loads(patterns_to_json("a test build", pieces))
    ACCEPTS.validate(document)
    return document


def check(part, cutters=zoo.CUTTERS, others=(), board=zoo.BOARD):
    """Hold a part against the refolder and against its own solid."""
    hold_against(document_of(part, cutters, others, board), solid(part), part.name)


def hold_against(document, body, name):
    """Hold a document against the solid that it folds into."""
    verdict = judge(document)
    found = {face: corners for (part, face), corners in mould_faces(document).items()}
    made = {face.name: body.corners(face) for face in body.made_faces()}

    assert verdict.deviation < GOAL, verdict.worst
    assert set(found) == set(made), name
    for face, corners in made.items():
        assert corner_error(found[face], corners) < GOAL, face
        assert area(found[face]) == approx(area(corners), rel=CLOSE), face
        assert sides(found[face]) == approx(sides(corners), rel=CLOSE), face
    normals = {
        panel["face"]: np.array(panel["space"])[:, 2]
        for piece in document["pieces"]
        for panel in piece["panels"]
    }
    for edge in body.edges():
        if edge.left in normals and edge.right in normals:
            one, other = normals[edge.left], normals[edge.right]
            met = math.atan2(np.linalg.norm(np.cross(one, other)), float(one @ other))

            assert met == approx(abs(edge.turn), rel=CLOSE, abs=CLOSE), edge


def corner_error(found, asked):
    """Largest distance of corners, which may start anywhere but run the same way round."""
    if len(found) != len(asked):
        return math.inf
    return min(
        float(np.linalg.norm(np.roll(found, i, axis=0) - asked, axis=1).max())
        for i in range(len(asked))
    )


def area(corners):
    """Area of a flat polygon in space [mm2]."""
    corners = corners - corners[0]  # near its own corner, so that no digits are lost
    return float(np.linalg.norm(np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0))) / 2.0


def sides(corners):
    """Lengths of its sides, shortest first [mm]."""
    return sorted(np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1).tolist())
