"""Reckoners of threads, bolts and rivets."""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.renaming import asked_as
from foldwright.shop.board_bolts import (
    CRUSH_SHARE,
    bolt_in_board,
    pressed_matter,
    spreader_for,
    spreader_thickness,
    washer_ring,
)
from foldwright.shop.bolt_groups import bearing_stress, bolt_group, shear_stress
from foldwright.shop.bolts import (
    STEEL_MODULUS,
    BoltInPlug,
    bolt_in_plug,
    bolt_stiffness,
    good_distances,
    least_distances,
    loaded_bolt,
    members_stiffness,
    preload_by_torque,
    reused_preload,
    strip_trial,
)
from foldwright.shop.materials import Board, Matter
from foldwright.shop.rivets import rivet_for, rivet_of, riveted_row
from foldwright.shop.threads import (
    Head,
    clearance_holes,
    head_of,
    property_class,
    property_classes,
    tap_drill,
    thread_depth_share,
    thread_named,
)

_GROUP = "Fastening"
_N_M = 1e-3  # N m in a N mm
_HANGING = (
    "Nothing here is for what hangs over people, is lifted, or holds a person. That is for a "
    "licensed person to work out and inspect, by the rules of the place, with a safety line "
    "that holds by itself."
)
_DRILLING = (
    "Clamp the work before you drill, no gloves or loose sleeves near the drill, eyes covered. "
    "Metal skins conduct; keep bolts clear of mains wires."
)
_RIVETING = (
    "Mandrels fly when they break: eyes covered, and nobody in line with the tool. "
    "Edges and drilled chips cut."
)
_K = Input(
    "k",
    "torque factor: 0.30 black bolt, 0.20 zinc plated, 0.18 oiled, 0.16 cadmium plated",
    "-",
    usual="0.20",
    # sample deviation of preload over its mean for dry bolts, about 15 per cent
    spread=0.03,
)
_THREAD = Input("thread", "of the bolt: M6 for the coarse pitch, M8x1 for another", "word")


def _thread(thread: str) -> Answer:
    named = thread_named(thread)
    return Answer(
        (
            Line("pitch", "one turn moves", named.pitch, "mm", 2),
            *_drill_lines(thread),
            Line("pitch_d", "pitch diameter d2", named.pitch_d, "mm", 3),
            Line("root_d", "bottom of the bolt's thread d3", named.root_d, "mm", 3),
            Line("bore_d", "bore of the nut D1", named.bore_d, "mm", 3),
            Line("stress_area", "area that carries the pull", named.stress_area, "mm2", 2),
            *_head_lines(named.nominal),
        )
    )


def _head_lines(nominal: float) -> tuple[Line, ...]:
    try:
        head = head_of(nominal)
    except OutOfDomain:  # the thread is none the worse for it
        return ()
    lines = [
        Line("across_flats", "hexagon across flats", head.across_flats, "mm", 1),
        Line("washer_d", "plain washer, outside", head.washer_d, "mm", 1),
    ]
    if head.large_washer_d:
        lines.append(Line("large_washer_d", "large washer, outside", head.large_washer_d, "mm", 1))
    return tuple(lines)


def _tap_drill(thread: str) -> Answer:
    named = thread_named(thread)
    drill = tap_drill(named)
    return Answer(
        _drill_lines(thread),
        steps=(
            f"Centre punch, drill {drill:g} mm square to the face, and deeper than the thread by "
            f"{4.0 * named.pitch:.1f} mm where the hole has a bottom.",
            f"Countersink to {named.nominal:g} mm or a little over.",
            "Tap square: half a turn on, a quarter back to break the chip; cutting oil, paraffin "
            "on aluminium, nothing on plastics.",
        ),
    )


def _drill_lines(thread: str) -> tuple[Line, ...]:
    named = thread_named(thread)
    drill = tap_drill(named)
    lines = [
        Line("tap_drill", "drill before tapping", drill, "mm", 2),
        Line(
            "depth_share",
            "share of the full thread then cut",
            thread_depth_share(named, drill),
            "-",
            2,
        ),
    ]
    try:
        holes = clearance_holes(named.nominal)
    except OutOfDomain:  # listed threads have none between the sizes of ISO 273
        return tuple(lines)
    for series, hole in zip(("fine", "medium", "coarse"), holes, strict=True):
        lines.append(Line(f"clearance_{series}", f"clearance hole, {series}", hole, "mm", 1))
    return tuple(lines)


