"""Free shapes of a need document: nested on what the sheets leave, told beside the plan of straight parts."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from pitchline.kit.cutting.need import SheetStock
from pitchline.kit.cutting.nests import NestOrder, NestPlan, Shape, check_nest
from pitchline.kit.cutting.nests_search import nest_shapes
from pitchline.kit.cutting.plan import CuttingPlan, Shortage
from pitchline.kit.tolerances import SAME_PART


@dataclass(frozen=True, slots=True)
class Wanted:
    """A shape with the sheet it is to be cut from."""

    shape: Shape
    thickness: float
    material: str


@dataclass(frozen=True, slots=True)
class Nested:
    """Nests of all thicknesses, each with the order it answers, and shapes for which there is no sheet."""

    orders: tuple[NestOrder, ...]
    plans: tuple[NestPlan, ...]
    shortages: tuple[Shortage, ...]

    @property
    def unplaced(self) -> tuple[Shortage, ...]:
        """Everything that found no place."""
        return self.shortages + tuple(one for plan in self.plans for one in plan.unplaced)

    @property
    def cost(self) -> float:
        """Of the sheets."""
        return sum(plan.cost for plan in self.plans)

    @property
    def lower_bound(self) -> float:
        """What the bare area costs at least."""
        return sum(plan.lower_bound for plan in self.plans)


@dataclass(frozen=True, slots=True)
class Router:
    """How shapes are cut: room between them for the tool, and room at the edges for clamps."""

    clearance: float
    margin: float


def nested(
    wanted: Sequence[Wanted],
    sheets: Sequence[SheetStock],
    router: Router,
    taken: CuttingPlan,
    seconds: float,
    seed: int,
) -> Nested:
    """The nests of all shapes; counted sheets that ``taken`` uses are not there for them any more."""
    used = Counter(sheet.stock for sheet in taken.sheets)
    left = [
        stock if stock.count is None else replace(stock, count=max(0, stock.count - used[stock.id]))
        for stock in sheets
    ]
    orders, shortages = _orders(wanted, [s for s in left if s.count != 0], router)
    plans = []
    for order in orders:
        plan = nest_shapes(order, seconds / len(orders), seed)
        faults = check_nest(order, plan)
        if faults:
            raise RuntimeError("a nest failed its own check: " + "; ".join(faults))
        plans.append(plan)
    return Nested(tuple(orders), tuple(plans), tuple(shortages))


def _orders(
    wanted: Iterable[Wanted], sheets: Sequence[SheetStock], router: Router
) -> tuple[list[NestOrder], list[Shortage]]:
    groups: dict[tuple[SheetStock, ...], list[Shape]] = {}
    shortages = []
    for one in wanted:
        fitting = tuple(
            stock
            for stock in sheets
            if stock.material == one.material and abs(stock.thickness - one.thickness) <= SAME_PART
        )
        if fitting:
            groups.setdefault(fitting, []).append(one.shape)
        else:
            why = f"there is no sheet of the thickness of {one.shape.id} and of its material left"
            shortages.append(Shortage(one.shape.id, one.shape.quantity, why))
    orders = [
        NestOrder(tuple(shapes), stocks, router.clearance, router.margin) for stocks, shapes in groups.items()
    ]
    return orders, shortages


def with_nests(document: dict[str, Any], nests: Nested) -> dict[str, Any]:
    """The answer document with the nests in it: their sheets, and their cost and bound in the sums."""
    unplaced = [{"part": one.part, "quantity": one.quantity, "why": one.why} for one in nests.unplaced]
    cost = document["cost"] + nests.cost
    bound = 0.0 if unplaced or document["unplaced"] else document["lower_bound"] + nests.lower_bound
    return {
        **document,
        "cost": cost,
        "lower_bound": bound,
        "gap": max(0.0, cost / bound - 1.0) if bound > 0.0 else 0.0,
        "nests": [
            {
                "stock": sheet.stock,
                "length": sheet.length,
                "width": sheet.width,
                "shapes": [
                    {"shape": one.shape, "angle_deg": one.angle_deg, "x": one.x, "y": one.y}
                    for one in sheet.shapes
                ],
            }
            for plan in nests.plans
            for sheet in plan.sheets
        ],
        "unplaced": document["unplaced"] + unplaced,
    }


def nest_lines(nests: Nested, size: Callable[[float], str]) -> Iterator[str]:
    """The nests in words; ``size`` writes a length."""
    number = 0
    for plan in nests.plans:
        for sheet in plan.sheets:
            number += 1
            whole = f"{size(sheet.length)} x {size(sheet.width)}"
            yield f"Nest {number}: {sheet.stock}, {whole}; {len(sheet.shapes)} shapes"
            for one in sheet.shapes:
                yield f"  {one.shape}: turned by {one.angle_deg:g} deg, from {size(one.x)}, {size(one.y)}"
