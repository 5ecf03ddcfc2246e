"""The lists of a job as plain rows: one authoring for the PDF, the CSV files and the workbook.

A cell is text, or a number with its kind; who writes the list decides how a number looks there.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from pitchline.checks.run import CheckReport
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.bevels import EndsRelation, SawReading, ends_relation, saw_reading
from pitchline.kit.geometry.frames import Plane
from pitchline.parts.explode import Group
from pitchline.parts.marks import Mark, running_marks, tread_places
from pitchline.parts.measure import mass
from pitchline.parts.part import Fixing
from pitchline.sheets.families import Family
from pitchline.sheets.looking import Show
from pitchline.stair.model import Flight
from pitchline.survey.adjust import Adjusted
from pitchline.survey.review import reading_table

Kind = Literal["length", "degrees", "count", "mass", "number"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in a list: mm, degrees, pieces, kilograms, or plain."""

    value: float
    kind: Kind = "length"


Cell = str | Quantity


@dataclass(frozen=True, slots=True)
class Listing:
    """One list: a short id fit for a file name, a title, headings, rows, and the rows that call for attention.

    ``on_paper``: it stands in ``lists.pdf``; not so where a sheet of its own subject shows what it holds.
    """

    id: str
    title: str
    headings: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    accents: frozenset[int] = frozenset()
    intro: str = ""
    widths: tuple[float | None, ...] = ()
    wide: bool = False
    on_paper: bool = True


def cell_text(cell: Cell, show: Show) -> str:
    """A cell as it is written for the user."""
    if isinstance(cell, str):
        return cell
    match cell.kind:
        case "length":
            return show(cell.value)
        case "degrees":
            return f"{cell.value:.2f}°"
        case "count":
            return f"{cell.value:.0f}"
        case "mass":
            return f"{cell.value:.2f} kg"
        case "number":
            return f"{cell.value:.2f}"


def cut_list(design: str, groups: Sequence[Group], densities: dict[str, float]) -> Listing:
    """Every group of parts with its sizes and the saw's reading at both ends, all from square."""
    rows = tuple(_cut_row(group, densities) for group in groups)
    return Listing(
        f"{design}-cut-list",
        f"Cut list, design {design}",
        (
            "Mark", "Off", "What", "Material", "Long point", "Short point", "Wide face", "Thick",
            "Blank", "Start end", "Far end", "Ends", "Mass each", "Places",
        ),
        rows,
        intro="Sizes are finished sizes. Long point: longest point to longest point; short point: the shortest of "
        "the four long edges, left out where a taper takes one away; blank: with what is left for fitting. Angles "
        "are the saw's, from a square cut (0): mitre in the wide face, bevel through the thickness. Parallel ends "
        "are cut at one setting without turning the piece over; mirrored ends at one setting with the piece turned "
        "over.",
    )  # fmt: skip


def _cut_row(group: Group, densities: dict[str, float]) -> tuple[Cell, ...]:
    part = group.part
    start, finish = (
        tuple(saw_reading(c.normal) for c in cuts) for cuts in (part.start_cuts, part.finish_cuts)
    )
    relation = (
        ends_relation(start[0], finish[0]) if len(start) == len(finish) == 1 else EndsRelation.DIFFERENT
    )
    density = densities.get(part.material)
    return (
        group.mark,
        Quantity(group.quantity, "count"),
        part.role.value,
        part.material,
        Quantity(part.length),
        Quantity(part.body.short_length) if part.body.short_length > 0 else "",
        Quantity(part.width),
        Quantity(part.thickness),
        Quantity(part.blank_length),
        " and ".join(end_words(reading) for reading in start),
        " and ".join(end_words(reading) for reading in finish),
        relation.value,
        "" if density is None else Quantity(mass(part, density), "mass"),
        _places(group.places),
    )


def end_words(reading: SawReading) -> str:
    """The angles of an end cut that are not nothing, from square."""
    pieces = []
    for name, angle in (("mitre", reading.mitre_deg), ("bevel", reading.bevel_deg)):
        if abs(angle) >= 0.005:
            pieces.append(f"{name} {angle:+.2f}°")
    return " ".join(pieces) or "square"


def _places(places: Sequence[str]) -> str:
    return (
        places[0]
        if len(places) == 1
        else f"{places[0]} to {places[-1]}"
        if _runs(places)
        else ", ".join(places)
    )


def _runs(places: Sequence[str]) -> bool:
    """Whether place marks follow one another without a gap."""
    numbers = [int("".join(ch for ch in place if ch.isdigit()) or 0) for place in places]
    return numbers == list(range(numbers[0], numbers[0] + len(numbers)))


