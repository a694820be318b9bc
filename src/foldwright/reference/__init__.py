"""Check values of published sources, run through the functions that answer a maker."""

from foldwright.reference.case import Given, Model

__all__ = ["Given", "Model"]
