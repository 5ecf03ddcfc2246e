"""What holds of uprights on treads whatever the flight, the way of making and the place on the tread."""

from dataclasses import replace
from itertools import pairwise

import pytest
import shapely
from hypothesis import assume, given, reject, settings
from tests.strategies_stairs import LIMITS
from tests.strategies_treads import tread_cases

from pitchline.catalogue.rules import load_rule_set
from pitchline.checks.openings import find_openings
from pitchline.design.brief import Brief, Spread
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.outlines import to_shapely
from pitchline.kit.tolerances import TOUCH_OVERLAP_VOLUME
from pitchline.parts.explode import explode
from pitchline.solids.solid import overlaps
from pitchline.stair.model import Flight, Side
from pitchline.stair.treads import treads_of

Case = tuple[Flight, Brief]
FEW = settings(max_examples=25)
ENGLAND = load_rule_set("england-dwelling")


def composed(case: Case) -> Design:
    """The design of a case; a case that leaves nothing to build is thrown away."""
    try:
        return compose(*case, LIMITS)
    except ImpossibleDesignError:
        reject()


@given(tread_cases())
def test_no_gap_passes_what_the_limit_leaves(case: Case) -> None:
    design = composed(case)
    allowed = LIMITS.gap - design.brief.build_tolerance
    gaps = [gap for upright in design.uprights for gap in (upright.gap_before, upright.gap_after)]
    assert max(gaps) <= allowed + 1e-6
    assert min(gaps) >= -1e-6


@given(tread_cases())
def test_one_fewer_to_a_tread_would_not_hold(case: Case) -> None:
    """The program takes the fewest: with one fewer the widest going leaves more than is allowed."""
    design = composed(case)
    allowed = LIMITS.gap - design.brief.build_tolerance
    treads = treads_of(design.flight)[1:-1]
    inner = design.uprights[1:-1]
    whole = [t for t in treads if inner and t.front > design.uprights[0].u and t.back < design.uprights[-1].u]
    assume(whole)
    held = max(sum(t.front <= u.u < t.back for u in inner) for t in whole)
    assume(held > 1)
    widest = max(tread.going for tread in treads)
    assert widest / (held - 1) - design.brief.uprights.width > allowed - 1e-6


@given(tread_cases())
def test_uprights_on_one_tread_share_its_going(case: Case) -> None:
    design = composed(case)
    for tread in treads_of(design.flight)[1:-1]:
        held = [u for u in design.uprights if tread.front <= u.u < tread.back]
        if not held:
            continue
        steps = [b.u - a.u for a, b in pairwise(held)]
        if held[0] is not design.uprights[0] and held[-1] is not design.uprights[-1]:
            assert steps == pytest.approx([tread.going / len(held)] * len(steps))


@given(tread_cases())
def test_what_is_seen_lies_between_the_steps_and_the_handrail(case: Case) -> None:
    design = composed(case)
    bay = to_shapely(design.bay.sight).buffer(1e-6)
    for upright in design.uprights:
        assert bay.contains(to_shapely(upright.sight))
    for first, second in pairwise(design.uprights):
        assert to_shapely(first.sight).intersection(to_shapely(second.sight)).area < 1e-6


@given(tread_cases())
def test_members_and_openings_fill_the_bay(case: Case) -> None:
    """What the check finds open, with what is seen of the uprights, is the field over the steps.

    Below the nosings the steps stand back by their overhang; that is taken off by looking at nosings without one.
    """
    flight, brief = case
    design = composed((replace(flight, nosing_overhang=0.0), brief))
    bay = to_shapely(design.bay.sight)
    found = (shapely.make_valid(to_shapely(opening.outline)) for opening in find_openings(design, ENGLAND))
    openings = [outline.intersection(bay) for outline in found]
    seen = [to_shapely(upright.sight) for upright in design.uprights]
    assert sum(piece.area for piece in (*openings, *seen)) == pytest.approx(bay.area, rel=1e-6)


@FEW
@given(tread_cases())
def test_no_two_pieces_claim_the_same_wood(case: Case) -> None:
    design = composed(case)
    assume(all(upright.gap_before >= 0.0 and upright.gap_after >= 0.0 for upright in design.uprights))
    assert overlaps(explode(design), (), TOUCH_OVERLAP_VOLUME) == ()


@FEW
@given(tread_cases())
def test_the_other_side_is_the_same_mirrored(case: Case) -> None:
    flight, brief = case
    one = composed(case)
    other = Side.LEFT if brief.side is Side.RIGHT else Side.RIGHT
    two = compose(flight, replace(brief, side=other), LIMITS)
    assert [u.outline for u in one.uprights] == [u.outline for u in two.uprights]
    lengths = [sorted(part.length for part in explode(design)) for design in (one, two)]
    assert lengths[0] == pytest.approx(lengths[1])


@given(tread_cases())
def test_the_spread_is_per_tread(case: Case) -> None:
    assert case[1].uprights.spacing.spread is Spread.PER_TREAD
    assert composed(case).base is None
