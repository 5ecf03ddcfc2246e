"""What a handrail must do beyond its flight, and where a newel may stand in its way. Lengths in mm."""

from collections.abc import Iterator

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import Case
from pitchline.checks.rail_ends import newel_is_excepted, where_is
from pitchline.checks.silhouettes import EndFacts, ends_of, middle_y, place_at
from pitchline.kit.finding import Finding, Verdict, judge


def rail_reach(case: Case) -> tuple[float, float]:
    """How far the handrail itself runs on past the lowest and past the top riser, mm (negative: it stops short)."""
    rail, flight, y = case.design.handrail, case.design.flight, middle_y(case.design)
    start, finish = (place_at(plane, y, rail.top.at(plane.point[0])) for plane in (rail.start, rail.finish))
    back = flight.nosing_overhang
    return flight.nosings[0][0] + back - start, finish - flight.nosings[-1][0] - back


def check_extensions(case: Case) -> Iterator[Finding]:
    """Where the rail must begin, and how far it must run on at the foot and at the head."""
    foot, head = ends_of(case.design)
    below, beyond = rail_reach(case)
    begin = case.rules.figure("handrail.begin.riser")
    if begin is not None:
        yield _begins(case, begin, foot)
    top = case.rules.figure("handrail.extension.top")
    if top is not None and not head.is_between:
        yield _extension(case, top, head, beyond, top.value_mm, "level past the top riser")
    if foot.is_between:
        return
    bottom = case.rules.figure("handrail.extension.bottom")
    if bottom is not None:
        yield _extension(case, bottom, foot, below, bottom.value_mm, "level past the lowest riser")
    treads = case.rules.figure("handrail.extension.bottom.treads")
    if treads is not None and case.design.flight.goings:
        needed = treads.value * case.design.flight.goings[0]
        yield _extension(case, treads, foot, below, needed, "at the stair's slope past the lowest riser")


def _begins(case: Case, figure: Figure, foot: EndFacts) -> Finding:
    riser = 1 + sum(1 for u, _ in case.design.flight.nosings if u < foot.outer)
    verdict = judge(float(riser), 0.0, figure.value, figure.compare)
    text = (
        f"The handrail has begun at riser {riser}, counted from the foot; it must by riser {figure.value:g}."
    )
    over = int(riser - figure.value)
    remedy = f"begin it {over} riser{'' if over == 1 else 's'} further down"
    return Finding(
        "handrail.begin",
        verdict,
        case.at("handrail at the foot"),
        text,
        float(riser),
        0.0,
        figure.value,
        "",
        case.rules.ref(figure.id),
        remedy if verdict is Verdict.FAIL else None,
    )


def _extension(case: Case, figure: Figure, end: EndFacts, has: float, needed: float, how: str) -> Finding:
    """One extension: too short fails; long enough is still advice where it must be level, for the rail rakes on."""
    words = case.words
    place = case.at(f"handrail at the {where_is(end)}")
    text = f"The handrail must run on {words.mm(needed)} {how}; this one runs on {words.mm(max(has, 0.0))}"
    size = (has, 0.0, needed, "mm", case.rules.ref(figure.id))
    verdict = judge(has, 0.0, needed, figure.compare)
    if verdict is Verdict.FAIL:
        more = words.enough(needed - max(has, 0.0))
        remedy = f"lengthen the rail by {more}, or add a piece of that length beyond {end.name}"
        return Finding(figure.id, verdict, place, text + ".", *size, remedy=remedy)
    if how.startswith("level"):
        text += ", at the pitch of the flight: turn that length level or ask"
        return Finding(figure.id, Verdict.ADVICE, place, text + ".", *size)
    return Finding(figure.id, verdict, place, text + ".", *size)


def check_newels(case: Case) -> Iterator[Finding]:
    """Where a newel may stand in the way of the hand."""
    word = case.rules.word("handrail.newel", "anywhere")
    if word == "anywhere":
        return
    for end in ends_of(case.design):
        if end.post is None or end.is_wall or end.passes_over:
            continue
        beyond = rail_reach(case)[1 if end.at_head else 0]
        excepted = newel_is_excepted(case.design, end) if word != "nowhere" else beyond >= 0.0
        excepted = excepted and not end.is_between
        where = where_is(end)
        if excepted:
            text = f"{end.name} stands at the {where}, where a newel may end the rail of a flight."
        else:
            place = "" if end.is_between else f", at its {where}"
            text = f"{end.name} stands in the way of the hand within the flight{place}."
        yield Finding(
            "handrail.newel",
            Verdict.PASS if excepted else Verdict.FAIL,
            case.at(f"handrail at the {where}"),
            text,
            unit="",
            rule=case.rules.ref("handrail.newel"),
            remedy=None if excepted else _out_of_the_way(case, end, beyond, word),
        )


def _out_of_the_way(case: Case, end: EndFacts, beyond: float, word: str) -> str:
    if end.is_between:
        return "carry the handrail over it (under_rail = true)"
    return f"{_move(case, beyond, word)} or carry the rail over it"


def _move(case: Case, beyond: float, word: str) -> str:
    if word == "nowhere":
        return f"move it out by {case.words.enough(-beyond)}"
    return "move it to the lowest tread or the landing,"
