"""Ink -> DXF: model space in real size (1 unit = 1 mm), layers named in plain words, true dimension entities.

A dimension entity carries its own picture (the same ink as everywhere else) and a dimension style of the same
sizes, so that a CAD program that redraws it comes to the same result.
"""

import io
import re
from collections.abc import Callable
from pathlib import Path
from threading import Lock
from typing import Any

from pitchline.kit.drawing.author import in_drawing_order, lay_out
from pitchline.kit.drawing.dimensioning import (
    ARROW,
    EXTENSION_GAP,
    OVERSHOOT,
    TEXT_GAP,
    dimension_axes,
    dimension_feet,
)
from pitchline.kit.drawing.ink import (
    Arc,
    Blot,
    Dot,
    Hatching,
    Ink,
    Inked,
    Line,
    Nib,
    Patch,
    RoundPatch,
    Writing,
)
from pitchline.kit.drawing.lettering import FONT_FILE, FONT_FOLDER, clean_text, open_face
from pitchline.kit.drawing.marks import LETTER_HEIGHT, AngleMark, Dimension, Drawing, Fill, Pen

LAYERS: dict[Pen, str] = {
    Pen.OUTLINE: "Visible edges",
    Pen.CUT: "Cut edges",
    Pen.THIN: "Thin lines",
    Pen.HIDDEN: "Hidden edges",
    Pen.CENTRE: "Centre lines",
    Pen.DIMENSION: "Dimensions",
    Pen.NOTE: "Notes",
    Pen.GHOST: "Surroundings",
    Pen.ACCENT: "Attention",
    Pen.ACCENT_NOTE: "Attention notes",
}
"""Layer of each pen."""
FILL_LAYER = "Tints"
HATCH_LAYER = "Hatching"
LETTERS = "Drawing letters"
DIMENSION_STYLE = "Workshop"

_LINE_TYPES = {Pen.HIDDEN: "Dashed edge", Pen.CENTRE: "Chain line"}
_ZERO_WIDTH = "\u200b"
_FIXED_DATES = Lock()
"""The DXF library has one switch for its dates; only one writer may hold it at a time."""


def write_dxf(drawing: Drawing, fonts: Path = FONT_FOLDER) -> bytes:
    """The drawing as a DXF file (release 2010, UTF-8); the same drawing gives the same bytes.

    OutputError if the letters, needed for measuring, are missing.
    """
    inked = lay_out(drawing, fonts)
    nib = Nib(drawing.scale, open_face(fonts))

    def fill(document: Any) -> None:
        _prepare(document, drawing)
        _fill(document, inked, nib)

    return dxf_bytes(fill)


def dxf_bytes(fill: Callable[[Any], None]) -> bytes:
    """An empty drawing in mm (release 2010, UTF-8) that ``fill`` has drawn in; the same drawing, the same bytes."""
    import ezdxf  # a heavy library that `check` must not load

    library: Any = ezdxf
    with _FIXED_DATES:
        before = library.options.write_fixed_meta_data_for_testing
        library.options.write_fixed_meta_data_for_testing = True
        try:
            document = library.new("R2010", units=4)
            fill(document)
            stream = io.StringIO(newline="")
            document.write(stream)
        finally:
            library.options.write_fixed_meta_data_for_testing = before
    return stream.getvalue().encode("utf-8", errors="replace")


def dxf_text(text: str) -> str:
    """A cleaned text as a TEXT entity must hold it to come out literally.

    Percent pairs, carets and the unicode escapes ``\\U+`` and ``\\M+`` are control codes of the format.
    """
    text = _guarded(text)
    if "%%" in text:
        text = text.replace("%", "%%%")
    return _carets(text)


def dxf_formatted(text: str) -> str:
    """A cleaned text as a formatted text (a dimension's own text) must hold it to come out literally."""
    text = _guarded(text).replace("%%", f"%{_ZERO_WIDTH}%").replace("%%", f"%{_ZERO_WIDTH}%")
    text = _carets(re.sub(r"([\\{}])", r"\\\1", text))
    text = text.replace("<>", f"<{_ZERO_WIDTH}>")
    return text if text.strip() else _ZERO_WIDTH


