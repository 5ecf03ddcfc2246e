"""What designs are compared by: one figure a line, with its reason where there is none."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pitchline.app.web.compare_looks import looks_of
from pitchline.app.web.words import Words
from pitchline.checks.opening_limits import Opening
from pitchline.kit.finding import Verdict
from pitchline.kit.words import Words as Lengths
from pitchline.making.order_plan import Planned
from pitchline.making.settings import SawWork
from pitchline.making.settings_work import saw_work
from pitchline.parts.explode import grouped
from pitchline.parts.measure import volume
from pitchline.stock.plan import Cutting
from pitchline.story import Solved, SolvedBalustrade
from pitchline.story_making import planned_orders
from pitchline.story_strength import worst_of

ALIKE = {
    "cost": 1.0, "hours": 0.25, "movement": 1.0, "openings": 1.0, "pieces": 1.0, "settings": 1.0, "waste": 0.01,
    "wood": 0.5,
}  # fmt: skip
"""Figures no further apart than this are told as alike: units of money, hours, mm, counts, shares, litres."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of one design: its value to compare by, as it is written, or why there is none."""

    key: str
    value: float | None
    text: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class Compared:
    """A design with its figures in the order of the table, and what it looks like in a sentence."""

    id: str
    title: str
    looks: str
    figures: tuple[Figure, ...]
    fails: int
    unsure: int

    def figure(self, key: str) -> Figure:
        """The figure of a line."""
        return next(figure for figure in self.figures if figure.key == key)


@dataclass(frozen=True, eq=False)
class Worked:
    """What takes a while to work out for a design: its cutting plan, and how it is made."""

    cutting: Cutting | None
    sawing: SawWork
    order: Planned


def worked(solved: Solved, whole: SolvedBalustrade, cutting: Cutting | None) -> Worked:
    """Plan the sawing and the order of work of one design, beside its cutting plan."""
    alone = replace(solved, balustrades=(whole,), wall_rails=())
    sawing = saw_work(grouped(whole.parts), solved.job.shop)
    return Worked(cutting, sawing, planned_orders(alone)[whole.id])


def compared(whole: SolvedBalustrade, work: Worked, t: Words, lengths: Lengths) -> Compared:
    """A design as it is compared with others, in the words of the reader and the unit of the job."""
    figures = (*_counts(whole, t), *_work(work, t), *_stock(work.cutting, t))
    return _compared(whole, figures, t, lengths)


def for_household(
    whole: SolvedBalustrade,
    t: Words,
    lengths: Lengths,
    cutting: Cutting | None = None,
    *,
    costs: bool = False,
) -> Compared:
    """A design as the people who live with it compare it: without what only the workshop needs."""
    return _compared(whole, tuple(_stock(cutting, t)) if costs else (), t, lengths)


def _compared(whole: SolvedBalustrade, more: tuple[Figure, ...], t: Words, lengths: Lengths) -> Compared:
    figures = (*_verdict(whole, t), _movement(whole, t, lengths), *_openings(whole, t, lengths), *more)
    fails, unsure = (_count(whole, verdict) for verdict in (Verdict.FAIL, Verdict.UNSURE))
    return Compared(whole.id, whole.title, looks_of(whole, t, lengths), figures, fails, unsure)


def _count(whole: SolvedBalustrade, verdict: Verdict) -> int:
    return sum(finding.verdict is verdict for finding in whole.findings)


def _verdict(whole: SolvedBalustrade, t: Words) -> Iterator[Figure]:
    fails, unsure = _count(whole, Verdict.FAIL), _count(whole, Verdict.UNSURE)
    if fails or unsure:
        yield Figure("holds", float(fails + unsure), t("compare.not_yet", fails=fails, unsure=unsure))
    else:
        yield Figure("holds", 0.0, t("compare.all_hold"))


