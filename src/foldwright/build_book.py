"""The build book filled in: from a `Made` to the records that `draw` sets.

Nothing is worked out here; it is looked up, put in order and said in words.
"""

from __future__ import annotations

from foldwright.draw import (
    Book,
    Changed,
    CutInto,
    Layout,
    Neighbour,
    Purchase,
    Route,
    SheetInfo,
    Standing,
    ToMeasure,
    Weight,
    layout_pages,
)
from foldwright.draw.book_names import piece_called
from foldwright.draw.book_records import FROM_RACK
from foldwright.fit import (
    Clearance,
    MeetForecast,
    Telling,
    does,
    is_in_danger,
    others,
    part_in_words,
    says,
    telling,
    tightest,
)
from foldwright.intended import BORES
from foldwright.make import Layouts, Made, sentence_of_chance
from foldwright.plan import AnyPart, Bought, Feature, Length, Meet, Part, in_units, show_length
from foldwright.plan.dual import number
from foldwright.shape import Dim, dims_of, face_corners, flat_faces
from foldwright.sheet import filling, gaps_of, masses, paints_of, purchase_list
from foldwright.shop.threads import FIRST_CHOICE, bolt_for_hole

_SPELLED = (
    *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen"),
    *("sixteen", "seventeen", "eighteen", "nineteen"),
)
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def book_of(made: Made, layouts: Layouts, info: SheetInfo) -> Book:
    """Everything the book says.

    Parameters
    ----------
    made : Made
    layouts : Layouts
    info : SheetInfo
    """
    firsts = [name for name in made.parts if made.copies(name)[0] == name]
    patterns = {pattern.part: pattern for pattern in made.patterns}
    weighed = masses(
        tuple(made.parts.values()), patterns, made.plan.stocks, made.boards, made.frames
    )
    mass_of = {part.part: part.mass for part in weighed.parts}
    return Book(
        routes=tuple(route_of(made, name, mass_of[name]) for name in firsts),
        bodies=made.bodies,
        frames=made.frames,
        how_things_stand=_how_things_stand(made),
        meets=standings(made),
        layouts=_layouts(made, layouts, info),
        purchases=purchases_of(made, layouts),
        changes=_changes(made),
        weight=Weight(weighed.mass, weighed.centre, tuple(mass_of.items()), weighed.notes),
        unplaced=_unplaced(layouts, made.plan.units),
        parts_count=len(made.parts),
        made=frozenset(name for name in made.parts if made.is_made(name)),
        made_count=sum(made.is_made(n) for n, p in made.parts.items() if not isinstance(p, Bought)),
        paper="us-letter" if info.page.name == "Letter" else "a4",
        seen_from=made.plan.seen_from or ("front", "right", "above"),
    )


def route_of(made: Made, name: str, mass: float | None = None) -> Route:
    """Everything that the route sheet of one part says.

    Parameters
    ----------
    made : Made
    name : str
        Of the part.
    mass : float, optional
        Its mass [kg]; weighed if left out.
    """
    part = made.parts[name]
    pattern = made.pattern(name)
    if mass is None:
        weighed = masses((part,), {name: pattern}, made.plan.stocks, made.boards, made.frames)
        mass = weighed.mass
    return Route(
        part=name,
        kind=part.kind,
        body=made.bodies[name],
        made_from=made.called(part.stock) if part.stock else "bought",
        pieces=pattern.pieces,
        lengths=made.sawn(name),
        to_measure=_to_measure(made, part),
        neighbours=_neighbours(made, name),
        cut_into=tuple(_cut_into(part, f, made.plan.units) for f in part.features),
        notes=made.notes(name),
        stage=_stage(made, part),
        is_made=made.is_made(name),
        revision=made.revision_of(name),
        mass=mass or None,
        finish=_finish(part, made.plan.units),
        forming=tuple(
            (step, in_units(words, made.plan.units)) for step, words in made.forming(name).steps
        ),
        same_as=tuple(other for other in made.copies(name) if other != name),
        mirror_of=part.mirror_of,
    )


def _changes(made: Made) -> tuple[Changed, ...]:
    """What the refit on offer changes, then what kept ones changed, part by part."""
    offered = {shift.part for shift in made.outcome.shifts}
    found = [offer_for(made, part) for part in made.parts if part in offered]
    for part, kept in made.kept.items():
        if kept and part not in offered:
            found.append(
                Changed(
                    part,
                    tuple((c.parameter, c.before, c.after) for c in kept.values()),
                    tuple(dict.fromkeys(why for c in kept.values() for why in c.why)),
                    tuple(
                        (part_in_words(f.meet.name), None, f.chance)
                        for f in made.forecasts
                        if part in f.meet.parts and f.clearances
                    ),
                    revision=made.revision_of(part),
                    fine=tuple(name for name in kept if made.is_fine(part, name)),
                    family=made.plan.parts[part].family,
                )
            )
    return tuple(found)


