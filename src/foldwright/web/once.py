"""Once: what is sent again, because its answer was lost, is not done again.

A form carries a key in its hidden field ``once``. The first time the view acts; its
answer is kept in memory, and given again to whoever brings the key again. What is
written into the ledger takes the key along with it (`key_of`, `Ledger.once`), so that
it is written once even where another server answers by then.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable

from starlette.requests import Request
from starlette.responses import Response

from foldwright.web.pages import form_of

# Far more than any queue holds; an answer is a few hundred bytes, a redirect as a rule.
_MOST = 2000
_LONGEST_KEY = 100


class Answers:
    """Answers by key, the oldest forgotten first."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._answers: OrderedDict[str, Response] = OrderedDict()
        self._at_work: dict[str, threading.Lock] = {}

    def once(self, key: str, act: Callable[[], Response]) -> Response:
        """Act, or give the answer of the time before; two at once wait for each other.

        Parameters
        ----------
        key : str
            Without one it is acted every time.
        act : callable
            An answer of 400 or more is not kept: nothing was done, so it may be tried again.
        """
        if not key:
            return act()
        with self._lock:
            one_by_one = self._at_work.setdefault(key, threading.Lock())
        with one_by_one:
            with self._lock:
                kept = self._answers.get(key)
            if kept is not None:
                return kept
            try:
                answer = act()
                if answer.status_code < 400:
                    with self._lock:
                        self._answers[key] = answer
                        while len(self._answers) > _MOST:
                            self._answers.popitem(last=False)
                return answer
            finally:
                with self._lock:
                    self._at_work.pop(key, None)


def once(request: Request, act: Callable[[], Response]) -> Response:
    """Act on a form unless it was acted on before; by its field ``once``."""
    answers: Answers = request.app.state.answers
    return answers.once(key_of(request), act)


def key_of(request: Request) -> str:
    """Key that a form carries; empty if it has none."""
    return str(form_of(request).get("once", ""))[:_LONGEST_KEY]
