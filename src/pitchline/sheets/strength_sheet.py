"""The strength sheet: everything an engineer needs to follow the answer, from assumptions to every datum.

It tells how far a balustrade moves, what is used most and what it would take. It is a design aid and no certificate.
"""

import math
from collections.abc import Iterator, Sequence
from functools import partial

from pitchline.kit.drawing.marks import Drawing, scale_name
from pitchline.kit.drawing.sheet import Section, TextPage
from pitchline.kit.drawing.svg import write_svg
from pitchline.kit.finding import Finding
from pitchline.kit.geometry.frames import Vec3
from pitchline.sheets.drawings import Drawn, Style, at_fitting_scale
from pitchline.sheets.strength_tables import (
    bases_table,
    cures_table,
    known_table,
    loads_table,
    ordered_shares,
    percent,
    removal_table,
    results_table,
    sensitivity_table,
    split_table,
    uses_table,
    walls_table,
)
from pitchline.sheets.strength_views import mode_drawing, model_drawing, split_bar
from pitchline.story_strength import EdgeStrength
from pitchline.strength.report import StrengthReport, Unstable, Utilisation

MODEL_ROOM = (245.0, 118.0)
"""Paper mm for the picture of the model on its sheet."""

CAUTIONS = (
    "A design aid and no certificate: what stands here is computed from what was told and from usual values, and has "
    "not been looked at by anyone.",
    "Ask building control (in the USA the building official) what must be shown, and let a licensed engineer judge "
    "where people may fall.",
    "A base that nobody can see, an old fixing, a joint that was not glued as drawn: pull at the newel and read how "
    "far it moves before the rails are cut.",
    "Not judged: splitting of old wood, decay and beetle, fixings in masonry and plaster of which nothing is stated, "
    "repeated knocks, fire.",
)


def model_drawn(strength: EdgeStrength, direction: Vec3, style: Style) -> Drawn:
    """The picture of the model, or of how it moves where it does not stand, as large as its sheet has room for."""
    drawing = at_fitting_scale(partial(_model, strength, direction, style), *MODEL_ROOM, style.scales)
    return Drawn(drawing, write_svg(drawing))


def _model(strength: EdgeStrength, direction: Vec3, style: Style, at: float) -> Drawing:
    answer = strength.answer
    if isinstance(answer, Unstable):
        return mode_drawing(strength, answer, direction, at)
    return model_drawing(strength, answer, direction, style.show, at)


def strength_page(strength: EdgeStrength, drawn: Drawn, style: Style) -> TextPage:
    """Everything about the strength of one edge."""
    report = strength.report
    middle = _standing(strength, report, drawn, style) if report is not None else _falling(strength, drawn)
    sections = (_answer(strength), *middle, Section("Cautions", points=CAUTIONS))
    return TextPage(f"Will it stand: design {strength.name}", sections, style.list_paper, landscape=True)


def _answer(strength: EdgeStrength) -> Section:
    code = strength.answer.code
    scope = (
        f"Design {strength.name} under the loads of {strength.rules.title}, {strength.rules.edition}; members and "
        f"fixings judged by {code}. A design aid, not a certificate."
    )
    return Section("What was found", (scope,), tuple(map(_said, strength.findings)))


def _said(finding: Finding) -> str:
    text = f"{finding.verdict.value.upper()}. {finding.where.partition(': ')[2]}: {finding.text}"
    return text if finding.remedy is None else f"{text} What to do: {finding.remedy}."


def _falling(strength: EdgeStrength, drawn: Drawn) -> Iterator[Section]:
    """Of what does not stand there is a picture and a sentence, and no number."""
    words = "Of a frame that moves freely no movement and no utilisation can be told."
    yield Section("How it moves", (words,), picture=drawn.picture, caption=_caption(drawn))
    yield _assumptions(strength)


def _caption(drawn: Drawn) -> str:
    return f"{drawn.drawing.title}; {scale_name(drawn.drawing)}, {drawn.drawing.viewed}"


def _standing(
    strength: EdgeStrength, report: StrengthReport, drawn: Drawn, style: Style
) -> Iterator[Section]:
    yield _assumptions(strength)
    yield Section("The model", (_model_words(report),), picture=drawn.picture, caption=_caption(drawn))
    yield Section("Loads", (LOADS,), tables=(loads_table(report),))
    yield _movement(report, style)
    yield _governs(strength, report, style)
    yield Section("How far pieces and joints are used", (USES,), tables=(uses_table(report, style),))
    if report.posts:
        yield Section("Bases of the newels", (BASES,), tables=(bases_table(report, style),))
    yield from _what_if(strength, report, style)
    if report.walls:
        yield Section("What walls must bear", (WALLS,), tables=(walls_table(report, style),))
    yield Section("Every datum, and how well it is known", tables=(known_table(strength, report, style),))


