"""Make: the one function through which everything flows.

``make(plan, ledger) -> Made``. A `Made` is frozen; its shapes, patterns and
fits are worked out when asked for. Patterns are kept part by part on their
content, so that changing one dim works out one part and its neighbours anew.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from foldwright.calibration import read_calibrations
from foldwright.errors import CannotMake, UnknownName
from foldwright.fit import (
    Assembly,
    Clearance,
    Cure,
    Followed,
    MeetForecast,
    Scene,
    Shift,
    by_habit,
    clearances_in,
    cure_in_words,
    dim_in_words,
    reasons,
    rib_meets,
)
from foldwright.flat import CutLength, Pattern, Piece
from foldwright.known import Known
from foldwright.ledger import Change, Ledger
from foldwright.plan import (
    AnyPart,
    LaterFaults,
    Meet,
    Plan,
    Rib,
    in_units,
    read_plan,
    show_length,
)
from foldwright.sheet import (
    BarPlan,
    StockLayout,
    cut_bars,
    lay_out,
)
from foldwright.shop import thicknesses

PLAN_FILE, LEDGER_FILE = "plan.toml", "ledger.sqlite"


def open_build(where: Path) -> tuple[Plan, Ledger]:
    """Read the plan and open the ledger of a build folder (or of a plan file in one).

    Raises
    ------
    PlanFaults
        The plan is missing or cannot be used; every fault at once.
    LedgerTrouble
        The ledger cannot be opened.
    """
    path = where if where.suffix == ".toml" else where / PLAN_FILE
    plan = read_plan(path, thicknesses())
    return plan, Ledger(path.parent / LEDGER_FILE)


def make(plan: Plan, ledger: Ledger) -> Made:
    """Everything that follows from a plan, what was measured so far, and the maker's hand."""
    maker = read_calibrations(plan.path.parent)
    return Made(
        plan,
        ledger.readings(),
        ledger.revisions(),
        maker,
        ledger.stages(),
        ledger.all_readings(),
        {process: entry.id for process, entry in ledger.forgotten().items()},
    )


@dataclass(frozen=True)
class Outcome:
    """A refit: what to change and why, and the chance of each meet before and after.

    `of_shells` is what the ledger keeps of the shells that ribs are drawn anew for,
    `shut_out` sentences on the ribs that cannot be drawn for theirs.
    """

    shifts: tuple[Shift, ...]
    why: tuple[tuple[str, ...], ...]
    before: tuple[MeetForecast, ...]
    after: tuple[MeetForecast, ...]
    of_shells: tuple[Change, ...] = ()
    shut_out: tuple[str, ...] = ()

    def changes(self) -> tuple[Change, ...]:
        """Return what the ledger keeps: the shifts, and what ribs are drawn for."""
        told = tuple(
            Change(s.part, s.parameter.name, s.before, s.after, s.parameter.value, why)
            for s, why in zip(self.shifts, self.why, strict=True)
        )
        return (*told, *self.of_shells)


@dataclass(frozen=True)
class Cured:
    """A remedy in words: what to do, and minutes in all."""

    words: tuple[str, ...]
    minutes: float


@dataclass(frozen=True)
class Layouts:
    """What is cut from what: sheets by stock, tubes and bars by stock."""

    sheets: Mapping[str, StockLayout]
    bars: Mapping[str, BarPlan]


