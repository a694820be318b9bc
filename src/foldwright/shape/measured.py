"""Records of what can be measured: dims, and the sections that meets compare.

Room: shape.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from foldwright.plan import Number


@dataclass(frozen=True)
class Dim:
    """One measurable dimension of one part.

    Attributes
    ----------
    name : str
        ``girth`` in ``lamp.girth``.
    value : float or Dual
        [mm].
    how : str
        Where the tool goes, in the maker's words.
    kind : str
        ``"length"``, ``"diameter"`` or ``"girth"``; says which tools read it
        and what to take off for the tool.
    is_spare : bool
        Says again what other dims say, and what strays the part has; asked for
        only when it tells most.
    """

    name: str
    value: Number
    how: str
    kind: str = "length"
    is_spare: bool = False


@dataclass(frozen=True)
class Span:
    """Extent of a section along one direction of the part's frame [mm]."""

    dim: str
    value: Number
    direction: tuple[float, float, float]


@dataclass(frozen=True)
class Section:
    """What a face offers to a meet: a rectangle (two spans) or a circle (one, its diameter).

    `centre` is where it lies in the part's frame, as drawn [mm].
    """

    spans: tuple[Span, ...]
    centre: tuple[float, float, float]

    @property
    def is_round(self) -> bool:
        """A circle, whose one span is the diameter."""
        return len(self.spans) == 1

    def mirrored(self) -> Section:
        """Return the section of the other hand: reflected in x = 0."""
        spans = []
        for span in self.spans:
            x, y, z = span.direction
            spans.append(replace(span, direction=(-x, y, z)))
        x, y, z = self.centre
        return Section(tuple(spans), (-x, y, z))
