"""What to cut: from faces to patterns, and the proof that they refold."""

from foldwright.flat.fold_sections import section_of_fold
from foldwright.flat.pattern import (
    Cone,
    Curved,
    Cutout,
    Fold,
    Mark,
    Panel,
    Path,
    Piece,
    Point,
    Seam,
    Step,
)
from foldwright.flat.patterns import CutLength, Pattern, forget_patterns, pattern_of
from foldwright.flat.patterns_json import patterns_from_json, patterns_to_json, schema
from foldwright.flat.refold import refolded

__all__ = [
    "Cone",
    "Curved",
    "CutLength",
    "Cutout",
    "Fold",
    "Mark",
    "Panel",
    "Path",
    "Pattern",
    "Piece",
    "Point",
    "Seam",
    "Step",
    "forget_patterns",
    "pattern_of",
    "patterns_from_json",
    "patterns_to_json",
    "refolded",
    "schema",
    "section_of_fold",
]
