"""Once: what is sent again, because its answer was lost, is not done again.

A form carries a key in its hidden field ``once``. The first time the view acts; its
answer is kept in memory, and given again to whoever brings the key again. What is
written into the ledger takes the key along with it (`key_of`, `Ledger.once`), so that
it is written once even where another server answers by then.
"""

from __future__ import annotations

from collections.abc import Callable

from starlette.requests import Request
from starlette.responses import Response

from foldwright.web.by_key import ByKey
from foldwright.web.pages import form_of

# Far more than any queue holds; an answer is a few hundred bytes, a redirect as a rule.
_MOST = 2000
_LONGEST_KEY = 100


class Answers:
    """Answers by key, the oldest forgotten first."""

    def __init__(self) -> None:
        # 400 or more: nothing was done, so it may be tried again
        self._answers = ByKey[Response](_MOST, lambda answer: answer.status_code < 400)

    def once(self, key: str, act: Callable[[], Response]) -> Response:
        """Act, or give the answer of the time before; without a key it is acted every time."""
        return self._answers.once(key, act) if key else act()


def once(request: Request, act: Callable[[], Response]) -> Response:
    """Act on a form unless it was acted on before; by its field ``once``."""
    answers: Answers = request.app.state.answers
    return answers.once(key_of(request), act)


def key_of(request: Request) -> str:
    """Key that a form carries; empty if it has none."""
    return str(form_of(request).get("once", ""))[:_LONGEST_KEY]
