"""Steps at the stair up to the fitted rails: guard, take down, newels, gates, base rails, the handrails' trial.

A gate stops all that hangs on what it measures. Lengths in mm.
"""

from collections.abc import Iterator, Sequence

from pitchline.design.model import Bar, Design, Post, PostRole
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.making.access_bodies import string_name
from pitchline.making.order import STAIR, Act, Gate, Hangs, Need, Place, Step
from pitchline.making.order_entry import Way
from pitchline.making.order_gates import members_hang, rails_hang
from pitchline.making.order_parts import Family
from pitchline.making.order_work import Work

GUARD, STRIP, GATE_NEWELS, GATE_RAILS = "guard", "take down", "measure newels", "measure rails"


def stair_steps(work: Work, bench: Sequence[Step]) -> Iterator[Step]:
    """From the guard to the gate before the infill; it begins when the ``bench`` work is done."""
    yield _guard(bench)
    yield _strip(work)
    newels = list(_newels(work))
    yield from newels
    yield _newel_gate(work, [step.key for step in newels])
    for design in work.legs:
        if design.base is not None:
            yield _base(work, design)
    for design in work.legs:
        yield _trial(work, design)
    yield _rail_gate(work)


def _guard(bench: Sequence[Step]) -> Step:
    """The edge stands open as short as can be: all that is made at the bench is made, coats may still dry."""
    needed = {need.step for step in bench for need in step.needs}
    last = [step.key for step in bench if step.key not in needed]
    return Step(
        key=GUARD,
        act=Act.GUARD,
        at=Place.STAIR,
        title="Guard the edge and protect the stair",
        parts=(),
        minutes=60.0,
        words=(
            "Set up a temporary guard and handrail that stay until the new balustrade is checked; cover treads and "
            "walls; clear the way up and down.",
        ),
        needs=tuple(Need(key, "the edge stands open as short as can be", waits=False) for key in last),
        tools=("temporary guard", "dust sheets"),
        cautions=("edge",),
    )


def _strip(work: Work) -> Step:
    """What is there comes down; old newels and strings that stay are looked at."""
    old = sorted({post.id for design in work.legs for post in design.posts if post.role is PostRole.EXISTING})
    stays = [f"newel {name}" for name in old]
    stays += sorted(
        {string_name(design.flight.string.id) for design in work.legs if design.flight.string is not None}
    )
    said = [
        "Take down what the new work replaces, from the infill to the rails; number what is to be used again."
    ]
    if stays:
        said.append(
            f"What stays ({', '.join(stays)}): test its paint, push and pull at it, tighten it first."
        )
    return Step(
        key=STRIP,
        act=Act.STRIP,
        at=Place.STAIR,
        title="Take down the old, look at what stays",
        parts=(),
        minutes=90.0,
        words=tuple(said),
        needs=(Need(GUARD, "no edge is open without a guard"),),
        tools=("saw", "bar", "paint test", "detector for cables"),
        cautions=("edge", "lead", "asbestos", "newel", "services"),
    )


def loose_newels(work: Work) -> frozenset[str]:
    """Newels that must still move when a leg's rail comes on."""
    return frozenset(entry.loose for entry in work.entries.values() if entry.way is Way.NEWEL_LAST)


def _newels(work: Work) -> Iterator[Step]:
    posts = {
        post.id: (design, post)
        for design in work.legs
        for post in design.posts
        if post.role is not PostRole.EXISTING and not post.shared
    }
    loose = loose_newels(work)
    units = work.of(Family.NEWEL)
    count = len(units)
    ready = _ready(work, "frame", Family.NEWEL) if units else ()
    for unit in units:
        design, post = posts[unit.parts[0].place]
        moves = post.id in loose
        yield Step(
            key=f"set {post.id}",
            act=Act.SET,
            at=Place.STAIR,
            title=f"Stand newel {post.id}, not fixed yet" if moves else f"Set and fix newel {post.id}",
            parts=(post.id,),
            minutes=work.times.of(Family.NEWEL, Act.SET) / count * (0.4 if moves else 1.0),
            words=tuple(_newel_words(work, design, post, moves)),
            needs=(Need(STRIP, "it stands where the old one stood"), *ready),
            joins=() if moves else ((STAIR, post.id),),
            tools=("level", "drill", "spanner", "wedges"),
            uses=("bolts or screws as the strength sheets ask", "glue"),
            cautions=("newel", "services", "edge"),
            leg=design.id,
        )


