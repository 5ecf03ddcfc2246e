"""The page of the parts: each with its drawing, sizes, ends and steps; the codes on labels lead to a place on it."""

from collections.abc import Iterator, Mapping, Sequence
from importlib.resources import files
from typing import Any

from pitchline.kit.naming import safe_name
from pitchline.making.labels import anchor_of
from pitchline.making.order_plan import Planned
from pitchline.parts.explode import Group
from pitchline.parts.measure import EndReading, end_readings, feature_words
from pitchline.sheets.families import families
from pitchline.sheets.looking import Show
from pitchline.sheets.order_words import listed

Headed = tuple[str, str, Sequence[Group]]
"""The id of a design or wall rail, its heading, its pieces by mark."""


def parts_page(
    title: str, inches: bool, designs: Sequence[Headed], orders: Mapping[str, Planned], show: Show
) -> str:
    """The page as HTML; every text of the job is escaped, nothing is loaded from outside the folder."""
    from jinja2 import Environment  # only the pack needs it

    source = files("pitchline.sheets").joinpath("templates", "parts.html").read_text(encoding="utf-8")
    page = Environment(autoescape=True, trim_blocks=True).from_string(source)
    return page.render(
        title=title,
        units="inches" if inches else "mm",
        designs=[
            {
                "heading": heading,
                "anchor": f"design-{anchor_of(name, '')}",
                "pieces": list(_pieces(name, groups, orders.get(name), show)),
            }
            for name, heading, groups in designs
        ],
    )


def _pieces(
    name: str, groups: Sequence[Group], planned: Planned | None, show: Show
) -> Iterator[dict[str, Any]]:
    for index, family in enumerate(families(groups), start=1):
        drawn = safe_name(f"{name}-part-{index:02d}-{family.groups[0].mark}")
        for group in family.groups:
            yield {
                "mark": group.mark,
                "what": group.part.role.value,
                "picture": f"drawings/{drawn}.svg",
                "facts": list(_facts(group, planned, show)),
                "places": [{"name": place, "anchor": anchor_of(name, place)} for place in group.places],
            }


def _facts(group: Group, planned: Planned | None, show: Show) -> Iterator[tuple[str, str]]:
    part = group.part
    yield "Off", str(group.quantity)
    yield "Material", part.material
    yield "Long point to long point", show(part.length)
    yield "Section", f"{show(part.width)} x {show(part.thickness)}"
    if part.trim > 0.0:
        yield "Blank", f"{show(part.blank_length)}, with what is left for fitting"
    start, finish = end_readings(part)
    yield "Start end", _end(start)
    yield "Far end", _end(finish)
    words = feature_words(part, show)
    if words:
        yield "Worked into it", "; ".join(words)
    if planned is not None:
        numbers = [
            str(planned.order.numbers[step.key])
            for step in planned.order.steps
            if set(step.parts) & set(group.places)
        ]
        yield "Steps of the work", listed(numbers)


def _end(reading: EndReading) -> str:
    if reading.is_square:
        return "square"
    cuts = [f"mitre {cut.mitre_deg:+.2f}°, bevel {cut.bevel_deg:+.2f}°" for cut in reading.cuts]
    where = f"; longest point: {reading.long_point}" if reading.long_point else ""
    return f"{' and '.join(cuts)}, from square{where}"
