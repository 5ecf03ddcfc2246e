"""Plans of sheets against the best known: ``python -m benchmarks.sheets [--seconds S] [--data FOLDER] [NAME...]``.

For every instance: cost, ratio to the best known value, ratio to the bound proved by the same run, seconds. Published
instances with their sources are described beside the data; the workshop orders are invented. A folder of the same
form with further instances may be named.
"""

import argparse
import csv
import json
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from pitchline.kit.cutting.checker import check_sheets
from pitchline.kit.cutting.need import Piece, Saw, SheetOrder, SheetStock, Stages
from pitchline.kit.cutting.sheets import plan_sheets

DATA = Path(__file__).parents[1] / "tests" / "data" / "cutting"


@dataclass(frozen=True, slots=True)
class Case:
    """An order and the best value known for it."""

    name: str
    order: SheetOrder
    best: float


def cases(data: Path) -> Iterator[Case]:
    """The instances of a folder: published ones of two sets, oriented and turned, and invented orders."""
    for stages, table in ((2, "cintra2008-2nho"), (2, "cintra2008-2nhr"), (3, "bwmv-3nho"), (3, "bwmv-3nhr")):
        path = data / f"best-known-{table}.csv"
        for row in _rows(path) if path.exists() else ():
            name = row["Path"].split("/")[1]
            stem = data / table.split("-")[0] / name
            if stem.with_name(f"{name}_bins.csv").exists():
                order = _published(stem, 3 if stages == 3 else 2, turn=table.endswith("r"))
                yield Case(f"{name} {table[-1]}", order, float(row["Best known solution value"]))
    for path in sorted([*data.glob("sheet_*.json"), *data.glob("workshop/sheet_*.json")]):
        found = json.loads(path.read_text(encoding="utf-8"))
        yield Case(f"{path.stem} 2", _workshop(found, 2), found["results"]["2-stage"]["best_cost"])
        yield Case(f"{path.stem} 3", _workshop(found, 3), found["results"]["3-stage"]["best_cost"])


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _published(stem: Path, stages: Stages, *, turn: bool) -> SheetOrder:
    sheets = tuple(
        SheetStock(row["ID"], float(row["WIDTH"]), float(row["HEIGHT"]), 18.0, float(row.get("COST", "1")))
        for row in _rows(stem.with_name(f"{stem.name}_bins.csv"))
    )
    parts = tuple(
        Piece(
            row["ID"], float(row["WIDTH"]), float(row["HEIGHT"]), 18.0, int(row.get("COPIES", "1")), not turn
        )
        for row in _rows(stem.with_name(f"{stem.name}_items.csv"))
    )
    # the published values of the 2-stage set are for first cuts along the sheet's width as the files name it
    return SheetOrder(parts, sheets, Saw(0.0, 0.0, stages, "rip" if stages == 2 else "any"))


def _workshop(found: dict, stages: Stages) -> SheetOrder:  # type: ignore[type-arg]  # as JSON gives it
    return SheetOrder(
        tuple(
            Piece(row["name"], row["along_grain"], row["across"], 18.0, row["copies"], row["grain_locked"])
            for row in found["parts"]
        ),
        tuple(
            SheetStock(
                row["name"],
                row["length"],
                row["width"],
                18.0,
                row["price"],
                row["copies"],
                "offcut" in row["name"],
            )
            for row in found["stock"]
        ),
        Saw(found["kerf_mm"], found["edge_trim_mm"], stages),
    )


def main() -> None:
    """Run the instances whose names contain one of those given, all of them when none is."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=5.0)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--data", type=Path, default=DATA)
    parser.add_argument("names", nargs="*")
    asked = parser.parse_args()
    total, best = 0.0, 0.0
    for case in cases(asked.data):
        if asked.names and not any(name in case.name for name in asked.names):
            continue
        begin = time.perf_counter()
        plan = plan_sheets(case.order, asked.seconds, asked.seed)
        seconds = time.perf_counter() - begin
        faults = check_sheets(case.order, plan)
        ratio, gap = plan.cost / case.best, plan.cost / plan.lower_bound if plan.lower_bound else float("inf")
        total, best = total + ratio, best + 1.0
        print(
            f"{case.name:24s} cost {plan.cost:12.6g}  to best known {ratio:.4f}  to proven bound {gap:.4f}  "
            f"{seconds:5.1f} s  {plan.engine}{'  late' if plan.late else ''}{'  FAULTY' if faults else ''}",
            flush=True,
        )
    if best:
        print(f"mean ratio to the best known {total / best:.4f}")


if __name__ == "__main__":
    main()
