"""Uprights that die into something overhead, and rails that would run into it; figures worked by hand."""

from dataclasses import replace

import pytest
from tests.strategies_edges import LANDING_LIMITS, Leg, briefs_of, built

from pitchline.design.compose import compose
from pitchline.design.infill.dying import die_into_soffits
from pitchline.design.model import Design
from pitchline.kit.finding import Verdict
from pitchline.kit.geometry.lines import Line
from pitchline.parts.explode import explode
from pitchline.stair.model import Soffit

SLOPE = Soffit("roof", (0.0, 1400.0), (2000.0, 400.0))
"""An underside that falls 1 in 2 along a level edge 2 m long: 900 mm high at u = 1000."""


def gallery(*soffits: Soffit) -> Design:
    (flight,) = built((Leg("gallery", None, 2000.0),))
    brief = briefs_of((flight,), ())[0]
    return compose(replace(flight, soffits=soffits), brief, LANDING_LIMITS)


def test_nothing_overhead_changes_nothing() -> None:
    plain = gallery()
    assert [die_into_soffits(u, ()) for u in plain.uprights] == list(plain.uprights)
    assert not [f for f in plain.findings if f.code == "design.rail.soffit"]


def test_uprights_under_a_slope_end_on_it() -> None:
    """The slope is z = 1400 - u / 2; uprights whose heads would stand above it are cut along it."""
    design, plain = gallery(SLOPE), gallery()
    slope = Line.through(SLOPE.start, SLOPE.finish)
    cut = [u for u in design.uprights if "soffit" in u.outline.labels]
    assert cut
    for upright in design.uprights:
        assert all(z <= slope.at(u) + 1e-6 for u, z in upright.outline.points)
    kept = [u for u in design.uprights if "soffit" not in u.outline.labels]
    assert kept == list(plain.uprights[: len(kept)])


def test_their_parts_have_end_cuts_of_their_own() -> None:
    """A slope of 1 in 2 is 26.565 degrees: that is the mitre of the upper ends."""
    design = gallery(SLOPE)
    parts = {part.place: part for part in explode(design)}
    for upright in design.uprights:
        if upright.outline.labels.count("soffit") and "rail" not in upright.outline.labels:
            normal = parts[upright.mark].finish_cuts[0].normal
            assert abs(normal[0]) == pytest.approx(2.0 / 5.0**0.5, abs=1e-9)


def test_a_rail_that_runs_into_it_is_refused() -> None:
    """The rail's top at 900 mm meets the slope at u = 1000; 75 mm of room for a hand end at u = 850."""
    (told,) = [f for f in gallery(SLOPE).findings if f.code == "design.rail.soffit"]
    assert told.verdict is Verdict.FAIL
    assert "850" in told.text


def test_a_ceiling_high_above_says_nothing() -> None:
    high = Soffit("ceiling", (0.0, 2300.0), (2000.0, 2300.0))
    assert gallery(high).uprights == gallery().uprights
    assert not [f for f in gallery(high).findings if f.code == "design.rail.soffit"]
