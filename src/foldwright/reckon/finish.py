"""Reckoners of paint and filler."""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.renaming import asked_as
from foldwright.reckon.sheet_inputs import WIDEST_CUTTER, measured
from foldwright.shop.fillers import (
    FILLER_DENSITIES,
    SANDED_OFF,
    USUAL_FILLER,
    butt_area,
    filler_mass,
    open_fold_area,
    star_volume,
)
from foldwright.shop.finishes import (
    DRY_DENSITY_SPREAD,
    LAYER_SPREAD,
    LOSSES,
    SOLIDS_SPREAD,
    USUAL_DRY_DENSITY,
    USUAL_SOLIDS,
    USUAL_TIN,
    USUAL_WAY,
    build_of,
    coat_mass,
    coated_area,
    covers,
    paint_for,
    tins,
    wet_film,
)
from foldwright.shop.grooves import cut_section, web_of
from foldwright.shop.materials import Board
from foldwright.shop.physical import require_above_zero, require_between, require_whole
from foldwright.shop.sections import FoldRequest, SetUp

_GROUP = "Finish and heat"
_CM3 = 1e-3  # cm3 in a mm3
_M2 = 1e-6  # m2 in a mm2
_PAINTING = (
    "Paint fumes: open air or the mask that its sheet asks for, gloves, no flame and no spark; "
    "sprayed isocyanates only with supplied air and by those who are trained. Local rules come "
    "first."
)
_SANDING = (
    "Filler fumes and sanding dust: gloves, air, a dust mask, and take the dust off where it is "
    "made. Hardener burns eyes."
)


def _paint(
    area: float,
    layers: tuple[float, ...],
    solids: float,
    way: str,
    thinner: float,
    lands: float,
    tin: float,
    dry_density: float,
) -> Answer:
    require_above_zero(area, "the area", name="area", unit="m2")
    require_between(lands, 0.0, math.inf, "the area of the lands", name="lands", unit="m2")
    if lands > 0.0:
        # one land of that area; the room below wants length and width
        with asked_as(length="lands"):
            coated = coated_area(area / _M2, [(lands / _M2, 1.0)]) * _M2
    else:
        coated = area
    with asked_as(build="layers"):
        build = build_of(layers)
        thickest = max(layers)
        volume = paint_for(coated, build.thickness, solids, LOSSES[way])
        number = tins(volume, tin * _CM3)
        wet = wet_film(thickest, solids, thinner)
        mass = coat_mass(coated, build.thickness, dry_density)
        spread_by_litre = covers(build.thickness, solids)
    return Answer(
        (
            Line("paint", "paint, as it is in the tin", volume, "l", 2),
            Line("tins", f"tins of {tin * _CM3:g} l", number),
            Line(
                "covers", "a litre would cover, all coats, nothing lost", spread_by_litre, "m2", 1
            ),
            Line("wet", "wet film of the thickest coat", wet, "mm", 3),
            Line("build", "build on one face", build.thickness, "mm", 2),
            Line("uneven", "it varies over a face by", build.spread, "mm", 2),
            Line("growth", "a size over two coated faces grows by", 2.0 * build.thickness, "mm", 2),
            Line("mass", "the dry paint weighs", mass, "kg", 2),
        ),
        steps=(
            "Mask the glue lands before the first coat, and mark them on the drawing.",
            f"Lay {len(layers)} coat{'s' * (len(layers) > 1)}; a comb gauge reads "
            f"{wet:.2f} mm wet in the thickest.",
        ),
        remarks=(f"{LOSSES[way]:.0%} is reckoned lost by {way}; yours may differ by half.",),
    )


def _filler(
    gap: str,
    board: Board,
    thickness: float | None,
    length: float | None,
    turn: float | None,
    web: float | None,
    floor: float,
    cutter: float,
    width: float | None,
    count: float,
    filler: str,
) -> Answer:
    board = board if thickness is None else measured(board, thickness)
    require_above_zero(board.thickness, "the board's thickness", name="thickness")
    number = require_whole(count, 1, "the number of gaps", name="count")
    if gap == "corner":
        each = star_volume(_given(width, "width", gap), board.thickness)
    else:
        along = _given(length, "length", gap)
        require_above_zero(along, "the length", name="length")
        turned = _given(turn, "turn", gap)
        with asked_as(dihedral="turn", mate_thickness="thickness"):
            each = along * (
                butt_area(board.thickness, board.thickness, math.pi - turned)
                if gap == "butt"
                else _open_area(board, turned, web, floor, cutter)
            )
    volume = number * each
    mass = filler_mass(volume, FILLER_DENSITIES[filler])
    mixed = 1.0 + SANDED_OFF
    lines = [
        Line("volume", "filler that stays", volume * _CM3, "cm3", 1),
        Line("mass", "it weighs", mass, "kg", 3),
        Line("mix", "mix, with what is sanded off", mixed * volume * _CM3, "cm3", 1),
        Line("mix_mass", "that weighs", mixed * mass, "kg", 3),
    ]
    if gap != "corner" and length:
        lines.append(Line("area", "area of the V", each / length, "mm2", 2))
    return Answer(
        tuple(lines),
        remarks=("Filler shrinks: fill a little proud, in layers of 3 mm at most.",),
    )


