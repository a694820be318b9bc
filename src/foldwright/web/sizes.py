"""The sizes sheet: the dimension table of the build, where a change is drawn at once.

What is typed is tried first: the parts that follow from it are drawn as they would be,
and nothing is written. To keep it is another press; then only the numbers concerned
change in the text of the plan, and only if the build can be made so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.errors import FoldwrightError, Overtaken, PlanFaults
from foldwright.plan import Plan, show_length
from foldwright.plan.editing import (
    change_plan,
    digest_of,
    plan_text,
    with_new_size,
    with_size,
)
from foldwright.plan.lines import LinesOfKeys
from foldwright.shop import thicknesses
from foldwright.sizing import (
    MOST_DRAWN,
    DrivenPart,
    SizeRow,
    Trial,
    in_a_row,
    size_rows,
    would_be,
)
from foldwright.web.by_key import ByKey
from foldwright.web.pages import form_of, is_awaited, live_of, made_of, page

_KEYS = ("plan", "give", "trust")
# While one types, so many parts are drawn before the others.
_AT_ONCE = 1
# So many are remembered: who asks for the other parts finds the first ones drawn, though
# another browser tried something meanwhile.
_TRIALS = 3
_LONGEST = 300  # letters in a field; a formula has no more


@dataclass
class Typed:
    """What stands in the fields, and what is wrong with it.

    Attributes
    ----------
    fields : dict
        By field, "plan.lamp_d" and its kin: what was typed, where it is not as written.
    faults : dict
        By field, in words; "" for what belongs to none.
    text : str
        The plan as it would be.
    sizes : tuple of str
        Those that are changed.
    """

    fields: dict[str, str] = field(default_factory=dict)
    faults: dict[str, list[str]] = field(default_factory=dict)
    text: str = ""
    sizes: tuple[str, ...] = ()

    def fault(self, at: str, words: str) -> None:
        """Note what is wrong, once."""
        said = self.faults.setdefault(at, [])
        if words not in said:
            said.append(words)


@dataclass(frozen=True)
class Drawn:
    """The parts that follow from the sizes at hand, drawn."""

    sizes: tuple[str, ...]
    is_kept: bool
    parts: tuple[DrivenPart, ...] = ()
    more: tuple[str, ...] = ()
    moved: str = ""
    touched: tuple[str, ...] = ()


def sizes(request: Request) -> Response:
    """The sheet as the plan is written, with the parts of one size drawn."""
    text = _text_of(request)
    rows = _rows(request, text)
    asked = request.query_params.get("of", "")
    size = next((row.name for row in rows if row.name == asked), rows[0].name if rows else "")
    drawn = _as_kept(request, text, size)
    named = request.query_params.get("kept", "").split(",")
    kept = tuple(row.name for row in rows if row.name in named)
    return _sheet(request, rows, text, drawn, Typed(), kept=kept)


def change(request: Request) -> Response:
    """Try what was typed, or keep it."""
    text = _text_of(request)
    form = form_of(request)
    rows = _rows(request, text)
    typed = _typed(rows, text, {key: str(value)[: _LONGEST + 1] for key, value in form.items()})
    seen = str(form.get("seen", ""))
    is_trial = "try" in form
    most = _AT_ONCE if form.get("drawn") == "first" else MOST_DRAWN
    template = "sizes_tried.html" if "drawn" in form else "sizes.html"
    if not typed.sizes and not typed.faults:
        size = str(form.get("of", ""))
        if not is_trial:
            return RedirectResponse(f"/sizes?{urlencode({'of': size})}", status_code=303)
        drawn = _as_kept(request, text, size, most)
        return _sheet(request, rows, text, drawn, typed, template=template)
    drawn = Drawn(typed.sizes, False)
    if not typed.faults:
        drawn = _as_it_would_be(request, typed, most)
    if not typed.faults and not is_trial:
        try:
            _keep(request, typed, seen)
        except Overtaken as fault:
            typed.fault("", f"{fault} What you typed still stands in the fields.")
        except PlanFaults as fault:
            _place(typed, fault)
        else:
            query = urlencode({"of": typed.sizes[0], "kept": ",".join(typed.sizes)})
            return RedirectResponse(f"/sizes?{query}", status_code=303)
    status = 422 if typed.faults else 200
    return _sheet(request, rows, text, drawn, typed, status=status, template=template)


def add(request: Request) -> Response:
    """Write one more size into the plan."""
    form = form_of(request)
    called, value, give, trust = (
        str(form.get(key, "")).strip()[:_LONGEST] for key in ("name", "plan", "give", "trust")
    )
    name = "_".join(called.split())  # as the page writes names, and as the plan does

    def edit(text: str) -> str:
        return with_new_size(text, name, value, give=give or None, trust=trust or None)

    live = live_of(request)
    change_plan(live.plan_path, edit, str(form.get("seen", "")), thicknesses())
    live.refresh()
    return RedirectResponse(f"/sizes?{urlencode({'of': name, 'kept': name})}", status_code=303)


def _text_of(request: Request) -> str:
    """Text of the plan; where it has faults now, as it was when the build was last good."""
    state = live_of(request).refresh()
    if state.made is not None and (state.faults or state.trouble):
        return "\n".join(state.made.plan.source)
    return plan_text(live_of(request).plan_path)


def _rows(request: Request, text: str) -> tuple[SizeRow, ...]:
    """Rows of the sheet; they stay the same while one types."""
    key = f"sizes/rows/{digest_of(text)}"
    return live_of(request).state.once(key, lambda made: size_rows(made, text))


def _typed(rows: tuple[SizeRow, ...], text: str, form: Mapping[str, str]) -> Typed:
    """Put what was typed into the text of the plan, field by field."""
    typed = Typed(text=text)
    for row in rows:
        for key in _KEYS:
            at = f"{key}.{row.name}"
            value = form.get(at, row.written[key]).strip()
            if value == row.written[key]:
                continue
            typed.fields[at] = value
            typed.sizes = tuple(dict.fromkeys((*typed.sizes, row.name)))
            try:
                if key == "plan":
                    typed.text = with_size(typed.text, row.name, value)
                else:
                    typed.text = with_size(typed.text, row.name, **{key: value})
            except FoldwrightError as fault:
                typed.fault(at, str(fault))
    return typed


def _as_kept(request: Request, text: str, size: str, most: int = MOST_DRAWN) -> Drawn:
    state = live_of(request).state
    if not size or state.made is None:
        return Drawn((), True)
    trial = state.once(f"sizes/{size}", lambda made: Trial(made, made, text, (size,)))
    parts, more = trial.driven(most)
    return Drawn((size,), True, parts, more)


def _as_it_would_be(request: Request, typed: Typed, most: int) -> Drawn:
    """Draw what is typed; what is wrong with it is noted at its fields."""
    state = live_of(request).state
    made = made_of(request)
    try:
        trials = state.once("sizes/trials", lambda _: ByKey[Trial](_TRIALS))
        trial = trials.once(
            (typed.text, typed.sizes),
            lambda: Trial(made, would_be(made, typed.text), typed.text, typed.sizes),
        )
        trial.require(most)
        parts, more = trial.driven(most, lambda: is_awaited(request))
        drawn = {name for part in parts for name in (part.name, *part.same_as)}
        moved = [n for n in trial.moved if n not in drawn and n not in more]
        firsts = dict.fromkeys(trial.after.plan.parts[n].family or n for n in moved)
        return Drawn(typed.sizes, False, parts, more, in_a_row(firsts), trial.touched)
    except FoldwrightError as fault:
        if most < MOST_DRAWN:  # what is wrong is told at once, and all of it
            return _as_it_would_be(request, typed, MOST_DRAWN)
        if isinstance(fault, PlanFaults):
            _place(typed, fault)
        else:
            typed.fault("", str(fault))
    return Drawn(typed.sizes, False)


def _place(typed: Typed, faults: PlanFaults) -> None:
    """Note each fault at the field that it comes from, as far as that can be told."""
    lines = LinesOfKeys(typed.text.removeprefix("\ufeff"))
    own = {lines.get(f"size.{at.partition('.')[2]}") for at in typed.fields} - {None}
    # the plan was sound: beside a fault in what is typed, the others only follow from it
    at_the_root = tuple(fault for fault in faults.faults if fault.line in own)
    for fault in at_the_root or faults.faults:
        words = f"{fault.problem} {fault.remedy}"
        on_line = [
            at
            for at in typed.fields
            if fault.line and lines.get(f"size.{at.partition('.')[2]}") == fault.line
        ]
        if not on_line and len(typed.fields) == 1:
            on_line = list(typed.fields)
            words = f"Line {fault.line}: {fault.text} {words}" if fault.line else words
        elif not on_line and fault.line:
            words = f"Line {fault.line}: {fault.text} {words}"
        typed.fault(on_line[0] if on_line else "", words)


def _keep(request: Request, typed: Typed, seen: str) -> None:
    """Write what was typed into the plan, if all can be made so."""
    live, made = live_of(request), made_of(request)

    def edit(text: str) -> str:
        for at, value in typed.fields.items():
            key, _, name = at.partition(".")
            text = (
                with_size(text, name, value)
                if key == "plan"
                else with_size(text, name, **{key: value})
            )
        return text

    def check(plan: Plan) -> None:
        would_be(made, "\n".join(plan.source)).require()

    change_plan(live.plan_path, edit, seen, thicknesses(), check)
    live.refresh()


def _sheet(
    request: Request,
    rows: tuple[SizeRow, ...],
    text: str,
    drawn: Drawn,
    typed: Typed,
    *,
    kept: tuple[str, ...] = (),
    status: int = 200,
    template: str = "sizes.html",
) -> Response:
    state = live_of(request).state
    made = made_of(request)

    def value(row: SizeRow, key: str) -> str:
        return typed.fields.get(f"{key}.{row.name}", row.written[key])

    return page(
        request,
        template,
        status,
        state=state,
        rows=rows,
        seen=digest_of(text),
        drawn=drawn,
        typed=typed,
        kept=kept,
        value=value,
        made=made,
        in_a_row=in_a_row,
        shown=lambda mm: show_length(mm, made.plan.units).removesuffix(" mm"),
        is_sound=not state.faults and not state.trouble,
    )


ROUTES = [
    Route("/sizes", sizes, methods=["GET"]),
    Route("/sizes", change, methods=["POST"]),
    Route("/sizes/new", add, methods=["POST"]),
]
