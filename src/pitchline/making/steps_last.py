"""Steps when all is fitted: clean up, the last coats in place, the check."""

from collections.abc import Iterator, Sequence

from pitchline.making.cautions import finish_cautions
from pitchline.making.order import Act, Need, Place, Step, Touch, Wait
from pitchline.making.order_parts import Family
from pitchline.making.order_rooms import BRUSH, SANDER, When
from pitchline.making.order_work import FRAME, IN_HAND, Work
from pitchline.making.steps_coats import coat_minutes
from pitchline.making.steps_stair import GUARD


def last_steps(work: Work, before: Sequence[str]) -> Iterator[Step]:
    """Clean up, rub down what is open, the last coat, the check."""
    rails = work.places(*(f for f in FRAME if f is not Family.PACKER))
    faces = work.open_faces(rails, When.LAST)
    plan = work.finish
    share = sum(work.times.of(family, Act.SAND) for family in FRAME if family not in IN_HAND) * 0.3
    grit = "the last grit" if plan is None else f"grit {plan.finish.between}"
    yield Step(
        key="clean",
        act=Act.CLEAN,
        at=Place.STAIR,
        title="Plug, fill, take off glue, rub down what is open",
        parts=tuple(dict.fromkeys(room.face.place for room in faces)),
        minutes=max(30.0, share),
        words=(
            f"Rub down with {grit} the faces that are still open: tops and sides of rails, outer faces of newels. "
            "All others were done at the bench.",
        ),
        needs=tuple(Need(key, "everything is fitted") for key in before),
        touches=tuple(Touch(room.face.place, room.face.name, SANDER) for room in faces),
        tools=("chisel", "sander", "vacuum"),
        uses=("plugs", "filler", "abrasive paper"),
        cautions=("dust", "edge"),
    )
    done = "clean"
    for coat in range(1, 0 if plan is None else plan.in_place + 1):
        yield _coat_in_place(work, coat, done)
        done = f"last coat {coat}"
    yield _check(done)


def _coat_in_place(work: Work, coat: int, before: str) -> Step:
    plan = work.finish
    if plan is None:
        raise ValueError("nothing is put on")
    places = work.wooden(work.places(*(f for f in work.families if f is not Family.PACKER)))
    faces = [room for room in work.open_faces(places) if room.coat is When.LAST]
    number = plan.at_bench + coat
    said = ["Mask walls and treads. Work from the head down, rails last."]
    if coat > 1:
        said.append(f"Rub down with grit {plan.finish.between} first.")
    return Step(
        key=f"last coat {coat}",
        act=Act.COAT,
        at=Place.STAIR,
        title=f"Coat {number} of {plan.coats}, in place: {plan.finish.name}",
        parts=places,
        minutes=coat_minutes(work, places),
        words=tuple(said),
        needs=(Need(before, "it goes on clean, dry wood"),),
        touches=tuple(Touch(room.face.place, room.face.name, BRUSH) for room in faces),
        wait=Wait((plan.finish.hard if number == plan.coats else plan.finish.recoat).high, "coat dries"),
        tools=("brush", "masking tape"),
        uses=(plan.finish.name, "masking tape"),
        cautions=(*finish_cautions(plan.finish), "edge"),
        whole=True,
    )


def _check(before: str) -> Step:
    return Step(
        key="check",
        act=Act.CHECK,
        at=Place.STAIR,
        title="Check, then take the guard away",
        parts=(),
        minutes=45.0,
        words=(
            "Height above every nosing, widest gaps with a ball of the size that the rules name, plumb; push and "
            "pull at the middle of each rail and at each newel: nothing may creak or stay bent. Write it down, with "
            "photos.",
            "The temporary guard goes when all of that holds, not before.",
        ),
        needs=(
            Need(before, "it is checked as it is handed over"),
            Need(GUARD, "the guard stands until then"),
        ),
        tools=("tape", "ball or cube", "level"),
        cautions=("edge",),
    )
