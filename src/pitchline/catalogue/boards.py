"""Sheet goods: what a board is called, how thick it really is, and the usual sheets."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from pitchline.catalogue.load import (
    Fact,
    FactRange,
    Section,
    Source,
    chosen,
    data_text,
    parse,
    read_fact,
    read_range,
    read_sources,
)
from pitchline.catalogue.timber import list_timbers


@dataclass(frozen=True, slots=True)
class Board:
    """One board of the merchant: nominal thickness, the range really met, usual sheet length and width (mm)."""

    id: str
    name: str
    material: str
    nominal: Fact
    real: FactRange
    length: Fact
    width: Fact


def plywood_thickness_range(nominal: float) -> tuple[float, float]:
    """Least and greatest thickness (mm) allowed to sanded plywood of a nominal thickness (mm).

    EN 315 sanded panels: +(0.2 + 0.03 t) and -(0.4 + 0.03 t); second hand, through a mill's table.
    """
    return nominal - (0.4 + 0.03 * nominal), nominal + (0.2 + 0.03 * nominal)


def list_boards() -> tuple[str, ...]:
    """The ids of the boards, in the order of the file."""
    return tuple(_all_boards())


def load_board(board_id: str) -> Board:
    """A board by id; InputError naming the nearest for an unknown id."""
    return chosen("board", board_id, _all_boards())


@cache
def _all_boards() -> Mapping[str, Board]:
    return read_boards(data_text("boards.toml"), "the catalogue of boards")


def read_boards(text: str, name: str) -> Mapping[str, Board]:
    """The boards of a TOML text; InputError with every fault in it, told with the file's ``name``."""
    root = parse(text, name)
    sources = read_sources(root)
    boards = {key: _board(key, section, sources) for key, section in root.named("boards").items()}
    root.close()
    root.finish(name)
    return MappingProxyType(boards)


def _board(key: str, section: Section, sources: Mapping[str, Source]) -> Board:
    board = Board(
        key,
        section.text("name"),
        section.word("material", list_timbers()),
        read_fact(section.section("nominal"), "length", sources),
        read_range(section.section("real"), "length", sources),
        read_fact(section.section("length"), "length", sources),
        read_fact(section.section("width"), "length", sources),
    )
    section.close()
    return board
