"""What parts and build weigh, and where their centre is.

Room: sheet. Start here: `masses`. Board counts by the net area of its blanks
(outline less cutouts); what grooves and drills take away is neglected, and so
are glue and fastenings. Each flat panel is put where it stands in space, half
a thickness below its outside face; a curled wall is integrated round its axis.
Finish and filler go on top by usual figures, spread as the part itself is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foldwright.flat import Cone, Curved, Fold, Panel, Path, Pattern, Piece, Point, Step
from foldwright.plan import AnyPart, Bought, Plug, Stock, Tube
from foldwright.plan.dual import number
from foldwright.shape import Vector
from foldwright.sheet.coats import coated_area_of, coats_mass
from foldwright.sheet.filling import filling, filling_mass, gaps_of
from foldwright.sheet.lumps import PER_MM2, PER_MM3, Lump, together
from foldwright.sheet.outlines import moments, ring_outside
from foldwright.shop import Board

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry


_STRIPS = 96  # of a curled wall
_FINE = 0.01  # mm; chords of a curled wall's arcs

NEGLECTED = (
    "Paint and filler are counted by usual figures; grooves, relief holes, glue and fastenings "
    "are not. Weigh the build before you hang or carry it."
)


@dataclass(frozen=True)
class PartWeight:
    """One part: mass [kg] and centre in its own frame and in the build's [mm]."""

    part: str
    mass: float
    own_centre: tuple[float, float, float]
    centre: tuple[float, float, float]


@dataclass(frozen=True)
class BuildWeight:
    """All parts: mass [kg], centre in the build frame [mm], parts in order."""

    mass: float
    centre: tuple[float, float, float]
    parts: tuple[PartWeight, ...]
    notes: tuple[str, ...] = (NEGLECTED,)


def masses(
    parts: Sequence[AnyPart],
    patterns: Mapping[str, Pattern],
    stocks: Mapping[str, Stock],
    boards: Mapping[str, Board],
    frames: Mapping[str, Vector],
) -> BuildWeight:
    """Weigh every part and the build.

    Parameters
    ----------
    parts : sequence of AnyPart
    patterns : Mapping[str, Pattern]
        By name of part; a bought part needs none.
    stocks : Mapping[str, Stock]
        The rack, by name; gives the section of tubes and bars.
    boards : Mapping[str, Board]
        Material of each stock, in its thickness, by name of the stock.
    frames : Mapping[str, Vector]
        Motion from each part's frame to the build's, shape (4, 4).

    Returns
    -------
    BuildWeight
        Parts that weigh nothing known (no pattern, unknown stock) count 0 kg
        and are named in the notes.
    """
    weighed, unknown = [], []
    for part in parts:
        pattern = patterns.get(part.name)
        mass, own = _weigh(part, pattern, stocks, boards)
        if pattern is not None:
            mass += coats_mass(part, coated_area_of(part, pattern, stocks))
            mass += filling_mass(filling(gaps_of(pattern, boards)))
        if mass <= 0.0:
            unknown.append(part.name)
        frame = frames.get(part.name, np.eye(4))
        weighed.append(PartWeight(part.name, mass, _triple(own), _triple(_moved(frame, own))))
    total = sum(w.mass for w in weighed)
    centre = sum((w.mass * np.array(w.centre) for w in weighed), np.zeros(3))
    notes = [NEGLECTED]
    if unknown:
        notes.append(f"No weight is known of {', '.join(unknown)}.")
    at = _triple(centre / total) if total > 0.0 else (0.0, 0.0, 0.0)
    return BuildWeight(total, at, tuple(weighed), tuple(notes))


def piece_mass(piece: Piece, board: Board) -> float:
    """Mass of one blank [kg]: net area by areal mass."""
    return net_area(piece) * board.areal_mass * PER_MM2


def net_area(piece: Piece) -> float:
    """Area of a blank, less its cutouts [mm2]; arcs exactly."""
    return moments(piece.outline).area + sum(moments(c.path).area for c in piece.cutouts)


def section_area(stock: Stock) -> float:
    """Area that a saw goes through in tube or bar [mm2]; 0 for board."""
    across = stock.across
    bore = max(0.0, across - 2.0 * stock.thickness) if "tube" in stock.form else 0.0
    if stock.form == "board":
        return 0.0
    square = across**2 - bore**2
    return square if stock.form.startswith("square") else math.pi / 4.0 * square


