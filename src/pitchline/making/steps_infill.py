"""Steps from the gate between the rails until all is fitted: the infill cut and got in as its joints allow."""

from collections.abc import Iterator, Sequence

from pitchline.design.brief import PanelKind
from pitchline.design.makings import BarFixing, BoredMetal, OnTreads
from pitchline.design.model import Design
from pitchline.making.order import STAIR, Act, Need, Place, Step, Wait
from pitchline.making.order_entry import Way
from pitchline.making.order_parts import Family
from pitchline.making.order_stages import PLACE_MINUTES, lots_of
from pitchline.making.order_work import Work, bench_joints, stair_joints
from pitchline.making.steps_last import last_steps
from pitchline.making.steps_stair import GATE_RAILS
from pitchline.parts.part import Role

MEMBERS = (Family.UPRIGHT, Family.STRAND, Family.PANEL)


def infill_steps(work: Work) -> Iterator[Step]:
    """From the boring of the rails to the last piece fitted, then what is done last."""
    bored = list(_bore_rails(work))
    yield from bored
    cut = list(_cut_members(work))
    yield from cut
    ready = tuple(Need(step.key, "joints are ready before glue is spread") for step in bored)
    ends: list[Step] = []
    for design in work.legs:
        steps = list(_leg(work, design, ready, [step.key for step in cut]))
        yield from steps
        ends += steps
    yield from last_steps(work, [step.key for step in ends])


def _bore_rails(work: Work) -> Iterator[Step]:
    """Holes and mortises in rails, and holes in treads: at places that are marked once the rails lie."""
    rails = [p for p in work.parts if p.role in (Role.HANDRAIL, Role.BASE) and stair_joints(p)]
    treads = [design for design in work.legs if isinstance(design.making, OnTreads)]
    if not rails and not treads:
        return
    minutes = 0.0
    for family in (Family.HANDRAIL, Family.BASE):
        own = [part for part in rails if part.place in work.places(family)]
        share = 0.5 if any(bench_joints(part) for part in own) else 1.0
        minutes += share * work.times.of(family, Act.WORK) if own else 0.0
    said = []
    if rails:
        said.append("Mark every centre from one datum while the rails lie in place; bore along the guide.")
    if treads:
        said.append(
            "Mark the feet on the treads plumb below the marks of the rail, and bore or cut their housings."
        )
    yield Step(
        key="bore",
        act=Act.WORK,
        at=Place.STAIR,
        title="Mark and bore for the infill",
        parts=tuple(part.place for part in rails),
        minutes=max(minutes, 3.0 * sum(len(design.uprights) for design in work.legs) if treads else minutes),
        words=tuple(said),
        needs=(Need(GATE_RAILS, "places along a rail are those of the rail as it is fitted"),),
        tools=("story stick", "drill with guide", "depth stop"),
        cautions=("dust", "edge"),
    )


def _cut_members(work: Work) -> Iterator[Step]:
    for family in MEMBERS:
        units = work.of(family)
        if not units:
            continue
        minutes = work.times.of(family, Act.CUT) * (0.5 if family is Family.UPRIGHT else 1.0)
        minutes += work.times.of(family, Act.WORK)
        yield Step(
            key=f"final {family}",
            act=Act.CUT,
            at=Place.STAIR,
            title=f"Cut the {family} to length",
            parts=work.places(family),
            minutes=minutes,
            words=_cut_words(work, family),
            needs=(
                Need(GATE_RAILS, "what goes between the rails is as long as they are apart"),
                *_bench(work, family),
            ),
            tools=("saw", "stop block", "template"),
            cautions=_cut_cautions(work, family),
        )


def _cut_words(work: Work, family: Family) -> tuple[str, ...]:
    if _glass(work):
        return (
            "Order the glass by templates of the openings as they are, edges polished, holes bored, toughened after. "
            "The maker's time is not in this schedule.",
        )
    if family is Family.PANEL:
        return (
            "Template each opening with thin board, cut the panels to it, leave the edge gaps of the list.",
        )
    if family is Family.STRAND:
        return ("Cut each to the clear distance between its own two marks and what its ends need.",)
    return (
        "Cut the first, the middle and the last of a leg, try them dry, then cut the rest at the settings of the "
        "list. Pieces at a change of pitch or under a soffit have lengths of their own.",
    )


def _glass(work: Work) -> bool:
    return any(panel.kind is PanelKind.GLASS for design in work.legs for panel in design.panels)


def _cut_cautions(work: Work, family: Family) -> tuple[str, ...]:
    if _glass(work):
        return ("glass",)
    longest = max(work.part[place].blank_length for place in work.places(family))
    short = longest < max(saw.shortest for saw in work.shop.saws)
    return ("saw", "dust", *(("short",) if short else ()))


def _bench(work: Work, family: Family) -> tuple[Need, ...]:
    """What the infill has had at the bench."""
    plan = work.finish
    wood = work.wooden(work.places(family))
    if plan is not None and plan.at_bench and wood:
        return (Need(f"coat infill {plan.at_bench}", "its coats are hard: no brush gets between later"),)
    if Act.SAND in work.acts[family]:
        return (Need(f"sand {family}", "it is sanded while it is in the hand"),)
    return ()


