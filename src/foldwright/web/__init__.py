"""The page: one app, served on the maker's own machine.

Room: web. Thin: it shows what the rooms below work out, and hands on what the
maker types. Pages are rendered here; scripts only make them livelier.
"""

from foldwright.web.app import page_of
from foldwright.web.live import LiveBuild

__all__ = ["LiveBuild", "page_of"]
