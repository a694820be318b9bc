"""Sizes, and what the parts make of them.

Room: plan. A size is a number, a quantity, or a formula of other sizes. All
numbers of the [size] table are in the scale of the drawing: `scale`
multiplies `plan`, a written `give` and `trust`, so that a build at half scale
may look as wrong, in proportion, as the full one.

When the plan does not say:

* `give` is 1 % of the (scaled) value, at least 1 and at most 4 mm (common
  practice, no source);
* `trust` of a number is a quarter of its give: a drawing is read a good deal
  more surely than it has to be met, and with 2 sigma either way half of the
  give is still to spare (common practice, no source). `trust` may be 0, for a
  number that is exact;
* `trust` of a formula is the root-sum-square of |slope| times the trust of
  each size in it: the sizes are taken as read independently.

`read_sizes` reads the table; `Terms.read` then reads one length of one part.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from foldwright.errors import FormulaError
from foldwright.plan.dual import Dual, Number, number, slopes
from foldwright.plan.formula import Formula
from foldwright.plan.records import Size
from foldwright.plan.table import LONGEST, Faults, Table, is_literal, kind_of

THICKNESS = "thickness"
"""Name of a part's own board in its formulas."""

_GIVE_SHARE, _LEAST_GIVE, _MOST_GIVE = 0.01, 1.0, 4.0  # mm
_TRUST_SHARE = 0.25
_MOST_LOOPS = 20  # faults; more would not be read


def usual_give(value: float) -> float:
    """Give of a length that says nothing of it [mm]."""
    return min(max(_GIVE_SHARE * abs(value), _LEAST_GIVE), _MOST_GIVE)


def usual_trust(give: float) -> float:
    """Trust of a length that says nothing of it [mm]."""
    return _TRUST_SHARE * give


@dataclass(frozen=True)
class Sizes:
    """Sizes of a plan, scaled, and the names of those that have a fault."""

    scale: float
    known: Mapping[str, Size]
    broken: frozenset[str] = frozenset()

    def unscaled(self, names: Iterable[str]) -> dict[str, Number]:
        """Independent duals, at the scale of the drawing, by name."""
        return {n: Dual.seed(n, self.known[n].plan / self.scale) for n in names if n in self.known}

    def spread(self, by_size: Mapping[str, float]) -> tuple[float, float]:
        """Root-sum-square of |slope| times give, and times trust [mm]."""
        give = math.hypot(*(d * self.known[n].give for n, d in by_size.items()))
        trust = math.hypot(*(d * self.known[n].trust for n, d in by_size.items()))
        return give, trust


def read_sizes(table: Table, scale: float) -> Sizes:
    """Read the [size] table; faults go to its `Faults`."""
    written: dict[str, Table] = {}
    formulas: dict[str, Formula] = {}
    numbers: dict[str, float] = {}
    for name, value in table.data.items():
        # a size may be written short: lid_w = 300
        data = value if isinstance(value, dict) else {"plan": value}
        path = table.key(name)
        row = Table(data, path, f"size {name}", table.faults)
        if not table.faults.name(path, name, "size"):
            continue
        row.only(("plan", "give", "trust"))
        written[name] = row
        _read_plan(row, value, numbers, formulas)
    known = _resolve(written, numbers, formulas, table.data, scale)
    return Sizes(scale, known, frozenset(table.data) - frozenset(known))


def _read_plan(
    row: Table, value: object, numbers: dict[str, float], formulas: dict[str, Formula]
) -> None:
    """Read `plan` as a number or a formula; where both fail a fault is noted."""
    name = row.path.rpartition(".")[2]
    where = "plan" if isinstance(value, dict) else ""
    plan = row.data.get("plan")
    if plan is None:
        row.missing("plan", "Add plan = 300, in mm as drawn.")
    elif isinstance(plan, str) and not is_literal(plan):
        try:
            formulas[name] = Formula.parse(plan)
        except FormulaError as error:
            row.fault("bad-formula", where, error.problem, error.remedy)
    elif not isinstance(plan, int | float | str) or isinstance(plan, bool):
        problem = f"The size is {kind_of(plan)}; a length is wanted."
        row.fault("wrong-kind", where, problem, "Write a number, a quantity or a formula.")
    else:
        read = row.quantity("plan", plan, row.key(where) if where else row.path)
        if read is not None:
            numbers[name] = read


def _resolve(
    written: Mapping[str, Table],
    numbers: Mapping[str, float],
    formulas: Mapping[str, Formula],
    named: Mapping[str, object],
    scale: float,
) -> dict[str, Size]:
    """Work the sizes out, each after those it depends on; file order kept."""
    known: dict[str, Size] = {}
    for name in _order(written, formulas):
        row = written[name]
        if name in numbers:
            value, by_size = numbers[name], None
        elif name in formulas:
            found = _evaluate(row, formulas[name], Sizes(scale, known), named)
            if found is None:
                continue
            value, by_size = number(found), slopes(found)
        else:
            continue
        size = _size(row, name, value * scale, by_size, Sizes(scale, known))
        if size:
            known[name] = size
    return {name: known[name] for name in written if name in known}


