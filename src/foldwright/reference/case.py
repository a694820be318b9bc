"""Reference cases: a published number, and what it takes to work it out.

Room: reference. A *case* gives the inputs of a named *model* and the numbers
that a standard, handbook or textbook prints for them, each with a tolerance.
Each topic has a module here which says which of our functions a model is, and
what its inputs are called there; nothing is worked out in this room.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

# What a case gives, by name, the unit at the end of each: ``thickness_mm``.
type Given = Mapping[str, Any]
# What our functions say to that, by the names that the case expects.
type Model = Callable[[Given], Mapping[str, Any]]
