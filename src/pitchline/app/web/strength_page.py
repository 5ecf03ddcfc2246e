"""The strength page: how far each design gives way and how near it is to its limits; then the sheets on it."""

from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.app.web.check_page import Line, line
from pitchline.app.web.desk import Desk
from pitchline.app.web.pages import Page, Told
from pitchline.app.web.sheets_page import PIECES, told_of
from pitchline.app.web.state import State
from pitchline.app.web.words import Words
from pitchline.kit.finding import Verdict
from pitchline.kit.units import Unit, show_length


@dataclass(frozen=True, slots=True)
class Standing:
    """One edge of a design: whether it stands, its movement and its use as gauges, and what presses."""

    name: str
    verdict: Verdict
    moves: str
    allowed: str
    gives: float | None
    use: float | None
    governing: str
    where: str
    lines: tuple[Line, ...]


def standings(state: State, unit: Unit) -> Iterator[Standing]:
    """Every edge of every design, as far as it was worked out."""
    if state.solved is None:
        return
    for whole in state.solved.balustrades:
        for edge in whole.strength:
            report = edge.report
            pressing = [f for f in edge.findings if f.verdict in (Verdict.FAIL, Verdict.UNSURE)]
            worst = min((f.verdict for f in edge.findings), key=_ORDER.index, default=Verdict.PASS)
            lines = tuple(line(finding, unit) for finding in pressing)
            if report is None:
                yield Standing(edge.name, worst, "", "", None, None, "", "", lines)
                continue
            moved, limit = report.movement.value, report.limit.value
            yield Standing(
                name=edge.name,
                verdict=worst,
                moves=_length(moved, unit),
                allowed=_length(limit, unit),
                gives=min(moved / limit, 2.0) / 2.0 if limit else None,
                use=min(report.utilisation, 2.0) / 2.0,
                governing=f"{100.0 * report.utilisation:.0f} %",
                where=report.movement.where,
                lines=lines,
            )


_ORDER = (Verdict.FAIL, Verdict.UNSURE, Verdict.ADVICE, Verdict.REPORT, Verdict.PASS)


def _length(value: float, unit: Unit) -> str:
    return f"{show_length(value, unit)} mm" if unit is Unit.MM else show_length(value, unit)


def _tell(desk: Desk, state: State, words: Words) -> Told:
    del words
    return {"standings": tuple(standings(state, state.unit)), **told_of("strength", desk, state)}


PAGE = Page(
    "strength",
    "strength.html",
    _tell,
    {"strength": "strength_piece.html", **PIECES},
    ("work.js",),
    ("check.css", "sheets.css"),
)
