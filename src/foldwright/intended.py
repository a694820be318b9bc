"""What each part is now, how it is cut and how it is formed, before anything is judged.

A plan with the refits that were kept in it. `make` goes on from here to what
meets what, and ties everything.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

import numpy as np

from foldwright.calibration import Calibrations, board_key
from foldwright.errors import OutOfDomain, PlanFaults
from foldwright.fit import as_kept, dim_in_words, dim_of_part, is_of_shell, part_in_words
from foldwright.flat import CutLength, Pattern, pattern_of
from foldwright.forming import Forming, form_drum, form_folded, form_hood, form_plug
from foldwright.forming_movement import backing_moves, meeting_moves
from foldwright.ledger import Change, Reading, Revision
from foldwright.plan import (
    AnyPart,
    Drum,
    Hood,
    Plan,
    Plug,
    Rib,
    Tube,
    fault_at,
    show_length,
)
from foldwright.plan.dual import number
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
    blanks_of,
    room_on,
    too_large,
)
from foldwright.shop import Board, board_from_table, boards

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
# A dim that moves by less in an edit of the plan is as it was [mm].
_DRAWN_ANEW = 0.05


@dataclass(frozen=True)
class Intended:
    """A plan with the kept refits in it, and the boards and hands that it is made by.

    Attributes
    ----------
    plan : Plan
    all_readings : tuple of Reading
    revisions : tuple of Revision
        Refits that the maker kept.
    maker : Calibrations
        What the maker's own strips, curls and printer said.
    """

    plan: Plan
    all_readings: tuple[Reading, ...] = ()
    revisions: tuple[Revision, ...] = ()
    maker: Calibrations = field(default_factory=Calibrations)

    @cached_property
    def kept(self) -> Mapping[str, Mapping[str, Change]]:
        """Latest kept change of each parameter, by part."""
        return {
            part: {name: change for name, change in kept.items() if not is_of_shell(name)}
            for part, kept in self._all_kept.items()
        }

    @cached_property
    def _all_kept(self) -> Mapping[str, Mapping[str, Change]]:
        """The same, with what is kept of the shells that ribs are drawn for."""
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
                intended[name] = as_kept(part, intended[part.of.name], self._all_kept[name])
        return intended

    @cached_property
    def readings(self) -> Mapping[str, tuple[Reading, ...]]:
        """Readings of each part by the name it has now, also those under its earlier one."""
        return {
            part.name: tuple(
                replace(r, part=part.name)
                for r in self.all_readings
                if r.part in (part.name, part.was or part.name)
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
        """What each part looks like, in its own frame; copies that are alike share one body."""
        alike: dict[tuple[AnyPart, tuple[FaceCut, ...]], Body] = {}
        found = {}
        for name, part in self.parts.items():
            # what a part is called and where it stands does not tell in its own frame
            bare = replace(part, name="", place=None)
            look = (bare, self.openings.get(name, ()))
            if look not in alike:
                alike[look] = self.body(name)
            found[name] = alike[look]
        return found

    def body(self, part: str) -> Body:
        """What one part looks like, in its own frame."""
        return _body(replace(self.parts[part], place=None), self.openings.get(part, ()))

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
                    bores = [r.value for r in self.looks_into(tube.name)]
                    metals = (of[0], of[1]) if of[0] is not None and of[1] is not None else None
                    return form_plug(plug, tube, metals, bores)
        own = self.boards.get(plug.stock)
        return form_plug(plug, None, (own, own) if own is not None else None, ())

    def looks_into(self, tube: str) -> tuple[Reading, ...]:
        """Readings of the bore of a tube."""
        return tuple(r for r in self.readings[tube] if r.dim in BORES)

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

    def sawn(self, part: str) -> tuple[CutLength, ...]:
        """Lengths to saw off for one part, with what its forming trims."""
        cuts = self.pattern(part).lengths
        spare = self.forming(part).spare if cuts else 0.0
        return tuple(replace(cut, length=cut.length + 2.0 * spare) for cut in cuts)

    def too_large(self, part: str) -> tuple[str, ...]:
        """Say which pieces of a part nothing on the rack is large enough for, and why."""
        pattern = replace(self.pattern(part), lengths=self.sawn(part))
        return too_large(pattern, self.plan.stocks)

    def is_fine(self, part: str, parameter: str) -> bool:
        """Whether a hundredth decides: the diameter that a plug is filed to."""
        return isinstance(self.parts[part], Plug) and parameter == "diameter"

    def shown(self, part: str, parameter: str, length: float) -> str:
        """Show a parameter as finely as it is worked to."""
        return show_length(length, self.plan.units, self.is_fine(part, parameter))

    def edited_since(self, part: str) -> tuple[str, ...]:
        """Plan edits that came after a refit was kept or a part was made; said, not applied."""
        kept = tuple(
            f"The plan now says {self.shown(part, p.name, p.value)} for the "
            f"{dim_of_part(part, p.name)}; it said "
            f"{self.shown(part, p.name, change.plan_value)} when the refit was kept. "
            f"The refit's {self.shown(part, p.name, change.after)} still holds."
            for p in self.plan.parts[part].parameters
            if (change := self.kept[part].get(p.name)) and abs(change.plan_value - p.value) > 1e-6
        )
        return (*kept, *self._drawn_anew(part))

    def _drawn_anew(self, part: str) -> Iterator[str]:
        """Dims that are drawn otherwise now than when the made part was measured."""
        units = self.plan.units
        record, readings = self.parts[part], self.readings[part]
        dims = {bare: dims_of(record, finished=not bare) for bare in {r.bare for r in readings}}
        for reading in {r.dim: r for r in readings}.values():
            dim = dims[reading.bare].get(reading.dim)
            if dim is None:
                yield (
                    f"The {part_in_words(part)} was measured on its {dim_in_words(reading.dim)}, "
                    "which the plan does not draw any more. That reading is passed over."
                )
            elif abs(number(dim.value) - reading.drawn) > _DRAWN_ANEW:
                yield (
                    f"The {part_in_words(part)} is made, and its {dim_in_words(reading.dim)} is "
                    f"drawn {show_length(number(dim.value), units)} now; it was drawn "
                    f"{show_length(reading.drawn, units)} when it was measured. What was measured "
                    f"stands. To make it anew as it is drawn now, scrap it first."
                )


@lru_cache(maxsize=256)
def _body(part: AnyPart, openings: tuple[FaceCut, ...]) -> Body:
    """Body of a part that is placed nowhere; kept by content, as patterns are."""
    return body_of(part, (*face_cuts(part), *openings))
