"""The child process in which the packing library runs.

Room: sheet. Run as a file, with a task as JSON on standard input; the answer
goes to standard output as one line. It imports nothing of Foldwright, so that
it starts at once, and a crash or a hang of the library ends with it.
"""

from __future__ import annotations

import json
import sys
import time
from typing import Any

_SHARE = 0.4  # of the time, past which no wider search is begun


def solve(task: dict[str, Any]) -> dict[str, Any]:
    """Pack.

    Parameters
    ----------
    task : dict
        As `library` writes it: mm and degrees.

    Returns
    -------
    dict
        ``boards``: list of [board, [[item, x, y, degrees], ...]].
    """
    import packingsolver.irregular as engine

    def shape(ring: list[list[float]]) -> Any:
        # The library wants no point twice, and closes the ring itself.
        points = [engine.Point(x, y) for x, y in ring]
        line = engine.ShapeElementType.LineSegment
        return engine.Shape(
            [
                engine.ShapeElement(line, a, b)
                for a, b in zip(points, points[1:] + points[:1], strict=True)
            ]
        )

    goals = {
        "cheapest": engine.Objective.VariableSizedBinPacking,
        "most": engine.Objective.Knapsack,
        "compact": engine.Objective.BinPackingWithLeftovers,
    }
    build = engine.InstanceBuilder()
    build.set_objective(goals[task["goal"]])
    build.set_item_item_minimum_spacing(task["spacing"])
    if task["goal"] == "compact":
        build.set_leftover_mode(engine.LeftoverMode.Bottom)
    for board in task["boards"]:
        build.add_bin_type(
            shape(board["outline"]),
            cost=board["cost"],
            copies=board["count"],
            item_bin_minimum_spacing=task["trim"],
        )
    for item in task["items"]:
        whole = engine.ShapeWithHoles(shape(item["outline"]), [shape(w) for w in item["windows"]])
        build.add_item_type(
            [engine.ItemShape(whole)],
            allowed_rotations=[(turn, turn, False) for turn in item["turns"]],
            copies=item["count"],
        )
    instance = build.build()
    best = None
    start = time.monotonic()
    for width in task["widths"]:
        took = time.monotonic() - start
        if best is not None and took > _SHARE * task["seconds"]:
            break  # the next width takes about four times as long as the last
        left = max(task["limit"] - took, 0.1)
        found = engine.optimize(instance, _settings(engine, width, left)).solution
        if best is None or _rank(found) < _rank(best):
            best = found
    return {"boards": _boards(best)}


def _settings(engine: Any, width: int, seconds: float) -> Any:
    """One thread and a search of fixed width: the same answer however busy the machine is."""
    settings = engine.OptimizeParameters()
    settings.optimization_mode = engine.OptimizationMode.NotAnytimeSequential
    settings.use_tree_search = True
    settings.not_anytime_tree_search_queue_size = width
    settings.verbosity_level = 0
    settings.messages_to_stdout = False
    settings.log_to_stderr = False
    settings.time_limit = seconds
    return settings


def _rank(solution: Any) -> tuple[float, ...]:
    """How good a solution is, the least first: area placed, cost, what is left of the last."""
    left = solution.leftover_value_orig()
    return (-round(solution.item_area(), 3), round(solution.cost(), 9), -round(left, 3))


def _boards(solution: Any) -> list[Any]:
    boards: list[Any] = []
    for position in range(solution.number_of_different_bins()):
        used = solution.bin(position)
        placed = [
            [item.item_type_id, item.bl_corner.x, item.bl_corner.y, item.angle]
            for item in used.items
        ]
        boards += [[used.bin_type_id, placed]] * used.copies
    return boards


if __name__ == "__main__":
    json.dump(solve(json.load(sys.stdin)), sys.stdout)
