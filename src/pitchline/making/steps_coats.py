"""Coats at the bench: on what gluing up would close before it, on everything else once it is sanded."""

from collections.abc import Iterator, Sequence

from pitchline.kit.tolerances import SHUT_SHARE
from pitchline.making.cautions import finish_cautions
from pitchline.making.order import Act, Need, Place, Step, Touch, Wait
from pitchline.making.order_parts import Family, Unit
from pitchline.making.order_rooms import BRUSH, FaceRoom, When
from pitchline.making.order_stages import PLACE_MINUTES
from pitchline.making.order_work import Work

MM2_PER_M2 = 1e6


def bench_coats(work: Work, name: str, families: Sequence[Family]) -> Iterator[Step]:
    """The coats that are put on at the bench."""
    plan = work.finish
    places = work.wooden(work.places(*[f for f in families if f is not Family.PACKER]))
    if plan is None or not plan.at_bench or not places:
        return
    faces = [room for room in work.open_faces(places) if room.coat is not When.PIECE]
    tight = [room for room in faces if room.shut.get(BRUSH, 0.0) > SHUT_SHARE]
    before = [f"sand {family}" for family in families if f"sand {family}" in _sanded(work)]
    for coat in range(1, plan.at_bench + 1):
        last = coat == plan.at_bench
        wait = (plan.finish.hard if last else plan.finish.recoat).high
        words = [
            "Keep the glue faces bare: the mask map shows them. Finish stops glue, and glue stops finish."
        ]
        if coat > 1:
            words.append(f"Rub down with grit {plan.finish.between} first, and wipe off the dust.")
        if last and tight and plan.in_place:
            words.append(f"No brush gets in later at {_some(tight)}: give these the last coat now as well.")
        yield Step(
            key=f"coat {name} {coat}",
            act=Act.COAT,
            at=Place.BENCH,
            title=f"Coat {coat} of {plan.coats} on the {name}: {plan.finish.name}",
            parts=places,
            minutes=coat_minutes(work, places),
            words=tuple(words),
            needs=tuple(
                Need(key, "it goes on sanded wood" if coat == 1 else "one coat dries before the next")
                for key in before
            ),
            touches=tuple(Touch(room.face.place, room.face.name, BRUSH) for room in faces),
            wait=Wait(wait, "coat dries"),
            tools=("brush or spray", "masking tape"),
            uses=(plan.finish.name, "masking tape"),
            cautions=tuple(finish_cautions(plan.finish)),
            whole=True,
        )
        before = [f"coat {name} {coat}"]


def coat_inside(work: Work, family: Family, units: Sequence[Unit], done: str | None) -> Iterator[Step]:
    """Faces that no brush gets at once their rail is glued up get all they will ever get before."""
    plan = work.finish
    faces = [
        room
        for room in work.open_faces([place for unit in units for place in unit.places])
        if room.coat is When.PIECE
    ]
    if plan is None or not plan.at_bench or not faces:
        return
    places = tuple(dict.fromkeys(room.face.place for room in faces))
    area = sum(room.open_area for room in faces) / MM2_PER_M2
    yield Step(
        key=f"coat inside {family}",
        act=Act.COAT,
        at=Place.BENCH,
        title=f"Coat what gluing up will close in the {family}: {plan.finish.name}",
        parts=places,
        minutes=area * work.shop.minutes("finish-area") + PLACE_MINUTES * len(places),
        words=(
            f"No brush gets in later at {_some(faces)}. Mask the faces that are glued: finish stops glue.",
        ),
        needs=() if done is None else (Need(done, "it goes on sanded wood"),),
        touches=tuple(Touch(room.face.place, room.face.name, BRUSH) for room in faces),
        wait=Wait(plan.finish.recoat.high, "coat dries"),
        tools=("small brush", "masking tape"),
        uses=(plan.finish.name, "masking tape"),
        cautions=tuple(finish_cautions(plan.finish)),
    )


def _sanded(work: Work) -> set[str]:
    return {
        f"sand {family}"
        for family in work.families
        if Act.SAND in work.acts[family] and family is not Family.PACKER
    }


def _some(rooms: Sequence[FaceRoom]) -> str:
    named = list(dict.fromkeys(f"{room.face.place} ({room.face.name})" for room in rooms))
    return ", ".join(named[:4]) + (f" and {len(named) - 4} more" if len(named) > 4 else "")


def coat_minutes(work: Work, places: Sequence[str]) -> float:
    """Minutes of one coat: uprights by the piece, all else by its area."""
    uprights = set(work.places(Family.UPRIGHT))
    area = sum(room.open_area for room in work.open_faces([p for p in places if p not in uprights]))
    count = sum(place in uprights for place in places)
    return area / MM2_PER_M2 * work.shop.minutes("finish-area") + count * work.shop.minutes("finish-upright")
