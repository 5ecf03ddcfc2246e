"""Room overhead against plain sums."""

from dataclasses import replace

import pytest
from tests.builders import ENGLAND, HandBuilt, hand_built
from tests.strategies_stairs import regular_flight

from pitchline.checks.case import Case
from pitchline.checks.clearances import check_clearances, rooms_under
from pitchline.kit.finding import Verdict
from pitchline.stair.model import Soffit


def test_least_room_stands_where_the_lines_come_nearest() -> None:
    """A soffit falling from 3000 to 2400 over 1000, over a line rising from 0 to 500: 1900 at its far end."""
    room = rooms_under([Soffit("beam", (0.0, 3000.0), (1000.0, 2400.0))], [(0.0, 0.0), (1000.0, 500.0)])
    assert (room[0].room, room[0].u) == pytest.approx((1900.0, 1000.0))


def test_a_soffit_beside_the_line_says_nothing() -> None:
    assert (
        rooms_under([Soffit("beam", (2000.0, 3000.0), (3000.0, 3000.0))], [(0.0, 0.0), (1000.0, 500.0)]) == ()
    )


def test_inner_corners_of_the_line_count() -> None:
    """A level soffit over a line that peaks between its ends."""
    room = rooms_under(
        [Soffit("s", (0.0, 2000.0), (200.0, 2000.0))], [(0.0, 0.0), (90.0, 150.0), (200.0, 0.0)]
    )
    assert (room[0].room, room[0].u) == pytest.approx((1850.0, 90.0))


def test_headroom_is_reported_and_the_hand_is_advised() -> None:
    """Nosings rise 200 on 225: at N13, 2600 up; a soffit 4000 up there leaves 1400, over the rail at 950: 450."""
    flight = regular_flight(margin=None)
    over = replace(flight, soffits=(Soffit("ceiling", (0.0, 4000.0), (2700.0, 4000.0)),))
    design = hand_built(HandBuilt(gaps=(90.0,) * 20), flight=over)
    findings = {f.code: f for f in check_clearances(Case(design, ENGLAND))}
    assert findings["stair.headroom.under"].measured == pytest.approx(1400.0)
    assert findings["stair.headroom.under"].verdict is Verdict.REPORT
    assert findings["handrail.clear.over"].verdict is Verdict.PASS
    low = replace(over, soffits=(Soffit("ceiling", (0.0, 3600.0), (2700.0, 3600.0)),))
    design = hand_built(HandBuilt(gaps=(90.0,) * 20), flight=low)
    rail = design.handrail
    end = rail.top.at(rail.finish.point[0])
    finding = next(f for f in check_clearances(Case(design, ENGLAND)) if f.code == "handrail.clear.over")
    assert finding.measured == pytest.approx(3600.0 - end)


def test_nothing_overhead_says_nothing() -> None:
    assert tuple(check_clearances(Case(hand_built(HandBuilt(gaps=(90.0,) * 5)), ENGLAND))) == ()
