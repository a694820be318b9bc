"""Random solids and outlines for the zoo: convex polyhedra built straight as `Solid`.

Two ways, both also stretched along x: *points* spread on a sphere, and their
hull (all faces triangles); *planes* that touch a sphere (three faces at every
corner). Sizes are about 200 mm across before they are stretched.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull

from foldwright.shape import Face, Solid

RADIUS = 100.0  # mm


def convex_solid(kind: str, faces: int, seed: int, stretch: float = 1.0) -> Solid:
    """Random convex polyhedron, faces ``face_0`` and so on.

    Parameters
    ----------
    kind : str
        ``"points"``: hull of points on a sphere (an odd `faces` is taken as one
        more, since the faces of such a hull are even in number); ``"planes"``:
        what planes that touch a sphere leave.
    faces : int
        Number of faces, 4 or more.
    seed : int
    stretch : float
        Factor along x.
    """
    random = np.random.default_rng([seed, faces, kind == "planes"])
    if kind == "points":
        points = _on_sphere(random, (faces + 5) // 2)
        loops = [tuple(int(i) for i in loop) for loop in _outward_triangles(points)]
        corners = points * RADIUS
    elif kind == "planes":
        corners, loops = _touching_planes(random, faces)
    else:
        raise ValueError(f'kind is "{kind}"; there are points and planes')
    corners = corners * [stretch, 1.0, 1.0]
    return Solid(
        tuple((float(x), float(y), float(z)) for x, y, z in corners),
        tuple(Face(f"face_{i}", loop) for i, loop in enumerate(loops)),
    )


def _on_sphere(random: np.random.Generator, count: int) -> NDArray[np.float64]:
    """Directions, shape (count, 3), whose hull has the centre well inside."""
    while True:
        found = random.normal(size=(count, 3))
        found /= np.linalg.norm(found, axis=1)[:, None]
        if ConvexHull(found).equations[:, 3].max() < -0.1:
            return found


def _outward_triangles(points: NDArray[np.float64]) -> NDArray[np.int64]:
    """Triangles of the hull of points round the origin, anticlockwise from outside."""
    triangles = ConvexHull(points).simplices.astype(np.int64)
    inward = np.linalg.det(points[triangles]) < 0.0
    triangles[inward] = triangles[inward, ::-1]
    return triangles


def _touching_planes(
    random: np.random.Generator, faces: int
) -> tuple[NDArray[np.float64], list[tuple[int, ...]]]:
    """Corners and loops of what is left inside planes that touch the sphere.

    The hull of the normals is its dual: each triangle stands for the corner of
    three planes, and the triangles round a normal are the loop of its face.
    """
    normals = _on_sphere(random, faces)
    triangles = _outward_triangles(normals)
    corners = np.linalg.solve(normals[triangles], np.full((len(triangles), 3, 1), RADIUS))[..., 0]
    after: list[dict[int, tuple[int, int]]] = [{} for _ in range(faces)]
    for number, triangle in enumerate(triangles.tolist()):
        for at, i in enumerate(triangle):  # turning round normal i, from one neighbour to the next
            after[i][triangle[(at + 1) % 3]] = (number, triangle[(at + 2) % 3])
    loops = []
    for turns in after:
        start = neighbour = next(iter(turns))
        loop: list[int] = []
        while not loop or neighbour != start:
            number, neighbour = turns[neighbour]
            loop.append(number)
        loops.append(tuple(loop))
    return corners, loops
