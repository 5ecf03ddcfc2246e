"""The chapter of the workshop: saw settings and jigs, as sheets and as lists."""

from collections.abc import Iterator

from pitchline.kit.drawing.sheet import Page
from pitchline.sheets.chapter import Chapter, Document, PackFile
from pitchline.sheets.drawings import Style
from pitchline.sheets.making_jigs import jig_list, jig_pages
from pitchline.sheets.making_saws import compared_making, saw_list, saw_pages
from pitchline.sheets.tables import Listing
from pitchline.story import Solved
from pitchline.story_making import Workshop

MAKING = PackFile("making.pdf", "Saw settings in working order, how each piece lies, and the jigs to make")


def making_chapter(solved: Solved, workshop: Workshop, style: Style) -> Chapter:
    """The saw settings and the jigs of every design and wall rail."""
    return Chapter(
        documents=(Document(MAKING, "Making", tuple(_pages(solved, workshop, style))),),
        listings=tuple(_listings(solved, workshop)),
    )


def _pages(solved: Solved, workshop: Workshop, style: Style) -> Iterator[Page]:
    designs = {whole.id for whole in solved.balustrades}
    for name, work in workshop.sawing.items():
        what = "Design" if name in designs else "Wall rail"
        yield from saw_pages(name, what, work, workshop.shop, style)
        yield from jig_pages(name, what, workshop.jigs[name], style)


def _listings(solved: Solved, workshop: Workshop) -> Iterator[Listing]:
    designs = {whole.id: workshop.sawing[whole.id] for whole in solved.balustrades}
    if len(designs) > 1:
        yield compared_making(designs, workshop.shop)
    for name, work in workshop.sawing.items():
        if work.batches:
            yield saw_list(name, work)
        if workshop.jigs[name]:
            yield jig_list(name, workshop.jigs[name])