def _guarded(text: str) -> str:
    return re.sub(r"\\([UM])\+", rf"\\{_ZERO_WIDTH}\1+", clean_text(text))


def _carets(text: str) -> str:
    return text.replace("^", "^ ") + (_ZERO_WIDTH if text.endswith("^") else "")


def _prepare(document: Any, drawing: Drawing) -> None:
    """Layers, line types, letters and the dimension style, all in the sizes of this scale."""
    document.header["$MEASUREMENT"] = 1
    document.header["$LTSCALE"] = drawing.scale
    document.header["$LWDISPLAY"] = 1
    document.styles.add(LETTERS, font=FONT_FILE)
    for pen, name in _LINE_TYPES.items():
        dashes = pen.dashes_mm
        pattern = [sum(dashes), *(dash if index % 2 == 0 else -dash for index, dash in enumerate(dashes))]
        document.linetypes.add(name, pattern, description=name)
    for pen, name in LAYERS.items():
        colour = 1 if pen in {Pen.ACCENT, Pen.ACCENT_NOTE} else 7
        layer = document.layers.add(name, color=colour, linetype=_LINE_TYPES.get(pen, "Continuous"))
        layer.rgb = _rgb(pen.colour)
        layer.dxf.lineweight = round(100 * pen.weight_mm)
    for name in (FILL_LAYER, HATCH_LAYER):
        document.layers.add(name, color=8, linetype="Continuous").dxf.lineweight = 13
    _dimension_style(document, drawing.scale)


def _dimension_style(document: Any, scale: float) -> None:
    """The sizes are multiplied here and DIMSCALE stays 1: tolerance texts go wrong with any other value."""
    style = document.dimstyles.add(DIMENSION_STYLE)
    style.dxf.dimscale = 1.0
    style.dxf.dimtxt = LETTER_HEIGHT * scale
    style.dxf.dimasz = ARROW * scale
    style.dxf.dimexe = OVERSHOOT * scale
    style.dxf.dimexo = EXTENSION_GAP * scale
    style.dxf.dimgap = TEXT_GAP * scale
    style.dxf.dimtad = 1
    style.dxf.dimtih = 0
    style.dxf.dimtoh = 0
    style.dxf.dimdec = 1
    style.dxf.dimdsep = ord(".")
    style.dxf.dimzin = 8
    style.dxf.dimlwd = -1
    style.dxf.dimlwe = -1
    style.dxf.dimtxsty = LETTERS


