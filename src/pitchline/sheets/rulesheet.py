"""The rules sheet of a design: every check with its figure, clause and standing, the worst place as a picture.

For the person who inspects the work: what was measured, how surely, against which limit, from where, and how well
that limit is known. It judges figures; it is no approval.
"""

from collections.abc import Iterator, Sequence

from pitchline.catalogue.rules import STATUSES, Figure, RuleSet
from pitchline.kit.drawing.marks import Bounds
from pitchline.kit.drawing.sheet import Section, Table, TextPage
from pitchline.kit.drawing.svg import write_svg
from pitchline.kit.finding import Finding, Verdict
from pitchline.sheets.drawings import Style
from pitchline.sheets.listpages import table_of
from pitchline.sheets.looking import Looker
from pitchline.sheets.openingsview import ball_words, openings_drawing, worst_openings
from pitchline.sheets.tables import findings_list
from pitchline.story import SolvedDesign

JUDGED = (Verdict.FAIL, Verdict.UNSURE, Verdict.PASS)
PICTURE = (150.0, 62.0)
"""Paper mm of the picture of the worst place."""


def rule_sheet(solution: SolvedDesign, rules: RuleSet, style: Style) -> TextPage:
    """One design against one rule set."""
    sections = (
        _judged(solution, rules, style),
        *_worst_place(solution, style),
        *_known(solution, rules),
        _cautions(rules),
    )
    title = f"Design {solution.design.id} against {rules.title}"
    return TextPage(title, sections, style.list_paper, landscape=True)


def _judged(solution: SolvedDesign, rules: RuleSet, style: Style) -> Section:
    judged = [finding for finding in solution.report.findings if finding.verdict in JUDGED]
    listing = findings_list("judged", "", judged, style.list_show)
    counts = [f"{sum(f.verdict is verdict for f in judged)} {verdict.value}" for verdict in JUDGED]
    standing = rules.in_force if rules.status == "in force" else f"{rules.in_force} ({rules.status})"
    scope = f"{rules.title}, {rules.edition}; in force: {standing}. {', '.join(counts)}."
    how = (
        "Measured afresh on the finished design. The expanded uncertainty (k = 2) is that of the survey and of "
        "setting out: a check passes or fails only where the whole interval does, otherwise it is unsure. Not an "
        "approval."
    )
    return Section("What was checked", (scope, how), tables=(table_of(listing, style),))


def _worst_place(solution: SolvedDesign, style: Style) -> Iterator[Section]:
    """The opening nearest its limit, drawn with the ball in it."""
    worst = worst_openings(solution.report.openings)[:1]
    for opening in worst:
        drawing = openings_drawing(solution.design, solution.report, style.show, PICTURE_SCALE)
        u, z = Looker(solution.design.side).at(opening.ball.centre)
        half = (PICTURE[0] / 2 * PICTURE_SCALE, PICTURE[1] / 2 * PICTURE_SCALE)
        window = Bounds(u - half[0], z - half[1], u + half[0], z + half[1])
        words = ball_words(opening, style.show).replace("\n", ", ")
        yield Section("The tightest opening", picture=write_svg(drawing, window), caption=words)


PICTURE_SCALE = 10.0
"""The worst place is drawn at 1:10."""


def _known(solution: SolvedDesign, rules: RuleSet) -> Iterator[Section]:
    """The limits behind the checks that were not read in the published text."""
    used = _figures_behind(solution.report.findings, rules)
    unread = [figure for figure in used if not figure.verified]
    if not unread:
        return
    rows = tuple(
        (figure.meaning, figure.written, figure.clause, STATUSES[figure.status], figure.source.title)
        for figure in unread
    )
    headings = ("Figure", "As used", "Clause", "How it is known", "Source")
    table = Table(headings, rows, widths=(None, 24.0, 44.0, 60.0, 60.0))
    yield Section(
        "Figures to ask your building authority about",
        ("These limits were used above but not read in the published text itself.",),
        tables=(table,),
    )


def _figures_behind(findings: Sequence[Finding], rules: RuleSet) -> list[Figure]:
    """The figures whose clause a judged finding names, in the order of the findings, each once."""
    clauses = dict.fromkeys(
        finding.rule.clause for finding in findings if finding.rule is not None and finding.verdict in JUDGED
    )
    by_clause: dict[str, list[Figure]] = {}
    for figure in rules.figures.values():
        by_clause.setdefault(figure.clause, []).append(figure)
    return [figure for clause in clauses for figure in by_clause.get(clause, [])]


def _cautions(rules: RuleSet) -> Section:
    controlled = [note.text for note in rules.notes_on("controlled work")]
    return Section("Cautions", points=(*controlled, *(note.text for note in rules.cautions)))
