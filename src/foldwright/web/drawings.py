"""Drawings: the list of those that sizes are taken from, and where they are put away."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.errors import FoldwrightError, NoPicture, UnknownName
from foldwright.scans import MOST_BYTES, Drawing, Drawings, stand
from foldwright.scans.words import said_standing
from foldwright.web.pages import form_of, live_of, page

# What is picked on never changes, and a picture is named by its content.
FOR_GOOD = "private, max-age=31536000, immutable"


def drawings_of(request: Request) -> Drawings:
    """Drawings of the build that a request is about; one keeper, so that changes queue up."""
    found: Drawings = request.app.state.drawings
    return found


def drawing_of(request: Request) -> Drawing:
    """Drawing that an address names.

    Raises
    ------
    HTTPException
        404: there is none.
    FoldwrightError
        The folder of the build is gone.
    """
    try:
        return drawings_of(request).get(request.path_params["id"])
    except UnknownName as fault:
        folder = live_of(request).folder
        if not folder.is_dir():
            raise FoldwrightError(
                f"The folder {folder} is gone, and its drawings with it. Put it back where it was."
            ) from fault
        raise HTTPException(404, "There is no such drawing in this build.") from fault


def units_of(request: Request) -> str:
    """How lengths are shown in this build."""
    made = live_of(request).refresh().made
    return made.plan.units if made else "mm"


def drawings(request: Request) -> Response:
    """All drawings of the build."""
    units = units_of(request)
    stamp = drawings_of(request).stamp()  # before they are read: what changes meanwhile is noticed
    rows = []
    for each in drawings_of(request).all():
        said = said_standing(each, stand(each), units)[0] if isinstance(each, Drawing) else each.why
        rows.append({"drawing": each, "said": said, "is_whole": isinstance(each, Drawing)})
    return page(request, "drawings.html", rows=rows, stamp=stamp, most=MOST_BYTES // 1_000_000)


def small(request: Request) -> Response:
    """Hand out the picture of a drawing as small as a list shows it."""
    drawing = drawing_of(request)
    content = drawings_of(request).small(drawing)
    return Response(content, media_type="image/jpeg", headers={"Cache-Control": FOR_GOOD})


def put_away(request: Request) -> Response:
    """Take a drawing away with all its picks, once that is wanted surely."""
    drawing = drawing_of(request)
    if form_of(request).get("sure") != "yes":
        raise NoPicture(
            f"{drawing.name} is still here with its {len(drawing.picks)} picks. Tick that you "
            "want to lose them, then send it again."
        )
    drawings_of(request).put_away(drawing.id)
    return RedirectResponse("/drawings", status_code=303)


ROUTES = [
    Route("/drawings", drawings, methods=["GET"]),
    Route("/drawings/{id}/small", small, methods=["GET"]),
    Route("/drawings/{id}/away", put_away, methods=["POST"]),
]
