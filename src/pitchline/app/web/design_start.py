"""A plain design to begin with: square uprights in grooves between two new newels. Common practice, no source."""

from collections.abc import Mapping
from typing import Any

from pitchline.app.web.design_asked import Asked, Table, over, tables_in
from pitchline.app.web.design_ways import choices
from pitchline.kit.units import Unit


def plain_design(raw: Mapping[str, Any], unit: Unit) -> Table | None:
    """The tables of a first design for the first flight of a job; None for a job without one."""
    flights = tables_in(raw, "flights") or tables_in(raw, "levels")
    if not flights or "id" not in flights[0]:
        return None
    wood = {"material": "pine-european"}
    made: Table = {"id": "A", "title": "First design", "flight": flights[0]["id"], "side": "left"}
    made |= {"handrail": wood, "base_rail": wood, "infill": {"kind": "uprights"}}
    picks = (("handrail", "usual"), ("base_rail", "clear"), ("bottom", "new newel"), ("top", "new newel"))
    for group, key in (*picks, ("infill", "rectangular"), ("making", "grooved")):
        offered = choices(Asked({**raw, "designs": [made]}, 0, unit))[group]
        made = over(made, next(choice for choice in offered if choice.key == key).ways[0])
    return made
