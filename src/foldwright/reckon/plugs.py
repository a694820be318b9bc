"""Reckoners of plugs in tube ends: pressed, pushed and glued, shrunk; and of square ends."""

from __future__ import annotations

import math
from collections.abc import Sequence

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.shop.materials import Matter
from foldwright.shop.plug_bores import JAWS_READ_LOW, READING_SPREAD
from foldwright.shop.plug_steps import CAUTIONS, plug_remarks, plug_steps
from foldwright.shop.press_plugs import (
    BLOW_DOUBT,
    FILING,
    HAMMER,
    PLUG_ROUGHNESS,
    TRIM,
    TUBE_ROUGHNESS,
    PressPlug,
    plan_press_plug,
)
from foldwright.shop.push_plugs import GAP, WORKING_SHARE, plan_push_plug, push_plug_steps
from foldwright.shop.shrink_heat import CLEARANCE, ROOM, TEMPER_HOLDS, shrink_heat
from foldwright.shop.square_ends import end_allowed, end_lean

_GROUP = "Press plugs"
# A lean that shows [deg] against something upright: common practice, no source.
_LEAN_SHOWS = 0.5

_BORE = Input(
    "bore",
    "bore as the inside jaws read it, three ways across",
    "mm",
    several=True,
    spread=READING_SPREAD,
)
_JAWS = Input(
    "jaws_low",
    "what your inside jaws read low; try them in a ball bearing",
    "mm",
    usual=f"{JAWS_READ_LOW:g}",
    spread=0.01,
)


def _press_plug(
    bore: Sequence[float],
    wall: float,
    length: float | None,
    tube: Matter,
    plug: Matter,
    section: str,
    over_bore: float | None,
    hole: float,
    jaws_low: float,
    filing: float,
    tube_roughness: float,
    plug_roughness: float,
    friction: float | None,
    trim: float,
    hammer: float,
) -> Answer:
    if section == "square":
        raise OutOfDomain(
            "a square tube does not hold a press plug: its flat walls bow away, and the plug "
            "bears near the corners only, by how much nobody can say. "
            "Make a push plug with glue, or pin it: foldwright reckon push-plug section=square.",
            name="section",
        )
    planned = plan_press_plug(
        bore,
        wall,
        length,
        tube=tube,
        plug=plug,
        over_bore=over_bore,
        hole=hole,
        jaws_low=jaws_low,
        filing=filing,
        tube_roughness=tube_roughness,
        plug_roughness=plug_roughness,
        friction=friction,
        trim=trim,
        hammer=hammer,
    )
    return Answer(
        (*_to_make(planned), *_to_press(planned), *_to_hold(planned)),
        steps=plug_steps(planned),
        remarks=plug_remarks(planned),
        cautions=CAUTIONS,
    )


def _to_make(plug: PressPlug) -> tuple[Line, ...]:
    return (
        Line("plug_d", "file the plug to", plug.diameter, "mm", 2),
        Line("over_bore", "that is over the bore by", plug.over_bore, "mm", 2),
        Line("bore_d", "bore, jaws made good", plug.bore.diameter, "mm", 2),
        Line("cut_length", "saw the plug to", plug.cut_length, "mm", 1),
        Line("trim", "take off each end after", plug.trim, "mm", 1),
        Line("bevel_length", "bevel one end over", plug.bevel_length, "mm", 1),
        Line("bevel_d", "down to", plug.bevel_d, "mm", 2),
        Line("bevel_angle", "which is an angle of", math.degrees(plug.bevel_angle), "deg", 0),
    )


def _to_press(plug: PressPlug) -> tuple[Line, ...]:
    sit = plug.sit
    return (
        Line("press_force", "force to press it in", sit.force, "N", 0),
        Line("blows", f"hammer blows (to a factor of {BLOW_DOUBT:g})", plug.blows),
        Line("pressure", "pressure on the bore", sit.pressure, "MPa", 1),
        Line("hoop", "hoop stress at the bore", sit.hoop, "MPa", 0),
        Line("von_mises", "von Mises stress there", sit.von_mises, "MPa", 0),
        Line("state", "the tube", sit.state),
        Line("first_yield", "it begins to yield at, over bore", _over(plug, first=True), "mm", 2),
        Line("through", "and is through at, over bore", _over(plug, first=False), "mm", 2),
        Line("growth", "the bore is stretched by", 100.0 * sit.growth, "%", 2),
    )


