"""Refit: what to change in the parts not made yet, once others are measured.

Room: fit. Made parts are what was measured; the parameters of the others are
free. The refit drifts them as little as it can, each measured against its
give, until every meet lies as deep in its wanted range as the scatter asks::

    least  sum ((x - drawn) / give)^2 + weight * sum slack / sigma
    with   low + z sigma - slack <= g(x) <= high - z sigma + slack
           z = min(3, W / (2 sigma)), W the width of the range

It is sparse on purpose: a part whose meets still hold well enough is left
alone, so most parts stand. The quadratic programme is solved by PIQP.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.errors import FoldwrightError
from foldwright.fit.beliefs import Belief
from foldwright.fit.clearances import Clearance, key_of
from foldwright.fit.predict import MeetForecast, covariance_of
from foldwright.plan import AnyPart, Parameter
from foldwright.shape import Vector

# How many sigma deep in its range a meet is aimed, if the range is wide enough.
_DEEP = 3.0
# A dim is changed only when its leaned window is missed by this many sigma,
# or this share of half the range, whichever is less.
_LET_BE_SIGMA, _LET_BE_SHARE = 1.5, 0.6
# One sigma of slack costs as much as ten times the give of a dim.
_SLACK_WEIGHT = 100.0
_ROUNDS = 8
_SETTLED = 1e-9  # mm
# Changes under this cannot be marked out [mm].
_SMALLEST_CHANGE = 0.05


@dataclass(frozen=True)
class Shift:
    """A parameter that a refit changes: from, to [mm], and the clearances that force it."""

    part: str
    parameter: Parameter
    before: float
    after: float
    forced_by: tuple[Clearance, ...]


def refit(
    parts: Mapping[str, AnyPart],
    drawn: Mapping[str, Mapping[str, float]],
    beliefs: Mapping[str, Belief],
    clearances_at: Callable[[Mapping[str, Mapping[str, float]]], Sequence[Clearance]],
) -> tuple[Shift, ...]:
    """Parameters to change.

    Parameters
    ----------
    parts : Mapping
        By name, with the parameters as intended now.
    drawn : Mapping
        Parameters of each part as the plan draws them [mm]; drift counts from there.
    beliefs : Mapping
        By part; made parts are fixed at their mean.
    clearances_at : callable
        All clearances at given parameters of all parts.

    Returns
    -------
    tuple of Shift
        Empty when everything suits.
    """
    values = {name: dict(beliefs[name].mean) for name in parts}
    free: list[tuple[str, Parameter]] = []
    while True:
        grown = _set_free(parts, beliefs, clearances_at(_moved(values, free, None)), free)
        if len(grown) == len(free):
            break
        free = grown
        solution = _solve(free, drawn, beliefs, clearances_at, values)
        values = _moved(values, free, solution)
    before = {name: part.values() for name, part in parts.items()}
    at_start = clearances_at({name: dict(beliefs[name].mean) for name in parts})
    return tuple(
        Shift(
            name,
            parameter,
            before[name][parameter.name],
            values[name][parameter.name],
            tuple(c for c in at_start if key_of(name, parameter.name) in c.slopes),
        )
        for name, parameter in free
        if abs(values[name][parameter.name] - before[name][parameter.name]) > _SMALLEST_CHANGE
    )


def leaned_window(clearance: Clearance, sigma: float) -> tuple[float, float]:
    """Range to aim for: the wanted one, z sigma narrower at each end [mm]."""
    half = (clearance.high - clearance.low) / 2.0
    lean = min(_DEEP * sigma, half)
    return clearance.low + lean, clearance.high - lean


def is_missed(clearance: Clearance, sigma: float) -> bool:
    """Whether the leaned window is missed by enough to change a part for."""
    low, high = leaned_window(clearance, sigma)
    miss = max(low - clearance.value, clearance.value - high)
    half = (clearance.high - clearance.low) / 2.0
    return miss > min(_LET_BE_SIGMA * sigma, _LET_BE_SHARE * half)


def is_in_danger(found: MeetForecast) -> bool:
    """Whether any clearance of a meet is missed by enough to change a part for."""
    return any(is_missed(c, s) for c, s in zip(found.clearances, found.sigmas, strict=True))


def _set_free(
    parts: Mapping[str, AnyPart],
    beliefs: Mapping[str, Belief],
    clearances: Sequence[Clearance],
    free: list[tuple[str, Parameter]],
) -> list[tuple[str, Parameter]]:
    """Add the parameters of unmade parts that a missed clearance depends on."""
    sigmas = np.sqrt(np.diag(covariance_of(clearances, beliefs)))
    grown = list(free)
    for clearance, sigma in zip(clearances, sigmas, strict=True):
        if not is_missed(clearance, float(sigma)):
            continue
        for name, part in parts.items():
            for parameter in part.parameters:
                if (
                    not beliefs[name].is_made
                    and abs(clearance.slopes.get(key_of(name, parameter.name), 0.0)) > 1e-9
                    and (name, parameter) not in grown
                ):
                    grown.append((name, parameter))
    return grown


def _moved(
    values: Mapping[str, Mapping[str, float]],
    free: Sequence[tuple[str, Parameter]],
    solution: Vector | None,
) -> dict[str, dict[str, float]]:
    moved = {name: dict(row) for name, row in values.items()}
    if solution is not None:
        for (name, parameter), x in zip(free, solution, strict=True):
            moved[name][parameter.name] = float(x)
    return moved


def _solve(
    free: Sequence[tuple[str, Parameter]],
    drawn: Mapping[str, Mapping[str, float]],
    beliefs: Mapping[str, Belief],
    clearances_at: Callable[[Mapping[str, Mapping[str, float]]], Sequence[Clearance]],
    values: Mapping[str, Mapping[str, float]],
) -> Vector:
    """Gauss-Newton round the quadratic programme; the clearances are nearly linear."""
    x = np.array([values[name][parameter.name] for name, parameter in free])
    goal = np.array([drawn[name][parameter.name] for name, parameter in free])
    give = np.array([parameter.give for _, parameter in free])
    keys = [key_of(name, parameter.name) for name, parameter in free]
    for _ in range(_ROUNDS):
        clearances = clearances_at(_moved(values, free, x))
        sigmas = np.sqrt(np.diag(covariance_of(clearances, beliefs)))
        matrix = np.array([[c.slopes.get(key, 0.0) for key in keys] for c in clearances])
        windows = np.array(
            [leaned_window(c, float(s)) for c, s in zip(clearances, sigmas, strict=True)]
        )
        level = np.array([c.value for c in clearances]) - matrix @ x
        after = least_drift(goal, give, matrix, windows - level[:, None], sigmas)
        if np.abs(after - x).max() < _SETTLED:
            return after
        x = after
    return x


def least_drift(
    goal: Vector, give: Vector, matrix: Vector, windows: Vector, sigmas: Vector
) -> Vector:
    """Solve the elastic quadratic programme of a refit.

    Parameters
    ----------
    goal, give : ndarray, shape (n,)
        Where each dim would like to be, and how far it may drift [mm].
    matrix : ndarray, shape (m, n)
        Derivatives of the clearances.
    windows : ndarray, shape (m, 2)
        Range of ``matrix @ x`` [mm].
    sigmas : ndarray, shape (m,)
        Scale of each slack [mm].

    Returns
    -------
    ndarray, shape (n,)
    """
    import piqp

    rows, count = matrix.shape
    scale = _SLACK_WEIGHT / np.maximum(sigmas, 1e-3)
    # Drift in units of give keeps the programme well scaled.
    p = np.diag(np.concatenate([np.full(count, 2.0), np.zeros(2 * rows)]))
    c = np.concatenate([np.zeros(count), scale, scale])
    scaled = matrix * give
    g = np.hstack([np.vstack([scaled, scaled]), np.eye(2 * rows) * np.repeat([1.0, -1.0], rows)])
    level = matrix @ goal
    h_low = np.concatenate([windows[:, 0] - level, np.full(rows, -np.inf)])
    h_high = np.concatenate([np.full(rows, np.inf), windows[:, 1] - level])
    x_low = np.concatenate([np.full(count, -np.inf), np.zeros(2 * rows)])
    solver = piqp.DenseSolver()
    solver.settings.eps_abs = solver.settings.eps_rel = 1e-10
    solver.settings.eps_duality_gap_abs = solver.settings.eps_duality_gap_rel = 1e-10
    solver.setup(
        np.asfortranarray(p), c, None, None, np.asfortranarray(g), h_low, h_high, x_low, None
    )
    status = solver.solve()
    if status != piqp.PIQP_SOLVED:
        raise FoldwrightError(f"The refit did not settle ({status}); nothing was changed.")
    return np.asarray(goal + give * solver.result.x[:count])