def offer_for(made: Made, part: str) -> Changed:
    """What the refit on offer changes in one part."""
    outcome = made.outcome
    shifts = [
        (shift, why)
        for shift, why in zip(outcome.shifts, outcome.why, strict=True)
        if shift.part == part
    ]
    return Changed(
        part,
        tuple((shift.parameter.name, shift.before, shift.after) for shift, _ in shifts),
        tuple(dict.fromkeys(sentence for _, why in shifts for sentence in why)),
        tuple(
            (part_in_words(after.meet.name), before.chance, after.chance)
            for before, after in zip(outcome.before, outcome.after, strict=True)
            if part in after.meet.parts
        ),
        fine=tuple(s.parameter.name for s, _ in shifts if made.is_fine(part, s.parameter.name)),
        family=made.plan.parts[part].family,
    )


def _stage(made: Made, part: AnyPart) -> str:
    if isinstance(part, Bought):
        return "bought"
    return "made" if made.is_made(part.name) else made.stage(part.name)


def to_read(made: Made, part: str) -> tuple[Telling, ...]:
    """Readings to ask for on the route sheet of a part: none to three, each dim once.

    Parameters
    ----------
    made : Made
    part : str

    Returns
    -------
    tuple of Telling
        What tells most first; of dims that were not read yet. Empty when nothing that
        matters is open.
    """
    read = tuple(reading.dim for reading in made.readings[part])
    asked = telling_of(made, part, read)
    first: dict[str, Telling] = {}
    for one in asked:
        first.setdefault(one.dim.name, one)
    return tuple(first.values())


def telling_of(made: Made, part: str, measured: tuple[str, ...]) -> tuple[Telling, ...]:
    """Dims of a part that tell most of its meets, beside those measured already."""
    clearances = [
        clearance
        for forecast in made.forecasts
        if part in forecast.meet.parts
        for clearance in forecast.clearances
    ]
    if not made.is_made(part):
        clearances += made.gaps_of_ribs(part)
    return telling(
        made.parts[part], made.causes[part], made.beliefs[part], clearances, measured=measured
    )


def _to_measure(made: Made, part: AnyPart) -> tuple[ToMeasure, ...]:
    if isinstance(part, Bought):
        return ()
    latest = {r.dim: r.value for r in made.readings[part.name] if r.bare}
    used = {
        dim
        for found in made.forecasts
        for c in found.clearances
        for of, _, dim in (name.partition(".") for name in c.dims)
        if of == part.name
    }
    asked = {one.dim.name for one in to_read(made, part.name)}
    return tuple(
        ToMeasure(
            dim.name,
            number(dim.value),
            dim.how,
            dim.kind,
            latest.get(dim.name),
            dim.name in asked,
            is_fine=is_fine(part, dim),
        )
        for dim in dims_of(part, finished=False).values()
        if not dim.is_spare or dim.name in used | asked or dim.name in latest
    )


def is_fine(part: AnyPart, dim: Dim) -> bool:
    """Whether a dim is told to the hundredth: of a plug, and of the bore it goes into.

    There a tenth more or less decides whether it holds.
    """
    if part.kind == "tube":
        return dim.name in BORES
    return part.kind == "plug" and dim.kind == "diameter"


def _neighbours(made: Made, name: str) -> tuple[Neighbour, ...]:
    found = []
    for forecast in made.forecasts:
        meet = forecast.meet
        if name not in meet.parts or not others(meet, name) or not forecast.clearances:
            continue
        room, spread = _nearest_miss(forecast)
        found.append(
            Neighbour(
                parts=others(meet, name),
                does=does(meet, name),
                wanted=(room.low, room.high),
                expected=room.value,
                spread=spread,
                chance=forecast.chance,
                word=room.what,
            )
        )
    return tuple(found)


def _nearest_miss(forecast: MeetForecast) -> tuple[Clearance, float]:
    """Clearance that has least room to its limits, and its spread [mm]."""
    i = tightest(forecast.clearances, forecast.sigmas)
    return forecast.clearances[i], forecast.sigmas[i]


def standings(made: Made) -> tuple[Standing, ...]:
    """How each meet stands that has a clearance, in words and numbers."""
    return tuple(_standing(found, made) for found in made.forecasts if found.clearances)


def _standing(found: MeetForecast, made: Made) -> Standing:
    room, spread = _nearest_miss(found)
    said = says(found.meet, part_in_words)
    return Standing(
        said=f"{said[:1].upper()}{said[1:]}, {room.what}",
        wanted=(room.low, room.high),
        expected=room.value,
        spread=spread,
        chance=found.chance,
        in_danger=is_in_danger(found),
        at=_spot(made, found.meet),
        parts=found.meet.parts,
    )


def _spot(made: Made, meet: Meet) -> tuple[float, float, float]:
    """Where two parts meet, in the build frame as drawn [mm]."""
    end, part = meet.ends[-1], made.parts[meet.outer]
    flat = flat_faces(part)
    # what names no face meets at its top, if it has one
    faces = [face for face in flat if face == (end.face or "top")] or flat
    corners = [corner for face in faces for corner in face_corners(part, face, part.values())]
    middle = [sum(number(c[k]) for c in corners) / len(corners) for k in range(3)]
    x, y, z, _ = made.frames[meet.outer] @ (*middle, 1.0)
    return float(x), float(y), float(z)


