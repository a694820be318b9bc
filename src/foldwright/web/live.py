"""The build as it stands: read once, kept until plan or ledger change, told to all who look.

Any thread may ask for the state and act on the ledger. The files are the only
truth: what an editor or the command line writes is seen as soon as what the page
writes. While the plan has faults the last good build stays on view, and so it does
while the folder is away.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from foldwright.calibration import FILE as CALIBRATIONS
from foldwright.errors import Fault, FoldwrightError, PlanFaults, own_mistake
from foldwright.ledger import Ledger
from foldwright.make import LEDGER_FILE, PLAN_FILE, Made, make, open_build
from foldwright.web.by_key import ByKey

# What tells that a file changed: which it is, when it was written, and how long it is.
_Stamp = tuple[tuple[int, int, int], ...]
_NO_FILE = (0, 0, -1)
# How often the build is read again because its files changed while it was read.
_READ_AGAIN = 3


@dataclass(frozen=True)
class State:
    """A build at one moment.

    Attributes
    ----------
    version : int
        Grows by one with every change seen in plan or ledger.
    made : Made or None
        The last build that could be read; None if none could yet.
    faults : tuple of Fault
        What is wrong with the plan as it is written now; empty if nothing.
    trouble : str
        Why plan or ledger cannot be read at all; empty if they can.
    """

    version: int
    made: Made | None
    faults: tuple[Fault, ...] = ()
    trouble: str = ""
    _kept: ByKey[Any] = field(default_factory=ByKey, repr=False, compare=False)
    _past: threading.Event = field(default_factory=threading.Event, repr=False, compare=False)

    @property
    def is_past(self) -> bool:
        """Whether another build has taken the place of this one."""
        return self._past.is_set()

    def once[T](self, key: str, work: Callable[[Made], T]) -> T:
        """Work something out of the build once, however many browsers ask at a time.

        Parameters
        ----------
        key : str
            Names what is worked out, with all that it depends on beside the build.
        work : callable
            Gets the build; nothing is kept if it raises.
        """
        made = self.made
        if made is None:
            raise FoldwrightError(self.trouble or "The plan has faults to mend first.")
        found: T = self._kept.once(key, lambda: work(made))
        return found

    def found(self, key: str) -> Any:
        """What `once` has worked out under a key; None if nothing yet."""
        return self._kept.found(key)


class LiveBuild:
    """A build folder and what follows from it now.

    Parameters
    ----------
    folder : Path
        The build folder; it is read when it is first asked for.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self._lock = threading.RLock()
        self._stamp: _Stamp = ()
        self._state = State(0, None)
        self._listeners: list[Callable[[int], None]] = []

    @property
    def plan_path(self) -> Path:
        """The plan file."""
        return self.folder / PLAN_FILE

    @property
    def state(self) -> State:
        """The build as last read."""
        return self._state if self._stamp else self.refresh()

    def when_changed(self, tell: Callable[[int], None]) -> None:
        """Have a function called with every new version, in the thread that saw it."""
        self._listeners.append(tell)

    def refresh(self) -> State:
        """Read plan and ledger again if one of them changed; return what stands now.

        Of many threads that ask at once, one reads and the others wait for it.
        """
        if self._stamp and self._stamped() == self._stamp:
            return self._state
        with self._lock:
            stamp = self._stamped()
            if stamp == self._stamp:
                return self._state
            for _ in range(_READ_AGAIN):
                state = self._read()
                # opening a new ledger writes it, and an editor may write while we read
                before, stamp = stamp, self._stamped()
                if before == stamp:
                    break
            if state.made is not self._state.made:
                self._state._past.set()
            self._state, self._stamp = state, before
            for tell in self._listeners:
                tell(state.version)
            return state

    def act[T](self, act: Callable[[Made, Ledger], T]) -> T:
        """Do something to the ledger, as the build stands now.

        Parameters
        ----------
        act : callable
            Gets the build and its open ledger.

        Raises
        ------
        FoldwrightError
            Whatever `act` refuses, or the plan cannot be read now.
        """
        with self._lock:
            self._require_folder()
            plan, ledger = open_build(self.folder)
            with ledger:
                result = act(make(plan, ledger), ledger)
            self.refresh()
            return result

    def _read(self) -> State:
        """Read everything; where that cannot be, what was good before stays on view."""
        last = self._state
        version = last.version + 1
        try:
            self._require_folder()
            plan, ledger = open_build(self.folder)
            with ledger:
                made = make(plan, ledger)
                made.require()
        except PlanFaults as fault:
            return replace(last, version=version, faults=fault.faults, trouble="")
        except FoldwrightError as fault:
            return replace(last, version=version, faults=(), trouble=str(fault))
        except Exception as fault:  # our own mistake with this plan must not end the page
            return replace(last, version=version, faults=(), trouble=own_mistake(fault))
        return State(version, made)

    def _require_folder(self) -> None:
        if not self.folder.is_dir():
            raise FoldwrightError(
                f"The folder {self.folder} is gone. Put it back where it was; "
                "this page goes on by itself then."
            )

    def _stamped(self) -> _Stamp:
        """Times and lengths of the files that a build follows from."""
        log = f"{LEDGER_FILE}-wal"
        ours = (PLAN_FILE, LEDGER_FILE, log)
        # what the maker's strips and curls said lies beside the builds
        files = [*(self.folder / name for name in ours), self.folder.parent / CALIBRATIONS]
        found = []
        for file in files:
            try:
                stat = file.stat()
            except OSError:
                found.append(_NO_FILE)
                continue
            # whoever only reads the ledger has an empty log beside it for as long as that takes
            is_empty = file.name == log and not stat.st_size
            mark = (stat.st_ino, stat.st_mtime_ns, stat.st_size)
            found.append(_NO_FILE if is_empty else mark)
        return tuple(found)
