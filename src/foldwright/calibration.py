"""Calibrations: what belongs to the maker rather than to one build.

They lie in one file beside the builds, ``maker.json``, so that every build in
that folder uses them: what the printer makes of a 100 mm bar, what folded test
strips said of a board, and what a test curl said of it. A board is known by its
material and thickness.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from foldwright.errors import OutOfDomain, OutputRefused
from foldwright.files import write_text
from foldwright.shop import CurlHabit, StripResult

FILE = "maker.json"
_LEAST, _MOST = 95.0, 105.0  # mm; more is a page fitted to the paper, not a printer that is off


@dataclass(frozen=True)
class Calibrations:
    """What the maker has found out.

    Attributes
    ----------
    printer : (float, float)
        What 100 mm come out as, across and up [mm].
    strips : Mapping of str to tuple of StripResult
        By board; see `board_key`.
    curls : Mapping of str to CurlHabit
        By board.
    """

    printer: tuple[float, float] = (100.0, 100.0)
    strips: Mapping[str, tuple[StripResult, ...]] = field(default_factory=dict)
    curls: Mapping[str, CurlHabit] = field(default_factory=dict)


def board_key(material: str, thickness: float) -> str:
    """Return what a board goes by in the file: ``acp-3-0.3 at 3 mm``."""
    return f"{material} at {thickness:g} mm"


def read_calibrations(build: Path) -> Calibrations:
    """Calibrations that lie beside a build folder; those of nobody if there are none.

    Raises
    ------
    OutputRefused
        The file is not ours to read.
    """
    path = _file(build)
    kept = _kept(path)
    try:
        printer = kept.get("printer", {"across": 100.0, "up": 100.0})
        return Calibrations(
            (_number(printer["across"]), _number(printer["up"])),
            {
                board: tuple(
                    StripResult(
                        str(s["method"]), _number(s["web"]), _number(s["k"]), _number(s["spread"])
                    )
                    for s in strips
                )
                for board, strips in kept.get("strips", {}).items()
            },
            {
                board: CurlHabit(_number(curl["factor"]), _number(curl["spread"]))
                for board, curl in kept.get("curls", {}).items()
            },
        )
    except (KeyError, TypeError, ValueError, AttributeError) as fault:
        raise _not_ours(path) from fault


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
    return _keep(build, "printer", {"across": across, "up": up})


def keep_strip(build: Path, board: str, result: StripResult) -> Path:
    """Keep what a test strip said, in place of an earlier one folded in the same way.

    Parameters
    ----------
    build : Path
    board : str
        See `board_key`.
    result : StripResult
    """
    strips = _kept(_file(build)).get("strips", {})
    others = [
        s for s in strips.get(board, []) if (s["method"], s["web"]) != (result.method, result.web)
    ]
    return _keep(build, "strips", strips | {board: [vars(result), *others]})


def keep_curl(build: Path, board: str, habit: CurlHabit) -> Path:
    """Keep what a test curl said of a board, in place of an earlier one."""
    curls = _kept(_file(build)).get("curls", {})
    return _keep(build, "curls", curls | {board: vars(habit)})


def forget_board(build: Path, board: str) -> bool:
    """Forget what strips and curls said of a board; False if there was nothing."""
    kept = _kept(_file(build))
    found = [name for name in ("strips", "curls") if board in kept.get(name, {})]
    for name in found:
        _keep(build, name, {b: v for b, v in kept[name].items() if b != board})
    return bool(found)


def _keep(build: Path, name: str, value: Any) -> Path:
    path = _file(build)
    write_text(path, json.dumps(_kept(path) | {name: value}, indent=1) + "\n")
    return path


def _file(build: Path) -> Path:
    return build.resolve().parent / FILE


def _number(value: Any) -> float:
    number = float(value)
    if not math.isfinite(number):
        raise ValueError(value)
    return number


def _kept(path: Path) -> dict[str, Any]:
    if not path.exists():
        return {}
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
        if isinstance(found, dict):
            return found
    except (OSError, ValueError):
        pass
    raise _not_ours(path)


def _not_ours(path: Path) -> OutputRefused:
    return OutputRefused(
        f"{path} is not a file of calibrations that Foldwright wrote. "
        "Move it away; bars, strips and curls can be measured again."
    )
