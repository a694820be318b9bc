"""Test strips: what a folded strip of the maker's own board says of its neutral line.

Room: shop. A strip is measured flat, folded with the set-up that the job will
have, and its two outside legs are measured. They are longer than the flat by
the deduction, and the deduction is a straight line in k, by the very formulas
that `grooves` and `bends` use. So three lengths give k, and k goes into every
later fold with that set-up.

Lay a square or a straight piece on one leg to measure the other: both legs run
to the corner in which the two outside faces would meet.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from foldwright.errors import OutOfDomain
from foldwright.shop.bend_allowances import allowance, deduction
from foldwright.shop.bends import SCORED_WEB, scored
from foldwright.shop.grooves import cut_section, web_of
from foldwright.shop.materials import Board, StripResult
from foldwright.shop.physical import require_above_zero, require_between, require_whole
from foldwright.shop.sections import FoldRequest, SetUp

METHODS = ("groove", "kerf", "open", "bend", "hot", "score")
"""Ways of folding a strip."""
_UNCUT = ("bend", "hot")
# A k so many spreads outside of what bends is taken for an error of reading.
_DOUBTFUL = 2.0


@dataclass(frozen=True)
class StripErrors:
    """How well a strip is measured, one standard deviation each; common practice, no source.

    Attributes
    ----------
    length : float
        Of each length, with rule and square or a caliper [mm].
    angle : float
        [rad].
    radius : float
        Of the inside of a bend, with a radius gauge [mm].
    floor, web : float
        Of the cut [mm].
    thickness : float
        Of the board [mm].
    """

    length: float = 0.1
    angle: float = math.radians(0.5)
    radius: float = 0.2
    floor: float = 0.1
    web: float = 0.05
    thickness: float = 0.02


@dataclass(frozen=True)
class StripFold:
    """How a strip was folded, as measured.

    Attributes
    ----------
    turn : float
        [rad], above 0; after letting go.
    method : str
        One of `METHODS`.
    web, floor : float or None
        Left under the cut, and its flat [mm].
    radius : float or None
        Of the inside of a bend [mm].
    """

    turn: float
    method: str
    web: float | None = None
    floor: float | None = None
    radius: float | None = None


def k_from_strip(
    board: Board,
    turn: float,
    flat: float,
    leg_1: float,
    leg_2: float,
    *,
    method: str = "groove",
    web: float | None = None,
    floor: float | None = None,
    radius: float | None = None,
    strips: int = 1,
    errors: StripErrors | None = None,
) -> tuple[float, float]:
    """Neutral line from a folded test strip, and how sure it is.

    ::

        deduction = leg_1 + leg_2 - flat = a + b k

    Parameters
    ----------
    board : Board
        With its thickness as measured.
    turn : float
        [rad], as measured after letting go; above 0, below 175 degrees.
    flat, leg_1, leg_2 : float
        Length before, the two outside legs after [mm].
    method : str
        How it was folded, one of `METHODS`.
    web, floor : float or None
        Of the cut; the usual web of the board if None. A cut needs its floor [mm].
    radius : float or None
        Inside radius of a bend [mm], which needs it.
    strips : int
        How many strips with this set-up the three lengths are the means of.
    errors : StripErrors or None
        How well they were measured; the usual errors if None.

    Returns
    -------
    k : float
        From the concave face, as a share of what bends [-]; 0 to 1.
    spread : float
        One standard deviation [-].

    Raises
    ------
    OutOfDomain
        Lengths that no strip has, a measure that is missing, or readings that put
        the neutral line outside of what bends by more than two spreads.

    Examples
    --------
    >>> from foldwright.shop import boards
    >>> k, spread = k_from_strip(
    ...     boards()["acp-3-0.3"], math.radians(90), 100.0, 50.44, 50.44, web=0.8, floor=2.0)
    >>> round(k, 2), round(spread, 2)
    (0.79, 0.11)
    """
    for name, length in (("flat", flat), ("leg_1", leg_1), ("leg_2", leg_2)):
        require_above_zero(length, f"the length {name.replace('_', ' ')}", name=name)
    count = require_whole(strips, 1, "the number of strips", name="strips")
    sure = errors if errors is not None else StripErrors()
    fold = _complete(board, StripFold(turn, method, web, floor, radius))
    taken = leg_1 + leg_2 - flat

    def k_of(of_board: Board, of_fold: StripFold) -> float:
        sharpest, gentlest = (_deduction(of_board, of_fold, k) for k in (0.0, 1.0))
        return (taken - sharpest) / (gentlest - sharpest)

    k = k_of(board, fold)
    none, whole = (_deduction(board, fold, k) for k in (0.0, 1.0))
    spread = math.hypot(
        math.sqrt(3.0 / count) * sure.length / abs(whole - none),
        *_shifts(board, fold, sure, k_of),
    )
    if not -_DOUBTFUL * spread <= k <= 1.0 + _DOUBTFUL * spread:
        raise OutOfDomain(
            f"the legs are {taken:.2f} mm longer than the flat together; this fold makes them "
            f"{min(none, whole):.2f} to {max(none, whole):.2f} mm longer. Measure again, both legs "
            "from the edge to the outside of the other, or check what was cut.",
            name="flat",
        )
    return min(max(k, 0.0), 1.0), spread


def strip_result(
    board: Board, fold: StripFold, lengths: Sequence[float], strips: int = 1
) -> StripResult:
    """What a folded strip says, to be folded by from then on.

    Parameters
    ----------
    board : Board
        With its thickness as measured.
    fold : StripFold
        How it was folded.
    lengths : sequence of float
        Flat before, and the two outside legs after [mm].
    strips : int
        As in `k_from_strip`.

    Raises
    ------
    OutOfDomain
        As `k_from_strip`; not three lengths.
    """
    if len(lengths) != 3:
        raise OutOfDomain(
            "a strip says three lengths: flat before, and its two outside legs after.",
            name="lengths",
        )
    k, spread = k_from_strip(
        board,
        fold.turn,
        *lengths,
        method=fold.method,
        web=fold.web,
        floor=fold.floor,
        radius=fold.radius,
        strips=strips,
    )
    whole = _complete(board, fold)
    if whole.method in _UNCUT:
        return StripResult(whole.method, board.thickness, k, spread)
    left = whole.web if whole.web is not None else SCORED_WEB * board.thickness
    return StripResult(whole.method, left, k, spread)


def _complete(board: Board, fold: StripFold) -> StripFold:
    """Return the fold with its usual web, once it is sure to be one that can be measured."""
    if fold.method not in METHODS:
        raise OutOfDomain(
            f'a strip cannot be folded by "{fold.method}". There are: {", ".join(METHODS)}.',
            name="method",
        )
    require_above_zero(board.thickness, "the thickness of the board", name="thickness")
    require_between(
        fold.turn, math.radians(5.0), math.radians(175.0), "the turn", name="turn", unit="deg"
    )
    if fold.method in _UNCUT:
        if fold.radius is None:
            raise OutOfDomain(
                "a bent strip needs its inside radius. Measure it with a radius gauge or a drill.",
                name="radius",
            )
        require_between(fold.radius, 0.0, math.inf, "the inside radius", name="radius")
        return fold
    if fold.method == "score":
        return fold
    if fold.floor is None:
        raise OutOfDomain(
            "a cut strip needs the floor of its cut. Measure the flat that the cutter leaves.",
            name="floor",
        )
    require_above_zero(fold.floor, "the floor of the cut", name="floor")
    return replace(fold, web=web_of(board, FoldRequest(web=fold.web)))


def _deduction(board: Board, fold: StripFold, k: float) -> float:
    """What the legs are longer than the flat with the neutral line at k [mm]."""
    if fold.radius is not None and fold.method in _UNCUT:
        taken = allowance(fold.turn, fold.radius, board.thickness, k)
        return deduction(fold.turn, fold.radius, board.thickness, taken)
    if fold.web is not None and fold.floor is not None:
        cutter = SetUp("", 0.0, fold.floor, fold.floor)  # its flanks play no part in the flat
        cut = cut_section(board, fold.turn, fold.method, fold.web, fold.floor, cutter, k)
        return cut.deduction
    return scored(board, fold.turn, FoldRequest(web=fold.web, k=k)).deduction


def _shifts(
    board: Board, fold: StripFold, sure: StripErrors, k_of: Callable[[Board, StripFold], float]
) -> list[float]:
    """What each error but those of the lengths moves k by."""
    thinner, thicker = (
        board.of_thickness(board.thickness + by) for by in (-sure.thickness, sure.thickness)
    )
    found = [(k_of(thicker, fold) - k_of(thinner, fold)) / 2.0]
    for name, by in (
        ("turn", sure.angle),
        ("radius", sure.radius),
        ("floor", sure.floor),
        ("web", sure.web),
    ):
        value = getattr(fold, name)
        if value is None or by == 0.0:
            continue
        down = min(by, 0.9 * (value - (board.skin_thickness if name == "web" else 0.0)))
        ends = [k_of(board, replace(fold, **{name: v})) for v in (value - down, value + by)]
        found.append((ends[1] - ends[0]) / 2.0)
    return found
