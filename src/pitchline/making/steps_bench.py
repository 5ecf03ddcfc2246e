"""Steps at the bench: mill, cut long, joints, glue up, round over, sand, coat; each before what closes its faces."""

from collections.abc import Iterator, Sequence

from pitchline.catalogue.shop import load_shop
from pitchline.making.cautions import is_wood
from pitchline.making.order import Act, Need, Place, Step, Touch, Wait
from pitchline.making.order_parts import BLOCKS, BOUGHT, Family, Unit, rounded
from pitchline.making.order_rooms import SANDER, FaceRoom, When
from pitchline.making.order_stages import GlueUp, stages_of
from pitchline.making.order_work import FRAME, IN_HAND, INFILL, Work, bench_joints
from pitchline.making.steps_coats import bench_coats, coat_inside
from pitchline.parts.part import Groove, Hole, Mortise, Notch, Part, RoundOver, Taper, Turning


def bench_steps(work: Work) -> Iterator[Step]:
    """All steps at the bench, family by family; coats for the frame and for the infill together."""
    for family in work.families:
        yield from _family_steps(work, family)
    yield from bench_coats(work, "frame", FRAME)
    yield from bench_coats(work, "infill", INFILL)


def _family_steps(work: Work, family: Family) -> Iterator[Step]:
    acts, units = work.acts[family], work.of(family)
    done: str | None = None
    if Act.MILL in acts:
        yield _mill(work, family, units)
        done = f"mill {family}"
    if family in (Family.NEWEL, Family.HANDRAIL, Family.BASE, Family.PACKER, Family.EASING, Family.UPRIGHT):
        yield _cut_long(work, family, units, done)
        done = f"cut {family}"
    for step in _before_glue(work, family, units, done):
        yield step
        done = step.key
    glued = list(_glue(work, family, units, done)) if Act.GLUE in acts else []
    yield from glued
    last = [glued_last.key for glued_last in glued] or ([done] if done else [])
    for step in _after_glue(work, family, units, last):
        yield step
        last = [step.key]


def _places(units: Sequence[Unit]) -> tuple[str, ...]:
    return tuple(place for unit in units for place in unit.places)


def _needs(done: str | None, why: str) -> tuple[Need, ...]:
    return () if done is None else (Need(done, why),)


def _mill(work: Work, family: Family, units: Sequence[Unit]) -> Step:
    parts = [p for unit in units for p in unit.parts if is_wood(p.material) and p.role not in BOUGHT]
    sizes = ((p.material, work.words.mm(p.width), work.words.mm(p.thickness)) for p in parts)
    said = [f"{material}: {wide} x {thick}." for material, wide, thick in dict.fromkeys(sizes)]
    return Step(
        key=f"mill {family}",
        act=Act.MILL,
        at=Place.BENCH,
        title=f"Plane the stock for the {family} to section",
        parts=tuple(part.place for part in parts),
        minutes=work.times.of(family, Act.MILL),
        words=(
            *said,
            "Let it lie in the shop until it moves no more, and read its moisture before you plane the last of it. "
            "Plane all of one section at one setting, with a length over for trial cuts.",
        ),
        tools=("planer and thicknesser", "caliper", "moisture meter"),
        cautions=("dust",),
    )


def _cut_long(work: Work, family: Family, units: Sequence[Unit], done: str | None) -> Step:
    """Blanks, with what is left on them for fitting."""
    parts = [part for unit in units for part in unit.parts if part.role not in BLOCKS]
    trims = sorted({round(part.trim, 3) for part in parts if part.trim > 0.0})
    left = f", {work.words.mm(trims[0])} longer than the list says for trimming" if trims else ""
    share = 0.5 if family is Family.UPRIGHT else 1.0
    cautions = ["saw", "dust"]
    if any(part.blank_length < max(saw.shortest for saw in work.shop.saws) for part in parts):
        cautions.append("short")
    if any(part.length > _LONG for part in parts):
        cautions.append("lifting")
    words = [f"Cut the blanks{left}. Mark each with its place and an arrow up."]
    if trims:
        words.append("Not to their last length yet: see the gate that stops it.")
    return Step(
        key=f"cut {family}",
        act=Act.CUT,
        at=Place.BENCH,
        title=f"Cut the {family} to their blanks",
        parts=tuple(part.place for part in parts),
        minutes=share * work.times.of(family, Act.CUT),
        words=tuple(words),
        needs=_needs(done, "what is cut has its section"),
        tools=("saw", "stop", "square"),
        cautions=tuple(cautions),
    )


_LONG = 2400.0
"""Pieces longer than this (mm) are carried by two (common practice, no source)."""


