"""What the table of a workshop says against itself."""

from collections.abc import Iterator, Sequence

from pitchline.job.cross_names import repeated
from pitchline.job.faults import Slip
from pitchline.job.model_shop import RouterTable, SawTable, ShopTable
from pitchline.job.positions import Path


def shop_slips(path: Path, shop: ShopTable) -> Iterator[Slip]:
    """Empty lists, two saws of one name, a router that is and is not, a bed that is larger than its board."""
    for key in ("saws", "clamps", "drills"):
        if getattr(shop, key) == []:
            yield Slip((*path, key), "nothing is listed", allowed="one or more", remedy=f"leave {key} out")
    yield from _saws(path, shop.saws or ())
    if shop.router is not None:
        if shop.no_router:
            remedy = "leave one of the two out"
            yield Slip((*path, "no_router"), "a router is described all the same", True, remedy=remedy)
        yield from _router((*path, "router"), shop.router)


def _saws(path: Path, saws: Sequence[SawTable]) -> Iterator[Slip]:
    names = [((*path, "saws", number), saw.id or saw.kind.value) for number, saw in enumerate(saws)]
    yield from repeated("saw", names)


def _router(path: Path, router: RouterTable) -> Iterator[Slip]:
    if router.cutters == []:
        yield Slip((*path, "cutters"), "nothing is listed", allowed="one or more", remedy="leave cutters out")
    for side in ("length", "width"):
        bed, board = getattr(router, f"bed_{side}"), getattr(router, f"board_{side}")
        if bed is not None and board is not None and bed > board:
            problem = f"what it cuts in one go is larger than the largest board ({side})"
            yield Slip((*path, f"bed_{side}"), problem, bed, remedy="tell the smaller of the two as the bed")
