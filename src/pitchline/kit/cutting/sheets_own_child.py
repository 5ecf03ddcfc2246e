"""Our own search in a process of its own, from another seed: the second core's share where no second engine has a
build. It is asked and answers as the second engine does (see `sheets_second`).
"""

import json
import sys
from typing import Any

from pitchline.kit.cutting.patterns import Pattern, Sort, Stock, Task, spots
from pitchline.kit.cutting.sheets_improve import search


def main() -> None:
    """Read the question, search, write the answer; any fault ends the process, which is all it costs."""
    sys.stdout.write("\n" + json.dumps(answer(json.loads(sys.stdin.readline()))) + "\n")


def answer(asked: dict[str, Any]) -> dict[str, Any]:
    """The sheets of the best plan and whether the clock cut the search short."""
    sorts = tuple(
        Sort((length, width), None if oriented else tuple(turned), demand)
        for (length, width, demand, oriented), turned in zip(asked["sorts"], asked["turned"], strict=True)
    )
    stocks = tuple(
        Stock(length, width, cost, count if count >= 0 else None)
        for length, width, cost, count in asked["stocks"]
    )
    task = Task(sorts, stocks, asked["stages"], asked["first"], asked["exact"])
    progress = search(task, asked["seconds"], asked["seed"])
    return {"sheets": [_sheet(task, pattern) for pattern in progress.cuts], "late": progress.effort.late}


def _sheet(task: Task, pattern: Pattern) -> dict[str, Any]:
    pieces = [
        [spot.sort, spot.x, spot.y, spot.turned] for spot in spots(task, pattern) if spot.sort is not None
    ]
    return {"stock": pattern.stock, "copies": 1, "pieces": pieces}


if __name__ == "__main__":
    main()
