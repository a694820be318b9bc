"""Calibrations: what belongs to the maker rather than to one build.

They lie in one file beside the builds, ``maker.json``, so that every build in
that folder uses them. So far it holds what the maker's printer makes of a
100 mm bar.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from foldwright.errors import OutOfDomain, OutputRefused
from foldwright.outputs import write_text

FILE = "maker.json"
_LEAST, _MOST = 95.0, 105.0  # mm; more is a page fitted to the paper, not a printer that is off


def read_printer(build: Path) -> tuple[float, float]:
    """What the maker's printer makes of 100 mm, across and up [mm]; 100 if nobody measured.

    Parameters
    ----------
    build : Path
        The build folder; the file lies beside it.

    Raises
    ------
    OutputRefused
        The file is not ours to read.
    """
    printer = _kept(_file(build)).get("printer", {})
    try:
        return float(printer["across"]), float(printer["up"])
    except (KeyError, TypeError, ValueError):
        return 100.0, 100.0


def keep_printer(build: Path, across: float, up: float) -> Path:
    """Keep what the bars of a printed page measured [mm]; every build beside this one uses it.

    Raises
    ------
    OutOfDomain
        A bar so far off that the page was fitted to the paper.
    OutputRefused
        The file cannot be written.
    """
    for name, measured in (("across", across), ("up", up)):
        if not _LEAST <= measured <= _MOST:
            raise OutOfDomain(
                f"a bar of {measured:g} mm is too far from 100 for a printer; {_LEAST:g} to "
                f"{_MOST:g} can be corrected. Print at actual size, not fitted to the page, and "
                "measure again.",
                name=name,
            )
    path = _file(build)
    kept = _kept(path) | {"printer": {"across": across, "up": up}}
    write_text(path, json.dumps(kept, indent=1) + "\n")
    return path


def _file(build: Path) -> Path:
    return build.resolve().parent / FILE


def _kept(path: Path) -> dict[str, Any]:
    if not path.exists():
        return {}
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
        if isinstance(found, dict):
            return found
    except (OSError, ValueError):
        pass
    raise OutputRefused(
        f"{path} is not a file of calibrations that Foldwright wrote. "
        "Move it away; the printer's bars can be measured again."
    )
