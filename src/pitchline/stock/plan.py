"""The cutting plan of a design from a shop's rack, and others that were looked at beside it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

from pitchline.kit.cutting.bars_layout import settings
from pitchline.kit.cutting.fitting import Show, in_mm
from pitchline.kit.cutting.need import BarStock, Need, SheetStock
from pitchline.kit.cutting.orders import plan_need
from pitchline.kit.cutting.plan import CuttingPlan, Shortage
from pitchline.kit.cutting.report import Balance, Purchase, balance, purchases
from pitchline.kit.cutting.saw_cuts import saw_cuts
from pitchline.kit.tolerances import SAME_PART
from pitchline.parts.explode import Group
from pitchline.stock.rack import Habits, Rack
from pitchline.stock.wanted import need_of

MAIN_SHARE = 0.6
"""Share of the time for the plan with all that is allowed; the rest goes to narrower searches, which are quicker."""

Planner = Callable[[Need], CuttingPlan]


@dataclass(frozen=True, slots=True)
class Work:
    """What sawing a plan takes: settings of the angle, of a stop, cuts, pieces of stock to bring, minutes in all."""

    settings: int
    stops: int
    cuts: int
    pieces_of_stock: int
    minutes: float


@dataclass(frozen=True, slots=True)
class Cutting:
    """A plan with its need and the rack it is from."""

    need: Need
    plan: CuttingPlan
    rack: Rack

    @property
    def bought(self) -> tuple[Purchase, ...]:
        """What is used, offcuts from the rack among it, with the sizes it has in the rack."""
        own = {bar.stock.id: bar.stock for bar in self.rack.bars}
        flat = {sheet.stock.id: sheet.stock for sheet in self.rack.sheets}
        return tuple(
            Purchase(
                own[one.stock.id] if isinstance(one.stock, BarStock) else flat[one.stock.id], one.quantity
            )
            for one in purchases(self.need, self.plan)
        )

    @property
    def balance(self) -> Balance:
        """How the stock as it lies in the rack is divided: parts, rests to keep, and waste, planing among it."""
        planed = sum(one.volume for one in purchases(self.need, self.plan))
        rough = sum(one.volume for one in self.bought)
        share = balance(self.need, self.plan)
        return Balance(share.parts * planed / rough, share.kept) if rough else share

    @property
    def work(self) -> Work:
        """What sawing it takes."""
        return work_of(self.need, self.plan, self.rack.habits)


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another plan: what is different about it, its cost, and its minutes of sawing."""

    what: str
    cost: float
    minutes: float


def plan_parts(
    groups: Iterable[Group], rack: Rack, seconds: float = 2.0, seed: int = 0, show: Show = in_mm
) -> Cutting:
    """The plan for the parts of a design; ``show`` writes the lengths in what is told of shortages.

    Where sheets leave a gap to the bound, plans in two stages and of new stock only are tried too, and the cheapest
    is kept.
    """
    need = need_of(groups, rack)
    plan = plan_need(need, MAIN_SHARE * seconds if need.sheets else seconds, seed, show)
    if need.sheets and plan.gap > 0.0:
        for other in (_in_two_stages(need), _without_offcuts(need)):
            found = plan_need(other, (1.0 - MAIN_SHARE) / 2.0 * seconds, seed, show)
            if not found.unplaced and found.cost < plan.cost:
                plan = replace(found, lower_bound=min(plan.lower_bound, found.cost))
    return Cutting(
        need, replace(plan, unplaced=tuple(_in_rack(one, need, rack, show) for one in plan.unplaced)), rack
    )


def _in_rack(shortage: Shortage, need: Need, rack: Rack, show: Show) -> Shortage:
    """A shortage for want of any stock told with what the rack has of that material."""
    part = next(piece for piece in need.parts if piece.id == shortage.part)
    stocks: list[BarStock | SheetStock] = [
        *(bar.stock for bar in rack.bars),
        *(sheet.stock for sheet in rack.sheets),
    ]
    served: list[BarStock | SheetStock] = [*need.bars, *need.sheets]
    if any(
        stock.material == part.material and abs(stock.thickness - part.thickness) <= SAME_PART
        for stock in served
    ):
        return shortage
    same = [stock for stock in stocks if stock.material == part.material]
    have = sorted({(stock.width, stock.thickness) for stock in same})
    sizes = ", ".join(f"{show(width)} x {show(thickness)}" for width, thickness in have)
    there = f"of {part.material} it has {sizes}" if have else f"it has no {part.material} at all"
    size = f"{show(part.width)} x {show(part.thickness)}"
    return replace(shortage, why=f"{part.id} is {size} and the rack has nothing it can be cut from; {there}")


