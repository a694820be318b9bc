"""The ready reckoner: sums done at the bench, each defined once."""

from foldwright.reckon.definition import Answer, Input, Line, Reckoned, Reckoner

__all__ = ["Answer", "Input", "Line", "Reckoned", "Reckoner"]
