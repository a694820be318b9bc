"""Other devices: the maker's page that shows a code, and the page where it is typed."""

from __future__ import annotations

import io
import time

import segno
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.web.guard import own_addresses
from foldwright.web.pages import bare_page, form_of, page
from foldwright.web.pairing import Devices

# A module of the picture is so many units of its own; the page sets how large it is shown.
_MODULE, _BORDER = 4, 4


def devices(request: Request) -> Response:
    """Show who is let in, and the code for the next; to the maker's own screen alone."""
    _require_local(request)
    known: Devices = request.app.state.devices
    code = known.code
    addresses = _addresses(request)
    return page(
        request,
        "devices.html",
        is_open=request.app.state.is_open,
        code=code,
        minutes=max(1, round((code.until - time.time()) / 60)) if code else 0,
        addresses=addresses,
        picture=_picture(f"{addresses[0]}pair#{code.text}") if code and addresses else "",
        devices=[(d, _ago(time.time() - d.seen)) for d in known.all],
    )


def new_code(request: Request) -> Response:
    """Make a code and show it."""
    _require_local(request)
    if not request.app.state.is_open:
        raise HTTPException(403, "Only this machine can reach the build as it is served now.")
    request.app.state.devices.new_code()
    return RedirectResponse("/devices", status_code=303)


def put_out(request: Request) -> Response:
    """Let a device in no more."""
    _require_local(request)
    if not request.app.state.devices.put_out(request.path_params["id"]):
        raise HTTPException(404, "There is no such device; it may be out already.")
    request.app.state.bell.devices()
    return RedirectResponse("/devices", status_code=303)


def pair(request: Request) -> Response:
    """Ask another device for the code."""
    return _pair_page(request, 200, "")


def let_in(request: Request) -> Response:
    """Let a device in, if its code is right."""
    known: Devices = request.app.state.devices
    right = known.let_in(
        str(form_of(request).get("code", "")),
        request.state.session,
        kind=_kind(request.headers.get("user-agent", "")),
        address=request.client.host if request.client else "",
    )
    if right:
        request.app.state.bell.devices()
        return RedirectResponse("/", status_code=303)
    words = (
        "That code does not let anyone in now. Look at the maker's screen: a code holds for "
        "five minutes, for one device, and is void after five wrong tries."
    )
    return _pair_page(request, 403, words)


def _pair_page(request: Request, status: int, words: str) -> Response:
    return bare_page("pair.html", status, token=request.state.token, words=words)


def _require_local(request: Request) -> None:
    if not request.state.is_local:
        raise HTTPException(403, "This sheet is shown on the maker's own screen only.")


def _addresses(request: Request) -> list[str]:
    """Addresses where other devices reach this server."""
    if not request.app.state.is_open:
        return []
    server = request.scope.get("server") or ("", 80)
    return [f"http://{address}:{server[1]}/" for address in own_addresses()]


def _picture(address: str) -> str:
    """Picture of an address, for a camera; coloured by the page's style."""
    out = io.BytesIO()
    segno.make(address, error="m").save(
        out,
        kind="svg",
        border=_BORDER,
        scale=_MODULE,
        xmldecl=False,
        svgns=False,
        svgclass="camera",
        lineclass="camera-dark",
        omitsize=True,
        dark="#17202E",
        nl=False,
    )
    return out.getvalue().decode()


def _kind(agent: str) -> str:
    """What a device is, as far as its browser tells."""
    if "Tablet" in agent:
        return "tablet"
    return "phone" if "Mobi" in agent else "computer"


def _ago(seconds: float) -> str:
    """How long ago, in words."""
    minutes = int(seconds // 60)
    if minutes < 1:
        return "just now"
    if minutes < 60:
        return "a minute ago" if minutes == 1 else f"{minutes} minutes ago"
    hours = minutes // 60
    if hours < 24:
        return "an hour ago" if hours == 1 else f"{hours} hours ago"
    return "a day ago" if hours < 48 else f"{hours // 24} days ago"


ROUTES = [
    Route("/devices", devices),
    Route("/devices/code", new_code, methods=["POST"]),
    Route("/devices/{id}/out", put_out, methods=["POST"]),
    Route("/pair", pair, methods=["GET"]),
    Route("/pair", let_in, methods=["POST"]),
]
