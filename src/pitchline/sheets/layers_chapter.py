"""The chapter of the router: a file for each layer and nested sheet, the pictures of both, stacks drawn apart, lists.

Every file is read back before it is handed on, and what it cuts is held against the piece.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from pitchline.kit.cutting.nests import NestedSheet
from pitchline.kit.drawing.sheet import CAPTION_HEIGHT, DrawingPage, Field, Page, drawing_field, place_in_rows
from pitchline.kit.naming import safe_name
from pitchline.making.layers_work import Routed
from pitchline.making.router import Layer
from pitchline.making.routing import Holding
from pitchline.sheets.arrange import GAP, View, in_rows
from pitchline.sheets.chapter import Chapter, Document, PackFile
from pitchline.sheets.drawings import Drawn, Style, fitted
from pitchline.sheets.layers_check import layer_faults
from pitchline.sheets.layers_files import layer_file, placed, sheet_file
from pitchline.sheets.layers_views import cut_words, layer_drawing, nest_drawing, stack_drawing
from pitchline.sheets.tables import Listing, Quantity

LAYERS = PackFile("layers.pdf", "Layers for the router: each to scale, stacks drawn apart, nests on sheets")


def layers_chapter(routed: Mapping[str, Routed], style: Style) -> Chapter:
    """What goes to the router of every design. RuntimeError if a file is not true to its piece: our fault."""
    return Chapter(
        documents=(Document(LAYERS, "Router", tuple(_pages(routed, style))),),
        listings=tuple(one for name, work in routed.items() for one in _listings(name, work, style)),
        files=tuple(file for name, work in routed.items() for file in _files(name, work)),
    )


def _files(name: str, routed: Routed) -> Iterator[tuple[PackFile, bytes]]:
    """The DXF files of a design, checked."""
    made: dict[tuple[str, bool], bytes] = {}
    for layer in routed.work.layers:
        made[layer.name, False] = layer_file(layer, routed.routing)
        if layer.under:
            made[layer.name, True] = layer_file(layer, routed.routing, under=True)
    faults = layer_faults(routed.work.layers, made)
    if faults:
        raise RuntimeError("router files are not true to their pieces: " + "; ".join(faults))
    folder = f"layers/{safe_name(name)}"
    known = {layer.name: layer for layer in routed.work.layers}
    for (own, under), data in made.items():
        layer = known[own]
        face = ", under face" if under else ""
        what = f"Layer {own} of {name}{face}: {layer.quantity} off, {layer.material}"
        yield PackFile(f"{folder}/{safe_name(own)}{'-under' if under else ''}.dxf", what), data
    for number, sheet in enumerate(_sheets(routed), start=1):
        pieces = placed(routed.work.layers, sheet)
        file = PackFile(
            f"{folder}/nest-{number:02d}.dxf", f"Nest {number} of {name}: a whole sheet, {sheet.stock}"
        )
        yield file, sheet_file(sheet, pieces, routed.routing)


def _sheets(routed: Routed) -> Iterator[NestedSheet]:
    for nest in routed.nests:
        yield from nest.plan.sheets


def _pages(routed: Mapping[str, Routed], style: Style) -> Iterator[Page]:
    for name, work in routed.items():
        notes = _notes(work, style)
        field = drawing_field(style.paper, landscape=True, notes=notes)
        yield from _stack_pages(name, work, field, notes, style)
        yield from _layer_pages(name, work, field, notes, style)
        yield from _nest_pages(name, work, style)


def _notes(routed: Routed, style: Style) -> tuple[str, ...]:
    routing, show = routed.routing, style.show
    held = {
        Holding.TABS: f"Thick red: tabs, {show(routing.tab)} long, {show(routing.tab_height)} left standing.",
        Holding.SKIN: f"Outlines leave a skin of {show(routing.skin)}: trim it with a bearing cutter or a knife.",
        Holding.NONE: "Nothing holds a piece when its outline is cut: a vacuum bed or screws must.",
    }
    cutters = sorted({layer.cutter for layer in routed.work.layers})
    materials = sorted({layer.material for layer in routed.work.layers})
    return (
        "As seen on the bed. Arrow: to the head of the stair or up. Chain line across: trim here when it is fitted.",
        f"Of {' and '.join(materials)}. Cutters: {', '.join(map(show, cutters))}. "
        f"Corners that wood goes into: {routing.corners.value}. "
        f"{held[routing.holding]}",
        "Calliper every sheet first. Bores and pockets before openings, openings before outlines. Ear and eye "
        "protection, dust extraction; never reach near a turning cutter.",
    )


def _stack_pages(
    name: str, routed: Routed, field: Field, notes: tuple[str, ...], style: Style
) -> Iterator[Page]:
    drawn = [
        fitted(
            partial(stack_drawing, stack, name, style.show),
            field.width,
            field.height - CAPTION_HEIGHT,
            style.scales,
        )
        for stack in routed.work.stacks
    ]
    yield from _in_rows(f"Router {name}: stacks", drawn, field, notes, style)


def _in_rows(
    title: str, drawn: Sequence[Drawn], field: Field, notes: tuple[str, ...], style: Style
) -> Iterator[Page]:
    left = [one.view for one in drawn]
    while left:
        count = next(count for count in range(len(left), 0, -1) if count == 1 or _fits(left[:count], field))
        yield DrawingPage(title, in_rows(tuple(left[:count]), field), notes, style.paper)
        left = left[count:]


def _fits(views: Sequence[View], field: Field) -> bool:
    try:
        place_in_rows(tuple(views), field, GAP)
    except ValueError:
        return False
    return True


LONG, MOST = 0.45, 2.0
"""A layer that would be longer than this share of a sheet's width at its scale stands in a column of its own; none is
drawn larger than 1 to this."""


def _layer_pages(
    name: str, routed: Routed, field: Field, notes: tuple[str, ...], style: Style
) -> Iterator[Page]:
    """Long layers each across the sheet, short ones side by side."""
    scales = tuple(scale for scale in style.scales if scale >= MOST)
    long = [layer for layer in routed.work.layers if _length(layer) > LONG * field.width * 5.0]
    short = [layer for layer in routed.work.layers if layer not in long]
    for title, some, width in (
        (f"Router {name}: long layers", long, field.width),
        (f"Router {name}: layers", short, LONG * field.width),
    ):
        room = field.height / 2.0 - CAPTION_HEIGHT
        drawn = [fitted(partial(layer_drawing, one, name, style.show), width, room, scales) for one in some]
        yield from _in_rows(title, drawn, field, notes, style)


def _length(layer: Layer) -> float:
    xs = [x for ring in layer.outline for x, _ in ring]
    return max(xs) - min(xs)


def _nest_pages(name: str, routed: Routed, style: Style) -> Iterator[Page]:
    notes = (
        "The lower left corner of the sheet is the origin, x along its length and grain. Trim or square the sheet "
        "there first.",
        "Every layer lies as it is drawn by itself; its file holds it alone, the nest's file the whole sheet.",
    )
    field = drawing_field(style.paper, landscape=True, notes=notes)
    for number, sheet in enumerate(_sheets(routed), start=1):
        pieces = placed(routed.work.layers, sheet)
        drawn = fitted(
            partial(nest_drawing, name, number, sheet, pieces, style.show),
            field.width,
            field.height - CAPTION_HEIGHT,
            tuple(sorted({*style.scales, BETWEEN})),
        )
        yield DrawingPage(f"Router {name}: nest {number}", in_rows((drawn.view,), field), notes, style.paper)


BETWEEN = 12.5
"""A scale between 1:10 and 1:20: large sheets just miss 1:10."""


def _listings(name: str, routed: Routed, style: Style) -> Iterator[Listing]:
    rows = tuple(
        (
            layer.name,
            Quantity(layer.quantity, "count"),
            layer.material,
            Quantity(layer.thickness),
            Quantity(_length(layer)),
            Quantity(_width(layer)),
            Quantity(layer.cutter),
            cut_words(layer, style.list_show),
            "; ".join(layer.remarks),
            ", ".join(layer.places),
        )
        for layer in routed.work.layers
    )
    if rows:
        yield Listing(
            f"{name}-layers",
            f"Layers for the router, {name}",
            ("Layer", "Off", "Material", "Thick", "Length", "Width", "Cutter", "Cut into it", "Then", "For"),
            rows,
            intro="Length and width are of the outline as it is cut, with what is left long for fitting.",
            wide=True,
        )
    if routed.work.left_out:
        yield Listing(
            f"{name}-not-routed",
            f"Pieces of board that the router does not cut, {name}",
            ("Mark", "Why"),
            routed.work.left_out,
        )
    unplaced = [one for nest in routed.nests for one in nest.plan.unplaced]
    if unplaced:
        short = tuple((one.part, Quantity(one.quantity, "count"), one.why) for one in unplaced)
        yield Listing(
            f"{name}-not-nested", f"Layers that find no sheet, {name}", ("Layer", "Off", "Why"), short
        )


def _width(layer: Layer) -> float:
    ys = [y for ring in layer.outline for _, y in ring]
    return max(ys) - min(ys)
