"""Reckoners of threads and of bolts into metal, and what `fastening` shares with them."""

from __future__ import annotations

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.renaming import asked_as
from foldwright.shop.board_bolts import washer_ring
from foldwright.shop.bolts import BoltInPlug, bolt_in_plug, good_distances
from foldwright.shop.materials import Matter
from foldwright.shop.physical import require_above_zero
from foldwright.shop.preload import (
    STEEL_MODULUS,
    bolt_stiffness,
    loaded_bolt,
    members_stiffness,
    preload_by_torque,
    strip_trial,
)
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

GROUP = "Fastening"
N_M = 1e-3  # N m in a N mm
HANGING = (
    "Nothing here is for what hangs over people, is lifted, or holds a person. That is for a "
    "licensed person to work out and inspect, by the rules of the place, with a safety line "
    "that holds by itself."
)
DRILLING = (
    "Clamp the work before you drill, no gloves or loose sleeves near the drill, eyes covered. "
    "Metal skins conduct; keep bolts clear of mains wires."
)
K = Input(
    "k",
    "torque factor: 0.30 black bolt, 0.20 zinc plated, 0.18 oiled, 0.16 cadmium plated",
    "-",
    usual="0.20",
    # preload of dry bolts strays by about 15 per cent in the tests of a textbook; memory
    spread=0.03,
)
THREAD = Input("thread", "of the bolt: M6 for the coarse pitch, M8x1 for another", "word")


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
    require_above_zero(plate_thickness, "what lies on the plug", name="plate_thickness")
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
        _in_plug_lines(found, named.name),
        steps=_in_plug_steps(found, runs_through=hole == "through"),
        remarks=_plug_remarks(found),
    )


def _in_plug_lines(found: BoltInPlug, name: str) -> tuple[Line, ...]:
    plate_edge = good_distances(found.clearance).end
    return (
        Line("length", f"{name} bolt, length under the head", found.length, "mm", 0),
        Line("clearance", "hole in the plate", found.clearance, "mm", 1),
        Line("drill", "drill in the plug", found.drill, "mm", 2),
        Line("drill_depth", "drill so deep", found.drill_depth, "mm", 1),
        Line("thread_depth", "tap so deep", found.thread_depth, "mm", 1),
        Line("engagement", "full threads that hold", found.engagement, "mm", 1),
        Line("needed", "as many as break the bolt first", found.needed, "mm", 1),
        Line("torque", "tighten by hand to", found.torque * N_M, "N m", 2),
        Line("preload", "the bolt then pulls", found.preload, "N", 0),
        Line("strips", "threads strip at", min(found.plug_strips, found.bolt_strips), "N", 0),
        Line("breaks", "bolt breaks at", found.bolt_breaks, "N", 0),
        Line("edge", "middle of the bolt to the plug's edge, least", found.edge, "mm", 1),
        Line("plate_edge", "middle of the hole to the plate's edge", plate_edge, "mm", 1),
    )


def _in_plug_steps(found: BoltInPlug, *, runs_through: bool) -> tuple[str, ...]:
    deep = "right through" if runs_through else f"{found.thread_depth:.1f} mm deep"
    seats = (
        "its head must sit before its thread runs out"
        if runs_through
        else "it must not touch the bottom before its head sits"
    )
    return (
        f"Drill the plate {found.clearance:g} mm, and {found.drill:g} mm in the plug through it "
        "or by the same marks.",
        f"Countersink the plug, tap {deep}, blow the chips out with eyes covered.",
        f"Run the bolt in by hand all the way; {seats}.",
        f"Tighten to {found.torque * N_M:.1f} N m, each bolt in two rounds across.",
    )


def _plug_remarks(found: BoltInPlug) -> tuple[str, ...]:
    said = [
        "By torque alone the pull of a bolt strays by about a third; by feel, by more.",
        "A plug that is pressed or glued into a tube goes in first: hammering bruises a thread, "
        "and the tube squeezes it. Drill and tap it where it sits.",
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
            Line("tighten_to", "tighten to", trial.tighten_to * N_M, "N m", 2),
            Line("mean", "they stripped at, mean", trial.mean * N_M, "N m", 2),
            Line("scatter", "scatter of one", trial.scatter * N_M, "N m", 2),
        ),
        steps=(
            "Drill and tap three or more holes in scrap of the same plug, as deep as in the work.",
            "Tighten each slowly over a washer until it turns without getting harder; write "
            "down the highest torque.",
            "Use a new bolt for each.",
        ),
    )


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="thread",
        group=GROUP,
        title="All about a metric thread: drills, diameters, area, spanner and washer",
        inputs=(THREAD,),
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
        group=GROUP,
        title="Drill before tapping a thread, and the clearance holes of its bolt",
        inputs=(THREAD,),
        answer=_tap_drill,
        formula="Tapping drill: nominal less pitch, to the drill the standard lists",
        source="ISO 2306:1972 and ISO 273:1979; parts of the tables from memory, see threads.toml",
        domain="Taps that cut. A tap that forms needs a larger hole, see its maker's sheet.",
        example={"thread": "M6"},
        cautions=(DRILLING,),
    ),
    Reckoner(
        name="bolt-into-plug",
        group=GROUP,
        title="Bolt through a plate into a tapped plug: length, holes, torque and what strips",
        inputs=(
            THREAD,
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
            K,
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
        cautions=(DRILLING, HANGING),
    ),
    Reckoner(
        name="bolt-load",
        group=GROUP,
        title="Stress in a tightened bolt when the joint is pulled, and when the joint opens",
        inputs=(
            THREAD,
            Input(
                "bolt", "property class of the bolt", "word", usual="8.8", words=property_classes()
            ),
            Input("members", "material that is clamped", "matter", usual="al-5754-H22"),
            Input("grip", "thickness of all that is clamped", "mm"),
            Input("torque", "tightened to", "N mm"),
            K,
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
        cautions=(HANGING,),
    ),
    Reckoner(
        name="strip-trial",
        group=GROUP,
        title="Torque to tighten to, from trial bolts stripped in scrap",
        inputs=(Input("torques", "at which each trial bolt stripped", "N mm", several=True),),
        answer=_strip_trial,
        formula="half of the mean, or the mean less three sample deviations, the lesser",
        source="Common practice, no source; sample deviation as JCGM 100:2008, 4.2.2",
        domain="Plugs of plastic, wood and soft metal, where tables promise too much.",
        example={"torques": "2.4 N m, 2.6 N m, 2.3 N m"},
        cautions=(DRILLING,),
    ),
)
