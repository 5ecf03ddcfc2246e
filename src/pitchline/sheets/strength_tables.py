"""The tables of the strength sheet, and the same as lists for the workbook and CSV files."""

import math
from collections.abc import Iterator, Sequence

from pitchline.catalogue.load import STATUSES
from pitchline.catalogue.rules import RuleSet
from pitchline.kit.drawing.sheet import Table
from pitchline.kit.finding import RuleRef
from pitchline.kit.force_words import ForceWords
from pitchline.kit.words import Words
from pitchline.sheets.drawings import Style
from pitchline.sheets.tables import Cell, Listing, Quantity
from pitchline.story_strength import EdgeStrength
from pitchline.strength.changes import Consequence
from pitchline.strength.cures import Change
from pitchline.strength.loads import LoadCase
from pitchline.strength.report import Movement, StrengthReport, Utilisation
from pitchline.strength.run import in_units

MOST_USES = 24
"""So many of the most used pieces and joints stand on the sheet; the list in the workbook has them all."""


def forces_of(style: Style) -> ForceWords:
    """How forces are written for this job."""
    return ForceWords(style.unit)


def percent(ratio: float) -> str:
    """A utilisation as it is read: whole percent; what bears nothing has none."""
    return "bears nothing" if math.isinf(ratio) else f"{100.0 * ratio:.0f} %"


def length(mm: float, style: Style) -> str:
    """A movement, where one that has no end is no number."""
    return "falls" if math.isinf(mm) else style.list_show(mm)


def by_kind(cases: Sequence[LoadCase]) -> dict[str, list[LoadCase]]:
    """The cases by their titles: one load at many places is one kind."""
    kinds: dict[str, list[LoadCase]] = {}
    for case in cases:
        kinds.setdefault(case.title, []).append(case)
    return kinds


def clause_of(rule: RuleRef | None) -> str:
    """Where a figure stands, and how well that is known."""
    return "assumed" if rule is None else f"{rule.clause}, {STATUSES[rule.status]}"


def loads_table(report: StrengthReport) -> Table:
    """What acts, by kind: its size as the rules write it, how many places were tried, and where it stands."""
    rows = tuple(
        (title, alike[0].value or "-", f"{len(alike)}", clause_of(alike[0].rule))
        for title, alike in by_kind(report.cases).items()
    )
    return Table(
        ("Load", "Size", "Cases", "Where it stands"),
        rows,
        ("left", "left", "right", "left"),
        (None, 30, 16, 90),
    )


def results_table(report: StrengthReport, style: Style) -> Table:
    """The largest movement under every kind of load."""
    titles = {case.id: case.title for case in report.cases}
    rows = tuple(_result(movement, titles, style) for movement in report.by_case)
    worst = max(range(len(rows)), key=lambda k: report.by_case[k].value, default=0)
    headings = ("Load", "Moves", "At best", "At worst", "Where", "Case")
    return Table(
        headings,
        rows,
        ("left", "right", "right", "right", "left", "left"),
        (None, 20, 20, 20, 62, 44),
        accents=frozenset({worst}) if report.movement.value > report.limit.value else frozenset(),
    )


def _result(movement: Movement, titles: dict[str, str], style: Style) -> tuple[str, ...]:
    low, value, high = (length(v, style) for v in (movement.low, movement.value, movement.high))
    return (titles.get(movement.case, movement.case), value, low, high, movement.where, movement.case)


def ordered_shares(movement: Movement) -> list[tuple[str, float]]:
    """What a movement is made of, the largest first."""
    return sorted(movement.shares.items(), key=lambda pair: -pair[1])


def split_table(movement: Movement, style: Style) -> Table:
    """The parts of the worst movement with their shares."""
    total = movement.value or 1.0
    rows = tuple(
        (f"{number}", name, style.list_show(value), f"{100.0 * value / total:.0f} %")
        for number, (name, value) in enumerate(ordered_shares(movement), start=1)
    )
    return Table(("", "From", "Moves", "Share"), rows, ("right", "left", "right", "right"), (8, 70, 24, 20))


def uses_table(report: StrengthReport, style: Style) -> Table:
    """The most used pieces and joints."""
    shown = report.utilisations[:MOST_USES]
    rows = tuple(_use(use, forces_of(style)) for use in shown)
    over = frozenset(number for number, use in enumerate(shown) if use.ratio > 1.0)
    return Table(
        ("Piece", "Strain", "Used", "Acts", "May bear", "Clause", "Load case"),
        rows,
        ("left", "left", "right", "right", "right", "left", "left"),
        (16, 50, 20, 26, 26, None, 50),
        accents=over,
    )


