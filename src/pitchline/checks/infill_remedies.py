"""What brings an opening of the infill within its limit: more members, smaller slots, smaller gaps. Lengths in mm."""

from dataclasses import dataclass

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import Case
from pitchline.checks.opening_limits import Opening
from pitchline.design.brief import PanelKind, Spread, StrandKind, StrandsBrief
from pitchline.design.model import Design
from pitchline.kit.finding import Verdict, judge

_NAMES = {StrandKind.BAR: "bar", StrandKind.ROD: "rod", StrandKind.CABLE: "cable"}


@dataclass(frozen=True, slots=True)
class _Row:
    """Members that part a run: their name, how many, how wide, and how they are spread."""

    name: str
    count: int
    width: float
    spread: Spread


def member_name(design: Design) -> str:
    """What the infill is made of, one of them."""
    if design.strands:
        return _NAMES[design.strands[0].kind]
    return "panel" if design.panels else "upright"


def smaller_opening(case: Case, worst: Opening, figure: Figure) -> str:
    """What to change for an opening of the infill to pass."""
    if case.design.panels:
        return _panels(case, worst, figure)
    if case.design.strands and case.design.base is None and worst.where.startswith("between the steps"):
        return (
            "close what is open between the steps and the lowest strand with a string or a base rail: a strand lower "
            "down does not reach into the corners of the steps"
        )
    row = _row(case.design)
    excess = worst.measured + worst.expanded - figure.value_mm
    if row.spread is Spread.MODULE:
        article = "an" if row.name == "upright" else "a"
        return (
            f"make the module smaller by {case.words.enough(excess)}, or put a gap instead of {article} {row.name} "
            "in the middle (or the other way round)"
        )
    if row.spread is Spread.PER_TREAD:
        return "let one upright more stand on each tread, or closer together there by " + case.words.enough(
            excess
        )
    more = members_to_add(case, worst, figure)
    if more is None:
        return f"bring the {row.name}s closer together there by {case.words.enough(excess)}"
    return f"add {more} {row.name}{'' if more == 1 else 's'} ({row.count + more} in all)"


def _row(design: Design) -> _Row:
    if design.strands:
        strand, infill = design.strands[0], design.brief.infill
        spread = infill.spacing.spread if isinstance(infill, StrandsBrief) else Spread.EQUAL
        return _Row(member_name(design), len(design.strands), strand.depth, spread)
    brief = design.brief.uprights
    return _Row("upright", len(design.uprights), brief.width, brief.spacing.spread)


def members_to_add(case: Case, worst: Opening, figure: Figure) -> int | None:
    """The fewest members that bring the worst opening within its limit when all gaps shrink alike."""
    row, run = _row(case.design), case.design.bay.run
    if row.spread is Spread.GROUPS:
        return None
    parts = row.count if row.spread is Spread.HALF_ENDS and row.count else row.count + 1
    clear = run - row.count * row.width
    beyond_gap = worst.ball.diameter - clear / parts
    for more in range(1, int(clear // row.width) + 1):
        ball = (clear - more * row.width) / (parts + more) + beyond_gap
        if judge(ball, worst.expanded, figure.value_mm, figure.compare) is Verdict.PASS:
            return more
    return None


def _panels(case: Case, worst: Opening, figure: Figure) -> str:
    """Slots and patterns must become smaller, gaps beside panels narrower."""
    excess = worst.measured + worst.expanded - figure.value_mm
    if not worst.where.startswith("through"):
        less = case.words.enough(excess)
        return f"make the gap there smaller by {less} (edge_gap, joint), or lay a rail or a bead over it"
    if case.design.panels[0].kind is PanelKind.SLATTED:
        return f"make the slots narrower by {case.words.enough(excess)}"
    share = 100.0 * (figure.value_mm - worst.expanded) / worst.measured
    return f"draw the openings of the pattern smaller, no more than {share - 1.0:.0f} % of what they are"
