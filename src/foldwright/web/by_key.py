"""By key: what is worked out is kept, and worked out once, however many ask at a time."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable


class _Turn:
    """Who asks for one key: one works, the others wait; it is let go with the last of them."""

    def __init__(self) -> None:
        self.lock = threading.RLock()
        self.asking = 0


class ByKey[T]:
    """Things by key; from any thread.

    Parameters
    ----------
    most : int, optional
        So many are kept, and what was asked for least lately is dropped; all if not given.
    is_kept : callable
        Says of a thing whether it is kept; what is not is worked out by the next who asks.
    """

    def __init__(
        self, most: int | None = None, is_kept: Callable[[T], bool] = lambda thing: True
    ) -> None:
        self._most = most
        self._is_kept = is_kept
        self._lock = threading.Lock()
        self._kept: OrderedDict[Hashable, T] = OrderedDict()
        self._turns: dict[Hashable, _Turn] = {}

    def found(self, key: Hashable) -> T | None:
        """What is kept under a key; None if nothing is yet."""
        with self._lock:
            return self._kept.get(key)

    def once(self, key: Hashable, work: Callable[[], T]) -> T:
        """Return what is kept under a key, or work it out; nothing is kept if that raises."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
            turn = self._turns.setdefault(key, _Turn())
            turn.asking += 1
        try:
            with turn.lock:
                with self._lock:
                    if key in self._kept:
                        return self._kept[key]
                thing = work()
                if self._is_kept(thing):
                    with self._lock:
                        self._kept[key] = thing
                        while self._most is not None and len(self._kept) > self._most:
                            self._kept.popitem(last=False)
                return thing
        finally:
            with self._lock:
                turn.asking -= 1
                if not turn.asking:
                    del self._turns[key]
