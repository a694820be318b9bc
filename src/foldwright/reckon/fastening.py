"""Reckoners of bolts in board, of brackets and of rivets; those of `bolting` come first."""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain
from foldwright.reckon import bolting
from foldwright.reckon.bolting import DRILLING, GROUP, HANGING, N_M, THREAD, K
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.renaming import asked_as
from foldwright.reckon.sheet_inputs import measured
from foldwright.shop.board_bolts import (
    CRUSH_SHARE,
    bolt_in_board,
    pressed_matter,
    spreader_for,
    spreader_thickness,
)
from foldwright.shop.bolt_groups import bearing_stress, bolt_group, shear_stress
from foldwright.shop.bolts import good_distances, least_distances
from foldwright.shop.materials import Board, Matter
from foldwright.shop.preload import reused_preload
from foldwright.shop.rivets import rivet_for, rivet_of, riveted_row
from foldwright.shop.threads import (
    clearance_holes,
    head_of,
    property_class,
    property_classes,
    thread_named,
)

_RIVETING = (
    "Mandrels fly when they break: eyes covered, and nobody in line with the tool. "
    "Edges and drilled chips cut."
)


def _bolt_in_board(
    board: Board,
    thickness: float | None,
    thread: str,
    washer: float | None,
    pull: float | None,
    spreader: Matter,
    bolt: str,
    k: float,
) -> Answer:
    board = board if thickness is None else measured(board, thickness)
    named = thread_named(thread)
    head = head_of(named.nominal)
    hole = clearance_holes(named.nominal)[1]
    washer_d = washer if washer is not None else (head.large_washer_d or head.washer_d)
    with asked_as(torque_factor="k", washer_d="washer", property_class="bolt"):
        most = reused_preload(named, property_class(bolt, named.nominal))
        found = bolt_in_board(board, named.nominal, hole, washer_d, k, most)
    pressure = CRUSH_SHARE * pressed_matter(board).proof.value
    lines = [
        Line("hole", "hole in the board", hole, "mm", 1),
        Line("washer_d", "washer, outside", washer_d, "mm", 1),
        Line("torque", "tighten to no more than", found.torque * N_M, "N m", 2),
        Line("preload", "the bolt then pulls", found.preload, "N", 0),
        Line("crushes", "core begins to give at", found.crushes, "N", 0),
        Line("pulls_through", "skin shears round the washer at", found.pulls_through, "N", 0),
        Line("edge", "middle of the bolt to the board's edge, least", found.edge, "mm", 1),
        Line(
            "washer_thickness",
            "washer that does not dish, in the spreader's material",
            spreader_thickness(washer_d, head.across_flats, pressure, spreader.proof.value),
            "mm",
            1,
        ),
    ]
    needed = math.inf
    if pull is not None:
        needed = spreader_for(board, pull, hole)
        thick = spreader_thickness(needed, head.across_flats, pressure, spreader.proof.value)
        lines.append(Line("spreader_d", f"spreader for {pull:g} N, at least", needed, "mm", 0))
        lines.append(Line("spreader_thickness", "its thickness, at least", thick, "mm", 1))
    remarks = ["The washer itself is spreader enough."] * (needed <= washer_d) + [
        "A sleeve as long as the board is thick takes the bolt's pull off the core; then tighten "
        "as for metal.",
    ]
    if board.is_skinned:
        remarks.insert(0, "A plastic core goes on giving: tighten again after a day.")
    return Answer(tuple(lines), remarks=tuple(remarks))


