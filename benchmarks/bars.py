"""How close plans of bars come to what cannot be beaten, and how soon: ``python -m benchmarks.bars [--write]``.

Told are cost over proven bound, seconds of the processor, so that a busy machine tells the same, and the largest
memory of the process so far. Two orders are the invented
ones of the tests; the others are drawn at random from a fixed seed.
"""

import argparse
import json
import math
import random
import resource
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from pitchline.kit.cutting.bars import plan_bars
from pitchline.kit.cutting.checker import check_bars
from pitchline.kit.cutting.need import BarOrder, BarStock, End, Piece, Saw

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "benchmarks-bars.md"
SECONDS = 5.0
REACH = 1.01


def workshop(name: str) -> BarOrder:
    """An invented order of the tests' data."""
    data = json.loads((ROOT / "tests" / "data" / "cutting" / f"mitre_{name}.json").read_text("utf-8"))
    width = data["board_width_mm"]
    parts = []
    for row in data["parts"]:
        angles = (row["left_angle_deg"], row["right_angle_deg"])
        slant = sum(abs(math.tan(math.radians(angle))) for angle in angles)
        parts.append(
            Piece(
                row["name"],
                row["centre_length"] + width / 2.0 * slant,
                width,
                20.0,
                row["copies"],
                ends=(End(angles[0]), End(angles[1])),
                turn_over=row["moves"] == "any",
            )
        )
    stocks = tuple(
        BarStock(f"S{i}", s["length"], width, 20.0, s["price"], s["copies"], offcut=s["copies"] is not None)
        for i, s in enumerate(data["stock"])
    )
    return BarOrder(tuple(parts), stocks, Saw(data["kerf_mm"], data["end_trim_mm"]))


def drawn(seed: int, kinds: int, each: int, angles: tuple[float, ...]) -> BarOrder:
    """An order drawn at random: so many kinds of piece, so many of each, ends of these angles."""
    chance = random.Random(seed)
    parts = tuple(
        Piece(
            f"p{i}",
            round(chance.uniform(200.0, 1800.0), 1),
            40.0,
            20.0,
            each,
            ends=(End(chance.choice(angles)), End(chance.choice(angles))),
            turn_over=chance.random() < 0.5,
        )
        for i in range(kinds)
    )
    sizes = ((2400.0, 7.9), (3000.0, 9.6), (4200.0, 13.2))
    stocks = tuple(BarStock(f"{length:g}", length, 40.0, 20.0, price) for length, price in sizes)
    offcut = BarStock("offcut", 1100.0, 40.0, 20.0, 1.0, 3, offcut=True)
    return BarOrder(parts, (*stocks, offcut), Saw(3.0, 10.0))


def orders() -> Iterator[tuple[str, BarOrder]]:
    """What is planned."""
    yield "workshop M1: 131 balusters of two pitches", workshop("M1")
    yield "workshop M2: 110 boards of many mitres", workshop("M2")
    yield "150 square pieces, each of its own length", drawn(1, 150, 1, (0.0,))
    yield "120 pieces of 40 kinds, mitres of 0, 30, 45", drawn(2, 40, 3, (0.0, 30.0, 45.0, -45.0))
    yield "200 pieces, each its own, mitres of 0, 41.2", drawn(3, 200, 1, (0.0, 41.2, -41.2))
    yield "2000 pieces of 40 kinds", drawn(4, 40, 50, (0.0, 30.0, 45.0))


def table() -> str:
    """Cost over bound for every order."""
    lines = [
        "| order | cost | bound | cost / bound | of the reach | s | MB |",
        "|---|---:|---:|---:|---:|---:|---:|",
    ]
    for name, order in orders():
        begin = time.process_time()
        plan = plan_bars(order, SECONDS, clock=time.process_time)
        took = time.process_time() - begin
        faults = check_bars(order, plan)
        if faults:
            raise SystemExit(f"{name}: {faults}")
        ratio = plan.cost / plan.lower_bound
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        lines.append(
            f"| {name} | {plan.cost:.1f} | {plan.lower_bound:.1f} | {ratio:.4f} | "
            f"{(ratio - 1.0) / (REACH - 1.0):.2f} | {took:.1f} | {memory:.0f} |"
        )
    return "\n".join(lines)


def main() -> None:
    """Plan everything, print it, and keep it if asked."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.bars", description=__doc__)
    parser.add_argument("--write", action="store_true", help=f"keep the table in {PAGE.name}")
    wanted = parser.parse_args()
    told = table()
    print(told)
    if wanted.write:
        head = (
            "# How close plans of bars come\n\n"
            f"Written by `python -m benchmarks.bars --write`: {SECONDS:.0f} seconds of the processor for each "
            "order. The reach is a cost of at most one per cent above the proven bound; below 1 in that column is "
            "within reach.\n\n"
        )
        PAGE.write_text(f"{head}{told}\n", encoding="utf-8")
        sys.stderr.write(f"Wrote docs/{PAGE.name}\n")


if __name__ == "__main__":
    main()
