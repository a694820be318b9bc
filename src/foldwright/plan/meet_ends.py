"""What every [[meet]] table has: its parts and faces, its wanted ranges, its name.

Room: plan. Each kind of meet is read by a function of its own, which gets a
`MeetRow` and hands back `Meet` records; see `meets`. An end is written
``part`` or ``part.face``; a part with a `count` stands for all its copies, and
where two ends have copies, the first meets the first, and so on.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from foldwright.plan.places import Draft, copies, is_told
from foldwright.plan.table import Table
from foldwright.plan.whole import End, Meet

_MOST_PARTS = 50  # in one meet; past it a plan has a slip


@dataclass(frozen=True)
class Ends:
    """One end of a meet as written: the part or its copies, and the face."""

    name: str
    drafts: tuple[Draft, ...]
    face: str = ""

    @property
    def first(self) -> Draft:
        """The part, or its first copy; copies are alike."""
        return self.drafts[0]

    @property
    def kind(self) -> str:
        """Kind of the part; empty if a fault hides it."""
        return self.first.kind


@dataclass(frozen=True)
class MeetRow:
    """One [[meet]] table with the parts that it can name."""

    row: Table
    kind: str
    drafts: Mapping[str, Draft]

    def only(self, *known: str) -> None:
        """Note every key that this kind of meet does not have."""
        self.row.only(("kind", "name", *known))

    def end(self, key: str) -> Ends | None:
        """One end, ``part`` or ``part.face``; the face may be empty."""
        text = self.row.text(key, "part.face")
        return None if text is None else self.named(key, key, text)

    def ends(self, key: str, least: int, most: int, example: str) -> list[Ends] | None:
        """Return a list of ends; None if one of them has a fault, or if there are too few."""
        value = self.row.data.get(key)
        if value is None:
            self.row.missing(key, f"Add {key} = {example}.")
            return None
        if not isinstance(value, list) or not all(isinstance(text, str) for text in value):
            remedy = f"Write it like {key} = {example}."
            self.row.wrong_kind(key, value, "a list of texts", remedy)
            return None
        if not least <= len(value) <= most:
            many = f"{least}" if least == most else f"{least} to {most}"
            problem = f'"{key}" names {len(value)}; {many} can meet so.'
            self.row.fault("wrong-kind", key, problem, f"Write it like {key} = {example}.")
            return None
        found = [self.named(key, f"{key}.{i}", text) for i, text in enumerate(value)]
        known = [end for end in found if end is not None]
        return known if len(known) == len(found) else None

    def one_or_more(self, key: str, example: str) -> list[Ends] | None:
        """One end, or a list of them."""
        if isinstance(self.row.data.get(key), list):
            return self.ends(key, 1, _MOST_PARTS, example)
        end = self.end(key)
        return None if end is None else [end]

    def named(self, key: str, path: str, text: str) -> Ends | None:
        """Part and face of a text like ``lid.top``; notes names that are not there."""
        name, _, face = text.partition(".")
        found = tuple(copies(self.drafts, name))
        if not found:
            if not is_told(self.drafts, name):
                there = dict.fromkeys(d.family or d.name for d in self.drafts.values())
                remedy = 'Write "part" or "part.face".'
                self.row.faults.unknown(self.row.key(path), "part", name, there, remedy)
            return None
        first = found[0]
        if face and first.faces and face not in first.faces:
            remedy = f"{name} is a {first.kind}; its faces are {', '.join(first.faces)}."
            self.row.faults.unknown(
                self.row.key(path), f"face of {name}", face, first.faces, remedy
            )
            return None
        return Ends(name, found, face)

    def needs_face(self, key: str, end: Ends | None) -> bool:
        """Whether an end names its face; notes it if not."""
        if end is None:
            return False
        if end.face or not end.first.faces:
            return bool(end.face)
        self.row.fault(
            "missing",
            key,
            f'"{end.name}" is a part; the face of it is missing.',
            f'Write "{end.name}.FACE" with one of {", ".join(end.first.faces)}.',
        )
        return False

    def range(
        self, key: str, example: str, *, least: float | None = None, why: str = ""
    ) -> tuple[float, float] | None:
        """Range [mm], lowest first; nothing in it below `least`, `why` says why not."""
        ends = self.row.lengths(key, 2, example)
        if ends is None:
            return None
        low, high = ends
        if not low < high:
            self.row.fault(
                "out-of-range",
                key,
                f"The range from {low:g} to {high:g} mm leaves no room for the hand.",
                f"Write [lowest, highest], like {example}.",
            )
            return None
        if least is not None and low < least:
            self.row.fault("out-of-range", key, why.format(low=f"{low:g}"), f"Like {example}.")
            return None
        return low, high

    def either_way(self, key: str, usual: float) -> tuple[float, float] | None:
        """How far off either way [mm], one number or a range; `usual` if it does not say."""
        value = self.row.data.get(key, usual)
        if isinstance(value, list):
            return self.range(key, f"[{-usual:g}, {usual:g}]")
        amount = self.row.quantity(key, value)
        if amount is None:
            return None
        if amount > 0.0:
            return -amount, amount
        self.row.fault(
            "out-of-range",
            key,
            f"{amount:g} mm either way leaves no room for the hand.",
            f"Write how far off it may be, like {key} = {usual:g}.",
        )
        return None

    def meets(
        self,
        word: str,
        ends: Sequence[Ends],
        wanted: Mapping[str, tuple[float, float] | None],
        **more: Any,
    ) -> list[Meet]:
        """Return a meet for each set of copies; none if a range has a fault."""
        said = self._name()
        if said is None or any(pair is None for pair in wanted.values()):
            return []
        ranges = tuple((what, pair) for what, pair in wanted.items() if pair is not None)
        return [
            Meet(
                name=said or _called(word, [draft.name for draft in drafts]),
                kind=self.kind,
                ends=tuple(
                    End(draft.name, end.face) for draft, end in zip(drafts, ends, strict=True)
                ),
                wanted=ranges,
                key=self.row.path,
                **more,
            )
            for drafts in self.sets(ends)
        ]

    def differ(self, ends: Sequence[Ends]) -> bool:
        """Whether the ends are parts of their own; notes a part that would meet itself."""
        names = [end.name for end in ends]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is None:
            return True
        problem = f'"{twice}" cannot meet itself.'
        two = "two " if len(ends) == 2 else ""
        remedy = f"Name the {two}parts that come together."
        self.row.fault("name-twice", "", problem, remedy)
        return False

    def sets(self, ends: Sequence[Ends]) -> list[tuple[Draft, ...]]:
        """Parts that meet: each copy with those of its own number, or with the only one."""
        many = [end for end in ends if len(end.drafts) > 1]
        counts = {len(end.drafts) for end in many}
        if len(counts) > 1:
            one, other = (next(e for e in many if len(e.drafts) == n) for n in sorted(counts)[:2])
            self.row.fault(
                "geometry",
                "",
                f'There are {len(one.drafts)} of "{one.name}" and {len(other.drafts)} of '
                f'"{other.name}", so they do not pair off.',
                f'Give them the same count, or name single ones like "{one.first.name}".',
            )
            return []
        count = counts.pop() if counts else 1
        columns = [e.drafts if len(e.drafts) > 1 else e.drafts * count for e in ends]
        return list(zip(*columns, strict=True))

    def _name(self) -> str | None:
        """Name that the maker gave it; empty if none, None if it cannot be used."""
        said = self.row.text("name", "cap into lamp", "")
        if said is None:
            return None
        if self.row.has("name") and (not said.strip() or not said.isprintable()):
            problem = "A meet needs a name of one line."
            self.row.fault("bad-name", "name", problem, 'Write it like name = "cap into lamp".')
            return None
        return said


def _called(word: str, names: Sequence[str]) -> str:
    """``cap into lamp``; of a row that drops in, "a, b and c between the walls of d"."""
    if len(names) == 1:
        return f"{names[0]} {word}"
    *row, last = names
    *first, end = row
    joined = f"{', '.join(first)} and {end}" if first else end
    return f"{joined} {word} {last}"
