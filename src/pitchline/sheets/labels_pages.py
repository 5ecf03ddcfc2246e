"""The labels of the pieces on sheets of a grid: mark, place, arrow up, both ends, length, and a code. Paper mm."""

from collections.abc import Iterator, Sequence
from html import escape

from pitchline.kit.drawing.lettering import FONT_FAMILY, clean_text, open_face
from pitchline.kit.drawing.qr import qr_path
from pitchline.kit.drawing.sheet import PlainPage
from pitchline.kit.drawing.svg import Picture
from pitchline.making.labels import Label, LabelEnd
from pitchline.making.labels_sheet import LabelSheet
from pitchline.sheets.drawings import Style

INSET = 2.5
"""Left free at the edges of a label, so that printing a little off its place does no harm."""

CODE = 25.0
"""A code is no larger than this."""

ARROW = 5.0
"""Width of the strip with the arrow."""

INK, QUIET = "#1c1c1c", "#5c666c"


def label_pages(labels: Sequence[Label], sheet: LabelSheet, style: Style) -> Iterator[PlainPage]:
    """As many sheets as the labels need."""
    for number, first in enumerate(range(0, len(labels), sheet.count), start=1):
        some = labels[first : first + sheet.count]
        yield PlainPage(f"Labels {number}", _sheet(some, sheet, style), paper=sheet.paper)


def _sheet(labels: Sequence[Label], sheet: LabelSheet, style: Style) -> Picture:
    width, height = sheet.size
    body = [piece for number, label in enumerate(labels) for piece in _label(label, number, sheet, style)]
    lines = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}">',
        *body,
        "</svg>",
    )
    return Picture("\n".join(lines), width, height)


def _label(label: Label, number: int, sheet: LabelSheet, style: Style) -> Iterator[str]:
    x, y = sheet.corner(number)
    yield (
        f'<rect x="{x:.3f}" y="{y:.3f}" width="{sheet.width:.3f}" height="{sheet.height:.3f}" fill="none" '
        'stroke="#c9cdca" stroke-width="0.1"/>'
    )
    code = min(CODE, sheet.height - 2 * INSET - 3.0, 0.45 * sheet.width)
    code_x = x + sheet.width - INSET - code
    yield f'<path d="{qr_path(label.code, code_x, y + INSET, code)}" fill="{INK}"/>'
    left = x + INSET
    if label.up:
        yield from _arrow(left, y + INSET, sheet.height - 2 * INSET)
    left += ARROW
    yield from _words(label, (left, y), code_x - left - 1.0, sheet, style)
    foot = y + sheet.height - INSET
    yield _text(label.material, code_x + 1.0, foot, 1.5, code - 1.0, QUIET)


def _arrow(x: float, y: float, height: float) -> Iterator[str]:
    """An arrow that points up the label: stuck along a piece, it points to its upper end."""
    middle = x + 1.6
    yield (
        f'<path d="M{middle} {y + height:.3f}V{y + 2.5:.3f}M{middle - 1.5:.3f} {y + 3.4:.3f}L{middle} {y:.3f}'
        f'L{middle + 1.5:.3f} {y + 3.4:.3f}z" fill="{INK}" stroke="{INK}" stroke-width="0.5"/>'
    )


def _words(
    label: Label, corner: tuple[float, float], room: float, sheet: LabelSheet, style: Style
) -> Iterator[str]:
    x, top = corner
    y = top + INSET + 4.6
    yield _text(label.place, x, y, 4.4, room, INK)
    lines = [(f"{label.design}: {label.what}", INK), (label.where, QUIET)]
    length = style.list_show(label.size[0])
    width, thickness = (style.show(value) for value in label.size[1:])
    many = f"{label.quantity} off, up to " if label.quantity > 1 else ""
    lines.append((f"{many}{length} long point", INK))
    lines.append((f"{width} x {thickness}", INK))
    if label.ends:
        lines += [(_end_words(end), INK) for end in label.ends]
        lines.append((f"from square; up: {label.up}" if label.up else "from square; lies level", QUIET))
    step = min(3.6, (top + sheet.height - INSET - y) / len(lines))
    for words, ink in lines:
        y += step
        yield _text(words, x, y, min(2.0, 0.6 * step), room, ink)


def _end_words(end: LabelEnd) -> str:
    if end.cuts > 1:
        return f"{end.name}: {end.cuts} cuts, see its drawing"
    if abs(end.mitre_deg) < _ZERO and abs(end.bevel_deg) < _ZERO:
        return f"{end.name}: square"
    bevel = "" if abs(end.bevel_deg) < _ZERO else f" bevel {end.bevel_deg:+.1f}°"
    return f"{end.name}: mitre {end.mitre_deg:+.1f}°{bevel}"


_ZERO = 0.05
"""Degrees under which an angle is written as none."""


def _text(words: str, x: float, y: float, cap: float, room: float, ink: str) -> str:
    """A line of text, its capitals ``cap`` high, made smaller where it would not fit."""
    face = open_face()
    said = clean_text(words)
    wide = face.width(said, cap)
    high = cap if wide <= room else cap * room / wide
    size = high * face.units_per_em / face.cap_height
    return (
        f'<text x="{x:.3f}" y="{y:.3f}" font-family="{FONT_FAMILY}" font-size="{size:.3f}" fill="{ink}" '
        f'xml:space="preserve">{escape(said)}</text>'
    )
