"""What a balustrade is made of, in one small table: for whoever orders the timber or checks the sheets."""

from collections.abc import Iterator

from pitchline.design.brief import Shape
from pitchline.design.makings import (
    BetweenPosts,
    Bored,
    BoredMetal,
    Clamped,
    Dowelled,
    Grooved,
    HeadMaking,
    Making,
    Mortised,
    OnTreads,
    Stacked,
)
from pitchline.design.model import Bar, BarRole, Design, PostRole
from pitchline.kit.drawing.svg import Picture
from pitchline.parts.marks import seen_length
from pitchline.sheets.listview import list_picture
from pitchline.sheets.looking import Show


def schedule(design: Design, show: Show) -> Picture:
    """The table as a picture."""
    headings = ("piece", "what", "timber or board", "finished size")
    return list_picture(f"{design.id}-schedule", headings, tuple(schedule_rows(design, show)), words_first=3)


def schedule_rows(design: Design, show: Show) -> Iterator[tuple[str, str, str, str]]:
    """Rails, posts, uprights, how they meet, and the clear gaps: name, what, material, size."""
    for bar in design.bars:
        yield bar.id, design.name_of(bar), bar.material, _bar_size(bar, show)
    for post in design.posts:
        material = "stands already" if post.role is PostRole.EXISTING else post.material
        yield post.id, post.role.value, material, f"{show(post.along)} x {show(post.across)}"
    if design.uprights:
        first = design.uprights[0]
        size = f"{show(first.width)} x {show(first.thickness)}"
        if first.shape is not Shape.RECTANGULAR:
            size = f"{show(first.width)} {first.shape.value}"
        yield f"{len(design.uprights)} off", "uprights", first.material, size
        gaps = [gap for upright in design.uprights for gap in (upright.gap_before, upright.gap_after)]
        yield "", "clear gaps, square to them", "", _range(min(gaps), max(gaps), show)
        lengths = [seen_length(upright) for upright in design.uprights]
        if design.base is None:
            yield "", "seen length, shortest to longest", "", _range(min(lengths), max(lengths), show)
        yield "", "how they are joined", "", making_words(design.making, show, on_treads=design.base is None)
    yield from _strand_rows(design, show)
    yield from _panel_rows(design, show)


def _strand_rows(design: Design, show: Show) -> Iterator[tuple[str, str, str, str]]:
    """Bars, rods or cables: how many, how thick, how far apart, how hard they are pulled."""
    if not design.strands:
        return
    first = design.strands[0]
    size = (
        f"{show(first.depth)} round" if first.is_round else f"{show(first.depth)} x {show(first.thickness)}"
    )
    yield f"{len(design.strands)} off", f"{first.kind.value}s", first.material, size
    gaps = [gap for strand in design.strands for gap in (strand.gap_below, strand.gap_above)]
    yield "", "clear gaps, square to them", "", _range(min(gaps), max(gaps), show)
    if first.pull:
        total = first.pull * len(design.strands)
        yield "", "pull of each, and of all on an end", "", f"{first.pull:.0f} N, {total:.0f} N"
    yield "", "how they are joined", "", making_words(design.making, show)


def _panel_rows(design: Design, show: Show) -> Iterator[tuple[str, str, str, str]]:
    """Panels: how many, how thick, how they are held, the openings through them."""
    if not design.panels:
        return
    first = design.panels[0]
    yield (
        f"{len(design.panels)} off",
        f"{first.kind.value}s",
        first.material,
        f"{show(first.thickness)} thick",
    )
    yield "", "clearance along their edges", "", f"{show(first.edge_gap)}, {first.hem}"
    holes = sum(len(panel.holes) for panel in design.panels)
    if holes:
        yield "", "openings sawn through them", "", str(holes)
    yield "", "how they are held", "", making_words(design.making, show)


def _bar_size(bar: Bar, show: Show) -> str:
    if bar.role is not BarRole.PACKER:
        return f"{show(bar.width)} x {show(bar.depth)}"
    ends = [(bar.top.at(u) - bar.bottom.at(u)) for u in (bar.start.point[0], bar.finish.point[0])]
    cosine = bar.top.direction[0]
    return f"{show(bar.width)} x {show(ends[0] * cosine)} to {show(ends[1] * cosine)}"


def _range(low: float, high: float, show: Show) -> str:
    return show(low) if show(low) == show(high) else f"{show(low)} to {show(high)}"


def making_words(making: Making, show: Show, *, on_treads: bool = False) -> str:
    """How the infill is joined, in a few words."""
    match making:
        case Grooved():
            words = f"grooves {show(making.rail_groove)} and {show(making.base_groove)} deep, fillets"
        case Stacked():
            words = f"{making.layers} layers of {show(making.layer_thickness)}, blocks"
        case Bored():
            words = f"bored {show(making.rail_depth)} and {show(making.base_depth)} deep"
        case Mortised():
            words = f"mortised {show(making.rail_depth)} and {show(making.base_depth)} deep"
        case Dowelled():
            words = f"dowels of {show(making.diameter)} at both ends"
        case BoredMetal():
            where = "in the treads" if on_treads else "in the base rail"
            words = f"holes of {show(making.hole)}, {show(making.rail_depth)} deep in the handrail, "
            words += f"{show(making.base_depth)} {where}; {making.fixing.value}"
        case OnTreads():
            foot = f"{making.foot.value} {show(making.depth)} deep in the treads"
            words = f"{foot}; handrail {_head_words(making.head, show)}"
        case Clamped():
            words = f"{making.what}, at most {show(making.apart)} apart"
        case BetweenPosts():
            words = f"{show(making.depth)} into the posts"
    return words


def _head_words(head: HeadMaking, show: Show) -> str:
    match head:
        case Grooved():
            return f"grooved {show(head.rail_groove)} deep, fillets"
        case Mortised():
            return f"mortised {show(head.rail_depth)} deep"
        case Dowelled():
            return f"dowelled, {show(head.diameter)}"
        case Bored():
            return f"bored {show(head.rail_depth)} deep"