def _bolt_into_plug(
    thread: str,
    plug: Matter,
    plug_depth: float,
    plate: Matter,
    plate_thickness: float,
    washer: str,
    bolt: str,
    hole: str,
    k: float,
) -> Answer:
    named = thread_named(thread)
    washer_d, washer_thickness = _washer(head_of(named.nominal), washer)
    clearance = clearance_holes(named.nominal)[1]
    with asked_as(class_name="bolt", property_class="bolt", torque_factor="k", washer_d="washer"):
        found = bolt_in_plug(
            named,
            bolt,
            plug,
            plug_depth,
            plate_thickness + washer_thickness,
            k,
            runs_through=hole == "through",
            most_preload=washer_ring(washer_d, clearance) * plate.proof.value,
        )
    return Answer(
        (
            Line("length", f"{named.name} bolt, length under the head", found.length, "mm", 0),
            Line("clearance", "hole in the plate", found.clearance, "mm", 1),
            Line("drill", "drill in the plug", found.drill, "mm", 2),
            Line("drill_depth", "drill so deep", found.drill_depth, "mm", 1),
            Line("thread_depth", "tap so deep", found.thread_depth, "mm", 1),
            Line("engagement", "full threads that hold", found.engagement, "mm", 1),
            Line("needed", "as many as break the bolt first", found.needed, "mm", 1),
            Line("torque", "tighten by hand to", found.torque * _N_M, "N m", 2),
            Line("preload", "the bolt then pulls", found.preload, "N", 0),
            Line("strips", "threads strip at", min(found.plug_strips, found.bolt_strips), "N", 0),
            Line("breaks", "bolt breaks at", found.bolt_breaks, "N", 0),
            Line("edge", "middle of the bolt to the plug's edge, least", found.edge, "mm", 1),
            Line(
                "plate_edge",
                "middle of the hole to the plate's edge",
                good_distances(found.clearance).end,
                "mm",
                1,
            ),
        ),
        steps=(
            f"Drill the plate {found.clearance:g} mm, and {found.drill:g} mm in the plug through "
            "it or by the same marks.",
            f"Countersink the plug, tap {found.thread_depth:.1f} mm deep, blow the chips out with "
            "eyes covered.",
            "Run the bolt in by hand all the way; it must not touch the bottom before its head "
            "sits.",
            f"Tighten to {found.torque * _N_M:.1f} N m, each bolt in two rounds across.",
        ),
        remarks=_plug_remarks(found),
    )


def _plug_remarks(found: BoltInPlug) -> tuple[str, ...]:
    said = [
        "By torque alone the pull of a bolt strays by about a third; by feel, by more.",
    ]
    if found.plug_strips < found.bolt_breaks:
        said.append(
            "The plug's thread strips before the bolt breaks, so a stronger bolt gains nothing. "
            "A thread insert, a longer plug or a nut behind it does."
        )
    return tuple(said)


def _washer(head: Head, kind: str) -> tuple[float, float]:
    """Diameter that presses and thickness [mm]."""
    if kind == "none":
        return head.across_flats, 0.0
    if kind == "large" and head.large_washer_d:
        return head.large_washer_d, head.large_washer_thickness
    return head.washer_d, head.washer_thickness


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
    board = board.of_thickness(thickness) if thickness is not None else board
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
        Line("torque", "tighten to no more than", found.torque * _N_M, "N m", 2),
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
        Line("moment", "the load turns the group by", abs(group.moment) * _N_M, "N m", 1),
    ]
    if thread is not None:
        named = thread_named(thread)
        stress = shear_stress(group.largest, named.stress_area)
        lines.append(Line("shear", "shear in that bolt's thread", stress, "MPa", 0))
        if plate_thickness is not None:
            pressure = bearing_stress(group.largest, named.nominal, plate_thickness)
            lines.append(Line("bearing", "pressure on its hole", pressure, "MPa", 0))
    return Answer(tuple(lines))


