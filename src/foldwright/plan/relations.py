"""Relations: any formula of dims that has to come out in a wanted range.

Room: plan. ``formula = "leg.length + base.height - 400"`` is plain arithmetic
on dims written ``part.dim``, so a stack may run through several parts. Parts
and faces may have a - in their names (``foot-2.length``,
``console.cheek-1_length``); what follows the name of a part up to the next sign
that no name has is its dim. Whether the part has such a dim, `shape` says.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from foldwright.errors import FormulaError
from foldwright.plan.formula import Formula
from foldwright.plan.meet_ends import Ends, MeetRow
from foldwright.plan.places import Draft, copies
from foldwright.plan.whole import Meet

_EXAMPLE = "lamp.bore - lamp_cap.outside_d"
# A dim: letters, digits and _, or the name of one of the faces of its part, - and all.
_PLAIN = r"\w"
_DOTTED = re.compile(r"([A-Za-z][\w-]*)\.([A-Za-z]\w*)")


class _Dim(NamedTuple):
    """A dim as the formula names it."""

    part: str
    dim: str
    text: str


def relation(meet: MeetRow) -> list[Meet]:
    """Read a ``formula`` of dims and the ``range`` that it has to come out in."""
    meet.only("formula", "range")
    row = meet.row
    wanted = meet.range("range", "[-0.5, 0.5]")
    text = row.text("formula", _EXAMPLE)
    if text is None:
        return []
    plain, dims = _named_apart(text, meet.drafts)
    formula = _parsed(meet, plain, dims)
    if formula is None or not _are_known(meet, formula, dims):
        return []
    used = {name: dims[name] for name in formula.names}
    if not used:
        problem = f'"{text}" names no dim of any part.'
        row.fault("bad-formula", "formula", problem, f'Write dims as "part.dim": {_EXAMPLE}.')
        return []
    families = list(dict.fromkeys(dim.part for dim in used.values()))
    ends = [Ends(name, tuple(copies(meet.drafts, name))) for name in families]
    found = meet.meets("add up", ends, {"range": wanted}, formula=formula)
    return [
        _with_names(one, [(n, families.index(d.part), d.dim) for n, d in used.items()])
        for one in found
    ]


def _with_names(meet: Meet, names: list[tuple[str, int, str]]) -> Meet:
    """Say which part of this set of copies each name of the formula means."""
    return replace(meet, names=tuple((n, meet.ends[i].part, dim) for n, i, dim in names))


def _named_apart(text: str, drafts: Mapping[str, Draft]) -> tuple[str, dict[str, _Dim]]:
    """Put a plain name in the place of each ``part.dim``; both sides of it by that name."""
    known = {d.family or d.name: d for d in drafts.values()} | dict(drafts)
    by_length = sorted(known, key=len, reverse=True)
    dims: dict[str, _Dim] = {}

    def plain(part: str, dim: str, written: str) -> str:
        name = next((n for n, d in dims.items() if (d.part, d.dim) == (part, dim)), "")
        name = name or f"dim_{len(dims) + 1}"
        dims[name] = _Dim(part, dim, written)
        return name

    for part in by_length:
        faces = sorted((f for f in known[part].faces if "-" in f), key=len, reverse=True)
        dim = f"(?:{'|'.join([*map(re.escape, faces), _PLAIN])})+"
        pattern = re.compile(rf"(?<![\w.]){re.escape(part)}\.({dim})")
        text = pattern.sub(lambda m, p=part: plain(p, m[1], m[0]), text)  # type: ignore[misc]
    # What is left with a dot in it names a part that is not there.
    text = _DOTTED.sub(lambda m: plain(m[1], m[2], m[0]), text)
    return text, dims


def _parsed(meet: MeetRow, plain: str, dims: Mapping[str, _Dim]) -> Formula | None:
    try:
        return Formula.parse(plain)
    except FormulaError as error:
        problem, remedy = (_as_written(t, dims) for t in (error.problem, error.remedy))
        meet.row.fault("bad-formula", "formula", problem, remedy)
        return None


def _as_written(text: str, dims: Mapping[str, _Dim]) -> str:
    """Put the maker's own words back into a message."""
    return re.sub(r"\bdim_\d+\b", lambda m: dims[m[0]].text if m[0] in dims else m[0], text)


def _are_known(meet: MeetRow, formula: Formula, dims: Mapping[str, _Dim]) -> bool:
    """Whether each name in the formula is a dim of a part that is there."""
    row, good = meet.row, True
    for name in formula.names:
        if name not in dims:
            problem = f'"{name}" is no dim of a part.'
            offer = f"There is a part of that name: write {name}.length or another of its dims."
            remedy = offer if copies(meet.drafts, name) else f'Write "part.dim": {_EXAMPLE}.'
            row.fault("unknown-name", "formula", problem, remedy)
            good = False
        elif not copies(meet.drafts, dims[name].part):
            good = False
            meet.named("formula", "formula", dims[name].part)
    return good
