"""Saw settings on paper: every setting in working order with how each piece lies there, and the same as a list."""

from collections.abc import Iterator, Mapping, Sequence

from pitchline.kit.drawing.sheet import Section, Table, TextPage
from pitchline.making.settings import Batch, Holding, SawWork, SetCut
from pitchline.making.shop import Shop
from pitchline.sheets.drawings import Style
from pitchline.sheets.making_pictures import lying_picture, scales_picture
from pitchline.sheets.making_words import (
    HELD,
    HOLDING_NOTES,
    end_words_of,
    face_words,
    fence_words,
    marks_words,
    mitre_words,
    other_ways_to_set,
    setting_name,
    stop_words,
    tilt_words,
)
from pitchline.sheets.tables import Listing, Quantity

HOW_TO_READ = (
    "All angles are the saw's own, from a square cut (0); none is measured from the edge. The settings stand in "
    "the order in which the fewest scales are moved; finish all pieces of a setting before you touch the saw.",
    "Stand in front of the saw. A piece is named by the face that lies on the table and the face at its fence or "
    "gauge; the pictures show it from above, the blade in red, the waste dashed. Lengths are final: what the cut "
    "list leaves for fitting stays on the end that is cut last.",
    "Try every setting on two scraps held together before the first piece. Where pieces share a setting, their "
    "joints gape by no more than the list says; the rest is set exactly.",
    "Cut only what the order of work has come to: newels and rails first, uprights and what goes between them "
    "when the rails are fitted and measured again. Settings found before that are for trial pieces.",
)
"""What stands before the settings."""


def saw_pages(name: str, what: str, work: SawWork, shop: Shop, style: Style) -> Iterator[TextPage]:
    """The settings of one design or wall rail, one below the other."""
    if not work.batches and not work.unset:
        return
    sections = [Section("", (_summary(work, shop), *HOW_TO_READ), tuple(_cautions(work)))]
    for number, batch in enumerate(work.batches, start=1):
        sections.append(_setting(number, work.settings, batch, style))
    if work.unset:
        sections.append(_otherwise(work))
    yield TextPage(f"{what} {name}: saw settings", tuple(sections), style.list_paper, landscape=True)


def _summary(work: SawWork, shop: Shop) -> str:
    minutes = work.settings * shop.minutes("setting")
    moved = f"{work.moves} scales or blocks moved" if work.moves != 1 else "1 scale or block moved"
    blocks = ", ".join(f"{angle:g}°" for angle in work.blocks_deg)
    need = f" Taper blocks to make: {blocks}, see the jigs." if blocks else ""
    return (
        f"{work.settings} settings for {work.cuts} cuts, {moved}, about {minutes:.0f} minutes of setting and "
        f"trying.{need}"
    )


def _cautions(work: SawWork) -> Iterator[str]:
    for holding, words in HOLDING_NOTES.items():
        if work.of(holding):
            yield words


def _setting(number: int, count: int, batch: Batch, style: Style) -> Section:
    setting = batch.setting
    ways = other_ways_to_set(setting, style)
    block = (
        f"The taper block of {setting.block_deg:g}° stands between the piece and the fence, thin end at the blade: "
        f"{abs(setting.mitre_deg):.2f}° on the scale and {setting.block_deg:g}° of the block are the "
        f"{abs(setting.made.mitre_deg):.2f}° of the cut."
    )
    said = tuple(words for words in (ways, block if setting.block_deg else "") if words)
    runs = _runs(batch.cuts)
    rows = []
    accents = set()
    for index, cuts in enumerate(runs):
        first = cuts[0]
        picture = lying_picture(first, setting.made, setting.saw.kind, 100 * number + index)
        gape = max(one.opens for one in cuts)
        rows.append(
            (
                picture,
                marks_words(cuts),
                end_words_of(first),
                f"{face_words(first.cut.part, first.lay.down)}\ndown",
                fence_words(first.cut.part, first.lay.fence, setting.saw.kind),
                stop_words(cuts, setting.saw.kind, style.show),
                HELD[first.holding] + ("\nfrom two sides" if first.from_two_sides else ""),
                f"{gape:.2f} mm" if gape > 0.005 else "exact",
            )
        )
        if first.holding is not Holding.BY_HAND:
            accents.add(index)
    table = Table(
        ("as it lies, from above", "pieces", "end", "on the table", "at the guide", "stop", "held", "gapes"),
        tuple(rows),
        widths=(0, None, 0, 0, 0, 39.0, 0, 0),
        accents=frozenset(accents),
    )
    title = f"Setting {number} of {count}. {setting_name(setting)[0].upper()}{setting_name(setting)[1:]}"
    if setting_is_plain(batch):
        return Section(title, (), tables=(table,))
    scales = Table(
        ("the saw", "the same angles otherwise"),
        ((scales_picture(setting, number), "\n".join(said)),),
        widths=(118.0, None),
    )
    return Section(title, (), tables=(scales, table))