def _use(use: Utilisation, forces: ForceWords) -> tuple[str, ...]:
    acts, bears = forces.of(use.acts, use.unit), forces.of(use.bears, use.unit)
    return use.piece, use.what, percent(use.ratio), acts, bears, use.clause, use.case


def bases_table(report: StrengthReport, style: Style) -> Table:
    """Every base: its stiffness each way, low, likely and high, the play of its holes, what was taken for granted."""
    forces = forces_of(style)
    rows = []
    for standing in report.posts:
        base = standing.base
        across, along = base.across, base.along
        for way, known, play in (("across", across, base.play_across), ("along", along, base.play_along)):
            rows.append(
                (
                    standing.post if way == "across" else "",
                    base.name if way == "across" else "",
                    way,
                    *(forces.turning(k) for k in (known.low, known.mean, known.high)),
                    f"{math.degrees(play):.2f}°" if play else "-",
                    length(standing.moves, style) if way == "across" else "",
                )
            )
    return Table(
        ("Post", "Base", "Pushed", "Low", "Likely", "High", "Play", "Its head moves"),
        tuple(rows),
        ("left", "left", "left", "right", "right", "right", "right", "right"),
        (16, None, 20, 32, 32, 32, 16, 28),
    )


def sensitivity_table(report: StrengthReport, style: Style) -> Table:
    """Movement and utilisation with bases half, as likely and twice as stiff, and without glue."""
    rows = [("bases as likely", length(report.movement.value, style), percent(report.utilisation))]
    rows += [
        (f"bases {known.factor:g} times as stiff", length(known.movement, style), percent(known.utilisation))
        for known in report.sensitivity
    ]
    if report.unglued is not None:
        rows.append(("stacked rails without their glue", length(report.unglued, style), ""))
    return Table(("If", "Moves", "Most used"), tuple(rows), ("left", "right", "right"), (90, 28, 28))


def cures_table(changes: Sequence[Change], style: Style) -> Table:
    """What would make it hold."""
    rows = tuple(
        (
            change.sentence,
            length(change.after.movement, style),
            percent(change.after.utilisation),
            "holds" if change.holds else "does not suffice",
        )
        for change in changes
    )
    return Table(
        ("Change", "Moves then", "Most used then", ""),
        rows,
        ("left", "right", "right", "left"),
        (None, 26, 30, 34),
    )


def removal_table(consequences: Sequence[Consequence], style: Style) -> Table:
    """What happens without one post."""
    rows = tuple(
        (known.piece, "does not stand", "-", known.sentence)
        if known.after is None
        else (
            known.piece,
            length(known.after.movement, style),
            percent(known.after.utilisation),
            "",
        )
        for known in consequences
    )
    return Table(
        ("Without", "Moves", "Most used", ""), rows, ("left", "right", "right", "left"), (20, 28, 28, None)
    )


def walls_table(report: StrengthReport, style: Style) -> Table:
    """What walls must bear."""
    forces = forces_of(style)
    rows = tuple(
        (wall.piece, wall.kind, forces.force(wall.pull), forces.force(wall.shear), wall.case)
        for wall in report.walls
    )
    return Table(
        ("At", "What hangs there", "Pull out", "Shear", "Load case"),
        rows,
        ("left", "left", "right", "right", "left"),
        (20, 60, 28, 28, None),
    )


def known_table(strength: EdgeStrength, report: StrengthReport, style: Style) -> Table:
    """Every datum that the answer rests on, and how well it is known."""
    rows = tuple(dict.fromkeys(_known(strength, report, forces_of(style))))
    return Table(("Datum", "As used", "How it is known", "Source"), rows, widths=(62, None, 52, 62))


def _known(strength: EdgeStrength, report: StrengthReport, forces: ForceWords) -> Iterator[tuple[str, ...]]:
    for piece in report.model.pieces:
        wood = piece.wood
        values = f"E {forces.stress(wood.e)}, G {forces.stress(wood.g)}, {wood.rho_mean:.0f} kg/m3"
        yield wood.material, f"{wood.assumed}; {values}", STATUSES[wood.status], wood.values.source.title
    rail = report.settings.rail_fixing
    yield (
        "fixings of rail ends",
        f"{rail.count} x {rail.fixing.name}",
        STATUSES[rail.fixing.status],
        rail.fixing.source.title,
    )
    for standing in report.posts:
        for told in standing.base.assumed:
            said = in_units(told, strength.words)
            yield f"base of {standing.post}", said, _base_status(standing.base.name), ""
    yield from _figures(strength.rules, report)