def _newel_words(work: Work, design: Design, post: Post, moves: bool) -> Iterator[str]:
    yield f"It stands {post.stands}; its centre {_place(work, design, post)}. Plumb, faces square to the edge."
    if post.laps_string:
        yield "Notched over the string: glue the notch and bolt it through the string."
    if moves:
        yield (
            f"It must still move by some {work.words.about(50.0)} when the rail and the infill come on: wedge it, do "
            "not fix it."
        )


def _place(work: Work, design: Design, post: Post) -> str:
    nosing = design.flight.survey
    if nosing.has(("x", post.station)):
        off = post.foot[0] - nosing.estimate(("x", post.station))
        way = "up the stair from" if off >= 0 else "down the stair from"
        return f"{work.words.mm(abs(off))} {way} {post.station}"
    return f"at {post.station}"


def _ready(work: Work, name: str, family: Family) -> tuple[Need, ...]:
    """What a family must have had at the bench before it is fitted: its last coat there, or its sanding."""
    plan = work.finish
    if plan is not None and plan.at_bench and work.wooden(work.places(family)):
        return (
            Need(
                f"coat {name} {plan.at_bench}", "its coats are hard, where no brush or sander gets in later"
            ),
        )
    if Act.SAND in work.acts[family]:
        return (Need(f"sand {family}", "it is sanded where its neighbours will stand in the way"),)
    return (Need(f"cut {family}", "it is cut"),)


def _newel_gate(work: Work, newels: Sequence[str]) -> Step:
    """After the newels: what stands between them decides the rails."""
    asks = []
    for design in work.legs:
        ends = f"{design.handrail.start_at} and {design.handrail.finish_at}"
        levels = "at the handrail" if design.base is None else "at the base rail and at the handrail"
        asks.append(
            f"{design.leg}: clear distance between {ends}, level, {levels}; along the rake as well, as a check."
        )
        asks.append(f"{design.leg}: lean of both ends along and across, and how they are turned.")
    asks.append("Write the readings into the job as built, and solve again: lengths and angles follow them.")
    hangs = tuple(rails_hang(work.legs))
    return _gate(
        GATE_NEWELS,
        "Measure between the newels",
        Gate(tuple(asks), _stopped(hangs, "rails"), hangs),
        tuple(Need(key, "what is measured must stand fast") for key in newels or (STRIP,)),
    )


def _stopped(hangs: Sequence[Hangs], what: str) -> tuple[str, ...]:
    stopped = tuple(hang.what for hang in hangs if hang.stops)
    return stopped or (f"{what}: sure enough by the survey, measured all the same",)


def _gate(key: str, title: str, gate: Gate, needs: tuple[Need, ...]) -> Step:
    return Step(
        key=key,
        act=Act.MEASURE,
        at=Place.STAIR,
        title=title,
        parts=(),
        minutes=6.0 * len(gate.asks),
        needs=needs,
        tools=("tape", "two sticks", "sliding bevel", "level"),
        gate=gate,
    )


def _base(work: Work, design: Design) -> Step:
    """The base rail with its packer: cut to its place and fixed, or laid dry where a newel comes last."""
    leg = design.id
    moves = work.entries[leg].way is Way.NEWEL_LAST
    places = work.places(Family.BASE, Family.PACKER, leg=leg)
    said = ["Cut it to the faces between which it lies, each end to its own angle; scribe it to the string."]
    if work.of(Family.PACKER, leg=leg):
        said.append("The packer goes under it, glued and screwed through.")
    said.append("Dry: it is fixed with the newel that comes last." if moves else "Glue and screw it down.")
    minutes = work.share(Family.BASE, Act.FIX, leg)
    ready = _ready(work, "frame", Family.BASE)
    return Step(
        key=f"base {leg}",
        act=Act.FIX,
        at=Place.STAIR,
        title=f"Fit the base rail of {design.leg}" + (", dry" if moves else ""),
        parts=places,
        minutes=minutes,
        words=tuple(said),
        needs=(Need(GATE_NEWELS, "its length is that between the newels as they stand"), *ready),
        joins=() if moves else ((STAIR, *places),),
        tools=("saw", "scriber", "drill", "driver"),
        uses=("screws", "glue"),
        cautions=("saw", "edge", "services"),
        leg=leg,
    )


