"""How a solved job is made and fitted: what the workshop needs beside the drawings."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pitchline.making.settings import SawWork
from pitchline.making.settings_report import sawing_chapter
from pitchline.making.settings_work import saw_work
from pitchline.making.shop import Shop
from pitchline.parts.explode import grouped
from pitchline.story import Solved
from pitchline.story_cutting import NO_CUTTINGS, Cuttings


@dataclass(frozen=True, slots=True)
class Workshop:
    """What the making of a job adds to it: the shop it is made in; by the id of a design or wall rail, its work."""

    shop: Shop
    sawing: Mapping[str, SawWork]


def work_out(solved: Solved, cuttings: Cuttings = NO_CUTTINGS) -> Workshop:
    """How everything in a job is made with the shop of the job, cut as ``cuttings`` plan it."""
    shop = solved.job.shop
    groups = {whole.id: grouped(whole.parts) for whole in solved.balustrades}
    groups |= {rail.id: grouped(rail.parts) for rail in solved.wall_rails}
    return Workshop(shop=shop, sawing={name: saw_work(alike, shop) for name, alike in groups.items()})


def making_chapter(workshop: Workshop, name: str) -> dict[str, Any]:
    """Plain values for ``designs[].making`` of the result document: figures that designs can be compared by."""
    return {**sawing_chapter(workshop.sawing[name], workshop.shop)}