def _bolt_load(
    thread: str,
    bolt: str,
    members: Matter,
    grip: float,
    torque: float,
    k: float,
    pull: float,
) -> Answer:
    named = thread_named(thread)
    with asked_as(
        nominal="thread", torque_factor="k", load="pull", property_class="bolt", modulus="members"
    ):
        steel = property_class(bolt, named.nominal)
        preload = preload_by_torque(named.nominal, torque, k)
        own = bolt_stiffness(named, STEEL_MODULUS, grip)
        clamped = members_stiffness(named.nominal, members.modulus.value, grip)
        loaded = loaded_bolt(named.stress_area, preload, pull, own, clamped)
    constant = loaded.stiffness_constant
    remarks = []
    if loaded.service_stress > steel.proof:
        remarks.append(
            f"That is past the proof stress of {steel.proof:g} MPa: the bolt stretches for good. "
            "Use less torque, a thicker bolt or a stronger one."
        )
    return Answer(
        (
            Line("preload", "the torque pulls the bolt with", preload, "N", 0),
            Line("share", "share of the pull that the bolt feels", constant, "-", 2),
            Line("preload_stress", "stress once tightened", loaded.preload_stress, "MPa", 0),
            Line("service_stress", "stress under the pull", loaded.service_stress, "MPa", 0),
            Line("of_proof", "of its proof stress", loaded.service_stress / steel.proof, "-", 2),
            Line("parts_at", "the joint opens at", preload / (1.0 - constant), "N", 0),
        ),
        remarks=tuple(remarks),
    )


