"""Pairing: which other devices may see the build, and how one is let in.

A code is shown on the maker's own screen and typed, or carried by a picture, on the
other device. It lets one device in, once, within a few minutes. Whoever guesses
uses it up: after some wrong tries it is void. Nothing of this outlives the server.
"""

from __future__ import annotations

import hmac
import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

# Letters and figures that nobody takes for one another, on a screen or in a hurry.
ALPHABET = "ACDEFGHJKLMNPQRTUVWXY34679"
_LENGTH = 8
CODE_SECONDS = 300.0
# One in 26^8 / 5 is hit by guessing before the code is void: 4e10.
_TRIES = 5
# A device that has not been seen for so long has to be paired anew [s].
_FORGOTTEN_AFTER = 14 * 24 * 3600.0


@dataclass(frozen=True)
class Code:
    """A code that lets one device in.

    Attributes
    ----------
    text : str
    until : float
        When it ends, on the clock of `Devices`.
    tries : int
        How many wrong ones were typed while it stood.
    """

    text: str
    until: float
    tries: int = 0

    @property
    def shown(self) -> str:
        """The code in two halves, as it is read aloud."""
        return f"{self.text[: _LENGTH // 2]}-{self.text[_LENGTH // 2 :]}"


@dataclass(frozen=True)
class Device:
    """A device that was let in.

    Attributes
    ----------
    id : str
        Names it on the page of devices; opens nothing.
    kind : str
        "phone", "tablet" or "computer", as far as it tells.
    address : str
        Where it was let in from.
    since, seen : float
        When it was let in, and last asked for anything.
    """

    id: str
    kind: str
    address: str
    since: float
    seen: float


class Devices:
    """Devices that were let in, and the code that would let in the next.

    Parameters
    ----------
    clock : callable
        Seconds since the epoch.
    """

    def __init__(self, clock: Callable[[], float] = time.time) -> None:
        self._clock = clock
        self._lock = threading.Lock()
        self._code: Code | None = None
        self._known: dict[str, Device] = {}

    def new_code(self) -> Code:
        """Make a code; one that was shown before is void."""
        text = "".join(secrets.choice(ALPHABET) for _ in range(_LENGTH))
        with self._lock:
            self._code = Code(text, self._clock() + CODE_SECONDS)
            return self._code

    @property
    def code(self) -> Code | None:
        """The code that would let a device in now."""
        with self._lock:
            return self._standing()

    def let_in(self, typed: str, session: str, *, kind: str, address: str) -> bool:
        """Let a session in if the code is right; the code is used up then."""
        plain = "".join(c for c in typed.upper() if c.isalnum())
        with self._lock:
            code = self._standing()
            # compared even where there is none, so that the time tells nothing
            right = hmac.compare_digest(plain.encode(), (code.text if code else "-").encode())
            if code is None:
                return False
            if not right:
                self._code = replace(code, tries=code.tries + 1)
                return False
            self._code = None
            now = self._clock()
            self._known[session] = Device(secrets.token_urlsafe(9), kind, address, now, now)
            return True

    def knows(self, session: str) -> bool:
        """Whether a session was let in; it has been seen now."""
        now = self._clock()
        with self._lock:
            device = self._known.get(session)
            if device is None:
                return False
            if now - device.seen > _FORGOTTEN_AFTER:
                del self._known[session]
                return False
            self._known[session] = replace(device, seen=now)
            return True

    def put_out(self, id: str) -> bool:
        """Let a device in no more; False if there is none of that id."""
        with self._lock:
            found = [session for session, device in self._known.items() if device.id == id]
            for session in found:
                del self._known[session]
            return bool(found)

    @property
    def all(self) -> tuple[Device, ...]:
        """Devices that are let in, the one seen last first."""
        with self._lock:
            return tuple(sorted(self._known.values(), key=lambda device: -device.seen))

    def _standing(self) -> Code | None:
        code = self._code
        if code and (code.tries >= _TRIES or self._clock() >= code.until):
            self._code = None
        return self._code