def _before_glue(work: Work, family: Family, units: Sequence[Unit], done: str | None) -> Iterator[Step]:
    """Joints that hang on no place, and faces that gluing up would close."""
    parts = [part for unit in units for part in unit.parts]
    jointed = [part for part in parts if _bench_joints(part, family)]
    if jointed:
        step = _joints(work, family, jointed, done)
        yield step
        done = step.key
    inner = work.open_faces(_places(units), When.PIECE)
    if inner:
        step = Step(
            key=f"sand inside {family}",
            act=Act.SAND,
            at=Place.BENCH,
            title=f"Sand what gluing up will close in the {family}",
            parts=tuple(dict.fromkeys(room.face.place for room in inner)),
            minutes=0.2 * work.times.of(family, Act.SAND),
            words=(_closed_words(work, inner), "Never the faces that are glued: sanding rounds them."),
            needs=_needs(done, "joints are cut first, so that their edges are sanded too"),
            touches=tuple(Touch(room.face.place, room.face.name, SANDER) for room in inner),
            tools=("sander", "block"),
            uses=("abrasive paper",),
            cautions=("dust",),
        )
        yield step
        done = step.key
    yield from coat_inside(work, family, units, done)


def _bench_joints(part: Part, family: Family) -> bool:
    if family is Family.NEWEL:
        return any(isinstance(f, Notch | Hole | Mortise | Turning) for f in part.features)
    return bench_joints(part)


def _joints(work: Work, family: Family, parts: Sequence[Part], done: str | None) -> Step:
    said, tools, cautions = [], ["marking gauge"], []
    kinds = {type(feature) for part in parts for feature in part.features}
    if Groove in kinds:
        groove = next(f for part in parts for f in part.features if isinstance(f, Groove))
        size = f"{work.words.mm(groove.width)} wide, {work.words.mm(groove.depth)} deep"
        said.append(f"Plough the grooves, {size}: try a scrap of the infill in them.")
        tools.append("router or plough")
        cautions.append("router")
    if Notch in kinds:
        said.append(
            "Notch the newels over the string: mark from the string itself, saw inside the line, pare to fit."
        )
        tools += ["saw", "chisel"]
        cautions.append("saw")
    if kinds & {Hole, Mortise} and family is Family.NEWEL:
        said.append("Bore and chop the housings at the marks of the part drawing, along the strands.")
        tools += ["drill with guide", "chisel"]
    if Turning in kinds:
        said.append("Turn between the marks; leave the squares at both ends.")
        tools.append("lathe")
        cautions.append("lathe")
    if Taper in kinds:
        said.append("Saw the taper with the piece in a carrier.")
        cautions.append("saw")
    return Step(
        key=f"joints {family}",
        act=Act.WORK,
        at=Place.BENCH,
        title=f"Cut the joints of the {family}",
        parts=tuple(part.place for part in parts),
        minutes=_bench_share(parts, family) * work.times.of(family, Act.WORK),
        words=tuple(said) or ("As the part drawings show.",),
        needs=_needs(done, "joints are marked on blanks of the right section"),
        tools=tuple(tools),
        cautions=tuple(dict.fromkeys((*cautions, "dust"))),
    )


def _bench_share(parts: Sequence[Part], family: Family) -> float:
    if family is Family.NEWEL:
        return 1.0
    waits = any(isinstance(f, Hole | Mortise) for part in parts for f in part.features)
    return 0.5 if waits else 1.0


def _glue(work: Work, family: Family, units: Sequence[Unit], done: str | None) -> Iterator[Step]:
    """Glue-ups of layered rails, each stage waiting for the clamps of the one before."""
    stages = [(unit, stages_of(unit, _glue_areas(work, unit), work.shop)) for unit in units if unit.is_glued]
    count = sum(len(stage) for _, stage in stages)
    for unit, lots in stages:
        before = done
        for number, stage in enumerate(lots, start=1):
            step = _glue_step(work, family, unit, stage, (number, count), before)
            yield step
            before = step.key


def _glue_areas(work: Work, unit: Unit) -> dict[str, float]:
    """mm2 of glue on each piece of a unit: where its mates lie against it."""
    found = {}
    for place in unit.places:
        rooms = work.rooms.of_place[place]
        found[place] = sum(area for room in rooms for name, area in room.glued.items() if name in unit.places)
    return found


