"""Moisture and movement of wood against printed tables and worked examples.

1. Wood Handbook, FPL-GTR-190 (2010), table 4-2: equilibrium moisture by temperature and humidity, printed to 0.1 %.
   Read in a page copy whose Celsius column is out of step; the rows go by degrees Fahrenheit.
2. The same, tables 4-3 (shrinkage from green to oven dry, %) and 13-5 (movement per % of moisture), in page copies.
3. EN 1995-1-1, 2.3.1.3: service classes 1 and 2 (20 degrees with 65 and 85 % humidity, at most 12 and 20 % in most
   softwoods); from memory.
"""

import pytest

from pitchline.catalogue.moisture import (
    by_coefficient,
    by_shrinkage,
    equilibrium_moisture,
    movement_between,
    shrinkage_of,
)
from pitchline.catalogue.timber import load_timber

HUMIDITIES = tuple(range(5, 100, 5))
ROW_50_F = (
    1.4,
    2.6,
    3.6,
    4.6,
    5.5,
    6.3,
    7.1,
    7.9,
    8.7,
    9.5,
    10.3,
    11.2,
    12.3,
    13.4,
    14.8,
    16.4,
    18.4,
    20.9,
    24.3,
)
ROW_70_F = (
    1.3,
    2.5,
    3.5,
    4.5,
    5.4,
    6.2,
    6.9,
    7.7,
    8.5,
    9.2,
    10.1,
    11.0,
    12.0,
    13.1,
    14.4,
    16.0,
    17.9,
    20.5,
    23.9,
)
PRINTED = 0.05 + 0.01
"""Half of the last printed digit, and a hundredth for constants that were fitted and rounded."""


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


@pytest.mark.parametrize(("fahrenheit", "row"), [(50.0, ROW_50_F), (70.0, ROW_70_F)])
def test_equilibrium_moisture_of_two_rows_of_the_table(fahrenheit: float, row: tuple[float, ...]) -> None:
    """Wood Handbook (2010), table 4-2, rows of 50 and 70 degrees Fahrenheit (10 and 21.1 Celsius), 19 humidities."""
    for humidity, printed in zip(HUMIDITIES, row, strict=True):
        assert equilibrium_moisture(humidity, celsius(fahrenheit)) == pytest.approx(printed, abs=PRINTED)


@pytest.mark.parametrize(
    ("humidity", "cool", "warm"),
    list(zip(HUMIDITIES, ROW_50_F, ROW_70_F, strict=True)),
    ids=map(str, HUMIDITIES),
)
def test_equilibrium_moisture_at_20_degrees_lies_between_the_rows(
    humidity: int, cool: float, warm: float
) -> None:
    """Wood Handbook (2010), table 4-2: 20 degrees Celsius by straight interpolation between 50 and 70 F."""
    share = (20.0 - celsius(50.0)) / (celsius(70.0) - celsius(50.0))
    assert equilibrium_moisture(humidity, 20.0) == pytest.approx(
        cool + share * (warm - cool), abs=0.05 + PRINTED
    )


def test_equilibrium_moisture_of_the_service_classes() -> None:
    """EN 1995-1-1, 2.3.1.3, from memory: 20 degrees and 65 % bring 12 %, 85 % no more than 20 %."""
    assert equilibrium_moisture(65.0, 20.0) == pytest.approx(12.0, abs=0.1)
    assert 12.0 < equilibrium_moisture(85.0, 20.0) < 20.0


@pytest.mark.parametrize(
    ("shrinkage", "coefficient"),
    [
        (4.9, 0.00169),
        (7.8, 0.00274),
        (5.5, 0.00190),
        (11.9, 0.00431),
        (7.3, 0.00256),
        (9.5, 0.00338),
        (6.3, 0.00219),
        (8.6, 0.00304),
        (3.7, 0.00126),
        (7.1, 0.00248),
        (4.8, 0.00165),
        (9.9, 0.00353),
    ],
)
def test_the_shrinkage_formula_gives_the_printed_coefficients(shrinkage: float, coefficient: float) -> None:
    """Wood Handbook (2010), tables 4-3 and 13-5: white ash, American beech, both birches, cherry, sugar maple."""
    assert by_shrinkage(1.0, shrinkage, 10.0, 11.0) == pytest.approx(coefficient, abs=6e-6)
    assert shrinkage_of(coefficient) == pytest.approx(shrinkage, abs=0.02)


def test_a_red_oak_newel_from_12_to_7_percent() -> None:
    """Wood Handbook (2010), table 13-5, red oak (commercial) 0.00369 flatsawn: 90 x 0.00369 x 5 = 1.66 mm."""
    oak = load_timber("oak-red")
    change = movement_between(90.0, oak.movement_tangential, 12.0, 7.0).change
    assert change == pytest.approx(-90.0 * 0.00369 * 5.0)
    assert change == pytest.approx(-1.66, abs=0.005)


def test_a_white_oak_newel_both_ways() -> None:
    """Wood Handbook (2010), white oak: table 4-3 S 10.5 %, table 13-5 C 0.00365; they agree to 0.04 mm in 90."""
    by_whole = by_shrinkage(90.0, 10.5, 12.0, 7.0)
    by_rate = by_coefficient(90.0, 0.00365, 12.0, 7.0)
    assert by_whole == pytest.approx(-90.0 * 5.0 / (3000.0 / 10.5 - 30.0 + 12.0))
    assert by_whole == pytest.approx(-1.68, abs=0.005)
    assert by_rate == pytest.approx(-1.64, abs=0.005)


def test_a_red_alder_board_of_8_inches() -> None:
    """A trade article's example with the handbook's flatsawn 0.0026: 8 in and 6 % make about 1/8 in, 0.125."""
    assert by_coefficient(8.0, 0.0026, 6.0, 12.0) == pytest.approx(0.125, abs=0.0005)
