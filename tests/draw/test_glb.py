"""The 3-D scene, read back by a reader of its own.

Khronos Group, glTF 2.0 Specification (ISO/IEC 12113:2022): 4.4 for the
container, 3.6 for accessors, 3.4 for axes and units. The rules cited beside the
checks are from memory of that document.
"""

import json
import math
import struct

import numpy as np
import pytest

from foldwright.draw.glb import scene_glb
from foldwright.shape import Body, body_of
from zoo import ZOO, box, drum

COMPONENTS = {5126: ("<f4", 4), 5125: ("<u4", 4)}
WIDTHS = {"VEC3": 3, "SCALAR": 1}


def read(data):
    """Header, JSON and numbers of a file, by the container's rules."""
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    chunks, place = [], 12
    while place < len(data):
        size, kind = struct.unpack_from("<I4s", data, place)
        assert size % 4 == 0
        chunks.append((kind, data[place + 8 : place + 8 + size]))
        place += 8 + size
    assert place == len(data)
    assert chunks[0][0] == b"JSON"
    assert [kind for kind, _ in chunks[1:]] in ([], [b"BIN\0"])
    return json.loads(chunks[0][1]), chunks[1][1] if chunks[1:] else b""


def array(content, data, number):
    accessor = content["accessors"][number]
    view = content["bufferViews"][accessor["bufferView"]]
    kind, size = COMPONENTS[accessor["componentType"]]
    width = WIDTHS[accessor["type"]]
    assert view["byteOffset"] % 4 == 0
    assert view["byteLength"] == accessor["count"] * width * size
    assert view["byteOffset"] + view["byteLength"] <= content["buffers"][0]["byteLength"]
    return np.frombuffer(data, kind, accessor["count"] * width, view["byteOffset"]).reshape(
        -1, width
    )


def primitive(content, data, node):
    (found,) = content["meshes"][node["mesh"]]["primitives"]
    points = array(content, data, found["attributes"]["POSITION"])
    index = array(content, data, found["indices"])[:, 0]
    return found, points, index


def scene():
    bodies = {name: body_of(part) for name, part in ZOO.items()}
    rng = np.random.default_rng(3)
    frames = {}
    for name in bodies:
        q, _ = np.linalg.qr(rng.normal(size=(3, 3)))
        frames[name] = np.eye(4)
        frames[name][:3, :3] = q if np.linalg.det(q) > 0 else -q
        frames[name][:3, 3] = rng.uniform(-500.0, 500.0, 3)
    return bodies, frames, scene_glb(bodies, frames)


def test_every_number_of_the_file_is_where_it_says():
    _, _, out = scene()
    content, data = read(out)
    limited = 0
    for number, accessor in enumerate(content["accessors"]):
        values = array(content, data, number)
        if "min" in accessor:
            limited += 1
            assert values.min(axis=0).tolist() == accessor["min"]
            assert values.max(axis=0).tolist() == accessor["max"]
    for node in content["nodes"]:
        found, points, index = primitive(content, data, node)
        # POSITION must have its limits, indices must be of points there are
        assert {"min", "max"} <= set(content["accessors"][found["attributes"]["POSITION"]])
        assert index.max() < len(points)
        assert len(index) % {4: 3, 1: 2}[found["mode"]] == 0
        assert content["materials"][found["material"]]["doubleSided"] is True
    assert content["asset"]["version"] == "2.0"
    assert (
        content["buffers"][0]["byteLength"] <= len(data) < content["buffers"][0]["byteLength"] + 4
    )
    assert limited > 0


def test_areas_are_those_of_the_parts_in_square_metres():
    """Float32 keeps seven figures."""
    bodies, _, out = scene()
    content, data = read(out)
    for number in content["scenes"][0]["nodes"]:
        node = content["nodes"][number]
        _, points, index = primitive(content, data, node)
        a, b, c = (points[index[i::3]].astype(float) for i in range(3))
        area = np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2.0

        assert area * 1e6 == pytest.approx(bodies[node["name"]].area, rel=1e-5)


def test_normals_are_unit_and_look_out_of_their_triangles():
    _, _, out = scene()
    content, data = read(out)
    for number in content["scenes"][0]["nodes"]:
        found, points, index = primitive(content, data, content["nodes"][number])
        normals = array(content, data, found["attributes"]["NORMAL"])
        a, b, c = (points[index[i::3]].astype(float) for i in range(3))
        across = np.cross(b - a, c - a)
        size = np.linalg.norm(across, axis=1)
        broad = size > 1e-9

        assert np.linalg.norm(normals, axis=1) == pytest.approx(1.0, abs=1e-6)
        assert ((across * normals[index[::3]]).sum(axis=1)[broad] > 0.99 * size[broad]).all()


def test_matrices_stand_parts_in_a_world_whose_y_is_up():
    """A point of the build (x right, y back, z up) in mm comes to (x, z, -y) in metres."""
    bodies, frames, out = scene()
    content, data = read(out)
    for number in content["scenes"][0]["nodes"]:
        node = content["nodes"][number]
        matrix = np.array(node["matrix"]).reshape(4, 4).T  # column by column
        _, points, _ = primitive(content, data, node)
        world = points @ matrix[:3, :3].T + matrix[:3, 3]
        frame = frames[node["name"]]
        x, y, z = (bodies[node["name"]].points() @ frame[:3, :3].T + frame[:3, 3]).T / 1000.0

        assert np.linalg.det(matrix[:3, :3]) == pytest.approx(1.0)
        assert world.min(axis=0) == pytest.approx([x.min(), z.min(), -y.max()], abs=1e-6)
        assert world.max(axis=0) == pytest.approx([x.max(), z.max(), -y.min()], abs=1e-6)