def _glue_step(
    work: Work, family: Family, unit: Unit, stage: GlueUp, number: tuple[int, int], before: str | None
) -> Step:
    glue = work.shop.glue
    words = [
        f"All of it within {glue.open_minutes:.0f} minutes of the first glue; {glue.clamp_minutes:.0f} minutes in "
        "the clamps. Keep glue off faces that stay faces."
    ]
    if all(work.part[place].role in BLOCKS for place in stage.places):
        words.append(
            "Set each block beside an offcut of an upright with a slip of card, then draw the offcut out."
        )
    return Step(
        key=f"glue {unit.id} {number[0]}",
        act=Act.GLUE,
        at=Place.BENCH,
        title=stage.title[0].upper() + stage.title[1:],
        parts=stage.places,
        minutes=max(stage.minutes, work.times.of(family, Act.GLUE) / number[1]),
        words=(*words, *stage.remarks),
        needs=_needs(before, "one stage must hold before the next is pressed on it"),
        joins=(_joined(work, unit, stage),),
        wait=Wait(glue.clamp_minutes, "glue sets in the clamps", stage.clamps),
        tools=(f"{stage.clamps} clamps", "cauls", "roller or comb"),
        uses=("glue",),
        whole=True,
    )


def _joined(work: Work, unit: Unit, stage: GlueUp) -> tuple[str, ...]:
    """What is one body after a stage: blocks on the strip they are glued to."""
    first = next(place for place in unit.places if work.part[place].role not in BLOCKS)
    return tuple(dict.fromkeys((first, *stage.places)))


def _after_glue(work: Work, family: Family, units: Sequence[Unit], last: Sequence[str]) -> Iterator[Step]:
    """Edges are rounded, then all is sanded that will be closed or is in the hand."""
    if any(rounded(part) for unit in units for part in unit.parts) and Act.ROUND in work.acts[family]:
        step = _round(work, family, units, last)
        yield step
        last = [step.key]
    if Act.SAND not in work.acts[family] or family is Family.PACKER:
        return
    places = work.wooden(_places(units))
    faces = [room for room in work.open_faces(places) if room.sand is not When.PIECE]
    inside = work.open_faces(places, When.PIECE)
    share = 0.8 if inside else 1.0
    if family not in IN_HAND:
        share *= 0.7
    shut = [room for room in faces if room.sand is When.UNIT]
    yield Step(
        key=f"sand {family}",
        act=Act.SAND,
        at=Place.BENCH,
        title=f"Sand the {family}",
        parts=places,
        minutes=share * work.times.of(family, Act.SAND),
        words=(
            _closed_words(work, shut) if shut else "Nothing of them is closed later: the last grit may wait.",
            "Through the grits in order. Not the ends and faces that meet in joints.",
        ),
        needs=tuple(Need(key, "what is sanded has its shape") for key in last),
        touches=tuple(Touch(room.face.place, room.face.name, SANDER) for room in faces),
        tools=("sander", "block"),
        uses=("abrasive paper",),
        cautions=("dust",),
    )


def _round(work: Work, family: Family, units: Sequence[Unit], last: Sequence[str]) -> Step:
    parts = [part for unit in units for part in unit.parts if rounded(part)]
    radii = sorted({f.radius for part in parts for f in part.features if isinstance(f, RoundOver)})
    sizes = ", ".join(work.words.mm(radius) for radius in radii)
    stop = load_shop().working["round-over-stop"]
    words = [f"Radius {sizes}, along the edges that the part drawings show."]
    if family in (Family.HANDRAIL, Family.BASE):
        words.append(
            f"Where a rail meets a newel you may stop {work.words.mm(stop.low)} to {work.words.mm(stop.high)} short "
            "and finish by hand."
        )
    return Step(
        key=f"round {family}",
        act=Act.ROUND,
        at=Place.BENCH,
        title=f"Round the edges of the {family}",
        parts=tuple(part.place for part in parts),
        minutes=work.times.of(family, Act.ROUND),
        words=tuple(words),
        needs=tuple(Need(key, "the cutter's bearing runs on finished, whole faces") for key in last),
        tools=("router with a bearing", "block plane"),
        cautions=("router", "dust"),
    )


def _closed_words(work: Work, rooms: Sequence[FaceRoom]) -> str:
    """Which faces are closed later, by what, in one sentence."""
    names = dict.fromkeys(room.face.name for room in rooms)
    worst = max(rooms, key=lambda room: room.shut.get(SANDER, 0.0))
    near = ", ".join(name.partition(": ")[2] or name for name in worst.by[:3])
    room = work.words.mm(work.shop.sander)
    return (
        f"Now, for it cannot be done in place: {', '.join(names)}. The sander needs {room} of room, and "
        f"{worst.face.place}, {worst.face.name}, has {near} before it."
    )
