"""Strays: errors of a made part that no drawing can take back.

Room: shape. A parameter can be drawn anew; that a box leans or a drum is oval
cannot. Each kind of part has its strays, all drawn as 0. The dims that see
them (`spare`) take them from the same mapping as the parameters, under their
names, and leave out those that it does not have.

The name of a stray begins with ``~``, so that it is never the name of a size.

Lengths of one part may hang on one size, as the three of a cube do; as made,
they stray each by itself. Such a length has a stray of its own, ``~depth_off``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from foldwright.plan import (
    AnyPart,
    Bought,
    Box,
    Drum,
    Dual,
    Faceted,
    Hood,
    Length,
    Number,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Taper,
    Tube,
)
from foldwright.plan.dual import slopes

# Lengths of a kind that one cut or curl makes each.
_LENGTHS: Mapping[type, tuple[str, ...]] = {
    Box: ("width", "depth", "height"),
    Drum: ("outside_d", "length"),
    Hood: ("bottom_d", "top_d", "height"),
    Plug: ("diameter", "length", "bolt_d"),
    Strip: ("length", "width", "flange"),
    Plate: ("diameter", "bore"),
    Tube: ("length",),
    Bought: ("width", "depth", "height", "diameter", "length"),
}
# Further from a combination of the lengths before it than this share of itself.
_APART = 1e-9


@dataclass(frozen=True)
class Stray:
    """One stray: its name, in words what it is, and its unit (``"mm"``)."""

    name: str
    what: str
    unit: str = "mm"


_LEAN_RIGHT = Stray("~lean_right", "how far the top stands right of the bottom")
_LEAN_BACK = Stray("~lean_back", "how far the top stands behind the bottom")
_SKEW = Stray("~skew", "how far the back stands right of the front")
_TAPER = Stray("~taper", "how much wider it is at the back than at the front")
_DEPTH_TAPER = Stray("~depth_taper", "how much deeper it is on the right than on the left")
_FLARE = Stray("~flare", "how much wider it is at the top than at the bottom")
_TILT_RIGHT = Stray("~tilt_right", "how much higher it is on the right than on the left")
_TILT_BACK = Stray("~tilt_back", "how much higher it is at the back than at the front")
_TWIST = Stray("~twist", "how far the back right corner stands off, the other three down")
_SLOPE_0 = Stray("~slope_0", "how much longer it is at the seam than half round from it, halved")
_SLOPE_90 = Stray("~slope_90", "how much longer it is a quarter round than opposite, halved")
_PROFILE = (_LEAN_RIGHT, _LEAN_BACK, _SKEW, _TAPER, _DEPTH_TAPER, _TILT_BACK, _TWIST)
_FACETED = (_LEAN_RIGHT, _LEAN_BACK, _TWIST)


def _oval(end: str = "") -> tuple[Stray, Stray]:
    prefix, where = (f"{end}_", f" at the {end}") if end else ("", "")
    return (
        Stray(f"~{prefix}oval", f"how much wider it is across the seam than the mean{where}"),
        Stray(f"~{prefix}oval_45", f"how much wider it is an eighth round from there{where}"),
    )


@lru_cache(maxsize=4096)
def strays_of(part: AnyPart) -> tuple[Stray, ...]:
    """Every stray of a part.

    Examples
    --------
    >>> from foldwright.plan import Formula, Length, Parameter, Tube
    >>> leg = Tube(name="leg", stock="tube30", thickness=2.0, across=30.0,
    ...            parameters=(Parameter("length", 120.0, 1.2, 0.0),),
    ...            length=Length(Formula.parse("length")))
    >>> [stray.name for stray in strays_of(leg)][:2]
    ['~outside_off', '~bore_off']
    """
    return _by_kind(part) + tuple(_off(field) for field in _tied_lengths(part))


def _by_kind(part: AnyPart) -> tuple[Stray, ...]:
    match part:
        case Box():
            return (*_PROFILE, _FLARE, _TILT_RIGHT)
        case Profile():
            return _PROFILE
        case Taper():
            return (*_FACETED, *_skews(part))
        case Faceted():
            return _FACETED
        case Drum():
            return (*_oval(), _SLOPE_0, _SLOPE_90)
        case Hood():
            return (*_oval("bottom"), *_oval("top"), _SLOPE_0, _SLOPE_90)
        case Tube():
            off = Stray("~outside_off", "what its outside strays from what was bought")
            bore = Stray("~bore_off", "what its bore strays from what was bought")
            round_ones = () if part.square else _oval()
            return (off, bore, *round_ones, _SLOPE_0, _SLOPE_90)
        case Plug():
            return _oval()
        case Plate():
            return _oval() if part.diameter is not None else _flat()
        case Rib():
            if isinstance(part.of, Box | Profile | Taper | Faceted):
                return (*_flat()[1:], _off("width"), _off("height"))
            return (_off("diameter"),)
        case Strip():
            taper = Stray("~taper", "how much wider it is at its right end than at its left")
            if part.flange is None:
                return (taper,)
            return (taper, Stray("~spread", "how far its two edges stand further apart"))
        case Bought():
            return ()


def _flat() -> tuple[Stray, ...]:
    return (
        Stray("~skew", "how far the upper edge stands right of the lower one"),
        Stray("~taper", "how much wider it is along the upper edge than along the lower one"),
    )


def _skews(part: Taper) -> tuple[Stray, ...]:
    if len(part.sides) != 4:
        return ()
    return tuple(
        Stray(f"~{which}_skew", f"how far the back of its {which} outline stands right")
        for which in ("lower", "upper")
    )


def _off(field: str) -> Stray:
    return Stray(off_name(field), f"what its {_words(field)} strays by itself")


def off_name(field: str) -> str:
    """Name of the stray of a length that hangs on the sizes of others."""
    return f"~{field}_off"


def lengths_of(part: AnyPart) -> dict[str, Length]:
    """Lengths of a part that are made each by itself, by field; none for outlines."""
    found = {}
    for field in _LENGTHS.get(type(part), ()):
        length = getattr(part, field)
        if length is not None:
            found[field] = length
    return found


def _tied_lengths(part: AnyPart) -> tuple[str, ...]:
    """Lengths that hang on the same parameters as those before them, or on none."""
    names = [p.name for p in part.parameters]
    duals: dict[str, Number] = {p.name: Dual.seed(p.name, p.value) for p in part.parameters}
    rows: list[list[float]] = []
    tied = []
    for field, length in lengths_of(part).items():
        found = slopes(length.value(duals))
        row = [found.get(name, 0.0) for name in names]
        if np.linalg.matrix_rank(np.array([*rows, row]), tol=_APART) > len(rows):
            rows.append(row)
        else:
            tied.append(field)
    return tuple(tied)


@dataclass(frozen=True)
class _OffLength(Length):
    """A length with a stray of its own."""

    stray: str = ""

    def value(self, parameters: Mapping[str, Number]) -> Number:
        return super().value(parameters) + parameters.get(self.stray, 0.0)


def with_offs[P: AnyPart](part: P, values: Mapping[str, Number]) -> P:
    """Return the part, its lengths taking their own strays from the values that have them."""
    offs: dict[str, Any] = {}
    for field, length in lengths_of(part).items():
        if off_name(field) in values:
            offs[field] = _OffLength(
                length.formula, length.scale, length.constants, off_name(field)
            )
    return replace(part, **offs) if offs else part


def _words(field: str) -> str:
    return field.replace("outside_d", "diameter").replace("_d", " diameter").replace("_", " ")
