"""One clearance, and the scene that it is read off: parts, what they came out as, where they stand.

Room: fit. Every kind of meet is worked out in a module of its own (`gaps`,
`presses`, `rows`, `bolt_holes`, `seen`, `alike`) by a function that takes the
meet and a `Scene` and hands back clearances. All run on dual numbers, so their
slopes are exact.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from foldwright.errors import CannotMake
from foldwright.plan import AnyPart, Dual, End, Meet, Number, is_fine_range
from foldwright.plan.dual import number, slopes
from foldwright.shape import (
    Dim,
    Hole,
    Section,
    Vector,
    datum_of,
    dims_of,
    face_corners,
    hole_middles,
    section_of,
    turned_by,
)
from foldwright.shape.planes import Spot
from foldwright.shop import Board

# A slope below this is none: rounding, far from what a hand can turn into a miss.
_NO_SLOPE = 1e-12
# How much of a number a dim has to tell (cosine), and what is no difference between two.
_TELLS, _TIE = 0.5, 1e-9


@dataclass(frozen=True)
class Clearance:
    """One number that a meet wants in a range.

    Attributes
    ----------
    meet : Meet
    across : str
        Where it is taken, in words ("across the depth"); empty if there is but one place.
    value : float
        [mm], expected.
    slopes : Mapping of str to float
        Derivative with respect to each ``part/parameter`` [-].
    low, high : float
        Wanted [mm].
    dims : tuple of str
        What to measure for it, ``part.dim``.
    what : str
        What it is, in words: "gap a side", "margin", "step".
    own : float
        Scatter that comes of no dim of the plan, one standard deviation [mm]:
        where a hand drills a hole.
    pulled : float
        How much of the range is there only because a floppy part is pulled true [mm].
    """

    meet: Meet
    across: str
    value: float
    slopes: Mapping[str, float]
    low: float
    high: float
    dims: tuple[str, ...]
    what: str = ""
    own: float = 0.0
    pulled: float = 0.0

    @property
    def is_fine(self) -> bool:
        """Whether it is told to the hundredth."""
        return is_fine_range(self.low, self.high)


def key_of(part: str, parameter: str) -> str:
    """Name of a parameter among those of all parts."""
    return f"{part}/{parameter}"


@dataclass(frozen=True)
class Scene:
    """All parts of a build, as they are expected or came out, where they stand.

    Attributes
    ----------
    parts : Mapping
        By name, as the plan draws them.
    values : Mapping
        Parameters of each part [mm].
    frames : Mapping
        Motion (4, 4) of each part in the build, as drawn.
    boards : Mapping
        Board of each stock; where it is missing, no floppy panel gives and no
        press fit can be reckoned.
    is_drawn : bool
        Everything is as drawn, so that no slopes are wanted.
    of_drawing : Scene or None
        The same build as drawn, if it is there already.
    """

    parts: Mapping[str, AnyPart]
    values: Mapping[str, Mapping[str, float]]
    frames: Mapping[str, Vector]
    boards: Mapping[str, Board] = field(default_factory=dict)
    is_drawn: bool = False
    of_drawing: Scene | None = None

    @cached_property
    def duals(self) -> Mapping[str, Mapping[str, Number]]:
        """Parameters of each part with their slopes; as drawn without, since nobody asks."""
        if self.is_drawn:
            return self.values
        return {
            part: {name: Dual.seed(key_of(part, name), value) for name, value in row.items()}
            for part, row in self.values.items()
        }

    @cached_property
    def drawn(self) -> Scene:
        """The same build with everything as drawn."""
        if self.is_drawn or self.of_drawing:
            return self.of_drawing or self
        values = {name: part.values() for name, part in self.parts.items()}
        return replace(self, values=values, is_drawn=True, of_drawing=None)

    def at(self, values: Mapping[str, Mapping[str, float]]) -> Scene:
        """The same build with other dims, which need not look at the drawing again."""
        return replace(self, values=values, is_drawn=False, of_drawing=self.drawn)

    @cached_property
    def _kept(self) -> dict[tuple[Hashable, ...], Any]:
        return {}

    def _once[T](self, key: tuple[Hashable, ...], work: Callable[[], T]) -> T:
        """Work something out once: several meets ask the same of a part."""
        if key not in self._kept:
            self._kept[key] = work()
        found: T = self._kept[key]
        return found

    def dims(self, part: str) -> dict[str, Dim]:
        """Every dim of a part, finished."""
        return self._once(
            ("dims", part), lambda: dims_of(self.parts[part], self.duals[part], finished=True)
        )

    def section(self, end: End, *, mouth: bool) -> Section:
        """What a face offers to a meet."""
        part, face = end.part, end.face
        return self._once(
            ("section", part, face, mouth),
            lambda: section_of(self.parts[part], face, self.duals[part], mouth=mouth),
        )

    def holes(self, end: End) -> tuple[Hole, ...]:
        """Holes of one end of a meet, in the part's frame."""
        part, face, names = end.part, end.face, end.holes
        return self._once(
            ("holes", part, face, names),
            lambda: hole_middles(self.parts[part], face, names, self.duals[part]),
        )

    def way(self, part: str, direction: Sequence[float] | Vector) -> Vector:
        """Direction of a part's frame in the build frame."""
        return np.asarray(self.frames[part][:3, :3] @ np.asarray(direction, dtype=float))

    def corners(self, end: End) -> tuple[Spot, ...]:
        """Points of a flat face in the build frame."""
        part, face = end.part, end.face
        return self._once(
            ("corners", part, face),
            lambda: tuple(
                self.in_build(part, corner)
                for corner in face_corners(self.parts[part], face, self.duals[part])
            ),
        )

    def in_build(self, part: str, spot: Spot) -> Spot:
        """Point of a part in the build frame."""
        datum = self._once(
            ("datum", part), lambda: datum_of(part, self.parts, self.duals, self.frames)
        )
        step = turned_by(self.frames[part], spot)
        return (datum[0] + step[0], datum[1] + step[1], datum[2] + step[2])

    def dims_behind(self, parts: Iterable[str], value: Number) -> tuple[str, ...]:
        """The dim of each part that tells most of a number, ``part.dim``; the first if alike.

        A spare dim only where no other tells at least half of it.
        """
        wanted = slopes(value)
        found = []
        for part in parts:
            own = {k: d for k, d in wanted.items() if k in _keys(self.duals[part])}
            if not any(own.values()):
                continue
            dims = self.dims(part).values()
            alike = {dim.name: _alike(own, slopes(dim.value)) for dim in dims}
            usual = {dim.name: alike[dim.name] for dim in dims if not dim.is_spare}
            if max(usual.values(), default=0.0) >= _TELLS:
                alike = usual
            most = max(alike.values())
            best = next(name for name, share in alike.items() if share >= most - _TIE)
            if most > 0.0:
                found.append(f"{part}.{best}")
        return tuple(found)


