"""The cutting plan on paper: pictures to scale, what to buy or take, and a list for each bar and sheet."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from itertools import groupby

from pitchline.kit.cutting.need import Need
from pitchline.kit.cutting.plan import BarPiece, CutSheet, CuttingPlan
from pitchline.kit.cutting.saw_cuts import SawCut, saw_cuts
from pitchline.kit.drawing.sheet import CAPTION_HEIGHT, DrawingPage, Field, drawing_field
from pitchline.kit.drawing.svg import write_svg
from pitchline.sheets.arrange import in_rows
from pitchline.sheets.cutting_views import (
    ROW,
    Batch,
    alike_sheets,
    bars_drawing,
    batches,
    edge_marks,
    sheet_drawing,
)
from pitchline.sheets.drawings import Drawn, Sheet, Style, fitted
from pitchline.sheets.tables import Cell, Listing, Quantity
from pitchline.stock.plan import Alternative, Cutting

BAR_NOTES = (
    "Marks are where a cut meets the lower edge of the upper face, from the left end; the kerf lies beyond the mark.",
    "(e): the piece lies end for end; (o): its other wide face is up. Grey: long enough to keep.",
    "One cut serves both neighbours where their ends agree. Check the first bar before cutting the others.",
)
SHEET_NOTES = (
    "Numbers in circles: cuts in working order; the list of cuts has them all. Broken line: edges to trim first.",
    "Marks run from the lower left corner; the kerf lies beyond the mark. Grey: large enough to keep.",
)


def cutting_sheets(name: str, need: Need, plan: CuttingPlan, style: Style) -> Iterator[Sheet]:
    """Pages with the pictures of a plan: bars first, then each sheet."""
    rows = batches(plan.bars)
    field = drawing_field(style.paper, landscape=True, notes=BAR_NOTES)
    for number, (some, scale) in enumerate(_pages_of_bars(need, rows, field, style), start=1):
        drawing = bars_drawing(name, need, some, style.show, scale)
        drawn = Drawn(drawing, write_svg(drawing))
        page = DrawingPage(
            f"Cutting {name}: bars {number}", in_rows((drawn.view,), field), BAR_NOTES, style.paper
        )
        yield Sheet(page, (drawn,))
    field = drawing_field(style.paper, landscape=True, notes=SHEET_NOTES)
    for sheet, numbers in alike_sheets(plan.sheets):
        first = numbers[0]
        drawn = fitted(
            partial(sheet_drawing, name, need, first, sheet, style.show),
            field.width,
            field.height - CAPTION_HEIGHT,
            tuple(sorted({*style.scales, BETWEEN})),
        )
        said = f"Cutting {name}: sheet {', '.join(map(str, numbers))}"
        yield Sheet(DrawingPage(said, in_rows((drawn.view,), field), SHEET_NOTES, style.paper), (drawn,))


BETWEEN = 12.5
"""A scale between 1:10 and 1:20 (ISO 5455 allows them where they are needed): large sheets just miss 1:10."""

SIDE_ROOM = 16.0
"""Paper mm beside a bar for the ends of its marks."""

FOOT_ROOM = 14.0
"""Paper mm below the last bar for its marks."""


def _pages_of_bars(
    need: Need, rows: Sequence[Batch], field: Field, style: Style
) -> Iterator[tuple[list[Batch], float]]:
    """As many bars as a page has room for, at one scale a page: short bars first, for they may be drawn larger."""
    widths = {stock.id: stock.width for stock in need.bars}

    def scale_of(batch: Batch) -> float:
        fitting = [scale for scale in style.scales if batch.bar.length / scale <= field.width - SIDE_ROOM]
        return max(LARGEST, min(fitting, default=style.scales[-1]))

    room = field.height - CAPTION_HEIGHT - FOOT_ROOM
    for scale, some in groupby(sorted(rows, key=scale_of), key=scale_of):
        page: list[Batch] = []
        used = 0.0
        for batch in some:
            high = widths[batch.bar.stock] / scale + ROW
            if page and used + high > room:
                yield page, scale
                page, used = [], 0.0
            page.append(batch)
            used += high
        yield page, scale


LARGEST = 10.0
"""Bars are drawn no larger than 1 to this."""


def cutting_lists(
    name: str,
    cutting: Cutting,
    densities: Mapping[str, float],
    style: Style,
    others: Sequence[Alternative] = (),
) -> Iterator[Listing]:
    """What to buy or take, other ways to do it, and the cuts of every bar and sheet."""
    yield buying_list(name, cutting, densities, style)
    if others:
        yield _others(name, cutting, others)
    need, plan = cutting.need, cutting.plan
    if plan.ripped:
        yield _merchant_list(name, plan)
    if plan.bars:
        yield _bars_list(name, need, plan, style)
    if plan.sheets:
        yield _sheets_list(name, need, plan, style)
        yield _cuts_list(name, need, plan, style)
    if plan.unplaced:
        rows = tuple((one.part, Quantity(one.quantity, "count"), one.why) for one in plan.unplaced)
        accents = frozenset(range(len(rows)))
        yield Listing(
            f"{name}-short", f"Stock that is lacking, {name}", ("Mark", "Off", "Why"), rows, accents
        )


def compared_list(plans: Mapping[str, Cutting]) -> Listing:
    """The designs of a job beside each other by what they are cut from: cost, bound, waste, settings, hours."""
    rows = tuple(
        (
            name,
            Quantity(cutting.plan.cost, "number"),
            Quantity(cutting.plan.lower_bound, "number"),
            f"{100.0 * cutting.balance.waste:.1f} %",
            f"{100.0 * cutting.balance.kept:.1f} %",
            Quantity(cutting.work.settings, "count"),
            Quantity(cutting.work.cuts, "count"),
            f"{cutting.work.minutes / 60.0:.1f} h",
            "stock is lacking" if cutting.plan.unplaced else "",
        )
        for name, cutting in plans.items()
    )
    return Listing(
        "designs-compared",
        "Designs compared by what they are cut from",
        ("Design", "Cost", "No plan under", "Waste", "Kept", "Settings", "Cuts", "Sawing", ""),
        rows,
        intro="Stock alone, no labour of fitting and finishing. Hours are reckoned with the times in the rack.",
    )


def buying_list(name: str, cutting: Cutting, densities: Mapping[str, float], style: Style) -> Listing:
    """Every kind of stock used: how many, size, price, weight for the car."""
    rows = []
    for purchase in cutting.bought:
        stock = purchase.stock
        density = densities.get(stock.material)
        weight = None if density is None else density * purchase.volume * 1e-9
        rows.append(
            (
                "rack" if stock.offcut else "buy",
                Quantity(purchase.quantity, "count"),
                stock.id,
                stock.material,
                Quantity(stock.length),
                Quantity(stock.width),
                Quantity(stock.thickness),
                Quantity(stock.price, "number"),
                Quantity(purchase.cost, "number"),
                "" if weight is None else Quantity(weight, "mass"),
            )
        )
    return Listing(
        f"{name}-buying",
        f"Buying list, {name}",
        ("From", "Off", "Stock", "Material", "Length", "Width", "Thick", "Each", "All", "Weight"),
        tuple(rows),
        intro=plan_words(cutting),
    )


def plan_words(cutting: Cutting) -> str:
    """The plan in a few sentences: its cost, its bound, waste, rests and the sawing."""
    plan, work, share = cutting.plan, cutting.work, cutting.balance
    unit = f" {cutting.rack.currency}" if cutting.rack.currency else ""
    words = f"Cost {plan.cost:.2f}{unit}"
    if plan.unplaced:
        words += ", and the stock does not suffice: see the list of what is lacking. "
    elif plan.gap <= 1e-9:
        words += "; no plan of this stock can cost less. "
    else:
        words += f"; no plan of this stock can cost less than {plan.lower_bound:.2f}{unit}. "
    words += (
        f"{100.0 * share.parts:.1f} % of the stock becomes parts, {100.0 * share.kept:.1f} % is left to keep, "
        f"{100.0 * share.waste:.1f} % is waste. {_settings_words(work.settings)}About {work.minutes:.0f} minutes of "
        "sawing, reckoned with the times in the rack."
    )
    return words


def _settings_words(number: int) -> str:
    if not number:
        return ""
    return f"The saw's angle is set {'once' if number == 1 else f'{number} times'} for the bars. "


def _others(name: str, cutting: Cutting, others: Sequence[Alternative]) -> Listing:
    own = cutting.work.minutes
    rows = [("this plan", Quantity(cutting.plan.cost, "number"), Quantity(own, "count"), "")]
    rows += [
        (
            other.what,
            Quantity(other.cost, "number"),
            Quantity(other.minutes, "count"),
            _beside(other, cutting.plan.cost, own),
        )
        for other in others
    ]
    return Listing(
        f"{name}-others",
        f"Other ways to buy and cut, {name}",
        ("Way", "Cost", "Minutes", "Beside this plan"),
        tuple(rows),
        wide=True,
    )


def _beside(other: Alternative, cost: float, minutes: float) -> str:
    money, time = other.cost - cost, minutes - other.minutes
    spent = "the same cost" if abs(money) < 0.005 else f"{abs(money):.2f} {'more' if money > 0.0 else 'less'}"
    return f"{spent}, {abs(time):.0f} minutes {'less' if time >= 0.0 else 'more'}"


def _merchant_list(name: str, plan: CuttingPlan) -> Listing:
    """What the merchant is asked for: sheets to be ripped, strip by strip."""
    rows = [
        (
            stock.stock,
            Quantity(stock.count, "count"),
            Quantity(strip, "count"),
            Quantity(width),
            Quantity(mark),
            Quantity(stock.rest) if strip == len(stock.widths) and stock.rest > 0.0 else "",
        )
        for stock in plan.ripped
        for strip, (width, mark) in enumerate(zip(stock.widths, stock.marks, strict=True), start=1)
    ]
    return Listing(
        f"{name}-merchant",
        f"For the merchant to rip, {name}",
        ("Stock", "Sheets", "Strip", "Wide", "Mark", "Left over"),
        tuple(rows),
        intro="Rip along the length. Trim one long edge first: it is the datum of the marks, which are the strips' "
        "far edges; the kerf lies beyond each mark. Number the strips as they come off the saw.",
    )


def _bars_list(name: str, need: Need, plan: CuttingPlan, style: Style) -> Listing:
    sections = {stock.id: (stock.width, stock.thickness) for stock in need.bars}
    rows = []
    for batch in batches(plan.bars):
        bar = batch.bar
        marks = edge_marks(bar, sections[bar.stock], need.saw.kerf_in_bars)
        rows.append(
            (
                ", ".join(map(str, batch.numbers)),
                bar.stock,
                Quantity(bar.length),
                ", ".join(_piece_words(piece) for piece in bar.pieces),
                ", ".join(style.list_show(mark) for mark in marks),
                "" if bar.rest is None else Quantity(bar.rest[1] - bar.rest[0]),
            )
        )
    return Listing(
        f"{name}-bars",
        f"Bars, {name}",
        ("Bar", "Stock", "Length", "Pieces in order", "Marks from the left end", "Keep"),
        tuple(rows),
        intro="Marks are where the cuts meet the lower edge of the upper face; the kerf lies beyond each mark.",
        wide=True,
    )


def _piece_words(piece: BarPiece) -> str:
    ends = piece.ends
    if all(end.is_square for end in ends):
        return piece.part
    angles = "/".join(f"{end.mitre_deg:.1f}" for end in ends)
    bevels = "/".join(f"{end.bevel_deg:.1f}" for end in ends)
    tilted = any(end.bevel_deg for end in ends)
    return f"{piece.part} ({angles}{f', bevel {bevels}' if tilted else ''})"


def _sheets_list(name: str, need: Need, plan: CuttingPlan, style: Style) -> Listing:
    rows = [
        row
        for number, sheet in enumerate(plan.sheets, start=1)
        for row in _rows_of(need, number, sheet, style)
    ]
    return Listing(
        f"{name}-sheets",
        f"Pieces on sheets, {name}",
        ("Sheet", "Stock", "Row", "At", "Pieces in order", "Begin at"),
        tuple(rows),
        intro="A row along the sheet stands at its distance from the lower edge, and its pieces begin at distances "
        "from the left; a row across the other way round. Sizes of pieces stand in the cut list; keep: a rest.",
        wide=True,
    )


def _rows_of(need: Need, number: int, sheet: CutSheet, style: Style) -> list[tuple[Cell, ...]]:
    """The pieces of a sheet by rows along or across it, as its first cuts run."""
    spots = [(piece.part + (" turned" if piece.turned else ""), piece.x, piece.y) for piece in sheet.pieces]
    show = style.list_show
    spots += [(f"keep {show(rest.length)} x {show(rest.width)}", rest.x, rest.y) for rest in sheet.rests]
    cuts = _cuts_of(need, sheet)
    along = not cuts or cuts[0].along
    found: dict[float, list[tuple[float, str]]] = {}
    for mark, x, y in spots:
        found.setdefault(round(y if along else x, 3), []).append((x if along else y, mark))
    return [
        (
            Quantity(number, "count"),
            sheet.stock,
            "along" if along else "across",
            Quantity(at),
            ", ".join(_counted(mark for _, mark in sorted(pieces))),
            ", ".join(show(begin) for begin, _ in sorted(pieces)),
        )
        for at, pieces in sorted(found.items())
    ]


def _cuts_of(need: Need, sheet: CutSheet) -> tuple[SawCut, ...]:
    saw = need.saw
    offcut = any(stock.id == sheet.stock and stock.offcut for stock in need.sheets)
    return saw_cuts(sheet, 0.0 if offcut else saw.trim, saw) or ()


def _counted(marks: Iterable[str]) -> Iterator[str]:
    """Marks in order, those that follow each other alike told once with their number."""
    for mark, run in groupby(marks):
        number = len(list(run))
        yield mark if number == 1 else f"{number} x {mark}"


def _cuts_list(name: str, need: Need, plan: CuttingPlan, style: Style) -> Listing:
    rows = []
    for number, sheet in enumerate(plan.sheets, start=1):
        cuts = enumerate(_cuts_of(need, sheet), start=1)
        for (stage, way, start, end), run in groupby(cuts, key=lambda one: _same_strip(one[1])):
            listed = list(run)
            first, last = listed[0][0], listed[-1][0]
            rows.append(
                (
                    Quantity(number, "count"),
                    str(first) if first == last else f"{first}-{last}",
                    Quantity(stage, "count"),
                    way,
                    Quantity(start),
                    Quantity(end),
                    ", ".join(style.list_show(cut.at) for _, cut in listed),
                )
            )
    return Listing(
        f"{name}-cuts",
        f"Cuts of the sheets in working order, {name}",
        ("Sheet", "Cuts", "Stage", "Way", "From", "To", "At"),
        tuple(rows),
        intro="All sizes from the lower left corner of the untrimmed sheet. Trim its edges first.",
        wide=True,
    )


def _same_strip(cut: SawCut) -> tuple[int, str, float, float]:
    return cut.stage, _way(cut), round(cut.start, 3), round(cut.end, 3)


def _way(cut: SawCut) -> str:
    way = "rip" if cut.along else "cross-cut"
    return f"{way}, kerf {'beyond' if cut.kerf_beyond else 'before'}"
