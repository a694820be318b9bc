"""Faults of a plan that only later rooms find, gathered as its own faults are.

Room: plan. A part that cannot be made is refused by whoever makes it, with
the key that the maker would change. Copies of a part and its other hand are
written once, so what is wrong with all of them is said once, for the part as
it is written.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from foldwright.errors import CannotMake, Fault, PlanFaults
from foldwright.plan.reader import fault_at
from foldwright.plan.whole import Plan


class LaterFaults:
    """What later rooms found wrong with one plan so far."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.found: list[Fault] = []
        self._said: set[tuple[str, str]] = set()

    @contextmanager
    def of(self, key: str = "") -> Iterator[None]:
        """Note a refusal, and go on with what else there is to check.

        Parameters
        ----------
        key : str
            Where the fault stands, ``"meet.2"``; left out, where the refusal says.
        """
        try:
            yield
        except CannotMake as fault:
            self._note(fault, key)

    def stop(self) -> None:
        """Raise `PlanFaults` if anything was found."""
        if self.found:
            raise PlanFaults(self.found)

    def _note(self, fault: CannotMake, key: str) -> None:
        if not key:
            as_written = (self._written_as(fault.part), fault.field)
            if as_written in self._said:
                return
            self._said.add(as_written)
            key = f"part.{fault.part}.{fault.field}".rstrip(".")
        self.found.append(fault_at(self.plan, "cannot-make", key, fault.problem, fault.remedy))

    def _written_as(self, name: str) -> str:
        """Name of the table that a copy or the other hand of a part is read from."""
        part = self.plan.parts.get(name)
        while part is not None and part.mirror_of:
            name = part.mirror_of
            part = self.plan.parts.get(name)
        return part.family or name if part is not None else name
