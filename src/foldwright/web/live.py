"""The build as it stands: read once, kept until plan or ledger change, told to all who look.

Any thread may ask for the state and act on the ledger. The files are the only
truth: what an editor or the command line writes is seen as soon as what the page
writes. While the plan has faults the last good build stays on view.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from foldwright.calibration import FILE as CALIBRATIONS
from foldwright.errors import Fault, FoldwrightError, PlanFaults
from foldwright.ledger import Ledger
from foldwright.make import LEDGER_FILE, PLAN_FILE, Made, make, open_build

# What tells that a file changed: when it was written, and how long it is.
_Stamp = tuple[tuple[int, int], ...]


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


class LiveBuild:
    """A build folder and what follows from it now.

    Parameters
    ----------
    folder : Path
        The build folder.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self._lock = threading.RLock()
        self._stamp: _Stamp = ()
        self._state = State(0, None)
        self.refresh()

    @property
    def plan_path(self) -> Path:
        """The plan file."""
        return self.folder / PLAN_FILE

    @property
    def state(self) -> State:
        """The build as last read."""
        return self._state

    def refresh(self) -> State:
        """Read plan and ledger again if one of them changed; return what stands now."""
        with self._lock:
            stamp = self._stamped()
            if stamp == self._stamp:
                return self._state
            before = self._state
            try:
                plan, ledger = open_build(self.folder)
                with ledger:
                    made = make(plan, ledger)
                    made.require()
            except PlanFaults as fault:
                self._state = State(before.version + 1, before.made, fault.faults)
            except FoldwrightError as fault:
                self._state = State(before.version + 1, before.made, (), str(fault))
            else:
                self._state = State(before.version + 1, made)
            self._stamp = self._stamped()  # opening a new ledger writes it
            return self._state

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
            plan, ledger = open_build(self.folder)
            with ledger:
                result = act(make(plan, ledger), ledger)
            self.refresh()
            return result

    def _stamped(self) -> _Stamp:
        """Times and lengths of the files that a build follows from."""
        ours = (PLAN_FILE, LEDGER_FILE, f"{LEDGER_FILE}-wal")
        # what the maker's strips and curls said lies beside the builds
        files = [*(self.folder / name for name in ours), self.folder.parent / CALIBRATIONS]
        found = []
        for file in files:
            try:
                stat = file.stat()
            except OSError:
                found.append((0, -1))
            else:
                found.append((stat.st_mtime_ns, stat.st_size))
        return tuple(found)