def test_edges_are_lines_of_the_true_length():
    out = scene_glb({"box": body_of(box(160.0, 220.0, 90.0))}, {})
    content, data = read(out)
    (root,) = (content["nodes"][i] for i in content["scenes"][0]["nodes"])
    (child,) = (content["nodes"][i] for i in root["children"])
    found, points, index = primitive(content, data, child)
    ends = points[index].reshape(-1, 2, 3)

    assert found["mode"] == 1
    assert np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1).sum() == pytest.approx(
        4 * (0.160 + 0.220 + 0.090), rel=1e-6
    )


def test_a_drum_is_round_within_its_chords():
    out = scene_glb({"drum": body_of(drum(220.0, 310.0))}, {})
    content, data = read(out)
    _, points, _ = primitive(content, data, content["nodes"][content["scenes"][0]["nodes"][0]])
    reach = np.hypot(points[:, 0], points[:, 1])

    assert reach.max() == pytest.approx(0.110, abs=1e-6)
    assert math.isclose(np.ptp(points[:, 2]), 0.310, abs_tol=1e-6)


def test_names_are_kept_whatever_they_are():
    name = 'lid "#1" *größer* \u2028 \\ 盖'
    content, _ = read(scene_glb({"lid": body_of(box())}, {}, {"lid": name}))

    assert content["nodes"][content["scenes"][0]["nodes"][0]]["name"] == name


def test_an_empty_build_is_an_empty_scene():
    content, data = read(scene_glb({}, {}))

    assert content["scenes"] == [{}]
    assert data == b""


def test_a_body_with_nothing_on_it_is_a_bare_node():
    content, _ = read(scene_glb({"nothing": Body(())}, {}))

    assert [node["name"] for node in content["nodes"]] == ["nothing"]
    assert "mesh" not in content["nodes"][0]


def test_copies_share_their_meshes():
    """Each part keeps its own node, name and matrix; a mesh may stand in many nodes."""
    body, other = body_of(drum()), body_of(box())
    bodies = {"a": body, "b": body, "c": other}
    frames = {"b": np.array([[1.0, 0, 0, 500], [0, 1, 0, 0], [0, 0, 1, 0], [0, 0, 0, 1]])}
    content, _ = read(scene_glb(bodies, frames))
    nodes = content["nodes"]
    a, b, c = (nodes[i] for i in content["scenes"][0]["nodes"])

    assert [a["name"], b["name"], c["name"]] == ["a", "b", "c"]
    assert a["mesh"] == b["mesh"] != c["mesh"]
    assert nodes[a["children"][0]]["mesh"] == nodes[b["children"][0]]["mesh"]
    assert nodes[b["children"][0]]["name"] == "b, edges"
    assert [b["matrix"][12], a["matrix"][12]] == pytest.approx([0.5, 0.0])
    assert len(content["meshes"]) == 4


def test_a_scene_for_our_viewer_has_the_same_triangles_with_shared_corners():
    bodies, frames, out = scene()
    plain, plain_data = read(out)
    slim, slim_data = read(scene_glb(bodies, frames, with_rounds=True))
    for number, other in zip(slim["scenes"][0]["nodes"], plain["scenes"][0]["nodes"], strict=True):
        found, points, index = primitive(slim, slim_data, slim["nodes"][number])
        _, far_points, far_index = primitive(plain, plain_data, plain["nodes"][other])

        assert "NORMAL" not in found["attributes"]
        # rounded to a ten-thousandth of a millimetre
        assert points[index] == pytest.approx(far_points[far_index], abs=1.1e-7)
        assert len(points) < len(far_points)


def test_what_is_round_is_marked_so_that_a_viewer_can_outline_it():
    """Two facets of one wall share both corners between them; wall and end share none.

    The wall of a drum has as many lines between facets as facets, since it closes.
    """
    content, data = read(scene_glb({"drum": body_of(drum(220.0, 310.0))}, {}, with_rounds=True))
    node = content["nodes"][content["scenes"][0]["nodes"][0]]
    found, points, index = primitive(content, data, node)
    rounds = array(content, data, found["attributes"]["_ROUND"])[:, 0]
    triangles = index.reshape(-1, 3)
    on_wall = (rounds[triangles] == 1.0).all(axis=1)
    sides = [
        tuple(sorted((int(t[i]), int(t[(i + 1) % 3]))))
        for t in triangles[on_wall]
        for i in range(3)
    ]
    upright = {
        side
        for side in sides
        if np.ptp(points[list(side)][:, :2], axis=0) == pytest.approx(0.0, abs=1e-6)
    }

    assert set(rounds) <= {0.0, 1.0, -1.0}
    assert np.hypot(*points[rounds == 1.0][:, :2].T) == pytest.approx(0.11, abs=1e-6)
    assert {sides.count(side) for side in upright} == {2}
    assert len(upright) == on_wall.sum() / 2
    # a corner of the wall belongs to the wall alone
    assert ((rounds[triangles] == 1.0).any(axis=1) == on_wall).all()
