"""What to change: the refit in words and drawings, kept as a revision or left.

The refit is worked out beside the page for each version of the build. Keeping it
writes to the ledger alone, never to the plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.build_book import spelled
from foldwright.draw.info import listed
from foldwright.errors import Overtaken
from foldwright.fit import dim_in_words, is_of_shell, part_in_words
from foldwright.ledger import Ledger, Revision
from foldwright.make import Made, sentence_of_chance
from foldwright.plan import Bought
from foldwright.web.jobs import Job, jobs_of
from foldwright.web.live import State
from foldwright.web.once import key_of, once
from foldwright.web.pages import form_of, live_of, made_of, page
from foldwright.web.refit import KIND, OVERTAKEN, Redrawn, Refit, keep, work_out
from foldwright.web.stands import address_of, stands_now
from foldwright.what_next import Next


@dataclass(frozen=True)
class Waiting:
    """A part in the order of work, with equal ones that have the same said of them."""

    name: str
    address: str
    said: str


def changes(request: Request) -> Response:
    """Show the refit of the build as it stands; it is begun if nobody has."""
    made_of(request)
    jobs = jobs_of(request)
    state = live_of(request).state
    job = jobs.of(KIND)
    if job is None or job.version != state.version:
        job = jobs.start(KIND, work_out)
    return _sheet(request, state, job)


def again(request: Request) -> Response:
    """Work the refit out once more, after it was stopped."""
    jobs_of(request).start(KIND, work_out)
    return RedirectResponse("/changes", status_code=303)


def keep_it(request: Request) -> Response:
    """Keep the refit that was looked at as a revision, if the build is still the same."""
    return once(request, lambda: _kept(request))


def _kept(request: Request) -> Response:
    key = key_of(request)

    def write(made: Made, ledger: Ledger) -> int:
        lines = ledger.sent(key)  # by another server, perhaps, which knew another job
        if lines is None:
            refit = _looked_at(request)
            lines = ledger.once(key, lambda: keep(refit, made, ledger))
        kept = next(entry for entry in ledger.history() if entry.id in lines)
        assert isinstance(kept, Revision)
        return kept.number

    try:
        number = live_of(request).act(write)
    except Overtaken:
        return _anew(request)
    return RedirectResponse(f"/changes?kept={number}", status_code=303)


def _looked_at(request: Request) -> Refit:
    """Refit that a form was shown with; `Overtaken` if the build is no longer the same."""
    job = jobs_of(request).get(str(form_of(request).get("job", "")))
    state = live_of(request).refresh()
    if job is None or not isinstance(job.result, Refit) or job.version != state.version:
        raise Overtaken(OVERTAKEN)
    return job.result


def _anew(request: Request) -> Response:
    job = jobs_of(request).start(KIND, work_out)
    return _sheet(request, live_of(request).refresh(), job, OVERTAKEN, status=409)


def _sheet(
    request: Request, state: State, job: Job, trouble: str = "", status: int = 200
) -> Response:
    made = made_of(request)
    refit = job.result if isinstance(job.result, Refit) and job.state == "done" else None
    number = request.query_params.get("kept", "")
    kept = next((r for r in made.revisions if str(r.number) == number), None)
    stands = stands_now(state) if refit is None else None
    order = refit.next if refit is not None else stands.next if stands else None
    return page(
        request,
        "changes.html",
        status,
        state=state,
        made=made,
        job=job,
        refit=refit,
        kept=kept,
        trouble=trouble,
        order=order,
        now=_rows(made, order.now, order.why) if order else (),
        begun=_rows(made, order.begun, order.why) if order else (),
        waits=_waits(made, order) if order else (),
        measure=_to_measure(order) if order else (),
        groups=(groups := _alike(made, refit.parts) if refit else ()),
        told=_told(made, groups),
        zip=zip,
        names=lambda parts: listed([part_in_words(part) for part in parts]),
        words=part_in_words,
        changes_of=lambda revision: [c for c in revision.changes if not is_of_shell(c.parameter)],
        in_sets=lambda parts: _in_sets(made, parts),
        sets_named=lambda parts: listed([f"the {words}" for words, _ in _in_sets(made, parts)]),
        spelled=spelled,
        address_of=address_of,
        odds=lambda chance: sentence_of_chance(chance).removesuffix(" in 100"),
        in_odds=sentence_of_chance,
    )


def _in_sets(made: Made, parts: Sequence[str]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Parts by what to call them, those of one set together: "four leg plugs"."""
    found: dict[str, list[str]] = {}
    for part in parts:
        record = made.plan.parts.get(part)  # a kept part may have left the plan
        found.setdefault((record.family if record else "") or part, []).append(part)
    return tuple(
        (
            part_in_words(members[0])
            if len(members) == 1
            else f"{spelled(len(members))} {part_in_words(family)}s",
            tuple(members),
        )
        for family, members in found.items()
    )


