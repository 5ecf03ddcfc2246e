"""Lists as pages: those that stand the same way share their sheets."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from pitchline.kit.drawing.sheet import Page, Section, Table, TextPage
from pitchline.kit.drawing.sheet import Side as Align
from pitchline.sheets.drawings import Style
from pitchline.sheets.tables import Cell, Listing, cell_text


def list_pages(listings: Sequence[Listing], style: Style) -> Iterator[Page]:
    """The lists in their order; those that follow each other and stand the same way share their sheets."""
    for wide, run in groupby(listings, key=_stands_wide):
        together = tuple(run)
        sections = tuple(
            Section(
                listing.title, (listing.intro,) if listing.intro else (), tables=(table_of(listing, style),)
            )
            for listing in together
        )
        yield TextPage(_shared_title(together), sections, style.list_paper, landscape=wide)


def _stands_wide(listing: Listing) -> bool:
    """Whether a list needs the sheet's long side."""
    return listing.wide or len(listing.headings) > NARROW


NARROW = 7
"""Columns up to which a list stands upright."""


def _shared_title(listings: Sequence[Listing]) -> str:
    """The first words of the lists that share their sheets."""
    words = dict.fromkeys(_first_words(listing.title) for listing in listings)
    return ", ".join(words)


def _first_words(title: str) -> str:
    for end in (" on ", ",", ".", " of "):
        title = title.split(end, maxsplit=1)[0]
    return title


def table_of(listing: Listing, style: Style) -> Table:
    """A list as it is typeset."""
    rows = tuple(tuple(_printed(cell, style) for cell in row) for row in listing.rows)
    align = tuple(_align(listing, column) for column in range(len(listing.headings)))
    return Table(listing.headings, rows, align=align, widths=listing.widths, accents=listing.accents)


def _printed(cell: Cell, style: Style) -> str:
    """A cell as it is printed: a number and its fraction stay on one line."""
    words = cell_text(cell, style.list_show)
    return words if isinstance(cell, str) else words.replace(" ", NO_BREAK)


NO_BREAK = "\u00a0"
"""The space at which no line ends."""


def _align(listing: Listing, column: int) -> Align:
    """Numbers to the right, words to the left."""
    return "left" if not listing.rows or isinstance(listing.rows[0][column], str) else "right"