def _leg(work: Work, design: Design, ready: tuple[Need, ...], cut: Sequence[str]) -> Iterator[Step]:
    """One leg filled, in the way that its joints allow."""
    entry = work.entries[design.id]
    needs = (*ready, *(Need(key, "it is cut to the place it goes to") for key in cut))
    match entry.way:
        case Way.SINGLY | Way.AFTER:
            rail = _fix_rail(work, design, (Need(GATE_RAILS, "its height and angles are checked"), *ready))
            yield rail
            yield _members(work, design, needs, rail.key)
        case Way.RAIL_LAST:
            yield from _rail_last(work, design, needs)
        case Way.NEWEL_LAST:
            yield _together(work, design, needs)


def _fix_rail(work: Work, design: Design, needs: tuple[Need, ...]) -> Step:
    places = work.places(Family.HANDRAIL, Family.EASING, leg=design.id)
    return Step(
        key=f"fix rail {design.id}",
        act=Act.FIX,
        at=Place.STAIR,
        title=f"Fix handrail {design.handrail.id} of {design.leg}",
        parts=places,
        minutes=_fix_minutes(work, design),
        words=("Glue and bolt or screw both ends, plug the holes; a rope round the newels draws them on.",),
        needs=needs,
        joins=((STAIR, *places),),
        wait=Wait(work.shop.glue.clamp_minutes, "glue sets"),
        tools=("driver", "spanner", "clamps or rope"),
        uses=("rail bolts or screws", "plugs", "glue"),
        cautions=("lifting", "edge"),
        leg=design.id,
        whole=True,
    )


def _fix_minutes(work: Work, design: Design) -> float:
    return work.share(Family.HANDRAIL, Act.FIX, design.id) + work.share(Family.EASING, Act.FIX, design.id)


def _fit_minutes(work: Work, design: Design, *families: Family) -> float:
    total = sum(work.share(family, Act.FIT, design.id) for family in families)
    if Family.FILLET in families:
        total += work.share(Family.FILLET, Act.CUT, design.id)
    return total


def _members(work: Work, design: Design, needs: tuple[Need, ...], rail: str) -> Step:
    """The infill piece by piece, fillets between."""
    entry = work.entries[design.id]
    fillets = work.places(Family.FILLET, leg=design.id)
    members = work.places(*MEMBERS, leg=design.id)
    said = [f"In by one: {entry.why}."]
    if fillets:
        said.append(
            "Work up from the foot: a fillet, an upright, the next fillet. Cut each fillet to its own place; let the "
            "two end fillets take what is left over."
        )
    if design.uprights:
        said.append("Check plumb every third upright, and sight along the rail for a bow.")
    uses = _hardware(design)
    return Step(
        key=f"fit {design.id}",
        act=Act.FIT,
        at=Place.STAIR,
        title=f"Fit the infill of {design.leg}",
        parts=(*members, *fillets),
        minutes=_fit_minutes(work, design, *MEMBERS, Family.FILLET),
        words=tuple(said),
        needs=(
            *needs,
            Need(rail, "the rails are fixed and their glue has set"),
            *(_bench(work, Family.FILLET) if fillets else ()),
        ),
        joins=((STAIR, *members, *fillets),),
        tools=("level", "spacer stick", "mallet and block", "pin driver"),
        uses=uses,
        cautions=_fit_cautions(design),
        leg=design.id,
    )


def _hardware(design: Design) -> tuple[str, ...]:
    making = design.making
    if isinstance(making, BoredMetal):
        return ("two-part epoxy",) if making.fixing is BarFixing.EPOXY else ("shoes with grub screws",)
    if design.strands:
        return ("end fittings",)
    if design.panels:
        return ("panel fixings",)
    return ("glue", "pins")


def _fit_cautions(design: Design) -> tuple[str, ...]:
    found = ["edge"]
    if any(panel.kind is PanelKind.GLASS for panel in design.panels):
        found.append("glass")
    if any(strand.pull for strand in design.strands):
        found.append("tension")
    making = design.making
    if isinstance(making, BoredMetal) and making.fixing is BarFixing.EPOXY:
        found.append("epoxy")
    return tuple(found)


