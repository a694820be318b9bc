"""Covering programmes in whole numbers, solved by HiGHS.

Room: sheet. `bars` writes them: columns are cuttings, rows are the lengths
wanted and the bars there are.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Programme:
    """Columns with a cost, what each makes, what is wanted, and how many of a kind there are.

    Attributes
    ----------
    costs : tuple of float, length n
    makes : tuple of n tuples
        How many of each wanted thing one of a column makes.
    wanted : tuple of int
    kinds : tuple of int, length n
        Kind that each column takes one of.
    counts : tuple of int
        How many of each kind there are.
    """

    costs: tuple[float, ...]
    makes: tuple[tuple[int, ...], ...]
    wanted: tuple[int, ...]
    kinds: tuple[int, ...]
    counts: tuple[int, ...]


def whole_numbers(programme: Programme, seconds: float) -> tuple[int, float, tuple[int, ...], bool]:
    """Cover what is wanted in whole numbers.

    Returns
    -------
    missing : int
        How many of the things wanted cannot be made at all; least.
    cost : float
        Least for that.
    counts : tuple of int
        How many of each column.
    proven : bool
        Both are proven least, within the time.
    """
    missing, missing_proven = 0, True
    if not _is_plenty(programme):
        _, _, missing_proven, missing = _solved(programme, seconds, least_missing=True, limit=0)
    cost, counts, proven, missing = _solved(programme, seconds, least_missing=False, limit=missing)
    return missing, cost, counts, missing_proven and proven


def _is_plenty(programme: Programme) -> bool:
    """Whether each thing wanted can be had from a kind of which there is one for everything."""
    total = sum(programme.wanted)
    had = {
        i
        for makes, kind in zip(programme.makes, programme.kinds, strict=True)
        if programme.counts[kind] >= total
        for i, n in enumerate(makes)
        if n
    }
    return len(had) == len(programme.wanted)


def duals(programme: Programme) -> tuple[float, list[float], list[float]]:
    """Value of the linear programme, worth of each thing wanted, rent of each kind (0 or more).

    What is missing costs ten times the dearest column, so that there always is
    an answer.
    """
    solver = _model(programme, False, None, whole=False)
    solver.run()
    dual = list(solver.getSolution().row_dual)
    things = len(programme.wanted)
    value = float(solver.getInfo().objective_function_value)
    return value, dual[:things], [-d for d in dual[things : things + len(programme.counts)]]


def shares_of(programme: Programme) -> list[float]:
    """How much of each column the linear programme takes."""
    solver = _model(programme, False, None, whole=False)
    solver.run()
    return list(solver.getSolution().col_value)[: len(programme.costs)]


def _solved(
    programme: Programme, seconds: float, *, least_missing: bool, limit: int
) -> tuple[float, tuple[int, ...], bool, int]:
    from highspy import HighsModelStatus

    solver = _model(programme, least_missing, limit, whole=True)
    solver.setOptionValue("time_limit", float(seconds))
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 1e-6)
    solver.run()
    values = list(solver.getSolution().col_value)
    columns, things = len(programme.costs), len(programme.wanted)
    counts = tuple(round(v) for v in values[:columns]) or (0,) * columns
    missing = sum(round(v) for v in values[columns : columns + things])
    proven = solver.getModelStatus() == HighsModelStatus.kOptimal
    cost = sum(c * n for c, n in zip(programme.costs, counts, strict=True))
    return cost, counts, proven, missing


def _model(programme: Programme, least_missing: bool, limit: int | None, *, whole: bool) -> Any:
    """HiGHS model: columns, then one slack for each thing wanted.

    `limit` caps the sum of the slacks; None lets them cost instead. With
    `least_missing` the slacks are what is minimised.
    """
    import highspy

    # not Highs, which prints a banner before it can be told to be quiet
    solver: Any = highspy._Highs()  # type: ignore[attr-defined]
    solver.setOptionValue("output_flag", False)
    things, kinds = len(programme.wanted), len(programme.counts)
    infinite = highspy.kHighsInf
    for wanted in programme.wanted:
        solver.addRow(float(wanted), infinite, 0, [], [])
    for count in programme.counts:
        solver.addRow(-infinite, float(count), 0, [], [])
    if limit is not None and not least_missing:
        solver.addRow(-infinite, float(limit), 0, [], [])
    dear = 10.0 * max(programme.costs) if programme.costs else 1.0
    for cost, makes, kind in zip(programme.costs, programme.makes, programme.kinds, strict=True):
        rows = [i for i, n in enumerate(makes) if n]
        values = [float(makes[i]) for i in rows]
        price = 0.0 if least_missing else cost
        solver.addCol(price, 0.0, infinite, len(rows) + 1, [*rows, things + kind], [*values, 1.0])
    for i, wanted in enumerate(programme.wanted):
        price = 1.0 if least_missing else (dear if limit is None else 0.0)
        rows = [i] if limit is None or least_missing else [i, things + kinds]
        solver.addCol(price, 0.0, float(wanted), len(rows), rows, [1.0] * len(rows))
    if whole:
        for column in range(len(programme.costs) + things):
            solver.changeColIntegrality(column, highspy.HighsVarType.kInteger)
    return solver
