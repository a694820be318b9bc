"""Sizes: what each drives, and what would be drawn otherwise if one were changed.

Room: beside `make`. Nothing is written here: `would_be` gives the build as it would
be by an edited plan, and a `Trial` each part that follows from a size, with its
picture, its blanks and its dims before and after.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

from foldwright.draw import SheetInfo, ToMeasure, eye_of
from foldwright.draw.book_drawings import blank_figure, sized_figure
from foldwright.draw.info import listed
from foldwright.driven import driven_by, named_by, table_of, with_followers
from foldwright.make import Made
from foldwright.plan import AnyPart, Bought, Dual, Length, Number, Rib, parse_plan
from foldwright.plan.door import tables_of
from foldwright.plan.dual import number, slopes
from foldwright.plan.table import is_literal
from foldwright.shape import dims_of
from foldwright.shop import thicknesses

# So many parts are drawn, and so many dims are put on one picture; the rest is said.
MOST_DRAWN, _MOST_DIMS = 4, 3
_NUDGE, _STILL = 0.01, 1e-6  # mm, and what a dim that stays may seem to move to the mm
_SEEN = 0.005  # mm; a dim that moves by less shows the same hundredth
_ON_SCREEN = 112.0  # width of a blank on the page [mm of its own scale]
_KEYS = ("plan", "give", "trust")


@dataclass(frozen=True)
class SizeRow:
    """One row of the sizes sheet.

    Attributes
    ----------
    name : str
    written : Mapping of str to str
        Its plan, give and trust as the plan has them; empty for what it leaves open.
    plan, give, trust : float
        What they come to [mm].
    is_formula : bool
        It follows from other sizes.
    parts : tuple of str
        Parts that it drives, as makers call them; equal ones once.
    """

    name: str
    written: Mapping[str, str]
    plan: float
    give: float
    trust: float
    is_formula: bool
    parts: tuple[str, ...]


@dataclass(frozen=True)
class DrivenPart:
    """A part that follows from a size, drawn.

    Attributes
    ----------
    name : str
    same_as : tuple of str
        Other parts that are cut like it.
    is_made : bool
    picture : str
        An ``<svg>`` element, with those dims on it that follow from the size.
    blanks : tuple of (title, caption, svg)
        Its own blanks as they are marked.
    dims : tuple of (dim, before, after)
        Those that follow from the size [mm]; the same number twice if it stays.
    formulas : tuple of (field, formula, value, drawn)
        Fields that the plan writes as formulas, what they come to, and what the part is drawn
        by, which is another length where a kept revision changed it [mm].
    said : tuple of str
        What a change would touch, of what is made or kept already.
    """

    name: str
    same_as: tuple[str, ...]
    is_made: bool
    picture: str
    blanks: tuple[tuple[str, str, str], ...]
    dims: tuple[tuple[str, float, float], ...]
    formulas: tuple[tuple[str, str, float, float], ...]
    said: tuple[str, ...]


def would_be(made: Made, text: str) -> Made:
    """Return the build by another text of its plan, measured as it is.

    Raises
    ------
    PlanFaults
        The text is no plan.
    """
    return replace(made, plan=parse_plan(text, str(made.plan.path), thicknesses()))


def size_rows(made: Made, text: str) -> tuple[SizeRow, ...]:
    """Rows of the sizes sheet, in the order of the plan."""
    data = tables_of(text).get("size", {})
    found = []
    for name, size in made.plan.sizes.items():
        written = data.get(name, size.plan)
        row = written if isinstance(written, dict) else {"plan": written}
        drives = driven_by(made, text, [name])
        found.append(
            SizeRow(
                name,
                {key: str(row.get(key, "")) for key in _KEYS},
                size.plan,
                size.give,
                size.trust,
                isinstance(row["plan"], str) and not is_literal(row["plan"]),
                tuple(dict.fromkeys(made.plan.parts[p].family or p for p in drives)),
            )
        )
    return tuple(found)


def changed_parts(before: Made, after: Made) -> tuple[str, ...]:
    """Parts that are drawn otherwise by another plan; one that only moves is not among them."""
    return tuple(
        name
        for name, part in after.parts.items()
        if name not in before.parts
        or not _is_drawn_alike(part, before.parts[name])
        or before.openings.get(name, ()) != after.openings.get(name, ())
    )


def _is_drawn_alike(part: AnyPart, other: AnyPart) -> bool:
    return part == other or replace(part, place=None) == replace(other, place=None)


def moved_parts(before: Made, after: Made) -> tuple[str, ...]:
    """Parts that stand elsewhere by another plan."""
    return tuple(
        name
        for name in after.frames
        if name in before.frames and abs(after.frames[name] - before.frames[name]).max() > _SEEN
    )


@dataclass(frozen=True)
class Trial:
    """A build as it is and as it would be by other sizes: what follows, drawn when asked for.

    Attributes
    ----------
    before, after : Made
        As it is, and as it would be; the same for no change.
    text : str
        The plan as it would be.
    sizes : tuple of str
    """

    before: Made
    after: Made
    text: str
    sizes: tuple[str, ...]
    _drawn: dict[str, DrivenPart] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def changed(self) -> tuple[str, ...]:
        """Parts that are drawn otherwise."""
        return changed_parts(self.before, self.after)

    def require(self, most: int) -> None:
        """Raise `PlanFaults` if one of the parts that change most cannot be made."""
        self.after.require(self.changed[:most] or tuple(self.after.parts)[:1])

    @cached_property
    def _dims(self) -> Mapping[str, Sequence[tuple[ToMeasure, float]]]:
        """By part that follows, its dims that do, the parts that have some first."""
        after, follows = self.after, with_followers(self.text, self.sizes)
        found = {
            name: _moving(self.before, after, name, follows, self.text)
            for name in dict.fromkeys((*driven_by(after, self.text, self.sizes), *self.changed))
            if after.copies(name)[0] == name and not isinstance(after.parts[name], Bought)
        }
        return dict(sorted(found.items(), key=lambda item: not item[1]))

    def driven(
        self, most: int = MOST_DRAWN, is_wanted: Callable[[], bool] = lambda: True
    ) -> tuple[tuple[DrivenPart, ...], tuple[str, ...]]:
        """Draw so many of the parts that follow from the sizes, each once.

        Parameters
        ----------
        most : int
        is_wanted : callable
            Asked before each part that is not drawn yet; no more are, once it says no.

        Returns
        -------
        tuple of DrivenPart, tuple of str
            Those drawn, the ones whose dims follow first; names of the others.

        Raises
        ------
        CannotMake
            One of them cannot be made.
        """
        names, info = tuple(self._dims), _info(self.after)
        drawn: list[DrivenPart] = []
        for name in names[:most]:
            if name not in self._drawn:
                if not is_wanted():
                    break
                self._drawn[name] = _driven(
                    self.before, self.after, name, self._dims[name], self.text, info
                )
            drawn.append(self._drawn[name])
        return tuple(drawn), names[len(drawn) :]

    @cached_property
    def moved(self) -> tuple[str, ...]:
        """Parts that stand elsewhere."""
        return moved_parts(self.before, self.after)

    @cached_property
    def touched(self) -> tuple[str, ...]:
        """What it would touch of what is made or kept already, in words."""
        return touched(self.before, self.after)


def redrawn(before: Made, after: Made, name: str) -> DrivenPart:
    """Draw one part as it would be, with those dims on it that change."""
    text = "\n".join(after.plan.source)
    return _driven(
        before, after, name, _moving(before, after, name, set(), text), text, _info(after)
    )


def _moving(
    before: Made, after: Made, name: str, follows: set[str], text: str
) -> list[tuple[ToMeasure, float]]:
    """Dims of a part that follow from sizes, each with what it was."""
    part = after.parts[name]
    # a field of a part is a parameter by the name of the field, whatever it is written as
    follows = follows | {key for key, names in named_by(part, text).items() if follows & names}
    seeds: dict[str, Number] = {
        p: Dual.seed(p, v) if p in follows else v for p, v in part.values().items()
    }
    was = _drawn_dims(before.parts[name]) if name in before.parts else {}
    nudged: Mapping[str, float] = {}
    if isinstance(part, Rib) and part == before.parts.get(name):  # no change tells what moves
        nudged = _with_shell_nudged(part, follows, text)
    found = []
    for dim in dims_of(part, seeds, finished=True, with_spare=False).values():
        value = number(dim.value)
        earlier = was.get(dim.name, value)
        slope = max((abs(d) for d in slopes(dim.value).values()), default=0.0)
        slope = max(slope, abs(nudged.get(dim.name, value) - value) / _NUDGE)
        if slope > _STILL or abs(value - earlier) > _SEEN:
            is_fine = after.is_fine(name, dim.name)
            found.append((ToMeasure(dim.name, value, dim.how, dim.kind, is_fine=is_fine), earlier))
    return found


def _with_shell_nudged(rib: Rib, follows: set[str], text: str) -> Mapping[str, float]:
    """Dims of a rib [mm] if what follows in its shell were `_NUDGE` larger.

    The sizes of its shell are no parameters of a rib, so no slope tells of them.
    """
    shell = rib.of
    follows = follows | {k for k, names in named_by(shell, text).items() if follows & names}
    parameters = tuple(
        replace(p, value=p.value + _NUDGE) if p.name in follows else p for p in shell.parameters
    )
    return _drawn_dims(replace(rib, of=replace(shell, parameters=parameters)))


@lru_cache(maxsize=256)
def _drawn_dims(part: AnyPart) -> Mapping[str, float]:
    """Dims of a part as drawn [mm]; what a change is held against stays while one types."""
    dims = dims_of(part, finished=True, with_spare=False)
    return {name: number(dim.value) for name, dim in dims.items()}


def _driven(
    before: Made,
    after: Made,
    name: str,
    moving: Sequence[tuple[ToMeasure, float]],
    text: str,
    info: SheetInfo,
) -> DrivenPart:
    part = after.parts[name]
    # what is made does not follow from the plan; what is known of it was worked out once
    is_made = name in before.beliefs and before.beliefs[name].is_made
    eye = eye_of(after.plan.seen_from or ("front", "right", "above"))
    # a round part has its girth and its diameter from one number: one of them is enough
    shown = [dim for dim, _ in moving if dim.kind != "girth" or len(moving) == 1]
    picture = sized_figure(
        name, part.kind, after.body(name), eye, info, shown[:_MOST_DIMS], is_made
    )
    pieces = after.pattern(name).pieces
    own = [piece for piece in pieces if not piece.role]
    blanks = []
    for piece in own:
        figure = blank_figure(piece, pieces, info, _ON_SCREEN, _ON_SCREEN / len(own))
        blanks.append((figure.title, figure.caption, figure.on_screen))
    return DrivenPart(
        name,
        after.copies(name)[1:],
        is_made,
        picture.on_screen,
        tuple(blanks),
        tuple((dim.dim, was, dim.value) for dim, was in moving),
        tuple(_formulas(after.plan.parts[name], part, text)),
        tuple(s for s in after.edited_since(name) if s not in before.edited_since(name))
        if after is not before
        else after.edited_since(name),
    )


def _formulas(
    planned: AnyPart, part: AnyPart, text: str
) -> Iterator[tuple[str, str, float, float]]:
    """Fields of a part that the plan writes as formulas; see `DrivenPart`."""
    for key, written in table_of(part, text).items():
        length, meant = getattr(part, key, None), getattr(planned, key, None)
        if isinstance(written, str) and isinstance(length, Length) and not is_literal(written):
            drawn = number(length.value(part.values()))
            comes = number(meant.value(planned.values())) if isinstance(meant, Length) else drawn
            yield key, written, comes, drawn


def touched(before: Made, after: Made) -> tuple[str, ...]:
    """Say what another plan would touch of what is made or kept already."""
    return tuple(
        sentence
        for name in after.parts
        if name in before.parts and not _is_planned_alike(before, after, name)
        for sentence in after.edited_since(name)
        if sentence not in before.edited_since(name)
    )


def _is_planned_alike(before: Made, after: Made, name: str) -> bool:
    """Whether a part is the same by both plans, as drawn and as the refits have it."""
    return after.plan.parts[name] == before.plan.parts[name] and (
        after.parts[name] == before.parts[name]
    )


def in_a_row(names: Iterable[str]) -> str:
    """Names of parts as prose has them: "lid, rib left and rib right"."""
    return listed([name.replace("_", " ") for name in names])


def _info(made: Made) -> SheetInfo:
    plan = made.plan
    return SheetInfo(
        build=plan.name,
        units=plan.units,
        stocks={name: made.called(name) for name in plan.stocks},
        skins={n: b.skin_thickness for n, b in made.boards.items() if b.is_skinned},
    )
