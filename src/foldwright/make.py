"""Make: the one function through which everything flows.

``make(plan, ledger) -> Made``. A `Made` is frozen; its shapes, patterns and
fits are worked out when asked for. Patterns are kept part by part on their
content, so that changing one dim works out one part and its neighbours anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

import numpy as np

from foldwright.calibration import Calibrations, board_key, read_calibrations
from foldwright.errors import OutOfDomain, PlanFaults, UnknownName
from foldwright.fit import (
    Assembly,
    Belief,
    Causes,
    Clearance,
    Habit,
    MeetForecast,
    Scene,
    Shift,
    TakeOff,
    belief,
    by_habit,
    causes_of,
    clearances_in,
    cure_in_words,
    habits_of,
    key_of,
    looks_of,
    reasons,
    to_take_off,
)
from foldwright.flat import CutLength, Pattern, Piece, pattern_of
from foldwright.forming import Forming, form_drum, form_folded, form_hood, form_plug
from foldwright.forming_movement import backing_moves, meeting_moves
from foldwright.ledger import Change, Ledger, Reading, Revision, has_reached
from foldwright.plan import (
    AnyPart,
    Drum,
    Dual,
    Hood,
    LaterFaults,
    Number,
    Plan,
    Plug,
    Rib,
    Tube,
    fault_at,
    in_units,
    read_plan,
    show_length,
)
from foldwright.plan.dual import slopes
from foldwright.shape import (
    Body,
    FaceCut,
    Vector,
    body_of,
    dims_of,
    face_cuts,
    frames,
    openings_of,
)
from foldwright.sheet import (
    BarPlan,
    StockLayout,
    blanks_of,
    cut_bars,
    lay_out,
    room_on,
    too_large,
)
from foldwright.shop import Board, board_from_table, boards, thicknesses

_EYES = {
    "front": (0.0, -1.0, 0.0),
    "back": (0.0, 1.0, 0.0),
    "left": (-1.0, 0.0, 0.0),
    "right": (1.0, 0.0, 0.0),
    "above": (0.0, 0.0, 1.0),
    "below": (0.0, 0.0, -1.0),
}
# Dims of a tube that tell its bore.
BORES = ("bore", "bore_0", "bore_60", "bore_120")
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
    """A refit: what to change and why, and the chance of each meet before and after."""

    shifts: tuple[Shift, ...]
    why: tuple[tuple[str, ...], ...]
    before: tuple[MeetForecast, ...]
    after: tuple[MeetForecast, ...]

    def changes(self) -> tuple[Change, ...]:
        """Return the shifts as the ledger keeps them."""
        return tuple(
            Change(s.part, s.parameter.name, s.before, s.after, s.parameter.value, why)
            for s, why in zip(self.shifts, self.why, strict=True)
        )


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
class Made:
    """A plan with everything that follows from it.

    Attributes
    ----------
    plan : Plan
    all_readings : tuple of Reading
    revisions : tuple of Revision
        Refits that the maker kept.
    maker : Calibrations
        What the maker's own strips, curls and printer said.
    marked : Mapping of str to str
        How far the maker says that each part is; those not named are planned.
    ever_read : tuple of Reading
        All readings, those of scrapped parts too: they teach how the maker works.
    forgotten : Mapping of str to int
        Habits that the maker wants forgotten, and up to which line of the ledger.
    """

    plan: Plan
    all_readings: tuple[Reading, ...] = ()
    revisions: tuple[Revision, ...] = ()
    maker: Calibrations = field(default_factory=Calibrations)
    marked: Mapping[str, str] = field(default_factory=dict)
    ever_read: tuple[Reading, ...] = ()
    forgotten: Mapping[str, int] = field(default_factory=dict)

    @cached_property
    def kept(self) -> Mapping[str, Mapping[str, Change]]:
        """Latest kept change of each parameter, by part."""
        found: dict[str, dict[str, Change]] = {}
        for revision in self.revisions:
            for change in revision.changes:
                found.setdefault(change.part, {})[change.parameter] = change
        return {
            part.name: found.get(part.name, {}) or found.get(part.was, {})
            for part in self.plan.parts.values()
        }

    @cached_property
    def parts(self) -> Mapping[str, AnyPart]:
        """Parts as intended now: the plan with the kept refits in it."""
        intended: dict[str, AnyPart] = {
            name: replace(
                part,
                parameters=tuple(
                    replace(p, value=self.kept[name][p.name].after)
                    if p.name in self.kept[name]
                    else p
                    for p in part.parameters
                ),
            )
            for name, part in self.plan.parts.items()
        }
        for name, part in intended.items():
            if isinstance(part, Rib):  # it follows its shell
                intended[name] = replace(part, of=intended[part.of.name])
        return intended

    @cached_property
    def readings(self) -> Mapping[str, tuple[Reading, ...]]:
        """Readings of each part, also those under its earlier name."""
        return {
            part.name: tuple(
                r for r in self.all_readings if r.part in (part.name, part.was or part.name)
            )
            for part in self.plan.parts.values()
        }

    def revision_of(self, part: str) -> int:
        """Number of the latest revision that changed a part; 0 as drawn."""
        names = (part, self.plan.parts[part].was)
        return max(
            (r.number for r in self.revisions if any(c.part in names for c in r.changes)),
            default=0,
        )

    @cached_property
    def boards(self) -> Mapping[str, Board]:
        """Board of each stock on the rack."""
        found: dict[str, Board] = {}
        faults = []
        for stock in self.plan.stocks.values():
            own = self.plan.materials.get(stock.material)
            try:
                if own is not None:
                    board = board_from_table(stock.material, own)
                else:
                    board = boards()[stock.material]
                strips = self.maker.strips.get(board_key(stock.material, stock.thickness), ())
                found[stock.name] = replace(board.of_thickness(stock.thickness), strips=strips)
            except OutOfDomain as fault:
                key = f"material.{stock.material}.{fault.name}"
                remedy = f"Mend it in [material.{stock.material}]."
                faults.append(fault_at(self.plan, "material", key, str(fault), remedy))
        if faults:
            raise PlanFaults(faults)
        return found

    @cached_property
    def frames(self) -> Mapping[str, Vector]:
        """Motion of each part in the build frame, as drawn."""
        return frames(self.plan)

    @cached_property
    def openings(self) -> Mapping[str, tuple[FaceCut, ...]]:
        """Openings in each part where others pass through it, at the sizes intended now."""
        return openings_of(self.parts, self.frames)

    @cached_property
    def bodies(self) -> Mapping[str, Body]:
        """What each part looks like, in its own frame."""
        return {
            name: body_of(part, (*face_cuts(part), *self.openings.get(name, ())))
            for name, part in self.parts.items()
        }

    def forming(self, part: str) -> Forming:
        """How one part is curled, pressed or folded, and how heat moves it.

        Raises
        ------
        CannotMake
            The part cannot be made as asked.
        """
        record = self.parts[part]
        if isinstance(record, Drum | Hood):
            found = self._curled(part)
        elif isinstance(record, Plug):
            found = self._pressed(record)
        else:
            found = form_folded(self.pattern(part), self.boards)
        moves = (*self._backing_moves(part), *self._meets_move(part))
        return replace(found, remarks=(*found.remarks, *moves))

    def _backing_moves(self, part: str) -> Iterator[str]:
        """What heat does to the strips behind its seams."""
        record = self.parts[part]
        if record.backing is None or record.stock == record.backing.stock:
            return
        strips = [p for p in self.pattern(part).pieces if p.role.startswith("backing strip")]
        blanks = blanks_of(strips, record.backing.stock)
        sides = [max(blank.width, blank.height) for blank in blanks]
        boards = self.boards[record.stock], self.boards[record.backing.stock]
        yield from filter(None, [backing_moves(*boards, max(sides, default=0.0))])

    def _meets_move(self, part: str) -> Iterator[str]:
        """What heat does between a part and those that it meets, along their common extent."""
        mine = self.boards.get(self.parts[part].stock)
        for meet in self.plan.meets:
            if mine is None or part not in (meet.inner, meet.outer):
                continue
            other = meet.outer if part == meet.inner else meet.inner
            theirs = self.boards.get(self.parts[other].stock)
            if theirs is None or theirs.face.what == mine.face.what:
                continue
            low, high = (np.array(side) for side in zip(*self._extents(part, other), strict=True))
            length = float((high.min(axis=0) - low.max(axis=0)).max())
            yield from filter(None, [meeting_moves(other.replace("_", " "), mine, theirs, length)])

    def _extents(self, *names: str) -> Iterator[tuple[Vector, Vector]]:
        """Lowest and highest corner of parts in the build frame [mm]."""
        for name in names:
            points = self.bodies[name].points() @ self.frames[name][:3, :3].T
            points = points + self.frames[name][:3, 3]
            yield points.min(axis=0), points.max(axis=0)

    def _curled(self, part: str) -> Forming:
        """How a drum or hood is curled; empty for what is neither."""
        record = self.parts[part]
        board = self.boards.get(record.stock)
        if isinstance(record, Drum | Hood) and board is not None:
            stock = self.plan.stocks[record.stock]
            habit = self.maker.curls.get(board_key(stock.material, stock.thickness))
            form = form_drum if isinstance(record, Drum) else form_hood
            try:
                return form(record, board, self.plan.formers, habit)  # type: ignore[arg-type]
            except OutOfDomain:
                return Forming()  # too tight for its board: the pattern is refused, and says so
        return Forming()

    def _pressed(self, plug: Plug) -> Forming:
        """How a plug goes into the tube that a meet presses it into."""
        for meet in self.plan.meets:
            if meet.kind == "presses-into" and meet.inner == plug.name:
                tube = self.parts[meet.outer]
                if isinstance(tube, Tube):
                    of = self.boards.get(tube.stock), self.boards.get(plug.stock)
                    bores = [r.value for r in self.readings[tube.name] if r.dim in BORES]
                    metals = (of[0], of[1]) if of[0] is not None and of[1] is not None else None
                    return form_plug(plug, tube, metals, bores)
        own = self.boards.get(plug.stock)
        return form_plug(plug, None, (own, own) if own is not None else None, ())

    def pattern(self, part: str) -> Pattern:
        """Pattern of one part.

        Raises
        ------
        CannotMake
            The part cannot be made as asked.
        """
        turn = self.frames[part][:3, :3].T
        eyes = tuple(
            tuple(round(float(x), 9) for x in turn @ _EYES[side]) for side in self.plan.seen_from
        )
        record = self.parts[part]
        wanted = {stock for _, stock, _ in record.face_from}
        wanted |= {record.backing.stock} if record.backing else set()
        return pattern_of(
            record,
            self.boards.get(record.stock),
            self.plan.cutters,
            revision=self.revision_of(part),
            seen_along=eyes,
            others=tuple((name, self.boards[name]) for name in sorted(wanted)),
            grained=frozenset(s.name for s in self.plan.stocks.values() if s.grain),
            cuts=self.openings.get(part, ()),
            room=room_on(self.plan.stocks[record.stock]) if record.stock else (),
            spare=self._curled(part).spare,
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
        return tuple(cut for pattern in self.patterns for cut in pattern.lengths)

    def copies(self, part: str) -> tuple[str, ...]:
        """Names of the parts that are cut like this one, itself among them, in plan order."""
        family = self.plan.parts[part].family
        if not family:
            return (part,)
        mine = self.parts[part].parameters
        return tuple(
            name
            for name, other in self.parts.items()
            if other.family == family
            and other.parameters == mine
            and self.revision_of(name) == self.revision_of(part)
            and self.openings.get(name, ()) == self.openings.get(part, ())
        )

    def called(self, stock: str) -> str:
        """What to call a stock in words: "3 mm skinned board", "tube 30 x 2"."""
        record = self.plan.stocks[stock]
        if record.form == "board":
            kind = "skinned board" if self.boards[stock].is_skinned else "sheet"
            return f"{record.thickness:g} mm {kind}"
        wall = f" x {record.thickness:g}" if record.form.endswith("tube") else ""
        return f"{record.form} {record.across:g}{wall}"

    def layouts(self, seconds: float) -> Layouts:
        """Lay all blanks out on the rack, and all lengths on its tubes and bars.

        Parameters
        ----------
        seconds : float
            How long to look for a good layout of each stock.
        """
        sheets: dict[str, StockLayout] = {}
        bars: dict[str, BarPlan] = {}
        for name, stock in self.plan.stocks.items():
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
    def beliefs(self) -> Mapping[str, Belief]:
        """What is known of each part's parameters."""
        found = {
            name: belief(part, self.readings[name], self.boards.get(part.stock))
            for name, part in self.parts.items()
        }
        for name, known in found.items():
            if not known.is_made:  # it comes out by its maker's habits, unless they are taken off
                mean = {
                    dim: value + self.taken_off[name].shifts.get(dim, 0.0)
                    for dim, value in known.mean.items()
                }
                found[name] = replace(known, mean=mean)
        return found

    @cached_property
    def causes(self) -> Mapping[str, Causes]:
        """How each part strays when hands make it that nobody has measured yet."""
        return {
            name: causes_of(part, self.boards.get(part.stock)) for name, part in self.parts.items()
        }

    @cached_property
    def habits(self) -> Mapping[str, Habit]:
        """What the readings say of how this maker works, by process; empty before the first."""
        looks = looks_of(self.parts, self.causes, self.ever_read)
        return habits_of(looks, self.forgotten) if looks else {}

    @cached_property
    def taken_off(self) -> Mapping[str, TakeOff]:
        """How far each part would come out long by the maker's habits, and why."""
        return {
            name: to_take_off(part, self.causes[name], self.habits, self.plan.units)
            for name, part in self.parts.items()
        }

    def stage(self, part: str) -> str:
        """How far a part is: as it was marked, or closed at least once it was measured."""
        record = self.plan.parts[part]
        marked = self.marked.get(part) or self.marked.get(record.was or part, "planned")
        if self.readings[part] and not has_reached(marked, "closed"):
            return "closed"
        return marked

    @cached_property
    def scene(self) -> Scene:
        """All parts as drawn, where they stand, for the meets to be read off."""
        return Scene(self.plan.parts, {}, self.frames, self.boards).drawn

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

    @cached_property
    def forecasts(self) -> tuple[MeetForecast, ...]:
        """How each meet stands, with everything as intended or as measured."""
        return self.assembly.forecasts()

    @cached_property
    def outcome(self) -> Outcome:
        """The refit: what to change in the parts not made yet."""
        self.require()
        shifts = self.assembly.shifts
        why = tuple(
            (*reasons(s, self._bearing_on(s), self.plan.units), *self._habits_behind(s))
            for s in shifts
        )
        after = self.assembly.forecasts(self.assembly.refitted) if shifts else self.forecasts
        return Outcome(shifts, why, self.forecasts, after)

    @cached_property
    def remedies(self) -> tuple[Cured, ...]:
        """What would make everything meet again, the cheapest first; empty if it does."""
        network, names, units = self.assembly.network, tuple(self.parts), self.plan.units
        return tuple(
            Cured(
                tuple(
                    cure_in_words(
                        cure,
                        show_length(amount, units),
                        names,
                        network,
                        self.assembly.parameter(cure.dim) if cure.dim >= 0 else None,
                    )
                    for cure, amount in remedy.cures
                ),
                remedy.minutes,
            )
            for remedy in self.assembly.remedies
        )

    def _habits_behind(self, shift: Shift) -> tuple[str, ...]:
        off = self.taken_off[shift.part]
        return off.words if shift.parameter.name in off.shifts else ()

    def _bearing_on(self, shift: Shift) -> dict[str, list[Reading]]:
        """Readings of made parts that the clearances behind a shift depend on."""
        keys = {k for c in shift.forced_by for k, d in c.slopes.items() if abs(d) > 1e-9}
        found: dict[str, list[Reading]] = {}
        for name, readings in self.readings.items():
            part = self.parts[name]
            seeds: dict[str, Number] = {
                p: Dual.seed(key_of(name, p), value) for p, value in part.values().items()
            }
            for reading in readings:
                dims = dims_of(part, seeds, finished=not reading.bare)
                if reading.dim in dims and keys & set(slopes(dims[reading.dim].value)):
                    found.setdefault(name, []).append(reading)
        return found

    def strangers(self) -> tuple[str, ...]:
        """Say which parts have readings or revisions though the plan no longer has them."""
        known = {name for part in self.plan.parts.values() for name in (part.name, part.was)}
        named = [r.part for r in self.all_readings]
        named += list(self.marked)
        named += [c.part for revision in self.revisions for c in revision.changes]
        return tuple(
            f"The ledger has readings or revisions of {name}, which the plan does not have. "
            f'If it was renamed, write was = "{name}" in its new table.'
            for name in dict.fromkeys(named)
            if name not in known
        )

    def too_large(self, part: str) -> tuple[str, ...]:
        """Say which pieces of a part nothing on the rack is large enough for, and why."""
        return too_large(self.pattern(part), self.plan.stocks)

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
        if record.coat_outside and not record.bare:
            found.append(
                f"Sizes here are bare; {show_length(record.coat_outside, units, True)} "
                f"of {record.finish.name if record.finish else ''} goes on each face."
            )
        for change in self.kept[part].values():
            found.append(
                f"Revision {self.revision_of(part)}: {change.parameter} from "
                f"{show_length(change.before, units)} to {show_length(change.after, units)}."
            )
            found.extend(change.why)
        return tuple(found) + self.edited_since(part)

    def edited_since(self, part: str) -> tuple[str, ...]:
        """Plan edits that came after a refit was kept; they are said, not applied."""
        units = self.plan.units
        return tuple(
            f"The plan now says {show_length(p.value, units)} for {p.name} of {part}; it said "
            f"{show_length(change.plan_value, units)} when the refit was kept. "
            f"The refit's {show_length(change.after, units)} still holds."
            for p in self.plan.parts[part].parameters
            if (change := self.kept[part].get(p.name)) and abs(change.plan_value - p.value) > 1e-6
        )


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
