"""What a job is cut from: for each design the plan from the shop's rack, and other ways beside it."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from types import MappingProxyType

from pitchline.job.rack import load_rack
from pitchline.kit.cutting.orders import plan_need
from pitchline.kit.finding import Finding
from pitchline.kit.words import show_in
from pitchline.parts.explode import grouped
from pitchline.stock.chapter import cutting_findings
from pitchline.stock.plan import Alternative, Cutting, alternatives, plan_parts
from pitchline.story import Solved

PLAN_SECONDS = 1.0
"""How long a plan of one design may take in a pack; `pitchline take` and `pitchline cut` may be given longer."""

OTHER_SECONDS = 0.3
"""How long each other way may take: it is there to be compared with, not to be cut by."""


@dataclass(frozen=True, slots=True)
class PlannedCutting:
    """The plan of one design, and other ways to buy and cut the same parts."""

    cutting: Cutting
    others: tuple[Alternative, ...]
    findings: tuple[Finding, ...]


Cuttings = Mapping[str, PlannedCutting]
"""Plans by the id of their design or wall rail."""

NO_CUTTINGS: Cuttings = MappingProxyType({})
"""A job that names no rack."""


def plan_cuttings(solved: Solved, seconds: float = PLAN_SECONDS) -> Cuttings:
    """A plan for each design and wall rail of a job that names a rack. InputError for a rack that cannot be read."""
    job = solved.job
    if job.rack is None:
        return NO_CUTTINGS
    rack, show = load_rack(job.rack), show_in(job.unit)
    quick = partial(plan_need, seconds=OTHER_SECONDS, seed=0, show=show)
    wanted = {whole.id: whole.still_to_cut for whole in solved.balustrades}
    wanted |= {rail.id: rail.parts for rail in solved.wall_rails}
    planned = {}
    for name, parts in wanted.items():
        cutting = plan_parts(grouped(parts), rack, seconds, show=show)
        others = () if cutting.plan.unplaced else alternatives(cutting, quick)
        planned[name] = PlannedCutting(cutting, others, cutting_findings(name, cutting))
    return planned
