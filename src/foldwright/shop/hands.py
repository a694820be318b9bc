"""Hands: how far what is made strays from what was meant.

Room: shop. One standard deviation for each way that a dim comes about, used
wherever nothing has been measured yet. All are common practice, no source;
readings of the maker's own parts tell better.
"""

from __future__ import annotations

from types import MappingProxyType

SCATTER = MappingProxyType(
    {
        # [mm]; knife and rule, cut to a line
        "cut": 0.3,
        # [mm]; from fold to fold or fold to edge: the groove's place, the web's depth
        "fold": 0.5,
        # [mm]; on the girth of a drum once it is closed
        "curl": 1.0,
        # [mm]; what a supplier's drawing says of a thing that is bought
        "bought": 0.1,
    }
)