def _alike(made: Made, parts: tuple[Redrawn, ...]) -> tuple[tuple[str, list[Redrawn]], ...]:
    """Changed parts, those of one set in which the same is changed together: heading, parts."""
    found: dict[tuple[object, ...], list[Redrawn]] = {}
    for one in parts:
        part = one.change.part
        family = made.plan.parts[part].family or part
        found.setdefault((family, *(what for what, _, _ in one.change.rows)), []).append(one)
    return tuple(
        (f"{spelled(len(alike))} {part_in_words(str(key[0]))}s" if len(alike) > 1 else "", alike)
        for key, alike in found.items()
    )


def _told(made: Made, groups: tuple[tuple[str, list[Redrawn]], ...]) -> str:
    """All changes in a sentence: "Make the lid 3.1 mm larger on the depth."; "" for none."""
    said = [
        f"{heading or 'the ' + part_in_words(alike[0].change.part)} {_by(made, alike)}"
        for heading, alike in groups
    ]
    return f"Make {listed(said)}." if said else ""


def _by(made: Made, alike: list[Redrawn]) -> str:
    """By how much parts that change alike change, from least to most."""
    said = []
    for same in zip(*(one.change.rows for one in alike), strict=True):
        by = sorted(now - was for _, was, now in same)
        what = same[0][0]
        least, most = (made.shown(alike[0].change.part, what, abs(mm)) for mm in (by[0], by[-1]))
        if by[0] < 0.0 < by[-1]:
            amount = f"up to {least} smaller and up to {most} larger"
        else:
            least, most = (most, least) if by[0] < 0.0 else (least, most)
            amount = least if least == most else f"{least} to {most}"
            amount += " larger" if by[-1] > 0.0 else " smaller"
        said.append(f"{amount} on the {dim_in_words(what)}")
    return listed(said)


def _rows(made: Made, parts: tuple[str, ...], why: object) -> tuple[Waiting, ...]:
    said = why if isinstance(why, dict) else {}
    return _gathered(made, [(part, part_in_words(said.get(part, ""))) for part in parts])


def _waits(made: Made, order: Next) -> tuple[Waiting, ...]:
    return _gathered(
        made,
        [(part, f"Waits for {_named(made, others)}.") for part, others in order.waits.items()],
    )


def _named(made: Made, parts: tuple[str, ...]) -> str:
    """Names of parts; of a set that waits as one, the name of the set."""
    families = dict.fromkeys(made.plan.parts[part].family or part for part in parts)
    return listed([part_in_words(name) for name in families])


def _gathered(made: Made, rows: list[tuple[str, str]]) -> tuple[Waiting, ...]:
    """Parts of one set that have the same said of them, in one row."""
    found: dict[tuple[str, str], list[str]] = {}
    for part, said in rows:
        record = made.plan.parts[part]
        if not isinstance(record, Bought):
            family = record.family
            # what four equal plugs decide is four equal legs, each named for its own
            found.setdefault((family or part, "" if family else said), []).append(part)
    return tuple(
        Waiting(
            part_in_words(members[0])
            if len(members) == 1
            else f"{spelled(len(members))} {part_in_words(family)}s",
            address_of(members[0]),
            said or dict(rows)[members[0]],
        )
        for (family, said), members in found.items()
    )


def _to_measure(order: Next) -> tuple[tuple[str, str, str], ...]:
    """Dims to measure of what is made next: part, address, dims."""
    return tuple(
        (part_in_words(part), address_of(part), listed([dim_in_words(dim) for dim in dims]))
        for part, dims in order.to_measure.items()
        if dims
    )


ROUTES = [
    Route("/changes", changes, methods=["GET"]),
    Route("/changes/work", again, methods=["POST"]),
    Route("/changes/keep", keep_it, methods=["POST"]),
]
