"""Sheets that fill a bay: divided plumb into equal shares, their edges along rails and ends. Lengths in mm.

A panel in grooves reaches into both rails, one in clamps stands clear of everything beside it. Slats and patterns
are openings sawn through the sheet.
"""

import math
from collections.abc import Iterator

import shapely

from pitchline.design.bay import field
from pitchline.design.brief import PanelKind, PanelsBrief
from pitchline.design.infill.lower import lower_edge
from pitchline.design.infill.pattern import Openings, repeated
from pitchline.design.infill.place import Field, Laid
from pitchline.design.makings import Clamped, Grooved, Stacked
from pitchline.design.model import Panel
from pitchline.design.seats import base_seat_depth, infill_y, rail_seat_depth
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.outlines import HalfPlane, Label, Outline, Points, from_shapely, to_shapely
from pitchline.kit.tolerances import SAME_POINT

GLASS = "glass"
"""What the catalogue calls the material of a glass panel, whatever else the brief says."""

_HEMS = {True: "in grooves", False: "in clamps"}


def lay_panels(place: Field, infill: PanelsBrief) -> Laid:
    """Panels laid out in a leg. ImpossibleDesignError where nothing holds them or nothing is left of one."""
    housed = _is_housed(place, infill)
    lower, y = lower_edge(place), infill_y(place.brief)
    handrail = place.handrail
    sight = field(place.start.bay_face, place.finish.bay_face, lower, handrail.face, y)
    full = field(*_end_faces(place), *_seats(place, lower), y) if housed else sight
    whole = _shrunk(full, infill, place)
    shares = _shares(whole, infill)
    panels = tuple(
        _panel(place, infill, share, sight, number) for number, share in enumerate(shares, place.first)
    )
    us = [u for u, _ in sight.points]
    count = f"{len(panels)} panel{'s' if len(panels) > 1 else ''}"
    note = f"{count}, {'the fewest that keep the greatest width' if infill.widest else 'filling the bay'}"
    return Laid(place.bay(sight.points, full, max(us) - min(us), note), panels=panels)


def _is_housed(place: Field, infill: PanelsBrief) -> bool:
    """Whether the panels stand in grooves, else in clamps. ImpossibleDesignError where they can do neither."""
    making, base = place.brief.making, place.base
    if isinstance(making, Clamped):
        if making.on_posts and not (place.start.closed and place.finish.closed):
            raise ImpossibleDesignError(
                "clamps on the posts need something at both ends, and one is free: put a newel there, or the clamps "
                "on the rails"
            )
        return False
    if not isinstance(making, Grooved | Stacked):
        raise ImpossibleDesignError(
            "panels stand in grooves or in clamps: choose one of these ways of making"
        )
    if base is None:
        raise ImpossibleDesignError(
            "panels in grooves stand on a base rail, and there is none: add it, or hold the panels in clamps"
        )
    if infill.kind is PanelKind.GLASS and isinstance(making, Stacked):
        raise ImpossibleDesignError("glass is not glued into a stacked rail: choose grooves or clamps")
    depth = min(rail_seat_depth(making), base_seat_depth(making))
    if infill.edge_gap >= depth:
        raise ImpossibleDesignError(
            f"a clearance of {infill.edge_gap:.1f} mm draws the panels out of their grooves, {depth:.1f} mm deep: "
            "make edge_gap smaller or the grooves deeper"
        )
    return True


def _end_faces(place: Field) -> tuple[Plane, Plane]:
    return place.start.bay_face, place.finish.bay_face


def _seats(place: Field, lower: Line) -> tuple[Line, Line]:
    base = place.base
    low = lower if base is None else base.seat or base.face
    return low, place.handrail.seat or place.handrail.face


def _shrunk(full: Outline, infill: PanelsBrief, place: Field) -> Outline:
    """The field of all panels together, the edge gap inside what bounds it; a free end bounds nothing.

    Beside a newel or wall that is turned in plan the gap is kept where it is narrowest through the thickness.
    """
    insets: dict[Label, float] = {"base": infill.edge_gap, "rail": infill.edge_gap}
    for side, end in (("start", place.start), ("finish", place.finish)):
        nu, ny, nz = end.bay_face.normal
        skew = infill.thickness / 2.0 * abs(ny) / math.hypot(nu, nz)
        insets[side] = infill.edge_gap + skew if end.closed else 0.0
    outline, points = full, full.points
    for k, label in enumerate(full.labels):
        (au, az), (bu, bz) = points[k], points[(k + 1) % len(points)]
        size = math.hypot(bu - au, bz - az)
        out = ((bz - az) / size, (au - bu) / size)
        inset = insets[label]
        outline = outline.clipped(HalfPlane((au - inset * out[0], az - inset * out[1]), out), label)
    if len(outline.points) < 3:
        raise ImpossibleDesignError(
            "the clearance around the panels leaves nothing of them: make edge_gap smaller"
        )
    return outline


