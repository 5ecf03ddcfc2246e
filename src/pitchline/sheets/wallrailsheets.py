"""The sheets of a wall rail: the walls in elevation, the plan, and the tables of its brackets and joints."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from pitchline.design.wall_model import WallRail
from pitchline.kit.drawing.marks import Drawing
from pitchline.kit.drawing.sheet import CAPTION_HEIGHT, DrawingPage, drawing_field
from pitchline.parts.part import Part
from pitchline.parts.wallrail import bracket_marks
from pitchline.sheets.arrange import View, in_rows
from pitchline.sheets.drawings import Sheet, Style, fitted
from pitchline.sheets.listview import list_picture
from pitchline.sheets.wallrailview import datum_of, wall_elevation, wall_plan

ELEVATION_NOTES = (
    "Brackets are marked level along the wall from one datum: the first nosing, or the corner. Never step off.",
    "Heights are plumb, from the finished nosing or floor to the TOP of the rail.",
    "Height: of the middle of a plate over the lowest floor. Along: from the long point of the piece's lower end.",
    "Try every stud with a fine drill where a bracket goes; never hang a bracket on the lining alone.",
    "A design aid: check with your building authority; strength needs an engineer or a test.",
)

PLAN_NOTES = (
    "Mitre and bevel are read from square, each piece lying base down. Returns are mitred across the top.",
    "The rail's distance from the wall holds at its proudest place; pack the brackets where it is hollow.",
)


def wall_rail_sheets(rail: WallRail, parts: Sequence[Part], style: Style) -> Iterator[Sheet]:
    """The elevation with the table of brackets; then the plan with the table of mitres."""
    title = f"Wall rail {rail.id}: elevation"
    draw = partial(wall_elevation, rail, parts, style.show)
    yield _with_table(title, draw, bracket_table(rail, parts, style), ELEVATION_NOTES, style)
    title = f"Wall rail {rail.id}: plan"
    draw = partial(wall_plan, rail, parts, style.show)
    yield _with_table(title, draw, joint_table(rail), PLAN_NOTES, style)


def _with_table(
    title: str, draw: Callable[[float], Drawing], table: View, notes: tuple[str, ...], style: Style
) -> Sheet:
    """A view as large as the sheet allows, with its table beside or below it; without where there is no room."""
    field = drawing_field(style.paper, landscape=True, notes=notes)
    high = field.height - CAPTION_HEIGHT
    beside = max(field.width - table[0].width_mm - TABLE_GAP, field.width * LEAST_SHARE)
    for width in (field.width, beside):
        drawn = fitted(draw, width, high, style.scales)
        try:
            placed = in_rows((drawn.view, table), field)
        except ValueError:
            continue
        return Sheet(DrawingPage(title, placed, notes, style.paper), (drawn,))
    return Sheet(DrawingPage(title, in_rows((drawn.view,), field), notes, style.paper), (drawn,))


TABLE_GAP = 14.0
"""Paper mm kept between a view and the table beside it."""

LEAST_SHARE = 0.45
"""Share of the sheet's width that the plan has at least."""


def bracket_table(rail: WallRail, parts: Sequence[Part], style: Style) -> View:
    """Every bracket: what it is screwed to, where, how high, its packing, its mark on the rail."""
    show = style.list_show
    along = {name: mark for piece in bracket_marks(rail, tuple(parts)) for name, mark in piece.marks}
    rows = []
    for bracket in rail.brackets:
        origin, words = datum_of(rail, bracket.leg)
        rows.append(
            (
                bracket.id,
                rail.legs[bracket.leg].id,
                bracket.on,
                words,
                show(abs(bracket.u - origin)),
                show(bracket.plate_z),
                show(bracket.packing),
                bracket.piece,
                show(along[bracket.id]),
            )
        )
    headings = ("bracket", "wall", "on", "from", "level", "height", "packing", "piece", "along")
    return list_picture(f"{rail.id}-brackets", headings, rows, words_first=4), "Brackets", ""


def joint_table(rail: WallRail) -> View:
    """Every mitre: the two pieces and the saw's mitre and bevel on each, base down."""
    rows = [
        (
            f"{joint.first} / {joint.second}",
            f"{joint.turn_deg:.2f}°",
            *(
                _reading(reading.mitre_deg, reading.bevel_deg)
                for reading in (joint.first_reading, joint.second_reading)
            ),
        )
        for joint in rail.joints
    ]
    headings = ("pieces", "turn", "first: mitre, bevel", "second: mitre, bevel")
    return list_picture(f"{rail.id}-joints", headings, rows), "Mitres, each piece lying base down", ""


def _reading(mitre: float, bevel: float) -> str:
    """Both angles of one cut; a rounding below a hundredth of a degree is none."""
    return ", ".join(f"{abs(angle):.2f}°" for angle in (mitre, bevel))
