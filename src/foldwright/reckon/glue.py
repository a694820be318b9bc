"""Reckoners of glued laps and straps."""

from __future__ import annotations

from dataclasses import replace

from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.renaming import asked_as
from foldwright.shop.glue import (
    GLUES,
    WORKING_SHARE,
    Glue,
    best_overlap,
    double_lap,
    lap_holds,
    lap_limit,
    lap_shear,
    overlap_for,
    strap,
)
from foldwright.shop.materials import Matter
from foldwright.shop.physical import require_above_zero, require_between

_GROUP = "Fastening"
_FUMES = (
    "Glue fumes and skin: open air or the mask that its sheet asks for, gloves, eyes covered, no "
    "flame. Abrading makes dust: a dust mask, and take it off where it is made."
)
_HANGING = (
    "Never hang anything over people on glue alone, nor carry a person by it. That is for a "
    "licensed person, by the rules of the place, with bolts and a safety line."
)
_GLUE_INPUTS = (
    Input("glue", "kind of glue", "word", usual="epoxy", words=tuple(GLUES)),
    Input("strength", "its shear strength, from its sheet or your own lap", "MPa", usual=""),
    Input("modulus", "its shear modulus", "MPa", usual=""),
    Input("film", "thickness of the glue", "mm", usual=""),
    Input(
        "bond",
        "1 for faces abraded and degreased as the sheet asks, less for less",
        "-",
        usual="1",
        # of one kind, as it comes out by hand; common practice, no source
        spread=0.25,
    ),
)
_SOURCE = (
    "Volkersen 1938, as in Adams, Comyn and Wake, Structural Adhesive Joints in Engineering, "
    "2nd ed., chapter 2; glues by kind from memory, unchecked"
)
_TRY_IT = (
    "Kinds of glue differ by half from one product and preparation to the next: glue a lap of "
    "scrap, pull it, and type strength= from that."
)


def _glue(
    bond: float, kind: str, strength: float | None, modulus: float | None, film: float | None
) -> Glue:
    known = GLUES[kind]
    require_between(bond, 0.05, 2.0, "the bond", name="bond", unit="")
    strength = known.strength if strength is None else strength
    require_above_zero(strength, "the glue's strength", name="strength", unit="MPa")
    return replace(
        known,
        strength=bond * strength,
        modulus=known.modulus if modulus is None else modulus,
        film=known.film if film is None else film,
    )


def _glue_lap(
    sheet: Matter,
    thickness: float,
    mate: Matter | None,
    mate_thickness: float | None,
    width: float,
    overlap: float | None,
    bond: float,
    glue: str,
    strength: float | None,
    modulus: float | None,
    film: float | None,
) -> Answer:
    used = _glue(bond, glue, strength, modulus, film)
    require_above_zero(width, "the width", name="width")
    mate = mate or sheet
    mate_thickness = thickness if mate_thickness is None else mate_thickness
    stiffness = sheet.modulus.value * thickness, mate.modulus.value * mate_thickness
    with asked_as(stiffness_1="thickness", stiffness_2="mate_thickness", glue_modulus="modulus"):
        best = best_overlap(*stiffness, used.modulus, used.film)
        length = best if overlap is None else overlap
        peaks = lap_holds(used.strength, length, *stiffness, used.modulus, used.film)
        lap = lap_shear(peaks, length, *stiffness, used.modulus, used.film)
    yields = min(sheet.proof.value * thickness, mate.proof.value * mate_thickness)
    even = used.strength * length
    holds = min(peaks, yields) * width
    remarks = [_TRY_IT]
    if yields < peaks:
        remarks.append("The sheet yields before the glue breaks: a longer lap gains nothing.")
    elif length > 1.05 * best:
        remarks.append(
            f"Past {best:.0f} mm the middle of the lap idles; it guards against creep and bad "
            "spots, and holds hardly more."
        )
    return Answer(
        (
            Line("best_overlap", "best overlap", best, "mm", 0),
            Line("overlap", "overlap taken", length, "mm", 0),
            Line("holds", "the lap holds, ends counted", holds, "N", 0),
            Line("work_to", "work to no more than", WORKING_SHARE * holds, "N", 0),
            Line("evenly", "glue that yields holds at most", min(even, yields) * width, "N", 0),
            Line("peak_factor", "ends over average", lap.peak_factor, "-", 2),
            Line("sheet_yields", "the sheet yields at", yields * width, "N", 0),
        ),
        remarks=(
            *remarks,
            "A single lap also bends and peels at its ends. Taper the ends, leave the bead of "
            "glue on them, or rivet them.",
        ),
    )


