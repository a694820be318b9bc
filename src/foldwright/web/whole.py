"""The first view: the whole build in one picture, and how things stand in words."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from foldwright.web.pages import page


def whole(request: Request) -> Response:
    """Show the build."""
    return page(request, "whole.html")


ROUTES = [Route("/", whole)]
