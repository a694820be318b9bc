"""Grooves: folds that a cut with a flat floor makes room for.

Room: shop. The cut closes as the fold is made (``groove``) or opens
(``open``). With web w, cut depth h = t - w, floor g, cutter angle alpha and k
the neutral line of the web from its concave face as a share of w::

    zone            g = theta (r + k w)
    setback         s = (distance from the bend centre to the outside skin) c
    cut still open  r > h (1 - tan(alpha/2) / c)

The web cannot stretch on the whole, so the floor of a groove *is* its zone.
`folds` calls `grooved`; `kerfs` builds on `cut_section` and `why_not`.
"""

from __future__ import annotations

import math
from dataclasses import replace

from foldwright.errors import OutOfDomain
from foldwright.shop.materials import Board
from foldwright.shop.mould_lines import corner_loss, setback
from foldwright.shop.sections import FoldRequest, FoldSection, SetUp
from foldwright.shop.springs import over_fold
from foldwright.shop.webs import neutral_depth, shutting_turn

# Gap that has to stay between the flanks of a groove when the fold is where
# it is held: common practice, no source.
SHUTTING_MARGIN = math.radians(1.0)
# Floors are widened in steps that a fence can be set to.
_FLOOR_STEP = 0.5
# Core left on the skin by default; web depth of a hand-held router is good to
# 0.1 to 0.15 mm (common practice, no source).
_CORE_LEFT = 0.5


def web_of(board: Board, request: FoldRequest) -> float:
    """Web asked for, or the skin and a little core [mm].

    Raises
    ------
    OutOfDomain
        The board does not have it.
    """
    least = board.skin_thickness
    web = request.web if request.web is not None else least + _CORE_LEFT
    most = board.thickness - least  # the skin that is cut has to be cut through
    if not least < web <= most or web >= board.thickness:
        raise OutOfDomain(
            f"a web of {web:g} mm is not to be had in {board.thickness:g} mm board"
            + (f" with {least:g} mm skins" if least else "")
            + f". Leave between {least:g} and {most:g} mm.",
            name="fold.web",
        )
    return web


def grooved(
    board: Board, turn: float, method: str, request: FoldRequest, set_ups: tuple[SetUp, ...]
) -> FoldSection:
    """Groove or open fold with the first set-up that makes it.

    The floor is widened, then the next cutter is tried.

    Raises
    ------
    OutOfDomain
        No set-up of the list does it.
    """
    web = web_of(board, request)
    was_asked = request.floor is not None or request.cutter is not None
    first_reason = ""
    for cutter in _in_wished_order(request, set_ups):
        floor = cutter.floor if request.floor is None else max(request.floor, cutter.floor)
        while floor <= cutter.widest + 1e-9:
            section = cut_section(board, turn, method, web, floor, cutter, request.k)
            reason = why_not(board, section)
            if not reason:
                return _with_note(section, first_reason) if was_asked and first_reason else section
            first_reason = first_reason or reason
            floor += _FLOOR_STEP
    what = first_reason or "there is none"
    raise OutOfDomain(
        f"a fold of {math.degrees(abs(turn)):.1f} degrees cannot be made with any cutter on the "
        f"list: {what}. Add a cutter with a wider angle or a wider floor, or cut a seam there.",
        name="fold",
    )


def _in_wished_order(request: FoldRequest, set_ups: tuple[SetUp, ...]) -> list[SetUp]:
    wished = request.cutter
    if wished is None:
        # A router cuts a groove in one pass where a saw needs several.
        return sorted(set_ups, key=lambda cutter: cutter.angle == 0.0)
    return sorted(set_ups, key=lambda cutter: abs(cutter.angle - wished) > 1e-9)


def cut_section(
    board: Board,
    turn: float,
    method: str,
    web: float,
    floor: float,
    cutter: SetUp,
    measured_k: float | None,
) -> FoldSection:
    """Section of one cut, whether or not it can be folded."""
    theta, t = abs(turn), board.thickness
    closes = method != "open"
    z = neutral_depth(board, web)
    k = measured_k if measured_k is not None else (1.0 - z / web if closes else z / web)
    radius = floor / theta - k * web
    # The web lies on the outside skin when the cut comes from inside. Its
    # concave face looks to the side that the fold turns to.
    cut_inside = closes == (turn > 0.0)
    low, high = (-web, 0.0) if cut_inside else (-t, -t + web)
    to_outside = radius - low if turn > 0.0 else radius + high
    return FoldSection(
        turn=turn,
        method=method,
        cut_side="inside" if cut_inside else "outside",
        web=web,
        k=k,
        inner_radius=radius,
        zone_width=floor,
        setback=setback(to_outside, theta),
        floor=floor,
        cutter=cutter.angle,
        cutter_name=cutter.name,
        shuts_at=shutting_turn(floor, web, t, cutter.angle, k) if closes else math.inf,
        over_fold=over_fold(board, web, floor, theta),
        strain=z * theta / floor,
        corner_loss=corner_loss(to_outside, theta),
    )


def why_not(board: Board, section: FoldSection) -> str:
    """Return why a section cannot be folded, in words; empty if it can."""
    held = abs(section.turn) + section.over_fold
    cut = "kerf" if section.cutter == 0.0 else f"{math.degrees(section.cutter):.0f} degree groove"
    floor = f"{section.floor:g} mm " + ("kerf" if section.cutter == 0.0 else "floor")
    if section.inner_radius < 0.0:
        least = section.k * section.web * abs(section.turn)
        return f"a {floor} is too narrow, the web needs {least:.1f}"
    if section.shuts_at < held + SHUTTING_MARGIN:
        what = f"a {floor}" if section.cutter == 0.0 else f"a {cut} with a {floor}"
        return f"{what} shuts at {math.degrees(section.shuts_at):.1f} degrees"
    limit = board.face.bend_strain
    if section.strain > limit:
        return (
            f"a {floor} strains the skin by {100 * section.strain:.1f} in 100, "
            f"{100 * limit:.1f} is the most"
        )
    return ""


def _with_note(section: FoldSection, reason: str) -> FoldSection:
    note = (
        f"{reason[0].upper()}{reason[1:]}, so set {section.floor:g} mm with the "
        f"{math.degrees(section.cutter):.0f} degree cutter."
    )
    return replace(section, note=note)