def _movement(whole: SolvedBalustrade, t: Words, lengths: Lengths) -> Figure:
    if not whole.strength:
        return Figure("movement", None, "–", t("compare.no_strength"))
    report = worst_of(whole.strength).report
    if report is None:
        return Figure("movement", None, "–", t("compare.falls"))
    moves, limit = report.movement, report.limit
    text = t("compare.moves", value=lengths.about(moves.value), limit=lengths.about(limit.value))
    return Figure("movement", moves.value, text)


def _openings(whole: SolvedBalustrade, t: Words, lengths: Lengths) -> Iterator[Figure]:
    limited = [o for leg in whole.legs for o in leg.report.openings if o.limit is not None]
    if not limited:
        yield Figure("openings", None, "–", t("compare.no_openings"))
        yield Figure("margin", None, "–", t("compare.no_openings"))
        return
    largest = max(limited, key=lambda opening: opening.measured)
    tightest = min(limited, key=_margin)
    yield Figure("openings", largest.measured, lengths.mm(largest.measured))
    spare = _margin(tightest)
    key = "compare.margin" if spare >= 0.0 else "compare.over"
    text = t(key, spare=lengths.mm(abs(spare)), limit=lengths.mm(tightest.limit or 0.0))
    yield Figure("margin", spare, text)


def _margin(opening: Opening) -> float:
    return (opening.limit or 0.0) - opening.measured


def _counts(whole: SolvedBalustrade, t: Words) -> Iterator[Figure]:
    kinds = len(grouped(whole.parts))
    count = len(whole.parts)
    yield Figure("pieces", float(count), t("compare.pieces", count=count, kinds=kinds))
    litres = sum(volume(part) for part in whole.parts) / 1e6
    yield Figure("wood", litres, t("compare.litres", value=f"{litres:.1f}"))


def _work(work: Worked, t: Words) -> Iterator[Figure]:
    sawing, hours = work.sawing, work.order.hours
    yield Figure(
        "settings", float(sawing.settings), t("compare.settings", count=sawing.settings, cuts=sawing.cuts)
    )
    days = t("compare.hours", value=f"{hours:.1f}", days=work.order.schedule.days)
    yield Figure("hours", hours, days)


def _stock(cutting: Cutting | None, t: Words) -> Iterator[Figure]:
    if cutting is None:
        yield Figure("waste", None, "–", t("compare.no_rack"))
        yield Figure("cost", None, "–", t("compare.no_rack"))
        return
    if cutting.plan.unplaced:
        lacking = _some(sorted({short.part for short in cutting.plan.unplaced}), t)
        yield Figure("waste", None, "–", t("compare.lacking", parts=lacking))
        yield Figure("cost", None, "–", t("compare.lacking", parts=lacking))
        return
    waste = cutting.balance.waste
    yield Figure("waste", waste, t("compare.percent", value=f"{100.0 * waste:.0f}"))
    unit = f" {cutting.rack.currency}" if cutting.rack.currency else ""
    yield Figure("cost", cutting.plan.cost, f"{cutting.plan.cost:.2f}{unit}")


def _some(names: Sequence[str], t: Words) -> str:
    """The first few of many names, and how many more there are."""
    told = ", ".join(names[:NAMED])
    return told if len(names) <= NAMED else t("compare.and_more", some=told, count=len(names) - NAMED)


NAMED = 4
"""So many parts are told by name."""

KEYS = (
    "holds", "movement", "openings", "margin", "pieces", "wood", "settings", "hours", "waste", "cost",
)  # fmt: skip
"""The lines of the table in order."""

MORE_IS_BETTER = frozenset({"margin"})


def best_of(designs: Sequence[Compared], key: str) -> str | None:
    """The id of the one that does best in a line, None where two are alike or a figure is missing."""
    values = [(design.figure(key).value, design.id) for design in designs]
    known = [(value, name) for value, name in values if value is not None]
    if len(known) < 2 or len(known) < len(values):
        return None
    known.sort(reverse=key in MORE_IS_BETTER)
    apart = abs(known[0][0] - known[1][0])
    return known[0][1] if apart > 0.0 and apart >= ALIKE.get(key, 0.0) else None
