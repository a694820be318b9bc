"""The network: all dims of a build and all meets between them, as arrays.

Room: fit. What the solvers of this room work on. It knows no plan: a build
gives one, and so does a generator of random builds. Near where the dims are
now, a clearance is linear in them::

    g = level + slopes @ (x - at),   low <= g <= high wanted

A dim is one number of one part, called ``part/name``: a parameter, which a
refit may change, or a *stray*, an error of the hand that no drawing can take
back (a lean, an oval), drawn as 0.

What is known of the dims is a `Belief` about all of them at once: a mean, and
a *root* whose columns are independent causes, so that two dims that one
set-up made stray alike::

    covariance = root @ root.T
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from foldwright.errors import OutOfDomain

if TYPE_CHECKING:
    from numpy.typing import NDArray

    type Floats = NDArray[np.float64]
    type Whole = NDArray[np.int64]
    type Flags = NDArray[np.bool_]
    type Sparse = Any  # scipy.sparse.csr_array, which ships no types


USUAL_READ = 0.15
"""One standard deviation of a dim that was read with a rule more than once [mm]; common
practice, no source."""
USUAL_STEP = 0.05
"""Changes of a dim under this cannot be marked out [mm]; common practice, no source."""
USUAL_REDRAWING = 2.0
"""Minutes that drawing, printing and pricking through a part anew cost; common practice, no
source."""


@dataclass(frozen=True, eq=False)
class Network:
    """Dims and clearances of a build.

    Attributes
    ----------
    keys : tuple of str, length n
        ``part/name`` of each dim.
    parts : tuple of str
        Names of the parts.
    part : ndarray of int, shape (n,)
        Which part a dim belongs to.
    at, drawn, give : ndarray, shape (n,)
        Where the clearances were taken; what the plan draws; how far it may
        drift before it looks wrong [mm].
    is_free : ndarray of bool, shape (n,)
        A refit may change it while its part is not made; strays never.
    meets : tuple of str
        Names of the meets.
    meet : ndarray of int, shape (m,)
        Which meet a clearance belongs to.
    level, low, high : ndarray, shape (m,)
        Each clearance at `at`, and the range it should lie in [mm].
    slopes : sparse array, shape (m, n)
        Derivatives.
    read : ndarray, shape (n,), optional
        How well each dim is read once it is made, one standard deviation [mm]; that
        of a rule, read more than once, if not given.
    step : ndarray, shape (n,), optional
        Smallest change of each dim that a hand can make [mm]; what can be marked out with
        a rule, if not given.
    redrawing : ndarray, shape (number of parts,), optional
        Minutes that drawing each part anew costs; those of a pattern, if not given.
    """

    keys: tuple[str, ...]
    parts: tuple[str, ...]
    part: Whole
    at: Floats
    drawn: Floats
    give: Floats
    is_free: Flags
    meets: tuple[str, ...]
    meet: Whole
    level: Floats
    low: Floats
    high: Floats
    slopes: Sparse
    read: Floats | None = None
    step: Floats | None = None
    redrawing: Floats | None = None

    def __post_init__(self) -> None:
        """Refuse windows that are empty and gives that are nothing."""
        if not np.all(self.low < self.high):
            worst = int(np.argmax(self.low - self.high))
            raise OutOfDomain(
                f"{self.meets[self.meet[worst]]} wants {self.low[worst]:g} to "
                f"{self.high[worst]:g} mm, which is no range. Write the lower end first.",
                name="low",
            )
        if not np.all(self.give[self.is_free] > 0.0):
            raise OutOfDomain("A free dim needs a give above 0.", name="give")

    @property
    def reads(self) -> Floats:
        """How well each dim is read, shape (n,) [mm]."""
        return self.read if self.read is not None else np.full(len(self.keys), USUAL_READ)

    @property
    def steps(self) -> Floats:
        """Smallest change of each dim that a hand can make, shape (n,) [mm]."""
        return self.step if self.step is not None else np.full(len(self.keys), USUAL_STEP)

    @property
    def redrawings(self) -> Floats:
        """Minutes that drawing each part anew costs, shape (number of parts,)."""
        if self.redrawing is not None:
            return self.redrawing
        return np.full(len(self.parts), USUAL_REDRAWING)

    def clearances(self, x: Floats) -> Floats:
        """Clearances [mm] when the dims are `x`, shape (n,) or, for samples, (n, k)."""
        moved = x - (self.at if x.ndim == 1 else self.at[:, None])
        level = self.level if x.ndim == 1 else self.level[:, None]
        return np.asarray(level + self.slopes @ moved)

    def parts_of(self, clearance: int) -> frozenset[int]:
        """Parts that a clearance depends on."""
        row = self.slopes.indices[self.slopes.indptr[clearance] : self.slopes.indptr[clearance + 1]]
        return frozenset(int(p) for p in self.part[row])


@dataclass(frozen=True, eq=False)
class Belief:
    """What is known of all dims.

    Attributes
    ----------
    mean : ndarray, shape (n,)
        Expected as made, once measured; as intended until then [mm].
    root : sparse array, shape (n, q)
        Independent causes of error, each column one standard deviation [mm].
    is_made : ndarray of bool, shape (number of parts,)
    """

    mean: Floats
    root: Sparse
    is_made: Flags

    def sigmas(self, slopes: Sparse) -> Floats:
        """One standard deviation of each clearance [mm]."""
        carried = slopes @ self.root
        return np.sqrt(np.asarray(carried.multiply(carried).sum(axis=1)).ravel())


@dataclass(frozen=True, eq=False)
class Shares:
    """What each part that a clearance depends on does to it, pair by pair.

    Attributes
    ----------
    row, part : ndarray of int, shape (k,)
        Clearance, and one of the parts that it depends on.
    variance : ndarray, shape (k,)
        Of the clearance, by that part alone as it is known now [mm2].
    read : ndarray, shape (k,)
        The same once that part is made and measured [mm2].
    """

    row: Whole
    part: Whole
    variance: Floats
    read: Floats


def shares(network: Network, belief: Belief) -> Shares:
    """Split what is not known of each clearance by the parts whose dims it depends on."""
    from scipy import sparse

    slopes = network.slopes
    rows = np.repeat(np.arange(len(network.low)), np.diff(slopes.indptr))
    pairs, pair = np.unique(
        np.column_stack([rows, network.part[slopes.indices]]), axis=0, return_inverse=True
    )
    of_part = sparse.csr_array(
        (slopes.data, (pair.ravel(), slopes.indices)), shape=(len(pairs), slopes.shape[1])
    )
    variance = belief.sigmas(of_part) ** 2
    seen = np.asarray(of_part.multiply(of_part) @ network.reads**2)
    read = np.where(belief.is_made[pairs[:, 1]], variance, np.minimum(variance, seen))
    return Shares(pairs[:, 0], pairs[:, 1], variance, read)
