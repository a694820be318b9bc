"""Plug steps: the job of a press plug in order, and what to know about these very numbers.

Room: shop. For route sheets and for the bench; the numbers are those of
`press_plugs`. Common practice, no source.
"""

from __future__ import annotations

import math

from foldwright.shop.press_plugs import BLOW_DOUBT, MOST_GROWTH, PressPlug

# More blows than this are no work for a hammer: common practice, no source.
_MANY_BLOWS = 120

CAUTIONS = (
    "Chips fly from hardened hammer faces and from plugs: eyes covered, a soft block between, "
    "nobody across from you.",
    "What hangs or carries a load on a press plug needs a bolt, pin or rivet through tube and "
    "plug as well, and a person who may judge it by your local rules.",
)


def plug_steps(plug: PressPlug) -> tuple[str, ...]:
    """Steps from tube and bar to a plug that is in, in order.

    Parameters
    ----------
    plug : PressPlug

    Examples
    --------
    >>> from foldwright.shop import matters
    >>> from foldwright.shop.press_plugs import plan_press_plug
    >>> alu = matters()["al-6060-T66"]
    >>> plug_steps(plan_press_plug(46.10, 2.0, 30.0, tube=alu, plug=alu))[1][:73]
    'Saw the plug 34.0 mm long: 30.0 mm and 2.0 mm at each end for the hammer.'
    """
    kilonewtons = plug.sit.force / 1000.0
    force = f"{kilonewtons:.0f}" if kilonewtons >= 10.0 else f"{kilonewtons:.1f}"
    hole = f", then drill {plug.hole:g} mm through" if plug.hole else ""
    few, many = _few_and_many(plug)
    return (
        f"Take the burr off the bore and measure it three ways across, a plug's length deep. "
        f"Reckoned with: {plug.bore.diameter:.2f} mm.",
        f"Saw the plug {plug.cut_length:.1f} mm long: {plug.length:.1f} mm and {plug.trim:.1f} mm "
        f"at each end for the hammer. File both ends square{hole}.",
        f"File it round to {plug.diameter:.2f} mm, {plug.over_bore:.2f} mm over the bore. Turn it "
        "as you file, measure three ways across at both ends, stop a tenth early and go on fine.",
        f"Bevel one end over {plug.bevel_length:.1f} mm down to {plug.bevel_d:.2f} mm, about "
        f"{math.degrees(plug.bevel_angle):.0f} degrees, so that it enters by hand.",
        "Wipe plug and bore dry. Oil halves the force or better, going in and coming out.",
        "Stand the tube upright on something solid. Enter the plug, tap it, and hold a square "
        "against plug and tube two ways; straighten it before it is a third in.",
        f"Drive it with a soft block between: {few} to {many} blows of a {plug.hammer:g} kg "
        f"hammer, or a press of {force} kN. Stop with {plug.trim:.1f} mm standing out.",
        "If it slides in or goes in with light taps, it is too small: drive it out and file "
        "another, or glue it.",
        f"Saw and file off the {plug.trim:.1f} mm that the hammer bruised, level with the tube; "
        "the far end as well where it stands out.",
    )


def plug_remarks(plug: PressPlug) -> tuple[str, ...]:
    """Sentences about these very numbers: where the tube yields, what a filing error does."""
    return tuple(
        sentence
        for holds, sentence in (
            (
                plug.sit.state != "springs",
                f"The tube {_yields(plug.sit.state)}, and that is meant: first yield is at "
                f"{plug.window.first + plug.loss:.2f} mm over the bore, and past "
                f"{plug.window.through + plug.loss:.2f} mm a larger plug presses no harder than "
                f"{plug.window.through_pressure:.1f} MPa.",
            ),
            (
                plug.sit_if_small.state == "loose",
                f"Filed {plug.filing:g} mm too small it has no grip at all. Aim higher, or have "
                "glue at hand.",
            ),
            (
                plug.sit_if_large.growth >= MOST_GROWTH,
                f"Filed {plug.filing:g} mm too large it stretches the bore by "
                f"{100.0 * plug.sit_if_large.growth:.1f} %, and {100.0 * MOST_GROWTH:.0f} % is "
                "the most. Turn it, or measure with a micrometer.",
            ),
            (
                plug.bore.is_oval,
                f"The readings of the bore differ by {plug.bore.oval:.2f} mm: a reading is wrong, "
                "or the tube is oval. It goes round over the plug, so the mean counts.",
            ),
            (
                plug.bore.count == 1,
                "One reading of the bore is a guess: measure it three ways across.",
            ),
            (
                plug.blows > _MANY_BLOWS,
                "That is more than a hammer does: use a press, a shorter plug, or warm the tube "
                "and drop it in.",
            ),
            (
                plug.creeps,
                "Plastic and wood give way slowly: the grip fades over weeks. Glue or pin it too.",
            ),
            (
                plug.length < plug.end_length,
                f"Shorter than about {plug.end_length:.0f} mm, the tube beyond the plug holds it "
                "too: force and grip come out somewhat higher.",
            ),
        )
        if holds
    )


def _few_and_many(plug: PressPlug) -> tuple[int, int]:
    return max(1, round(plug.blows / BLOW_DOUBT)), math.ceil(plug.blows * BLOW_DOUBT)


def _yields(state: str) -> str:
    return state if state.startswith("yields") else f"only {state}"
