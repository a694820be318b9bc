"""The build book and all that is drawn: draw it anew, see what lies there, and take it along.

Drawing is a job: all of it is worked out before the first file is written, and each file
is replaced in one step, so that stopping leaves nothing half-written.
"""

from __future__ import annotations

import re
import time
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.calibration import keep_printer
from foldwright.draw import paper_named
from foldwright.errors import OutputRefused
from foldwright.ledger import imported_in_words
from foldwright.make import make, open_build
from foldwright.outputs import KINDS, Drawn, Wish, drawn_from, drawn_in, kind_of, write_outputs
from foldwright.plan import parse_length
from foldwright.web.downloads import out_of
from foldwright.web.guard import UPLOAD_LIMITS
from foldwright.web.jobs import Say, jobs_of
from foldwright.web.pages import form_of, live_of, made_of, page

PAPERS = (("a4", "A4"), ("letter", "Letter"), ("a3", "A3"))
_OTHERS = "Others"
_FEW = 3  # of a kind; more are folded away
_REVISION = re.compile(r"-r(\d+)(?=\.\w+$)")


@dataclass(frozen=True)
class Output:
    """One file as the page lists it.

    `is_old` is drawn before the last change; `is_past` is of an earlier revision than another
    that lies there, and kept as it was.
    """

    name: str
    size: str
    when: str
    is_old: bool
    is_past: bool


@dataclass(frozen=True)
class Group:
    """Files of one kind.

    Attributes
    ----------
    heading, what : str
    outputs : tuple of Output
    is_long : bool
        There are so many that they are folded away; else they share one table.
    old : int
        How many were drawn before the last change.
    past : int
        How many are of an earlier revision.
    """

    heading: str
    what: str
    outputs: tuple[Output, ...]
    is_long: bool
    old: int
    past: int


def book(request: Request) -> Response:
    """List what is drawn."""
    state = live_of(request).refresh()
    made = made_of(request)
    trouble = ""
    files: tuple[Drawn, ...] = ()
    try:
        files = drawn_in(out_of(request))
    except OutputRefused as fault:
        trouble = str(fault)
    if out_of(request).is_symlink():
        trouble = (
            "The folder out is a link to another place, so nothing of it is handed out here. "
            "Take the drawings there, or replace the link by a folder."
        )
    now = drawn_from(made)
    groups = _groups(files, now)
    job = jobs_of(request).of("drawing")
    plans = paper_named(made.plan.paper)
    papers = [(value, name) for value, name in PAPERS if name != plans.name]
    return page(
        request,
        "book.html",
        state=state,
        groups=groups,
        trouble=trouble,
        count=len(files),
        old=sum(group.old for group in groups),
        past=sum(group.past for group in groups),
        total=_size(sum(file.size for file in files)),
        book=next((o for g in groups for o in g.outputs if o.name == "build-book.pdf"), None),
        job=job,
        papers=[("", f"{plans.name}, as the plan says"), *papers],
        printed=made.maker.printer,
        folder=str(out_of(request)),
        taken=_taken(request.query_params.get("taken", "")),
        most=UPLOAD_LIMITS["/book/import"] // (1024 * 1024),
    )


def _taken(told: str) -> str:
    """What came of taking in a file, as its address tells: added, there already, passed over."""
    numbers = told.split(".")
    if len(numbers) != 3 or not all(n.isascii() and n.isdigit() and len(n) < 9 for n in numbers):
        return ""
    added, already, passed_over = map(int, numbers)
    return imported_in_words(added, already, passed_over)


def begin(request: Request) -> Response:
    """Begin to draw."""
    paper = str(form_of(request).get("paper", ""))[:40]
    paper_named(paper or "a4")  # refused before anything begins
    jobs = jobs_of(request)
    going = jobs.of("drawing")
    if not (going and going.is_going):  # who is late on the button gets what has begun
        jobs.start("drawing", draw, paper, date.today().isoformat(), time.time_ns())
    return RedirectResponse("/book", status_code=303)


def printer(request: Request) -> Response:
    """Keep what the maker's printer makes of 100 mm."""
    form = form_of(request)
    across, up = (parse_length(str(form.get(name, ""))) for name in ("across", "up"))
    keep_printer(live_of(request).folder, across, up)
    live_of(request).refresh()
    return RedirectResponse("/book#printer", status_code=303)


def draw(folder: Path, paper: str, drawn_on: str, asked: int, *, say: Say) -> int:
    """Draw a build into its out folder, as `foldwright make` does; a job.

    `asked` tells one wish from the next: what is deleted by hand can be drawn once more.

    Returns
    -------
    int
        How many files that are.
    """
    plan, ledger = open_build(folder)
    with ledger:
        made = make(plan, ledger)
    wish = Wish(paper=paper, printed=made.maker.printer)
    return len(write_outputs(made, folder / "out", drawn_on, wish, say).names)


def _groups(files: tuple[Drawn, ...], now: str) -> list[Group]:
    by_kind: dict[str, list[Drawn]] = {}
    for file in files:
        kind = kind_of(file.name)
        by_kind.setdefault(kind.heading if kind else _OTHERS, []).append(file)
    order = [(kind.heading, kind.what) for kind in KINDS]
    order.append((_OTHERS, "from an older version, or of single parts"))
    past = _of_earlier_revisions(files, now)
    groups = []
    for heading, what in order:
        outputs = tuple(_output(file, now, past) for file in by_kind.get(heading, ()))
        if outputs:
            groups.append(
                Group(
                    heading,
                    f"{what[:1].upper()}{what[1:]}",
                    outputs,
                    len(outputs) > _FEW,
                    sum(output.is_old for output in outputs),
                    sum(output.is_past for output in outputs),
                )
            )
    return groups


def _of_earlier_revisions(files: tuple[Drawn, ...], now: str) -> set[str]:
    """Names of files that a later revision of the same took the place of."""
    latest: dict[str, int] = {}
    numbers = {file.name: int(found[1]) for file in files if (found := _REVISION.search(file.name))}
    for name, number in numbers.items():
        what = _REVISION.sub("", name)
        latest[what] = max(number, latest.get(what, 0))
    states = {file.name: file.state for file in files}
    return {
        name
        for name, number in numbers.items()
        if number < latest[_REVISION.sub("", name)] and states[name] != now
    }


def _output(file: Drawn, now: str, past: set[str]) -> Output:
    when = datetime.fromtimestamp(file.when)
    is_past = file.name in past
    is_old = file.state != now and not is_past
    return Output(file.name, _size(file.size), f"{when:%Y-%m-%d %H:%M}", is_old, is_past)


def _size(size: int) -> str:
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(1, round(size / 1e3))} kB"


ROUTES = [
    Route("/book", book),
    Route("/book/draw", begin, methods=["POST"]),
    Route("/book/printer", printer, methods=["POST"]),
]
