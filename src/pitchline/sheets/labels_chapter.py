"""The chapter of the labels: ``labels.pdf`` and the page of the parts that their codes lead to."""

from collections.abc import Iterator, Mapping

from pitchline.design.model import Design
from pitchline.making.labels import Label, labels_of
from pitchline.parts.explode import grouped
from pitchline.sheets.chapter import Chapter, Document, PackFile
from pitchline.sheets.drawings import Style
from pitchline.sheets.labels_pages import label_pages
from pitchline.sheets.parts_page import Headed, parts_page
from pitchline.solids.scene import Scene
from pitchline.story import Solved
from pitchline.story_making import Workshop

LABELS_FILE = PackFile(
    "labels.pdf", "A label for every piece: mark, place, up, both ends, a code; print at 100 %"
)
PARTS_FILE = PackFile("parts.html", "Every piece with its drawing, sizes, ends and steps")


def labels_chapter(solved: Solved, workshop: Workshop, placed: Mapping[str, Scene], style: Style) -> Chapter:
    """The labels of all designs and wall rails; ``placed`` has the pieces of each design where they go."""
    labels = list(all_labels(solved, placed))
    pages = tuple(label_pages(labels, solved.job.labels, style))
    page = parts_page(solved.job.title, style.inches, list(_headed(solved)), workshop.orders, style.show)
    return Chapter((Document(LABELS_FILE, "Labels", pages),), files=((PARTS_FILE, page.encode()),))


def all_labels(solved: Solved, placed: Mapping[str, Scene]) -> Iterator[Label]:
    """The labels of every design and wall rail; ``placed`` as for the chapter."""
    address = solved.job.pack_address
    for whole in solved.balustrades:
        where = {part.place: part for part in placed[whole.id].parts}
        legs = [
            (_name(whole.id, leg.design), [where[part.place] for part in leg.parts]) for leg in whole.legs
        ]
        yield from labels_of(whole.id, legs, address)
    for rail in solved.wall_rails:
        yield from labels_of(rail.id, [(rail.title, rail.parts)], address)


def _name(whole: str, design: Design) -> str:
    """The leg or bay as the design calls it; bays of one leg, and two sides of it, have names of their own."""
    return design.id.removeprefix(whole).strip() or design.leg


def _headed(solved: Solved) -> Iterator[Headed]:
    for whole in solved.balustrades:
        yield whole.id, f"Design {whole.id}: {whole.title}", grouped(whole.parts)
    for rail in solved.wall_rails:
        yield rail.id, f"Wall rail {rail.id}: {rail.title}", grouped(rail.parts)