def _over(plug: PressPlug, *, first: bool) -> float:
    return plug.loss + (plug.window.first if first else plug.window.through)


def _to_hold(plug: PressPlug) -> tuple[Line, ...]:
    error = f"filed {plug.filing:g} mm too"
    return (
        Line("pull_out", "force to pull it out", plug.sit.force, "N", 0),
        Line("torque", "torque to turn it", plug.sit.torque, "N mm", 0),
        Line("pull_out_small", f"pull-out, {error} small", plug.sit_if_small.force, "N", 0),
        Line("pull_out_large", f"pull-out, {error} large", plug.sit_if_large.force, "N", 0),
    )


def _push_plug(
    bore: Sequence[float],
    length: float,
    lap_shear: float,
    gap: float,
    section: str,
    corner: float,
    jaws_low: float,
) -> Answer:
    plug = plan_push_plug(
        bore,
        length,
        lap_shear,
        gap=gap,
        square=section == "square",
        corner=corner,
        jaws_low=jaws_low,
    )
    said = "side of the plug" if plug.square else "diameter of the plug"
    lines = (
        Line("plug_d", said, plug.size, "mm", 2),
        *((Line("corner", "take its corners off by", plug.corner, "mm", 1),) if corner else ()),
        Line("area", "glued area", plug.area, "mm2", 0),
        Line("glue", "glue to mix", plug.glue / 1000.0, "cm3", 1),
        Line("pull_out", "pull that breaks it", plug.pull_out, "N", 0),
        Line("torque", "torque that breaks it", plug.torque, "N mm", 0),
        Line("working", "pull to plan with, a quarter", WORKING_SHARE * plug.pull_out, "N", 0),
    )
    remarks = (
        (
            "Longer than the bore is wide: the ends carry most, so the last part of the length "
            "adds little.",
        )
        if plug.length > plug.bore.diameter
        else ()
    )
    return Answer(lines, steps=push_plug_steps(plug), remarks=remarks)


def _shrink_heat(
    bore: float,
    over_bore: float,
    tube: Matter,
    plug: Matter,
    clearance: float,
    room: float,
    plug_cold: float | None,
    holds: float,
) -> Answer:
    heat = shrink_heat(
        over_bore,
        bore,
        tube.expansion.value,
        clearance=clearance,
        room=room,
        plug_cold=plug_cold,
        plug_expansion=plug.expansion.value,
    )
    lines = (
        Line("rise", "warm the tube by", heat.rise, "K", 0),
        Line("temperature", "that is to, in degrees C", heat.temperature, "-", 0),
        Line("plug_shrinks", "the cold takes off the plug", heat.plug_shrinks, "mm", 3),
        Line("most_over", "most over the bore at the limit", _most_over(heat.rise, holds, room,
             over_bore, tube, bore), "mm", 2),
    )  # fmt: skip
    remarks = (
        (
            f"{heat.temperature:.0f} degrees C is more than the {holds:g} that the temper is "
            "sure to take: the tube may soften. File the plug smaller, cool it first, or press it.",
        )
        if heat.temperature > holds
        else ()
    )
    return Answer(lines, _HEAT_STEPS, remarks)


def _most_over(
    rise: float, holds: float, room: float, over_bore: float, tube: Matter, bore: float
) -> float:
    """Plug less bore that the limit of the temper still lets in [mm]."""
    spare = holds - room - rise
    return max(0.0, over_bore + spare * tube.expansion.value * bore)