def _bolt_group(
    x: tuple[float, ...],
    y: tuple[float, ...],
    load: float,
    load_x: float,
    load_y: float,
    pull: float,
    thread: str | None,
    plate_thickness: float | None,
) -> Answer:
    if len(x) != len(y):
        raise OutOfDomain(
            f"{len(x)} bolts have an x and {len(y)} have a y. Give both of each, in one order.",
            name="y",
        )
    with asked_as(bolts="x", through="load_x", direction="pull"):
        group = bolt_group(
            tuple(zip(x, y, strict=True)),
            load,
            (load_x, load_y),
            (math.cos(pull), math.sin(pull)),
        )
    worst = group.worst
    lines = [
        Line("worst", "bolt that carries most, as listed", worst + 1),
        Line("largest", "it carries", group.largest, "N", 0),
        Line("smallest", "the least loaded carries", min(group.resultants), "N", 0),
        Line("primary", "of the load itself, each", group.primary, "N", 0),
        Line("secondary", "of its turning, that bolt", group.secondary[worst], "N", 0),
        Line("moment", "the load turns the group by", abs(group.moment) * N_M, "N m", 1),
    ]
    if thread is not None:
        named = thread_named(thread)
        stress = shear_stress(group.largest, named.stress_area)
        lines.append(Line("shear", "shear in that bolt's thread", stress, "MPa", 0))
        if plate_thickness is not None:
            pressure = bearing_stress(group.largest, named.nominal, plate_thickness)
            lines.append(Line("bearing", "pressure on its hole", pressure, "MPa", 0))
    return Answer(tuple(lines))


def _bolt_distances(hole: float) -> Answer:
    with asked_as(hole_d="hole"):
        least, good = least_distances(hole), good_distances(hole)
    return Answer(
        tuple(
            Line(f"{name}_{kind}", f"{what}, {kind}", getattr(distances, name), "mm", 1)
            for name, what in (
                ("end", "to the end, along the load"),
                ("edge", "to the edge, across the load"),
                ("pitch", "hole to hole along the load"),
                ("gauge", "hole to hole across the load"),
            )
            for kind, distances in (("least", least), ("good", good))
        )
    )


def _blind_rivet(
    sheet: Matter,
    thinner: float,
    grip: float,
    length: float,
    rivet: float | None,
    pitch: float | None,
) -> Answer:
    taken = rivet_of(rivet) if rivet is not None else rivet_for(max(thinner, grip - thinner))
    with asked_as(sheet="thinner"):
        row = riveted_row(taken, thinner, grip, length, sheet, pitch or 0.0)
    weakest = {
        row.rivets_shear: "the rivets shear",
        row.holes_tear: "the sheet tears at the holes",
        row.sheet_tears: "the sheet tears from hole to hole",
    }[row.holds]
    return Answer(
        (
            Line("rivet", "rivet", taken.diameter, "mm", 1),
            Line("hole", "drill", taken.hole, "mm", 1),
            Line("body_length", "body of the rivet, length", row.body_length, "mm", 0),
            Line("count", "rivets", row.count),
            Line("pitch", "from rivet to rivet", row.pitch, "mm", 1),
            Line("ends", "first and last from the ends of the seam", row.ends, "mm", 1),
            Line("edge", "row from the edge of the sheet, at least", row.edge, "mm", 1),
            Line("holds", "the row holds along the sheet", row.holds, "N", 0),
            Line("goes", "what goes first", weakest),
        ),
        steps=(
            f"Mark {row.ends:.1f} mm from both ends, then every {row.pitch:.1f} mm.",
            f"Drill {taken.hole:g} mm through all sheets clamped together, take them apart, "
            "take the burrs off.",
            "Set the two end rivets, then the middle one, then the others.",
        ),
    )


