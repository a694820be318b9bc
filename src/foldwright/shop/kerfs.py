"""Kerfs: folds that a saw makes room for, alone or several in a row.

Room: shop. The flanks of a kerf are parallel, so it shuts at ``g / (h + k w)``.
A turn that one kerf cannot make is shared by a *row* of n, each turning
d = theta / n. With pitch p from kerf to kerf in the flat, the outside of the
row is a chain of n - 1 chords of length L, and its first zone lies back from
the mould line by S::

    L = p - g + 2 s_d
    S = L sin((n - 1) d / 2) / (2 sin(d / 2) cos(theta / 2)) + s_d

where s_d is the setback of one kerf. The corners of the chain lie on a circle,
and its chords touch one of radius ``L / (2 tan(d / 2))``: so a row can follow
a round. `folds` calls `kerfed`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from foldwright.errors import OutOfDomain
from foldwright.shop.grooves import cut_section, web_of, why_not
from foldwright.shop.materials import Board
from foldwright.shop.sections import FoldRequest, FoldSection, SetUp

# Rows longer than this are no work for a hand-fed saw.
_MOST_KERFS = 60
# The chain of a row may stand off the round it follows by this much [mm]; less shows
# no more than the kerfs do. Common practice, no source.
_OFF_ROUND = 0.5
# Strips between kerfs that are narrower than the board is thick break out; common
# practice, no source.
_NARROWEST_STRIP = 1.0


def kerfed(
    board: Board, turn: float, request: FoldRequest, set_ups: tuple[SetUp, ...]
) -> FoldSection:
    """Fold over one kerf, or over as many as it takes.

    The least number that stay open a degree beyond the turn and do not
    overstrain the skin, unless the request says how many. Strips between
    kerfs are as wide as the board is thick, unless the request gives a pitch,
    or a radius: then the row follows a round of that inside radius, with as
    many kerfs as keep its outside within half a millimetre of it.

    Parameters
    ----------
    board : Board
    turn : float
        [rad], negative re-entrant (sawn from outside).
    request : FoldRequest
    set_ups : tuple of SetUp
        The maker's cutters; those with angle 0 are saws.

    Raises
    ------
    OutOfDomain
        No saw on the list, more kerfs than 60, kerfs that run into one
        another, or a radius that the row cannot follow.
    """
    web = web_of(board, request)
    saws = [cutter for cutter in set_ups if cutter.angle == 0.0]
    if not saws:
        raise OutOfDomain(
            "a kerf needs a saw, and there is none on the list. "
            "Add a cutter with angle_deg = 0 and the kerf of the blade as its floor.",
            name="fold.method",
        )
    reason = ""
    for saw in saws:
        floor = saw.floor if request.floor is None else max(request.floor, saw.floor)
        if floor > saw.widest + 1e-9:
            reason = f"a {floor:g} mm kerf is wider than {saw.name} is set to cut"
            continue
        for count in _counts(turn, board, request):
            section = cut_section(board, turn / count, "kerf", web, floor, saw, request.k)
            reason = why_not(board, section)
            if not reason:
                return _row(board, turn, count, section, request)
    advice = "Leave out kerfs, or ask for more" if request.kerfs else "Add a wider blade"
    raise OutOfDomain(
        f"a fold of {math.degrees(abs(turn)):.1f} degrees cannot be made with "
        f"{request.kerfs or _MOST_KERFS} kerfs: {reason}. {advice}, or cut a seam there.",
        name="fold.kerfs" if request.kerfs else "fold",
    )


def _counts(turn: float, board: Board, request: FoldRequest) -> Iterable[int]:
    if request.kerfs is not None:
        if not 1 <= request.kerfs <= _MOST_KERFS:
            raise OutOfDomain(
                f"a row of {request.kerfs} kerfs cannot be sawn; 1 to {_MOST_KERFS} can. "
                "Change kerfs, or leave it out.",
                name="fold.kerfs",
            )
        return (request.kerfs,)
    least = 1
    if request.radius is not None:
        outside = request.radius + board.thickness
        # R (1/cos(d/2) - 1) is how far the corners of the chain stand off the round.
        each = 2.0 * math.acos(outside / (outside + _OFF_ROUND))
        least = max(2, math.ceil(abs(turn) / each))
    elif request.pitch is not None:
        least = 2
    return range(least, _MOST_KERFS + 1)


def _row(
    board: Board, turn: float, count: int, one: FoldSection, request: FoldRequest
) -> FoldSection:
    """Row of `count` kerfs like `one`."""
    if count == 1:
        return one
    theta, each = abs(turn), abs(turn) / count
    pitch = _pitch(board, turn, one, request)
    chord = pitch - one.zone_width + 2.0 * one.setback
    if pitch <= one.zone_width or chord <= 0.0:
        raise OutOfDomain(
            f"{count} kerfs of {one.floor:g} mm at a pitch of {pitch:.1f} mm run into one another. "
            f"Use a pitch of {one.floor + _NARROWEST_STRIP * board.thickness:g} mm or more, "
            "a larger radius, or fewer kerfs.",
            name="fold.radius" if request.pitch is None and request.radius else "fold.pitch",
        )
    to_first = (
        chord * math.sin((count - 1) * each / 2.0)
        / (2.0 * math.sin(each / 2.0) * math.cos(theta / 2.0))
    )  # fmt: skip
    # Depth under the mould line of the middle of the chain: see the module docstring.
    circle = chord / (2.0 * math.sin(each / 2.0))
    depth = to_first * math.sin(theta / 2.0) - circle * (1.0 - math.cos((count - 1) * each / 2.0))
    if count % 2 == 0:
        depth += circle * (1.0 - math.cos(each / 2.0))
    return replace(
        one,
        turn=turn,
        setback=to_first + one.setback,
        corner_loss=depth + (one.corner_loss if count % 2 else 0.0),
        kerfs=count,
        pitch=pitch,
    )


def _pitch(board: Board, turn: float, one: FoldSection, request: FoldRequest) -> float:
    if request.pitch is not None:
        return request.pitch
    if request.radius is None:
        return one.zone_width + _NARROWEST_STRIP * board.thickness
    outside = request.radius + (board.thickness if turn > 0.0 else 0.0)
    chord = 2.0 * outside * math.tan(abs(one.turn) / 2.0)
    return chord - 2.0 * one.setback + one.zone_width
