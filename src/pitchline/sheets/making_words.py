"""How the workshop's sheets say things: settings of a saw, how a piece lies, how it is held."""

from collections.abc import Sequence

from pitchline.kit.geometry.bevels import slope_per
from pitchline.kit.tolerances import ENDS_ALIKE_DEG
from pitchline.making.jigs_saw import STOPS_UP_TO
from pitchline.making.settings import Holding, SetCut, Setting
from pitchline.making.shop import SawKind
from pitchline.parts.part import Face, Part
from pitchline.sheets.drawings import Style
from pitchline.sheets.listpages import NO_BREAK
from pitchline.sheets.looking import Show

SQUARE = "square"
UPRIGHT = "upright"


def mitre_words(setting: Setting) -> str:
    """What the mitre scale of a saw is set to, from square."""
    angle = setting.mitre_deg
    if abs(angle) <= ENDS_ALIKE_DEG:
        return SQUARE
    right = angle > 0.0
    match setting.saw.kind:
        case SawKind.MITRE:
            where = "to the right" if right else "to the left"
        case SawKind.TABLE:
            where = "right end of the gauge towards you" if right else "left end of the gauge towards you"
        case SawKind.RAIL:
            where = "near end of the rail to the right" if right else "near end of the rail to the left"
        case SawKind.HAND:
            where = "near end of the slot to the right" if right else "near end of the slot to the left"
    return f"{abs(angle):.2f}° {where}"


def tilt_words(setting: Setting) -> str:
    """What the blade's tilt is set to, from upright."""
    angle = setting.tilt_deg
    if abs(angle) <= ENDS_ALIKE_DEG:
        return UPRIGHT
    return f"{abs(angle):.2f}°, top to the {'left' if angle > 0.0 else 'right'}"


def setting_name(setting: Setting) -> str:
    """A setting in one line."""
    mitre, tilt = mitre_words(setting), tilt_words(setting)
    block = f", taper block of {setting.block_deg:g}°" if setting.block_deg else ""
    if (mitre, tilt) == (SQUARE, UPRIGHT):
        return f"{setting.saw.id}: square, blade upright{block}"
    return f"{setting.saw.id}: mitre {mitre}, blade {tilt}{block}"


def other_ways_to_set(setting: Setting, style: Style) -> str:
    """The same angles for a protractor, a square and a rule; empty where the saw is set square."""
    said = []
    for name, angle, line in (("Mitre", setting.mitre_deg, "guide"), ("Tilt", setting.tilt_deg, "table")):
        if abs(angle) > ENDS_ALIKE_DEG:
            said.append(
                f"{name} {abs(angle):.2f}° from square is {90.0 - abs(angle):.2f}° from the {line} on a "
                f"protractor, {_on_a_square(abs(angle), style)}."
            )
    return "\n".join(said)


def _on_a_square(angle_deg: float, style: Style) -> str:
    if style.inches:
        return f"{style.show(25.4 * slope_per(angle_deg, 12.0)).replace(' ', NO_BREAK)} to 12 in on a steel square"
    return f"{slope_per(angle_deg, 100.0):.1f} to 100 on a square"


def face_words(part: Part, face: Face) -> str:
    """What a long face is called; by its axis where it has no name."""
    return dict(part.face_names).get(face, f"face {face.value}")


def fence_words(part: Part, face: Face, kind: SawKind) -> str:
    """Which face is at what guides the piece: the fence, a mitre gauge; under a rail the one away from you."""
    where = {SawKind.TABLE: "at the gauge", SawKind.RAIL: "away from you"}.get(kind, "at the fence")
    return f"{face_words(part, face)}\n{where}"


def marks_words(cuts: Sequence[SetCut]) -> str:
    """The marks of several cuts and how many pieces: all of a few marks, first and last of many."""
    marks = list(dict.fromkeys(one.cut.mark for one in cuts))
    named = ", ".join(marks) if len(marks) <= 3 else f"{marks[0]} to {marks[-1]}"
    return f"{named}\n{sum(one.cut.quantity for one in cuts)} off, {cuts[0].cut.part.role.value}"


def end_words_of(one: SetCut) -> str:
    """Which end, what kind of cut, and whether it is the first on its piece."""
    kind = "" if one.cut.kind.value == "end" else f", {one.cut.kind.value}"
    turn = "first" if one.first else "second" if not kind else "after the ends"
    return f"{one.cut.end}{kind}\n{turn}"


def stop_words(cuts: Sequence[SetCut], kind: SawKind, show: Show) -> str:
    """Where the stop or the mark stands for several cuts: a length, or from which to which; none for a first end."""
    first = cuts[0]
    if first.first:
        return "none: the other end\nis still long"
    found = sorted({show(one.stop): one.stop for one in cuts}.items(), key=lambda pair: -pair[1])
    ends = [text.replace(" ", NO_BREAK) for text, _ in found]
    marked = kind is SawKind.RAIL or first.cut.part.length > STOPS_UP_TO
    what = "mark" if marked else "stop"
    side = "right" if first.on_right else "left"
    lengths = f"{what} {ends[0]}" if len(ends) == 1 else f"{what}s {ends[0]} to {ends[-1]}, see list"
    return f"{lengths}\n{side} of the blade,\n{_stop_line_words(first, kind)}"


def _stop_line_words(one: SetCut, kind: SawKind) -> str:
    """Along which line of the piece a length is set."""
    if kind is SawKind.RAIL:
        return "along the far edge, below" if one.low else "along the far edge, middle"
    guide = "gauge" if kind is SawKind.TABLE else "fence"
    return f"at table and {guide}" if one.low else f"in the middle of the {guide}"


HELD = {
    Holding.BY_HAND: "by hand",
    Holding.STICK: "OFF A LONG STICK",
    Holding.CARRIER: "IN A CARRIER",
}
"""How a piece is held, in the words of a table."""

HOLDING_NOTES = {
    Holding.STICK: (
        "Off a long stick: the piece is too short to hold. The stick lies under your hand on one side of the "
        "blade, the piece falls free on the other. Push the stick to the stop, hold it, swing the stop away, saw, "
        "and wait until the blade stands still before you reach for the piece."
    ),
    Holding.CARRIER: (
        "In a carrier: the piece is too short to hold and cannot come off a stick. Fix it with a toggle clamp or "
        "with screws in the waste on a board long enough for both hands to stay clear of the blade."
    ),
}
"""What a sheet says of pieces that may not be held by hand."""
