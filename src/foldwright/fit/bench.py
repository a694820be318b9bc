"""Bench: a simulated build half-way, and what it has cost so far.

Room: fit. What is made, what is known of it, and what it was meant to be, whichever
of the ways of working makes it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from foldwright.fit.habits import Habit
from foldwright.fit.works import Hands, Works

if TYPE_CHECKING:
    from foldwright.fit.network import Flags, Floats, Whole

SENSIBLE, TO_SUIT, REFIT = "sensible", "to suit", "refit"


@dataclass
class Tally:
    """What one build cost.

    Attributes
    ----------
    remakes, trims, shims : int
    minutes : float
        Of rework: trimming, shimming and remaking; making once is not counted.
    filler : float
        Shimmed or filled [mm].
    drift : float
        Largest drift of any dim from the drawing, in units of its give.
    redrawn : int
        Parts whose drawing changed after the first; what is made to a number has none.
    is_given_up : bool
        A part would not suit after many tries.
    """

    remakes: int = 0
    trims: int = 0
    shims: int = 0
    minutes: float = 0.0
    filler: float = 0.0
    drift: float = 0.0
    redrawn: int = 0
    is_given_up: bool = False


@dataclass
class Bench:
    """A build half-way.

    Attributes
    ----------
    works, hands, way
        The build, who makes it, and by which way of working.
    is_sparse : bool
        Whether a refit leaves alone what can be let be.
    is_made : ndarray of bool, shape (number of parts,)
    true, read, meant : ndarray, shape (n,)
        What each dim is, was read to be, and was meant to come out as [mm].
    shimmed : ndarray, shape (m,)
        Taken up at each clearance [mm].
    habits : list of Habit
        What is known of the hand, by process.
    tries : ndarray of int, shape (number of parts,)
    tally : Tally
    redrawn : set of int
        Parts whose drawing changed after the first.
    """

    works: Works
    hands: Hands
    way: str
    is_sparse: bool
    is_made: Flags
    true: Floats
    read: Floats
    meant: Floats
    shimmed: Floats
    habits: list[Habit]
    tries: Whole
    tally: Tally = field(default_factory=Tally)
    redrawn: set[int] = field(default_factory=set)

    def complete(self) -> Flags:
        """Clearances whose parts are all made."""
        return ~self.works.touches[:, ~self.is_made].any(axis=1)

    def clearances(self) -> Floats:
        """What every clearance is, with what was shimmed taken up [mm]."""
        return self.works.network.clearances(self.true) - self.shimmed
