"""Threads: ISO metric screw threads and the bolts that carry them.

Room: shop. The tables lie in ``threads.toml`` beside this file, each with its
standard and how much of it was compared with a print.

*Nominal* is the outside of the bolt, *pitch* the step of one turn. ``M8`` is
the coarse thread, ``M8x1`` a fine one. Start at `thread_named`.
"""

from __future__ import annotations

import math
import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from foldwright.errors import OutOfDomain, UnknownName
from foldwright.shop.physical import require_above_zero

FIRST_CHOICE = (1.6, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 24.0, 30.0)
"""Nominal diameters to be preferred, first choice of ISO 262:1998 up to 30 mm; from memory."""

_WRITTEN = re.compile(r"[Mm]\s*(\d+(?:[.,]\d+)?)(?:\s*[xX\u00d7*-]\s*(\d+(?:[.,]\d+)?))?")
_LONGEST_NAME = 40  # characters
_SAME = 1e-6  # [mm]
_DRILL_STEP = 0.1  # [mm] that drills are stocked in where the table ends
_FIGURES = 3  # that ISO 898-1 prints areas and loads to


@dataclass(frozen=True)
class Thread:
    """ISO metric thread on its basic profile: nominal diameter d and pitch P [mm].

    ::

        d2 = d - 0.649519 P    on the flanks, where thread and gap are as wide
        d3 = d - 1.226869 P    bottom of the bolt's thread, rounded
        D1 = d - 1.082532 P    bore of the nut
        As = pi/4 ((d2 + d3) / 2)^2

    References
    ----------
    ISO 68-1:1998 and ISO 724:1993, basic dimensions; ISO 898-1:2009, 9.1.6.1 for As.

    Examples
    --------
    >>> round(Thread(8.0, 1.25).stress_area, 1)
    36.6
    """

    nominal: float
    pitch: float

    def __post_init__(self) -> None:
        """Refuse what has no core left."""
        require_above_zero(self.nominal, "the thread's diameter", name="thread")
        require_above_zero(self.pitch, "the thread's pitch", name="thread")
        if self.root_d <= 0.0:
            raise OutOfDomain(
                f"A pitch of {self.pitch:g} mm cuts through a bolt of {self.nominal:g} mm; it has "
                f"to be under {self.nominal / 1.226869:.2f}. Write diameter first: M8x1.",
                name="thread",
            )

    @property
    def height(self) -> float:
        """H of the sharp triangle [mm]: P sqrt(3) / 2."""
        return self.pitch * math.sqrt(3.0) / 2.0

    @property
    def pitch_d(self) -> float:
        """Pitch diameter d2 [mm]."""
        return self.nominal - 0.75 * self.height

    @property
    def bore_d(self) -> float:
        """Minor diameter of the nut D1 [mm]."""
        return self.nominal - 1.25 * self.height

    @property
    def root_d(self) -> float:
        """Minor diameter of the bolt d3 [mm], its root rounded by H/6."""
        return self.bore_d - self.height / 6.0

    @property
    def stress_area(self) -> float:
        """Area As that carries the pull [mm2]."""
        return math.pi / 4.0 * ((self.pitch_d + self.root_d) / 2.0) ** 2

    @property
    def is_coarse(self) -> bool:
        """The pitch is that of the coarse series."""
        return any(
            abs(d - self.nominal) < _SAME and abs(p - self.pitch) < _SAME
            for d, p, _ in _table()["coarse"]
        )

    @property
    def name(self) -> str:
        """As written: ``M8`` or ``M8x1``."""
        return f"M{self.nominal:g}" + ("" if self.is_coarse else f"x{self.pitch:g}")


@dataclass(frozen=True)
class PropertyClass:
    """Steel of a bolt, least values [MPa]: tensile strength, yield (or 0.2 %), proof stress.

    `largest` is the largest nominal diameter that it is made in [mm].
    """

    name: str
    tensile: float
    limit: float
    proof: float
    largest: float


@dataclass(frozen=True)
class Head:
    """Hexagon head and plain washers of a bolt, outside diameters and thicknesses [mm].

    A washer of 0 is not in the standard.
    """

    across_flats: float
    washer_d: float
    washer_thickness: float
    large_washer_d: float
    large_washer_thickness: float


