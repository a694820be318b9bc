"""A second refolder: judges a ``patterns.json`` from nothing but its own text.

It knows the open format and plane geometry, and imports nothing of the program
that wrote the file; what both get wrong in the same way is at least not the
same line of code. Start at `judge`.

Every finding is a distance in mm, so that one number can be compared with one
goal; a breach that has no distance (a panel laid mirrored, a mate that runs
the wrong way) counts as infinite.

A fold carries panel 1 round the centre of its bend. Seen along a -> b, with
panel 0 on the left, the web is what the cut leaves of the board: it lies on
the outside skin if the cut comes from inside. Its concave face looks the way
the fold turns; the bend centre lies `inner_radius` beyond that face.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, Point, Polygon, intersection

from oracle.cones import faults_of_cone, on_cone

type Array = NDArray[np.float64]
type Record = Mapping[str, Any]

# Closer than this two numbers of the file mean the same place [mm].
_SAME = 1e-6
# Seams stop short by the setback where they run into a fold, so on a facet of a few
# millimetres mates along a curl may just miss each other; further apart they are none [mm].
_FAR = 5.0
# Areas are cut out on this grid [mm]: sides that all but coincide can be cut wrongly without.
_GRID = 1e-8
# A step to the side of a line, to ask what lies there [mm].
_ASIDE = 1e-3
# Chords of an arc of an outline; only for questions of inside and outside.
_CHORDS = 720


@dataclass
class Verdict:
    """What was found, each with its distance [mm]."""

    findings: list[tuple[float, str]] = field(default_factory=list)

    def note(self, distance: float, what: str) -> None:
        """Add one finding; not a number counts as infinite."""
        self.findings.append((math.inf if math.isnan(distance) else float(distance), what))

    def insist(self, holds: bool, what: str) -> None:
        """Add a breach that has no distance."""
        if not holds:
            self.note(math.inf, what)

    @property
    def deviation(self) -> float:
        """Largest distance found [mm]."""
        return max((distance for distance, _ in self.findings), default=0.0)

    @property
    def worst(self) -> str:
        """What lies furthest off, in words."""
        return max(self.findings, default=(0.0, "nothing was judged"))[1]


def judge(document: Record) -> Verdict:
    """Fold every piece of a parsed ``patterns.json`` up and say how far off it is."""
    verdict = Verdict()
    pieces = document["pieces"]
    verdict.insist(document["format"] == "foldwright-patterns/1", "unknown format")
    verdict.insist(document["unit"] == "mm", "lengths are not mm")
    verdict.insist(bool(pieces), "there is no piece")
    for piece in pieces:
        _judge_outline(piece, verdict)
        for panel in piece["panels"]:
            _judge_panel(panel, piece["id"], verdict)
        for fold in piece["folds"]:
            _judge_fold(fold, piece, verdict)
        for curved in piece.get("curved", ()):
            if curved["kind"] == "cone":
                for distance, what in faults_of_cone(curved, piece):
                    verdict.note(distance, what)
            else:
                _judge_cylinder(curved, piece, verdict)
        _judge_refolding(piece, verdict)
        _judge_area(piece, verdict)
        for seam in piece["seams"]:
            _judge_seam(seam, piece, verdict)
    _judge_mates(pieces, verdict)
    return verdict


def mould_faces(document: Record) -> dict[tuple[str, str], Array]:
    """Whole outside faces in space, by part and face, corners anticlockwise.

    A panel ends at its bend zones and trims. Each side is moved out to the
    mould line (setback at a fold, trim at a seam, nothing at an open edge) and
    the moved sides are cut with their neighbours; sides where the panel is cut
    back at the end of a fold lie on no edge and are passed over, and so are
    strips that lie on no face of the part.
    """
    found = {}
    for piece in document["pieces"]:
        for panel in piece["panels"]:
            if not panel["face"]:
                continue
            corners = np.array(panel["flat"], dtype=float)
            moved = _move_sides(corners, _to_mould(panel, piece), panel.get("cut_back", ()))
            found[piece["part"], panel["face"]] = _place(_motion(panel), moved, 0.0)
    return found


def outline_area(path: Sequence[Record]) -> float:
    """Area inside a path of lines and arcs [mm2], exact; positive anticlockwise."""
    total = 0.0
    for (x, y), step in _steps(path):
        to_x, to_y = step["to"]
        total += (x * to_y - to_x * y) / 2.0
        if "centre" in step:
            radius, sweep = _arc(np.array([x, y]), step)
            total += radius**2 * (sweep - math.sin(sweep)) / 2.0
    return total


# --- paths -------------------------------------------------------------------


def _steps(path: Sequence[Record]) -> Iterable[tuple[list[float], Record]]:
    return zip([path[-1]["to"], *(step["to"] for step in path[:-1])], path, strict=True)


def _arc(start: Array, step: Record) -> tuple[float, float]:
    """Radius and signed sweep [rad] of an arc."""
    centre = np.array(step["centre"], dtype=float)
    one, two = start - centre, np.array(step["to"], dtype=float) - centre
    sweep = (math.atan2(two[1], two[0]) - math.atan2(one[1], one[0])) % math.tau
    sweep = sweep or math.tau
    return float(np.hypot(*one)), sweep if step["way"] == "left" else sweep - math.tau


def _polygon(path: Sequence[Record]) -> Polygon:
    points: list[Array] = []
    for start, step in _steps(path):
        if "centre" in step:
            centre, here = np.array(step["centre"], dtype=float), np.array(start, dtype=float)
            radius, sweep = _arc(here, step)
            first = math.atan2(*(here - centre)[::-1])
            count = max(2, math.ceil(_CHORDS * abs(sweep) / math.tau))
            points += [
                centre + radius * np.array([math.cos(a), math.sin(a)])
                for a in first + sweep * np.arange(1, count) / count
            ]
        points.append(np.array(step["to"], dtype=float))
    return Polygon(points)


def _right_of(a: Sequence[float], b: Sequence[float]) -> Array:
    """Unit vector to the right of a -> b: out of the material along an outline."""
    along = np.subtract(b, a)
    return np.array([along[1], -along[0]]) / np.hypot(*along)


def _move_sides(corners: Array, out: Sequence[float], dropped: Sequence[int]) -> Array:
    """Corners once each side is moved out by its distance, without some of the sides."""
    following = np.roll(corners, -1, axis=0)
    normals = np.array([_right_of(a, b) for a, b in zip(corners, following, strict=True)])
    reach = (normals * corners).sum(axis=1) + np.array(out)
    kept = [i for i in range(len(corners)) if i not in dropped]
    return np.array(
        [
            np.linalg.solve(normals[[i, j]], reach[[i, j]])
            for i, j in zip([kept[-1], *kept[:-1]], kept, strict=True)
        ]
    )


# --- one piece ---------------------------------------------------------------


def _judge_outline(piece: Record, verdict: Verdict) -> None:
    name = piece["id"]
    shape = _polygon(piece["outline"])
    verdict.insist(shape.is_valid, f"the outline of {name} crosses itself")
    verdict.insist(outline_area(piece["outline"]) > 0.0, f"the outline of {name} runs clockwise")
    for start, step in _steps(piece["outline"]):
        if "centre" in step:
            off = math.dist(start, step["centre"]) - math.dist(step["to"], step["centre"])
            verdict.note(abs(off), f"an arc of {name} misses its end")
    for cutout in piece.get("cutouts", ()):
        hole = _polygon(cutout["path"])
        verdict.insist(outline_area(cutout["path"]) < 0.0, f"a cutout of {name} runs anticlockwise")
        verdict.insist(hole.is_valid and shape.contains(hole), f"a cutout of {name} leaves it")


def _motion(panel: Record) -> Array:
    return np.vstack([np.array(panel["space"], dtype=float), [0.0, 0.0, 0.0, 1.0]])


def _place(motion: Array, flat: Array, z: float) -> Array:
    flat = np.atleast_2d(flat)
    points = np.column_stack([flat, np.full(len(flat), z)])
    return points @ motion[:3, :3].T + motion[:3, 3]


def _judge_panel(panel: Record, piece: str, verdict: Verdict) -> None:
    what = f'panel "{panel["id"]}" of {piece}'
    turn = _motion(panel)[:3, :3]
    verdict.note(float(np.abs(turn @ turn.T - np.eye(3)).max()), f"{what} is stretched in space")
    verdict.note(abs(float(np.linalg.det(turn)) - 1.0), f"{what} is mirrored in space")
    shape = Polygon(panel["flat"])
    verdict.insist(shape.is_valid, f"{what} crosses itself")
    verdict.insist(shape.exterior.is_ccw, f"{what} runs clockwise")


def _panel(piece: Record, name: str) -> Record:
    return next(panel for panel in piece["panels"] if panel["id"] == name)


def _judge_fold(fold: Record, piece: Record, verdict: Verdict) -> None:
    what = f"the fold between {' and '.join(fold['panels'])} of {piece['id']}"
    web, turn = fold["web"], math.radians(abs(fold["turn_deg"]))
    bent = turn * (fold["inner_radius"] + fold["k"] * web)
    verdict.note(abs(bent - fold["zone_width"]), f"{what} needs another zone width")
    verdict.insist(fold["inner_radius"] >= 0.0, f"{what} has no radius")
    verdict.insist(0.0 < fold["k"] < 1.0, f"{what} has its neutral line outside the web")
    if fold["cut_side"] == "none":
        verdict.note(abs(web - piece["thickness"]), f"{what} is not cut, so its web is the board")
    else:
        verdict.insist(0.0 < web < piece["thickness"], f"{what} leaves no web")
    _judge_zone(fold, piece, what, verdict)


def _judge_zone(fold: Record, piece: Record, what: str, verdict: Verdict) -> None:
    zone = np.array(fold["zone"], dtype=float)
    verdict.insist(Polygon(zone).exterior.is_ccw, f"the zone of {what} runs clockwise")
    half, right = fold["zone_width"] / 2.0, _right_of(fold["a"], fold["b"])
    offset = (zone - np.array(fold["a"])) @ right
    verdict.note(float(np.abs(np.abs(offset) - half).max()), f"the zone of {what} is not centred")
    for name, side in zip(fold["panels"], (-1.0, 1.0), strict=True):
        shape = Polygon(_panel(piece, name)["flat"])
        edge = zone[offset * side > 0.0]
        if len(edge) != 2:
            verdict.insist(False, f"the zone of {what} has no edge on {name}")
            continue
        # A groove goes on through an inside skin that stands out at its end.
        past = max((_run_out(s) for s in piece["seams"] if s["panel"] == name), default=0.0)
        past /= _least_sine(shape)  # along the fold, at a corner that is not square
        ends = _side_at(shape, edge)
        for corner in edge:
            away, beyond = _off_side(ends, corner)
            verdict.note(away, f"the zone of {what} lies off the side of panel {name}")
            verdict.note(max(0.0, beyond - past), f"the zone of {what} reaches past panel {name}")
        inner = _middle_of_both(ends, edge) + side * _ASIDE * right
        verdict.insist(shape.contains(Point(inner)), f"panel {name} is not on its side of {what}")


def _least_sine(shape: Polygon) -> float:
    """Sine of the corner of a panel that is furthest from square."""
    corners = np.array(shape.exterior.coords)[:-1]
    along = np.roll(corners, -1, axis=0) - corners
    along /= np.linalg.norm(along, axis=1)[:, None]
    before = np.roll(along, 1, axis=0)
    sines = before[:, 0] * along[:, 1] - before[:, 1] * along[:, 0]
    # A fold's end is a corner of its panel even where the side goes straight on.
    return float(np.abs(sines[np.abs(sines) > _SAME]).min())


def _side_at(shape: Polygon, edge: Array) -> Array:
    """Ends of the side of a panel nearest to an edge, one in line with it first, shape (2, 2)."""
    middle = Point(edge.mean(axis=0))

    def rank(side: Array) -> tuple[bool, float]:
        off = np.abs((edge - side[0]) @ _right_of(*side)).max()
        return bool(off > _SAME), LineString(side).distance(middle)

    corners = np.array(shape.exterior.coords)
    return min((np.array(pair) for pair in itertools.pairwise(corners)), key=rank)


def _off_side(ends: Array, corner: Array) -> tuple[float, float]:
    """Distance of a corner from a side, across and beyond its ends."""
    a, b = ends
    length = np.hypot(*(b - a))
    place = (corner - a) @ (b - a) / length
    return abs((corner - a) @ _right_of(a, b)), max(0.0, -place, place - length)


def _middle_of_both(ends: Array, edge: Array) -> Array:
    """Middle of what a side and an edge along it have in common."""
    a, b = ends
    along = (b - a) / np.hypot(*(b - a))
    places = np.sort((edge - a) @ along)
    low, high = max(0.0, places[0]), min((b - a) @ along, places[1])
    return np.asarray(a + (low + high) / 2.0 * along)


def _bend_centre(fold: Record, thickness: float) -> float:
    """Height z of the bend centre over the outside skin [mm]."""
    web = fold["web"]
    low, high = {
        "inside": (-web, 0.0),
        "outside": (-thickness, web - thickness),
        "none": (-thickness, 0.0),
    }[fold["cut_side"]]
    radius = fold["inner_radius"]
    return low - radius if fold["turn_deg"] > 0.0 else high + radius


def fold_motion(fold: Record, thickness: float) -> Array:
    """Motion (4, 4) of panel 1 while panel 0 stays where it lies.

    The zone is taken out (panel 1 slides back over it), then panel 1 turns
    about the bend centre over the near edge of the zone.
    """
    right = np.append(_right_of(fold["a"], fold["b"]), 0.0)
    up = np.array([0.0, 0.0, 1.0])
    along = np.cross(up, right)
    turn = math.radians(fold["turn_deg"])
    # Rodrigues' formula about a -> b; a positive turn carries right downwards.
    cross = np.array(
        [[0, -along[2], along[1]], [along[2], 0, -along[0]], [-along[1], along[0], 0]], dtype=float
    )
    spin = np.eye(3) + math.sin(turn) * cross + (1.0 - math.cos(turn)) * cross @ cross
    a = np.append(np.array(fold["a"], dtype=float), 0.0)
    neutral = abs(turn) * (fold["inner_radius"] + fold["k"] * fold["web"])
    pivot = a - right * neutral / 2.0 + up * _bend_centre(fold, thickness)
    motion = np.eye(4)
    motion[:3, :3] = spin
    motion[:3, 3] = pivot - spin @ (pivot + right * neutral)
    return motion


def _judge_refolding(piece: Record, verdict: Verdict) -> None:
    if not piece["panels"]:
        return
    root = piece["panels"][0]
    placed = {root["id"]: _motion(root)}
    waiting = [*piece["folds"], *_smooth_joints(piece)]
    while waiting:
        ready = [f for f in waiting if (f["panels"][0] in placed) != (f["panels"][1] in placed)]
        if not ready:
            verdict.insist(False, f"the folds of {piece['id']} make a ring or hang loose")
            return
        fold = ready[0]
        waiting.remove(fold)
        one, two = fold["panels"]
        motion = fold["motion"] if "motion" in fold else fold_motion(fold, piece["thickness"])
        if one in placed:
            placed[two] = placed[one] @ motion
        else:
            placed[one] = placed[two] @ np.linalg.inv(motion)
    for curved in piece.get("curved", ()):
        if curved["face"] not in placed:
            verdict.insist(False, f'curl "{curved["face"]}" of {piece["id"]} hangs loose')
            continue
        off = np.abs(placed[curved["face"]] - _edge_motion(curved))
        reach = max(abs(x) for corner in curved["flat"] for x in corner)
        verdict.note(
            float(off[:3, 3].max() + reach * off[:3, :3].max()),
            f'curl "{curved["face"]}" of {piece["id"]} does not roll to where it belongs',
        )
    for panel in piece["panels"]:
        if panel["id"] not in placed:
            verdict.insist(False, f'panel "{panel["id"]}" of {piece["id"]} hangs loose')
            continue
        corners = np.array(panel["flat"], dtype=float)
        for z in (0.0, -piece["thickness"]):
            off = _place(placed[panel["id"]], corners, z) - _place(_motion(panel), corners, z)
            verdict.note(
                float(np.linalg.norm(off, axis=1).max()),
                f'panel "{panel["id"]}" of {piece["id"]} does not fold to where it belongs',
            )


def _ends_of(curved: Record) -> tuple[float, float]:
    xs = [corner[0] for corner in curved["flat"]]
    return min(xs), max(xs)


def _smooth_joints(piece: Record) -> list[Record]:
    """Joints between what touches along a straight edge of a curl and is not a seam there.

    Like folds, each with its own `motion` of the second when the first is held.
    A curl is known by its edge at least x.
    """
    joints: list[Record] = []
    nodes = {panel["id"]: panel["flat"] for panel in piece["panels"]}
    nodes |= {curved["face"]: curved["flat"] for curved in piece.get("curved", ())}
    for curved in piece.get("curved", ()):
        for far, x in enumerate(_ends_of(curved)):
            seamed = any(
                seam["panel"] == curved["face"]
                and abs(seam["a"][0] - x) + abs(seam["b"][0] - x) < _SAME
                for seam in piece["seams"]
            )
            edge = LineString([(x, y) for _, y in curved["flat"]])
            for name, flat in nodes.items():
                pairs = zip(flat, [*flat[1:], flat[0]], strict=True)
                touches = any(
                    abs(p[0] - x) < _SAME
                    and abs(q[0] - x) < _SAME
                    and edge.intersection(LineString([p, q]).buffer(_SAME)).length > 1.0
                    for p, q in pairs
                )
                side = np.mean([p[0] for p in flat]) > x
                if name == curved["face"] or not touches or seamed or side != bool(far):
                    continue
                if far:
                    motion = _roll(curved)
                    joints.append({"panels": [curved["face"], name], "motion": motion})
                elif name in {panel["id"] for panel in piece["panels"]}:
                    # Of two curls side by side, the far edge of the first tells.
                    joints.append({"panels": [name, curved["face"]], "motion": np.eye(4)})
    return joints


def _roll(curved: Record) -> Array:
    """Motion of what lies past the far edge of a curl, its near edge held.

    Rolls the flat round the axis: a point of the far edge comes to where the
    angle of the developed width takes it.
    """
    low, high = _ends_of(curved)
    angle = curved["sense"] * (high - low) / curved["flat_radius"]
    cos, sin = math.cos(angle), math.sin(angle)
    turn = np.array([[cos, 0.0, sin], [0.0, 1.0, 0.0], [-sin, 0.0, cos]])
    axis = np.array([low, 0.0, -curved["sense"] * curved["radius"]])
    far = np.array([high, 0.0, -curved["sense"] * curved["radius"]])
    motion = np.eye(4)
    motion[:3, :3], motion[:3, 3] = turn, axis - turn @ far
    return motion


def _edge_motion(curved: Record) -> Array:
    """Motion of the flat at the edge at least x of a curl, as its record places it."""
    x = _ends_of(curved)[0]
    spots = _on_cylinder(curved, np.array([[x, 0.0], [x, 1.0]]))
    up = spots[1] - spots[0]
    spoke = spots[0] - np.array(curved["origin"], dtype=float)
    out = curved["sense"] * spoke / np.linalg.norm(spoke)
    motion = np.eye(4)
    motion[:3, :3] = np.column_stack([np.cross(up, out), up, out])
    motion[:3, 3] = spots[0] - x * motion[:3, 0]
    return motion


def _run_out(seam: Record) -> float:
    """How far the inside skin stands out past the outside one [mm]; 0 if it does not."""
    return max(0.0, seam["trim"] - seam.get("trim_inside", seam["trim"]))


def _judge_area(piece: Record, verdict: Verdict) -> None:
    """Panels and zones tile the outline, but for what inside skins stand out."""
    if not piece["folds"]:
        return
    name, shape = piece["id"], _polygon(piece["outline"])
    patches = [Polygon(p["flat"]) for p in piece["panels"]]
    patches += [Polygon(f["zone"]) for f in piece["folds"]]
    patches += [Polygon(c["flat"]) for c in piece.get("curved", ())]
    if any("centre" in step for step in piece["outline"]):
        # Panels have chords for arcs, so only laying over itself can be told.
        for i, one in enumerate(patches):
            for other in patches[:i]:
                lapped = _common(one, other) / math.sqrt(shape.area)
                verdict.note(lapped, f"{name} lies over itself")
        return
    rough = math.sqrt(shape.area)  # an area over a length of the piece is a distance
    for i, one in enumerate(patches):
        verdict.note(_beyond_area(one, shape) / rough, f"{name} has material cut away")
        for other in patches[:i]:
            verdict.note(_common(one, other) / rough, f"{name} lies over itself")
    spare = [
        (LineString([seam["a"], seam["b"]]), _run_out(seam))
        for seam in piece["seams"]
        if _run_out(seam) > 0.0
    ]
    kept = outline_area(piece["outline"]) - sum(patch.area for patch in patches)
    if not spare:
        verdict.note(abs(kept) / rough, f"{name} is not what its panels and zones make up")
        return
    # The ends of a run-out are cut to suit their neighbours, by at most its width.
    oblique = min(_least_sine(Polygon(p["flat"])) for p in piece["panels"])
    most = sum(width * (line.length + 2.0 * width / oblique) for line, width in spare)
    least = sum(width * max(0.0, line.length - 2.0 * width / oblique) for line, width in spare)
    verdict.note(max(0.0, kept - most, least - kept) / rough, f"{name} has odd run-outs")
    rest = shape
    for patch in patches:
        rest = rest.difference(patch.buffer(_SAME, join_style="mitre"))
    # At an oblique corner a run-out reaches further along its neighbour.
    for line, width in spare:
        rest = rest.difference(line.buffer(2.0 * width / oblique + _SAME, cap_style="square"))
    verdict.note(rest.area / rough, f"{name} has material where no face is")


def _common(one: Polygon, other: Polygon) -> float:
    """Area that two patches share [mm2]."""
    return float(intersection(one, other, grid_size=_GRID).area)


def _beyond_area(one: Polygon, other: Polygon) -> float:
    """Area of a patch that lies outside another, by more than the grid may move it [mm2]."""
    return max(0.0, one.area - _common(one, other) - _GRID * one.length)


def _judge_seam(seam: Record, piece: Record, verdict: Verdict) -> None:
    what = f"the seam of {seam['panel']} at {seam['a']} of {piece['id']}"
    _judge_bevel(seam, piece, what, verdict)
    if "centre" in seam:
        _judge_round_seam(seam, piece, what, verdict)
        return
    a, b = np.array(seam["a"], dtype=float), np.array(seam["b"], dtype=float)
    run_out = _run_out(seam)
    if run_out:
        verdict.note(_off_outline(seam, run_out, piece), f"{what} is not on the outline")
        return
    shape = _polygon(piece["outline"])
    first, last = _bare_stretch(a, b, seam, piece)
    verdict.insist(first < last, f"{what} lies under what its neighbours stand out")
    for share in np.linspace(first, last, 5):
        off = shape.exterior.distance(Point(a + share * (b - a)))
        verdict.note(off, f"{what} is not on the outline")
    # Another part of the blank may lie right beyond: one cut then parts both.
    middle = (a + b) / 2.0
    runs_with = shape.contains(Point(middle - _ASIDE * _right_of(a, b)))
    verdict.insist(runs_with, f"{what} does not run with the outline")


def _bare_stretch(a: Array, b: Array, seam: Record, piece: Record) -> tuple[float, float]:
    """Shares of a seam a -> b between which nothing stands out over it.

    A blank is both skins together. Where its outside skin turns in at a
    corner, the inside skin of one side, if it stands out, lies over the start
    of the other; the saw cut of the first lays it bare.
    """
    first, last = 0.0, 1.0
    for other in piece["seams"]:
        out = _run_out(other)
        if other["panel"] != seam["panel"] or other is seam or not out or "centre" in other:
            continue
        right = _right_of(other["a"], other["b"])
        beyond = np.array([a - other["a"], b - other["a"]]) @ right
        if math.dist(other["b"], a) < _SAME and beyond[1] > _SAME:
            first = max(first, out / beyond[1])
        if math.dist(other["a"], b) < _SAME and beyond[0] > _SAME:
            last = min(last, 1.0 - out / beyond[0])
    return first, last


def _off_outline(seam: Record, run_out: float, piece: Record) -> float:
    """How far off the outline a seam is whose inside skin stands out past the outside one [mm].

    A side of the outline has to run along it; at oblique corners that starts
    and ends elsewhere than the seam does on the outside skin.
    """
    a, b = np.array(seam["a"], dtype=float), np.array(seam["b"], dtype=float)
    right, length = _right_of(a, b), float(np.hypot(*(b - a)))
    along = (b - a) / length
    flats = [*piece["panels"], *piece.get("curved", ())]
    flat = next(f["flat"] for f in flats if f.get("id", f["face"]) == seam["panel"])
    reach = run_out / _least_sine(Polygon(flat))
    nearest = math.inf
    for start, step in _steps(piece["outline"]):
        ends = np.array([start, step["to"]]) - a
        low, high = ends @ along
        if low < high and low < length + reach and high > -reach:
            off = float(np.abs(ends @ right - run_out).max())
            nearest = min(nearest, off)
    return nearest


def _judge_round_seam(seam: Record, piece: Record, what: str, verdict: Verdict) -> None:
    """A seam along an arc: one of the outline, or where its outside skin would have one."""
    radius = math.dist(seam["a"], seam["centre"])
    verdict.note(abs(math.dist(seam["b"], seam["centre"]) - radius), f"{what} misses its end")
    cut = radius + (1.0 if seam["way"] == "left" else -1.0) * _run_out(seam)
    nearest = min(
        (
            math.dist(step["centre"], seam["centre"]) + abs(math.dist(start, step["centre"]) - cut)
            for start, step in _steps(piece["outline"])
            if "centre" in step and step["way"] == seam["way"]
        ),
        default=math.inf,
    )
    verdict.note(nearest, f"{what} is not on the outline")


def _judge_bevel(seam: Record, piece: Record, what: str, verdict: Verdict) -> None:
    inside = seam.get("trim_inside", seam["trim"])
    tilt = math.degrees(math.atan2(inside - seam["trim"], piece["thickness"]))
    off = math.radians(abs(tilt - seam.get("bevel_deg", tilt))) * piece["thickness"]
    verdict.note(off, f"the bevel of {what} does not join its two trims")


# --- curled faces ------------------------------------------------------------


def _on_cylinder(curved: Record, points: Array) -> Array:
    axis, start = np.array(curved["axis"], dtype=float), np.array(curved["start"], dtype=float)
    angle = curved["sense"] * (points[:, :1] - curved["x0"]) / curved["flat_radius"]
    spoke = np.cos(angle) * start + np.sin(angle) * np.cross(axis, start)
    return np.asarray(np.array(curved["origin"]) + points[:, 1:] * axis + curved["radius"] * spoke)


def _judge_cylinder(curved: Record, piece: Record, verdict: Verdict) -> None:
    what = f'curled face "{curved["face"]}" of {piece["id"]}'
    axis, start = np.array(curved["axis"], dtype=float), np.array(curved["start"], dtype=float)
    verdict.note(abs(float(axis @ axis) - 1.0), f"the axis of {what} is no unit vector")
    verdict.note(abs(float(start @ start) - 1.0), f"the start of {what} is no unit vector")
    verdict.note(abs(float(axis @ start)), f"the start of {what} leans along the axis")
    # Sense -1: the outside looks towards the axis, so the board lies beyond it.
    verdict.insist(curved["sense"] in (1, -1), f"{what} has no sense")
    middle = curved["radius"] - curved["sense"] * piece["thickness"] / 2.0
    verdict.insist(
        abs(curved["flat_radius"] - middle) < piece["thickness"] / 4.0,
        f"{what} has its neutral line in a skin",
    )
    flat = Polygon(curved["flat"])
    verdict.insist(flat.exterior.is_ccw, f"{what} runs clockwise")
    shape = _polygon(piece["outline"])
    if piece["panels"]:
        # Beside a panel it is not cut; where it is, `_judge_seam` asks for the outline.
        away = _beyond_area(flat, shape) / math.sqrt(shape.area)
        verdict.note(away, f"{what} has material cut away")
        return
    for corner in curved["flat"]:
        verdict.note(shape.exterior.distance(Point(corner)), f"{what} is not cut along its flat")


# --- between pieces ----------------------------------------------------------


def _seam_in_space(seam: Record, piece: Record, out: float, z: float) -> Array:
    """Points along a seam in space once moved out by `out`, on the skin at z."""
    spots = _along_seam(seam, out)
    for curved in piece.get("curved", ()):
        if curved["face"] == seam["panel"]:
            if curved["kind"] == "cone":
                return on_cone(curved, spots)
            skin = {**curved, "radius": curved["radius"] + curved["sense"] * z}
            return _on_cylinder(skin, spots)
    return _place(_motion(_panel(piece, seam["panel"])), spots, z)


def _along_seam(seam: Record, out: float) -> Array:
    a, b = np.array(seam["a"], dtype=float), np.array(seam["b"], dtype=float)
    shares = np.linspace(0.0, 1.0, 5)[:, None]
    if "centre" not in seam:
        return np.asarray(a + shares * (b - a) + out * _right_of(a, b))
    centre = np.array(seam["centre"], dtype=float)
    radius, sweep = _arc(a, {**seam, "to": seam["b"]})
    first = math.atan2(*(a - centre)[::-1])
    radius += math.copysign(out, out * sweep) if out else 0.0
    turned = first + shares * sweep
    return np.asarray(centre + radius * np.hstack([np.cos(turned), np.sin(turned)]))


def _judge_mates(pieces: Sequence[Record], verdict: Verdict) -> None:
    by_id = {piece["id"]: piece for piece in pieces}
    verdict.insist(len(by_id) == len(pieces), "two pieces share one id")
    for piece in pieces:
        for i, seam in enumerate(piece["seams"]):
            what = f"seam {i} of {piece['id']}"
            other = by_id.get(seam["mate"][0])
            if other is None or not 0 <= seam["mate"][1] < len(other["seams"]):
                verdict.insist(False, f"{what} has no mate")
                continue
            mate = other["seams"][seam["mate"][1]]
            verdict.insist(mate["mate"] == [piece["id"], i], f"the mate of {what} has another mate")
            one = _seam_in_space(seam, piece, seam["trim"], 0.0)
            two = _seam_in_space(mate, other, mate["trim"], 0.0)
            verdict.note(_gap(one, two), f"{what} misses its mate")
            if _is_among_straight_sides(seam, piece) and _is_among_straight_sides(mate, other):
                edge, back = _mould_edge(seam, piece), _mould_edge(mate, other)[::-1]
                off = float(np.linalg.norm(edge - back, axis=1).max())
                verdict.note(off, f"{what} lies on another edge than its mate")
            else:
                verdict.insist(_apart(one, two) <= _FAR, f"{what} is far from its mate")
            if seam["kind"] == "mitre":
                verdict.insist(mate["kind"] == "mitre", f"{what} is mitred on one side only")
                if _meets_at_a_corner_of_a_curl(seam, piece) or _meets_at_a_corner_of_a_curl(
                    mate, other
                ):
                    continue  # its inside is no straight line in the flat
                lines = [
                    _seam_in_space(s, p, s["trim"] - s["trim_inside"], -p["thickness"])
                    for s, p in ((seam, piece), (mate, other))
                ]
                verdict.note(_gap(*lines), f"the mitre of {what} stands open inside")


def _meets_at_a_corner_of_a_curl(seam: Record, piece: Record) -> bool:
    is_curl = any(curved["face"] == seam["panel"] for curved in piece.get("curved", ()))
    return is_curl and abs(seam["a"][0] - seam["b"][0]) < _SAME


def _bulge(points: Array) -> float:
    """How far the middle of a run of points stands off the line between its ends."""
    along = (points[-1] - points[0]) / np.linalg.norm(points[-1] - points[0])
    arm = points[len(points) // 2] - points[0]
    return float(np.linalg.norm(arm - (arm @ along) * along))


def _round_gap(one: Array, two: Array) -> float:
    """Distance of points from the circle through others that run the opposite way."""
    a, b, c = two[0], two[2], two[-1]
    normal = np.cross(b - a, c - a)
    # Circumcentre, from the vectors of two chords.
    p, q = b - a, c - a
    centre = a + np.cross((p @ p) * q - (q @ q) * p, normal) / (2.0 * (normal @ normal))
    normal = normal / np.linalg.norm(normal)
    radius = float(np.linalg.norm(a - centre))
    arms = one - centre
    heights = arms @ normal
    across = np.linalg.norm(arms - heights[:, None] * normal, axis=1) - radius
    if np.cross(one[0] - centre, one[2] - centre) @ normal > 0.0:
        return math.inf  # they run the same way
    return float(np.hypot(heights, across).max())


def _gap(one: Array, two: Array) -> float:
    """Distance of two edges that run opposite ways, over their common length."""
    if _bulge(two) > 10.0 * _SAME:
        return _round_gap(one, two)
    one, two = one[[0, -1]], two[[0, -1]]
    along = (one[1] - one[0]) / np.linalg.norm(one[1] - one[0])
    if (two[1] - two[0]) @ along >= 0.0:
        return math.inf  # they run the same way
    low, high = _in_common(one, two)
    other = (two[0] - two[1]) / np.linalg.norm(two[0] - two[1])
    gaps = []
    for place in (low, high):
        point = one[0] + place * along
        across = point - two[1]
        gaps.append(float(np.linalg.norm(across - (across @ other) * other)))
    return max(gaps)


def _in_common(one: Array, two: Array) -> tuple[float, float]:
    """Where on `one`, from its start, its common length with `two` begins and ends [mm].

    If they have none, begins past where it ends: the stretch between them.
    """
    along = one[-1] - one[0]
    length = float(np.linalg.norm(along))
    places = np.sort((two[[0, -1]] - one[0]) @ along / length)
    return max(0.0, float(places[0])), min(length, float(places[1]))


def _apart(one: Array, two: Array) -> float:
    """How far two straight edges miss each other along their line [mm]; 0 for round ones."""
    if _bulge(two) > 10.0 * _SAME:
        return 0.0
    low, high = _in_common(one, two)
    return max(0.0, low - high)


def _is_among_straight_sides(seam: Record, piece: Record) -> bool:
    """Whether a seam is on a panel, of a piece that has no other sides than straight ones."""
    is_flat = any(panel["id"] == seam["panel"] for panel in piece["panels"])
    return is_flat and not any("centre" in step for step in piece["outline"])


def _mould_edge(seam: Record, piece: Record) -> Array:
    """Ends in space of the edge of its face that a seam lies on; not numbers if on none."""
    panel = _panel(piece, seam["panel"])
    corners = np.array(panel["flat"], dtype=float)
    ends = np.array([seam["a"], seam["b"]], dtype=float)
    cut_back = panel.get("cut_back", ())
    sides = zip(corners, np.roll(corners, -1, axis=0), strict=True)
    kept = [side for i, side in enumerate(sides) if i not in cut_back]
    on = [n for n, (a, b) in enumerate(kept) if _lies_along(a, b, ends)]
    if not on:
        return np.full((2, 3), math.nan)
    moved = _move_sides(corners, _to_mould(panel, piece), cut_back)
    return _place(_motion(panel), moved[[on[0], (on[0] + 1) % len(moved)]], 0.0)


def _to_mould(panel: Record, piece: Record) -> list[float]:
    """How far each side of a panel is from its mould line [mm]."""
    corners = np.array(panel["flat"], dtype=float)
    return [
        _side_to_mould(a, b, panel["id"], piece)
        for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True)
    ]


def _side_to_mould(a: Array, b: Array, panel: str, piece: Record) -> float:
    for fold in piece["folds"]:
        if panel in fold["panels"]:
            side = -1.0 if fold["panels"][0] == panel else 1.0
            zone = np.array(fold["zone"], dtype=float)
            offset = (zone - np.array(fold["a"])) @ _right_of(fold["a"], fold["b"])
            if _lies_along(a, b, zone[offset * side > 0.0]):
                far = _beyond(panel, fold, piece)
                if far not in fold["panels"]:
                    return _to_plane(a, b, _panel(piece, panel), _panel(piece, far))
                sign = math.copysign(1.0, fold["turn_deg"])
                half = math.radians(abs(fold["turn_deg"])) / 2.0
                return -sign * _bend_centre(fold, piece["thickness"]) * math.tan(half)
    for seam in piece["seams"]:
        if seam["panel"] == panel:
            ends = np.array([seam["a"], seam["b"]], dtype=float)
            if _lies_along(a, b, ends):
                return float(seam["trim"])
    return 0.0


def _beyond(panel: str, fold: Record, piece: Record) -> str:
    """Face that a fold leads to from a panel, past the strips of a row of kerfs."""
    while True:
        one, two = fold["panels"]
        panel, came = (two if panel == one else one), fold
        if _panel(piece, panel)["face"]:
            return panel
        fold = next(f for f in piece["folds"] if panel in f["panels"] and f is not came)


def _to_plane(a: Array, b: Array, panel: Record, far: Record) -> float:
    """How far the side a -> b of a panel has to move out to reach the plane of another."""
    motion, other = _motion(panel), _motion(far)
    normal = other[:3, 2]
    out = motion[:3, :2] @ _right_of(a, b)
    start = _place(motion, a, 0.0)[0]
    return float(normal @ (other[:3, 3] - start) / (normal @ out))


def _lies_along(a: Array, b: Array, ends: Array) -> bool:
    """Whether the line through `ends` is that of a -> b, and their middle between these."""
    middle = (ends.mean(axis=0) - a) @ (b - a) / ((b - a) @ (b - a))
    return bool(np.abs((ends - a) @ _right_of(a, b)).max() < 10.0 * _SAME and 0.0 <= middle <= 1.0)