def work_of(need: Need, plan: CuttingPlan, habits: Habits) -> Work:
    """Settings, stops, cuts and minutes of a plan; a bar's cuts are counted once where neighbours share one."""
    angles = settings(plan.bars)
    lengths = {part.id: part.length for part in need.parts}
    row = [lengths[piece.part] for bar in plan.bars for piece in bar.pieces]
    stops = sum(1 for a, b in pairwise(row) if a != b) + (1 if row else 0)
    cuts = sum(_bar_cuts([piece.ends for piece in bar.pieces]) for bar in plan.bars)
    saw = need.saw
    offcuts = {stock.id for stock in need.sheets if stock.offcut}
    for sheet in plan.sheets:
        trim = 0.0 if sheet.stock in offcuts else saw.trim
        rows = saw_cuts(sheet, trim, saw) or ()
        cuts += len(rows) + (4 if trim else 0)
        stops += len({(cut.along, round(cut.at, 3)) for cut in rows})
    stock = len(plan.bars) + len(plan.sheets)
    minutes = angles * habits.setting_minutes + stops * habits.stop_minutes + cuts * habits.cut_minutes
    return Work(angles, stops, cuts, stock, minutes + stock * habits.piece_of_stock_minutes)


def _bar_cuts(ends: list[tuple[object, object]]) -> int:
    shared = sum(1 for (_, a), (b, _) in pairwise(ends) if a == b)
    return 2 * len(ends) - shared


def alternatives(cutting: Cutting, planner: Planner) -> tuple[Alternative, ...]:
    """Other ways to buy and cut the same parts that are cheaper or quicker to saw, cheapest first.

    New stock only; two stages on sheets where three are allowed; every kind of piece from bars of its own.
    """
    need = cutting.need
    offcuts = any(one.stock.offcut for one in purchases(need, cutting.plan))
    ways: list[tuple[str, Need | None]] = []
    if offcuts:
        ways.append(("new stock only", _without_offcuts(need)))
    if need.sheets and need.saw.stages == 3:
        ways.append(("sheets cut in two stages", _in_two_stages(need)))
    found = []
    for what, other in ways:
        if other is not None:
            plan = planner(other)
            if not plan.unplaced:
                found.append(Alternative(what, plan.cost, work_of(other, plan, cutting.rack.habits).minutes))
    apart = _each_apart(cutting, planner)
    if apart is not None:
        found.append(apart)
    own = work_of(need, cutting.plan, cutting.rack.habits).minutes
    better = [one for one in found if one.cost < cutting.plan.cost - 0.005 or one.minutes < own - 0.5]
    return tuple(sorted(better, key=lambda one: (one.cost, one.minutes, one.what)))


def _in_two_stages(need: Need) -> Need:
    return replace(need, saw=replace(need.saw, stages=2))


def _without_offcuts(need: Need) -> Need:
    return replace(
        need,
        sheets=tuple(stock for stock in need.sheets if not stock.offcut),
        bars=tuple(stock for stock in need.bars if not stock.offcut),
    )


def _each_apart(cutting: Cutting, planner: Planner) -> Alternative | None:
    """Every kind of piece for bars from bars of its own: more stock perhaps, fewer settings."""
    need = _without_offcuts(cutting.need)
    if any(stock.count is not None for stock in need.bars) or not cutting.plan.bars:
        return None
    named = {piece.part for bar in cutting.plan.bars for piece in bar.pieces}
    kinds = [part for part in need.parts if part.id in named]
    if len(kinds) < 2:
        return None
    cost, minutes = 0.0, 0.0
    for part in kinds:
        alone = replace(need, parts=(part,), sheets=())
        plan = planner(alone)
        if plan.unplaced:
            return None
        cost += plan.cost
        minutes += work_of(alone, plan, cutting.rack.habits).minutes
    flat = replace(cutting.need, parts=tuple(part for part in need.parts if part.id not in named), bars=())
    if flat.parts:
        plan = planner(flat)
        cost, minutes = cost + plan.cost, minutes + work_of(flat, plan, cutting.rack.habits).minutes
    return Alternative("every kind of piece from bars of its own", cost, minutes)
