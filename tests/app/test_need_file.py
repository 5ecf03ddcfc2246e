"""The need document: what may be written, how faults are told, and what it becomes."""

import json

import jsonschema
import pytest

from pitchline.app.need_file import need_of, need_schema
from pitchline.kit.cutting.need import BarStock, End, Piece, Saw, SheetStock
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit

TOML = """\
kerf = 3.2
trim = 10
stages = 2
[[sheets]]
id = "full"
length = 2440
width = 1220
thickness = 18
price = 62
[[bars]]
id = "oak"
length = 2400
width = 41
thickness = 41
price = 7.9
count = 3
[[parts]]
id = "panel"
length = 612
width = 498
thickness = 18
quantity = 6
grain = "length"
[[parts]]
id = "baluster"
length = 905
width = 41
thickness = 41
ends = [{mitre_deg = 41.2}, {mitre_deg = 41.2}]
turn_over = true
"""


def test_a_list_typed_by_hand() -> None:
    listed = need_of(TOML, "list.toml", as_json=False)
    need = listed.need
    assert listed.unit is Unit.MM
    assert need.saw == Saw(3.2, 10.0, 2)
    assert need.sheets == (SheetStock("full", 2440, 1220, 18, 62),)
    assert need.bars == (BarStock("oak", 2400, 41, 41, 7.9, 3),)
    panel, baluster = need.parts
    assert panel == Piece("panel", 612, 498, 18, 6, keep_grain=True)
    assert baluster.ends == (End(41.2), End(41.2))
    assert (baluster.quantity, baluster.turn_over, baluster.turn_round) == (1, True, True)


def test_stages_are_three_unless_told() -> None:
    assert need_of(TOML.replace("stages = 2\n", ""), "list.toml", as_json=False).need.saw.stages == 3


def test_json_says_the_same() -> None:
    text = json.dumps(
        {
            "kerf": 3.2,
            "trim": 0,
            "bars": [{"id": "oak", "length": 2400, "width": 41, "thickness": 41, "price": 7.9}],
            "parts": [{"id": "a", "length": 905, "width": 41, "thickness": 41, "quantity": 2}],
        }
    )
    need = need_of(text, "list.json", as_json=True).need
    assert need.parts == (Piece("a", 905, 41, 41, 2),)


def test_inches_and_fractions() -> None:
    text = 'units = "in"\n' + TOML.replace("kerf = 3.2", "kerf = 0.125").replace(
        "length = 905", 'length = "34 5/16 in"'
    ).replace("= 41\n", "= 1.625\n")
    need = need_of(text.replace("length = 2400", 'length = "8 ft"'), "list.toml", as_json=False).need
    assert need.parts[1].length == pytest.approx((34 + 5 / 16) * 25.4)
    assert need.bars[0].length == pytest.approx(8 * 304.8)
    assert need.saw.kerf == pytest.approx(25.4 / 8)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("kerf = 3.2", "kurf = 3.2", "line 1, kurf: this key is not known here"),
        ("stages = 2", "stages = 4", "line 3, stages: the number of stages is out of reach"),
        ('id = "baluster"', 'id = "panel"', "line 25, parts[1].id: this name is used twice"),
        ("length = 905\n", "", "parts[1].length: this key is missing"),
        ("{mitre_deg = 41.2}]", "]", "parts[1].ends: a part has two ends"),
        ("length = 905", "length = 20", "parts[1].ends: the end cuts cross each other"),
        (
            "mitre_deg = 41.2}, ",
            "mitre_deg = 90}, ",
            "parts[1].ends[0].mitre_deg: a mitre of 90 degrees is out of reach",
        ),
        ('grain = "length"', 'grain = "lenght"', 'perhaps you mean "length"'),
        ("quantity = 6", "quantity = 0", "a number of pieces is out of reach"),
        ("[[parts]]", "[[part]]", "part: this key is not known here"),
        ("price = 62", "price = true", "sheets[0].price: true or false stands where"),
    ],
)
def test_faults_are_told_with_their_place(old: str, new: str, said: str) -> None:
    with pytest.raises(InputError) as told:
        need_of(TOML.replace(old, new), "list.toml", as_json=False)
    assert said in str(told.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"kerf": NaN}', "NaN is no number"),
        ('{"kerf": 3,', "line 1"),
        ("[1, 2]", "a list stands where a table belongs"),
        ('{"kerf": 3, "parts": []}', "no part is asked for"),
        ("[" * 100_000, "nested too deeply"),
    ],
)
def test_json_that_cannot_be_read(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        need_of(text, "list.json", as_json=True)


def test_the_schema_is_one_and_takes_a_list() -> None:
    schema = need_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate({"kerf": 3, "parts": [{"id": "a", "length": "34 5/16 in", "width": 41}]}, schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(
            {"kerf": 3, "parts": [{"id": "a", "length": 905, "width": 41, "grain": "up"}]}, schema
        )
