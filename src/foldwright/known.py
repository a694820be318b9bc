"""Known: what was measured of each part, and what that says of the part and of the hand.

Stands between `intended`, which knows no scatter, and `make`, which judges what meets.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from foldwright.draw.info import listed
from foldwright.errors import CannotMake
from foldwright.fit import (
    Belief,
    Causes,
    Followed,
    Habit,
    MeetForecast,
    Shift,
    TakeOff,
    beliefs_of,
    causes_of,
    followed,
    habits_of,
    is_made,
    key_of,
    looks_of,
    part_in_words,
    to_take_off,
)
from foldwright.intended import Intended
from foldwright.ledger import Reading, has_reached
from foldwright.plan import Dual, Number, Rib, in_units, show_length
from foldwright.plan.dual import number, slopes
from foldwright.shape import dims_of

# A tool that strays this many times as much as the surest one adds nothing to its readings.
_AS_SURE = 2.0


@dataclass(frozen=True)
class Known(Intended):
    """A plan with what is known of its parts; the first fields as in `Intended`.

    Attributes
    ----------
    marked : Mapping of str to str
        How far the maker says that each part is; those not named are planned.
    ever_read : tuple of Reading
        All readings, those of scrapped parts too: they teach how the maker works.
    forgotten : Mapping of str to int
        Habits that the maker wants forgotten, and up to which line of the ledger.
    """

    marked: Mapping[str, str] = field(default_factory=dict)
    ever_read: tuple[Reading, ...] = ()
    forgotten: Mapping[str, int] = field(default_factory=dict)

    @cached_property
    def beliefs(self) -> Mapping[str, Belief]:
        """What is known of each part; what no reading sees comes out by its maker's habits."""
        offs = {name: self.taken_off[name].shifts for name in self.parts}
        return beliefs_of(self.parts, self.readings, self.boards, offs)

    def is_made(self, part: str) -> bool:
        """Whether a part is there; as its belief says, without working that out."""
        return is_made(self.parts[part], self.readings[part])

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
        marked = self.marked.get(part, "planned")
        earlier = self.marked.get(record.was, "planned")
        if has_reached(earlier, marked):  # under its earlier name it had got further
            marked = earlier
        if self.readings[part] and not has_reached(marked, "closed"):
            return "closed"
        return marked

    @cached_property
    def _followed(self) -> Mapping[str, Followed | CannotMake | None]:
        """Of each rib not made yet: drawn anew, why it cannot be, or None where it suits."""
        found: dict[str, Followed | CannotMake | None] = {}
        for name, rib in self.parts.items():
            if isinstance(rib, Rib) and not self.is_made(name):
                drawn, of = self.plan.parts[name], rib.of.name
                assert isinstance(drawn, Rib), "a refit changes no kind"
                known, readings = self.beliefs[of], self.readings[of]
                try:
                    found[name] = followed(rib, drawn, self.parts[of], known, readings)
                except CannotMake as fault:
                    found[name] = fault
        return found

    @cached_property
    def off_shells(self) -> Mapping[str, Followed]:
        """Ribs not made yet that do not suit their shells as measured, drawn so that they do."""
        return {name: one for name, one in self._followed.items() if isinstance(one, Followed)}

    @cached_property
    def redrawn_ribs(self) -> tuple[Followed, ...]:
        """Those that a refit draws anew: the ones not cut yet."""
        return tuple(
            one for name, one in self.off_shells.items() if not has_reached(self.stage(name), "cut")
        )

    @cached_property
    def shut_out(self) -> Mapping[str, str]:
        """Ribs that cannot be drawn for their shells as measured, each with why, in words."""
        found = {}
        for name, rib in self.parts.items():
            fault = self._followed.get(name)
            if isinstance(rib, Rib) and isinstance(fault, CannotMake):
                of = part_in_words(rib.of.name)
                said = (
                    f"The {part_in_words(name)} cannot be drawn for the {of} as measured. {fault}"
                )
                found[name] = in_units(said, self.plan.units)
        return found

    def off_its_shell(self, part: str) -> tuple[str, ...]:
        """What to cut a rib to, whose shell came out otherwise than the rib's pattern takes it."""
        if part in self.shut_out:
            return (self.shut_out[part],)
        off = self.off_shells.get(part)
        if off is None or not self.is_made(off.after.of.name):
            return ()
        of, units = part_in_words(off.after.of.name), self.plan.units
        return tuple(
            f"The {part_in_words(part)} is drawn for another {of} than was measured. To suit it, "
            f"make its {shift.parameter.name} {show_length(shift.after, units)} instead of "
            f"{show_length(shift.before, units)}."
            for shift in off.shifts
        )

    def habits_behind(self, shift: Shift) -> tuple[str, ...]:
        """Say which habits of the hand a shift takes off."""
        off = self.taken_off[shift.part]
        return off.words if shift.parameter.name in off.shifts else ()

    def alike_behind(self, shift: Shift) -> tuple[str, ...]:
        """Say which readings of other pieces of a stock a shift counts on as well."""
        found = []
        for part in dict.fromkeys(part for c in shift.forced_by for part in c.meet.parts):
            read = self._pieces_read(part)
            if read and read != [part]:
                dims = dims_of(self.parts[part], self.beliefs[part].mean, finished=False)
                bore = number(dims["bore"].value)
                found.append(
                    f"All pieces of {self.parts[part].stock} are taken to be alike: their bore is "
                    f"{show_length(bore, self.plan.units, fine=True)} by what was read on "
                    f"{listed([part_in_words(name) for name in read])}."
                )
        return tuple(found)

    def _pieces_read(self, part: str) -> list[str]:
        """Pieces of tube whose readings tell of a part, its own too; none of what is no tube."""
        stock = self.beliefs[part].told_by if part in self.beliefs else ""
        of_stock = (n for n, one in self.beliefs.items() if one.told_by == stock and one.tells)
        return list(of_stock) if stock else []

    def looks_at(self, found: MeetForecast, part: str) -> bool:
        """Whether a meet hangs on what is read of a part, or of the tube it is a piece of."""
        stock = self.beliefs[part].told_by
        alike = {n for n, one in self.beliefs.items() if stock and one.told_by == stock} | {part}
        return not alike.isdisjoint(found.meet.parts) or any(
            key.partition("/")[0] in alike for c in found.clearances for key in c.slopes
        )

    def looks_into(self, tube: str) -> tuple[Reading, ...]:
        """Readings of the bore of a tube, on whichever piece of it, by the surest tools."""
        pieces = self._pieces_read(tube) or [tube]
        found = [reading for piece in pieces for reading in Intended.looks_into(self, piece)]
        least = min((reading.sigma for reading in found), default=0.0)
        return tuple(reading for reading in found if reading.sigma <= _AS_SURE * least)

    def copies(self, part: str) -> tuple[str, ...]:
        """As drawn; a piece whose readings do not agree with those of its like is one by itself."""
        found = Intended.copies(self, part)
        odd = {name for name in found if self.beliefs[name].at_odds}
        return (part,) if part in odd else tuple(name for name in found if name not in odd)

    def at_odds(self, *parts: str) -> tuple[str, ...]:
        """Say which readings of parts do not agree; of all parts if none is named."""
        return tuple(
            one.words(self.plan.units)
            for name in parts or tuple(self.beliefs)
            for one in self.beliefs[name].at_odds
        )

    def bearing_on(self, shift: Shift) -> dict[str, list[Reading]]:
        """Readings of made parts that the clearances behind a shift depend on."""
        keys = {k for c in shift.forced_by for k, d in c.slopes.items() if abs(d) > 1e-9}
        found: dict[str, list[Reading]] = {}
        for name, readings in self.readings.items():
            part = self.parts[name]
            values = dict.fromkeys(self.causes[name].names, 0.0) | part.values()
            seeds: dict[str, Number] = {
                p: Dual.seed(key_of(name, p), value) for p, value in values.items()
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