def _runs(cuts: Sequence[SetCut]) -> list[tuple[SetCut, ...]]:
    """Cuts that share a row: first ends before second ones, the longer pieces first."""
    found: dict[tuple[object, ...], list[SetCut]] = {}
    for one in cuts:
        found.setdefault(_alike(one), []).append(one)
    rows = [tuple(run) for run in found.values()]
    return sorted(rows, key=lambda run: (not run[0].first, -max(one.cut.part.length for one in run)))


def setting_is_plain(batch: Batch) -> bool:
    """Whether the saw stands square and upright, so that there is nothing to show of its scales."""
    return (mitre_words(batch.setting), tilt_words(batch.setting)) == ("square", "upright")


def _alike(one: SetCut) -> tuple[object, ...]:
    """What must be the same in cuts that share a row."""
    part = one.cut.part
    return (
        part.role.value,
        one.cut.kind.value,
        one.cut.at_start,
        face_words(part, one.lay.down),
        face_words(part, one.lay.fence),
        one.on_right,
        one.holding.value,
        one.first,
        one.from_two_sides,
        one.low,
    )


def _otherwise(work: SawWork) -> Section:
    found: dict[str, list[str]] = {}
    for one in work.unset:
        found.setdefault(one.why.value, []).append(f"{one.cut.mark} {one.cut.end}")
    points = tuple(f"{why}: {', '.join(dict.fromkeys(marks))}." for why, marks in found.items())
    return Section("Not set at a saw here", (), points)


def saw_list(name: str, work: SawWork) -> Listing:
    """Every cut with its setting, its lay and its stop."""
    rows = tuple(
        (
            Quantity(number, "count"),
            batch.setting.saw.id,
            mitre_words(batch.setting),
            tilt_words(batch.setting),
            f"{batch.setting.block_deg:g}°" if batch.setting.block_deg else "",
            one.cut.mark,
            Quantity(one.cut.quantity, "count"),
            end_words_of(one).replace("\n", ", "),
            face_words(one.cut.part, one.lay.down),
            face_words(one.cut.part, one.lay.fence),
            "right" if one.on_right else "left",
            "" if one.first else Quantity(one.stop),
            HELD[one.holding].lower(),
            Quantity(one.opens, "number"),
        )
        for number, batch in enumerate(work.batches, start=1)
        for one in batch.cuts
    )
    return Listing(
        f"{name}-saw-settings",
        f"Saw settings, {name}",
        (
            "Setting",
            "Saw",
            "Mitre",
            "Blade",
            "Block",
            "Mark",
            "Off",
            "End",
            "On the table",
            "At the fence",
            "Piece on the",
            "Stop",
            "Held",
            "Gapes, mm",
        ),
        rows,
        intro="In working order. Angles from a square cut and an upright blade. The stop is set along the edge on "
        "table and fence, on rounded pieces in the middle of the face at the fence.",
        wide=True,
        on_paper=False,
    )


def compared_making(works: Mapping[str, SawWork], shop: Shop) -> Listing:
    """Designs beside each other by how they are sawn."""
    rows = tuple(
        (
            name,
            Quantity(work.settings, "count"),
            Quantity(work.moves, "count"),
            Quantity(work.settings * shop.minutes("setting"), "count"),
            Quantity(len(work.blocks_deg), "count"),
            Quantity(work.cuts, "count"),
            Quantity(_off(work.of(Holding.STICK)), "count"),
            Quantity(_off(work.of(Holding.CARRIER)), "count"),
        )
        for name, work in works.items()
    )
    return Listing(
        "making-compared",
        "Designs compared by their sawing",
        (
            "Design",
            "Settings",
            "Scales moved",
            "Minutes of setting",
            "Taper blocks",
            "Cuts",
            "Off a stick",
            "In a carrier",
        ),
        rows,
        intro="Fewer settings are quicker and closer: every setting is tried on scrap.",
    )


def _off(cuts: Sequence[SetCut]) -> int:
    return sum(one.cut.quantity for one in cuts)
