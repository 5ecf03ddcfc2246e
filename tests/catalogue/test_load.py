"""The strict reader: every number with its unit, source and status; nothing unknown; all faults at once."""

import math

import pytest

from pitchline.catalogue.load import (
    STATUSES,
    Fact,
    Quantity,
    data_names,
    nearest,
    parse,
    read_fact,
    read_range,
    read_series,
    read_sources,
)
from pitchline.kit.errors import InputError

SOURCES = '[sources.book]\ntitle = "A book"\nedition = "1"\nseen = "page 1"\n'


def fact_of(line: str, quantity: Quantity = "length") -> Fact:
    root = parse(f"{SOURCES}[x]\nit = {{ {line} }}\n", "the text")
    sources = read_sources(root)
    x = root.section("x")
    fact = read_fact(x.section("it"), quantity, sources)
    root.close()
    root.finish("the text")
    return fact


@pytest.mark.parametrize(
    ("written", "quantity", "value", "unit", "shown"),
    [
        ("mm = 900", "length", 900.0, "mm", "900 mm"),
        ("in = 4", "length", 101.6, "mm", "4 in"),
        ('in = "4 3/8"', "length", 111.125, "mm", "4 3/8 in"),
        ("in = 4.375", "length", 111.125, "mm", "4.375 in"),
        ("deg = 42", "angle", 42.0, "deg", "42 deg"),
        ("count = 4", "count", 4.0, "", "4"),
        ("kN = 0.25", "force", 250.0, "N", "0.25 kN"),
        ("kN_per_m = 0.36", "line load", 0.36, "N/mm", "0.36 kN/m"),
        ("kN_per_m2 = 0.5", "pressure", 0.0005, "MPa", "0.5 kN/m2"),
        ("one_in = 96", "ratio", 1.0 / 96.0, "", "1/96"),
        ("kg_per_m3 = 550", "density", 550.0, "kg/m3", "550 kg/m3"),
    ],
)
def test_units_of_the_file_become_units_of_the_program(
    written: str, quantity: Quantity, value: float, unit: str, shown: str
) -> None:
    fact = fact_of(f'{written}, source = "book", status = "V-P"', quantity)
    assert (fact.value, fact.unit, fact.written) == (value, unit, shown)


def test_pounds_and_square_feet() -> None:
    # 1 lb = 0.45359237 kg and g = 9.80665 m/s2 (both exact by definition); 1 ft = 304.8 mm.
    force = fact_of('lbf = 200, source = "book", status = "V-P"', "force").value
    assert math.isclose(force, 200 * 0.45359237 * 9.80665, rel_tol=1e-12)
    area = fact_of('ft2 = 1, source = "book", status = "V-P"', "area").value
    assert math.isclose(area, 304.8**2, rel_tol=1e-12)
    line = fact_of('lbf_per_ft = 50, source = "book", status = "V-P"', "line load").value
    assert math.isclose(line, 50 * 0.45359237 * 9.80665 / 304.8, rel_tol=1e-12)


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ('mm = 900, status = "V-P"', "x.it: the source is missing"),
        ('mm = 900, source = "book"', "x.it: the status is missing"),
        ('mm = 900, source = "boook", status = "V-P"', "did you mean book?"),
        ('mm = 900, source = "book", status = "VP"', "x.it.status: this word is not known here"),
        ('source = "book", status = "V-P"', "one number with its unit as its key is needed"),
        ('mm = 900, in = 36, source = "book", status = "V-P"', "one number with its unit as its key"),
        ('kN = 900, source = "book", status = "V-P"', "allowed: mm, in"),
        ('mm = -1, source = "book", status = "V-P"', "not negative"),
        ('mm = true, source = "book", status = "V-P"', "this must be a number"),
        ('mm = nan, source = "book", status = "V-P"', "this must be a number"),
        ('mm = inf, source = "book", status = "V-P"', "this must be a number"),
        ('mm = "900", source = "book", status = "V-P"', "this must be a number"),
        ('in = "4 3/7", source = "book", status = "V-P"', "no rule shows"),
        ('mm = 900, source = "book", status = "V-P", nte = "x"', "did you mean note?"),
    ],
)
def test_refusals_say_what_and_where(line: str, sentence: str) -> None:
    with pytest.raises(InputError) as refused:
        fact_of(line)
    assert sentence in str(refused.value)


def test_a_share_of_nothing_and_half_a_count_are_refused() -> None:
    with pytest.raises(InputError, match="one part in nothing"):
        fact_of('one_in = 0, source = "book", status = "V-P"', "ratio")
    with pytest.raises(InputError, match="whole"):
        fact_of('count = 1.5, source = "book", status = "V-P"', "count")


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(InputError) as refused:
        fact_of("mm = -1, nonsense = 1")
    assert len(refused.value.faults) == 4


def test_ranges_and_series() -> None:
    text = SOURCES + '[x]\nr = { mm = [2.4, 3.2], source = "book", status = "M" }\n'
    root = parse(text + 's = { in = [3, "3 1/2"], source = "book", status = "M" }\n', "the text")
    sources = read_sources(root)
    x = root.section("x")
    kerf = read_range(x.section("r"), "length", sources)
    assert (kerf.low, kerf.high, kerf.written) == (2.4, 3.2, "2.4 mm to 3.2 mm")
    assert read_series(x.section("s"), "length", sources).values == (76.2, 88.9)
    root.finish("the text")


@pytest.mark.parametrize("numbers", ["[3.2, 2.4]", "[1]", "[1, 2, 3]", "5", "[]"])
def test_ranges_out_of_order_are_refused(numbers: str) -> None:
    root = parse(SOURCES + f'[x]\nr = {{ mm = {numbers}, source = "book", status = "M" }}\n', "the text")
    read_range(root.section("x").section("r"), "length", read_sources(root))
    with pytest.raises(InputError, match="x\\.r"):
        root.finish("the text")


def test_text_that_is_no_toml_names_its_line() -> None:
    with pytest.raises(InputError) as refused:
        parse("a = 1\nb = \n", "my file")
    assert refused.value.faults[0].line == 2
    assert str(refused.value).startswith("my file, line 2")


def test_tables_of_the_wrong_shape_are_refused() -> None:
    root = parse('a = 1\nb = [1]\nc = [""]\nd = 3\n', "the text")
    root.section("a")
    root.listed("b")
    root.listed("d")
    root.texts("d")
    root.text("d")
    assert root.texts("c") == ("",)
    assert root.texts("absent") == ()
    assert root.listed("absent") == []
    with pytest.raises(InputError) as refused:
        root.finish("the text")
    assert [fault.where for fault in refused.value.faults] == ["a", "b", "d", "d", "d"]


def test_nearest_word() -> None:
    assert nearest("guard.flght.height", ["guard.flight.height", "load.line"]) == "guard.flight.height"
    assert nearest("zzz", ["load.line"]) is None


def test_every_status_has_its_meaning_and_data_is_found() -> None:
    assert set(STATUSES) == {"V-P", "V-S", "M", "CP", "D"}
    assert "england-dwelling" in data_names("rules")
