"""Reckoner of how far a span of board sags, and what it carries."""

from __future__ import annotations

import math
from collections.abc import Callable

from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.sheet_inputs import BOARD, THICKNESS, measured
from foldwright.shop import Board
from foldwright.shop.panels import (
    Panel,
    core_shear_stress,
    equivalent_modulus,
    face_stress,
    face_yield_moment,
    moment_at_middle,
    moment_spread_out,
    panel_of,
    sag_at_middle,
    sag_spread_out,
    shear_sag,
    wrinkling_stress,
)
from foldwright.shop.physical import require_above_zero, require_between

_GRAVITY = 9.80665  # m/s2, standard
# Under a lasting load a core of plastic creeps: the part of the sag that its shear makes
# grows to about this many times. Common practice, no source.
_CREEP = 3.0
# A share that is no longer slight: of the span, past which the beam is too bent for its
# formula, or of the sag. Common practice, no source.
_SLIGHT = 0.1


def _panel(
    board: Board, thickness: float | None, span: float, width: float, load: float, where: str
) -> Answer:
    sheet = measured(board, thickness)
    require_above_zero(span, "the span", name="span")
    require_above_zero(width, "the width", name="width")
    require_between(load, 0.0, math.inf, "the load", name="load", unit="N")
    panel = panel_of(sheet)
    own = sheet.areal_mass * span * width * 1e-6 * _GRAVITY
    at_middle = where == "middle"
    sag_of = sag_at_middle if at_middle else sag_spread_out
    moment_of = moment_at_middle if at_middle else moment_spread_out
    sag, by_itself = sag_of(panel, width, span, load), sag_spread_out(panel, width, span, own)
    moment = moment_of(span, load) + moment_spread_out(span, own)
    by_shear = shear_sag(panel, width, moment)
    most, why = _most_load(sheet, panel, span, width, own, moment_of)
    lines = [
        Line("sag", "sags at the middle by", sag + by_itself, "mm"),
        Line("own", "of which under its own weight", by_itself, "mm"),
        Line("by_shear", "of which by shear", by_shear, "mm"),
        Line("stress", "stress in the faces", face_stress(panel, width, moment), "MPa"),
        Line("most", "carries there at most", most, "N", 0),
        Line("limit", "then", why),
        Line("mass", "mass of the span", own / _GRAVITY, "kg", 2),
        Line("as_stiff", "as stiff as solid sheet with E of", equivalent_modulus(panel), "MPa", 0),
    ]
    return Answer(
        tuple(lines), remarks=_remarks(sheet, span, load, sag + by_itself, most, by_shear)
    )


def _most_load(
    board: Board,
    panel: Panel,
    span: float,
    width: float,
    own: float,
    moment_of: Callable[[float, float], float],
) -> tuple[float, str]:
    """Load at which the first thing gives, beside the own weight [N], and what gives."""
    per_load, already = moment_of(span, 1.0), moment_spread_out(span, own)
    yields = face_yield_moment(panel, board.face.proof.value) * width
    loads = {"the faces yield": (yields - already) / per_load}
    if board.core is not None:
        wrinkles = wrinkling_stress(panel) / face_stress(panel, width, 1.0)
        loads["a face wrinkles"] = (wrinkles - already) / per_load
        # von Mises: what yields at Y in a pull does so at Y / sqrt(3) in shear
        shears = board.core.proof.value / math.sqrt(3.0)
        loads["the core shears"] = shears / core_shear_stress(panel, width, 0.5) - own
    what = min(loads, key=lambda name: loads[name])
    return max(loads[what], 0.0), what


def _remarks(
    board: Board, span: float, load: float, sag: float, most: float, by_shear: float
) -> tuple[str, ...]:
    said = ["It lies free on two edges; clamped edges sag less, four edges less again."]
    if load > most:
        said.append(f"{load:.0f} N is more than it carries: take thicker board, or a rib under it.")
    if board.core is not None and by_shear > _SLIGHT * sag:
        said.append(
            f"Under a load that stays the core creeps: count on {_CREEP:.0f} times the part by "
            "shear."
        )
    if sag > _SLIGHT * span:
        said.append(
            f"A sag of {sag:.0f} mm in {span:.0f} is too much for the formula; take it as "
            '"far too soft".'
        )
    return tuple(said)


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="panel",
        group="Folding",
        title="How far a span of board sags under a load, and how much it carries",
        inputs=(
            BOARD,
            THICKNESS,
            Input("span", "free, from edge to edge", "mm"),
            Input("width", "along the edges it lies on", "mm"),
            Input("load", "on it, besides its own weight", "N", usual="0"),
            Input(
                "where",
                "load on a line across the middle, or spread over all of it",
                "word",
                usual="middle",
                words=("middle", "spread"),
            ),
        ),
        answer=_panel,
        formula=(
            "v = F L^3/(48 EI) + F L/(4 AG) at the middle, 5 F L^3/(384 EI) + F L/(8 AG) spread; "
            "EI = Ef b t d^2/2 + Ef b t^3/6 + Ec b c^3/12; AG = b d^2 Gc/c; faces yield at "
            "sigma t d, wrinkle at 0.5 (Ef Ec Gc)^(1/3)"
        ),
        source=(
            "Ashby et al., Metal Foams: A Design Guide, ch. 10, after Allen 1969; wrinkling after "
            "Hoff and Mautner 1945, coefficient from memory, unchecked"
        ),
        domain=(
            "a strip of board on two edges, faces thin beside the core, sag under a tenth of the "
            "span, short loads; figures of plastic cores are known to a third or so"
        ),
        example={"board": "acp-3-0.3", "span": "400", "width": "300", "load": "20"},
        cautions=(
            "Nothing that a person stands on, sits under or hangs from is to be judged by this "
            "sum; ask somebody licensed to.",
        ),
    ),
)
