"""The usual shop, and what a saw reaches."""

import math

import pytest

from pitchline.catalogue.shop import load_shop
from pitchline.kit.tolerances import HOLD_LENGTH
from pitchline.making.shop import Printer, SawKind, usual_saw, usual_shop


def test_the_usual_shop_is_the_catalogues() -> None:
    shop, figures = usual_shop(), load_shop()
    assert [saw.kind for saw in shop.saws] == [SawKind.MITRE, SawKind.RAIL, SawKind.HAND]
    assert all(saw.shortest >= HOLD_LENGTH for saw in shop.saws)
    assert shop.drills == figures.drills.values
    assert [rate.id for rate in shop.rates] == list(figures.rates)
    assert figures.rates["newel"].minutes.low < shop.minutes("newel") < figures.rates["newel"].minutes.high
    assert {one.reach for one in shop.clamps} == set(figures.clamps["reaches"].values)
    assert shop.printer.paper == "A4" and usual_shop(inches=True).printer.paper == "Letter"


def test_a_rate_that_is_not_listed() -> None:
    with pytest.raises(KeyError, match="carving"):
        usual_shop().minutes("carving")


def test_how_far_a_saw_goes() -> None:
    saw = usual_saw(SawKind.MITRE)
    assert saw.reaches(50.0, 45.0) and saw.reaches(-50.0, 0.0)
    assert not saw.reaches(50.1, 0.0) and saw.reaches(50.1, 0.0, within_deg=0.2)
    assert not saw.reaches(0.0, -1.0), "the usual head tilts to one side only"
    assert usual_saw(SawKind.HAND).reaches(-65.0, 65.0)


def test_a_slanting_cut_is_deeper_and_wider() -> None:
    """A blade leaning by an angle goes through thickness over its cosine; a trace turned by it likewise in width."""
    saw = usual_saw(SawKind.MITRE)
    deepest = saw.deep * math.cos(math.radians(45.0))
    assert saw.passes(40.0, deepest - 0.01, 0.0, 45.0) and not saw.passes(40.0, deepest + 0.01, 0.0, 45.0)
    widest = saw.wide * math.cos(math.radians(50.0))
    assert saw.passes(widest - 0.01, 20.0, 50.0, 0.0) and not saw.passes(widest + 0.01, 20.0, 50.0, 0.0)


def test_a_printer_that_is_off_is_drawn_against() -> None:
    across, along = Printer("A4", 0.98, 1.01).stretch
    assert across * 0.98 == pytest.approx(1.0) and along * 1.01 == pytest.approx(1.0)
