"""One part on the design page: its picture with its cuts, its sizes, its like, and its place in the cutting plan."""

from collections.abc import Iterator
from html import escape
from typing import Any

from markupsafe import Markup

from pitchline.app.web.pages import Told
from pitchline.app.web.sheet_data import style_of
from pitchline.app.web.state import State
from pitchline.kit.cutting.plan import CutBar, CutSheet
from pitchline.kit.drawing.svg import write_svg
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.units import show_length
from pitchline.parts.explode import Group, grouped
from pitchline.parts.measure import volume
from pitchline.parts.part import Part
from pitchline.sheets.cutting_views import batches, outline
from pitchline.sheets.families import Family
from pitchline.sheets.partnotes import part_notes
from pitchline.sheets.partviews import part_drawing
from pitchline.stock.plan import Cutting
from pitchline.story import Solved, SolvedBalustrade

PLAN_SECONDS = 0.6
"""How long a plan may be looked for when a part's place in it is asked for."""


def group_of(whole: SolvedBalustrade, place: str) -> Group | None:
    """The alike parts among which one stands: by its place, by the name of its rail, or by its mark."""
    groups = grouped(whole.parts)
    for group in groups:
        if place in group.places or place == group.mark:
            return group
    layered = (g for g in groups for p in g.places if p.rstrip("abcdefgh") == place)
    return next(layered, None)


def part_told(state: State, whole: SolvedBalustrade, place: str) -> Told | None:
    """What a template needs to show a part; None where there is none of that place."""
    group = group_of(whole, place)
    if group is None or state.solved is None:
        return None
    style, part = style_of(state.solved.job), group.part
    identity = f"part-{group.mark}"
    first_angle = style.first_angle
    drawing = part_drawing(
        Family((group,)), style.show, identity, inches=style.inches, first_angle=first_angle
    )
    sizes = (part.length, part.width, part.thickness)
    return {
        "place": place if place in group.places else group.places[0],
        "group": group,
        "role": part.role.value,
        "material": part.material,
        "sizes": [show_length(size, state.unit) for size in sizes],
        "blank": show_length(part.blank_length, state.unit),
        "litres": f"{volume(part) / 1e6:.2f}",
        "ends": [list(_end(part, number)) for number in (0, 1)],
        "notes": " ".join(part_notes(part, style.show)),
        "picture": Markup(
            write_svg(drawing).svg.replace("<svg ", '<svg aria-hidden="true" ', 1)
        ),  # written by us, escaped
        "rack": state.solved.job.rack is not None,
    }


def _end(part: Part, number: int) -> Iterator[str]:
    """The saw's reading of every cut of one end, from a square cut."""
    for cut in (part.start_cuts, part.finish_cuts)[number]:
        reading = saw_reading(cut.normal)
        yield f"{reading.mitre_deg:.2f}° / {reading.bevel_deg:.2f}°"


def plan_of(solved: Solved, whole: SolvedBalustrade) -> Cutting | None:
    """The cutting plan of one design; None where the job names no rack. InputError for a rack that cannot be read."""
    from pitchline.job.rack import load_rack
    from pitchline.kit.words import show_in
    from pitchline.stock.plan import plan_parts

    job = solved.job
    if job.rack is None:
        return None
    return plan_parts(grouped(whole.still_to_cut), load_rack(job.rack), PLAN_SECONDS, show=show_in(job.unit))


def places_in_plan(cutting: Cutting, mark: str) -> Iterator[tuple[str, str, str, Markup]]:
    """Every bar and sheet that a part is cut from: kind, numbers, stock, and its picture with the part in it."""
    sections = {stock.id: (stock.width, stock.thickness) for stock in cutting.need.bars}
    for batch in batches(cutting.plan.bars):
        if any(piece.part == mark for piece in batch.bar.pieces):
            numbers = ", ".join(map(str, batch.numbers))
            svg = _bar(batch.bar, sections[batch.bar.stock], mark)
            yield "bar", numbers, batch.bar.stock, Markup(svg)  # written by us, escaped
    for number, sheet in enumerate(cutting.plan.sheets, start=1):
        if any(piece.part == mark for piece in sheet.pieces):
            yield "sheet", str(number), sheet.stock, Markup(_sheet(sheet, mark))  # written by us, escaped


def _bar(bar: CutBar, section: tuple[float, float], mark: str) -> str:
    half = section[0] / 2
    body = [f'<rect class="stock" x="0" y="{-half:.1f}" width="{bar.length:.1f}" height="{section[0]:.1f}"/>']
    for piece in bar.pieces:
        points = " ".join(f"{x:.1f},{-y:.1f}" for x, y in outline(piece, section))
        body.append(_piece(f'<polygon class="{{}}" points="{points}"', piece.part, mark))
    return _plan_svg((0.0, -half, bar.length, section[0]), body)


def _sheet(sheet: CutSheet, mark: str) -> str:
    body = [f'<rect class="stock" width="{sheet.length:.1f}" height="{sheet.width:.1f}"/>']
    for piece in sheet.pieces:
        y = sheet.width - piece.y - piece.width
        box = f'x="{piece.x:.1f}" y="{y:.1f}" width="{piece.length:.1f}" height="{piece.width:.1f}"'
        body.append(_piece(f'<rect class="{{}}" {box}', piece.part, mark))
    return _plan_svg((0.0, 0.0, sheet.length, sheet.width), body)


def _piece(shape: str, part: str, mark: str) -> str:
    kind = "piece chosen" if part == mark else "piece"
    return f"{shape.format(kind)}><title>{escape(part)}</title>{'</polygon>' if 'polygon' in shape else '</rect>'}"


def _plan_svg(box: tuple[float, float, float, float], body: list[str]) -> str:
    left, top, width, height = box
    margin = 0.004 * width
    view = f"{left - margin:.1f} {top - margin:.1f} {width + 2 * margin:.1f} {height + 2 * margin:.1f}"
    head = f'<svg class="in-plan" xmlns="http://www.w3.org/2000/svg" viewBox="{view}" aria-hidden="true">'
    return f"{head}{''.join(body)}</svg>"


def told_plan(whole: SolvedBalustrade, place: str, cutting: Cutting | None) -> dict[str, Any]:
    """What a template needs to show where a part lies in the plan."""
    group = group_of(whole, place)
    if cutting is None or group is None:
        return {"rack": False, "found": []}
    return {"rack": True, "found": list(places_in_plan(cutting, group.mark))}
