"""Cards of full-size angles to set a sliding bevel by."""

import math
from collections.abc import Iterable, Sequence

from pitchline.kit.drawing.marks import Anchor, AngleMark, Drawing, Label, Mark, Pen, Stroke
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.tolerances import ENDS_ALIKE_DEG
from pitchline.parts.explode import Group

LEAST_CARD_DEG = 1.5
"""Smaller angles are set by measuring their slope: no sliding bevel shows them."""


def bevel_card(angles: Sequence[tuple[float, str]], identity: str) -> Drawing:
    """Full-size angles to set a sliding bevel by: a base line, a square line and the cut, each named."""
    marks: list[Mark] = []
    for index, (angle, name) in enumerate(angles):
        left = (index % 2) * 86.0
        low = -(index // 2) * 80.0
        arm = 62.0
        base = (left, low)
        top = (left + arm * math.sin(math.radians(angle)), low + arm * math.cos(math.radians(angle)))
        words = f"{angle:.2f}° from square (saw scale)\n{90 - angle:.2f}° from the edge (protractor)\n{name}"
        marks += [
            Stroke(((left - 4.0, low), (left + 68.0, low)), Pen.OUTLINE),
            Stroke((base, (left, low + arm)), Pen.CENTRE),
            Stroke((base, top), Pen.CUT),
            AngleMark(base, 90.0 - angle, 90.0, 44.0, f"{angle:.2f}°"),
            AngleMark(base, 0.0, 90.0 - angle, 28.0, f"{90 - angle:.2f}°"),
            Label((left, low - 3.0), words, 2.5, Anchor.TOP_LEFT),
        ]
    return Drawing(identity, "Full-size angles for the sliding bevel", 1.0, tuple(marks), "print at 100 %")


def distinct_angles(groups: Iterable[Group]) -> tuple[tuple[float, str], ...]:
    """The different end angles of all parts with the marks they are for, largest first."""
    found: list[tuple[float, list[str]]] = []
    for group in groups:
        for cut in (*group.part.start_cuts, *group.part.finish_cuts):
            reading = saw_reading(cut.normal)
            for angle in (abs(reading.mitre_deg), abs(reading.bevel_deg)):
                if angle < LEAST_CARD_DEG:
                    continue
                for known, marks in found:
                    if abs(known - angle) <= ENDS_ALIKE_DEG:
                        if group.mark not in marks:
                            marks.append(group.mark)
                        break
                else:
                    found.append((angle, [group.mark]))
    found.sort(key=lambda pair: -pair[0])
    return tuple((angle, _few(marks)) for angle, marks in found)


def _few(marks: Sequence[str]) -> str:
    return (
        ", ".join(marks)
        if len(marks) <= 6
        else f"{', '.join(marks[:3])} ... {marks[-1]} ({len(marks)} marks)"
    )