def end_angles(design: str, alike: Iterable[Family]) -> Listing:
    """Every end angle as the saw, the protractor and the steel square read it; one row for pieces cut alike."""
    rows = []
    for family in alike:
        for name, cuts in (("start", family.part.start_cuts), ("far", family.part.finish_cuts)):
            rows += [_angle_row(family.marks, name, cut) for cut in cuts]
    return Listing(
        f"{design}-end-angles",
        f"End angles, design {design}",
        (
            "Mark",
            "End",
            "Mitre, from square",
            "From the edge",
            "In 100",
            "In 12",
            "Bevel, from square",
            "In 100",
        ),
        tuple(rows),
        intro="The mitre is turned in the wide face, the bevel leans through the thickness. Saw scales read from "
        "square, protractors from the edge. 'In 100' and 'in 12' are the slope: so much along for 100 mm (or 12 in "
        "on the steel square) across. Signs tell the hand: equal signs at both ends are parallel cuts.",
    )


def _angle_row(mark: str, end: str, cut: Plane) -> tuple[Cell, ...]:
    reading = saw_reading(cut.normal)
    return (
        mark,
        end,
        Quantity(reading.mitre_deg, "degrees"),
        Quantity(reading.from_edge_deg, "degrees"),
        Quantity(reading.rise_per_100, "number"),
        Quantity(reading.rise_per_12, "number"),
        Quantity(reading.bevel_deg, "degrees"),
        Quantity(reading.bevel_per_100, "number"),
    )


def findings_list(identity: str, title: str, findings: Sequence[Finding], show: Show) -> Listing:
    """Findings, worst first, each with what was measured and the limit."""
    ranked = sorted(
        findings, key=lambda finding: _LOUD.index(finding.verdict) if finding.verdict in _LOUD else 9
    )
    rows = tuple(_finding_row(finding, show) for finding in ranked)
    loud = frozenset(index for index, finding in enumerate(ranked) if finding.verdict in _LOUD)
    headings = ("Verdict", "Where", "What", "Measured", "Limit", "Rule")
    return Listing(identity, title, headings, rows, loud, widths=FINDING_WIDTHS, wide=True)


FINDING_WIDTHS = (16.0, 34.0, None, 28.0, 20.0, 40.0)
_LOUD = (Verdict.FAIL, Verdict.UNSURE)


def _finding_row(finding: Finding, show: Show) -> tuple[Cell, ...]:
    text = finding.text if finding.remedy is None else f"{finding.text} {finding.remedy}"
    rule = "" if finding.rule is None else f"{finding.rule.id} {finding.rule.clause} ({finding.rule.status})"
    return (
        finding.verdict.value,
        finding.where,
        text,
        _with_uncertainty(finding, show),
        _value(finding.limit, finding.unit, show),
        rule,
    )


def _value(value: float | None, unit: str, show: Show) -> str:
    if value is None:
        return ""
    if unit == "mm":
        return show(value)
    return f"{value:.2f}°" if unit == "deg" else f"{value:.3g} {unit}".strip()


def _with_uncertainty(finding: Finding, show: Show) -> str:
    measured = _value(finding.measured, finding.unit, show)
    if not measured or not finding.expanded_uncertainty:
        return measured
    return f"{measured} ± {_value(finding.expanded_uncertainty, finding.unit, show)}"


def readings_list(flight: str, adjusted: Adjusted) -> Listing:
    """Every reading beside its adjusted value, its residual and the smallest slip that would be noticed."""
    rows = tuple(
        (
            row.reading.id,
            row.reading.instrument,
            _of(row.read, row.unit),
            _of(row.adjusted, row.unit),
            _of(row.residual, row.unit),
            Quantity(row.standardised, "number"),
            Quantity(100 * row.checked, "count"),
            "nothing checks it"
            if row.smallest_noticed == float("inf")
            else _of(row.smallest_noticed, row.unit),
        )
        for row in reading_table(adjusted)
    )
    return Listing(
        f"{flight}-readings",
        f"Readings of flight {flight}, adjusted",
        (
            "Reading",
            "Instrument",
            "Read",
            "Adjusted",
            "Difference",
            "Standardised",
            "Checked %",
            "Slip noticed from",
        ),
        rows,
        intro="The readings are adjusted by least squares, each weighed by its instrument. A standardised difference "
        "above 3.3 points to a slip. 'Checked' says how far the other readings check this one: 0 not at all.",
    )


def _of(value: float, unit: str) -> Quantity:
    return Quantity(value, "degrees" if unit == "deg" else "length")


def stair_list(flight: Flight, sigmas: Sequence[tuple[float, float]]) -> Listing:
    """The finished steps: rise, going, and where each nosing is, with its expanded uncertainty (k = 2)."""
    rows: list[tuple[Cell, ...]] = []
    for index, ((u, z), (su, sz)) in enumerate(zip(flight.nosings, sigmas, strict=True)):
        going: Cell = Quantity(flight.goings[index]) if index < len(flight.goings) else ""
        sizes = (Quantity(u), Quantity(2 * su), Quantity(z), Quantity(2 * sz))
        rows.append((f"N{index + 1}", Quantity(flight.rises[index]), going, *sizes))
    return Listing(
        f"{flight.id}-steps",
        f"Steps of flight {flight.id}, finishes laid",
        ("Nosing", "Rise below it", "Going above it", "Along from N1", "± along", "Height", "± height"),
        tuple(rows),
        intro="Heights are from the finished lower floor, places along from the first nosing. ± is the expanded "
        "uncertainty (k = 2): the true value lies within it in about 95 cases of 100.",
    )