def thread_named(written: str) -> Thread:
    """Read the thread that a maker writes: ``M8`` (coarse) or ``M8x1``.

    Raises
    ------
    OutOfDomain
        Not a thread, or a diameter that has no coarse pitch.

    Examples
    --------
    >>> thread_named("M10"), thread_named("M10x1.25").name
    (Thread(nominal=10.0, pitch=1.5), 'M10x1.25')
    """
    nominal, pitch_written = _parts(written)
    if pitch_written is not None:
        return Thread(nominal, pitch_written)
    for d, pitch, _ in _table()["coarse"]:
        if abs(d - nominal) < _SAME:
            return Thread(nominal, float(pitch))
    raise OutOfDomain(
        f"M{nominal:g} has no coarse pitch in ISO 261. Give the pitch too, like M{nominal:g}x1.",
        name="thread",
    )


def nominal_named(written: str) -> float:
    """Nominal diameter of what a maker writes [mm], whatever its pitch: 100 of ``M100``.

    Raises
    ------
    OutOfDomain
        Not a thread.
    """
    return _parts(written)[0]


def _parts(written: str) -> tuple[float, float | None]:
    """Diameter and, where it is written, pitch [mm]."""
    found = _WRITTEN.fullmatch(written.strip()) if len(written) < _LONGEST_NAME else None
    if found is None:
        raise OutOfDomain(
            f'"{written[:_LONGEST_NAME]}" is no metric thread. Write M8 for the coarse pitch, '
            "M8x1 for a fine one.",
            name="thread",
        )
    pitch = float(found[2].replace(",", ".")) if found[2] else None
    return float(found[1].replace(",", ".")), pitch


def tap_drill(thread: Thread) -> float:
    """Drill before tapping [mm].

    The standard's drill where it lists the thread; else nominal less pitch, to
    the nearest tenth.

    References
    ----------
    ISO 2306:1972.

    Examples
    --------
    >>> tap_drill(thread_named("M8")), tap_drill(thread_named("M8x1"))
    (6.8, 7.0)
    """
    for d, pitch, drill in (*_table()["coarse"], *_table()["fine"]):
        if abs(d - thread.nominal) < _SAME and abs(pitch - thread.pitch) < _SAME:
            return float(drill)
    steps = round((thread.nominal - thread.pitch) / _DRILL_STEP)
    return round(steps * _DRILL_STEP, 1)


def thread_after_drill(drill: float) -> Thread | None:
    """Coarse thread that a hole is drilled for; None if none is, or if a bolt passes it.

    A hole of 17.5 mm is both, before M20 and for M16 to pass: it is no tapping drill
    unless somebody says so.

    Examples
    --------
    >>> thread_after_drill(6.8).name, thread_after_drill(9.0), thread_after_drill(17.5)
    ('M8', None, None)
    """
    if bolt_for_hole(drill) is not None:
        return None
    coarse = (Thread(float(d), float(pitch)) for d, pitch, _ in _table()["coarse"])
    return next((t for t in coarse if abs(tap_drill(t) - drill) < _SAME), None)


def thread_depth_share(thread: Thread, drill: float) -> float:
    """How much of the full thread is cut after a drill [-]: (d - drill) / (d - D1).

    References
    ----------
    Machinery's Handbook, "percentage of full thread", with the basic height of
    internal thread 0.541 P on each side.
    """
    return (thread.nominal - drill) / (thread.nominal - thread.bore_d)


def clearance_holes(nominal: float) -> tuple[float, float, float]:
    """Holes that a bolt passes through: fine, medium and coarse series [mm].

    Raises
    ------
    OutOfDomain
        A diameter that the standard does not list.

    References
    ----------
    ISO 273:1979.

    Examples
    --------
    >>> clearance_holes(6.0)
    (6.4, 6.6, 7.0)
    """
    for d, fine, medium, coarse in _table()["clearance"]:
        if abs(d - nominal) < _SAME:
            return float(fine), float(medium), float(coarse)
    listed = [row[0] for row in _table()["clearance"]]
    nearest = min(listed, key=lambda d: abs(d - nominal)) if math.isfinite(nominal) else listed[0]
    raise OutOfDomain(
        f"ISO 273 has no clearance hole for M{nominal:g}. The nearest bolt it lists is "
        f"M{nearest:g}; use one of the list.",
        name="thread",
    )