def _open_area(board: Board, turn: float, web: float | None, floor: float, cutter: float) -> float:
    require_above_zero(turn, "the turn", name="turn")
    require_between(cutter, 0.0, WIDEST_CUTTER, "the cutter", name="cutter", unit="deg")
    left = web_of(board, FoldRequest(web=web))
    set_up = SetUp("", cutter, floor, floor)
    section = cut_section(board, turn, "open", left, floor, set_up, None)
    if section.inner_radius < 0.0:
        raise OutOfDomain(
            f"A {floor:g} mm floor is too narrow for that turn, the web needs "
            f"{section.k * left * turn:.1f} mm. Cut a wider floor.",
            name="floor",
        )
    return open_fold_area(section, board.thickness)


def _given(value: float | None, name: str, gap: str) -> float:
    if value is None:
        raise OutOfDomain(f"For a {gap}, {name} is needed. Add {name}=.", name=name)
    return value


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="paint",
        group=_GROUP,
        title="Paint for a part: how much, how many tins, how thick it builds and what it weighs",
        inputs=(
            Input("area", "of all faces that are coated", "m2"),
            Input(
                "layers",
                "dry thickness of each coat of this paint",
                "mm",
                usual="0.03,0.03",
                several=True,
                spread=LAYER_SPREAD * 0.03,
            ),
            Input(
                "solids",
                "by volume, from its sheet",
                "-",
                usual=str(USUAL_SOLIDS),
                spread=SOLIDS_SPREAD,
            ),
            Input("way", "how it is laid", "word", usual=USUAL_WAY, words=tuple(LOSSES)),
            Input("thinner", "added, as a share of the paint", "-", usual="0"),
            Input("lands", "glue lands that are masked, all together", "m2", usual="0"),
            Input("tin", "what it is sold in", "cm3", usual=f"{USUAL_TIN:g} l"),
            Input(
                "dry_density",
                "of the dry paint",
                "kg/m3",
                usual=f"{USUAL_DRY_DENSITY:g}",
                spread=DRY_DENSITY_SPREAD,
            ),
        ),
        answer=_paint,
        formula="V = area x dry thickness / (solids (1 - loss)); wet = dry (1 + thinner) / solids",
        source="The definition of solids by volume, ISO 3233-1:2019; losses are common practice, "
        "no source",
        domain="Smooth faces; wood and rough filler drink more in the first coat.",
        example={"area": "2.5"},
        cautions=(_PAINTING,),
    ),
    Reckoner(
        name="filler",
        group=_GROUP,
        title="Filler for open folds, butted seams and open corners: volume and weight",
        inputs=(
            Input(
                "gap",
                "fold: cut open from outside; butt: a seam with square edges; corner: a star",
                "word",
                usual="fold",
                words=("fold", "butt", "corner"),
            ),
            Input("board", "board that is filled", "board", usual="acp-3-0.3"),
            Input("thickness", "of the board, where any is sold", "mm", usual=""),
            Input("length", "of fold or seam", "mm", usual=""),
            Input("turn", "how far the fold turns, 90 for a square corner", "deg", usual=""),
            Input("web", "left under the cut; left out, the usual", "mm", usual="", spread=0.1),
            Input("floor", "of the cut", "mm", usual="2.0", spread=0.1),
            Input("cutter", "included angle of the cutter", "deg", usual="90"),
            Input("width", "across an open corner", "mm", usual="", spread=0.5),
            Input("count", "of gaps like this", "-", usual="1"),
            Input("filler", "kind", "word", usual=USUAL_FILLER, words=tuple(FILLER_DENSITIES)),
        ),
        answer=_filler,
        formula="fold: (r+t)^2 c - (r+w)^2 theta/2 + h^2 tan(alpha/2), c = tan(theta/2); butt: "
        "t^2 tan(theta/2); corner: pi/4 width^2 t",
        source="Plane geometry; the corner as a round hole, and densities from memory, unchecked",
        domain="Filled up to where the two outside faces would meet.",
        example={"length": "400", "turn": "90"},
        cautions=(_SANDING,),
    ),
)
