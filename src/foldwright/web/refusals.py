"""Refusals: whatever is not done is said in words, in one shape for scripts.

``{"error": {"kind", "message", ...}}`` when the browser asks for JSON, as on the command
line; else a page. Our own mistakes are written down in a file; nobody is shown a trace.
"""

from __future__ import annotations

from typing import Any

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from foldwright.errors import (
    DoubtfulReading,
    Fault,
    FoldwrightError,
    ImportFaults,
    PlanFaults,
    own_mistake,
)
from foldwright.web.pages import bare_page, page, wants_json

_KINDS = {
    400: "Unreadable",
    401: "NotPaired",
    403: "NotAllowed",
    404: "NoSuchPage",
    405: "NotSoAsked",
    408: "TooSlow",
    413: "TooLarge",
    421: "ForeignHost",
    429: "TooOften",
    500: "OwnMistake",
    503: "Busy",
}
_WORDS = {
    404: "There is no such sheet in this build.",
    405: "This address cannot be asked in that way.",
}
_HEADINGS = {
    421: "Not an address of this machine",
    401: "This device is not paired",
    403: "Nothing was done",
    404: "No such sheet",
    413: "Too large",
    500: "A mistake of ours",
}


def refusal(
    request: Request,
    status: int,
    words: str,
    *,
    kind: str = "",
    bare: bool = False,
    **more: Any,
) -> Response:
    """Say why something was not done.

    Parameters
    ----------
    request : Request
    status : int
    words : str
        What is wrong, and what to do about it.
    kind : str
        Short stable name for scripts; by the status if empty.
    bare : bool
        Show nothing of the build, not even its name: who asks may be anyone.
    **more
        What else the JSON says (``faults``), or the page (``sure``).
    """
    kind = kind or _KINDS.get(status, "Refused")
    if wants_json(request):
        faults = {"faults": more["faults"]} if "faults" in more else {}
        return JSONResponse({"error": {"kind": kind, "message": words, **faults}}, status)
    heading = _HEADINGS.get(status, "This cannot be done")
    if bare:
        return bare_page("refused_bare.html", status, heading=heading, words=words)
    return page(
        request,
        "refused.html",
        status,
        heading=more.get("heading", heading),
        words=words,
        faults=more.get("faults", ()),
        sure=more.get("sure"),
    )


def refused(request: Request, fault: Exception) -> Response:
    """Answer where a view would not do what it was asked, and said why."""
    if not isinstance(fault, FoldwrightError):
        raise fault
    kind = type(fault).__name__
    if isinstance(fault, DoubtfulReading):
        sure = _asked_again(request.state.form)
        words = f"{fault} Nothing is kept yet."
        return refusal(request, 422, words, kind=kind, sure=sure, heading="Is that right?")
    if isinstance(fault, PlanFaults | ImportFaults):
        faults = [vars(f) if isinstance(f, Fault) else f for f in fault.faults]
        count = "a fault" if len(faults) == 1 else f"{len(faults)} faults"
        words = (
            f"There is {count} to mend first."
            if len(faults) == 1
            else (f"There are {count} to mend first.")
        )
        return refusal(request, 422, words, kind=kind, faults=faults)
    return refusal(request, 422, str(fault), kind=kind)


def not_answered(request: Request, fault: Exception) -> Response:
    """Answer where no view could be asked: a wrong address, method, token, size."""
    if not isinstance(fault, HTTPException):
        raise fault
    default = HTTPException(fault.status_code).detail
    words = str(fault.detail) if fault.detail != default else ""
    words = words or _WORDS.get(fault.status_code, f"{default}.")
    response = refusal(request, fault.status_code, words)
    for name, value in (fault.headers or {}).items():
        response.headers[name] = value
    return response


def mistaken(request: Request, fault: Exception) -> Response:
    """Answer where we made a mistake; what happened is written in a file."""
    return refusal(request, 500, own_mistake(fault), bare=True)


def _asked_again(form: FormData) -> tuple[tuple[str, str], ...]:
    """Fields of the form that is asked back, to be sent as they were, and surely."""
    kept = [(k, str(v)) for k, v in form.multi_items() if k not in ("token", "sure", "once")]
    return (*kept, ("sure", "yes"))
