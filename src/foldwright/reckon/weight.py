"""Reckoners for weight: what it weighs, how it hangs, who may lift and carry it.

Room: reckon. What to buy of it is in `stock`, and listed here too.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.plan import Stock
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.renaming import asked_as
from foldwright.reckon.stock import STOCK_SUMS
from foldwright.sheet import section_area
from foldwright.sheet.handling import (
    GENERAL_REFERENCE,
    GRAVITY,
    GRIPS,
    GUIDES,
    backpack_guidance,
    coupling_factor,
    frequency_factor,
    hanging_reactions,
    lifting_index,
    recommended_limit,
)
from foldwright.sheet.lumps import (
    Lump,
    block,
    composed,
    disc,
    frustum,
    hemisphere,
    panel,
    plate_of,
    rod,
)
from foldwright.shop import Board, Matter
from foldwright.shop.physical import require_above_zero, require_between

_MM2 = 1e6  # in a m2
_STRAINING, _HARMFUL = 1.0, 3.0  # lifting indices, NIOSH 94-110
_KITCHEN_SCALE, _BATHROOM_SCALE = 0.005, 0.2  # kg; common practice, no source
_RULE = 1.0  # mm, to the middle of a thing
_LITTLE = 0.1  # of the whole; a hook that carries less leaves nearly all to the other
_LOCAL = (
    "This is guidance for a healthy adult who stands well; local rules on manual handling, a "
    "doctor's advice and what a back says come first."
)
_OVERHEAD = (
    "Nothing hangs over people on a guess: rate hooks, cord and ceiling for several times the "
    "load by local codes, and have overhead fixings checked by someone licensed."
)


@dataclass(frozen=True)
class _Form:
    """A plain shape: which sizes it asks, and the lump that it makes of them and a density."""

    sizes: tuple[str, ...]
    made: Callable[..., Lump]


_FORMS = {
    "block": _Form(("length", "width", "height"), block),
    "wedge": _Form(
        ("length of its right-angled end", "height of that end", "thickness"),
        lambda x, y, t, density: plate_of([(0.0, 0.0), (x, 0.0), (0.0, y)], t, density),
    ),
    "bar": _Form(("diameter", "height"), lambda d, h, density: disc(d / 2.0, h, density)),
    "tube": _Form(
        ("diameter", "bore", "height"),
        lambda d, b, h, density: composed([disc(d / 2.0, h, density), -disc(b / 2.0, h, density)]),
    ),
    "cone": _Form(
        ("diameter below", "diameter above", "height"),
        lambda d, e, h, density: frustum(d / 2.0, e / 2.0, h, density),
    ),
    "half-ball": _Form(("diameter",), lambda d, density: hemisphere(d / 2.0, density)),
}


def _weigh(
    *,
    board: Board | None,
    thickness: float | None,
    area: float | None,
    tube: Matter | None,
    form: str,
    across: float | None,
    wall: float | None,
    length: float | None,
) -> Answer:
    lines = []
    total = 0.0
    if board is not None:
        mass = _sheet_mass(board, thickness, area)
        lines.append(Line("sheet", "sheet", mass, "kg", 3))
        total += mass
    if tube is not None:
        mass = _tube_mass(tube, form, across, wall, length)
        lines.append(Line("tube", "tube or bar", mass, "kg", 3))
        total += mass
    if not lines:
        raise OutOfDomain(
            "There is nothing to weigh. Give a board with its area, or a tube's material with its "
            "length, or both.",
            name="board",
        )
    lines += [
        Line("mass", "together", total, "kg", 3),
        Line("weight", "which pulls with", total * GRAVITY, "N"),
    ]
    return Answer(tuple(lines), remarks=("Glue, paint and fastenings are not counted.",))


def _sheet_mass(board: Board, thickness: float | None, area: float | None) -> float:
    if area is None:
        raise OutOfDomain("The area of the sheet is missing. Give it in m2.", name="area")
    if thickness is not None and board.is_skinned and thickness != board.thickness:
        raise OutOfDomain(
            f"{board.what} is {board.thickness:g} mm thick, not {thickness:g}. Leave the "
            "thickness out, or name another board.",
            name="thickness",
        )
    through = board.of_thickness(thickness) if thickness is not None else board
    require_above_zero(area, "the area", name="area", unit="m2")
    # one millimetre wide strip of that area
    return panel(area * _MM2, 1.0, through).content


def _tube_mass(
    tube: Matter, form: str, across: float | None, wall: float | None, length: float | None
) -> float:
    if across is None or length is None:
        raise OutOfDomain(
            "Of a tube or bar its size across and its length are asked. Give both in mm.",
            name="across" if across is None else "length",
        )
    require_above_zero(across, "the size across", name="across")
    if wall is not None:
        require_between(wall, 0.0, across / 2.0, "the wall", name="wall")
        require_above_zero(wall, "the wall", name="wall")
    kind = "bar" if wall is None else "tube"
    stock = Stock(
        "", "", wall or 0.0, form=kind if form == "round" else f"square {kind}", across=across
    )
    return rod(section_area(stock), length, tube.density.value).content


def _piece_weight(*, shape: str, sizes: Sequence[float], matter: Matter) -> Answer:
    form = _FORMS[shape]
    if len(sizes) != len(form.sizes):
        raise OutOfDomain(
            f"A {shape} has {len(form.sizes)} sizes, and {len(sizes)} are given. Give its "
            f"{', '.join(form.sizes)}.",
            name="sizes",
        )
    names = ("radius", "bottom_radius", "top_radius", "height", "thickness", "length", "width")
    with asked_as(**dict.fromkeys((*names, "outline", "pieces"), "sizes")):
        lump = form.made(*sizes, matter.density.value)
    lines = [
        Line("mass", "mass", lump.content, "kg", 3),
        Line("height", "centre above what it stands on", float(lump.at[2]), "mm"),
    ]
    if shape == "wedge":
        lines += [
            Line("along", "centre from the right angle, along", float(lump.at[0]), "mm"),
            Line("up", "centre from the right angle, up", float(lump.at[1]), "mm"),
        ]
    return Answer(tuple(lines), remarks=("Lay pieces together with hang: masses= and at=.",))


def _hang(*, masses: Sequence[float], at: Sequence[float], hooks: Sequence[float]) -> Answer:
    if len(masses) != len(at):
        raise OutOfDomain(
            f"There are {len(masses)} masses and {len(at)} places. Give a place for each mass.",
            name="at",
        )
    if len(hooks) != 2:
        raise OutOfDomain(
            f"{len(hooks)} hooks are given. Loads on two follow from the places alone; on more "
            "they follow from how far each gives. Give two.",
            name="hooks",
        )
    with asked_as(pieces="masses", force="masses", at="at", supports="hooks"):
        whole = composed(
            [Lump(m, np.array([x, 0.0, 0.0])) for m, x in zip(masses, at, strict=True)]
        )
        centre = float(whole.at[0])
        loads = hanging_reactions(whole.content, centre, (hooks[0], hooks[1]))
    lines = [
        Line("mass", "all together", whole.content, "kg", 2),
        Line("centre", "centre of mass", centre, "mm"),
    ]
    for i, (place, load) in enumerate(zip(hooks, loads, strict=True), 1):
        lines += [
            Line(f"hook_{i}", f"hook at {place:g} mm carries", load, "kg", 2),
            Line(f"pull_{i}", "which is a pull of", load * GRAVITY, "N"),
        ]
    remarks = []
    if min(loads) < 0.0:
        remarks.append(
            "The centre lies outside the hooks: it tips over one of them, and the other would "
            "have to hold it down. Move a hook past the centre."
        )
    elif min(loads) < _LITTLE * whole.content:
        remarks.append("One hook carries nearly all of it: rate each hook for the whole.")
    return Answer(tuple(lines), remarks=tuple(remarks))


def _lift(
    *,
    mass: float,
    horizontal: float,
    height: float,
    travel: float,
    twist: float,
    per_minute: float,
    hours: float,
    grip: str,
) -> Answer:
    limit = recommended_limit(
        horizontal,
        height,
        travel,
        twist,
        frequency_factor=frequency_factor(per_minute, hours, height),
        coupling_factor=coupling_factor(grip, height),
    )
    require_above_zero(mass, "the mass", name="mass", unit="kg")
    lines = [Line("limit", "most to lift like this", limit, "kg")]
    if limit > 0.0:
        index = lifting_index(mass, limit)
        lines.append(Line("index", "mass over that", index, "-", 2))
        verdict = "alone, with care"
        if index > _STRAINING:
            verdict = "with a second person or a hoist" if index <= _HARMFUL else "not by hand"
    else:
        verdict = "not by hand like this: too far, too high, too twisted or too often"
    lines.append(Line("verdict", "lift it", verdict))
    return Answer(tuple(lines), remarks=_lift_remarks(mass))


def _lift_remarks(mass: float) -> tuple[str, ...]:
    remarks = [
        "Ask again for the height where it is set down; the smaller limit counts. Closer, at "
        "knuckle height, without a turn of the body and with handles is always lighter."
    ]
    over = [g.standard for g in GUIDES.values() if mass > g.reference]
    if over:
        heaviest = min(g.reference for g in GUIDES.values())
        remarks.append(f"Over {heaviest:g} kg is past the reference mass of {' and '.join(over)}.")
    elif mass > GENERAL_REFERENCE:
        remarks.append(
            f"Over {GENERAL_REFERENCE:g} kg is more than the young, the old and many others "
            "should lift."
        )
    return tuple(remarks)


def _carry(*, body_mass: float) -> Answer:
    low, high = backpack_guidance(body_mass)
    return Answer(
        (
            Line("long", "on the back for hours, up to", low, "kg"),
            Line("short", "for a short way, up to", high, "kg"),
        )
    )


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="weigh",
        group="Weight",
        title="Mass of an area of sheet and a length of tube",
        inputs=(
            Input("board", "board or sheet; may be left out", "board", ""),
            Input("thickness", "of sheet sold in any thickness", "mm", ""),
            Input("area", "of all pieces of it", "m2", ""),
            Input("tube", "material of tube or bar; may be left out", "matter", ""),
            Input("form", "of tube or bar", "word", "round", words=("round", "square")),
            Input("across", "outside diameter or side", "mm", ""),
            Input("wall", "of tube; left out for a solid bar", "mm", ""),
            Input("length", "all lengths of it end to end", "mm", ""),
        ),
        answer=_weigh,
        formula="area times (2 t_s rho_s + t_c rho_c), section times length times density",
        source="densities as the table of materials says",
        domain="Even thickness; grooves and holes are not counted.",
        example={
            "board": "acp-3-0.5",
            "area": "0.2",
            "tube": "al-1050A-H14",
            "across": "40",
            "wall": "2",
            "length": "1200",
        },
    ),
    Reckoner(
        name="piece-weight",
        group="Weight",
        title="Mass of a plain shape, and how high its centre is",
        inputs=(
            Input("shape", "which", "word", words=tuple(_FORMS)),
            Input(
                "sizes",
                "; ".join(f"{name}: {', '.join(form.sizes)}" for name, form in _FORMS.items()),
                "mm",
                several=True,
            ),
            Input("matter", "what it is made of", "matter"),
        ),
        answer=_piece_weight,
        formula="volume times density; centres h/2, h/4 of a cone, 3 r/8 of half a ball",
        source="R. C. Hibbeler, Engineering Mechanics: Statics, inside back cover",
        domain="Solid right through; a cone may be cut off at the top.",
        example={"shape": "cone", "sizes": "60,40,50", "matter": "al-1050A-H14"},
    ),
    Reckoner(
        name="hang",
        group="Weight",
        title="Where the centre of mass is, and what each of two hooks carries",
        inputs=(
            Input("masses", "of the pieces", "kg", several=True, spread=_KITCHEN_SCALE),
            Input("at", "middle of each, from one end", "mm", several=True, spread=_RULE),
            Input("hooks", "both, from that end", "mm", several=True, spread=_RULE),
        ),
        answer=_hang,
        formula="centre = sum m x / sum m; R_1 = W (x - x_0) / (x_1 - x_0), R_0 = W - R_1",
        source="moments, in any text on statics",
        domain="Hangs level and still, from cords that are plumb; two hooks.",
        example={"masses": "1.2,0.4", "at": "300,700", "hooks": "150,650"},
        cautions=(_OVERHEAD,),
    ),
    Reckoner(
        name="lift",
        group="Weight",
        title="Whether it is safe to lift alone",
        inputs=(
            Input("mass", "of the thing", "kg", spread=_BATHROOM_SCALE),
            Input("horizontal", "hands in front of the middle between the ankles", "mm", "400"),
            Input("height", "hands over the floor where the lift begins", "mm", "0"),
            Input("travel", "how far up or down", "mm", "750"),
            Input("twist", "turn of the body to the side", "deg", "0"),
            Input("per_minute", "lifts a minute", "per min", "0.2"),
            Input("hours", "of lifting in one go, up to 8", "-", "1"),
            Input(
                "grip",
                "good: handles; fair: fingers bent under; poor: neither",
                "word",
                "fair",
                words=GRIPS,
            ),
        ),
        answer=_lift,
        formula="RWL = 23 (25/H) (1 - 0.003 |V - 75|) (0.82 + 4.5/D) (1 - 0.0032 A) FM CM, in cm",
        source="NIOSH publication 94-110, revised lifting equation; ISO 11228-1",
        domain="Two hands, standing, firm floor, nothing slippery, hot, one-sided or alive.",
        example={"mass": "12", "horizontal": "400", "height": "300", "travel": "600"},
        cautions=(_LOCAL,),
    ),
    Reckoner(
        name="carry",
        group="Weight",
        title="How much to carry on the back",
        inputs=(Input("body_mass", "of who carries it", "kg", spread=1.0),),
        answer=_carry,
        formula="10 and 20 % of body mass",
        source="common practice, no source",
        domain="Healthy adults, load close to the back.",
        example={"body_mass": "70"},
        cautions=(_LOCAL,),
    ),
    *STOCK_SUMS,
)
