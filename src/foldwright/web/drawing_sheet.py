"""One drawing: its picture to pick on, what was picked in words, and the way into the plan."""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.errors import FoldwrightError, OutOfDomain
from foldwright.plan import parse_length, show_length
from foldwright.plan.editing import (
    Hole,
    change_plan,
    digest_of,
    plan_text,
    with_holes,
    with_new_size,
    with_outline,
    with_size,
)
from foldwright.scans import (
    Drawing,
    Pick,
    Standing,
    Taken,
    TakenHole,
    TakenOutline,
    stand,
    take,
    take_hole_from,
)
from foldwright.scans.words import (
    KIND_WORDS,
    checks_of,
    name_of,
    said_miss,
    said_standing,
    said_taken,
    trust_of,
)
from foldwright.shop import thicknesses
from foldwright.web.drawings import FOR_GOOD, drawing_of, drawings_of, units_of
from foldwright.web.jobs import Job
from foldwright.web.pages import form_of, live_of, page
from foldwright.web.straightening import Straight, straights_of

_MIME = {"jpg": "image/jpeg", "png": "image/png"}
_HAVE_OUTLINES = ("profile", "plate")
# Parts that nothing can be drilled into while they are flat.
_TAKE_NO_HOLES = ("bought", "tube", "hood", "plug")


@dataclass(frozen=True)
class Row:
    """One pick as the sheet shows it.

    Attributes
    ----------
    pick : Pick
    name, kind : str
    said : str
        What it comes to, in words; empty as long as nobody can tell.
    trouble : str
        What is wrong with it.
    beside : str
        What the plan has for it, where it was written there and differs now.
    value, trust : str
        As they would be written into the plan; empty if it is no length.
    """

    pick: Pick
    name: str
    kind: str
    said: str = ""
    trouble: str = ""
    beside: str = ""
    value: str = ""
    trust: str = ""


def sheet(request: Request) -> Response:
    """One drawing."""
    stamp = drawings_of(request).stamp()  # before it is read: what changes meanwhile is noticed
    drawing = drawing_of(request)
    standing = stand(drawing)
    straight, job = _straight(request, drawing, standing)
    units = units_of(request)
    text = _plan_text(request)
    data = _tables(text)
    sizes = {name: _as_drawn(value) for name, value in data.get("size", {}).items()}
    parts = {name: part for name, part in data.get("part", {}).items() if isinstance(part, dict)}
    return page(
        request,
        "drawing.html",
        drawing=drawing,
        standing=standing,
        stands=said_standing(drawing, standing, units),
        checks=checks_of(drawing, standing, units),
        rows=[_row(drawing, standing, pick, sizes, units) for pick in drawing.picks],
        kinds=KIND_WORDS,
        outlines=[(pick.id, name_of(pick, drawing)) for pick in drawing.of_kind("outline")],
        sizes=sizes,
        shaped=[name for name, part in parts.items() if part.get("kind") in _HAVE_OUTLINES],
        drilled=[name for name, part in parts.items() if _takes_holes(part)],
        seen=digest_of(text),
        units=units,
        board=_told(drawing, straight),
        stamp=stamp,
        job=job,
    )


def picture(request: Request) -> Response:
    """The picture as it came."""
    drawing = drawing_of(request)
    return Response(
        drawings_of(request).picture(drawing),
        media_type=_MIME[drawing.suffix],
        headers={"Cache-Control": FOR_GOOD},
    )


def pick(request: Request) -> Response:
    """Keep one pick more."""
    form = form_of(request)
    kind, name = str(form.get("kind", "")), str(form.get("name", ""))
    points, given = _points(form), _given(form)
    return _changed(request, lambda drawing: drawing.picked(kind, points, given, name))


def move(request: Request) -> Response:
    """Put the points of a pick elsewhere, or change its name or what is known of it."""
    form = form_of(request)
    id, points = _id(form), _points(form)
    index = str(form.get("index", ""))
    if index:  # one point alone: another hand may be moving its fellows
        if not (index.isascii() and index.isdigit() and len(index) < 9 and len(points) == 1):
            raise OutOfDomain("It is not said which point is meant.", name="index")
        return _changed(request, lambda drawing: drawing.with_point(id, int(index), points[0]))
    name = str(form["name"]) if "name" in form else None
    given = _given(form) if "given" in form else None
    return _changed(request, lambda drawing: drawing.moved(id, points, given, name))


