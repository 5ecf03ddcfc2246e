"""From the parts of a design to the sawing: cuts, settings, order, stops, and how short pieces are held."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitchline.catalogue.timber import load_timber
from pitchline.kit.errors import InputError
from pitchline.making.saws import meets, stop_line
from pitchline.making.settings import Batch, Cut, CutKind, Holding, SawWork, SetCut, Unset, WhyNot
from pitchline.making.settings_choice import Chosen, chosen_settings
from pitchline.making.settings_order import ordered
from pitchline.making.settings_ways import Way, block_needed, blocked, on_right, ways
from pitchline.making.shop import Saw, SawKind, Shop
from pitchline.parts.explode import Group
from pitchline.parts.part import Part, Role, Tenon


def saw_work(groups: Sequence[Group], shop: Shop) -> SawWork:
    """All the sawing of a design's parts at the saws of a shop."""
    choices: list[tuple[Cut, tuple[Way, ...]]] = []
    beyond: list[Cut] = []
    unset: list[Unset] = []
    for group in groups:
        why = why_not(group.part)
        for cut in cuts_of(group):
            found = ways(cut, _saws_for(why, shop))
            if why in (WhyNot.GLASS, WhyNot.CABLE, WhyNot.TEMPLATE):
                unset.append(Unset(cut, why))
            elif found:
                choices.append((cut, found))
            elif why is WhyNot.METAL:
                unset.append(Unset(cut, why))
            else:
                beyond.append(cut)
    choices += _with_blocks(beyond, shop.saws, unset)
    batches, moves = _batches(chosen_settings(choices)) if choices else ((), 0)
    return SawWork(batches, tuple(unset), moves)


def why_not(part: Part) -> WhyNot | None:
    """What keeps a part away from the saws for wood, if anything."""
    if part.role is Role.CABLE:
        return WhyNot.CABLE
    if part.role is Role.EASING:
        return WhyNot.TEMPLATE
    try:
        kind = load_timber(part.material).kind
    except InputError:
        return None
    return {"glass": WhyNot.GLASS, "metal": WhyNot.METAL}.get(kind)


def _saws_for(why: WhyNot | None, shop: Shop) -> tuple[Saw, ...]:
    """Metal is cut by hand, in a box, with a blade for it; all else at whatever there is."""
    if why is None:
        return shop.saws
    return tuple(saw for saw in shop.saws if why is WhyNot.METAL and saw.kind is SawKind.HAND)


def cuts_of(group: Group) -> Iterator[Cut]:
    """Every saw cut of a group: its ends, corners taken off them, shoulders of its tenons."""
    part = group.part
    for at_start, planes in ((True, part.start_cuts), (False, part.finish_cuts)):
        for number, plane in enumerate(planes):
            kind = CutKind.CORNER if number else CutKind.END
            yield Cut(group.mark, group.places, part, plane, at_start, kind)
    for feature in part.features:
        if isinstance(feature, Tenon):
            at_start = feature.shoulder.normal[0] < 0.0
            yield Cut(group.mark, group.places, part, feature.shoulder, at_start, CutKind.SHOULDER)


def _with_blocks(
    cuts: Sequence[Cut], saws: Sequence[Saw], unset: list[Unset]
) -> Iterator[tuple[Cut, tuple[Way, ...]]]:
    """Cuts beyond the scales, made with one taper block for each saw: the largest that any of them needs."""
    needs = [(cut, block_needed(cut, saws)) for cut in cuts]
    largest: dict[Saw, float] = {}
    for _, need in needs:
        if need is not None:
            largest[need[0]] = max(need[1], largest.get(need[0], 0.0))
    for cut, need in needs:
        if need is None:
            unset.append(Unset(cut, WhyNot.BEYOND))
            continue
        saw, least = need
        found = tuple(blocked(cut, saw, largest[saw])) or tuple(blocked(cut, saw, least))
        yield cut, found


def _batches(chosen: Sequence[Chosen]) -> tuple[tuple[Batch, ...], int]:
    settings, moves = ordered(tuple(dict.fromkeys(one.setting for one in chosen)))
    turn = {setting: number for number, setting in enumerate(settings)}
    ends: dict[tuple[str, bool], int] = {}
    for one in chosen:
        key = (one.cut.mark, one.cut.at_start)
        ends[key] = max(turn[one.setting], ends.get(key, 0))
    batches = []
    for setting in settings:
        mine = [_set_cut(one, turn[setting], ends) for one in chosen if one.setting == setting]
        mine.sort(key=lambda one: (-one.cut.part.length, one.cut.mark, not one.first))
        batches.append(Batch(setting, tuple(mine)))
    return _held(batches), moves


def _set_cut(one: Chosen, turn: int, ends: dict[tuple[str, bool], int]) -> SetCut:
    cut, way = one.cut, one.way
    line = stop_line(cut.part, way.lay)
    here = meets(cut.plane, line)
    others = cut.part.finish_cuts if cut.at_start else cut.part.start_cuts
    places = [meets(plane, line) for plane in others]
    there = min(places) if cut.at_start else max(places)
    other_turn = ends.get((cut.mark, not cut.at_start))
    first = other_turn is None or turn < other_turn or (turn == other_turn and cut.at_start)
    return SetCut(
        cut=cut,
        lay=way.lay,
        exact=way.exact,
        opens=one.opens,
        on_right=on_right(cut, way.lay, one.setting.saw.kind),
        stop=abs(there - here),
        low=line.low,
        holding=Holding.BY_HAND,
        from_two_sides=way.from_two_sides,
        first=first and cut.kind is CutKind.END,
    )


def _held(batches: Sequence[Batch]) -> tuple[Batch, ...]:
    """How each piece is held: short ones off a long stick where both their ends are cut so, else in a carrier."""
    settings: dict[str, set[int]] = {}
    planes: dict[str, int] = {}
    for number, batch in enumerate(batches):
        for one in batch.cuts:
            settings.setdefault(one.cut.mark, set()).add(number)
            planes[one.cut.mark] = planes.get(one.cut.mark, 0) + 1

    def holding(one: SetCut, saw: Saw) -> Holding:
        if one.cut.part.blank_length >= saw.shortest:
            return Holding.BY_HAND
        mark = one.cut.mark
        simple = planes[mark] == 2 and (len(settings[mark]) == 1 or one.cut.quantity == 1)
        return Holding.STICK if simple else Holding.CARRIER

    return tuple(
        Batch(
            batch.setting,
            tuple(replace(one, holding=holding(one, batch.setting.saw)) for one in batch.cuts),
        )
        for batch in batches
    )
