"""Renaming: a refusal of a function below, under the name that the maker typed.

Room: reckon. A function asks for the radius of a branch, a maker types its
diameter: the refusal has to point at what was typed.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from foldwright.errors import OutOfDomain


@contextmanager
def asked_as(**names: str) -> Iterator[None]:
    """Let refusals inside name an input: ``asked_as(radius="outside_d")``.

    Raises
    ------
    OutOfDomain
        As raised inside, with the name of the input.

    Examples
    --------
    >>> from foldwright.errors import OutOfDomain
    >>> try:
    ...     with asked_as(radius="outside_d"):
    ...         raise OutOfDomain("The radius is -1 mm.", name="radius")
    ... except OutOfDomain as fault:
    ...     print(fault.name)
    outside_d
    """
    try:
        yield
    except OutOfDomain as fault:
        raise OutOfDomain(str(fault), name=names.get(fault.name, fault.name)) from fault
