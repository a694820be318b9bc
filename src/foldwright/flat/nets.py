"""Nets: which edges fold, so that the seams are shortest and nothing overlaps.

Room: flat. Start at `best_net`. A net in one piece is looked for first, then
in two, and so on: by exchanging folds (`net_search`), which soon ends where
little overlaps, and in one piece by branches of a linear programme
(`net_programme`), which ends with a proof up to 40 faces and often far above.
What takes too long is grown (`net_growth`): its seams are short, but not
proved the shortest, and the notes say so. A net also has to fit the rack
(`rack_fit`) and to fold by hand in some order (`folding_order`); where these
bind, the same search goes on to the next net.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TypeGuard

from foldwright.errors import CannotMake
from foldwright.flat.develop import Layout, Sheet, develop
from foldwright.flat.folding_order import FoldingOrder, folding_order
from foldwright.flat.joints import SMOOTH
from foldwright.flat.net_growth import grown
from foldwright.flat.net_programme import BranchAndCut, is_plane
from foldwright.flat.net_search import Forest, Outcome, Problem, heaviest_net, search
from foldwright.flat.rack_fit import Fits, causes_of_misfit
from foldwright.flat.unfolding import Cause, Change, Unfolding, total

# Up to so many faces the search is meant to end with a proof.
EXACT_FACES = 40
# Nets looked at before a search gives up: of so many faces at most, where branches can be
# looked at instead, and where not.
_MOST_NETS = ((EXACT_FACES, 200, 2000), (80, 20, 300), (math.inf, 10, 30))
# Branches looked at before growing is tried, and before a search gives up.
_FEW_BRANCHES = 60
_MOST_BRANCHES = 2000
# Nets without a folding order that are passed over before one is taken as it is.
_MOST_ORDERS = 12
# Rounds of growing anew, and how often to take other chances: every other time from scratch.
_ROUNDS = 120
_STARTS = 3
# Growing stops within this much of the bound, and starts over only beyond the second.
_CLOSE = 1.02
_TOO_LONG = 1.0499
# With no more folds than this nobody asks for their order.
_FEW_FOLDS = 3
# Overlaps that are weighed at one net.
_WEIGHED = 40


@dataclass(frozen=True)
class Net:
    """How a solid is cut open and folded.

    Attributes
    ----------
    layouts : list of Layout
        One per piece.
    order : tuple of int
        Edges in the order in which they fold, piece after piece; empty if no
        order was looked for. What has to be closed together comes last.
    notes : tuple of str
        What the maker should know of it.
    proven : bool
        Whether fewer pieces, or as many with less seam, are proved impossible;
        also False if a shorter net was passed over only because no order to
        fold it was found.
    """

    layouts: list[Layout]
    order: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()
    proven: bool = False


def best_net(
    part: str,
    sheet: Sheet,
    weights: Sequence[float],
    must_fold: frozenset[int] = frozenset(),
    *,
    fits: Fits | None = None,
) -> Net:
    """Lay out the net in the fewest pieces, and of these with the least weighted seam.

    Parameters
    ----------
    part : str
        For messages.
    sheet : Sheet
    weights : sequence of float
        Cost of a seam along each edge, 0 or more [mm].
    must_fold : frozenset of int
        Edges that the maker forces to fold.
    fits : callable or None
        Whether an outline fits a sheet of the rack; what lies inside a fitting
        outline has to fit as well.

    Returns
    -------
    Net

    Raises
    ------
    CannotMake
        The forced folds make a ring, overlap or leave a face too narrow; or a
        face fits no sheet by itself.
    """
    judge = _Judge(part, sheet, fits)
    problem = _problem(part, judge.unfolding, weights, must_fold)
    judge.require_sound(must_fold)
    found = _Finder(judge, problem).find()
    if found is None:
        raise CannotMake(
            f"No way was found to cut {part} from board with the folds forced on it.",
            part=part,
            field="fold_at",
            remedy="Take some of them out of fold_at.",
        )
    net, notes, proven = found
    orders = judge.orders(net)
    return Net(
        develop(part, sheet, net),
        tuple(edge for order in orders for edge in (*order.order, *order.together)),
        (*notes, *judge.words(net, orders)),
        proven,
    )


def _problem(
    part: str, unfolding: Unfolding, weights: Sequence[float], must_fold: frozenset[int]
) -> Problem:
    """What is searched, after the forced folds were found to make no ring."""
    faces = len(unfolding.names)
    forest = Forest(faces)
    can_fold = all(
        edge in unfolding.foldable and forest.join(*unfolding.ends[edge])
        for edge in sorted(must_fold)
    )
    if not can_fold:
        raise CannotMake(
            f"The folds forced on {part} close a ring, which cannot be laid flat.",
            part=part,
            field="fold_at",
            remedy="Take one of them out of fold_at.",
        )
    return Problem(faces, unfolding.ends, weights, unfolding.foldable, must_fold)


@dataclass
class _Judge:
    """Says what is against a net."""

    part: str
    sheet: Sheet
    fits: Fits | None
    unfolding: Unfolding = field(init=False)
    unordered: list[frozenset[int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.unfolding = Unfolding(self.part, self.sheet)
        self._orders: dict[frozenset[int], list[FoldingOrder]] = {}
        flat = not any(face.cylinder for face in self.sheet.faces)
        self.has_orders = flat and len(self.sheet.faces) <= EXACT_FACES

    def require_sound(self, must: frozenset[int]) -> None:
        """Refuse what no net can mend: forced folds on a narrow face, a face off every sheet."""
        for _, fault in self.unfolding.narrow(must):
            raise fault
        if self.fits is None:
            return
        for layout in develop(self.part, self.sheet, must):
            if not self.fits(layout.outline):
                names = " and ".join(f'"{name}"' for name in layout.order)
                raise CannotMake(
                    f"Face {names} of {self.part} fits no sheet of the rack.",
                    part=self.part,
                    field="from",
                    remedy="Put a larger sheet on the rack, or divide the face.",
                )

    def __call__(self, net: frozenset[int]) -> list[Cause]:
        """Causes against a net: narrow faces, overlaps, the rack, the order of folding."""
        causes = self.without_order(net)
        if causes or not self.has_orders or len(self.unordered) >= _MOST_ORDERS:
            return causes
        stuck = [order for order in self.orders(net) if order.together]
        if stuck:
            self.unordered.append(net)
        return [
            tuple(Change(edge, False) for edge in sorted({*order.order, *order.together}))
            for order in stuck
        ]

    def without_order(self, net: frozenset[int]) -> list[Cause]:
        """Causes against a net, the order of folding apart."""
        unfolding = self.unfolding
        narrow = unfolding.narrow(net)
        if narrow:
            return [unfolding.cause_of_narrow(face, fault, net) for face, fault in narrow]
        laid = unfolding.lay(net)
        overlaps = unfolding.overlaps(laid)
        if overlaps:
            return [unfolding.cause_of_overlap(laid, a, b) for a, b in overlaps[:_WEIGHED]]
        if self.fits is None:
            return []
        causes = []
        for layout in develop(self.part, self.sheet, net):
            if not self.fits(layout.outline):
                piece = laid.piece[unfolding.names.index(layout.order[0])]
                causes += causes_of_misfit(unfolding, laid, piece, layout.outline, self.fits)
        return causes

    def orders(self, net: frozenset[int]) -> list[FoldingOrder]:
        """Folding order of each piece; none where no order is looked for."""
        if not self.has_orders:
            return []
        if net not in self._orders:
            layouts = develop(self.part, self.sheet, net)
            self._orders[net] = [folding_order(self.sheet, layout) for layout in layouts]
        return self._orders[net]

    def can_fold(self, net: frozenset[int] | None) -> TypeGuard[frozenset[int]]:
        """Whether there is a net, and an order to fold it where one is looked for."""
        return net is not None and not any(order.together for order in self.orders(net))

    def words(self, net: frozenset[int], orders: Sequence[FoldingOrder]) -> tuple[str, ...]:
        """What the maker should know of folding a net."""
        # Curls are made before folding, and any order folds two or three flaps.
        folds = sum(self.sheet.folds[edge].method != SMOOTH for edge in net)
        if not self.has_orders and folds > _FEW_FOLDS:
            return ("The order of folding was not worked out: find it with a paper model.",)
        notes = []
        for order in orders:
            if order.together:
                names = [self._fold(edge) for edge in order.together]
                notes.append(
                    f"No order was found that makes every fold by itself. Fold {', '.join(names)} "
                    "last and close them together; try it with a paper model first."
                )
        return tuple(notes)

    def _fold(self, edge: int) -> str:
        ends = self.sheet.edges[edge]
        return f"{ends.left} to {ends.right}"


@dataclass
class _Finder:
    """Looks for the best net of one solid."""

    judge: _Judge
    problem: Problem
    _grown: dict[int, frozenset[int] | None] = field(default_factory=dict)

    def find(self) -> tuple[frozenset[int], tuple[str, ...], bool] | None:
        """Net, notes, and whether it is proved the best; None if there is none."""
        fewest = self.problem.fewest_pieces()
        best: frozenset[int] | None = None
        for pieces in range(fewest, self.problem.faces - len(self.problem.must) + 1):
            if best is not None and self._pieces(best) <= pieces:
                break
            outcome = self._searched(pieces)
            shortest = self._best_of(outcome.net, *self.judge.unordered)
            if outcome.is_exhausted and shortest is not None:
                # Rather a net that folds only in the air than one piece more.
                net = outcome.net if self.judge.can_fold(outcome.net) else shortest
                is_proven = self._rank(net) <= self._rank(shortest)
                return net, self._pieces_note(pieces, fewest, True), is_proven
            if not outcome.is_exhausted:
                best = self._grow(pieces, outcome, best)
                if best is None or not self.is_small or self._pieces(best) == pieces:
                    break
                return self._after(best, pieces, fewest)
        if best is None:
            return None
        return best, self._grown_notes(best, fewest), False

    @property
    def is_small(self) -> bool:
        """Whether the search is meant to end with a proof."""
        return self.problem.faces <= EXACT_FACES

    def _searched(self, pieces: int) -> Outcome:
        """Best net of so many pieces, or what came of looking for it."""
        judge = self.judge
        in_one = pieces == 1 and is_plane(judge.unfolding)
        outcome = search(self.problem, pieces, judge, self._most_nets(in_one))
        if outcome.is_exhausted or not in_one:
            return outcome
        branches = BranchAndCut(judge.unfolding, self.problem, judge)
        if self.is_small:
            return branches.run(_MOST_BRANCHES)
        outcome = branches.run(_FEW_BRANCHES, _CLOSE)
        if not outcome.is_exhausted and self._is_long(outcome.net, pieces):
            net = self._grow(pieces, outcome, None)
            if net is not None and self._pieces(net) == pieces:
                branches.start_from(net)
                outcome = branches.run(0)
        for _ in range(_MOST_BRANCHES // _FEW_BRANCHES):
            if outcome.is_exhausted or not self._is_long(outcome.net, pieces):
                break
            outcome = branches.run(_FEW_BRANCHES)
        return outcome

    def _most_nets(self, in_one: bool) -> int:
        for faces, few, most in _MOST_NETS:
            if self.problem.faces <= faces:
                return few if in_one else most
        raise AssertionError("the last line of _MOST_NETS takes any number of faces")

    def _after(
        self, best: frozenset[int], pieces: int, fewest: int
    ) -> tuple[frozenset[int], tuple[str, ...], bool]:
        """Least seam in more pieces, where the search for fewer was too long."""
        most_nets = self._most_nets(in_one=False)
        for more in range(pieces + 1, self._pieces(best) + 1):
            outcome = search(self.problem, more, self.judge.without_order, most_nets)
            if outcome.net is not None:
                return outcome.net, self._pieces_note(more, fewest, False), False
        return best, self._grown_notes(best, fewest), False

    def _grow(
        self, pieces: int, outcome: Outcome, best: frozenset[int] | None
    ) -> frozenset[int] | None:
        """Grow nets until one is close to the bound of the search."""
        problem = self.problem
        best = self._best_of(best, outcome.net, self._grown.get(pieces))
        if pieces in self._grown:
            return best
        everything = total(problem.weights, problem.foldable)
        for seed in range(_STARTS):
            if not self._is_long(best, pieces):
                break
            net = grown(
                self.judge.unfolding,
                problem,
                self.judge.without_order,
                self.judge.fits,
                fewest=pieces,
                enough=everything - _CLOSE * (everything - outcome.bound),
                rounds=_ROUNDS,
                seed=seed,
                start=best if seed % 2 else None,
            )
            best = self._best_of(best, net)
        self._grown[pieces] = best
        return best

    def _is_long(self, net: frozenset[int] | None, pieces: int) -> bool:
        """Whether a net is in more pieces, or far longer than the spanning tree."""
        problem = self.problem
        tree = heaviest_net(problem, pieces)
        if net is None or tree is None:
            return True
        shortest = total(problem.weights, problem.foldable - tree)
        return self._rank(net) > (pieces, _TOO_LONG * shortest)

    def _best_of(self, *nets: frozenset[int] | None) -> frozenset[int] | None:
        return min((net for net in nets if net is not None), key=self._rank, default=None)

    def _pieces(self, net: frozenset[int]) -> int:
        return self.problem.faces - len(net)

    def _rank(self, net: frozenset[int]) -> tuple[int, float]:
        seam = total(self.problem.weights, self.problem.foldable - net)
        return self._pieces(net), seam

    def _pieces_note(self, pieces: int, fewest: int, is_proven: bool) -> tuple[str, ...]:
        if pieces == fewest:
            return ()
        part, fewer = self.judge.part, _pieces(pieces - 1)
        if is_proven:
            return (f"{part} comes in {_pieces(pieces)}: no net in {fewer} exists.",)
        return (f"{part} comes in {_pieces(pieces)}: no net in {fewer} was found.",)

    def _grown_notes(self, net: frozenset[int], fewest: int) -> tuple[str, ...]:
        pieces = self._pieces(net)
        return (
            *self._pieces_note(pieces, fewest, False),
            f"The seams of {self.judge.part} are short, but not proved the shortest.",
        )


def _pieces(count: int) -> str:
    return "one piece" if count == 1 else f"{count} pieces"
