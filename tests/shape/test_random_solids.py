"""The random polyhedra of the zoo are what they say: closed, convex, flat, of so many faces."""

import math

import numpy as np
import pytest
from pytest import approx

import zoo


@pytest.mark.parametrize("kind", ["points", "planes"])
@pytest.mark.parametrize("faces", [20, 64, 200])
@pytest.mark.parametrize("stretch", [1.0, 4.0])
def test_convex_solid_is_closed_convex_and_flat(kind, faces, stretch):
    """Euler's formula holds, every edge folds outwards, and no corner leaves its face."""
    solid = zoo.convex_solid(kind, faces, seed=7, stretch=stretch)
    edges = solid.edges()
    off = [np.ptp(solid.corners(face) @ solid.normal(face)) for face in solid.faces]

    assert len(solid.faces) == faces
    assert len(solid.vertices) - len(edges) + faces == 2
    assert all(0.0 < edge.dihedral < math.pi for edge in edges)
    assert max(off) == approx(0.0, abs=1e-10)


def test_convex_solid_is_repeatable():
    """The same seed gives the same solid, another seed another."""
    assert zoo.convex_solid("planes", 20, 3) == zoo.convex_solid("planes", 20, 3)
    assert zoo.convex_solid("planes", 20, 3) != zoo.convex_solid("planes", 20, 4)