def _strip_trial(torques: tuple[float, ...]) -> Answer:
    with asked_as(readings="torques"):
        trial = strip_trial(torques)
    return Answer(
        (
            Line("tighten_to", "tighten to", trial.tighten_to * _N_M, "N m", 2),
            Line("mean", "they stripped at, mean", trial.mean * _N_M, "N m", 2),
            Line("scatter", "scatter of one", trial.scatter * _N_M, "N m", 2),
        ),
        steps=(
            "Drill and tap three or more holes in scrap of the same plug, as deep as in the work.",
            "Tighten each slowly over a washer until it turns without getting harder; write "
            "down the highest torque.",
            "Use a new bolt for each.",
        ),
    )


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
    Reckoner(
        name="thread",
        group=_GROUP,
        title="All about a metric thread: drills, diameters, area, spanner and washer",
        inputs=(_THREAD,),
        answer=_thread,
        formula="ISO basic profile: d2 = d - 0.649519 P, d3 = d - 1.226869 P, "
        "D1 = d - 1.082532 P, As = pi/4 ((d2 + d3)/2)^2",
        source="ISO 68-1:1998, ISO 261:1998, ISO 724:1993, ISO 898-1:2009, ISO 273:1979, "
        "ISO 2306:1972; parts of the tables from memory, see threads.toml",
        domain="ISO metric threads, M1 to M100; basic sizes, to which tolerances come.",
        example={"thread": "M8"},
    ),
    Reckoner(
        name="tap-drill",
        group=_GROUP,
        title="Drill before tapping a thread, and the clearance holes of its bolt",
        inputs=(_THREAD,),
        answer=_tap_drill,
        formula="Tapping drill: nominal less pitch, to the drill the standard lists",
        source="ISO 2306:1972 and ISO 273:1979; parts of the tables from memory, see threads.toml",
        domain="Taps that cut. A tap that forms needs a larger hole, see its maker's sheet.",
        example={"thread": "M6"},
        cautions=(_DRILLING,),
    ),
    Reckoner(
        name="bolt-into-plug",
        group=_GROUP,
        title="Bolt through a plate into a tapped plug: length, holes, torque and what strips",
        inputs=(
            _THREAD,
            Input("plug", "material of the plug", "matter", usual="al-6082-T6"),
            Input("plug_depth", "depth of the plug along the bolt", "mm"),
            Input("plate", "material of the plate", "matter", usual="al-5754-H22"),
            Input("plate_thickness", "thickness of all that lies on the plug", "mm"),
            Input(
                "washer",
                "under the head",
                "word",
                usual="normal",
                words=("none", "normal", "large"),
            ),
            Input(
                "bolt", "property class of the bolt", "word", usual="8.8", words=property_classes()
            ),
            Input(
                "hole",
                "blind: the tapped hole has a bottom; through: it comes out behind",
                "word",
                usual="blind",
                words=("blind", "through"),
            ),
            _K,
        ),
        answer=_bolt_into_plug,
        formula="T = K F d; threads strip at Rm/sqrt(3) times 0.75 pi Le D1 (bolt) or "
        "0.875 pi Le d (plug); F the least of 0.75 proof load, half of what strips, and what the "
        "plate yields at under the head",
        source="Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eqs. "
        "(8-27) and (8-31), Table 8-15, eq. (5-21) for 1/sqrt(3); FED-STD-H28/2B for the areas; "
        "ISO 898-1:2009; half of what strips and the depths are common practice, no source",
        domain="Loads that stay. Past 2.5 diameters of engagement nothing is counted; threads on "
        "basic sizes, so worn taps and bolts hold less.",
        example={"thread": "M6", "plug_depth": "30", "plate_thickness": "3"},
        cautions=(_DRILLING, _HANGING),
    ),
    Reckoner(
        name="bolt-in-board",
        group=_GROUP,
        title="Bolt through skinned board: torque that the core stands, washer and spreader",
        inputs=(
            Input("board", "board that is bolted", "board", usual="acp-3-0.3"),
            Input("thickness", "of the board, where any is sold", "mm", usual=""),
            _THREAD,
            Input("washer", "outside of the washer; left out, the large one", "mm", usual=""),
            Input("pull", "pull across the board that it has to stand", "N", usual=""),
            Input("spreader", "material of the spreader", "matter", usual="al-5754-H22"),
            Input(
                "bolt", "property class of the bolt", "word", usual="8.8", words=property_classes()
            ),
            _K,
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
        cautions=(_DRILLING, _HANGING),
    ),
    Reckoner(
        name="bolt-group",
        group=_GROUP,
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
        cautions=(_HANGING,),
    ),
    Reckoner(
        name="bolt-load",
        group=_GROUP,
        title="Stress in a tightened bolt when the joint is pulled, and when the joint opens",
        inputs=(
            _THREAD,
            Input(
                "bolt", "property class of the bolt", "word", usual="8.8", words=property_classes()
            ),
            Input("members", "material that is clamped", "matter", usual="al-5754-H22"),
            Input("grip", "thickness of all that is clamped", "mm"),
            Input("torque", "tightened to", "N mm"),
            _K,
            Input("pull", "on this bolt, along it", "N", usual="0"),
        ),
        answer=_bolt_load,
        formula="F = T / (K d); C = kb / (kb + km), kb = As E / l, km = E d 0.78952 "
        "exp(0.62914 d / l); stress = (F + C P) / As; opens at F / (1 - C)",
        source="Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eqs. "
        "(8-17), (8-23), (8-24), (8-27) and (8-28), Table 8-8; Table 8-8 from memory, unchecked",
        domain="Steel bolt threads over its whole grip, members of one material and wider than "
        "three diameters; loads that stay.",
        example={"thread": "M6", "grip": "12", "torque": "8 N m", "pull": "2000"},
        cautions=(_HANGING,),
    ),
    Reckoner(
        name="strip-trial",
        group=_GROUP,
        title="Torque to tighten to, from trial bolts stripped in scrap",
        inputs=(Input("torques", "at which each trial bolt stripped", "N mm", several=True),),
        answer=_strip_trial,
        formula="half of the mean, or the mean less three sample deviations, the lesser",
        source="Common practice, no source; sample deviation as JCGM 100:2008, 4.2.2",
        domain="Plugs of plastic, wood and soft metal, where tables promise too much.",
        example={"torques": "2.4 N m, 2.6 N m, 2.3 N m"},
        cautions=(_DRILLING,),
    ),
    Reckoner(
        name="bolt-distances",
        group=_GROUP,
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
        group=_GROUP,
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
        source="FAA-H-8083-31 and navy manuals for the distances; ISO 15977:2002 for the rivets, "
        "ISO 15981:2002 for the grip; EN 1999-1-4:2007, Table 8.1, for the holes, from memory, "
        "unchecked",
        domain="Aluminium rivets with a steel mandrel, pulled along the sheet; no reserve in it.",
        example={"thinner": "1", "grip": "2", "length": "300"},
        cautions=(_RIVETING, _HANGING),
    ),
)
