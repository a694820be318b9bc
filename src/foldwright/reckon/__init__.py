"""The ready reckoner: sums done at the bench, each defined once."""

from foldwright.reckon.definition import Answer, Input, Line, Reckoned, Reckoner
from foldwright.reckon.reading import ReckonerFaults, figure_unit, figures_of, split_pairs
from foldwright.reckon.ready import RECKONERS, reckoner_named
from foldwright.reckon.sums import (
    as_json,
    asked,
    in_words,
    listing,
    page,
    reckon,
    shown,
    typed_in_words,
)

__all__ = [
    "RECKONERS",
    "Answer",
    "Input",
    "Line",
    "Reckoned",
    "Reckoner",
    "ReckonerFaults",
    "as_json",
    "asked",
    "figure_unit",
    "figures_of",
    "in_words",
    "listing",
    "page",
    "reckon",
    "reckoner_named",
    "shown",
    "split_pairs",
    "typed_in_words",
]
