"""The model of an edge as a frame document, which any program can solve again."""

import math
from dataclasses import replace

from pitchline.kit.frame.cut import cut_at_forces
from pitchline.kit.frame.document import document_text
from pitchline.kit.frame.document import frame_document as document_of
from pitchline.kit.frame.loads import Case, NodalLoad
from pitchline.kit.frame.model import Frame
from pitchline.kit.frame.solve import solve
from pitchline.strength.report import StrengthReport, Unstable


def frame_document(report: StrengthReport | Unstable) -> dict[str, object]:
    """Nodes, members with springs at their likely values, unfactored cases, and the movements found.

    Members are cut where a force stands on them, and the play of bolts acts as the force of the spring that it moves,
    so that loads are at nodes and along members only. An edge that does not stand is written without cases.
    """
    if isinstance(report, Unstable):
        return document_of(report.frame, ())
    frame, cases = cut_at_forces(report.model.frame, [load.case for load in report.cases])
    cases = tuple(_unsettled(frame, case) for case in cases)
    return document_of(frame, cases, solve(frame, cases))


def _unsettled(frame: Frame, case: Case) -> Case:
    """Ground that moves under a spring as a force k d at its node; under a fixed node it stays what it is."""
    loads, left = [], {}
    for name, moved in case.displacements.items():
        springs = frame.ground[frame.node_index[name]].tolist()
        if any(math.isinf(k) and d for k, d in zip(springs, moved, strict=True)):
            left[name] = moved
        else:
            a, b, c, d, e, f = (k * m if m else 0.0 for k, m in zip(springs, moved, strict=True))
            loads.append(NodalLoad(name, (a, b, c, d, e, f)))
    return replace(case, nodal=(*case.nodal, *loads), displacements=left)


def frame_text(report: StrengthReport | Unstable) -> str:
    """The same as text, one node, member or case a line."""
    return document_text(frame_document(report))
