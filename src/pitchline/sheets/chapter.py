"""A chapter of the pack: the sheets, lists and files of one subject, beside the drawings every pack has."""

from dataclasses import dataclass

from pitchline.kit.drawing.sheet import Page
from pitchline.sheets.drawings import Drawn
from pitchline.sheets.tables import Listing


@dataclass(frozen=True, slots=True)
class PackFile:
    """A file of the pack and what it is for."""

    name: str
    what: str

    @property
    def kind(self) -> str:
        """The ending of its name, in capitals."""
        return self.name.rpartition(".")[2].upper()


@dataclass(frozen=True, slots=True)
class Document:
    """A PDF of its own: its file, the subject in its title block, its pages; nothing is written of no pages."""

    file: PackFile
    subject: str
    pages: tuple[Page, ...]


@dataclass(frozen=True, slots=True)
class Chapter:
    """What one subject adds to a pack.

    ``documents`` are typeset; ``drawn`` are written as SVG and DXF too; ``listings`` as CSV and in the workbook, and
    stand in ``lists.pdf`` where they are meant for paper; ``files`` as they are.
    """

    documents: tuple[Document, ...] = ()
    drawn: tuple[Drawn, ...] = ()
    listings: tuple[Listing, ...] = ()
    files: tuple[tuple[PackFile, bytes], ...] = ()
