"""One part while it is read: its lengths and its parameters.

Room: plan. Each scalar field of a part is one parameter, named as the field
(`width`, `outside_d`). Its value is what the plan writes, worked out; its give
and trust are those of the sizes in it.

The parameters of coordinates are the sizes in them, by their names, and their
literals, one for each distinct value on each axis: ``"x 80"``, ``"z 260"``,
numbered as the plan writes them, before `scale`. A literal used twice on one
axis is one parameter, so that a straight line stays straight. 0 is the datum
and no parameter.

All else (features, rounds, rises) is a *constant* unless it names a size: a
refit may change the size of the part, not how large its holes are.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any, NamedTuple

from foldwright.plan.formula import Formula
from foldwright.plan.kinds import AnyPart
from foldwright.plan.places import Draft
from foldwright.plan.rack import Rack
from foldwright.plan.records import Finish, Length, Parameter, Stock
from foldwright.plan.sizes import THICKNESS, Sizes, Term, Terms
from foldwright.plan.table import Table

LEAST = 0.1
"""mm; the finest that is marked out."""


class Drawn(NamedTuple):
    """A length as a formula, and its value as drawn [mm], scaled."""

    length: Length
    value: float


NOTHING = Drawn(Length(Formula.parse("0")), 0.0)


@dataclass(frozen=True)
class Shelf:
    """All that parts may name: sizes, stock, formers, finishes; where their drawings lie.

    `finishes_named` also has the finishes with a fault, which was told.
    `folder` is that of the plan file.
    """

    sizes: Sizes
    rack: Rack
    finishes: dict[str, Finish]
    finishes_named: tuple[str, ...]
    folder: str = "."


@dataclass(frozen=True)
class KindReader:
    """How parts of one kind are read.

    Attributes
    ----------
    make : callable
        Its record.
    read : callable
        Reads its own fields and its faces.
    keys : tuple of str
        What its table has besides what all have.
    scalars : tuple of str
        Those of them that are parameters.
    forms : tuple of str
        Forms of stock it is made from; none if it is bought.
    unmade : tuple of str
        Faces that are always open.
    is_folded : bool
        Has folds and seams, and faces that can be left open.
    is_curled : bool
        Has one seam, which can be backed.
    """

    make: Callable[..., AnyPart]
    read: Callable[[Reading], None]
    keys: tuple[str, ...]
    scalars: tuple[str, ...] = ()
    forms: tuple[str, ...] = ("board",)
    unmade: tuple[str, ...] = ()
    is_folded: bool = False
    is_curled: bool = False


@dataclass
class Reading:
    """One part while it is read.

    Attributes
    ----------
    stock : Stock or None
        None if a fault hides it, or it is bought.
    scalars : tuple of str
        Fields that are parameters, so that no size in the part may have their names.
    drafts : Mapping of Draft
        Parts that were read before it, by name.
    fields : dict
        What its record gets, by field.
    faces : tuple of str
        All its faces; empty if a fault hides them.
    is_whole : bool
        False once something could not be read, told here or elsewhere.
    """

    name: str
    table: Table
    terms: Terms
    shelf: Shelf
    stock: Stock | None
    scalars: tuple[str, ...] = ()
    drafts: Mapping[str, Draft] = field(default_factory=dict)
    faces: tuple[str, ...] = ()
    parameters: dict[str, Parameter] = field(default_factory=dict)
    fields: dict[str, Any] = field(default_factory=dict)
    is_whole: bool = True

    @property
    def scale(self) -> float:
        """Scale of the build."""
        return self.terms.sizes.scale

    def each(self, readers: Mapping[str, Callable[[], object]]) -> None:
        """Call the reader of each field, in the order of the file; then those it leaves out."""
        there = [key for key in self.table.data if key in readers]
        for key in (*there, *(key for key in readers if key not in there)):
            readers[key]()

    def each_scalar(self, *keys: str) -> None:
        """Read scalar fields, in the order of the file."""
        self.each({key: partial(self.scalar, key) for key in keys})

    def value(self, key: str) -> float | None:
        """One of its scalar fields as drawn [mm]; None if it is not there."""
        return self.parameters[key].value if key in self.parameters else None

    def scalar(
        self, key: str, example: str = "300", *, needed: bool = True, least: float = LEAST
    ) -> None:
        """Read a scalar field, and note it if it is missing or less than `least` [mm]."""
        table = self.table
        if not table.has(key):
            if needed:
                table.missing(key, f"Add {key} = {example}.")
                self.is_whole = False
            return
        term = self.terms.read(table.data[key], table.key(key), key)
        if term is None:
            self.is_whole = False
        elif term.value < least:
            table.fault(
                "out-of-range",
                key,
                f"{key} comes to {term.value:.6g} mm; {least:g} or more can be made.",
                "Check the number, its unit and the sizes in it.",
            )
        else:
            self.parameters[key] = Parameter(key, term.value, term.give, term.trust)
            self.fields[key] = Length(Formula.reference(key))

    def coordinate(self, value: object, path: str, axis: str) -> Drawn | None:
        """Read one coordinate of a corner or point."""
        term = self.terms.read(value, path, axis)
        if term is None:
            self.is_whole = False
            return None
        if term.formula is not None:
            return self._formula(term, term.formula, path)
        if term.literal == 0.0:
            return NOTHING
        name = f"{axis} {term.literal:.10g}"
        self.parameters.setdefault(name, Parameter(name, term.value, term.give, term.trust))
        return Drawn(Length(Formula.reference(name)), term.value)

    def constant(self, value: object, path: str, what: str, *, scaled: bool = True) -> Drawn | None:
        """Read a length that a refit leaves alone unless it names a size.

        Numbers that are not `scaled` (bolts, gaps) stay as written; a size in
        them is scaled as everywhere.
        """
        term = self.terms.read(value, path, what)
        if term is None:
            self.is_whole = False
            return None
        if term.formula is not None:
            return self._formula(term, term.formula, path)
        return self.fixed(term.literal, scaled=scaled)

    def fixed(self, value: float, *, scaled: bool = True) -> Drawn:
        """Length of a plain number [mm], before scale."""
        if value == 0.0:
            return NOTHING
        scale = self.scale if scaled else 1.0
        return Drawn(Length(Formula.parse(repr(value)), scale), value * scale)

    def size(
        self,
        row: Table,
        key: str,
        default: float | None = None,
        *,
        above: float | None = 0.0,
        scaled: bool = True,
    ) -> Drawn | None:
        """Read a constant at a key of the part or of a table in it.

        Without a `default` it has to be there. It has to be more than `above`;
        None allows 0 too.
        """
        if not row.has(key):
            if default is not None:
                return self.fixed(default, scaled=scaled)
            row.missing(key, f"Add {key} = 20.")
            self.is_whole = False
            return None
        return self.positive(row, key, row.data[key], key, above=above, scaled=scaled)

    def positive(
        self,
        row: Table,
        path: str,
        value: object,
        what: str,
        *,
        above: float | None = 0.0,
        scaled: bool = True,
    ) -> Drawn | None:
        """Read a constant that is more than `above` (0 or more if that is None)."""
        drawn = self.constant(value, row.key(path), what, scaled=scaled)
        if drawn is None or drawn.value > (-1e-12 if above is None else above):
            return drawn
        least = "0 or more" if above is None else f"more than {above:g}"
        row.fault(
            "out-of-range",
            path,
            f"{what} comes to {drawn.value:.6g} mm; {least} can be made.",
            "Check the number, its unit and the sizes in it.",
        )
        self.is_whole = False
        return None

    def listed(self, row: Table, key: str, count: int, example: str) -> list[object] | None:
        """Members of a list of just so many; note it if it is none."""
        value = row.data.get(key)
        if value is None:
            row.missing(key, f"Add {key} = {example}.")
        elif not isinstance(value, list) or len(value) != count:
            row.wrong_kind(key, value, f"a list of {count}", f"Write it like {key} = {example}.")
        else:
            return value
        self.is_whole = False
        return None

    def _formula(self, term: Term, formula: Formula, path: str) -> Drawn:
        """Length of a formula; each size in it becomes a parameter of the part."""
        sizes = self.terms.sizes
        for name in formula.names:
            if name in self.scalars:
                self.table.faults.add(
                    "name-twice",
                    path,
                    f'The size "{name}" has the name of a field of this part.',
                    f"Give the size another name, like {self.name}_{name}.",
                )
            elif name in sizes.known:
                size = sizes.known[name]
                found = Parameter(name, size.plan, size.give, size.trust)
                self.parameters.setdefault(name, found)
        constants: tuple[tuple[str, float], ...] = ()
        if THICKNESS in formula.names and self.terms.thickness is not None:
            constants = ((THICKNESS, self.terms.thickness),)
        # a bare name needs no scaling there and back, which would cost its last bit
        scale = 1.0 if formula.is_name else sizes.scale
        return Drawn(Length(formula, scale, constants), term.value)