def remove(request: Request) -> Response:
    """Take a pick away."""
    id = _id(form_of(request))
    return _changed(request, lambda drawing: drawing.without(id))


def undo(request: Request) -> Response:
    """Take the last pick away."""
    return _changed(request, lambda drawing: drawing.undone())


def sureness(request: Request) -> Response:
    """Say how sure picks and known things are, and at what scale the page is drawn."""
    form = form_of(request)
    picking = _number(form, "picking")
    sure = parse_length(str(form.get("sure", "")))
    scale = _number(form, "page_scale") if str(form.get("page_scale", "")).strip() else 0.0
    return _changed(
        request,
        lambda drawing: drawing.with_sureness(picking=picking, sure=sure, page_scale=scale),
    )


def write(request: Request) -> Response:
    """Write what was picked into the plan, as the maker looked at it."""
    form, drawing = form_of(request), drawing_of(request)
    standing, chosen = stand(drawing), drawing.pick(_id(form))
    taken = take(drawing, standing, chosen)
    size = part = ""
    if isinstance(taken, Taken) and chosen.kind == "length":
        new, size = str(form.get("new", "")).strip(), str(form.get("size", ""))
        known = {"trust": f"{trust_of(taken.trust):.1f}"}
        value, add = f"{taken.value:.1f}", with_new_size if new else with_size
        size = new or size
        if not size:
            raise OutOfDomain("Choose a size, or type a name for a new one.", name="size")

        def edit(text: str) -> str:
            return add(text, size, value, **known)

    elif isinstance(taken, TakenOutline):
        part, corners = str(form.get("part", "")), taken.corners

        def edit(text: str) -> str:
            return with_outline(text, part, corners)

    elif isinstance(taken, TakenHole):
        part, hole = str(form.get("part", "")), _hole(form, drawing, standing, chosen)

        def edit(text: str) -> str:
            return with_holes(text, part, [hole])

    else:
        raise OutOfDomain("This pick is nothing that a plan can take.", name="pick")
    change_plan(live_of(request).plan_path, edit, str(form.get("seen", "")), thicknesses())
    return _changed(request, lambda now: now.written(chosen.id, size=size, part=part))


def _hole(form: FormData, drawing: Drawing, standing: Standing, chosen: Pick) -> Hole:
    outline = str(form.get("outline", ""))
    if not outline.isdigit():
        raise OutOfDomain(
            "a hole is measured from the lower left corner of its face. Pick the outline of the "
            "face on this drawing first, then choose it here.",
            name="outline",
        )
    taken = take_hole_from(drawing, standing, chosen, drawing.pick(int(outline)))
    face = str(form.get("face", "")).strip() or "top"
    return Hole(face, (taken.x.value, taken.y.value), taken.d.value, chosen.name)


def _changed(request: Request, change: Any) -> Response:
    drawing = drawing_of(request)
    drawings_of(request).change(drawing.id, change)
    return RedirectResponse(f"/drawings/{drawing.id}", status_code=303)


def _row(
    drawing: Drawing, standing: Standing, chosen: Pick, sizes: dict[str, float | None], units: str
) -> Row:
    name, kind = name_of(chosen, drawing), KIND_WORDS[chosen.kind]
    if chosen.kind == "place":
        x, y = (show_length(each, units).removesuffix(" mm") for each in chosen.given)
        return Row(chosen, name, kind, f"known to be {x} right, {y} up")
    try:
        taken = take(drawing, standing, chosen)
    except OutOfDomain as fault:
        return Row(chosen, name, kind, trouble=str(fault))
    if taken is None:
        return Row(chosen, name, kind)
    said = said_taken(taken, chosen.kind, units)
    if chosen.kind == "known" and isinstance(taken, Taken):
        miss = said_miss(taken.value - chosen.given[0], units)
        said = f"known to be {show_length(chosen.given[0], units)}, comes out {miss}"
        return Row(chosen, name, kind, said)
    if not isinstance(taken, Taken) or chosen.kind == "angle":
        return Row(chosen, name, kind, said)
    value, trust = f"{taken.value:.1f}", f"{trust_of(taken.trust):.1f}"
    drawn, beside = sizes.get(chosen.size), ""
    if drawn is not None and f"{drawn:.1f}" != value:
        beside = show_length(drawn, units)
    return Row(chosen, name, kind, said, "", beside, value, trust)


