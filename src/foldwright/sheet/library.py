"""The packer that asks the packing library, in a child process.

Room: sheet. The library is written in C++ and rolls on from build to build: it
can crash, and it can run on past its limit. So it runs by itself (`engine`),
under a hard time limit; whatever goes wrong comes back as `trouble`. Ending
the caller (Ctrl-C) ends the child.
"""

from __future__ import annotations

import json
import math
import subprocess
import sys
from pathlib import Path

from foldwright.sheet.outlines import Ring
from foldwright.sheet.packing import PackedBoard, PackingResult, PackingTask, Placed

_GRACE = 5.0  # seconds past the limit, for start-up and a busy machine
_PATIENCE = 2.0  # times the time asked: then a search is cut off
_WIDTH = 40.0  # of the widest search, to the second: a dozen real blanks take about that long
_ENGINE = Path(__file__).with_name("engine.py")


def library_packer(task: PackingTask, *, command: tuple[str, ...] = ()) -> PackingResult:
    """Place items by the packing library; true shapes, windows used.

    Parameters
    ----------
    task : PackingTask
    command : tuple of str
        What to run instead of the engine (for tests of crash and hang).
    """
    # -P: the folder of the engine, with our own module names, stays off its path
    run = command or (sys.executable, "-P", str(_ENGINE))
    try:
        done = subprocess.run(
            run,
            input=_written(task),
            capture_output=True,
            text=True,
            timeout=_PATIENCE * task.seconds + _GRACE,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return PackingResult((), f"the packing library did not stop after {task.seconds:g} s")
    except OSError as error:
        return PackingResult((), f"the packing library cannot be started: {error}")
    if done.returncode != 0:
        last = (done.stderr.strip().splitlines() or [f"exit {done.returncode}"])[-1]
        return PackingResult((), f"the packing library failed: {last}")
    try:
        return _read(done.stdout, task)
    except (ValueError, KeyError, IndexError, TypeError) as error:
        return PackingResult((), f"the packing library answered nonsense: {error}")


def _written(task: PackingTask) -> str:
    return json.dumps(
        {
            "goal": task.goal,
            "trim": task.trim,
            "spacing": task.spacing,
            "seconds": task.seconds,
            "limit": _PATIENCE * task.seconds,
            "widths": _widths(_WIDTH * task.seconds),
            "boards": [
                {"outline": _simple(b.outline), "cost": b.cost, "count": b.count}
                for b in task.boards
            ],
            "items": [
                {
                    "outline": _simple(item.outline),
                    "windows": [_simple(w[::-1]) for w in item.windows],
                    "turns": [math.degrees(turn) for turn in item.turns],
                    "count": item.count,
                }
                for item in task.items
            ],
        }
    )


def _widths(widest: float) -> list[int]:
    """Widths of search to try in turn, each four times the one before: 2, 8, 32 and on."""
    widths = [2]
    while 4 * widths[-1] <= widest:
        widths.append(4 * widths[-1])
    return widths


def _simple(ring: Ring) -> list[tuple[float, float]]:
    """Ring without points that lie on each other, which the library takes ill."""
    kept: list[tuple[float, float]] = []
    for p in ring:
        if not kept or math.dist(p, kept[-1]) > 1e-6:
            kept.append(p)
    if len(kept) > 1 and math.dist(kept[0], kept[-1]) <= 1e-6:
        kept.pop()
    return kept


def _read(text: str, task: PackingTask) -> PackingResult:
    boards = []
    for board, placed in json.loads(text)["boards"]:
        spots = []
        for item, x, y, degrees in placed:
            turns = task.items[item].turns
            # back to the very turn that was allowed, not its trip through degrees
            turn = min(
                turns, key=lambda t: abs(math.remainder(t - math.radians(degrees), math.tau))
            )
            spots.append(Placed(int(item), float(x), float(y), turn))
        boards.append(PackedBoard(int(board), tuple(spots)))
    return PackingResult(tuple(boards))