RECKONERS: tuple[Reckoner, ...] = (
    *bolting.RECKONERS,
    Reckoner(
        name="bolt-in-board",
        group=GROUP,
        title="Bolt through skinned board: torque that the core stands, washer and spreader",
        inputs=(
            Input("board", "board that is bolted", "board", usual="acp-3-0.3"),
            Input("thickness", "of the board, where any is sold", "mm", usual=""),
            THREAD,
            Input("washer", "outside of the washer; left out, the large one", "mm", usual=""),
            Input("pull", "pull across the board that it has to stand", "N", usual=""),
            Input("spreader", "material of the spreader", "matter", usual="al-5754-H22"),
            Input(
                "bolt", "property class of the bolt", "word", usual="8.8", words=property_classes()
            ),
            K,
        ),
        answer=_bolt_in_board,
        formula="core: F = proof stress x ring under the washer, half of it allowed, or "
        "0.75 of the bolt's proof load; skin: F = 0.6 pi D t Rm; spreader: t = overhang "
        "sqrt(3 p / yield)",
        source="EN 1993-1-8:2005, Table 3.4, punching shear, without partial factor; the ring, "
        "the half and the strip of the spreader are common practice, no source",
        domain="Safe side: the skin's spreading and the far skin are not counted. Short pulls; "
        "what hangs for months on a plastic core creeps.",
        example={"thread": "M6", "pull": "1000"},
        cautions=(DRILLING, HANGING),
    ),
    Reckoner(
        name="bolt-group",
        group=GROUP,
        title="What each bolt of a bracket carries when the load passes beside them",
        inputs=(
            Input("x", "of each bolt, from any corner", "mm", several=True),
            Input("y", "of each bolt, in the same order", "mm", several=True),
            Input("load", "in the plane of the plate", "N"),
            Input("load_x", "of a point that the load passes through", "mm"),
            Input("load_y", "of that point", "mm", usual="0"),
            Input("pull", "which way it pulls: 0 along x, 90 up, -90 down", "deg", usual="-90"),
            Input("thread", "of the bolts, for the stress in them", "word", usual=""),
            Input("plate_thickness", "for the pressure on the holes", "mm", usual=""),
        ),
        answer=_bolt_group,
        formula="F' = V/n; F'' = M r / sum r^2; added as arrows",
        source="Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., "
        "section 8-12, eq. (8-57)",
        domain="Stiff plate, bolts alike, friction under the heads not counted.",
        example={
            "x": "-75,75,75,-75",
            "y": "-60,-60,60,60",
            "load": "16 kN",
            "load_x": "-425",
            "thread": "M16",
            "plate_thickness": "10",
        },
        cautions=(HANGING,),
    ),
    Reckoner(
        name="bolt-distances",
        group=GROUP,
        title="How far bolt and rivet holes stay from edges and from one another",
        inputs=(Input("hole", "diameter of the hole", "mm"),),
        answer=_bolt_distances,
        formula="least 1.2, 1.2, 2.2, 2.4 holes; good 2.0, 1.5, 2.5, 3.0 holes",
        source="EN 1993-1-8:2005, Table 3.3, for the least; the good ones are common practice",
        domain="Metal sheet and plate that is pulled along itself.",
        example={"hole": "6.6"},
    ),
    Reckoner(
        name="blind-rivet",
        group=GROUP,
        title="Row of blind rivets: which, how many, how far apart, and what it holds",
        inputs=(
            Input("sheet", "material of the thinner sheet", "matter", usual="al-5005-H24"),
            Input("thinner", "thickness of the thinner sheet", "mm"),
            Input("grip", "thickness of all sheets together", "mm"),
            Input("length", "of the seam", "mm"),
            Input("rivet", "diameter; left out, three times the thickest sheet", "mm", usual=""),
            Input("pitch", "largest that you want; left out, six diameters", "mm", usual=""),
        ),
        answer=_blind_rivet,
        formula="edge 2 D, pitch 3 D to 8 D; row holds the least of rivets in shear, holes "
        "min(2.5 sqrt(t/d), 1.5) t d Rm, and net sheet t (L - n hole) Rm",
        source="FAA-H-8083-31 and navy manuals for the distances; ISO 15981:2002 for the grip; "
        "ISO 15977:2002 for the rivets and EN 1999-1-4:2007, Table 8.1, for the holes, both from "
        "memory, unchecked",
        domain="Aluminium rivets with a steel mandrel, pulled along the sheet; no reserve in it.",
        example={"thinner": "1", "grip": "2", "length": "300"},
        cautions=(_RIVETING, HANGING),
    ),
)