def _double_lap(
    outer: Matter,
    outer_thickness: float,
    inner: Matter,
    inner_thickness: float,
    width: float,
    overlap: float,
    load: float,
    warming: float,
    bond: float,
    glue: str,
    strength: float | None,
    modulus: float | None,
    film: float | None,
) -> Answer:
    used = _glue(bond, glue, strength, modulus, film)
    require_above_zero(width, "the width", name="width")
    with asked_as(
        stiffness_1="outer_thickness",
        stiffness_2="inner_thickness",
        glue_modulus="modulus",
        line_load="load",
    ):
        lap = double_lap(
            load / width,
            overlap,
            outer.modulus.value * outer_thickness,
            inner.modulus.value * inner_thickness,
            used.modulus,
            used.film,
            outer_expansion=outer.expansion.value,
            inner_expansion=inner.expansion.value,
            warming=warming,
        )
    share = lap.largest / used.strength
    remarks = [_TRY_IT]
    if share > 1.0:
        remarks.append("The ends of this lap break, or yield if the glue can.")
    elif share > WORKING_SHARE:
        remarks.append("More than a quarter of the glue's strength: not for long.")
    return Answer(
        (
            Line("load_end", "shear at the end, by the load", lap.load_end, "MPa", 2),
            Line("load_centre", "shear in the middle, by the load", lap.load_centre, "MPa", 2),
            Line("thermal_end", "shear at the end, by heat or cold", lap.thermal_end, "MPa", 2),
            Line("largest", "both together, at the worse end", lap.largest, "MPa", 2),
            Line("share", "share of the glue's strength", share, "-", 2),
        ),
        remarks=tuple(remarks),
    )


