"""Simulated builds as a drawn plot: what is made again and reworked, by way of working.

Room: draw. One row for each way, named in words at its left; in each of two columns a
dot where the mean lies and a line over its interval, the numbers beside them. Both
columns begin at nothing, so that lengths compare. It is handed figures and knows
nothing of how they came about; a file as SVG or PDF is made from the same items.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.draw.drawing import (
    HAIR,
    LETTERING,
    TEXT,
    TEXT_BOLD,
    TICK,
    Area,
    Item,
    Page,
    Paper,
    Pen,
    Words,
    circle,
    line,
)
from foldwright.draw.fonts import text_width, wrapped
from foldwright.draw.svg import svg_of

# All in mm.
_WIDTH, _MARGIN = 190.0, 8.0
_NAMES, _BETWEEN = 54.0, 12.0  # the column of names, and what is left between columns
_ROW, _HEAD, _SCALE = 13.0, 26.0, 16.0
_DOT, _END = 1.1, 1.4
_SAID, _LETTERS, _TITLE, _SMALL = 3.7, 3.0, 4.6, 2.7
_LINE = 4.6
# Share of a line that words may fill: a reader without our faces shows wider ones.
_SPARED = 0.85
_INTERVAL = Pen("interval", 0.5)
# Numbers a scale counts in, so that it has two to five steps; common practice, no source.
_COUNTED, _STEPS = (1.0, 2.0, 5.0), 5


@dataclass(frozen=True)
class Figure:
    """A mean with the interval that it is stated with."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Way:
    """One way of working: its name in words, and its figures for each build."""

    name: str
    remakes: Figure
    minutes: Figure


@dataclass(frozen=True)
class WaysPlot:
    """Ways of working side by side.

    Attributes
    ----------
    title : str
        Name of the build.
    about : str
        A sentence below the title: how often it was made, what the lines stand for.
    ways : tuple of Way
        From top to bottom, one or more.
    """

    title: str
    about: str
    ways: tuple[Way, ...]

    @property
    def height(self) -> float:
        """Of the plot [mm]."""
        return _HEAD + self._below_title + _ROW * len(self.ways) + _SCALE

    @property
    def _below_title(self) -> float:
        return _LINE * len(self._sentence)

    @property
    def _sentence(self) -> list[str]:
        return wrapped(self.about, TEXT, _SAID, _SPARED * (_WIDTH - 2.0 * _MARGIN))

    def svg(self) -> str:
        """Return the plot as an SVG document."""
        said = "; ".join(
            f"{way.name}: {way.remakes.value:.2f} parts made again, {way.minutes.value:.0f} minutes"
            for way in self.ways
        )
        return svg_of(self.items(), _WIDTH, self.height, self.title, f"{self.about} {said}.")

    def pdf(self) -> bytes:
        """Return the plot as a PDF file of one page, as large as it is."""
        from foldwright.draw.pdf import pdf_of

        page = Page(Paper("plot", _WIDTH, self.height), tuple(self.items()))
        return pdf_of([page], self.title)

    def items(self) -> list[Item]:
        """Everything drawn, within its width and height [mm]."""
        top = self.height - _MARGIN
        found: list[Item] = [
            Words((_MARGIN, top - _TITLE * 0.75), self.title, _TITLE, TEXT_BOLD),
        ]
        for i, said in enumerate(self._sentence):
            found.append(Words((_MARGIN, top - 5.5 - _LINE * (i + 0.75)), said, _SAID, TEXT))
        first = self.height - _HEAD - self._below_title
        for i, way in enumerate(self.ways):
            y = first - _ROW * (i + 0.5)
            name = wrapped(way.name, TEXT, _SAID, _NAMES)
            for j, part in enumerate(name):
                up = _LINE * ((len(name) - 1) / 2.0 - j)
                found.append(Words((_MARGIN, y - _SAID / 3.0 + up), part, _SAID, TEXT))
        wide = (_WIDTH - 2.0 * _MARGIN - _NAMES - 2.0 * _BETWEEN) / 2.0
        left = _MARGIN + _NAMES + _BETWEEN
        columns = (
            ("parts made again", [way.remakes for way in self.ways], 2),
            ("minutes of rework", [way.minutes for way in self.ways], 0),
        )
        for k, (head, figures, places) in enumerate(columns):
            found += _column((left + k * (wide + _BETWEEN), first), wide, head, figures, places)
        return found


def _column(
    at: tuple[float, float], wide: float, head: str, figures: Sequence[Figure], places: int
) -> list[Item]:
    """One column from its upper left corner: heading, rows, and the scale below."""
    x, top = at
    low_end = top - _ROW * len(figures)
    step, count = _scale(max(figure.high for figure in figures))
    per = wide / (step * count)
    found: list[Item] = [
        Words((x, top + 3.0), head, _SAID, TEXT),
        line((x, top), (x, low_end), HAIR),
        line((x, low_end), (x + wide, low_end), HAIR),
    ]
    for i in range(count + 1):
        tick = x + i * step * per
        found.append(line((tick, low_end), (tick, low_end - 1.2), TICK))
        found.append(
            Words((tick, low_end - 4.6), f"{i * step:g}", _SMALL, LETTERING, "middle", soft=True)
        )
    for i, figure in enumerate(figures):
        y = top - _ROW * (i + 0.5) - 1.2
        low, value, high = (x + v * per for v in (figure.low, figure.value, figure.high))
        found.append(line((low, y), (high, y), _INTERVAL))
        found += [line((end, y - _END), (end, y + _END), _INTERVAL) for end in (low, high)]
        found.append(Area(circle((value, y), _DOT)))
        found += _numbers((x, y + 3.0), wide, value, figure, places)
    return found


def _numbers(
    at: tuple[float, float], wide: float, value: float, figure: Figure, places: int
) -> list[Item]:
    """The mean over its dot and the interval after it, kept within the column."""
    mean = f"{figure.value:.{places}f}"
    spread = f"{figure.low:.{places}f} to {figure.high:.{places}f}"
    space = text_width(mean, LETTERING, _LETTERS) + 1.6
    room = space + text_width(spread, LETTERING, _SMALL)
    x, y = at
    start = min(max(value - space / 2.0, x + 1.0), x + wide - room)
    return [
        Words((start, y), mean, _LETTERS, LETTERING),
        Words((start + space, y), spread, _SMALL, LETTERING, soft=True),
    ]


def _scale(most: float) -> tuple[float, int]:
    """A step that counts well, and how many of them reach the largest number."""
    most = most if most > 0.0 else 1.0
    power = 10.0 ** math.floor(math.log10(most / _STEPS))
    steps = [power * n for n in (*_COUNTED, 10.0 * _COUNTED[0])]
    step = next(s for s in steps if most <= s * _STEPS * (1.0 + 1e-9))
    return step, max(1, math.ceil(most / step - 1e-9))