def _order(written: Mapping[str, Table], formulas: Mapping[str, Formula]) -> list[str]:
    """Sizes, each after those in its formula; sizes in a loop are left out, with a fault."""
    graph = {
        name: [n for n in formulas[name].names if n in written] if name in formulas else []
        for name in written
    }
    for _ in range(_MOST_LOOPS):
        try:
            return list(TopologicalSorter(graph).static_order())
        except CycleError as error:
            loop = list(reversed(error.args[1]))[:-1]
            first = min(range(len(loop)), key=lambda i: list(written).index(loop[i]))
            loop = loop[first:] + loop[:first]
            row = written[loop[0]]
            row.fault(
                "loop",
                _field(row),
                f"These sizes depend on themselves: {' -> '.join([*loop, loop[0]])}.",
                "Give one of them a number.",
            )
            graph = {n: [m for m in d if m not in loop] for n, d in graph.items() if n not in loop}
    return []


def _field(row: Table) -> str:
    """Where a size says what it is: in its key ``plan``; written short, it has none."""
    return "plan" if row.faults.lines.get(row.key("plan")) else ""


def _evaluate(
    row: Table, formula: Formula, sizes: Sizes, named: Mapping[str, object]
) -> Number | None:
    """Value at the scale of the drawing, or None (a fault is noted here or was before)."""
    for name in formula.names:
        if name == THICKNESS:
            row.fault(
                "unknown-name",
                _field(row),
                "A size belongs to no board, so it cannot use thickness.",
                "Use thickness in the formulas of parts.",
            )
        elif name not in named:
            row.faults.unknown(
                row.key(field) if (field := _field(row)) else row.path,
                "size",
                name,
                named,
                f"Use one of these, or add {name} to the [size] table.",
            )
    if any(name not in sizes.known for name in formula.names):
        return None
    try:
        return formula.value(sizes.unscaled(formula.names))
    except FormulaError as error:
        row.fault("bad-formula", _field(row), error.problem, error.remedy)
        return None


def _size(
    row: Table, name: str, value: float, by_size: Mapping[str, float] | None, others: Sizes
) -> Size | None:
    if not 0.0 < value <= LONGEST:
        row.fault(
            "out-of-range",
            _field(row),
            f"The size {name} comes to {value:.6g} mm; more than 0 to {LONGEST:g} can be used.",
            "Check the number, its unit and the scale.",
        )
        return None
    give = row.length("give", 0.0, above=True)
    if row.has("give") and give is None:
        return None
    give = usual_give(value) if give is None else give * others.scale
    trust = row.length("trust", 0.0)
    if row.has("trust") and trust is None:
        return None
    if trust is not None:
        trust *= others.scale
    elif by_size:
        trust = others.spread(by_size)[1]
    else:
        trust = usual_trust(give)
    return Size(name, value, give, trust)


@dataclass(frozen=True)
class Term:
    """One length of a part as the plan writes it.

    Attributes
    ----------
    value : float
        As drawn [mm], scaled.
    give, trust : float
        What the sizes in it, or the rule for literals, allow [mm].
    formula : Formula or None
        None for a literal, of any way of writing.
    literal : float
        The literal at the scale of the drawing [mm]; 0 for a formula.
    """

    value: float
    give: float
    trust: float
    formula: Formula | None = None
    literal: float = 0.0


@dataclass(frozen=True)
class Terms:
    """Reads lengths that a part or its placement may write as formulas.

    `thickness` is that of the part's own board [mm]; None if its stock has a
    fault, and then formulas with it are passed over, since the fault is told.
    """

    sizes: Sizes
    faults: Faults
    thickness: float | None

    def read(self, value: object, path: str, what: str) -> Term | None:
        """Read one length; `path` is its dotted key, `what` how to call it."""
        if not isinstance(value, str) or is_literal(value):
            read = Table({}, "", "", self.faults).quantity(what, value, path)
            return None if read is None else self._literal(read)
        try:
            formula = Formula.parse(value)
        except FormulaError as error:
            self.faults.add("bad-formula", path, error.problem, error.remedy)
            return None
        if not self._has_names(formula, path):
            return None
        names = self.sizes.unscaled(formula.names)
        if THICKNESS in formula.names:
            assert self.thickness is not None
            names[THICKNESS] = self.thickness / self.sizes.scale
        try:
            found = formula.value(names)
        except FormulaError as error:
            self.faults.add("bad-formula", path, error.problem, error.remedy)
            return None
        return self._term(formula, found, path)

    def _has_names(self, formula: Formula, path: str) -> bool:
        """Whether every name has a value; those that the plan never names are noted."""
        there = (*self.sizes.known, *sorted(self.sizes.broken), THICKNESS)
        for name in formula.names:
            if name not in there:
                remedy = f"Use one of these, or add {name} to the [size] table."
                self.faults.unknown(path, "size", name, there, remedy)
        usable = set(self.sizes.known)
        if self.thickness is not None:
            usable.add(THICKNESS)
        return usable.issuperset(formula.names)

    def _literal(self, value: float) -> Term:
        scaled = value * self.sizes.scale
        give = usual_give(scaled)
        return Term(scaled, give, usual_trust(give), None, value)

    def _term(self, formula: Formula, found: Number, path: str) -> Term | None:
        value = number(found) * self.sizes.scale
        if abs(value) > LONGEST:
            problem = f'"{formula.text}" comes to {value:.6g} mm; {LONGEST:g} is the most.'
            self.faults.add("out-of-range", path, problem, "Check the numbers and their units.")
            return None
        if not formula.names:
            return self._literal(number(found))
        give, trust = self.sizes.spread(slopes(found))
        if give == 0.0:  # only the board is in it
            give, trust = usual_give(value), usual_trust(usual_give(value))
        return Term(value, give, trust, formula)