_HEAT_STEPS = (
    "Bevel the plug, have it dry, cold and at hand, with a mark for how far it goes in.",
    "Warm the tube end evenly in an oven, or all round with a hot air gun; watch it with a "
    "thermometer that touches, or a drop of water dancing at well over 100 degrees.",
    "Drop the plug in square, at once and in one go: it grips in seconds. If it jams, stop, let "
    "both cool, and press it on.",
    "Let it cool in air, then see that it does not move.",
)


def _square_end(out: float, across: float, length: float, allowed: float | None) -> Answer:
    lean, off = end_lean(out, across, length)
    degrees = math.degrees(lean)
    lines = [
        Line("lean", "the tube leans by", degrees, "deg", 2),
        Line("off", "its far end is off by", off, "mm", 1),
    ]
    if allowed is not None:
        may = end_allowed(allowed, across, length)
        lines.append(Line("out_allowed", "the end may be out of square by", may, "mm", 2))
    remarks = (
        (f"A lean of {degrees:.1f} degrees shows beside anything upright. True the end.",)
        if degrees > _LEAN_SHOWS
        else ()
    )
    steps = (
        "Wrap a strip of paper with a straight edge round the tube, edge on edge, and scribe "
        "along it: that is a square line.",
        "File to the line, then stand the tube on glass and hold a square against it four ways "
        "round: the light under the square is what is out.",
    )
    return Answer(tuple(lines), steps, remarks)


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="press-plug",
        group=_GROUP,
        title="How large to file a plug that is hammered into a tube, and how it holds",
        inputs=(
            _BORE,
            Input("wall", "wall of the tube", "mm", spread=0.05),
            Input("length", "length of the finished plug, else as the bore is wide", "mm", ""),
            Input("tube", "what the tube is of", "matter", "al-6060-T66"),
            Input("plug", "what the plug is of", "matter", "al-6082-T6"),
            Input("section", "section of the tube", "word", "round", words=("round", "square")),
            Input("over_bore", "plug less bore, if you have one already", "mm", ""),
            Input("hole", "hole through the plug before it is pressed", "mm", "0"),
            _JAWS,
            Input("filing", "how true you file a diameter, one deviation", "mm", f"{FILING:g}"),
            Input(
                "tube_roughness",
                "Rz of the bore: drawn 0.006",
                "mm",
                f"{TUBE_ROUGHNESS:g}",
                spread=0.003,
            ),
            Input(
                "plug_roughness",
                "Rz of the plug: filed 0.016, rubbed with emery 0.010",
                "mm",
                f"{PLUG_ROUGHNESS:g}",
                spread=0.004,
            ),
            Input("friction", "friction, else the plug's, dry; oiled about 0.1", "-", ""),
            Input("trim", "left at each end for the hammer", "mm", f"{TRIM:g}"),
            Input("hammer", "head of the hammer", "kg", f"{HAMMER:g}"),
        ),
        answer=_press_plug,
        formula="Two elastic rings, p = delta / (d (C_t/E_t + C_p/E_p)), up to first yield; past "
        "it a perfectly plastic Tresca ring, delta/d = (Y/E_t) (c/d)^2 - (1 - nu_t) p/E_t + "
        "C_p p/E_p with p = Y (ln(c/d) + (1 - c^2/D^2)/2), level at Y ln(D/d); aim: first yield "
        "+ one deviation of filing + 0.8 (Rz_A + Rz_I); F = pi d L mu p",
        source="Shigley's Mechanical Engineering Design, 9th ed., eqs (3-56) and (3-57); R. Hill, "
        "The Mathematical Theory of Plasticity, 1950, chapter V; DIN 7190 for roughness "
        "and, from memory, bevel; trim, filing and blows: common practice, no source",
        domain="Round tube, outside up to 2.7 times the bore, ends free, bore stretched by less "
        "than 1 %. Hardening past yield is left out (a few per cent more). Friction is known to "
        "a third, blows to threefold.",
        cautions=CAUTIONS,
        example={"bore": "46.08,46.12,46.10", "wall": "2", "length": "30"},
    ),
    Reckoner(
        name="push-plug",
        group=_GROUP,
        title="How large to make a plug that is glued into a tube, and what it holds",
        inputs=(
            _BORE,
            Input("length", "length of the plug", "mm"),
            Input(
                "lap_shear",
                "average shear at which a lap of this glue and these surfaces broke",
                "MPa",
                usual="5",
                spread=1.5,
            ),
            Input("gap", "room for glue on each side", "mm", f"{GAP:g}"),
            Input("section", "section of the tube", "word", "round", words=("round", "square")),
            Input("corner", "inside corner radius of a square tube", "mm", "0"),
            _JAWS,
        ),
        answer=_push_plug,
        formula="F = tau A, A = pi d L or 4 (w - 2 r) L, T = F d/2",
        source="Average shear of a glued sleeve, elementary mechanics; gap, waste and the quarter: "
        "common practice, no source",
        domain="Glue gap up to 0.5 mm a side. The weaker of both surfaces decides: test a lap of "
        "each. Heat, wet and years take strength off.",
        cautions=(
            "Glue and its dust and fumes: air, gloves, no flame, and the maker's sheet.",
            "What hangs or carries a load needs a bolt, pin or rivet as well, and a person who may "
            "judge it by your local rules.",
        ),
        example={"bore": "30.0,30.1", "length": "25"},
    ),
    Reckoner(
        name="shrink-heat",
        group=_GROUP,
        title="How warm to make a tube so that a plug drops in",
        inputs=(
            Input("bore", "bore of the tube, cold", "mm", spread=0.02),
            Input("over_bore", "plug less bore, both cold", "mm", spread=0.02),
            Input("tube", "what the tube is of", "matter", "al-6060-T66"),
            Input("plug", "what the plug is of", "matter", "al-6082-T6"),
            Input("clearance", "room to drop it in", "mm", f"{CLEARANCE:g}"),
            Input("room", "temperature of the room, in degrees C", "-", f"{ROOM:g}"),
            Input("plug_cold", "plug cooled to, in degrees C; a freezer has -18", "-", ""),
            Input(
                "holds",
                "what the temper of the tube is sure to take for minutes, in degrees C",
                "-",
                f"{TEMPER_HOLDS:g}",
            ),
        ),
        answer=_shrink_heat,
        formula="dT = (interference + clearance - d alpha_p (room - cold)) / (alpha_t d)",
        source="Thermal expansion. Temper: R. Donovan, "
        "R. Fortune and R. Trout, Elevated Temperature Effects on the Mechanical Properties of "
        "Age Hardened 6xxx Series Aluminum Alloy Extrusions, 2015 (6063-T6 kept its least yield "
        "strength for 64 hours at 177 C, 16 at 199 C, 4 at 218 C)",
        domain="Even heat all round, expansion as between 20 and 100 C. Strain-hardened alloys "
        "(1050, 5005, 5754) soften slowly above about 150 C too: value from memory, unchecked.",
        cautions=(
            "Hot metal looks like cold metal: gloves, tongs, a place to put it, nothing that burns "
            "nearby, nobody alone with a flame. No paint, glue, plastic or closed hollow in the "
            "heat: fumes, and trapped air or water bursts.",
        ),
        example={"bore": "46.1", "over_bore": "0.10", "plug_cold": "-18"},
    ),
    Reckoner(
        name="square-end",
        group=_GROUP,
        title="How far a tube leans that stands on an end out of square",
        inputs=(
            Input("out", "light under the square at the far side of the end", "mm", spread=0.1),
            Input("across", "outside of the tube there", "mm"),
            Input("length", "length of the tube", "mm"),
            Input("allowed", "how far its far end may be off, if you know", "mm", ""),
        ),
        answer=_square_end,
        formula="lean = atan(s/d), off = L s/d",
        source="Similar triangles",
        domain="Ends out of square by up to a tenth of the width.",
        example={"out": "0.5", "across": "50", "length": "400", "allowed": "2"},
    ),
)
