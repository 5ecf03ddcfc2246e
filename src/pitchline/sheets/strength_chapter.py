"""The chapter of the pack on strength: the sheet, its pictures, lists, and the frame for another program."""

from collections.abc import Iterator

from pitchline.kit.geometry.frames import Vec3
from pitchline.kit.naming import safe_name
from pitchline.sheets.chapter import Chapter, Document, PackFile
from pitchline.sheets.drawings import Drawn, Style
from pitchline.sheets.strength_sheet import model_drawn, split_drawn, strength_pages
from pitchline.sheets.strength_tables import stiffness_list, strength_lists
from pitchline.sheets.tables import Listing
from pitchline.solids.picture import eye_direction
from pitchline.solids.scene import eye_for
from pitchline.story import Solved
from pitchline.story_strength import EdgeStrength
from pitchline.strength.document import frame_text

SHEET = PackFile("strength.pdf", "Will it stand: movement, strength, bases and what it would take, to follow")


def strength_chapter(solved: Solved, style: Style) -> Chapter:
    """Everything the pack says about strength."""
    edges = tuple(edge for whole in solved.balustrades for edge in whole.strength)
    if not edges:
        return Chapter()
    modelled = tuple((edge, model_drawn(edge, _eye(edge), style)) for edge in edges)
    return Chapter(
        (Document(SHEET, "Strength", strength_pages(modelled, style)),),
        (*(drawn for _, drawn in modelled), *_bars(edges, style)),
        tuple(_lists(solved, edges, style)),
        tuple(frame_file(edge) for edge in edges),
    )


def _eye(edge: EdgeStrength) -> Vec3:
    """As the balustrade in space is seen: a single leg as its elevation, an edge that turns from its open side."""
    whole = edge.whole
    return eye_direction(whole.side) if len(whole.legs) == 1 else eye_for((whole,))


def _bars(edges: tuple[EdgeStrength, ...], style: Style) -> Iterator[Drawn]:
    for edge in edges:
        if edge.report is not None:
            yield split_drawn(edge, edge.report, style)


def _lists(solved: Solved, edges: tuple[EdgeStrength, ...], style: Style) -> Iterator[Listing]:
    if len(solved.balustrades) > 1:
        yield stiffness_list(edges)
    for edge in edges:
        yield from strength_lists(edge, style)


def frame_file(edge: EdgeStrength) -> tuple[PackFile, bytes]:
    """The frame of an edge with its loads as a document that any program can solve again."""
    file = PackFile(
        f"strength/{safe_name(edge.name)}.frame.json", f"The frame of design {edge.name} with all its loads"
    )
    return file, frame_text(edge.answer).encode()