def _assumptions(strength: EdgeStrength) -> Section:
    return Section("What was taken for granted", points=strength.answer.assumptions)


def _model_words(report: StrengthReport) -> str:
    frame = report.model.frame
    return (
        f"{len(frame.nodes)} nodes and {len(frame.members)} members: beams that bend, shear and twist, on springs at "
        "the bases of newels, on strings and walls; joints give way as told above. Thin lines: at rest. In colour: "
        "moved. Triangles: held by springs. Arrows: the load, drawn at one length. The frame and all loads are in "
        "the pack as JSON, for any other program to solve again."
    )


LOADS = (
    "As the rules write them, without partial factors. One acts at a time, together with the weight; a single load "
    "is tried at many places along the top. Outward is away from the stair."
)
USES = (
    "Used: what acts (with partial factors, or as allowable stress) over what may be borne; 100 % and less holds. "
    "Glue of stacked rails is not counted for strength. The workbook has all of them with their numbers."
)
BASES = (
    "Against being turned at the foot, across and along the balustrade. Low and high are what likely values may turn "
    "out as; a pull at the newel on site takes their place. Play is the turn that the holes of bolts allow."
)
WALLS = "With partial factors; what a fixing bears in a wall is for its maker or a test to say."
SPLIT = "What the largest movement is made of, found by the unit-load method; the parts add up to it."


def _movement(report: StrengthReport, style: Style) -> Section:
    limit = report.limit
    where = "common practice, no source" if limit.rule is None else f"{limit.rule.id}, {limit.rule.clause}"
    kind = "limit" if limit.binds else "advised at most"
    limited = f"{kind.capitalize()} ({limit.what}): {style.list_show(limit.value)}, {where}. {SPLIT}"
    shares = ordered_shares(report.movement)
    bar = split_bar(report.design, shares, style.list_show)
    return Section(
        "How far it moves",
        (limited,),
        picture=write_svg(bar),
        caption=f"{report.movement.where}: {style.list_show(report.movement.value)} in all",
        tables=(split_table(report.movement, style), results_table(report, style)),
    )


def _governs(strength: EdgeStrength, report: StrengthReport, style: Style) -> Section:
    """The most used thing worked with its numbers, and the movement beside it."""
    use, movement, limit = report.governing, report.movement, report.limit
    moves = movement.value / limit.value
    first, second = (
        _worked(strength, use),
        (
            f"Movement: {style.list_show(movement.value)} of {style.list_show(limit.value)}, "
            f"{percent(moves)} of the limit, under {strength.load_named(movement.case)}."
        ),
    )
    ordered = (first, second) if use.ratio >= moves or math.isinf(use.ratio) else (second, first)
    return Section("What governs", ordered)


def _worked(strength: EdgeStrength, use: Utilisation) -> str:
    load = strength.load_named(use.case)
    return f"{use.where}, {use.clause}, under {load}: {use.worked}. Used: {percent(use.ratio)}."


def _what_if(strength: EdgeStrength, report: StrengthReport, style: Style) -> Iterator[Section]:
    yield Section("If the bases turn out softer or stiffer", tables=(sensitivity_table(report, style),))
    cures = strength.cures
    if cures:
        words = (
            "Each change by itself, solved for the least size at which movement and strength hold with likely "
            "values; "
            "then several together. Write what you choose into the job and have it solved again."
        )
        yield Section("What it would take", (words,), tables=(cures_table(cures, style),))
    without = strength.without_posts
    if without:
        words = "With the other values as they are; so a newel that is forgotten or works loose shows."
        yield Section("Without one of the newels", (words,), tables=(removal_table(without, style),))


def split_drawn(strength: EdgeStrength, report: StrengthReport, style: Style) -> Drawn:
    """The bar of the largest movement, as a drawing of its own."""
    drawing = split_bar(strength.name, ordered_shares(report.movement), style.list_show)
    return Drawn(drawing, write_svg(drawing))


def strength_pages(strengths: Sequence[tuple[EdgeStrength, Drawn]], style: Style) -> tuple[TextPage, ...]:
    """The pages of all edges in their order."""
    return tuple(strength_page(strength, drawn, style) for strength, drawn in strengths)