def _seam_strap(
    sheet: Matter,
    thickness: float,
    length: float,
    load: float | None,
    strap_of: Matter | None,
    strap_thickness: float | None,
    bond: float,
    glue: str,
    strength: float | None,
    modulus: float | None,
    film: float | None,
) -> Answer:
    used = _glue(bond, glue, strength, modulus, film)
    require_above_zero(length, "the seam", name="length")
    strap_of = strap_of or sheet
    strap_thickness = thickness if strap_thickness is None else strap_thickness
    stiffness = sheet.modulus.value * thickness, strap_of.modulus.value * strap_thickness
    with asked_as(
        stiffness_1="thickness",
        stiffness_2="strap_thickness",
        glue_modulus="modulus",
        line_load="load",
        seam_length="length",
    ):
        limit = lap_limit(used.strength, *stiffness, used.modulus, used.film)
        yields = min(sheet.proof.value * thickness, strap_of.proof.value * strap_thickness)
        if load is None:
            half = best_overlap(*stiffness, used.modulus, used.film)
            line_load = min(
                lap_holds(used.strength, half, *stiffness, used.modulus, used.film), yields
            )
        else:
            line_load = load / length
            half = overlap_for(line_load, used.strength, *stiffness, used.modulus, used.film)
        glued = strap(line_load, half, length)
    remarks = [_TRY_IT]
    if line_load > yields:
        remarks.append(
            f"The sheet or the strap yields at {yields * length:.0f} N, before that load."
        )
    return Answer(
        (
            Line("width", "strap, whole width", 2.0 * half, "mm", 0),
            Line("half_width", "glued on each side of the seam", half, "mm", 1),
            Line("holds", "pull across the seam that it holds", glued.total_load, "N", 0),
            Line("work_to", "work to no more than", WORKING_SHARE * glued.total_load, "N", 0),
            Line("average", "average shear in the glue", glued.average_shear, "MPa", 2),
            Line("limit", "no strap of this holds more than", limit * length, "N", 0),
        ),
        steps=(
            f"Cut the strap {2.0 * half:.0f} mm wide and as long as the seam, less what the "
            "corners take.",
            "Mark both faces half a strap from the seam, abrade and degrease up to the marks; no "
            "paint there.",
            "Glue, press evenly, leave the bead on both edges, and keep it still until it is set.",
        ),
        remarks=tuple(remarks),
    )


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="glue-lap",
        group=_GROUP,
        title="What a glued lap holds with the peaks at its ends, and the best overlap",
        inputs=(
            Input("sheet", "material of one sheet", "matter", usual="al-5005-H24"),
            Input("thickness", "of it; of skinned board, that of the skin", "mm"),
            Input("mate", "material of the other; left out, the same", "matter", usual=""),
            Input("mate_thickness", "of the other; left out, the same", "mm", usual=""),
            Input("width", "of the lap, across the pull", "mm"),
            Input("overlap", "along the pull; left out, the best", "mm", usual=""),
            *_GLUE_INPUTS,
        ),
        answer=_glue_lap,
        formula="shear lag: end = average x (coth x + a tanh x), x = omega L/2, "
        "omega^2 = G/h (1/E1t1 + 1/E2t2), a = |E1t1 - E2t2| / (E1t1 + E2t2); best overlap: 95 % "
        "of the limit 2 tau / (omega (1 + a))",
        source=_SOURCE,
        domain="Elastic glue, sheet that is pulled and does not bend; peel not counted.",
        example={"thickness": "1", "width": "25"},
        cautions=(_FUMES, _HANGING),
    ),
    Reckoner(
        name="double-lap",
        group=_GROUP,
        title="Shear in a sheet glued between two others, by load and by heat or cold",
        inputs=(
            Input("outer", "material of the two outer sheets", "matter", usual="al-5005-H24"),
            Input("outer_thickness", "of each", "mm"),
            Input("inner", "material of the inner sheet", "matter"),
            Input("inner_thickness", "of it", "mm"),
            Input("width", "of the lap, across the pull", "mm"),
            Input("overlap", "along the pull", "mm"),
            Input("load", "on the inner sheet", "N", usual="0"),
            Input("warming", "since the glue set; colder is negative", "K", usual="0", spread=3.0),
            *_GLUE_INPUTS,
        ),
        answer=_double_lap,
        formula="omega^2 = G/h (1/Eoto + 2/Eiti); load P omega/(4b) (coth x +- a tanh x), heat "
        "(ai - ao) dT omega tanh x / (1/Eoto + 2/Eiti), x = omega L/2",
        source="Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. (9-7)",
        domain="Elastic glue and sheet, two outer sheets alike; peel not counted.",
        example={
            "outer_thickness": "1",
            "inner": "acrylic",
            "inner_thickness": "3",
            "width": "50",
            "overlap": "30",
            "load": "200",
            "warming": "20",
            "glue": "polyurethane",
        },
        cautions=(_FUMES, _HANGING),
    ),
    Reckoner(
        name="seam-strap",
        group=_GROUP,
        title="Strap glued behind a butted seam: how wide, and what it holds",
        inputs=(
            Input(
                "sheet", "material of the sheet; of board, its skin", "matter", usual="al-5005-H24"
            ),
            Input("thickness", "of it; of skinned board, that of the skin", "mm"),
            Input("length", "of the seam", "mm"),
            Input("load", "pull across the whole seam; left out, all it can", "N", usual=""),
            Input("strap_of", "material of the strap; left out, the same", "matter", usual=""),
            Input("strap_thickness", "of the strap; left out, the same", "mm", usual=""),
            *_GLUE_INPUTS,
        ),
        answer=_seam_strap,
        formula="each half of the strap is a lap: average = q / half width, and its ends as in "
        "glue-lap",
        source=_SOURCE,
        domain="Pulled straight across the seam, not peeled and not folded at it.",
        example={"thickness": "0.3", "length": "300"},
        cautions=(_FUMES, _HANGING),
    ),
)
