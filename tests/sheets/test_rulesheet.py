"""The rules sheet: every judged finding with its limit, the worst place drawn, what to ask the authority."""

from functools import cache

from pitchline.catalogue.rules import load_rule_set
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.drawing.sheet import Section, TextPage
from pitchline.kit.finding import Verdict
from pitchline.kit.units import Unit
from pitchline.sheets.drawings import Style
from pitchline.sheets.rulesheet import JUDGED, PICTURE, rule_sheet
from pitchline.story import Solved, solve

STYLE = Style(Unit.MM, "A3", first_angle=True)


@cache
def solved(rules_id: str) -> Solved:
    return solve(load_text(starting_text("mm", Unit.MM)), judged_by=load_rule_set(rules_id))


def page(rules_id: str) -> TextPage:
    whole = solved(rules_id)
    return rule_sheet(whole.designs[0], whole.rules, STYLE)


def section(rules_id: str, heading: str) -> Section:
    return next(part for part in page(rules_id).sections if part.heading == heading)


def test_every_judged_finding_has_its_row_worst_first() -> None:
    rows = section("us-irc-2021", "What was checked").tables[0].rows
    judged = [f for f in solved("us-irc-2021").designs[0].report.findings if f.verdict in JUDGED]
    assert len(rows) == len(judged)
    assert rows[0][0] == "fail"
    texts = " ".join(str(cell) for row in rows for cell in row)
    for finding in judged:
        assert finding.rule is None or finding.rule.clause in texts.replace("\u00a0", " ")


def test_the_worst_place_is_drawn_with_its_ball() -> None:
    part = section("england-dwelling", "The tightest opening")
    assert part.picture is not None
    assert part.picture.width_mm == PICTURE[0]
    assert part.picture.height_mm == PICTURE[1]
    worst = max(o.ball.diameter for o in solved("england-dwelling").designs[0].report.openings)
    assert f"{worst:.1f}" in part.caption
    assert "limit 100" in part.caption


def test_limits_not_read_in_the_text_are_named_to_ask_about() -> None:
    """AD K 1.34 (handrail 900 to 1000 mm) was read second hand, diagram 3.1 in the text itself."""
    rows = section("england-dwelling", "Figures to ask your building authority about").tables[0].rows
    clauses = {str(row[2]) for row in rows}
    assert "AD K 1.34" in clauses
    assert not any("Diagram 3.1" in clause for clause in clauses)


def test_it_approves_nothing() -> None:
    sheet = page("england-dwelling")
    words = " ".join(text for part in sheet.sections for text in (*part.paragraphs, *part.points)).lower()
    assert "not an approval" in words
    assert "approved by" not in words
    assert any(f.verdict is Verdict.PASS for f in solved("england-dwelling").findings())
