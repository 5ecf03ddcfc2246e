"""The chapter of the order of work: ``work.pdf`` with its pictures, the schedule as a drawing, lists of steps."""

from collections.abc import Mapping

from pitchline.kit.drawing.sheet import Page
from pitchline.kit.geometry.frames import Vec3
from pitchline.making.order_plan import Planned
from pitchline.sheets.chapter import Chapter, Document, PackFile
from pitchline.sheets.drawings import Drawn, Style
from pitchline.sheets.finish_pages import finish_lists, finish_pages
from pitchline.sheets.order_pages import order_pages
from pitchline.sheets.order_pictures import View
from pitchline.sheets.order_words import between, clock, listed
from pitchline.sheets.step_pictures import StepPictures
from pitchline.sheets.tables import Listing, Quantity
from pitchline.solids.picture import Picture
from pitchline.solids.scene import Scene
from pitchline.story_making import Workshop

WORK_FILE = PackFile(
    "work.pdf", "Order of work step by step, schedule, gates, cautions; finishing and what it takes"
)

Seen = tuple[Scene, Picture, Vec3]
"""A design in space: its pieces and surroundings, the picture of them, and where it is seen from."""


def order_chapter(workshop: Workshop, seen: Mapping[str, Seen], style: Style) -> Chapter:
    """The order of work of every design; ``seen`` holds its view in space."""
    pages: list[Page] = []
    drawn: list[Drawn] = []
    listings: list[Listing] = []
    for name, planned in workshop.orders.items():
        scene, picture, eye = seen[name]
        pictures = StepPictures(planned, View(picture), scene.parts, eye)
        own, chart = order_pages(planned, pictures, style)
        pages += own
        drawn.append(chart)
        listings.append(steps_list(planned))
        finish, masks = finish_pages(planned, workshop.amounts[name], workshop.items[name], style)
        pages += finish
        drawn += masks
        listings += finish_lists(name, workshop.amounts[name], workshop.items[name])
    if len(workshop.orders) > 1:
        listings.append(made_list(workshop))
    return Chapter((Document(WORK_FILE, "Order of work", tuple(pages)),), tuple(drawn), tuple(listings))


def made_list(workshop: Workshop) -> Listing:
    """The designs of a job beside each other by what they take to make."""
    rows = []
    for name, planned in workshop.orders.items():
        amounts, sawing = workshop.amounts[name], workshop.sawing[name]
        rows.append(
            (
                name,
                Quantity(planned.hours, "number"),
                Quantity(planned.schedule.days, "count"),
                Quantity(len(planned.order.steps), "count"),
                Quantity(sawing.settings, "count"),
                Quantity(amounts.area, "number"),
                "" if amounts.litres is None else between(amounts.litres.low, amounts.litres.high, "l"),
                " / ".join(dict.fromkeys(entry.way.value for entry in planned.work.entries.values())),
            )
        )
    return Listing(
        "designs-made",
        "Designs compared by what they take to make",
        ("Design", "Hours", "Days", "Steps", "Saw settings", "Finished m2", "Finish", "The infill goes in"),
        tuple(rows),
        intro="Hours of one person by the working times of the shop, from the rough stock to the last check; setting "
        "saws and the survey are not in them.",
        widths=(16.0, 16.0, 14.0, 14.0, 22.0, 24.0, 28.0, None),
        wide=True,
    )


def steps_list(planned: Planned) -> Listing:
    """Every step in a row."""
    numbers, slots = planned.order.numbers, planned.schedule.of
    rows = []
    for step in planned.order.steps:
        slot = slots[step.key]
        rows.append(
            (
                Quantity(numbers[step.key], "count"),
                step.title,
                step.at.value,
                Quantity(step.minutes, "count"),
                clock(slot.start),
                clock(slot.end),
                "" if slot.free <= slot.end else clock(slot.free),
                Quantity(slot.clamps, "count"),
                listed([str(numbers[need.step]) for need in step.needs]),
                listed(step.parts, most=8),
            )
        )
    gates = frozenset(index for index, step in enumerate(planned.order.steps) if step.gate is not None)
    return Listing(
        f"{planned.work.design}-steps",
        f"Steps of the work, design {planned.work.design}",
        (
            "Step",
            "What",
            "Where",
            "Minutes",
            "Starts",
            "Ends",
            "Set or dry",
            "Clamps",
            "After steps",
            "Pieces",
        ),
        tuple(rows),
        accents=gates,
        intro="Minutes of one person. Steps in the accent colour are gates: what hangs on them is not cut before.",
        widths=(10.0, None, 22.0, 14.0, 24.0, 24.0, 24.0, 14.0, 26.0, 44.0),
        wide=True,
        on_paper=False,
    )
