"""The child process in which the packing library runs.

Room: sheet. Run as a file, with a task as JSON on standard input; the answer
goes to standard output as one line. It imports nothing of Foldwright, so that
it starts at once, and a crash or a hang of the library ends with it.
"""

from __future__ import annotations

import json
import sys
from typing import Any


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
    # Anytime: the only way that both keeps to the limit and improves until then.
    settings = engine.OptimizeParameters()
    settings.verbosity_level = 0
    settings.messages_to_stdout = False
    settings.log_to_stderr = False
    settings.time_limit = task["seconds"]
    solution = engine.optimize(build.build(), settings).solution
    boards = []
    for position in range(solution.number_of_different_bins()):
        used = solution.bin(position)
        placed = [
            [item.item_type_id, item.bl_corner.x, item.bl_corner.y, item.angle]
            for item in used.items
        ]
        boards += [[used.bin_type_id, placed]] * used.copies
    return {"boards": boards}


if __name__ == "__main__":
    json.dump(solve(json.load(sys.stdin)), sys.stdout)