def _weigh(
    part: AnyPart,
    pattern: Pattern | None,
    stocks: Mapping[str, Stock],
    boards: Mapping[str, Board],
) -> tuple[float, Vector]:
    """Mass [kg] and centre in the part's frame [mm]."""
    if isinstance(part, Bought):
        return part.mass, _middle_of_bought(part)
    lumps: list[Lump] = []
    for piece in pattern.pieces if pattern else ():
        board = boards.get(piece.stock)
        if board is not None:
            lumps.append(Lump(piece_mass(piece, board), _centre(piece)))
    for cut in pattern.lengths if pattern else ():
        stock, board = stocks.get(cut.stock), boards.get(cut.stock)
        if stock is not None and board is not None:
            volume = section_area(stock) * cut.length - _bolt_hole(part, cut.length)
            mass = volume * board.face.density.value * PER_MM3
            lumps.append(Lump(mass, np.array([0.0, 0.0, cut.length / 2.0])))
    if isinstance(part, Tube | Plug):
        middle = number(part.length.value(part.values())) / 2.0
        lumps = [Lump(lump.content, np.array([0.0, 0.0, middle])) for lump in lumps]
    return together(lumps)


def _bolt_hole(part: AnyPart, length: float) -> float:
    if not isinstance(part, Plug) or part.bolt_d is None:
        return 0.0
    return math.pi / 4.0 * number(part.bolt_d.value(part.values())) ** 2 * length


def _middle_of_bought(part: Bought) -> Vector:
    def value(name: str) -> float:
        length = getattr(part, name)
        return number(length.value(part.values())) if length is not None else 0.0

    if part.diameter is not None:
        return np.array([0.0, 0.0, value("length") / 2.0])
    return np.array([value("width"), value("depth"), value("height")]) / 2.0


def _centre(piece: Piece) -> Vector:
    """Centre of a piece, in its part's frame; not a number if nothing says where it stands."""
    panels = {panel.id: panel for panel in piece.panels}
    cuts = _cutouts_by_region(piece)
    lumps = [_panel_lump(panel, piece, cuts.get(panel.id, [])) for panel in piece.panels]
    lumps += [_fold_lump(fold, panels, piece.thickness) for fold in piece.folds]
    for curved in piece.curved:
        lumps += _wall_lumps(curved, piece, cuts.get(curved.face, []))
    if sum(lump.content for lump in lumps) <= 0.0:
        return np.full(3, np.nan)
    return together(lumps)[1]


def _cutouts_by_region(piece: Piece) -> dict[str, list[Path]]:
    """Cutouts by the panel or wall that their middle is nearest to."""
    import shapely

    regions = [(panel.id, shapely.Polygon(panel.flat)) for panel in piece.panels]
    regions += [(curved.face, shapely.Polygon(curved.flat)) for curved in piece.curved]
    found: dict[str, list[Path]] = {}
    for cutout in piece.cutouts if regions else ():
        middle = shapely.Point(moments(cutout.path).centroid)
        name = min(regions, key=lambda r: r[1].distance(middle))[0]
        found.setdefault(name, []).append(cutout.path)
    return found


def _region(flat: Sequence[Point], piece: Piece) -> Path:
    """Flat region of a face; the true outline where the piece is this one face alone."""
    if len(piece.panels) + len(piece.curved) == 1:
        return piece.outline
    return tuple(Step(point) for point in flat)


def _panel_lump(panel: Panel, piece: Piece, cuts: Sequence[Path]) -> Lump:
    net = moments(_region(panel.flat, piece))
    for cut in cuts:
        net += moments(cut)
    if net.area <= 0.0:
        return Lump(0.0, np.zeros(3))
    x, y = net.centroid
    return Lump(net.area, _in_space(panel, x, y, piece.thickness))


def _in_space(panel: Panel, x: float, y: float, thickness: float) -> Vector:
    """Where a point half a thickness below a panel's outside lies."""
    space = np.array(panel.space, dtype=np.float64)
    return np.asarray(space @ np.array([x, y, -thickness / 2.0, 1.0]), dtype=np.float64)


def _fold_lump(fold: Fold, panels: Mapping[str, Panel], thickness: float) -> Lump:
    """Bend zone, taken half with one panel and half with the other."""
    import shapely

    zone = shapely.Polygon(fold.zone) if len(fold.zone) > 2 else None
    if zone is None or zone.area <= 0.0 or any(name not in panels for name in fold.panels):
        return Lump(0.0, np.zeros(3))
    middle = zone.centroid
    ends = [_in_space(panels[name], middle.x, middle.y, thickness) for name in fold.panels]
    return Lump(float(zone.area), np.asarray((ends[0] + ends[1]) / 2.0, dtype=np.float64))


