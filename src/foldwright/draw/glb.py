"""The assembled build as a 3-D scene: binary glTF 2.0.

Room: draw. glTF 2.0 is an open standard of the Khronos Group (ISO/IEC
12113:2022): one JSON chunk says what is there, one binary chunk holds the
numbers. Units are metres and y is up, as the standard has it: corners stand in
the part's own frame in metres, and each node's matrix brings it into the
build, turned from z up to y up. One node for each part, with its name: its faces as
triangles and, as a child, its edges as lines. Parts that share a body share its meshes.

A viewer of ours, which draws as a draughtsman does, works out normals and the outlines
of round walls by itself. For it corners are shared and normals left out: the standard has
facets flat then, and a large build goes over the air in a quarter of the bytes.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from foldwright.shape import Body, Surface, Vector

_MAGIC, _VERSION = 0x46546C67, 2  # "glTF"
_JSON, _BIN = 0x4E4F534A, 0x004E4942
_FLOAT, _UNSIGNED = 5126, 5125
_FLAT, _ROUND, _HOLLOW = 0.0, 1.0, -1.0
_ARRAY, _ELEMENTS = 34962, 34963
_LINES, _TRIANGLES = 1, 4
_MM = 0.001

# x right, y back, z up becomes x right, y up, z towards the viewer.
_Y_UP = ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))


@dataclass
class _Scene:
    """The file while it is filled."""

    data: bytearray = field(default_factory=bytearray)
    views: list[dict[str, Any]] = field(default_factory=list)
    accessors: list[dict[str, Any]] = field(default_factory=list)
    meshes: list[dict[str, Any]] = field(default_factory=list)
    nodes: list[dict[str, Any]] = field(default_factory=list)

    def accessor(self, array: Any, kind: str, component: int, target: int) -> int:
        """Append numbers, aligned to four bytes, and return where they are found."""
        start = len(self.data)
        self.data += array.tobytes()
        self.views.append(
            {"buffer": 0, "byteOffset": start, "byteLength": array.nbytes, "target": target}
        )
        found: dict[str, Any] = {
            "bufferView": len(self.views) - 1,
            "componentType": component,
            "count": len(array),
            "type": kind,
        }
        if kind == "VEC3":
            found["min"] = [float(x) for x in array.min(axis=0)]
            found["max"] = [float(x) for x in array.max(axis=0)]
        self.accessors.append(found)
        return len(self.accessors) - 1

    def mesh(
        self, name: str, mode: int, material: int, points: Any, index: Any, **more: int
    ) -> int:
        """Append a mesh of one primitive."""
        attributes = {"POSITION": self.accessor(points, "VEC3", _FLOAT, _ARRAY), **more}
        primitive = {
            "attributes": attributes,
            "indices": self.accessor(index, "SCALAR", _UNSIGNED, _ELEMENTS),
            "mode": mode,
            "material": material,
        }
        self.meshes.append({"name": name, "primitives": [primitive]})
        return len(self.meshes) - 1

    def node(self, **what: Any) -> int:
        """Append a node."""
        self.nodes.append(what)
        return len(self.nodes) - 1


def scene_glb(
    bodies: Mapping[str, Body],
    frames: Mapping[str, Vector],
    names: Mapping[str, str] | None = None,
    *,
    with_rounds: bool = False,
) -> bytes:
    """Every part where it stands, as one binary glTF file.

    Parameters
    ----------
    bodies : Mapping of str to Body
        By part [mm].
    frames : Mapping of str to ndarray, shape (4, 4)
        Motion of each into the build frame; who has none stands at the origin.
    names : Mapping of str to str, optional
        What to call the nodes; the part's own name where it is left out.
    with_rounds : bool
        Without normals, each corner once for each of its surfaces, and with ``_ROUND``
        there: 1 on a round wall seen from outside, -1 on a hollow one, else 0.

    Returns
    -------
    bytes
        The same for the same parts.

    References
    ----------
    Khronos Group, glTF 2.0 Specification, sections 3.4 (units and axes),
    3.6 (buffers and accessors), 3.7.2.1 (attributes of an application begin with an
    underscore), 4.4 (binary layout).
    """
    import numpy as np

    scene = _Scene()
    roots = []
    meshes: dict[int, tuple[int | None, int | None]] = {}
    turn = np.eye(4)
    turn[:3, :3] = _Y_UP
    for part, body in bodies.items():
        frame = frames.get(part)
        motion = turn @ (np.eye(4) if frame is None else frame)
        motion[:3, 3] *= _MM
        name = (names or {}).get(part, part)
        if id(body) not in meshes:
            edges = _edges(scene, f"{name}, edges", body)
            draw = _shared_corners if with_rounds else _faces
            meshes[id(body)] = draw(scene, name, body), edges
        faces, edges = meshes[id(body)]
        # the standard wants matrices column by column
        node: dict[str, Any] = {"name": name, "matrix": [float(x) for x in motion.T.ravel()]}
        if faces is not None:
            node["mesh"] = faces
        if edges is not None:
            node["children"] = [scene.node(name=f"{name}, edges", mesh=edges)]
        roots.append(scene.node(**node))
    return _written(scene, roots)


def _faces(scene: _Scene, name: str, body: Body) -> int | None:
    """Faces with a normal at each corner of each triangle; None if there are none."""
    import numpy as np

    corners, _ = _triangles(body)
    if not len(corners):
        return None
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(across, axis=1)
    normals = np.repeat(across / size[:, None], 3, axis=0)
    points = corners.reshape(-1, 3) * _MM
    index = np.arange(len(points), dtype="<u4")
    normal = scene.accessor(normals.astype("<f4"), "VEC3", _FLOAT, _ARRAY)
    return scene.mesh(name, _TRIANGLES, 0, points.astype("<f4"), index, NORMAL=normal)


def _shared_corners(scene: _Scene, name: str, body: Body) -> int | None:
    """Faces whose triangles share corners within a surface; None if there are none."""
    import numpy as np

    corners, surfaces = _triangles(body)
    if not len(corners):
        return None
    numbers = {id(surface): float(i) for i, surface in enumerate(body.surfaces)}
    owner = np.repeat([numbers[id(surface)] for surface in surfaces], 3)
    # corners of neighbours may differ in their last digits
    kept = np.column_stack([corners.reshape(-1, 3).round(4), owner])
    shared, index = np.unique(kept, axis=0, return_inverse=True)
    senses = np.array(
        [
            _FLAT if s.generator is None else _ROUND if s.generator.sense > 0 else _HOLLOW
            for s in body.surfaces
        ]
    )
    rounds = scene.accessor(
        senses[shared[:, 3].astype(int)].astype("<f4"), "SCALAR", _FLOAT, _ARRAY
    )
    points = (shared[:, :3] * _MM).astype("<f4")
    return scene.mesh(name, _TRIANGLES, 0, points, index.ravel().astype("<u4"), _ROUND=rounds)


def _triangles(body: Body) -> tuple[Any, list[Surface]]:
    """Triangles with an area, shape (n, 3, 3), and the surface of each."""
    import numpy as np

    patches, surfaces = body.patches
    # four corners are two triangles, of which a triangle's second is empty
    corners = patches[:, [0, 1, 2, 0, 2, 3]].reshape(-1, 3, 3)
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    kept = np.flatnonzero(np.linalg.norm(across, axis=1) > 1e-9)
    return corners[kept], [surfaces[i // 2] for i in kept.tolist()]


def _edges(scene: _Scene, name: str, body: Body) -> int | None:
    """Edges as lines; None if there are none."""
    import numpy as np

    points: list[Any] = []
    pairs: list[tuple[int, int]] = []
    count = 0
    for ridge in body.ridges:
        if not ridge.smooth:
            points += ridge.points
            pairs += [(count + i, count + i + 1) for i in range(len(ridge.points) - 1)]
            count += len(ridge.points)
    if not pairs:
        return None
    index = np.array(pairs, dtype="<u4").ravel()
    return scene.mesh(name, _LINES, 1, (np.array(points) * _MM).astype("<f4"), index)


def _material(name: str, shade: float, metallic: float = 0.0) -> dict[str, Any]:
    return {
        "name": name,
        "doubleSided": True,
        "pbrMetallicRoughness": {
            "baseColorFactor": [shade, shade, shade * 0.98, 1.0],
            "metallicFactor": metallic,
            "roughnessFactor": 0.9,
        },
    }


def _written(scene: _Scene, roots: list[int]) -> bytes:
    content: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "Foldwright"},
        "scene": 0,
        "scenes": [{"nodes": roots} if roots else {}],
    }
    if roots:
        content["nodes"] = scene.nodes
    if scene.meshes:
        content |= {
            "meshes": scene.meshes,
            "materials": [_material("board", 0.8), _material("edge", 0.05)],
            "accessors": scene.accessors,
            "bufferViews": scene.views,
            "buffers": [{"byteLength": len(scene.data)}],
        }
    text = json.dumps(content, separators=(",", ":"), ensure_ascii=False).encode()
    # chunks end on four bytes: JSON with spaces, numbers with zeros
    text += b" " * (-len(text) % 4)
    data = bytes(scene.data) + b"\0" * (-len(scene.data) % 4)
    chunks = [(_JSON, text)] + ([(_BIN, data)] if data else [])
    total = 12 + sum(8 + len(chunk) for _, chunk in chunks)
    out = struct.pack("<III", _MAGIC, _VERSION, total)
    for kind, chunk in chunks:
        out += struct.pack("<II", len(chunk), kind) + chunk
    return out
