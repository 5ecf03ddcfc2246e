"""The order of work of one design, from its pieces to a schedule: the steps sorted as they are done."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from pitchline.catalogue.finishes import DustLimit
from pitchline.making.cautions import CAUTIONS, Caution, dust_caution
from pitchline.making.order import Order, Remark, Step
from pitchline.making.order_entry import Way
from pitchline.making.order_schedule import Schedule, scheduled
from pitchline.making.order_work import Work
from pitchline.making.steps_bench import bench_steps
from pitchline.making.steps_infill import infill_steps
from pitchline.making.steps_stair import stair_steps


@dataclass(frozen=True, eq=False)
class Planned:
    """The order of one design, its schedule, and the cautions that its steps bear."""

    work: Work
    order: Order
    schedule: Schedule
    cautions: Mapping[str, Caution]

    @property
    def hours(self) -> float:
        """Hours of one person in all."""
        return self.order.minutes / 60.0


def plan_order(work: Work, limit: DustLimit) -> Planned:
    """Every step of a design in the order in which one person does them."""
    bench = tuple(bench_steps(work))
    steps = (*bench, *stair_steps(work, bench), *infill_steps(work))
    order = Order(work.design, steps, work.rooms.tools, tuple(_remarks(work, steps)))
    schedule = scheduled(order, work.shop.day_hours * 60.0, sum(one.count for one in work.shop.clamps))
    by_key = order.by_key
    order = replace(order, steps=tuple(by_key[slot.step] for slot in schedule.slots))
    cautions = {**CAUTIONS, "dust": dust_caution(work.parts, limit)}
    return Planned(work, order, schedule, cautions)


def _remarks(work: Work, steps: tuple[Step, ...]) -> Iterator[Remark]:
    for leg, entry in work.entries.items():
        if entry.way is Way.NEWEL_LAST and not entry.loose:
            text = (
                f"{leg}: {entry.why}. Both ends stand already: nothing can come last. Make the housings at one end "
                "so deep that each piece slides in and back, or end the pieces in fittings on the faces."
            )
            yield Remark("order.no-way-in", text)
    for step in steps:
        yield from (
            Remark("order.shop", f"{step.title}: {said}") for said in step.words if said.startswith(_SHORT)
        )


_SHORT = ("It wants ", "Spreading and clamping takes", "Glue on ")
"""How the sentences begin that say what the shop lacks."""
