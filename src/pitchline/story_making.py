"""How a solved job is made and fitted: what the workshop needs beside the drawings."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pitchline.job.rack import load_rack
from pitchline.kit.words import Words, show_in
from pitchline.making.cautions import dust_limit
from pitchline.making.consumables import Item, items_of
from pitchline.making.finishing import Amounts, amounts_of
from pitchline.making.finishing_brief import finish_plan
from pitchline.making.jigs import Jig
from pitchline.making.jigs_work import jigs_chapter, jigs_of
from pitchline.making.layers_work import Routed, routed
from pitchline.making.order_plan import Planned, plan_order
from pitchline.making.order_report import order_chapter
from pitchline.making.order_work import work_of
from pitchline.making.settings import SawWork
from pitchline.making.settings_report import sawing_chapter
from pitchline.making.settings_work import saw_work
from pitchline.making.shop import Shop
from pitchline.making.templates import Template, templates_of
from pitchline.parts.explode import grouped
from pitchline.story import Solved, SolvedBalustrade
from pitchline.story_cutting import NO_CUTTINGS, Cuttings
from pitchline.strength.settings import StrengthSettings


@dataclass(frozen=True, slots=True)
class Workshop:
    """What the making of a job adds to it: the shop it is made in; by the id of a design or wall rail, its work.

    ``orders``: the order of work of each design, ``amounts``: what finishing it takes, ``items``: what is used up;
    none for wall rails.
    """

    shop: Shop
    sawing: Mapping[str, SawWork]
    jigs: Mapping[str, tuple[Jig, ...]] = field(default_factory=dict)
    templates: Mapping[str, tuple[Template, ...]] = field(default_factory=dict)
    orders: Mapping[str, Planned] = field(default_factory=dict)
    amounts: Mapping[str, Amounts] = field(default_factory=dict)
    items: Mapping[str, tuple[Item, ...]] = field(default_factory=dict)


def work_out(solved: Solved, cuttings: Cuttings = NO_CUTTINGS) -> Workshop:
    """How everything in a job that is still to be made is made with its shop, cut as ``cuttings`` plan it."""
    shop = solved.job.shop
    groups = {whole.id: grouped(whole.still_to_cut) for whole in solved.balustrades}
    groups |= {rail.id: grouped(rail.parts) for rail in solved.wall_rails}
    orders = planned_orders(solved)
    amounts = {name: amounts_of(planned) for name, planned in orders.items()}
    fixed = {name: solved.job.strength.get(name, StrengthSettings()) for name in orders}
    sawing = {name: saw_work(alike, shop) for name, alike in groups.items()}
    words = Words(show_in(solved.job.unit))
    designs = {whole.id: whole.designs for whole in solved.balustrades}
    jigs = {
        name: jigs_of(designs.get(name, ()), alike, sawing[name], shop, words)
        for name, alike in groups.items()
    }
    return Workshop(
        shop=shop,
        sawing=sawing,
        jigs=jigs,
        templates={name: templates_of(alike, jigs[name], words) for name, alike in groups.items()},
        orders=orders,
        amounts=amounts,
        items={name: items_of(planned, amounts[name], fixed[name]) for name, planned in orders.items()},
    )


def router_layers(solved: Solved) -> Mapping[str, Routed]:
    """What a router cuts of each design that has anything for it, from the boards of the rack.

    Only a pack asks for it. InputError for a rack that cannot be read.
    """
    job = solved.job
    sheets = () if job.rack is None else tuple(one.stock for one in load_rack(job.rack).sheets)
    found = {
        whole.id: routed(
            whole.designs,
            [leg.parts for leg in whole.legs],
            job.shop,
            job.routing,
            sheets,
            words=Words(show_in(job.unit)),
        )
        for whole in solved.balustrades
    }
    return {name: work for name, work in found.items() if work is not None}


def planned_orders(solved: Solved) -> dict[str, Planned]:
    """The order of work of every design, by its id."""
    return {whole.id: _order(whole, solved) for whole in solved.balustrades}


def _order(whole: SolvedBalustrade, solved: Solved) -> Planned:
    """The order of work of one design, with the finish of the job."""
    job = solved.job
    parts = [leg.parts for leg in whole.legs]
    work = work_of(whole.edges, parts, job.shop, finish_plan(job.finish), show_in(job.unit))
    return plan_order(work, dust_limit(solved.rules.id))


def making_chapter(workshop: Workshop, name: str) -> dict[str, Any]:
    """Plain values for ``designs[].making`` of the result document: figures that designs can be compared by."""
    chapter = sawing_chapter(workshop.sawing[name], workshop.shop)
    chapter["jigs"] = jigs_chapter(workshop.jigs[name])
    planned = workshop.orders.get(name)
    return chapter if planned is None else chapter | order_chapter(planned, workshop.amounts[name])
