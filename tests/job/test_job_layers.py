"""The table of a job that says how layers are cut."""

import pytest

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.errors import InputError
from pitchline.kit.geometry.relief_kinds import Relief
from pitchline.kit.units import Unit
from pitchline.making.routing import Holding, Routing, usual_routing


def routing(table: str, units: str = "mm") -> Routing:
    unit = Unit.INCH if units == "in" else Unit.MM
    return load_text(f"{starting_text(units, unit)}\n[layers]\n{table}\n").routing


def test_a_job_that_says_nothing_is_cut_as_usual() -> None:
    assert load_text(starting_text("mm", Unit.MM)).routing == usual_routing()
    assert routing("") == usual_routing()


def test_what_is_said_is_taken_in_the_units_of_the_job() -> None:
    told = routing('corners = "left round"\nhold = "onion skin"\nskin = "1/64 in"\ndowel = "1/4 in"', "in")
    assert told.corners is Relief.ROUND
    assert told.holding is Holding.SKIN
    assert told.skin == pytest.approx(25.4 / 64.0)
    assert told.dowel == pytest.approx(6.35)
    assert told.scarf == usual_routing().scarf


@pytest.mark.parametrize(
    ("table", "where", "words"),
    [
        ('corners = "square"', "layers.corners", "dog-bone"),
        ("tab = 200", "layers.tab", "out of reach"),
        ("scarf = 8.5", "layers.scarf", "whole number"),
        ("bones = 3", "layers.bones", "bones"),
        ("skin = 0.4", "layers.skin", "onion skin"),
        ('hold = "none"\ntab = 8', "layers.tab", "not held by tabs"),
        ("newel_bore = 12", "layers.newel_bore", "newel_bore_depth"),
        ("newel_bore_depth = 200", "layers.newel_bore_depth", "newel_bore"),
    ],
)
def test_a_fault_is_told_with_its_place(table: str, where: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        routing(table)
    told = [f"{fault.where}: {fault.problem} {fault.allowed} {fault.found}" for fault in caught.value.faults]
    assert any(where in one and words in one for one in told), told
