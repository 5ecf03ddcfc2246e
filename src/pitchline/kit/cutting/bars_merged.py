"""Pieces that hardly differ taken as one sort: told longer for a plan that holds, shorter for a bound that holds.

A balustrade on an uneven stair has forty uprights of forty lengths within two millimetres. Taken as one they make a
small order, whose plan and bound are those of the whole one wherever the bars have that much to spare.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from pitchline.kit.cutting.bars_task import BarTask, Lie, Pattern, Sort

ALIKE = 0.005
"""Pieces whose lengths differ by less than this share are taken as one."""

WORTH_IT = 0.75
"""Merging is of use where it leaves less than this share of the sorts."""


@dataclass(frozen=True, slots=True)
class Merged:
    """The order with pieces told longer and shorter, and which sorts of the order each of theirs stands for."""

    longer: BarTask
    shorter: BarTask
    members: tuple[tuple[int, ...], ...]


def merged(task: BarTask) -> Merged | None:
    """The order with its like sorts taken as one; None where there are few such."""
    shapes: dict[tuple[tuple[int, int, bool, bool], ...], list[int]] = defaultdict(list)
    for sort in range(len(task.sorts)):
        shape = tuple((lie.left, lie.right, lie.turned, lie.over) for lie in task.lies if lie.sort == sort)
        shapes[shape].append(sort)
    members: list[tuple[int, ...]] = []
    for sorts in shapes.values():
        sorts.sort(key=lambda sort: (task.sorts[sort].length, sort))
        run: list[int] = []
        for sort in sorts:
            if run and task.sorts[sort].length > task.sorts[run[0]].length * (1.0 + ALIKE):
                members.append(tuple(run))
                run = []
            run.append(sort)
        members.append(tuple(run))
    if len(members) > WORTH_IT * len(task.sorts):
        return None
    return Merged(_told(task, members, longer=True), _told(task, members, longer=False), tuple(members))


def _told(task: BarTask, members: Iterable[tuple[int, ...]], *, longer: bool) -> BarTask:
    sorts: list[Sort] = []
    lies: list[Lie] = []
    for number, group in enumerate(members):
        model = group[-1] if longer else group[0]
        demand = sum(task.sorts[sort].demand for sort in group)
        sorts.append(replace(task.sorts[model], demand=demand))
        lies += [replace(lie, sort=number) for lie in task.lies if lie.sort == model]
    return replace(task, sorts=tuple(sorts), lies=tuple(lies))


def unmerged(task: BarTask, told: Merged, cuts: Iterable[Pattern]) -> tuple[Pattern, ...]:
    """A plan of the longer pieces as one of the order's own: longer ones first, as they come."""
    own = {(lie.sort, lie.left, lie.right, lie.turned, lie.over): i for i, lie in enumerate(task.lies)}
    waiting = [
        [sort for sort in reversed(group) for _ in range(task.sorts[sort].demand)] for group in told.members
    ]
    plan = []
    for pattern in cuts:
        lies = []
        for index in pattern.lies:
            lie = told.longer.lies[index]
            if waiting[lie.sort]:
                sort = waiting[lie.sort].pop(0)
                lies.append(own[sort, lie.left, lie.right, lie.turned, lie.over])
        if lies:
            plan.append(task.pattern(pattern.stock, lies))
    return tuple(plan)
