"""The chapter of what is built so far: differences from the plan, pieces at hand and to make, and a drawing of it."""

from collections.abc import Iterator

from pitchline.kit.drawing.sheet import CAPTION_HEIGHT, DrawingPage, Page, Section, TextPage, drawing_field
from pitchline.making.fitting_differences import Pair
from pitchline.making.fitting_report import AsBuilt
from pitchline.sheets.arrange import in_rows
from pitchline.sheets.as_built_lists import built_lists
from pitchline.sheets.as_built_view import as_built_drawing
from pitchline.sheets.chapter import Chapter, Document, PackFile
from pitchline.sheets.drawings import Drawn, Sheet, Style, fitted
from pitchline.sheets.listpages import table_of
from pitchline.sheets.tables import findings_list
from pitchline.story import Solved, SolvedBalustrade

FILE = PackFile("as-built.pdf", "What stands beside what was planned, pieces used again, new lengths")

NOTES = (
    "Thin: as planned. Thick: as built; what was measured is red. Sizes written are true, whatever is drawn.",
    "Measure again after the next gate: what is fitted next is held to these sizes.",
)

CAUTIONS = (
    "Offer every piece up before it is cut or trimmed; a piece once cut short stays short.",
    "The checks judge the gaps as they stand now; an open edge keeps its temporary guard until all is fitted.",
    "A newel that moves when it is leant on is not fitted: mend its fixing before the rail is cut to it.",
)


def as_built_chapters(solved: Solved, style: Style) -> Iterator[Chapter]:
    """The chapter of the designs of which something was measured; nothing where none was."""
    pages: list[Page] = []
    chapter = Chapter()
    drawn: list[Drawn] = []
    for whole in solved.balustrades:
        if whole.as_built is not None:
            sheets = [_drawing(pair, whole.as_built, style) for pair in whole.as_built.legs]
            pages += [_report(whole, whole.as_built, style), *(sheet.page for sheet in sheets)]
            drawn += [one for sheet in sheets for one in sheet.drawn]
            listings = tuple(built_lists(whole.id, whole.as_built, whole.parts, style.list_show))
            chapter = Chapter(listings=(*chapter.listings, *listings))
    if pages:
        yield Chapter((Document(FILE, "As built", tuple(pages)),), tuple(drawn), chapter.listings)


def _report(whole: SolvedBalustrade, built: AsBuilt, style: Style) -> TextPage:
    """The lists of one design with what there is to say of it."""
    summary, *others = built.findings
    how = (
        "What was measured joins the readings of the survey, and all of them are adjusted together; what stands is "
        "held, and the rest is laid out again between. Places bear the numbers of the new layout."
    )
    sections = [
        Section("What was done", (summary.text, how)),
        *(
            Section(
                listing.title, (listing.intro,) if listing.intro else (), tables=(table_of(listing, style),)
            )
            for listing in built_lists(whole.id, built, whole.parts, style.list_show)
        ),
    ]
    if others:
        told = findings_list(f"{whole.id}-as-built-findings", "What to see to", others, style.list_show)
        sections.insert(1, Section(told.title, tables=(table_of(told, style),)))
    sections.append(Section("Cautions", points=CAUTIONS))
    return TextPage(
        f"Design {whole.id} after: {built.after}", tuple(sections), style.list_paper, landscape=True
    )


def _drawing(pair: Pair, built: AsBuilt, style: Style) -> Sheet:
    """One leg as planned and as built."""
    field = drawing_field(style.paper, landscape=True, notes=NOTES)
    design = pair[1]
    told = [one for one in built.differences if one.leg == design.id]
    drawn = fitted(
        lambda scale: as_built_drawing(pair, told, style.show, scale),
        field.width,
        field.height - CAPTION_HEIGHT,
        style.scales,
    )
    title = f"Design {design.id} as built"
    return Sheet(DrawingPage(title, in_rows((drawn.view,), field), NOTES, style.paper), (drawn,))
