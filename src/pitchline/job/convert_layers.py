"""From the table of the layers to how they are cut, and what the table says against itself."""

from collections.abc import Iterator
from dataclasses import replace

from pitchline.job.faults import Slip
from pitchline.job.model_layers import LayersTable
from pitchline.job.positions import Path
from pitchline.making.routing import Holding, Routing, usual_routing

_OF_HOLDING = {"tab": Holding.TABS, "tab_height": Holding.TABS, "skin": Holding.SKIN}


def routing_of(table: LayersTable | None) -> Routing:
    """How the layers of a job are cut; as usual where nothing is said."""
    usual = usual_routing()
    if table is None:
        return usual
    told = {key: value for key in LayersTable.model_fields if (value := getattr(table, key)) is not None}
    if "hold" in told:
        told["holding"] = told.pop("hold")
    return replace(usual, **told)


def layers_slips(path: Path, table: LayersTable) -> Iterator[Slip]:
    """Sizes of a way of holding that is not used, and half a bore."""
    hold = table.hold or Holding.TABS
    for key, of in _OF_HOLDING.items():
        if getattr(table, key) is not None and hold is not of:
            problem = f'pieces are not held by {of.value}: hold is "{hold.value}"'
            yield Slip((*path, key), problem, getattr(table, key), remedy=f"leave {key} out")
    one, other = "newel_bore", "newel_bore_depth"
    for told, lacking in ((one, other), (other, one)):
        if getattr(table, told) is not None and getattr(table, lacking) is None:
            yield Slip((*path, told), f"{lacking} is not told beside it", remedy=f"tell {lacking} too")
