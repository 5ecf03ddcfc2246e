"""`pitchline cut`: a cutting plan for any list of parts and stock."""

import contextlib
import json
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import typer

from pitchline.app.cli import FAILS, HOLDS
from pitchline.app.need_file import NeedList, load_need
from pitchline.app.nesting import Nested, nest_lines, nested, with_nests
from pitchline.kit.cutting.bars_layout import settings
from pitchline.kit.cutting.need import Need
from pitchline.kit.cutting.orders import plan_need
from pitchline.kit.cutting.plan import CutBar, CutSheet, CuttingPlan
from pitchline.kit.cutting.report import answer, balance, purchases
from pitchline.kit.cutting.saw_cuts import SawCut, saw_cuts
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit, show_length


def cut(need_file: Path, *, as_json: bool, seconds: float, seed: int, folder: Path | None = None) -> int:
    """Print the plan, write its pictures and lists into ``folder``; 1 when the stock does not suffice."""
    listed = load_need(need_file)
    words = _Words(listed)
    if not listed.says_kerf:
        typer.echo("No kerf is given: the saw is taken to remove nothing.", err=True)
    share = 0.5 if listed.shapes and listed.need.parts else 1.0
    plan = plan_need(listed.need, share * seconds, seed, words.size)
    nests = Nested((), (), ())
    if listed.shapes:
        left = 0.0 if plan.stopped else share * seconds
        nests = nested(listed.shapes, listed.need.sheets, listed.router, plan, left, seed)
    told = with_nests(answer(plan), nests)
    if as_json:
        sys.stdout.write(json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n")
        sys.stdout.flush()
    else:
        for line in [*words.lines(plan), *nest_lines(nests, words.size)]:
            typer.echo(line)
        if nests.plans:
            least = words.money(nests.lower_bound)
            typer.echo(
                f"Sheets for the nests: {words.money(nests.cost)}; their bare area alone costs {least}."
            )
    if folder is not None:
        _write_pack(need_file, listed, plan, nests, told, folder)
    unplaced = (*plan.unplaced, *nests.unplaced)
    for shortage in unplaced:
        typer.echo(f"Not cut, {shortage.quantity} x {shortage.part}: {shortage.why}.", err=True)
    if plan.stopped or any(one.stopped for one in nests.plans):
        typer.echo("Stopped by you; this is the best plan found by then.", err=True)
    return FAILS if unplaced else HOLDS


def _write_pack(
    need_file: Path, listed: NeedList, plan: CuttingPlan, nests: Nested, told: dict[str, Any], folder: Path
) -> None:
    """The pictures and lists of a plan on paper and as files."""
    from pitchline.sheets.cutting_pack import write_cutting_pack
    from pitchline.sheets.drawings import Style
    from pitchline.sheets.nest_views import Nest
    from pitchline.stock.plan import Cutting
    from pitchline.stock.rack import Rack, RackBar, RackSheet

    inches = listed.unit is Unit.INCH
    style = Style(listed.unit, "Tabloid" if inches else "A3", first_angle=not inches)
    pairs = [Nest(order, found) for order, found in zip(nests.orders, nests.plans, strict=True)]
    rack = Rack(
        tuple(RackSheet(stock) for stock in listed.need.sheets),
        tuple(RackBar(stock) for stock in listed.need.bars),
        listed.need.saw,
        listed.need.keep,
        currency=listed.currency,
    )
    cutting = Cutting(listed.need, plan, rack)
    materials = [sheet.material for sheet in listed.need.sheets] + [bar.material for bar in listed.need.bars]
    densities = _densities(materials)
    names = write_cutting_pack(need_file.stem, cutting, pairs, told, folder, style, densities)
    first = next(name for name in ("cutting.pdf", "lists.pdf", "plan.json") if name in names)
    typer.echo(f"Wrote {len(names)} files to {folder}; open {folder / first} first.", err=True)


def _densities(materials: Sequence[str]) -> dict[str, float]:
    """kg/m3 of those materials that the catalogue knows."""
    from pitchline.catalogue.timber import load_timber

    found: dict[str, float] = {}
    for material in dict.fromkeys(materials):
        with contextlib.suppress(InputError):
            found[material] = load_timber(material).density.value
    return found


class _Words:
    """How a plan is told in the list's unit and currency."""

    def __init__(self, listed: NeedList) -> None:
        self.need: Need = listed.need
        self.unit = listed.unit
        self.currency = f" {listed.currency}" if listed.currency else ""

    def size(self, length: float) -> str:
        """A length in a sentence."""
        return show_length(length, self.unit) + (" mm" if self.unit is Unit.MM else "")

    def money(self, amount: float) -> str:
        """A price."""
        return f"{amount:.2f}{self.currency}"

    def lines(self, plan: CuttingPlan) -> Iterator[str]:
        """The whole plan."""
        if self.need.parts:
            yield self._headline(plan)
        yield from self._purchases(plan)
        for one in plan.ripped:
            marks = ", ".join(self.size(mark) for mark in one.marks)
            yield f"For the merchant: {one.count} x {one.stock}, trimmed, ripped at {marks} from the trimmed edge"
        thick = {stock.id: stock for stock in self.need.sheets}
        for number, sheet in enumerate(plan.sheets, start=1):
            trim = 0.0 if thick[sheet.stock].offcut else self.need.saw.trim
            yield from self._sheet(number, sheet, trim)
        alike: dict[CutBar, list[int]] = {}
        for number, bar in enumerate(plan.bars, start=1):
            alike.setdefault(bar, []).append(number)
        for bar, numbers in alike.items():
            yield from self._bar(numbers, bar)

    def _headline(self, plan: CuttingPlan) -> str:
        if plan.unplaced:
            return f"Cost {self.money(plan.cost)}, and the stock does not suffice."
        if plan.gap <= 1e-9:
            return f"Cost {self.money(plan.cost)}; no plan can cost less."
        least = f"no plan can cost less than {self.money(plan.lower_bound)}"
        return f"Cost {self.money(plan.cost)}; {least}, so this is at most {100.0 * plan.gap:.1f} % above the least."

    def _purchases(self, plan: CuttingPlan) -> Iterator[str]:
        for purchase in purchases(self.need, plan):
            stock = purchase.stock
            size = f"{self.size(stock.length)} x {self.size(stock.width)}"
            kind = "offcut " if stock.offcut else ""
            yield f"  {purchase.quantity} x {kind}{stock.id}, {size}: {self.money(purchase.cost)}"
        share = balance(self.need, plan)
        if plan.sheets or plan.bars:
            shares = (f"{100.0 * part:.1f} %" for part in (share.parts, share.kept, share.waste))
            yield "  {} becomes parts, {} is kept, {} is waste".format(*shares)
        if plan.bars:
            angles = settings(plan.bars)
            times = "once" if angles == 1 else f"{angles} times"
            yield f"  the saw's angle is set {times} for the bars"

    def _sheet(self, number: int, sheet: CutSheet, trim: float) -> Iterator[str]:
        size = f"{self.size(sheet.length)} x {self.size(sheet.width)}"
        yield f"Sheet {number}: {sheet.stock}, {size}; marks from the corner where its datum edges meet"
        for piece in sheet.pieces:
            turned = ", turned" if piece.turned else ""
            yield (
                f"  {piece.part}: {self.size(piece.length)} x {self.size(piece.width)}"
                f" at {self.size(piece.x)}, {self.size(piece.y)}{turned}"
            )
        saw = self.need.saw
        for order, one in enumerate(saw_cuts(sheet, trim, saw) or (), start=1):
            yield f"  cut {order}: {self._cut(one)}"
        for rest in sheet.rests:
            yield f"  keep {self.size(rest.length)} x {self.size(rest.width)}"

    def _cut(self, one: SawCut) -> str:
        way = "rip" if one.along else "cross-cut"
        side = "beyond" if one.kerf_beyond else "before"
        return f"{way} at {self.size(one.at)}, kerf {side} it, from {self.size(one.start)} to {self.size(one.end)}"

    def _bar(self, numbers: list[int], bar: CutBar) -> Iterator[str]:
        named = f"Bar {numbers[0]}" if len(numbers) == 1 else f"Bars {', '.join(map(str, numbers))}"
        yield f"{named}: {bar.stock}, {self.size(bar.length)}; marks from the first end, longest points"
        for piece in bar.pieces:
            lies = [
                word for word, true in (("end for end", piece.turned), ("turned over", piece.over)) if true
            ]
            angles = "/".join(f"{end.mitre_deg:+.1f}" for end in piece.ends)
            angled = "" if all(end.is_square for end in piece.ends) else f", mitres {angles} deg"
            note = f" ({', '.join(lies)})" if lies else ""
            yield f"  {piece.part}: {self.size(piece.start)} to {self.size(piece.end)}{angled}{note}"
        if bar.rest is not None:
            yield f"  keep {self.size(bar.rest[1] - bar.rest[0])}"