def clearance(
    meet: Meet,
    across: str,
    value: Number,
    wanted: tuple[float, float],
    dims: tuple[str, ...],
    what: str,
    *,
    own: float = 0.0,
    pulled: float = 0.0,
) -> Clearance:
    """Clearance of a number that carries its slopes; what is `pulled` true widens its range."""
    low, high = wanted
    return Clearance(
        meet=meet,
        across=across,
        value=number(value),
        slopes={k: d for k, d in slopes(value).items() if abs(d) > _NO_SLOPE},
        low=low - pulled,
        high=high + pulled,
        dims=dims,
        what=what,
        own=own,
        pulled=pulled,
    )


def wanted_of(meet: Meet, what: str) -> tuple[float, float]:
    """Range that the plan has to state for this kind of meet."""
    found = meet.range_of(what)
    assert found is not None, f"the plan reads {what} of {meet.kind}"
    return found


def cannot_meet(
    meet: Meet, why: str, remedy: str, *, part: str = "", field: str = ""
) -> CannotMake:
    """Fault of a meet that cannot be, for the maker to change."""
    return CannotMake(f"{meet.name}: {why}", part=part or meet.inner, field=field, remedy=remedy)


def _keys(seeds: Mapping[str, Number]) -> set[str]:
    return {key for seed in seeds.values() for key in slopes(seed)}


def _alike(one: Mapping[str, float], other: Mapping[str, float]) -> float:
    """Cosine of the angle between two sets of slopes, whatever their sign."""
    size = math.hypot(*one.values()) * math.hypot(*other.values())
    return abs(sum(d * other.get(k, 0.0) for k, d in one.items())) / size if size else 0.0
