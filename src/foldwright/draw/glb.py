"""The assembled build as a 3-D scene: binary glTF 2.0.

Room: draw. glTF 2.0 is an open standard of the Khronos Group (ISO/IEC
12113:2022): one JSON chunk says what is there, one binary chunk holds the
numbers. Units are metres and y is up, as the standard has it: corners stand in
the part's own frame in metres, and each node's matrix brings it into the
build, turned from z up to y up. One node for each part, with its name: its faces as
triangles and, as a child, its edges as lines.

For a viewer of ours, which draws as a draughtsman does, the lines between facets of
round walls can stand in it too. Each of those is an outline only while one of its
facets faces the eye and the other does not, so that it carries both their normals.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from foldwright.shape import Body, Vector

_MAGIC, _VERSION = 0x46546C67, 2  # "glTF"
_JSON, _BIN = 0x4E4F534A, 0x004E4942
_FLOAT, _UNSIGNED = 5126, 5125
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
    with_outlines: bool = False,
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
    with_outlines : bool
        With a second child for each part that is round: the lines between its facets,
        named with ", outlines", with attributes ``_NORMAL_A`` and ``_NORMAL_B``; and with
        ``_ROUND`` on faces, 1 where they belong to a round wall.

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
    turn = np.eye(4)
    turn[:3, :3] = _Y_UP
    for part, body in bodies.items():
        frame = frames.get(part)
        motion = turn @ (np.eye(4) if frame is None else frame)
        motion[:3, 3] *= _MM
        name = (names or {}).get(part, part)
        # the standard wants matrices column by column
        where = [float(x) for x in motion.T.ravel()]
        children = []
        edges = _edges(scene, name, body)
        if edges is not None:
            children.append(edges)
        outlines = _outlines(scene, name, body) if with_outlines else None
        if outlines is not None:
            children.append(outlines)
        node: dict[str, Any] = {"name": name, "matrix": where}
        faces = _faces(scene, name, body, with_outlines)
        if faces is not None:
            node["mesh"] = faces
        if children:
            node["children"] = children
        roots.append(scene.node(**node))
    return _written(scene, roots)


def _faces(scene: _Scene, name: str, body: Body, with_outlines: bool) -> int | None:
    import numpy as np

    patches, surfaces = body.patches
    # four corners are two triangles, of which a triangle's second is empty
    corners = patches[:, [0, 1, 2, 0, 2, 3]].reshape(-1, 3, 3)
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(across, axis=1)
    kept = size > 1e-9
    if not kept.any():
        return None
    normals = np.repeat(across[kept] / size[kept, None], 3, axis=0)
    points = corners[kept].reshape(-1, 3) * _MM
    index = np.arange(len(points), dtype="<u4")
    normal = scene.accessor(normals.astype("<f4"), "VEC3", _FLOAT, _ARRAY)
    more = {"NORMAL": normal}
    if with_outlines:
        is_round = np.repeat([s.generator is not None for s in surfaces], 2)[kept]
        rounds = np.repeat(is_round, 3).astype("<f4")
        more["_ROUND"] = scene.accessor(rounds, "SCALAR", _FLOAT, _ARRAY)
    return scene.mesh(name, _TRIANGLES, 0, points.astype("<f4"), index, **more)


def _edges(scene: _Scene, name: str, body: Body) -> int | None:
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
    called = f"{name}, edges"
    mesh = scene.mesh(called, _LINES, 1, (np.array(points) * _MM).astype("<f4"), index)
    return scene.node(name=called, mesh=mesh)


def _outlines(scene: _Scene, name: str, body: Body) -> int | None:
    """Lines between the facets of round walls, each with the normals on both of its sides."""
    import numpy as np

    patches, surfaces = body.patches
    known: dict[tuple[Any, ...], Any] = {}
    points: list[Any] = []
    normals: tuple[list[Any], list[Any]] = ([], [])
    for patch, surface in zip(patches, surfaces, strict=True):
        across = np.cross(patch[2] - patch[0], patch[3] - patch[1])
        size = float(np.linalg.norm(across))
        if surface.generator is None or surface.generator.sense < 0 or size < 1e-9:
            continue  # a hollow wall has no outline of its own: something before it hides it
        corners = [tuple(round(float(x), 4) for x in corner) for corner in patch]
        for i, a in enumerate(corners):
            b = corners[(i + 1) % 4]
            side = (surface.face, *sorted((a, b)))
            if a == b:
                continue
            other = known.pop(side, None)
            if other is None:
                known[side] = across / size
            elif float(other @ across) / size < 1.0 - 1e-9:
                points += (a, b)
                for found, normal in zip(normals, (other, across / size), strict=True):
                    found += (normal, normal)
    if not points:
        return None
    first, second = (
        scene.accessor(np.array(found, dtype="<f4"), "VEC3", _FLOAT, _ARRAY) for found in normals
    )
    index = np.arange(len(points), dtype="<u4")
    where = (np.array(points) * _MM).astype("<f4")
    called = f"{name}, outlines"
    more = {"_NORMAL_A": first, "_NORMAL_B": second}
    return scene.node(name=called, mesh=scene.mesh(called, _LINES, 1, where, index, **more))


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
