"""Woods, boards, usual sections and the workshop: complete, consistent and strict."""

import math

import pytest

from pitchline.catalogue.boards import list_boards, load_board, plywood_thickness_range, read_boards
from pitchline.catalogue.load import STATUSES
from pitchline.catalogue.sections import read_usual_parts, usual_part, usual_parts
from pitchline.catalogue.shop import load_shop, read_shop
from pitchline.catalogue.timber import list_timbers, load_timber, movement, read_timbers
from pitchline.kit.errors import InputError
from pitchline.kit.tolerances import HOLD_LENGTH


@pytest.mark.parametrize("timber_id", list_timbers())
def test_every_material_has_its_figures(timber_id: str) -> None:
    timber = load_timber(timber_id)
    assert timber.density.status in STATUSES and timber.density.source.title
    assert 300 < timber.density.value < 8000
    if timber.kind in {"softwood", "hardwood"}:
        assert timber.movement_radial is not None and timber.movement_tangential is not None
        assert 0 < timber.movement_radial.value < timber.movement_tangential.value < 0.005


def test_materials_that_a_job_names_by_default() -> None:
    assert load_timber("pine-european").kind == "softwood"
    assert load_timber("birch-plywood").kind == "plywood"
    strength = load_timber("pine-european").strength
    assert strength is not None and strength.name == "C16"


def test_unknown_material_names_the_nearest() -> None:
    with pytest.raises(InputError, match="did you mean pine-european"):
        load_timber("pine-europaen")
    with pytest.raises(InputError, match="did you mean birch-plywood-18"):
        load_board("birch-plywod-18")
    with pytest.raises(InputError, match="did you mean mitre-saw"):
        load_shop().tool("miter-saw")


def test_movement_of_a_newel() -> None:
    # A 90 mm red oak post, flatsawn, from 12 to 7 %: 90 x 0.00369 x 5 (Wood Handbook table 13-5).
    assert math.isclose(movement(load_timber("oak-red"), 90.0, -5.0), -90 * 0.00369 * 5)
    assert math.isclose(movement(load_timber("oak-red"), 90.0, -5.0, flatsawn=False), -90 * 0.00158 * 5)
    assert movement(load_timber("steel"), 90.0, -5.0) == 0.0


@pytest.mark.parametrize("board_id", list_boards())
def test_boards_are_what_they_say(board_id: str) -> None:
    board = load_board(board_id)
    assert board.real.low <= board.nominal.value <= board.real.high or board.material == "birch-plywood"
    assert board.length.value > board.width.value > 0
    load_timber(board.material)


def test_real_plywood_lies_within_the_standard() -> None:
    # EN 315 for sanded panels; the mill's sheet is printed to 0.1 mm. Its 30 mm board is thinner than that allows.
    for nominal in (9, 12, 15, 18, 21, 24):
        real = load_board(f"birch-plywood-{nominal}").real
        low, high = plywood_thickness_range(float(nominal))
        assert low - 0.05 <= real.low <= real.high <= high + 0.05
    for nominal in (12, 18, 24):
        spruce = load_board(f"spruce-plywood-{nominal}").real
        assert (spruce.low, spruce.high) == pytest.approx(plywood_thickness_range(float(nominal)))


def test_usual_parts() -> None:
    uk = usual_part("UK", "baluster")
    assert uk is not None
    side = uk.size("side")
    assert side is not None and side.values == (32.0, 35.0, 41.0, 55.0)
    assert uk.size("diameter") is None
    us = usual_part("US", "baluster")
    assert us is not None
    american = us.size("side")
    assert american is not None and american.values == (31.75, 38.1, 44.45)
    assert usual_part("US", "string") is None
    assert len({(part.place, part.kind) for part in usual_parts()}) == len(usual_parts())
    for part in usual_parts():
        assert part.sizes
        for series in part.sizes.values():
            assert list(series.values) == sorted(series.values)
            assert series.source.title and series.status in STATUSES


def test_the_workshop() -> None:
    shop = load_shop()
    assert shop.hold_by_hand.low == HOLD_LENGTH
    for tool in shop.tools.values():
        assert 0 < tool.kerf.low <= tool.kerf.high <= 6
    saw = shop.tool("mitre-saw")
    assert saw.mitre_deg is not None and saw.mitre_deg.value == 50.0
    assert shop.tool("pull-saw").bevel_deg is None
    assert shop.allowances["handrail"].low == 12.0
    assert shop.working["round-over"].high == 6.0


def test_strictness() -> None:
    sources = '[sources.s]\ntitle = "t"\nedition = "1"\nseen = "all"\n'
    with pytest.raises(InputError, match=r"timber\.x\.density"):
        read_timbers(sources + '[timber.x]\nname = "x"\nkind = "softwood"\n', "mine")
    with pytest.raises(InputError, match=r"timber\.x\.kind"):
        read_timbers('[timber.x]\nname = "x"\nkind = "wood"\n', "mine")
    with pytest.raises(InputError, match=r"boards\.x\.material"):
        read_boards('[boards.x]\nname = "x"\nmaterial = "pine"\n', "mine")
    with pytest.raises(InputError, match=r"parts\[0\]\.colour"):
        read_usual_parts('[[parts]]\nplace = "UK"\nkind = "newel"\ncolour = "red"\n', "mine")
    with pytest.raises(InputError, match=r"hold_by_hand"):
        read_shop(sources, "mine")