def _trial(work: Work, design: Design) -> Step:
    """The handrail cut to fit, its least forgiving end first, and tried dry at its height."""
    leg, rail = design.id, design.handrail
    hard, easy, why = least_forgiving(design)
    trim = design.brief.rail_trim
    said = [
        f"Fit the end at {hard} first ({why}), and leave {work.words.mm(trim)} at the other, {easy}, for the last "
        "cuts. Try both angles on a scrap of the rail first.",
        "Hold it up on stands, clamp it, and read its height above every nosing: each must lie within the limits.",
    ]
    needs = [
        Need(GATE_NEWELS, "it is cut to the newels as they stand"),
        *_ready(work, "frame", Family.HANDRAIL),
    ]
    if design.base is not None:
        needs.append(Need(f"base {leg}", "its height is set over the base rail"))
    places = work.places(Family.HANDRAIL, Family.EASING, leg=leg)
    return Step(
        key=f"trial {leg}",
        act=Act.TRIAL,
        at=Place.STAIR,
        title=f"Cut and fit handrail {rail.id} of {design.leg}, dry",
        parts=places,
        minutes=work.share(Family.HANDRAIL, Act.TRIAL, leg) + work.share(Family.EASING, Act.CUT, leg),
        words=tuple(said),
        needs=tuple(needs),
        tools=("saw", "rail stands", "clamps", "sliding bevel", "level"),
        cautions=("saw", "lifting", "edge"),
        leg=leg,
    )


def least_forgiving(design: Design) -> tuple[str, str, str]:
    """The end of a handrail that is fitted first, the other end, and why.

    What stands already cannot be moved to close a joint; a new newel gives a little, a free end gives all. Between
    ends alike the one whose cut is furthest from a plain plumb cut goes first.
    """
    rail = design.handrail
    ends = [(rail.start_at, *_hardness(rail.start_at), _skew(rail, at_start=True))]
    ends.append((rail.finish_at, *_hardness(rail.finish_at), _skew(rail, at_start=False)))
    (one, hard_one, why_one, skew_one), (two, hard_two, why_two, skew_two) = ends
    if (hard_one, round(skew_one, 3)) >= (hard_two, round(skew_two, 3)):
        return one, two, why_one if hard_one != hard_two else _by_skew(why_one, skew_one, skew_two)
    return two, one, why_two if hard_one != hard_two else _by_skew(why_two, skew_two, skew_one)


def _hardness(at: str) -> tuple[int, str]:
    if "wall" in at and "half newel" not in at:
        return 3, "a wall does not move"
    if "existing" in at or "old" in at:
        return 2, "it stands already and cannot be moved"
    if "free" in at:
        return 0, "a free end may be cut last"
    return 1, "both ends can still be eased by a little"


def _by_skew(why: str, mine: float, other: float) -> str:
    if abs(mine - other) < 0.05:
        return why
    return f"its cut is {mine:.1f} degrees out of square across, that of the other {other:.1f}"


def _skew(rail: Bar, *, at_start: bool) -> float:
    """How far an end's cut is from a plain one, degrees: its bevel across the rail."""
    plane = rail.start if at_start else rail.finish
    y = plane.normal[1]
    return abs(saw_reading((max(1e-9, (1.0 - y * y) ** 0.5), 0.0, y)).bevel_deg)


def _rail_gate(work: Work) -> Step:
    hangs = tuple(members_hang(work.legs))
    asks = []
    for design in work.legs:
        over = "the base rail" if design.base is not None else "each tread"
        asks.append(
            f"{design.leg}: distance from {over} up to the handrail, along the infill, at the foot, the middle and "
            "the head, and wherever the string or a tread looks uneven."
        )
        asks.append(
            f"{design.leg}: clear run between the ends at half height; set out all centres from one datum."
        )
    asks.append(
        "Write the readings into the job as built, and solve again: the infill follows the rails as fitted."
    )
    return _gate(
        GATE_RAILS,
        "Measure between the rails",
        Gate(tuple(asks), _stopped(hangs, "infill"), hangs),
        tuple(Need(f"trial {design.id}", "the rails lie where they will stay") for design in work.legs),
    )
