"""The pack's front page: pictures first, then what holds and what does not, then the files. Opens from disk."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib.resources import files

from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.sheets.chapter import PackFile
from pitchline.sheets.looking import Show
from pitchline.story import Solved, SolvedBalustrade
from pitchline.story_cutting import NO_CUTTINGS, Cuttings, PlannedCutting
from pitchline.story_walls import MeasuredWinders, SolvedWallRail

CAUTIONS = (
    "A design aid. The rules of your place, building control and a structural engineer have the last word; nothing "
    "here is an approval.",
    "An open stair edge can kill: put up a temporary guard the same day the old one comes down.",
    "Stiffness and strength are computed from what was told and from usual values, and no one has looked at them. A "
    "newel's fixing decides whether a balustrade wobbles: pull at it, and ask a licensed engineer.",
    "Old paint may hold lead and old coatings asbestos: test before you sand or scrape.",
    "Short pieces are cut from a long stick or in a carrier, never held by hand at the saw.",
    "Cut a scrap to each angle and offer it up before you cut the rail; cut the rail long, at its least forgiving "
    "end first.",
    "Do not cut uprights and fillets before the rails are fitted and measured again.",
)


@dataclass(frozen=True, slots=True)
class Shelf:
    """Files of the pack that are for the same use."""

    name: str
    files: tuple[PackFile, ...]


def start_here(pack_files: Sequence[PackFile]) -> tuple[PackFile, ...]:
    """The few files for the bench: sheets to print, pages to open there, and the findings in words."""
    return tuple(file for file in pack_files if file.kind in _BENCH or file.name == "findings.txt")


_BENCH = ("PDF", "HTML")


def shelves(pack_files: Sequence[PackFile]) -> tuple[Shelf, ...]:
    """All other files, every one on one shelf; empty shelves are left out."""
    first = set(start_here(pack_files))
    found: dict[str, list[PackFile]] = {name: [] for name in _SHELVES}
    for file in pack_files:
        if file not in first:
            found[_shelf_of(file)].append(file)
    return tuple(Shelf(name, tuple(files)) for name, files in found.items() if files)


_DRAWINGS, _CAD, _ROUTER, _LISTS, _MODELS, _PIECES, _HOUSEHOLD, _DATA = (
    "Drawings, one picture each (SVG)",
    "Drawings for CAD (DXF)",
    "Layers for the router (DXF)",
    "Lists (workbook and CSV)",
    "Models in space (GLB, STEP)",
    "Each piece as a solid (STEP)",
    "To send to the household (HTML)",
    "For other programs",
)
_SHELVES = (_DRAWINGS, _CAD, _ROUTER, _LISTS, _MODELS, _PIECES, _HOUSEHOLD, _DATA)
_KINDS = {
    "SVG": _DRAWINGS,
    "DXF": _CAD,
    "XLSX": _LISTS,
    "CSV": _LISTS,
    "GLB": _MODELS,
    "STEP": _MODELS,
    "HTML": _HOUSEHOLD,
}
_FOLDERS = {"layers": _ROUTER, "parts": _PIECES}


def _shelf_of(file: PackFile) -> str:
    folder = file.name.partition("/")[0]
    if folder in _FOLDERS:
        return _FOLDERS[folder]
    return _KINDS.get(file.kind, _DATA)


def index_page(
    solved: Solved,
    pack_files: Sequence[PackFile],
    pictures: dict[str, Sequence[PackFile]],
    show: Show,
    cuttings: Cuttings = NO_CUTTINGS,
) -> str:
    """The page as HTML; every text of the job is escaped, nothing is loaded from outside the folder."""
    from jinja2 import Environment  # only the pack needs it

    source = files("pitchline.sheets").joinpath("templates", "index.html").read_text(encoding="utf-8")
    page = Environment(autoescape=True, trim_blocks=True).from_string(source)
    job = solved.job
    return page.render(
        title=job.title,
        rules=f"{solved.rules.title}, {solved.rules.edition}",
        drawn_by=job.drawn_by,
        date=job.date,
        units="inches" if job.unit.value == "in" else "mm",
        designs=[
            *(
                _design(whole, pictures[whole.id], show, cuttings.get(whole.id))
                for whole in solved.balustrades
            ),
            *(_wall_rail(rail, pictures[rail.id], show) for rail in solved.wall_rails),
            *(_winders(known, pictures[known.winders.id], show) for known in solved.winders),
        ],
        survey=[_finding(finding) for finding in solved.surveyed()],
        start=start_here(pack_files),
        shelves=shelves(pack_files),
        cautions=CAUTIONS,
    )


def _entry(
    heading: str,
    pictures: Sequence[PackFile],
    facts: Sequence[tuple[str, str]],
    findings: Sequence[Finding],
) -> dict[str, object]:
    """One thing of the job as the page shows it: pictures, facts, what fails or is unsure."""
    told = [f for f in findings if f.verdict in (Verdict.FAIL, Verdict.UNSURE)]
    return {
        "heading": heading,
        "pictures": [{"file": picture.name, "alt": picture.what} for picture in pictures],
        "facts": facts,
        "verdict": _verdict(findings),
        "findings": [_finding(finding) for finding in told],
    }


def _design(
    solved: SolvedBalustrade, pictures: Sequence[PackFile], show: Show, planned: PlannedCutting | None
) -> dict[str, object]:
    heading = f"Design {solved.id}: {solved.title}"
    facts = [
        *_facts(solved, show),
        *_strength(solved, show),
        *(() if planned is None else _cut_from(planned)),
    ]
    return _entry(heading, pictures, facts, solved.findings)


def _strength(solved: SolvedBalustrade, show: Show) -> Iterator[tuple[str, str]]:
    """How far each edge moves under a push and what is used most, or that it does not stand."""
    for edge in solved.strength:
        of = f", {edge.whole.edge}" if len(solved.strength) > 1 else ""
        report = edge.report
        if report is None:
            yield f"Under the loads of the rules{of}", "it does not stand"
            continue
        limit = "limit" if report.limit.binds else "advised"
        yield f"Moves under a push{of}", f"{show(report.movement.value)}, {limit} {show(report.limit.value)}"
        used = "bears nothing" if math.isinf(report.utilisation) else f"{100.0 * report.utilisation:.0f} %"
        yield f"Most used{of}", f"{used}, {report.governing.where}"


def _cut_from(planned: PlannedCutting) -> Iterator[tuple[str, str]]:
    """What a design costs in stock and sawing, to be held beside the others."""
    cutting = planned.cutting
    plan, work = cutting.plan, cutting.work
    unit = f" {cutting.rack.currency}" if cutting.rack.currency else ""
    bound = "no plan can cost less" if plan.gap <= PROVEN else f"no plan under {plan.lower_bound:.2f}{unit}"
    lacking = ", and stock is lacking" if plan.unplaced else ""
    yield "Stock from the rack and to buy", f"{plan.cost:.2f}{unit} ({bound}{lacking})"
    yield "Waste", f"{100.0 * cutting.balance.waste:.1f} % of the stock"
    yield "Sawing", f"about {work.minutes:.0f} minutes, the saw's angle set {work.settings} times"


PROVEN = 1e-9
"""A plan whose cost is this near to its bound (as a share) is proven to be the cheapest."""


def _wall_rail(solved: SolvedWallRail, pictures: Sequence[PackFile], show: Show) -> dict[str, object]:
    rail = solved.rail
    facts = [
        ("Clear of the wall, at its proudest", show(rail.clear)),
        ("Brackets", str(len(rail.brackets))),
        ("Pieces to make", str(len(solved.parts))),
    ]
    return _entry(f"Wall rail {solved.id}: {solved.title}", pictures, facts, solved.findings)


def _winders(known: MeasuredWinders, pictures: Sequence[PackFile], show: Show) -> dict[str, object]:
    winders = known.winders
    facts = [
        ("Treads that turn", str(len(winders.wide_goings))),
        ("Goings at the narrow side", _range(winders.narrow_goings, show)),
        ("Goings at the wide side", _range(winders.wide_goings, show)),
    ]
    return _entry(f"Winders {winders.id}", pictures, facts, known.findings)


def _facts(solved: SolvedBalustrade, show: Show) -> list[tuple[str, str]]:
    legs = solved.designs
    heights = [height for design in legs for height in design.rail_line.heights]
    balls = [opening.ball.diameter for leg in solved.legs for opening in leg.report.openings]
    facts = [("Top of the handrail above the nosings", _range(heights, show))]
    if len(legs) > 1:
        facts.append(("Legs from the foot up", ", ".join(dict.fromkeys(design.leg for design in legs))))
    facts += [
        *_members(legs, show),
        ("Largest ball through an opening", show(max(balls)) if balls else "none"),
    ]
    if len(legs) == 1:
        bay = legs[0].bay
        facts.append(("Run between the ends", f"{show(bay.run)} ± {show(2 * bay.run_sigma)}"))
    return [*facts, ("Pieces to make", str(len(solved.parts)))]


def _members(legs: Sequence[Design], show: Show) -> Iterator[tuple[str, str]]:
    """What fills the bays, kind by kind."""
    uprights = [upright for design in legs for upright in design.uprights]
    if uprights:
        note = f", {legs[0].bay.spacing_note.split('; ')[-1]}" if len(legs) == 1 else ""
        gaps = [gap for upright in uprights for gap in (upright.gap_before, upright.gap_after)]
        yield "Uprights", f"{len(uprights)}{note}"
        yield "Clear gaps", _range(gaps, show)
    strands = [strand for design in legs for strand in design.strands]
    if strands:
        gaps = [gap for strand in strands for gap in (strand.gap_below, strand.gap_above)]
        yield f"{strands[0].kind.value.capitalize()}s", str(len(strands))
        yield "Clear gaps between them", _range(gaps, show)
    panels = [panel for design in legs for panel in design.panels]
    if panels:
        yield f"{panels[0].kind.value.capitalize()}s", str(len(panels))


def _range(lengths: Sequence[float], show: Show) -> str:
    low, high = show(min(lengths)), show(max(lengths))
    return low if low == high else f"{low} to {high}"


def _verdict(findings: Sequence[Finding]) -> str:
    fails = sum(f.verdict is Verdict.FAIL for f in findings)
    unsure = sum(f.verdict is Verdict.UNSURE for f in findings)
    passes = sum(f.verdict is Verdict.PASS for f in findings)
    if not fails and not unsure:
        return f"All {passes} checks hold" if passes else "Reported, not judged: it stands already"
    words = [f"{fails} fail" if fails else "", f"{unsure} unsure" if unsure else "", f"{passes} hold"]
    return "Checks: " + ", ".join(word for word in words if word)


def _finding(finding: Finding) -> dict[str, object]:
    text = finding.text if finding.remedy is None else f"{finding.text} {finding.remedy}"
    return {
        "verdict": finding.verdict.value,
        "where": finding.where,
        "text": text,
        "loud": finding.verdict in (Verdict.FAIL, Verdict.UNSURE),
    }
