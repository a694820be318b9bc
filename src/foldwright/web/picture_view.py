"""The picture of the whole build: drawn, kept, handed out, and the same in three dimensions.

A picture takes a quarter of a second, so it is kept as long as the build stands as it is.
"""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from foldwright.draw import Stand, scene_glb, stand_of, turned_svg
from foldwright.make import Made
from foldwright.web.by_key import ByKey
from foldwright.web.eye import Eye, eye_named
from foldwright.web.live import State
from foldwright.web.pages import live_of
from foldwright.web.stands import dangers_of, lines_of, shown_of, stands_by_now

_KEPT = 64


@dataclass(frozen=True)
class Drawn:
    """A picture for a page.

    Attributes
    ----------
    svg : str
        The ``<svg>`` element.
    eye : Eye
    stand : Stand
        Where the build stands in it, so that a scene can lie over it.
    made : str
        Names of the parts in ink, with spaces between.
    version : int
        Of the build that it shows.
    """

    svg: str
    eye: Eye
    stand: Stand
    made: str
    version: int


def drawn(state: State, made: Made, eye: Eye) -> Drawn:
    """Draw the build for one eye, with what is known of it by now; begins no forecasts.

    Parameters
    ----------
    state : State
    made : Made
        That of the state.
    eye : Eye
    """
    stands = stands_by_now(state)
    inked = tuple(name for name in made.parts if made.is_made(name))
    pictures = state.once("pictures", lambda made: ByKey[str](_KEPT))
    svg = pictures.once(
        (eye, stands is not None),
        lambda: turned_svg(
            made.bodies,
            made.frames,
            eye.towards,
            frozenset(inked),
            shown_of(lines_of(made, stands)),
            dangers_of(stands, made),
            f"{made.plan.name}, seen {eye.words()}",
        ),
    )
    stand = state.once("stand", lambda made: stand_of(made.bodies, made.frames))
    return Drawn(svg, eye, stand, " ".join(inked), state.version)


def picture(request: Request) -> Response:
    """Answer with the picture alone, for one eye."""
    state = live_of(request).refresh()
    found = state.once("the build itself", lambda made: made)
    shown = drawn(state, found, eye_named(request, found))
    return Response(
        shown.svg,
        media_type="text/html; charset=utf-8",
        headers={"X-Version": str(state.version), "X-Eye": shown.eye.text},
    )


def scene(request: Request) -> Response:
    """Answer with the build in three dimensions, to be turned."""
    state = live_of(request).refresh()
    data = state.once("scene", lambda made: scene_glb(made.bodies, made.frames, with_rounds=True))
    return Response(data, media_type="model/gltf-binary")


ROUTES = [Route("/picture", picture), Route("/scene.glb", scene)]
