"""Effects: what each cause of error moves, gathered for one part.

Room: fit. What `causes` and `folded_causes` are written with. A part is made as
lengths (`on_lengths`) or as the corners of an outline (`on_spots`); its causes
move those, and what they move is put into the part's parameters and strays.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from foldwright.plan import AnyPart, Dual, Number
from foldwright.plan.dual import slopes
from foldwright.shape import Vector, strays_of
from foldwright.shape.strays import lengths_of, off_name
from foldwright.shop import PROCESSES


@dataclass(frozen=True)
class Practice:
    """How a maker works: the processes for cutting to a line and for turning folds."""

    cutting: str = "cut"
    angles: str = "fold angle"


USUAL = Practice()
WITH_GAUGES = Practice(angles="fold angle to a gauge")


@dataclass(frozen=True)
class Cause:
    """One thing that may go wrong once.

    Attributes
    ----------
    process : str
        Name of the process.
    what : str
        In words: "fold between front and top".
    set_up : str
        What was set once for many cuts; empty for a cause of this part alone.
    """

    process: str
    what: str
    set_up: str = ""


@dataclass(frozen=True, eq=False)
class Causes:
    """How one part strays.

    Attributes
    ----------
    part : str
    names : tuple of str, length n
        Parameters, then strays.
    causes : tuple of Cause, length q
    matrix : ndarray, shape (n, q)
        What each cause moves at one usual scatter [mm].
    """

    part: str
    names: tuple[str, ...]
    causes: tuple[Cause, ...]
    matrix: Vector

    @property
    def covariance(self) -> Vector:
        """Of parameters and strays, shape (n, n) [mm2]."""
        return np.asarray(self.matrix @ self.matrix.T)

    def response(self, process: str) -> Vector:
        """How a bias of one usual scatter in a process moves each of `names` [mm]."""
        mine = [cause.process == process for cause in self.causes]
        return np.asarray(self.matrix[:, mine].sum(axis=1))


@dataclass
class Effects:
    """Causes as they are gathered: what each moves at one usual scatter, by made quantity.

    A quantity is a length or a stray by its name; ``=name`` is a parameter itself.
    """

    causes: list[Cause] = field(default_factory=list)
    moved: list[dict[str, float]] = field(default_factory=list)

    def add(self, process: str, what: str, effects: Mapping[str, float], set_up: str = "") -> None:
        """Add a cause; `effects` by quantity, per unit of the process's scatter."""
        scatter = PROCESSES[process].scatter
        self.causes.append(Cause(process, what, set_up))
        self.moved.append({name: scatter * effect for name, effect in effects.items()})

    def rows(self, names: Sequence[str]) -> Vector:
        """Matrix of the named quantities by cause."""
        rows = [[moved.get(name, 0.0) for moved in self.moved] for name in names]
        return np.array(rows).reshape(len(names), len(self.moved))


def names_of(part: AnyPart) -> tuple[str, ...]:
    """Parameters of a part, then its strays."""
    return (*(p.name for p in part.parameters), *(s.name for s in strays_of(part)))


def on_lengths(part: AnyPart, effects: Effects) -> Causes:
    """Causes of a part whose lengths are made each by itself.

    Its parameters take what they can of the lengths; a length that hangs on
    the parameters of others keeps the rest as a stray of its own.
    """
    lengths = lengths_of(part)
    strays = [s.name for s in strays_of(part)]
    jacobian = slopes_in(part, [length.value(seeds(part)) for length in lengths.values()])
    made = effects.rows(list(lengths))
    is_tied = [off_name(name) in strays for name in lengths]
    free = [not tied for tied in is_tied]
    parameters = np.linalg.pinv(jacobian[free]) @ made[free]
    found = effects.rows(strays)
    for i, name in enumerate(lengths):
        if is_tied[i]:
            found[strays.index(off_name(name))] = made[i] - jacobian[i] @ parameters
    return Causes(part.name, names_of(part), tuple(effects.causes), np.vstack([parameters, found]))


def on_spots(
    part: AnyPart,
    spots: Sequence[Number],
    modes: Mapping[str, Vector],
    rigid: Vector,
    moved: Vector,
    effects: Effects,
) -> Causes:
    """Causes of a part that is made as an outline.

    Parameters
    ----------
    part : AnyPart
    spots : sequence of Number, length m
        Coordinates of its corners and what else is made, with slopes by parameter.
    modes : Mapping of str to ndarray, shape (m,)
        How each stray of shape moves the spots.
    rigid : ndarray, shape (m, k)
        Motions that change no shape.
    moved : ndarray, shape (m, q)
        How each cause moves the spots.
    effects : Effects
        The causes, and what they do to the other strays.

    Notes
    -----
    Parameters, strays of shape and rigid motion explain what moved by least
    squares; a corner that no parameter holds is straightened with the rest.
    """
    jacobian = slopes_in(part, spots)
    count = jacobian.shape[1]
    basis = np.column_stack([jacobian, *modes.values(), rigid])
    explained = np.linalg.lstsq(basis, moved, rcond=1e-9)[0]
    strays = [s.name for s in strays_of(part)]
    found = effects.rows(strays)
    for i, name in enumerate(modes):
        found[strays.index(name)] += explained[count + i]
    parameters = explained[:count] + effects.rows([f"={p.name}" for p in part.parameters])
    return Causes(part.name, names_of(part), tuple(effects.causes), np.vstack([parameters, found]))


def seeds(part: AnyPart) -> dict[str, Number]:
    """Parameters of a part as duals."""
    return {p.name: Dual.seed(p.name, p.value) for p in part.parameters}


def slopes_in(part: AnyPart, values: Sequence[Number]) -> Vector:
    """Derivatives of numbers by the parameters of a part, shape (len(values), n)."""
    names = [p.name for p in part.parameters]
    rows = [[slopes(v).get(name, 0.0) for name in names] for v in values]
    return np.array(rows).reshape(len(values), len(names))


def rigid_motions(corners: Vector) -> Vector:
    """Two shifts and a turn of an outline, shape (2 n, 3)."""
    n = len(corners)
    return np.column_stack(
        [
            np.tile([1.0, 0.0], n),
            np.tile([0.0, 1.0], n),
            np.column_stack([-corners[:, 1], corners[:, 0]]).ravel(),
        ]
    )


def shape_modes(corners: Vector, wanted: Mapping[str, tuple[int, int] | None]) -> dict[str, Vector]:
    """How strays of shape move the corners of an outline, by name.

    A pair says which axis moves with which; None widens the top against the
    bottom.
    """
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2.0
    share = (corners - middle) / np.ptp(corners, axis=0)
    found = {}
    for name, axes in wanted.items():
        moved = np.zeros_like(corners)
        if axes is None:
            moved[:, 0] = share[:, 0] * share[:, 1]
        else:
            moved[:, axes[0]] = share[:, axes[1]]
        found[name] = moved.ravel()
    return found