@dataclass(frozen=True)
class Made(Known):
    """A plan with everything that follows from it; fields as in `Intended` and `Known`."""

    _one_by_one: threading.RLock = field(
        default_factory=threading.RLock, init=False, repr=False, compare=False
    )

    @cached_property
    def patterns(self) -> tuple[Pattern, ...]:
        """Patterns of all parts.

        Raises
        ------
        PlanFaults
            Every part and meet that cannot be made as asked.
        """
        self.require()
        return tuple(self.pattern(name) for name in self.parts)

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Pieces of all parts."""
        return tuple(piece for pattern in self.patterns for piece in pattern.pieces)

    @property
    def lengths(self) -> tuple[CutLength, ...]:
        """Lengths to saw off tube and bar, of all parts."""
        return tuple(cut for pattern in self.patterns for cut in self.sawn(pattern.part))

    def layouts(
        self, seconds: float, say: Callable[[float, float, str], None] = lambda *_: None
    ) -> Layouts:
        """Lay all blanks out on the rack, and all lengths on its tubes and bars.

        Parameters
        ----------
        seconds : float
            How long to look for a good layout of each stock.
        say : callable
            Told how many stocks are done, of how many, and what comes now.
        """
        sheets: dict[str, StockLayout] = {}
        bars: dict[str, BarPlan] = {}
        for i, (name, stock) in enumerate(self.plan.stocks.items()):
            say(i, len(self.plan.stocks), f"Laying out {self.called(name)}")
            pieces = [piece for piece in self.pieces if piece.stock == name]
            lengths = [cut for cut in self.lengths if cut.stock == name]
            if pieces:
                sheets[name] = lay_out(pieces, stock, seconds=seconds)
            if lengths:
                bars[name] = cut_bars(lengths, stock)
        return Layouts(sheets, bars)

    def require(self, parts: Sequence[str] = ()) -> None:
        """Raise `PlanFaults` with every part, place and meet that cannot be made.

        Parameters
        ----------
        parts : sequence of str
            Look at these parts alone, and at no meets; empty for all.
        """
        faults = LaterFaults(self.plan)
        _ = self.boards  # their faults come first, since every part needs one
        with faults.of():
            _ = self.frames
        faults.stop()
        with faults.of():
            _ = self.openings
        faults.stop()
        for name in parts or self.parts:
            with faults.of():
                self.pattern(name)
        if not parts:
            scene = self.scene.at({name: part.values() for name, part in self.parts.items()})
            for meet in self.plan.meets:
                with faults.of(meet.key):
                    clearances_in(scene, meet)
        faults.stop()

    @cached_property
    def scene(self) -> Scene:
        """All parts as drawn, where they stand, for the meets to be read off.

        Ribs are drawn for their shells as intended now.
        """
        ribs = {name: part for name, part in self.parts.items() if isinstance(part, Rib)}
        return Scene({**self.plan.parts, **ribs}, {}, self.frames, self.boards).drawn

    def clearances_at(
        self, values: Mapping[str, Mapping[str, float]]
    ) -> tuple[tuple[Clearance, ...], ...]:
        """Clearances of every meet, at given parameters of all parts [mm]."""
        scene = self.scene.at(values)
        return tuple(clearances_in(scene, meet) for meet in self.plan.meets)

    @cached_property
    def assembly(self) -> Assembly:
        """Everything that meets, as one network."""
        return Assembly(
            drawn=self.plan.parts,
            parts=self.parts,
            meets=self.plan.meets,
            clearances_at=self.clearances_at,
            known=self.beliefs,
            causes={name: by_habit(c, self.habits) for name, c in self.causes.items()},
            stages={name: self.stage(name) for name in self.parts},
        )

    @property
    def forecasts(self) -> tuple[MeetForecast, ...]:
        """How each meet stands, with everything as intended or as measured.

        Worked out once, however many threads ask at a time.
        """
        with self._one_by_one:
            return self._forecasts

    @cached_property
    def _forecasts(self) -> tuple[MeetForecast, ...]:
        in_shells = self._ribs_in_shells.forecasts() if self._standing else ()
        return (*self.assembly.forecasts(), *in_shells)

    def drivers_of(self, found: MeetForecast) -> Mapping[str, float]:
        """Share that each part has in the scatter of a meet, largest first; see `Assembly`."""
        with self._one_by_one:
            of_ribs = found.meet in self._standing
            return (self._ribs_in_shells if of_ribs else self.assembly).drivers_of(found)

    @cached_property
    def _standing(self) -> tuple[Meet, ...]:
        """Meets of ribs in those shells that are made; before that none need be cut."""
        made = [meet for meet in rib_meets(self.parts) if self.is_made(meet.outer)]
        return tuple(meet for meet, _ in self._gaps(made) if meet.inner not in self.shut_out)

    def gaps_of_ribs(self, shell: str) -> tuple[Clearance, ...]:
        """Clearances of the ribs that stand in a part, as everything is expected now."""
        meets = [meet for meet in rib_meets(self.parts) if meet.outer == shell]
        return tuple(gap for _, gaps in self._gaps(meets) for gap in gaps)

    def _gaps(self, meets: Sequence[Meet]) -> Iterator[tuple[Meet, tuple[Clearance, ...]]]:
        """How ribs stand in their shells as everything is expected now.

        A rib that is longer than its shell came out, or that has no room left, stands in none.
        """
        known = {name: self.beliefs[name].mean for meet in meets for name in meet.parts}
        scene = Scene(self.parts, {}, self.frames, self.boards).at(known)
        for meet in meets:
            with suppress(CannotMake):
                yield meet, clearances_in(scene, meet)

    @cached_property
    def _ribs_in_shells(self) -> Assembly:
        return self._network_in_shells(self.parts)

    def _network_in_shells(self, parts: Mapping[str, AnyPart]) -> Assembly:
        """Ribs and the shells they stand in, as a network of its own."""
        meets = self._standing
        drawn = Scene(parts, {}, self.frames, self.boards).drawn

        def clearances_at(
            values: Mapping[str, Mapping[str, float]],
        ) -> tuple[tuple[Clearance, ...], ...]:
            scene = drawn.at(values)
            return tuple(clearances_in(scene, meet) for meet in meets)

        both = tuple(name for name in parts if any(name in meet.parts for meet in meets))
        return Assembly(
            drawn={name: parts[name] for name in both},
            parts={name: parts[name] for name in both},
            meets=meets,
            clearances_at=clearances_at,
            known=self.beliefs,
            causes={name: by_habit(self.causes[name], self.habits) for name in both},
            stages={name: self.stage(name) for name in both},
        )

    @cached_property
    def outcome(self) -> Outcome:
        """The refit: what to change in the parts not made yet."""
        self.require()
        shifts = self.assembly.shifts
        why = tuple(
            (
                *reasons(s, self.bearing_on(s), self.plan.units),
                *self.alike_behind(s),
                *self.habits_behind(s),
            )
            for s in shifts
        )
        ribs, after = self.redrawn_ribs, self.forecasts
        if shifts or ribs:
            then = {**self.parts, **{one.after.name: one.after for one in ribs}}
            refitted = self.assembly.forecasts(self.assembly.refitted)
            in_shells = self._network_in_shells(then).forecasts() if self._standing else ()
            after = (*refitted, *in_shells)
        told = tuple((shift, self._why_followed(one)) for one in ribs for shift in one.shifts)
        return Outcome(
            (*shifts, *(shift for shift, _ in told)),
            (*why, *(said for _, said in told)),
            self.forecasts,
            after,
            tuple(change for one in ribs for change in one.of_shell()),
            tuple(self.shut_out.values()),
        )

    def _why_followed(self, one: Followed) -> tuple[str, ...]:
        stand = (one.after.name, one.after.of.name)
        gaps = next((f.clearances for f in self.forecasts if f.meet.parts == stand), ())
        return one.why(gaps, self.plan.units)

    @cached_property
    def remedies(self) -> tuple[Cured, ...]:
        """What would make everything meet again, the cheapest first; empty if it does."""
        return tuple(
            Cured(tuple(self._cured(cure, amount) for cure, amount in remedy.cures), remedy.minutes)
            for remedy in self.assembly.remedies
        )

    def _cured(self, cure: Cure, amount: float) -> str:
        """Say what to do, to the hundredth where a plug is filed."""
        names, network = tuple(self.parts), self.assembly.network
        parameter = self.assembly.parameter(cure.dim) if cure.dim >= 0 else None
        trimmed = parameter.name if parameter is not None else ""
        shown = self.shown(names[cure.part], trimmed, amount)
        return cure_in_words(cure, shown, names, network, parameter)

    def notes(self, part: str) -> tuple[str, ...]:
        """What the maker should know of a part: set-ups, finish, revisions, plan edits."""
        record, units = self.parts[part], self.plan.units
        forming = self.forming(part)
        found = [
            in_units(note, units)
            for note in (
                *self.pattern(part).notes,
                *self.too_large(part),
                *forming.warnings,
                *forming.remarks,
            )
        ]
        found += self.at_odds(part)
        if record.coat_outside and not record.bare:
            found.append(
                f"Sizes here are bare; {show_length(record.coat_outside, units, True)} "
                f"of {record.finish.name if record.finish else ''} goes on each face."
            )
        changes = tuple(self.kept[part].values())
        found += [
            f"Revision {self.revision_of(part)}: {dim_in_words(change.parameter)} from "
            f"{self.shown(part, change.parameter, change.before)} to "
            f"{self.shown(part, change.parameter, change.after)}."
            for change in changes
        ]
        # several changes often have one reason: it is said once
        whys = dict.fromkeys(why for change in changes for why in change.why)
        found += [f"{why[:1].upper()}{why[1:]}" for why in whys]
        return (*found, *self.edited_since(part), *self.off_its_shell(part))


def part_named(made: Made, name: str) -> AnyPart:
    """One part by name.

    Raises
    ------
    UnknownName
        With the nearest names.
    """
    if name not in made.parts:
        raise UnknownName("part", name, made.parts)
    return made.parts[name]


def sentence_of_chance(chance: float) -> str:
    """Return "97 in 100"; never 0 or 100, since nothing by hand is certain."""
    return f"{min(99, max(1, round(100 * chance)))} in 100"
