"""The sheets of finishing: what goes on, what it takes, when it dries, what is kept bare, hours, season."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from pitchline.catalogue.moisture import Climate
from pitchline.kit.drawing.sheet import DrawingPage, Page, Section, Table, TextPage, drawing_field
from pitchline.making.consumables import Item
from pitchline.making.finishing import Amounts, hours_by_act
from pitchline.making.order_plan import Planned
from pitchline.making.order_season import SeasonAdvice, season_advice
from pitchline.sheets.arrange import in_columns
from pitchline.sheets.drawings import Drawn, Style, fitted
from pitchline.sheets.finish_masks import mask_drawing, masks_of
from pitchline.sheets.order_words import between, clock, in_turn, lasting, listed
from pitchline.sheets.tables import Cell, Listing, Quantity

MASK_WIDTH, MASK_HEIGHT = 170.0, 190.0
"""Paper mm that the faces of one piece may take."""


def finish_pages(
    planned: Planned, amounts: Amounts, items: Sequence[Item], style: Style
) -> tuple[list[Page], list[Drawn]]:
    """The sheets of one design, and the drawings of its mask map."""
    masks, drawn = _masks(planned, style)
    return [_text(planned, amounts, items, style), *masks], drawn


def _text(planned: Planned, amounts: Amounts, items: Sequence[Item], style: Style) -> TextPage:
    sections = (
        Section("What is used up", _said(amounts), tables=(_items(items),)),
        *_calendar(amounts),
        _hours(planned),
        *_season(season_advice(planned.work.legs, planned.work.parts), style),
        _areas(amounts),
    )
    return TextPage(f"Design {planned.work.design}: finishing and what it takes", sections, style.list_paper)


def _said(amounts: Amounts) -> tuple[str, ...]:
    plan = amounts.plan
    what = "The wood stays bare" if plan is None else f"{plan.finish.name}, {plan.coats} coats"
    return (
        f"{what[0].upper()}{what[1:]}: {amounts.area:.2f} m2 of wood are open to the air, {amounts.bare:.2f} m2 are "
        "joint faces and stay bare. Areas are those of the exact pieces, rounded edges counted.",
        "From the least to the most that tins, hands and wood make of it: read your own tin.",
    )


def _items(items: Sequence[Item]) -> Table:
    rows = tuple((item.what, _much(item), item.reckoned) for item in items)
    return Table(("What", "How much", "Reckoned from"), rows, widths=(52.0, 32.0, None))


def _much(item: Item) -> str:
    digits = 1 if item.unit in ("l", "m") else 0
    return between(item.low, item.high, item.unit, digits)


def _calendar(amounts: Amounts) -> Iterator[Section]:
    rows = tuple(
        (coat.title, clock(coat.start), clock(coat.end), lasting(coat.dry - coat.end), clock(coat.dry))
        for coat in amounts.coats
    )
    if rows:
        table = Table(("Coat", "Begun", "Done", "Dries", "Dry"), rows, widths=(None, 26.0, 26.0, 18.0, 26.0))
        said = (
            "With the longest drying times of the catalogue, at about 20 °C; cold or damp air takes longer."
        )
        yield Section("When each coat dries", (said,), tables=(table,))


def _hours(planned: Planned) -> Section:
    found = hours_by_act(planned)
    rows = [(act, f"{hours:.1f} h") for act, hours in found.items()]
    rows.append(("in all", f"{sum(found.values()):.1f} h"))
    table = Table(("What is done", "Hours"), tuple(rows), align=("left", "right"), widths=(60.0, 24.0))
    said = "One person, by the working times of the shop; setting saws and the survey are not in it."
    return Section("Hours", (said,), tables=(table,))


def _season(advice: SeasonAdvice, style: Style) -> Iterator[Section]:
    dry, damp = advice.settle
    season = advice.season
    known = (
        "as the job tells" if advice.told else "common practice, no source: tell your own in [designs.season]"
    )
    said = [
        f"Between the dry end of the year ({_air(season.dry)}) and the damp end ({_air(season.damp)}; {known}) wood "
        f"settles at {dry:.1f} to {damp:.1f} % moisture. It moves least where it is made at about {advice.best:.0f}"
        f" %; reckoned is {season.made:.1f} %. Read it with a meter before the last planing and before gluing.",
        "A finish slows the change and does not stop it: coat all faces alike, so that pieces do not bow. Do not fit "
        "what is wetter than the house; let it lie there for a week or two first (common practice, no source).",
    ]
    rows = tuple(
        (
            move.what,
            move.material,
            style.list_show(move.width),
            signed(move.dry, style),
            signed(move.damp, style),
        )
        for move in advice.moves
    )
    tables = (
        (
            Table(
                ("Piece", "Wood", "Width as made", "At the dry end", "At the damp end"),
                rows,
                align=("left", "left", "right", "right", "right"),
                widths=(None, None, 26.0, 26.0, 26.0),
            ),
        )
        if rows
        else ()
    )
    yield Section("The wood and the season", tuple(said), tables=tables)


def _air(climate: Climate) -> str:
    return f"{climate.humidity:.0f} % humid at {climate.temperature:.0f} °C"


def signed(mm: float, style: Style) -> str:
    """A small change with its sign, to a tenth of a mm or a hundredth of an inch."""
    return f"{mm / 25.4:+.2f} in" if style.inches else f"{mm:+.1f} mm"


def _areas(amounts: Amounts) -> Section:
    rows = tuple(
        (
            listed(sorted(mark.places, key=in_turn), most=3),
            mark.what,
            str(len(mark.places)),
            f"{mark.outside:.3f}",
            f"{mark.bare:.3f}",
            f"{mark.finished:.3f}",
        )
        for mark in _together(amounts)
    )
    table = Table(
        ("Pieces", "What", "Off", "Outside m2", "Bare m2", "Finished m2"),
        rows,
        align=("left", "left", "right", "right", "right", "right"),
        widths=(None, 36.0, 12.0, 20.0, 20.0, 20.0),
    )
    return Section("Areas by piece", ("Face by face they stand in the lists.",), tables=(table,))


@dataclass(frozen=True, slots=True)
class _Row:
    what: str
    places: list[str]
    outside: float
    bare: float
    finished: float


def _together(amounts: Amounts) -> list[_Row]:
    """Marks of one role, one row."""
    found: dict[str, _Row] = {}
    for mark in amounts.marks:
        row = found.setdefault(mark.what, _Row(mark.what, [], 0.0, 0.0, 0.0))
        found[mark.what] = _Row(
            mark.what,
            [*row.places, *mark.places],
            row.outside + mark.outside,
            row.bare + mark.bare,
            row.finished + mark.finished,
        )
    return list(found.values())


MASK_NOTES = (
    "Hatched: kept bare for a joint; mask it or wipe it clean before the finish dries. Finish stops glue.",
    "Faces that are joints all over are not drawn: nothing goes on them. Of pieces alike the one with most is drawn.",
)


def _masks(planned: Planned, style: Style) -> tuple[list[Page], list[Drawn]]:
    name = planned.work.design
    drawn = [
        fitted(partial(mask_drawing, mask, name, style.show), MASK_WIDTH, MASK_HEIGHT, style.scales)
        for mask in masks_of(planned)
    ]
    if planned.work.finish is None or not drawn:
        return [], []
    field = drawing_field(style.paper, landscape=True, notes=MASK_NOTES)
    pages: list[Page] = [
        DrawingPage(f"Design {name}: mask map {number}", views, MASK_NOTES, style.paper)
        for number, views in enumerate(in_columns([one.view for one in drawn], field), start=1)
    ]
    return pages, drawn


def finish_lists(name: str, amounts: Amounts, items: Sequence[Item]) -> Iterator[Listing]:
    """Areas face by face, and what is used up, as lists."""
    rows: list[tuple[Cell, ...]] = []
    for mark in amounts.marks:
        for face in mark.faces:
            done = face.area - face.bare
            rows.append(
                (
                    mark.mark,
                    mark.what,
                    face.face,
                    Quantity(face.quantity, "count"),
                    _m2(face.area),
                    _m2(face.bare),
                    _m2(done),
                )
            )
    yield Listing(
        f"{name}-finish-areas",
        f"Areas face by face, design {name}",
        ("Mark", "What", "Face", "Off", "Area m2", "Bare m2", "Finished m2"),
        tuple(rows),
        intro="Flat faces before edges are rounded, joints taken off; all pieces of a mark together.",
        on_paper=False,
    )
    used = tuple((item.what, _much(item), item.reckoned) for item in items)
    yield Listing(
        f"{name}-used-up",
        f"What is used up, design {name}",
        ("What", "How much", "Reckoned from"),
        used,
        widths=(56.0, 34.0, None),
    )


def _m2(area: float) -> str:
    return f"{area:.4f}"