def bolt_for_hole(hole: float) -> tuple[float, str] | None:
    """Bolt that a hole lets through, and how: the closest series of ISO 273 that has it.

    Examples
    --------
    >>> bolt_for_hole(6.4), bolt_for_hole(6.6), bolt_for_hole(6.1)
    ((6.0, 'fine'), (6.0, 'medium'), None)
    """
    for d, *holes in _table()["clearance"]:
        for series, size in zip(("fine", "medium", "coarse"), holes, strict=True):
            if abs(float(size) - hole) < _SAME:
                return float(d), series
    return None


def head_of(nominal: float) -> Head:
    """Head and washers of a bolt.

    Raises
    ------
    OutOfDomain
        A diameter that the table does not list.
    """
    for d, *sizes in _table()["heads"]:
        if abs(d - nominal) < _SAME:
            return Head(*map(float, sizes))
    listed = ", ".join(f"M{row[0]:g}" for row in _table()["heads"])
    raise OutOfDomain(
        f"No head and washer are listed for M{nominal:g}. There are: {listed}. Use one of these.",
        name="thread",
    )


def property_class(name: str, nominal: float) -> PropertyClass:
    """Steel of a bolt of that nominal diameter [mm].

    Raises
    ------
    UnknownName
        No such class.
    OutOfDomain
        The class is not made so thick.

    References
    ----------
    ISO 898-1:2009, Table 3; ISO 3506-1:2009, Table 2, for A2 and A4.

    Examples
    --------
    >>> property_class("8.8", 8.0).proof, property_class("8.8", 20.0).proof
    (580.0, 600.0)
    """
    rows = [row for row in _table()["classes"] if row[0] == name]
    if not rows:
        raise UnknownName("property class", name, property_classes())
    for _, tensile, limit, proof, largest in rows:
        if not largest or nominal <= largest + _SAME:
            return PropertyClass(
                name, float(tensile), float(limit), float(proof), float(largest) or math.inf
            )
    raise OutOfDomain(
        f"Class {name} is made up to M{rows[-1][4]:g}, this is M{nominal:g}. "
        "Take another class or a thinner bolt.",
        name="property_class",
    )


def property_classes() -> tuple[str, ...]:
    """Names of all classes, weakest steel first, then stainless."""
    return tuple(dict.fromkeys(str(row[0]) for row in _table()["classes"]))


def threads_listed() -> tuple[Thread, ...]:
    """All threads of the table, coarse then fine."""
    return tuple(Thread(float(d), float(p)) for d, p, _ in (*_table()["coarse"], *_table()["fine"]))


def bolt_lengths() -> tuple[float, ...]:
    """Lengths under the head that bolts are sold in [mm]."""
    return tuple(map(float, _table()["lengths"]))


def least_tensile_load(thread: Thread, class_name: str) -> float:
    """Pull that a bolt has to stand before it breaks [N].

    Where the standard's table has the bolt, its number; else the product, as
    `tensile_load` rounds it.

    References
    ----------
    ISO 898-1:2009, Table 6.

    Examples
    --------
    >>> least_tensile_load(thread_named("M10"), "10.9")
    60300.0
    """
    steel = property_class(class_name, thread.nominal)
    if thread.is_coarse and class_name in _table()["load_classes"]:
        column = 1 + _table()["load_classes"].index(class_name)
        for row in _table()["loads"]:
            if abs(row[0] - thread.nominal) < _SAME and row[column]:
                return float(row[column])
    return tensile_load(to_figures(thread.stress_area), steel.tensile)


def tensile_load(stress_area: float, tensile: float) -> float:
    """As Rm [N] from an area [mm2] and a strength [MPa], to three figures as the standard prints.

    References
    ----------
    ISO 898-1:2009, 9.1.6.2; its areas too have three figures.

    Examples
    --------
    >>> tensile_load(58.0, 1040.0)
    60300.0
    """
    require_above_zero(stress_area, "the stress area", name="stress_area", unit="mm2")
    require_above_zero(tensile, "the tensile strength", name="tensile", unit="MPa")
    return to_figures(stress_area * tensile)


def to_figures(value: float, figures: int = _FIGURES) -> float:
    """Value rounded to so many figures, as standards print areas and loads.

    Examples
    --------
    >>> to_figures(36.609), to_figures(8.7787)
    (36.6, 8.78)
    """
    return float(f"{value:.{figures}g}")


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(files("foldwright.shop").joinpath("threads.toml").read_text("utf-8"))