def _shares(whole: Outline, infill: PanelsBrief) -> Iterator[Outline]:
    """The field parted plumb into shares of equal width half way up, ``joint`` between them.

    The width of a share is measured level between its plumb edges; at a leaning end it is wider at one corner.
    """
    left, right = _half_way(whole)
    length = right - left
    count = 1
    if infill.widest is not None:
        count = max(1, math.ceil((length + infill.joint) / (infill.widest + infill.joint) - SAME_POINT))
    each = (length - (count - 1) * infill.joint) / count
    if each <= 0.0:
        raise ImpossibleDesignError(
            "the joints leave nothing of the panels: let them be wider, or the joints smaller"
        )
    for k in range(count):
        share = whole
        low = left + k * (each + infill.joint)
        if k > 0:
            share = share.clipped(HalfPlane((low, 0.0), (-1.0, 0.0)), "left")
        if k < count - 1:
            share = share.clipped(HalfPlane((low + each, 0.0), (1.0, 0.0)), "right")
        yield share


def _half_way(whole: Outline) -> tuple[float, float]:
    """Where the middles of the two end edges stand."""
    places = []
    for label in ("start", "finish"):
        edge = whole.edge(label)
        if edge is None:
            raise ImpossibleDesignError(
                "the ends lean so far that the rails meet before them: no panel fits there"
            )
        places.append((edge[0][0] + edge[1][0]) / 2.0)
    return places[0], places[1]


def _panel(place: Field, infill: PanelsBrief, share: Outline, sight: Outline, number: int) -> Panel:
    seen = shapely.intersection(to_shapely(share.points), to_shapely(sight.points))
    if seen.is_empty or seen.geom_type != "Polygon":
        raise ImpossibleDesignError(
            "the ends and the rails leave nothing to be seen of a panel: divide them less"
        )
    shown = from_shapely(seen)
    openings = _openings(place, infill, shown)
    return Panel(
        mark=f"PN{number:02d}",
        kind=infill.kind,
        outline=share,
        sight=shown,
        holes=openings.holes,
        thickness=infill.thickness,
        y=infill_y(place.brief),
        edge_gap=infill.edge_gap,
        material=GLASS if infill.kind is PanelKind.GLASS else infill.material,
        hem=_HEMS[_is_housed(place, infill)],
        clipped=openings.clipped,
        left_out=openings.left_out,
    )


def _openings(place: Field, infill: PanelsBrief, shown: Points) -> Openings:
    if infill.kind is PanelKind.SLATTED:
        return Openings(tuple(_slots(infill, shown)), 0, 0)
    if infill.kind is not PanelKind.CUT:
        return Openings((), 0, 0)
    if infill.pattern is None:
        raise ImpossibleDesignError("a cut panel needs a drawing of its pattern")
    openings = repeated(infill.pattern, shown, place.handrail.bottom)
    shapes = [to_shapely(hole) for hole in openings.holes]
    tree = shapely.STRtree(shapes)
    pairs = tree.query(shapes, predicate="intersects") if shapes else ((), ())
    if any(a != b for a, b in zip(*pairs, strict=True)):
        raise ImpossibleDesignError(
            "the openings of the pattern run into one another where it is repeated: make its repeat wider or higher"
        )
    return openings


def _slots(infill: PanelsBrief, shown: Points) -> Iterator[Points]:
    """Plumb slots with equal slats between them, none narrower than asked; their ends run along the edges."""
    inner = shapely.buffer(to_shapely(shown), -infill.slat, join_style="mitre")
    if inner.is_empty:
        raise ImpossibleDesignError("the slats leave nothing of the panel to be slotted: make them narrower")
    left, floor, right, top = inner.bounds
    count = math.floor((right - left + infill.slat) / (infill.slat + infill.slot) + SAME_POINT)
    if count < 1:
        return
    between = (right - left - count * infill.slot) / (count - 1) if count > 1 else 0.0
    first = left if count > 1 else (left + right - infill.slot) / 2.0
    for k in range(count):
        low = first + k * (infill.slot + between)
        slot = shapely.box(low, floor - 1.0, low + infill.slot, top + 1.0)
        for part in shapely.get_parts(shapely.intersection(slot, inner)):
            if part.area > 0.0:
                yield from_shapely(part)
