"""How a solved job is made and fitted: what the workshop needs beside the drawings."""

from dataclasses import dataclass
from typing import Any

from pitchline.making.shop import Shop
from pitchline.story import Solved
from pitchline.story_cutting import NO_CUTTINGS, Cuttings


@dataclass(frozen=True, slots=True)
class Workshop:
    """What the making of a job adds to it: the shop it is made in; by the id of a design or wall rail, its work."""

    shop: Shop


def work_out(solved: Solved, cuttings: Cuttings = NO_CUTTINGS) -> Workshop:
    """How everything in a job is made with the shop of the job, cut as ``cuttings`` plan it."""
    return Workshop(shop=solved.job.shop)


def making_chapter(workshop: Workshop, name: str) -> dict[str, Any]:
    """Plain values for ``designs[].making`` of the result document: figures that designs can be compared by."""
    return {}