def _base_status(name: str) -> str:
    return "read on site" if name.endswith("pulled at") else STATUSES["CP"]


def _figures(rules: RuleSet, report: StrengthReport) -> Iterator[tuple[str, ...]]:
    """The figures of the place behind the loads and the limit."""
    refs = [case.rule for case in report.cases if case.rule is not None]
    refs += [] if report.limit.rule is None else [report.limit.rule]
    clauses = {ref.clause for ref in refs}
    for figure in rules.figures.values():
        if figure.clause in clauses and figure.id.startswith(("load.", "deflection.")):
            yield (
                figure.meaning,
                f"{figure.written}, {figure.clause}",
                STATUSES[figure.status],
                figure.source.title,
            )


def stiffness_list(edges: Sequence[EdgeStrength]) -> Listing:
    """Designs beside each other: how far each moves, against what, and what is used most."""
    rows: list[tuple[Cell, ...]] = []
    accents: set[int] = set()
    for number, edge in enumerate(edges):
        report = edge.report
        if report is None:
            rows.append((edge.name, "does not stand", "", "", "", "", ""))
            accents.add(number)
            continue
        movement, governing = report.movement, report.governing
        moves = (
            Quantity(v) if math.isfinite(v) else "falls"
            for v in (movement.low, movement.value, movement.high)
        )
        used = percent(governing.ratio)
        rows.append((edge.name, *moves, Quantity(report.limit.value), used, governing.where))
        if not report.holds:
            accents.add(number)
    headings = ("Design", "Moves at best", "Likely", "At worst", "Limit", "Most used", "What")
    intro = "How far the handrail moves under the loads of the rules, and what comes nearest its strength."
    return Listing(
        "stiffness-compared",
        "Stiffness of the designs",
        headings,
        tuple(rows),
        frozenset(accents),
        intro,
        wide=True,
    )


def strength_lists(strength: EdgeStrength, style: Style) -> Iterator[Listing]:
    """Utilisations, movements and bases as lists."""
    report = strength.report
    if report is None:
        return
    yield _uses_list(strength.name, report)
    yield _movements_list(strength.name, report)
    yield _bases_list(strength.name, report, strength.words)


def _uses_list(name: str, report: StrengthReport) -> Listing:
    rows = tuple(
        (
            use.piece,
            use.what,
            "bears nothing" if math.isinf(use.ratio) else Quantity(use.ratio, "number"),
            Quantity(use.acts, "number") if math.isfinite(use.acts) else "",
            Quantity(use.bears, "number") if math.isfinite(use.bears) else "",
            use.unit,
            use.clause,
            use.case,
            use.worked,
        )
        for use in report.utilisations
    )
    over = frozenset(number for number, use in enumerate(report.utilisations) if use.ratio > 1.0)
    headings = ("Piece", "Strain", "Used", "Acts", "May bear", "Unit", "Clause", "Load case", "Worked")
    intro = "How far every piece and joint is used: 1 and less holds. Acts and may bear are in N, Nmm or MPa."
    return Listing(
        f"{name}-utilisations",
        f"Utilisations of {name}",
        headings,
        rows,
        over,
        intro,
        wide=True,
        on_paper=False,
    )


def _movements_list(name: str, report: StrengthReport) -> Listing:
    titles = {case.id: case.title for case in report.cases}
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            titles.get(movement.case, movement.case),
            *(
                Quantity(v) if math.isfinite(v) else "falls"
                for v in (movement.value, movement.low, movement.high)
            ),
            movement.where,
            movement.case,
        )
        for movement in report.by_case
    )
    headings = ("Load", "Moves", "At best", "At worst", "Where", "Load case")
    intro = "The largest level movement of the handrail under every kind of load."
    return Listing(
        f"{name}-movements", f"Movements of {name}", headings, rows, intro=intro, wide=True, on_paper=False
    )


def _bases_list(name: str, report: StrengthReport, words: Words) -> Listing:
    rows = tuple(
        (
            standing.post,
            standing.base.name,
            way,
            *(
                "rigid" if math.isinf(k) else Quantity(k / 1e6, "number")
                for k in (known.low, known.mean, known.high)
            ),
            in_units("; ".join(standing.base.assumed), words),
        )
        for standing in report.posts
        for way, known in (("across", standing.base.across), ("along", standing.base.along))
    )
    headings = ("Post", "Base", "Pushed", "Low", "Likely", "High", "Taken for granted")
    intro = "How stiff the bases of the posts are taken to be against being turned, kNm/rad."
    return Listing(
        f"{name}-bases", f"Bases of {name}", headings, rows, intro=intro, wide=True, on_paper=False
    )
