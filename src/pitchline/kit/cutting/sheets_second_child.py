"""The process in which the second engine runs: a question on standard input, a plan on standard output, as JSON."""

import json
import sys
from importlib import import_module
from time import monotonic
from typing import Any

ROUNDS, QUEUE = 32, 64
"""Rounds of value correction and breadth of each: seconds for a workshop's order, and the same on every machine."""

OTHERS = (
    "use_tree_search",
    "use_sequential_single_knapsack",
    "use_dichotomic_search",
    "use_column_generation",
    "use_column_generation_strips",
)
"""Ways of the engine that are left out: they would take the time and end by the clock."""


def main() -> None:
    """Read the question, ask the engine, write the answer; any fault ends the process, which is all it costs."""
    asked = json.loads(sys.stdin.readline())
    begin = monotonic()
    sheets = solved(asked)
    answer = {"sheets": sheets, "late": monotonic() - begin >= asked["seconds"]}
    sys.stdout.write("\n" + json.dumps(answer) + "\n")


def solved(asked: dict[str, Any]) -> list[dict[str, Any]]:
    """Sheets with their pieces (sort, place along and across, turned); empty when not every piece was laid."""
    engine: Any = import_module("packingsolver.rectangleguillotine")
    output = engine.optimize(_instance(engine, asked), _parameters(engine, asked["seconds"]))
    solution = output.solution
    if not solution.full():
        return []
    return [_sheet(solution.bin(index), asked) for index in range(solution.number_of_different_bins())]


def _instance(engine: Any, asked: dict[str, Any]) -> Any:
    builder = engine.InstanceBuilder()
    builder.set_objective(engine.Objective.VariableSizedBinPacking)
    builder.set_number_of_stages(asked["stages"])
    builder.set_cut_type(engine.CutType.Exact if asked["exact"] else engine.CutType.NonExact)
    ways = engine.CutOrientation
    first = {"any": ways.Any, "rip": ways.Horizontal, "cross": ways.Vertical}[asked["first"]]
    builder.set_first_stage_orientation(first)
    pieces = sum(demand for _, _, demand, _ in asked["sorts"])
    for length, width, cost, count in asked["stocks"]:
        builder.add_bin_type(length, width, cost=cost, copies=count if count >= 0 else pieces)
    for length, width, demand, oriented in asked["sorts"]:
        builder.add_item_type(length, width, copies=demand, oriented=oriented)
    return builder.build()


def _parameters(engine: Any, seconds: float) -> Any:
    parameters = engine.OptimizeParameters()
    parameters.time_limit = seconds
    parameters.verbosity_level = 0
    parameters.messages_to_stdout = False
    parameters.optimization_mode = engine.OptimizationMode.NotAnytimeSequential
    for other in OTHERS:
        setattr(parameters, other, False)
    parameters.use_sequential_value_correction = True
    parameters.not_anytime_sequential_value_correction_number_of_iterations = ROUNDS
    parameters.sequential_value_correction_subproblem_tree_search_queue_size = QUEUE
    return parameters


def _sheet(filled: Any, asked: dict[str, Any]) -> dict[str, Any]:
    pieces = []
    for node in filled.nodes:
        if node.d > 0 and node.item_type_id >= 0:
            length, width = asked["sorts"][node.item_type_id][:2]
            turned = (node.r - node.l, node.t - node.b) != (length, width)
            pieces.append([node.item_type_id, node.l, node.b, turned])
    return {"stock": filled.bin_type_id, "copies": filled.copies, "pieces": pieces}


if __name__ == "__main__":
    main()
