"""Straightening: the picture that known places make square, drawn beside the page.

While it is drawn anew, because a place was moved, the one before is looked at: picks are
kept in pixels of the picture as it came, so that either shows them where they belong.
"""

from __future__ import annotations

import hashlib
import shutil
import tempfile
import threading
import weakref
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.errors import FoldwrightError
from foldwright.files import replace_file
from foldwright.scans import (
    Board,
    Drawing,
    Drawings,
    Frame,
    Standing,
    board_of,
    stand,
    straight_picture,
)
from foldwright.web.drawings import FOR_GOOD, drawing_of
from foldwright.web.jobs import Job, Say, jobs_of

# Drawings whose straightened pictures are kept while the server runs, some 3 MB each.
_KEPT = 20


@dataclass(frozen=True)
class Straight:
    """A straightened picture that was asked for: where it lies and how, and the job it is of."""

    name: str
    frame: Frame
    board: Board
    path: Path
    job: str


@dataclass
class _Pictures:
    """Of one drawing: the picture that was asked for last, and the one that is there."""

    asked: Straight
    there: Straight | None = None

    def put(self) -> None:
        """What was asked for is there; the one before it is not looked at any more."""
        if self.there is not self.asked:
            self.drop()
            self.there = self.asked

    def drop(self) -> None:
        """Clear away what is there."""
        if self.there:
            self.there.path.unlink(missing_ok=True)


class Straights:
    """Straightened pictures of all drawings of a build, in a folder that ends with the server."""

    def __init__(self) -> None:
        self._folder = Path(tempfile.mkdtemp(prefix="foldwright-"))
        weakref.finalize(self, shutil.rmtree, self._folder, ignore_errors=True)
        self._lock = threading.Lock()
        self._kept: OrderedDict[str, _Pictures] = OrderedDict()
        self._count = 0

    def of(
        self, request: Request, drawing: Drawing, standing: Standing, *, again: bool = False
    ) -> tuple[Straight | None, Job | None]:
        """Picture that can be looked at now, and the job that draws the right one, if it is not.

        Parameters
        ----------
        request : Request
        drawing : Drawing
        standing : Standing
            By known places.
        again : bool
            Begin once more what was stopped.

        Raises
        ------
        OutOfDomain
            What lies round the known places cannot be straightened.
        """
        name, jobs = _frame_name(drawing), jobs_of(request)
        with self._lock:
            kept = self._kept.get(drawing.id)
            job = jobs.get(kept.asked.job) if kept else None
            if kept and job and job.state == "done":
                kept.put()
            there = kept.there if kept else None
            if there and there.name == name:
                return there, None
            stopped = again and job is not None and not job.is_going
            if kept is None or kept.asked.name != name or job is None or stopped:
                job = self._begun(request, drawing, standing, name)
            return there, job

    def picture(self, id: str, name: str) -> bytes | None:
        """Picture of a drawing in a frame; None if it is not there, or not any more."""
        with self._lock:
            kept = self._kept.get(id)
            there = kept.there if kept else None
        if there is None or there.name != name:
            return None
        try:
            return there.path.read_bytes()
        except FileNotFoundError:  # another was put in its place meanwhile
            return None

    def _begun(self, request: Request, drawing: Drawing, standing: Standing, name: str) -> Job:
        frame = standing.frame
        assert frame is not None  # it stands by known places
        places = [chosen.points[0] for chosen in drawing.of_kind("place")]
        board = board_of(frame, drawing.width, drawing.height, places)
        self._count += 1  # each has a file of its own: what is cleared away is never a newer one
        path = self._folder / f"{drawing.id}-{self._count}.jpg"
        job = jobs_of(request).start(
            f"straightening-{drawing.id}", straighten, drawing.id, frame, board, str(path)
        )
        before = self._kept.pop(drawing.id, None)
        asked = Straight(name, frame, board, path, job.id)
        self._kept[drawing.id] = _Pictures(asked, before.there if before else None)
        while len(self._kept) > _KEPT:
            self._kept.popitem(last=False)[1].drop()
        return job


def straights_of(request: Request) -> Straights:
    """Straightened pictures of the build that a request is about."""
    found: Straights = request.app.state.straights
    return found


def straighten(folder: Path, id: str, frame: Frame, board: Board, path: str, *, say: Say) -> None:
    """Draw the straightened picture of a drawing into a file; a job."""
    keeper = Drawings(folder)
    say(0, 0, "Straightening the picture")
    image = keeper.picture(keeper.get(id))
    made = straight_picture(
        image, frame, board, lambda rows, of: say(rows, of, "Straightening the picture")
    )
    replace_file(Path(path), made)


def again(request: Request) -> Response:
    """Straighten a drawing that was stopped on its way."""
    drawing = drawing_of(request)
    standing = stand(drawing)
    if standing.by != "places":
        raise FoldwrightError("This drawing is not straightened: pick four known places first.")
    straights_of(request).of(request, drawing, standing, again=True)
    return RedirectResponse(f"/drawings/{drawing.id}", status_code=303)


def picture(request: Request) -> Response:
    """Hand out the picture straightened by known places, named by the frame it is drawn in."""
    drawing = drawing_of(request)
    found = straights_of(request).picture(drawing.id, request.query_params.get("as", ""))
    if found is None:
        raise HTTPException(404, "There is no such picture. Load the drawing again.")
    return Response(found, media_type="image/jpeg", headers={"Cache-Control": FOR_GOOD})


def _frame_name(drawing: Drawing) -> str:
    known = [(p.points, p.given) for p in drawing.of_kind("place")]
    return hashlib.sha256(repr((known, drawing.picking, drawing.sure)).encode()).hexdigest()[:16]


ROUTES = [
    Route("/drawings/{id}/straight", picture, methods=["GET"]),
    Route("/drawings/{id}/straighten", again, methods=["POST"]),
]