def _rail_last(work: Work, design: Design, needs: tuple[Need, ...]) -> Iterator[Step]:
    """The infill stands in the base in lots, then the handrail comes down on all of it."""
    leg, entry = design.id, work.entries[design.id]
    members = list(work.places(*MEMBERS, leg=leg))
    glued = bool(design.uprights)
    lots = lots_of(members, work.shop) if glued else [members]
    before: tuple[Need, ...] = needs
    for number, lot in enumerate(lots, start=1):
        named = f"{lot[0]} to {lot[-1]}" if len(lot) > 1 else lot[0]
        step = Step(
            key=f"stand {leg} {number}",
            act=Act.FIT,
            at=Place.STAIR,
            title=f"Stand {named} in {design.leg}",
            parts=tuple(lot),
            minutes=_fit_minutes(work, design, *MEMBERS) * 0.6 / len(lots),
            words=(
                f"The handrail is off: {entry.why}.",
                "Glue the feet, set them plumb and at their marks, with a lath across their heads."
                if glued
                else "Set them in the groove of the base rail, dry.",
            ),
            needs=before,
            joins=((STAIR, *lot),),
            tools=("level", "story stick", "lath"),
            uses=("glue",) if glued else (),
            cautions=_fit_cautions(design),
            leg=leg,
            whole=glued,
        )
        yield step
        before = (Need(step.key, "they stand in a row from the foot"),)
    yield _rail_on(work, design, before)
    fillets = work.places(Family.FILLET, leg=leg)
    if fillets:
        yield _fillets(work, design, fillets)


def _rail_on(work: Work, design: Design, needs: tuple[Need, ...]) -> Step:
    leg = design.id
    places = work.places(Family.HANDRAIL, Family.EASING, leg=leg)
    heads = len(design.uprights)
    needed = PLACE_MINUTES * heads
    said = ["Bring the handrail down on all heads at once, tap it home from the foot up, then fix its ends."]
    if needed > work.shop.glue.open_minutes:
        every = -(-needed // work.shop.glue.open_minutes)
        said.append(
            f"Glue on {heads} heads takes about {needed:.0f} minutes and stays open {work.shop.glue.open_minutes:.0f}"
            f": glue the first, the last and one in {every:.0f}, or take a glue that stays open {needed:.0f} minutes."
        )
    return Step(
        key=f"fix rail {leg}",
        act=Act.FIX,
        at=Place.STAIR,
        title=f"Bring handrail {design.handrail.id} of {design.leg} down on the infill",
        parts=places,
        minutes=_fix_minutes(work, design) + _fit_minutes(work, design, *MEMBERS) * 0.4,
        words=tuple(said),
        needs=(*needs, Need(GATE_RAILS, "its height and angles are checked")),
        joins=((STAIR, *places),),
        wait=Wait(work.shop.glue.clamp_minutes, "glue sets", min(4, sum(c.count for c in work.shop.clamps))),
        tools=("mallet and block", "clamps", "driver"),
        uses=("glue", "rail bolts or screws", "plugs"),
        cautions=("lifting", "edge"),
        leg=leg,
        whole=True,
    )


def _fillets(work: Work, design: Design, fillets: tuple[str, ...]) -> Step:
    return Step(
        key=f"fillets {design.id}",
        act=Act.FIT,
        at=Place.STAIR,
        title=f"Fit the fillets of {design.leg}",
        parts=fillets,
        minutes=_fit_minutes(work, design, Family.FILLET),
        words=("Cut each fillet to its own place and pin it; the two end fillets take what is left over.",),
        needs=(
            Need(f"fix rail {design.id}", "fillets lie between the uprights as they stand"),
            *_bench(work, Family.FILLET),
        ),
        joins=((STAIR, *fillets),),
        tools=("pin driver", "saw in a mitre box"),
        uses=("glue", "pins"),
        cautions=("short", "edge"),
        leg=design.id,
    )


def _together(work: Work, design: Design, needs: tuple[Need, ...]) -> Step:
    """Rails and infill put together with the newel that still moves."""
    leg, entry = design.id, work.entries[design.id]
    rails = work.places(Family.HANDRAIL, Family.BASE, Family.PACKER, Family.EASING, leg=leg)
    members = work.places(*MEMBERS, Family.FILLET, leg=leg)
    loose = entry.loose
    newel = (loose,) if loose in work.part else ()
    last = f"newel {loose}" if newel else "one end"
    return Step(
        key=f"close {leg}",
        act=Act.FIX,
        at=Place.STAIR,
        title=f"Put {design.leg} together and bring {last} on",
        parts=(*rails, *members, *newel),
        minutes=_fix_minutes(work, design)
        + _fit_minutes(work, design, *MEMBERS, Family.FILLET)
        + (work.times.of(Family.NEWEL, Act.SET) / len(work.of(Family.NEWEL)) * 0.6 if newel else 0.0),
        words=(
            f"{last[0].upper()}{last[1:]} comes last: {entry.why}.",
            "Rails and infill into the fixed end first, all dry; then the other end on, from the base rail up; take "
            "it apart, glue, and close it again. Then plumb and fix.",
        ),
        needs=(*needs, Need(GATE_RAILS, "its height and angles are checked")),
        joins=((STAIR, *rails, *members, *newel),),
        wait=Wait(work.shop.glue.clamp_minutes, "glue sets", min(4, sum(c.count for c in work.shop.clamps))),
        tools=("clamps", "rope", "level", "driver"),
        uses=("glue", "bolts or screws as the strength sheets ask", *_hardware(design)),
        cautions=(*_fit_cautions(design), "lifting", "newel"),
        leg=leg,
        whole=True,
    )
