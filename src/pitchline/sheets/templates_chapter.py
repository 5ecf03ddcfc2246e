"""The chapter of full-size templates, on the paper of the workshop's printer."""

from pitchline.sheets.chapter import Chapter, Document, PackFile
from pitchline.sheets.drawings import Style
from pitchline.sheets.templates_pages import template_pages
from pitchline.story import Solved
from pitchline.story_making import Workshop

TEMPLATES = PackFile("templates.pdf", "Full-size templates of part ends and jigs, tiled; print at 100 %")


def templates_chapter(solved: Solved, workshop: Workshop, style: Style) -> Chapter:
    """The templates of every design and wall rail."""
    designs = {whole.id for whole in solved.balustrades}
    named = {
        f"{'Design' if name in designs else 'Wall rail'} {name}": found
        for name, found in workshop.templates.items()
    }
    pages = tuple(template_pages("Full-size templates", named, workshop.shop.printer, style))
    return Chapter(documents=(Document(TEMPLATES, "Full-size templates", pages),))
