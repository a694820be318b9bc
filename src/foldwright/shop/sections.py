"""Sections: a fold as it is asked for, and as it is worked out.

Room: shop. Records only; `folds` fills them in.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SetUp:
    """One cutter of the maker: included angle [rad], narrowest and widest floor [mm].

    Angle 0 is a saw blade; its floor is its kerf.
    """

    name: str
    angle: float
    floor: float
    widest: float


@dataclass(frozen=True)
class FoldRequest:
    """What is asked of a fold; None leaves the choice to `choose_section`.

    Attributes
    ----------
    method : str or None
        ``"groove"``, ``"kerf"``, ``"open"``, ``"bend"``, ``"score"`` or ``"hot"``.
    web, floor : float or None
        Left under the cut; width of the cut [mm].
    cutter : float or None
        Included angle [rad].
    radius : float or None
        Inside radius of a bend; of the round that a row of kerfs makes [mm].
    k : float or None
        Neutral line as a share of the web, from a folded test strip.
    kerfs : int or None
        How many kerfs share the turn.
    pitch : float or None
        From kerf to kerf of a row [mm].
    """

    method: str | None = None
    web: float | None = None
    floor: float | None = None
    cutter: float | None = None
    radius: float | None = None
    k: float | None = None
    kerfs: int | None = None
    pitch: float | None = None


@dataclass(frozen=True)
class FoldSection:
    """A fold worked out in cross-section.

    A row of kerfs is one fold with several zones: `turn`, `setback`,
    `corner_loss` and `deduction` are those of the whole row, everything else
    is of each kerf.

    Attributes
    ----------
    turn : float
        [rad], negative re-entrant.
    method, cut_side : str
        As in `FoldRequest`; ``"inside"``, ``"outside"`` or ``"none"``.
    web, k, inner_radius, zone_width, setback : float
        [mm], [-], [mm], [mm], [mm]; the setback may be negative.
    floor, cutter, cutter_name : float, float, str
        What to set: flat of the cut [mm], included angle [rad], which cutter.
    shuts_at : float
        Turn at which the cut shuts [rad]; infinite if never.
    over_fold : float
        Springback to allow for [rad].
    strain : float
        Of the skin, or of the outer fibre of a bend [-].
    corner_loss : float
        How far the round of the fold stays inside the mould line [mm].
    note : str
        Why the set-up is not the one asked for; empty if it is.
    kerfs : int
        Zones side by side that share the turn.
    pitch : float
        From zone to zone of a row in the flat [mm]; 0 for one zone.
    """

    turn: float
    method: str
    cut_side: str
    web: float
    k: float
    inner_radius: float
    zone_width: float
    setback: float
    floor: float
    cutter: float
    cutter_name: str
    shuts_at: float
    over_fold: float
    strain: float
    corner_loss: float
    note: str = ""
    kerfs: int = 1
    pitch: float = 0.0

    @property
    def width(self) -> float:
        """Developed width of all that is not flat face: the zone, or the row of them [mm]."""
        return (self.kerfs - 1) * self.pitch + self.zone_width

    @property
    def deduction(self) -> float:
        """What the blank is shorter than the two outside lengths [mm]: 2 s - width."""
        return 2.0 * self.setback - self.width

    @property
    def turn_each(self) -> float:
        """Turn of each zone [rad]."""
        return self.turn / self.kerfs
