"""The model of an edge as a frame document, which any program can solve again."""

from pitchline.kit.frame.cut import cut_at_forces
from pitchline.kit.frame.document import document_text
from pitchline.kit.frame.document import frame_document as document_of
from pitchline.kit.frame.solve import solve
from pitchline.strength.report import StrengthReport, Unstable


def frame_document(report: StrengthReport | Unstable) -> dict[str, object]:
    """Nodes, members with springs at their likely values, unfactored cases, and the movements found.

    Members are cut where a force stands on them, so that loads are at nodes and along members only. An edge that does
    not stand is written without cases.
    """
    if isinstance(report, Unstable):
        return document_of(report.frame, ())
    frame, cases = cut_at_forces(report.model.frame, [load.case for load in report.cases])
    return document_of(frame, cases, solve(frame, cases))


def frame_text(report: StrengthReport | Unstable) -> str:
    """The same as text, one node, member or case a line."""
    return document_text(frame_document(report))
