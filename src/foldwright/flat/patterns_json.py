"""``patterns.json``: the open file format of patterns, written and read.

Room: flat. The schema stands beside this file (``patterns.schema.json``), so
that anyone can check a pattern without this code. Angles are degrees there
and carry the unit in their name; numbers keep their full precision.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from importlib.resources import files
from typing import Any

from foldwright.flat.pattern import (
    Cone,
    Curved,
    Cutout,
    Fold,
    Mark,
    Panel,
    Path,
    Piece,
    Point,
    Seam,
    Step,
)

FORMAT = "foldwright-patterns/1"


def schema() -> dict[str, Any]:
    """Return the JSON Schema of the format."""
    text = files(__package__).joinpath("patterns.schema.json").read_text(encoding="utf-8")
    found: dict[str, Any] = json.loads(text)
    return found


def patterns_to_json(build: str, pieces: Iterable[Piece]) -> str:
    """Write pieces as the text of a ``patterns.json``."""
    return json.dumps(
        {
            "format": FORMAT,
            "unit": "mm",
            "build": build,
            "pieces": [_piece_out(piece) for piece in pieces],
        },
        indent=1,
        ensure_ascii=False,
        allow_nan=False,
    )


def patterns_from_json(text: str) -> tuple[Piece, ...]:
    """Read pieces back from the text of a ``patterns.json``."""
    return tuple(_piece_in(piece) for piece in json.loads(text)["pieces"])


def _piece_out(piece: Piece) -> dict[str, Any]:
    found: dict[str, Any] = {
        "id": piece.id,
        "part": piece.part,
        "stock": piece.stock,
        "thickness": piece.thickness,
        "revision": piece.revision,
        "marked_side": piece.marked_side,
        "outline": _path_out(piece.outline),
        "cutouts": [{"path": _path_out(c.path), "why": c.why} for c in piece.cutouts],
        "panels": [
            {
                "id": p.id,
                "face": p.face,
                "flat": [list(q) for q in p.flat],
                "space": [list(row) for row in p.space],
            }
            | ({"cut_back": list(p.cut_back)} if p.cut_back else {})
            for p in piece.panels
        ],
        "folds": [_fold_out(fold) for fold in piece.folds],
        "seams": [_seam_out(seam) for seam in piece.seams],
        "curved": [_curved_out(curved) for curved in piece.curved],
        "marks": [
            {"kind": m.kind, "at": list(m.at), "diameter": m.d, "why": m.why} for m in piece.marks
        ],
        "proof": {"largest_deviation_mm": piece.deviation},
    }
    if piece.role:
        found["role"] = piece.role
    if piece.grain is not None:
        found["grain_deg"] = math.degrees(piece.grain)
    if piece.spare:
        found["spare_mm"] = piece.spare
    return found


def _path_out(path: Path) -> list[dict[str, Any]]:
    return [
        {"to": list(step.to)}
        if step.centre is None
        else {
            "to": list(step.to),
            "centre": list(step.centre),
            "way": "left" if step.left else "right",
        }
        for step in path
    ]


def _fold_out(fold: Fold) -> dict[str, Any]:
    found: dict[str, Any] = {
        "a": list(fold.a),
        "b": list(fold.b),
        "panels": list(fold.panels),
        "turn_deg": math.degrees(fold.turn),
        "method": fold.method,
        "cut_side": fold.cut_side,
        "zone_width": fold.zone_width,
        "zone": [list(p) for p in fold.zone],
        "web": fold.web,
        "k": fold.k,
        "inner_radius": fold.inner_radius,
        "over_fold_deg": math.degrees(fold.over_fold),
        "corner_loss": fold.corner_loss,
    }
    if fold.cut_side != "none":
        found |= {"cutter_deg": math.degrees(fold.cutter), "floor": fold.floor}
    if math.isfinite(fold.shuts_at):
        found["shuts_at_deg"] = math.degrees(fold.shuts_at)
    return found


def _seam_out(seam: Seam) -> dict[str, Any]:
    found: dict[str, Any] = {
        "a": list(seam.a),
        "b": list(seam.b),
        "panel": seam.panel,
        "kind": seam.kind,
        "bevel_deg": math.degrees(seam.bevel),
        "trim": seam.trim,
        "trim_inside": seam.trim_inside,
        "mate": list(seam.mate),
        "letter": seam.letter,
    }
    if seam.centre is not None:
        found |= {"centre": list(seam.centre), "way": "left" if seam.left else "right"}
    return found


def _curved_out(curved: Curved | Cone) -> dict[str, Any]:
    if isinstance(curved, Cone):
        return {
            "face": curved.face,
            "kind": curved.kind,
            "flat": [list(p) for p in curved.flat],
            "apex": list(curved.apex),
            "axis": list(curved.axis),
            "start": list(curved.start),
            "half_angle_deg": math.degrees(curved.half_angle),
            "flat_apex": list(curved.flat_apex),
            "flat_start_deg": math.degrees(curved.flat_start),
            "offset": curved.offset,
            "sense": curved.sense,
        }
    return {
        "face": curved.face,
        "kind": curved.kind,
        "flat": [list(p) for p in curved.flat],
        "origin": list(curved.origin),
        "axis": list(curved.axis),
        "start": list(curved.start),
        "x0": curved.x0,
        "radius": curved.radius,
        "flat_radius": curved.flat_radius,
        "sense": curved.sense,
    }


def _piece_in(piece: Mapping[str, Any]) -> Piece:
    return Piece(
        id=piece["id"],
        part=piece["part"],
        stock=piece["stock"],
        thickness=piece["thickness"],
        revision=piece["revision"],
        outline=_path_in(piece["outline"]),
        panels=tuple(
            Panel(
                p["id"],
                p["face"],
                _points(p["flat"]),
                tuple(tuple(row) for row in p["space"]),
                tuple(p.get("cut_back", ())),
            )
            for p in piece["panels"]
        ),
        folds=tuple(_fold_in(fold) for fold in piece["folds"]),
        seams=tuple(_seam_in(seam) for seam in piece["seams"]),
        cutouts=tuple(Cutout(_path_in(c["path"]), c["why"]) for c in piece["cutouts"]),
        curved=tuple(_curved_in(curved) for curved in piece["curved"]),
        marks=tuple(
            Mark(m["kind"], _point(m["at"]), m.get("diameter", 0.0), m.get("why", ""))
            for m in piece["marks"]
        ),
        deviation=piece["proof"]["largest_deviation_mm"],
        role=piece.get("role", ""),
        grain=math.radians(piece["grain_deg"]) if "grain_deg" in piece else None,
        spare=piece.get("spare_mm", 0.0),
    )


def _point(p: list[float]) -> Point:
    return p[0], p[1]


def _points(points: list[list[float]]) -> tuple[Point, ...]:
    return tuple(_point(p) for p in points)


def _path_in(path: list[dict[str, Any]]) -> Path:
    return tuple(
        Step(
            _point(step["to"]),
            _point(step["centre"]) if "centre" in step else None,
            step.get("way", "left") == "left",
        )
        for step in path
    )


def _fold_in(fold: Mapping[str, Any]) -> Fold:
    return Fold(
        a=_point(fold["a"]),
        b=_point(fold["b"]),
        panels=(fold["panels"][0], fold["panels"][1]),
        turn=math.radians(fold["turn_deg"]),
        method=fold["method"],
        cut_side=fold["cut_side"],
        zone_width=fold["zone_width"],
        zone=_points(fold["zone"]),
        web=fold["web"],
        k=fold["k"],
        inner_radius=fold["inner_radius"],
        cutter=math.radians(fold.get("cutter_deg", 0.0)),
        floor=fold.get("floor", fold["zone_width"] if fold["cut_side"] != "none" else 0.0),
        shuts_at=math.radians(fold.get("shuts_at_deg", math.inf)),
        over_fold=math.radians(fold.get("over_fold_deg", 0.0)),
        corner_loss=fold.get("corner_loss", 0.0),
    )


def _seam_in(seam: Mapping[str, Any]) -> Seam:
    return Seam(
        a=_point(seam["a"]),
        b=_point(seam["b"]),
        panel=seam["panel"],
        kind=seam["kind"],
        bevel=math.radians(seam.get("bevel_deg", 0.0)),
        trim=seam["trim"],
        trim_inside=seam.get("trim_inside", seam["trim"]),
        mate=(seam["mate"][0], seam["mate"][1]),
        letter=seam.get("letter", ""),
        centre=_point(seam["centre"]) if "centre" in seam else None,
        left=seam.get("way", "left") == "left",
    )


def _curved_in(curved: Mapping[str, Any]) -> Curved | Cone:
    if curved["kind"] == "cone":
        return Cone(
            face=curved["face"],
            flat=_points(curved["flat"]),
            apex=tuple(curved["apex"]),
            axis=tuple(curved["axis"]),
            start=tuple(curved["start"]),
            half_angle=math.radians(curved["half_angle_deg"]),
            flat_apex=_point(curved["flat_apex"]),
            flat_start=math.radians(curved["flat_start_deg"]),
            offset=curved["offset"],
            sense=curved["sense"],
        )
    return Curved(
        face=curved["face"],
        flat=_points(curved["flat"]),
        origin=tuple(curved["origin"]),
        axis=tuple(curved["axis"]),
        start=tuple(curved["start"]),
        x0=curved["x0"],
        radius=curved["radius"],
        flat_radius=curved["flat_radius"],
        sense=curved["sense"],
        kind=curved["kind"],
    )