def heights_list(design: str, report: CheckReport) -> Listing:
    """Plumb height of the rail's top above every nosing."""
    rows = tuple(
        (height.nosing, Quantity(height.height), Quantity(height.expanded)) for height in report.heights
    )
    return Listing(
        f"{design}-heights",
        f"Height of the handrail, design {design}",
        ("Nosing", "Top of the rail above it, plumb", "±"),
        rows,
        intro="To the top of the rail, plumb from the finished nosing.",
    )


def openings_list(design: str, report: CheckReport) -> Listing:
    """Every opening with the largest ball that passes it."""
    rows = tuple(
        (opening.where, Quantity(opening.ball.diameter), _limit(opening.limit), opening.verdict.value)
        for opening in report.openings
    )
    loud = frozenset(i for i, opening in enumerate(report.openings) if opening.verdict in _LOUD)
    return Listing(
        f"{design}-openings",
        f"Openings, design {design}",
        ("Opening", "Largest ball that passes", "Limit", "Verdict"),
        rows,
        loud,
    )


def _limit(limit: float | None) -> Cell:
    return "" if limit is None else Quantity(limit)


def marks_lists(design: str, laid_out: Design, show: Show, step: float) -> Iterator[Listing]:
    """Running marks of the uprights on both rails, from one datum, and the fillets or blocks between them.

    ``step`` is the smallest division shown (mm): what stepping off lengths rounded to it would cost is said.
    """
    if not laid_out.uprights:
        return
    table = running_marks(laid_out)
    for bar in table.bars:
        rows: list[tuple[Cell, ...]] = [_mark_row(mark) for mark in bar.marks]
        end = Quantity(bar.length)
        level = Quantity(bar.length * math.cos(math.radians(bar.slope_deg)))
        rows.append(("far end", end, "", level, "", Quantity(bar.clear_after), Quantity(bar.fillet_after)))
        yield Listing(
            f"{design}-marks-{bar.bar}",
            f"Running marks on {bar.bar} ({bar.role.value}), design {design}",
            (
                "Upright", "Its lower edge, along the rake", "Its centre, along the rake", "Lower edge, level",
                "Centre, level", "Clear before it, along the rake", "Fillet or block before it",
            ),
            tuple(rows),
            intro=f"Everything from one datum: {bar.datum}. Mark each place from there; never step off. "
            f"{table.closing} Stepping off lengths rounded to {show(step)} would put the last upright "
            f"{show(abs(bar.stepped_off(step)))} out; marks rounded one by one are at most "
            f"{show(bar.rounding(step))} out. Lengths along the rake are longer than level ones: do not mix them.",
        )  # fmt: skip


def tread_marks_list(design: str, laid_out: Design) -> Iterator[Listing]:
    """Where the uprights stand on the treads, each from its own riser, and how long each is seen."""
    if laid_out.base is not None or not laid_out.uprights:
        return
    rows: list[tuple[Cell, ...]] = []
    for place in tread_places(laid_out):
        floor = "lower floor" if place.number == 0 else f"tread {place.number}"
        from_riser: Cell = "" if place.from_riser is None else Quantity(place.from_riser)
        rows.append((place.upright, floor, from_riser, Quantity(place.along), Quantity(place.seen)))
    yield Listing(
        f"{design}-treads",
        f"Uprights on the treads, design {design}",
        ("Upright", "Stands on", "Its lower face from the riser's face", "Its centre from N1", "Seen length"),
        tuple(rows),
        intro="All level. The lower face is the one that looks down the stair; it is set out from the face of the "
        "riser below the tread, so that a going that is out throws nothing beyond its own tread. The seen length is "
        "to the longest point.",
    )


def fixings_list(design: str, fixings: Sequence[Fixing], show: Show) -> Listing:
    """The hardware that the joints need, with quantities."""
    rows = tuple(
        (
            fixing.what,
            Quantity(fixing.quantity, "count"),
            " ".join(filter(None, (" x ".join(map(show, fixing.sizes)), fixing.size))),
            fixing.where,
            fixing.note,
        )
        for fixing in fixings
    )
    headings = ("Fixing", "Off", "Size", "Where", "Note")
    return Listing(f"{design}-fixings", f"Fixings, design {design}", headings, rows)


def _mark_row(mark: Mark) -> tuple[Cell, ...]:
    return (
        mark.upright,
        Quantity(mark.edge),
        Quantity(mark.centre),
        Quantity(mark.edge_level),
        Quantity(mark.centre_level),
        Quantity(mark.clear_before),
        Quantity(mark.fillet_before),
    )