def _rgb(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _fill(document: Any, inked: tuple[Inked, ...], nib: Nib) -> None:
    space = document.modelspace()
    plain = tuple(one for one in inked if not isinstance(one.mark, Dimension | AngleMark))
    for ink in in_drawing_order(plain):
        _add(space, ink)
    for one in inked:
        if isinstance(one.mark, Dimension):
            _add_dimension(document, one, _linear(space, one.mark, nib))
        elif isinstance(one.mark, AngleMark):
            _add_dimension(document, one, _angular(space, one.mark, nib))


def _add_dimension(document: Any, inked: Inked, entity: Any) -> None:
    """Gives a dimension entity its picture: an anonymous block of the same ink as everywhere else."""
    block = document.blocks.new_anonymous_block(type_char="D")
    for ink in inked.ink:
        _add(block, ink)
    writing = next(ink for ink in inked.ink if isinstance(ink, Writing))
    low, _, high, _ = writing.corners()
    entity.dxf.geometry = block.name
    entity.dxf.text_midpoint = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    entity.dxf.text = dxf_formatted(writing.text)
    entity.dxf.layer = LAYERS[writing.pen]


def _linear(space: Any, mark: Dimension, nib: Nib) -> Any:
    _, foot = dimension_feet(mark, nib)
    style = space.add_linear_dim(
        base=foot, p1=mark.a, p2=mark.b, angle=dimension_axes(mark), dimstyle=DIMENSION_STYLE
    )
    style.dimension.dxf.actual_measurement = style.dimension.get_measurement()
    return style.dimension


def _angular(space: Any, mark: AngleMark, nib: Nib) -> Any:
    sweep = (mark.to_deg - mark.from_deg) % 360.0
    arc = Arc(mark.centre, nib.model(mark.radius), mark.from_deg, sweep, mark.pen)
    style = space.add_angular_dim_3p(
        base=arc.at(mark.from_deg + sweep / 2),
        center=mark.centre,
        p1=arc.at(mark.from_deg),
        p2=arc.at(mark.to_deg),
        dimstyle=DIMENSION_STYLE,
    )
    style.dimension.dxf.actual_measurement = sweep
    return style.dimension


def _add(space: Any, ink: Ink) -> None:
    match ink:
        case Line():
            space.add_lwpolyline(ink.points, close=ink.closed, dxfattribs={"layer": LAYERS[ink.pen]})
        case Arc():
            _add_arc(space, ink)
        case Patch() | RoundPatch():
            _add_tint(space, ink)
        case Hatching():
            _add_hatching(space, ink)
        case Blot():
            first, second, third = ink.points
            space.add_solid([first, second, third, third], dxfattribs={"layer": LAYERS[ink.pen]})
        case Dot():
            hatch = space.add_hatch(color=256, dxfattribs={"layer": LAYERS[ink.pen]})
            hatch.paths.add_edge_path().add_arc(ink.centre, ink.radius, 0, 360)
        case Writing():
            _add_text(space, ink)


def _add_arc(space: Any, arc: Arc) -> None:
    attributes = {"layer": LAYERS[arc.pen]}
    if arc.sweep_deg >= 360.0:
        space.add_circle(arc.centre, arc.radius, dxfattribs=attributes)
    else:
        end = arc.start_deg + arc.sweep_deg
        space.add_arc(arc.centre, arc.radius, arc.start_deg % 360.0, end % 360.0, dxfattribs=attributes)


def _add_tint(space: Any, patch: Patch | RoundPatch) -> None:
    hatch = space.add_hatch(color=7, dxfattribs={"layer": FILL_LAYER})
    hatch.set_solid_fill(color=9, style=0, rgb=_rgb(Fill(patch.fill).colour))
    if isinstance(patch, RoundPatch):
        hatch.paths.add_edge_path().add_arc(patch.centre, patch.radius, 0, 360)
        return
    for index, ring in enumerate(patch.rings):
        hatch.paths.add_polyline_path(ring, is_closed=True, flags=1 if index == 0 else 16)


def _add_hatching(space: Any, hatching: Hatching) -> None:
    from ezdxf.math import Vec2  # a heavy library that `check` must not load

    hatch = space.add_hatch(color=256, dxfattribs={"layer": HATCH_LAYER})
    step = Vec2.from_deg_angle(hatching.angle_deg + 90.0, hatching.spacing)
    hatch.set_pattern_fill(
        "PARALLEL", style=0, pattern_type=0, definition=[[hatching.angle_deg, (0, 0), step, []]]
    )
    for index, ring in enumerate(hatching.rings):
        hatch.paths.add_polyline_path(ring, is_closed=True, flags=1 if index == 0 else 16)


def _add_text(space: Any, writing: Writing) -> None:
    from ezdxf.enums import TextEntityAlignment  # a heavy library that `check` must not load

    if not writing.text.strip():
        return
    upright = {"base": "", "middle": "MIDDLE_", "top": "TOP_"}[writing.anchor.upright]
    across = {"left": "LEFT", "centre": "CENTER", "right": "RIGHT"}[writing.anchor.across]
    attributes = {"layer": LAYERS[writing.pen], "style": LETTERS, "rotation": writing.angle_deg}
    entity = space.add_text(dxf_text(writing.text), height=writing.height, dxfattribs=attributes)
    entity.set_placement(writing.at, align=TextEntityAlignment[upright + across])