def _wall_lumps(wall: Curved | Cone, piece: Piece, cuts: Sequence[Path]) -> list[Lump]:
    """Strips of a curled wall along its axis, each at the middle of its thickness."""
    import shapely

    region: BaseGeometry = shapely.Polygon(ring_outside(_region(wall.flat, piece), _FINE))
    for cut in cuts:
        region = region.difference(shapely.Polygon(ring_outside(cut, _FINE)))
    strips = _cone_strips if isinstance(wall, Cone) else _cylinder_strips
    return list(strips(wall, region, piece.thickness))  # type: ignore[arg-type]


def _round(axis: Vector, start: Vector, angle: float) -> Vector:
    """Unit vector at an angle round an axis, from `start`."""
    return np.asarray(
        math.cos(angle) * start + math.sin(angle) * np.cross(axis, start), dtype=np.float64
    )


def _cylinder_strips(wall: Curved, region: BaseGeometry, thickness: float) -> Iterator[Lump]:
    """Strips of a cylinder; an arc of angle d has its centre at sin(d/2)/(d/2) of the radius."""
    import shapely

    origin, axis, start = (np.array(v) for v in (wall.origin, wall.axis, wall.start))
    left, low, right, high = region.bounds
    step = (right - left) / _STRIPS
    middle = wall.radius - wall.sense * thickness / 2.0
    half = step / wall.flat_radius / 2.0
    for i in range(_STRIPS):
        x = left + i * step
        strip = region.intersection(shapely.box(x, low, x + step, high))
        if strip.area > 0.0:
            angle = wall.sense * (strip.centroid.x - wall.x0) / wall.flat_radius
            out = middle * math.sin(half) / half * _round(axis, start, angle)
            yield Lump(float(strip.area), origin + strip.centroid.y * axis + out)


def _cone_strips(wall: Cone, region: BaseGeometry, thickness: float) -> Iterator[Lump]:
    """Wedges of a cone about its flat apex."""
    import shapely

    apex, axis, start = (np.array(v) for v in (wall.apex, wall.axis, wall.start))
    points = shapely.get_coordinates(region) - np.array(wall.flat_apex)
    # Angles are counted on from the wall's middle: a wide one crosses where they wrap.
    centre = np.array(region.centroid.coords[0]) - np.array(wall.flat_apex)
    ahead = math.atan2(centre[1], centre[0]) - wall.flat_start
    middle = wall.flat_start + math.remainder(ahead, math.tau)
    turns = np.arctan2(points[:, 1], points[:, 0]) - middle
    angles = middle + np.mod(turns + math.pi, math.tau) - math.pi
    reach = 2.0 * float(np.hypot(points[:, 0], points[:, 1]).max())
    step = float(np.ptp(angles)) / _STRIPS
    sine, cosine = math.sin(wall.half_angle), math.cos(wall.half_angle)
    # outwards: away from the axis, and back towards the apex
    inset = wall.offset - thickness / 2.0
    flat_half, half = step / 2.0, step / sine / 2.0
    for i in range(_STRIPS):
        low = float(angles.min()) + i * step
        corners = [
            (
                wall.flat_apex[0] + reach * math.cos(a),
                wall.flat_apex[1] + reach * math.sin(a),
            )
            for a in (low, low + step)
        ]
        strip = region.intersection(shapely.Polygon([wall.flat_apex, *corners]))
        if strip.area <= 0.0:
            continue
        dx = strip.centroid.x - wall.flat_apex[0]
        dy = strip.centroid.y - wall.flat_apex[1]
        rho = math.hypot(dx, dy) * flat_half / math.sin(flat_half)
        turn = math.remainder(math.atan2(dy, dx) - (low + flat_half), math.tau) + low + flat_half
        angle = wall.sense * (turn - wall.flat_start) / sine
        out = (rho * sine + inset * cosine) * math.sin(half) / half
        along = rho * cosine - inset * sine
        yield Lump(float(strip.area), apex + along * axis + out * _round(axis, start, angle))


def _moved(frame: Vector, point: Vector) -> Vector:
    return np.asarray(frame[:3, :3] @ point + frame[:3, 3], dtype=np.float64)


def _triple(point: Vector) -> tuple[float, float, float]:
    return (float(point[0]), float(point[1]), float(point[2]))
