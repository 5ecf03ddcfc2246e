"""A small table as a picture beside the views of a drawing sheet."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitchline.kit.drawing.lettering import open_face
from pitchline.kit.drawing.marks import LETTER_HEIGHT, Anchor, Drawing, Label, Mark, Pen, Stroke
from pitchline.kit.drawing.svg import Picture, write_svg

ROW = 4.6
"""Paper mm from one row to the next."""
GUTTER = 4.0
"""Paper mm between two columns."""
HEADING = 1.8
"""Height of the letters of the headings, paper mm."""


def list_picture(
    identity: str, headings: Sequence[str], rows: Sequence[Sequence[str]], *, words_first: int = 1
) -> Picture:
    """Headings and rows as a picture without a scale; all columns but the first ``words_first`` to the right."""
    marks = tuple(_marks(headings, rows, words_first))
    picture = write_svg(Drawing(identity, identity, 1.0, marks))
    return replace(picture, scale=None, extents=None)


def _marks(headings: Sequence[str], rows: Sequence[Sequence[str]], words_first: int) -> Iterator[Mark]:
    face = open_face()
    x = 0.0
    for column, heading in enumerate(headings):
        cells = [row[column] for row in rows]
        width = max([face.width(heading, HEADING), *(face.width(cell, LETTER_HEIGHT) for cell in cells)])
        left = column < words_first
        at, anchor = (x, Anchor.BASE_LEFT) if left else (x + width, Anchor.BASE_RIGHT)
        yield Label((at, 0.0), heading, HEADING, anchor)
        for number, cell in enumerate(cells, start=1):
            yield Label((at, -number * ROW - 0.6), cell, LETTER_HEIGHT, anchor)
        x += width + GUTTER
    right = x - GUTTER
    yield Stroke(((0.0, -1.3), (right, -1.3)), Pen.OUTLINE)
    yield Stroke(((0.0, -len(rows) * ROW - 2.0), (right, -len(rows) * ROW - 2.0)), Pen.THIN)
