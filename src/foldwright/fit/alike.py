"""Alike: two parts that the eye compares, and any other sum of dims.

Room: fit. A ``pair`` compares what is seen of two parts, their outside dims.
A ``relation`` is the maker's own formula of dims, of as many parts as it names,
so that a stack through a whole build is one clearance.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Never

from foldwright.errors import FormulaError, UnknownName
from foldwright.fit.clearance import Clearance, Scene, cannot_meet, clearance, wanted_of
from foldwright.plan import Meet, Number
from foldwright.plan.dual import number
from foldwright.shape import Dim

# Dims that nobody sees from outside, by what is in their names.
_UNSEEN = ("inside", "mouth", "bore", "bolt_d")
# Told by another dim already.
_TOLD = ("girth",)


def pair(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """First less second, in each dim that is compared."""
    one, other = (scene.dims(end.part) for end in meet.ends)
    named = meet.dims or tuple(name for name in one if name in other and _shows(one[name]))
    if not named:
        raise cannot_meet(
            meet,
            "the two have no dim in common that shows.",
            f"Name some with dims, of {', '.join(one)}.",
        )
    found = []
    drawn = [scene.drawn.dims(end.part) for end in meet.ends]
    for name in named:
        for end, dims in zip(meet.ends, (one, other), strict=True):
            if name not in dims:
                _refuse_dim(meet, end.part, name, dims)
        wanted = wanted_of(meet, "within")
        unlike = number(drawn[0][name].value) - number(drawn[1][name].value)
        if not wanted[0] <= unlike <= wanted[1]:
            raise cannot_meet(
                meet,
                f"as drawn they differ by {abs(unlike):.1f} mm in their {_in_words(name)}.",
                "Draw them alike, leave this dim out with dims = [...], or allow more with within.",
            )
        dims_read = tuple(f"{end.part}.{name}" for end in meet.ends)
        value = one[name].value - other[name].value
        found.append(
            clearance(meet, f"in the {_in_words(name)}", value, wanted, dims_read, "unlike")
        )
    return tuple(found)


def relation(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """What the formula comes to."""
    assert meet.formula is not None, "the plan reads the formula of a relation"
    known: dict[str, Number] = {}
    for name, part, dim in meet.names:
        dims = scene.dims(part)
        if dim not in dims:
            _refuse_dim(meet, part, dim, dims)
        known[name] = dims[dim].value
    try:
        value = meet.formula.value(known)
    except FormulaError as error:
        written = error.problem
        for name, part, dim in meet.names:
            written = written.replace(name, f"{part}.{dim}")
        raise cannot_meet(meet, written, error.remedy) from error
    dims_read = tuple(f"{part}.{dim}" for _, part, dim in meet.names)
    return (clearance(meet, "", value, wanted_of(meet, "range"), dims_read, "result"),)


def _shows(dim: Dim) -> bool:
    """Whether it is seen from outside, and told by no other."""
    return not dim.is_spare and not any(word in dim.name for word in (*_UNSEEN, *_TOLD))


def _refuse_dim(meet: Meet, part: str, name: str, dims: Mapping[str, Dim]) -> Never:
    unknown = UnknownName(f"dim of {part}", name, dims)
    raise cannot_meet(meet, f'{part} has no dim "{name}".', unknown.offer(), part=part)


def _in_words(name: str) -> str:
    return name.replace("_", " ")