def _straight(
    request: Request, drawing: Drawing, standing: Standing
) -> tuple[Straight | None, Job | None]:
    """Straightened picture to look at, and the job that draws a better one."""
    if standing.by != "places":
        return None, None
    try:
        return straights_of(request).of(request, drawing, standing)
    except OutOfDomain:  # the known places are sound, but what lies round them is not
        return None, None


def _told(drawing: Drawing, straight: Straight | None) -> str:
    """What the script is told: the pictures, the picks, and how one lies on the other."""
    address = f"/drawings/{drawing.id}"
    told: dict[str, Any] = {
        "address": address,
        "picture": f"{address}/picture",
        "width": drawing.width,
        "height": drawing.height,
        "picks": [
            {
                "id": chosen.id,
                "kind": chosen.kind,
                "name": name_of(chosen, drawing),
                "points": chosen.points,
            }
            for chosen in drawing.picks
        ],
        "straight": None,
    }
    if straight is not None:
        told["straight"] = {
            "picture": f"{address}/straight?as={straight.name}",
            "width": straight.board.width,
            "height": straight.board.height,
            "to_mm": straight.board.to_mm.tolist(),
            "mm": straight.frame.whole.tolist(),
        }
    return json.dumps(told)


def _plan_text(request: Request) -> str:
    try:
        return plan_text(live_of(request).plan_path)
    except FoldwrightError:  # what is wrong with it stands at the head of the page
        return ""


def _tables(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return {}


def _as_drawn(value: Any) -> float | None:
    """Number that the plan has for a size; None for a formula."""
    plan = value.get("plan") if isinstance(value, dict) else value
    if isinstance(plan, int | float) and not isinstance(plan, bool):
        return float(plan)
    try:
        return parse_length(plan) if isinstance(plan, str) else None
    except FoldwrightError:
        return None


def _takes_holes(part: dict[str, Any]) -> bool:
    return "kind" in part and part["kind"] not in _TAKE_NO_HOLES


def _id(form: FormData) -> int:
    typed = str(form.get("pick", ""))
    if not (typed.isascii() and typed.isdigit() and len(typed) < 9):
        raise OutOfDomain("It is not said which pick is meant. Load the sheet again.", name="pick")
    return int(typed)


def _points(form: FormData) -> list[tuple[float, float]]:
    """Points as fields x and y, or as text with one point to a line."""
    pairs = list(zip(form.getlist("x"), form.getlist("y"), strict=False))
    if not pairs:
        lines = str(form.get("points", "")).replace(";", "\n").splitlines()
        for line in filter(str.strip, lines):
            two = line.replace(",", " ").split()
            if len(two) != 2:
                raise OutOfDomain(
                    f'"{line.strip()[:40]}" is not a point. Type x and y, like 412.5 310.',
                    name="points",
                )
            pairs.append((two[0], two[1]))
    return [(_pixels(x), _pixels(y)) for x, y in pairs]


def _pixels(typed: Any) -> float:
    try:
        return float(str(typed))
    except ValueError:
        raise OutOfDomain(
            f'"{str(typed)[:20]}" is not a place on the picture. Type pixels, like 412.5.',
            name="points",
        ) from None


def _given(form: FormData) -> list[float]:
    """What is known beforehand; fields that stayed empty do not count."""
    typed = [str(each).strip() for each in form.getlist("given")]
    return [parse_length(each) for each in typed if each]


def _number(form: FormData, name: str) -> float:
    typed = str(form.get(name, "")).strip()
    try:
        return float(typed)
    except ValueError:
        raise OutOfDomain(f'"{typed[:20]}" is no number. Type one like 1.', name=name) from None


ROUTES = [
    Route("/drawings/{id}", sheet, methods=["GET"]),
    Route("/drawings/{id}/picture", picture, methods=["GET"]),
    Route("/drawings/{id}/pick", pick, methods=["POST"]),
    Route("/drawings/{id}/move", move, methods=["POST"]),
    Route("/drawings/{id}/remove", remove, methods=["POST"]),
    Route("/drawings/{id}/undo", undo, methods=["POST"]),
    Route("/drawings/{id}/sureness", sureness, methods=["POST"]),
    Route("/drawings/{id}/write", write, methods=["POST"]),
]
