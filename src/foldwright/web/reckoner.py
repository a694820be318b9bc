"""The ready reckoner on the page: a list to search, and each sum as a form.

Forms are built from the definitions in `reckon`; the words of an answer are those
of the command line. What is typed stands in the address, so that a sum can be kept
or sent. Without script the form is sent by a button; with it the same page is
fetched while one types.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from foldwright import reckon as room
from foldwright.errors import FoldwrightError, UnknownName
from foldwright.reckon import Input, Reckoned, Reckoner, ReckonerFaults
from foldwright.reckon.quantities import show_number
from foldwright.shop import Board, Matter, boards, matters
from foldwright.web.pages import live_of, page

_MOST_TYPED = 4000  # letters in the address of a sum; a hundred readings take a thousand


@dataclass(frozen=True)
class Field:
    """One field of a sum's form.

    Attributes
    ----------
    name, label, what : str
    unit : str
        Shown behind the field; empty for words.
    usual : str
        What is taken if it stays empty, in words; empty if it is wanted.
    options : tuple of (str, str)
        Values to choose from and how they read; empty if it is typed.
    typed : str
    none : str
        How it reads that nothing is chosen.
    fault : str
        What is wrong with what was typed.
    is_missing : bool
        It is still wanted, and other fields are filled in.
    needs_letters : bool
        A pad of digits does not do.
    """

    name: str
    label: str
    what: str
    unit: str = ""
    usual: str = ""
    options: tuple[tuple[str, str], ...] = ()
    typed: str = ""
    fault: str = ""
    none: str = "choose"
    is_missing: bool = False
    needs_letters: bool = False


def reckoners(request: Request) -> Response:
    """All reckoners by topic, or those that hold every word of a search."""
    wanted = request.query_params.get("q", "").strip()
    found = [r for r in room.RECKONERS if _has_words(r, wanted)]
    return _listing(request, found, wanted)


def sum_(request: Request) -> Response:
    """One sum: its form, and its answer once enough is typed."""
    try:
        reckoner = room.reckoner_named(request.path_params["name"])
    except UnknownName as fault:
        return _listing(request, room.RECKONERS, "", trouble=str(fault), status=404)
    typed, faults, reckoned = _asked(reckoner, request)
    by_input: dict[str, list[str]] = {}
    missing: set[str] = set()
    names = {i.name for i in reckoner.inputs}
    for name, words in faults:
        at = name if name.partition(".")[0] in names else ""
        if words.startswith("is missing"):
            missing.add(at)
        else:
            by_input.setdefault(at, []).append(words if at else f"{name}: {words}".lstrip(": "))
    figures = [figure for i in reckoner.inputs for figure in _figures(i, typed, by_input, reckoned)]
    fields = [_field(i, typed, by_input, missing, _units(request)) for i in reckoner.inputs]
    has_faults = bool(by_input)
    return page(
        request,
        "reckoner_sum.html",
        status=422 if has_faults else 200,
        reckoner=reckoner,
        wanted=[f for f in fields if not f.usual],
        usual=[f for f in fields if f.usual],
        figures=figures,
        general=[
            word
            for name, said in by_input.items()
            for word in said
            if name not in {f.name for f in (*fields, *figures)}
        ],
        missing=[f.label.lower() for f in fields if f.is_missing],
        has_faults=has_faults,
        is_typed=bool(typed),
        reckoned=reckoned,
        asked_for=_as_typed(reckoned),
        shown=room.shown,
        example=f"/reckoner/{reckoner.name}?{urlencode(reckoner.example)}",
        own=f"/reckoner/{reckoner.name}?{urlencode(typed)}",
    )


def _listing(
    request: Request, found: Iterable[Reckoner], wanted: str, trouble: str = "", status: int = 200
) -> Response:
    groups: dict[str, list[Reckoner]] = {}
    for reckoner in found:
        groups.setdefault(reckoner.group, []).append(reckoner)
    return page(
        request,
        "reckoner.html",
        status=status,
        groups=groups,
        count=len(room.RECKONERS),
        found=sum(map(len, groups.values())),
        wanted=wanted,
        trouble=trouble,
    )


def _has_words(reckoner: Reckoner, wanted: str) -> bool:
    """Whether every word of a search is in what a reckoner says of itself."""
    asks = " ".join(f"{i.name} {i.what}" for i in reckoner.inputs)
    said = f"{reckoner.name} {reckoner.group} {reckoner.title} {asks}".replace("_", " ").lower()
    return all(word in said for word in wanted.lower().split())


def _asked(
    reckoner: Reckoner, request: Request
) -> tuple[dict[str, str], tuple[tuple[str, str], ...], Reckoned | None]:
    """Return what was typed, what is wrong with it, and the answer if nothing is."""
    given = [(name, text.strip()) for name, text in request.query_params.multi_items()]
    typed = {name: text for name, text in given if text}
    if sum(map(len, typed.values())) > _MOST_TYPED:
        return typed, (("", "That is more than a sum takes. Type fewer readings."),), None
    try:
        pairs = room.split_pairs(f"{name}={text}" for name, text in given if text)
        return typed, (), room.reckon(reckoner, pairs)
    except ReckonerFaults as fault:
        if not typed:  # nobody has asked yet
            return typed, (), None
        return typed, fault.by_input, None
    except FoldwrightError as fault:
        return typed, (("", str(fault)),), None


def _units(request: Request) -> str:
    made = live_of(request).state.made
    return made.plan.units if made else "mm"


def _field(
    asked: Input,
    typed: Mapping[str, str],
    by_input: Mapping[str, list[str]],
    missing: Iterable[str],
    units: str,
) -> Field:
    """Return the field of one input."""
    own = typed.get(asked.name, "")
    options: tuple[tuple[str, str], ...] = ()
    if not asked.several:
        options = _options(asked)
        if own and options and own not in dict(options):
            options = ((own, own), *options)  # nonsense from an address is kept, and refused
    return Field(
        asked.name,
        _label(asked.name),
        asked.what,
        "" if asked.unit in ("-", "word", "board", "matter") else asked.unit,
        {None: "", "": "May be left out."}.get(asked.usual, f"If left empty: {asked.usual}."),
        options,
        own,
        " ".join(by_input.get(asked.name, ())),
        {None: "choose", "": "left out"}.get(asked.usual, f"as usual: {asked.usual}"),
        asked.name in missing,
        # a pad of digits has neither commas nor fractions of an inch
        asked.several or asked.unit == "word" or (asked.unit == "mm" and units == "in"),
    )


def _options(asked: Input) -> tuple[tuple[str, str], ...]:
    if asked.unit == "board":
        return tuple((name, name) for name in boards())
    if asked.unit == "matter":
        return tuple((name, name) for name in matters())
    return tuple((word, word.replace("_", " ")) for word in asked.words if word)


def _label(name: str) -> str:
    words = name.replace("_", " ")
    return words[:1].upper() + words[1:]


def _figures(
    asked: Input,
    typed: Mapping[str, str],
    by_input: Mapping[str, list[str]],
    reckoned: Reckoned | None,
) -> list[Field]:
    """Fields for figures of a material that the maker measured, or has from a certificate."""
    if asked.unit not in ("board", "matter") or asked.several:
        return []
    known: Mapping[str, Board | Matter] = boards() if asked.unit == "board" else matters()
    chosen = known.get(typed.get(asked.name, asked.usual or ""))
    fault_at = asked.name
    found = []
    for name, figure in room.figures_of(chosen or next(iter(known.values()))).items():
        table = ""
        if chosen:
            digits = 0 if figure.value >= 100.0 else 3
            table = f"{show_number(figure.value, digits)} in the table."
        key = f"{asked.name}.{name}"
        unit = room.figure_unit(name)
        own = typed.get(key, "")
        # a refusal names the material; the figure that was typed is where to mend it
        said = by_input.get(key) or ([] if not own else by_input.get(name, []))
        found.append(
            Field(
                key,
                f"{_label(name)} of the {_label(fault_at).lower()}",
                table,
                "" if unit == "-" else unit,
                "If left empty: that of the table.",
                typed=own,
                fault=" ".join(said),
            )
        )
    return found


def _as_typed(reckoned: Reckoned | None) -> list[tuple[str, str]]:
    """Return what an answer was reckoned from, the usual values included."""
    return room.typed_in_words(reckoned) if reckoned else []


ROUTES = [
    Route("/reckoner", reckoners),
    Route("/reckoner/{name}", sum_),
]