def how_much_is_made(made: Made) -> str:
    """Say how many parts are made: "Eleven of twenty-five parts are made."."""
    ours = [name for name, part in made.parts.items() if not isinstance(part, Bought)]
    whole, made_ones = len(ours), sum(made.is_made(name) for name in ours)
    if not ours:
        return "There are no parts yet."
    if not made_ones:
        return "Nothing is made yet."
    if made_ones == whole:
        return f"All {spelled(whole)} parts are made." if whole > 1 else "The part is made."
    count = spelled(made_ones)
    are = "is" if made_ones == 1 else "are"
    return f"{count[:1].upper()}{count[1:]} of {spelled(whole)} parts {are} made."


def spelled(count: int) -> str:
    """Write a count out, as running text has it; in figures from a hundred.

    Examples
    --------
    >>> spelled(8), spelled(25), spelled(40), spelled(226)
    ('eight', 'twenty-five', 'forty', '226')
    """
    if not 0 <= count < 100:
        return str(count)
    if count < len(_SPELLED):
        return _SPELLED[count]
    tens, ones = divmod(count, 10)
    return _TENS[tens - 2] + (f"-{_SPELLED[ones]}" if ones else "")


def _how_things_stand(made: Made) -> tuple[str, ...]:
    said = [how_much_is_made(made)]
    for found in made.forecasts:
        if is_in_danger(found):
            chance = sentence_of_chance(found.chance)
            said.append(f"In danger: {part_in_words(found.meet.name)}, which holds {chance}.")
    return (*said, *made.strangers())


def _cut_into(part: AnyPart, feature: Feature, units: str) -> CutInto:
    """Say what is cut, before the finish: the edges of a hole get their coat too."""
    coats = 0.0 if part.bare else 2.0 * part.coat_outside

    def plain(length: Length | None) -> str:
        return "" if length is None else show_length(number(length.value(part.values())), units)

    def mm(length: Length | None) -> str:
        if length is None:
            return ""
        return show_length(number(length.value(part.values())) + coats, units)

    match feature.kind:
        case "hole":
            what = f"hole, {mm(feature.d)} across{_for_bolt(part, feature.d)}"
        case "slot":
            what = f"slot, {mm(feature.length)} by {mm(feature.width)}"
        case "bolts":
            count = feature.count * feature.rows
            what = f"{count} holes, {mm(feature.d)} across{_for_bolt(part, feature.d)}"
        case "opening":
            what = (
                f"opening for the {part_in_words(feature.through)}, {plain(feature.gap)} all round"
            )
        case _ if feature.d is not None:
            what = f"{feature.kind}, {mm(feature.d)} across"
        case _:
            what = f"{feature.kind}, {mm(feature.length)} by {mm(feature.width)}"
    return CutInto(feature.name, feature.face, what, feature.drilled_in_place)


def _for_bolt(part: AnyPart, hole: Length | None) -> str:
    """Which bolt goes through a hole, where its finished size is one of the standard's.

    Only bolts that every shop has: a hole of 20 mm is seldom one for M18.
    """
    bolt = bolt_for_hole(number(hole.value(part.values()))) if hole is not None else None
    return f", for M{bolt[0]:g} ({bolt[1]})" if bolt and bolt[0] in FIRST_CHOICE else ""


def _in_words(name: str) -> str:
    return name.replace("_", " ")


def _finish(part: Part, units: str) -> str:
    if part.finish is None:
        return ""
    return f"{part.finish.name}, {show_length(part.coat_outside, units, True)} on each face"


def purchases_of(made: Made, layouts: Layouts) -> tuple[Purchase, ...]:
    """What the rack gives, then what has to be bought."""
    parts, patterns = tuple(made.parts.values()), {p.part: p for p in made.patterns}
    wanted = purchase_list(
        layouts.sheets.values(),
        layouts.bars.values(),
        parts,
        paints=paints_of(parts, patterns, made.plan.stocks),
        filler=sum(filling(gaps_of(pattern, made.boards)) for pattern in made.patterns),
    )
    found = []
    for line in wanted.lines:
        size = in_units(line.what, made.plan.units)
        what = f"{made.called(line.stock)}, {size}" if line.stock else _in_words(line.what)
        if line.from_rack:
            found.append(Purchase(what, line.from_rack, why=FROM_RACK))
        if line.to_buy:
            price = line.price or None
            found.append(Purchase(what, line.to_buy, price, line.cost or None, "to buy"))
    return tuple(found)


def _layouts(made: Made, layouts: Layouts, info: SheetInfo) -> tuple[Layout, ...]:
    pages = layout_pages(tuple(layouts.sheets.values()), made.pieces, info, is_bound=True)
    return tuple(Layout(f"Layout {i} of {len(pages)}", page) for i, page in enumerate(pages, 1))


def _unplaced(layouts: Layouts, units: str) -> tuple[tuple[str, str], ...]:
    left = [left for plan in layouts.sheets.values() for left in plan.left_out]
    left += [left for plan in layouts.bars.values() for left in plan.left_out]
    return tuple((piece_called(one.id), in_units(one.reason, units)) for one in left)
