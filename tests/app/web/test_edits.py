"""Edits as data, put into the TOML text: comments stay, what finds no place is refused."""

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from pitchline.app.web.edits import changes_of, edited
from pitchline.job.new import starting_text
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit

TEXT = """# of the whole
[job]  # the head
title = "A stair"  # its name

[[flights]]
id = "main"
readings = [
  # a straight one
  { kind = "straight", from = "N1", to = "N5", value = 1180.5 },
]
[flights.rises]
values = [187.5, "-", 190]  # plumb
"""


def change(**given: Any) -> str:
    return edited(TEXT, changes_of([given]))


def test_a_value_is_put_and_everything_else_stays() -> None:
    text = change(path=["flights", 0, "rises", "values", 1], put=188)
    assert text == TEXT.replace('"-"', "188")


def test_a_new_table_is_made_on_the_way() -> None:
    text = change(path=["flights", 0, "goings", "values"], put=[220, "-"])
    assert tomllib.loads(text)["flights"][0]["goings"] == {"values": [220, "-"]}
    assert "# a straight one" in text


def test_an_item_is_added_on_a_line_of_its_own() -> None:
    item = {"kind": "pitch", "from": "N2", "to": "N6", "value_deg": 40.1}
    text = change(path=["flights", 0, "readings"], add=item)
    assert tomllib.loads(text)["flights"][0]["readings"][1] == item
    assert text.count("\n") == TEXT.count("\n") + 1


def test_a_list_that_is_not_there_is_begun() -> None:
    text = change(path=["flights", 0, "posts"], add={"id": "top newel", "along": 90})
    assert tomllib.loads(text)["flights"][0]["posts"] == [{"id": "top newel", "along": 90}]


def test_an_item_or_a_key_is_taken_out() -> None:
    text = edited(TEXT, changes_of([
        {"path": ["flights", 0, "readings", 0], "drop": True},
        {"path": ["job", "title"], "drop": True},
    ]))  # fmt: skip
    values = tomllib.loads(text)
    assert values["flights"][0]["readings"] == []
    assert values["job"] == {}


@pytest.mark.parametrize(
    "path",
    [
        ["flights", 3, "id"],
        ["flights", 0, "rises", "values", 9],
        ["flights", "main", "id"],
        ["job", "title", "deep"],
        ["flights", 0, "rises", "values", -1],
    ],
)
def test_a_place_that_is_not_there_is_refused(path: list[Any]) -> None:
    with pytest.raises(InputError, match="no place"):
        change(path=path, put=1)


@pytest.mark.parametrize(
    "document",
    [
        None,
        [],
        [{"path": "job.title", "put": 1}],
        [{"path": [], "put": 1}],
        [{"path": [0], "put": 1}],
        [{"path": ["job", True], "put": 1}],
        [{"path": ["job", "title"]}],
        [{"path": ["job", "title"], "put": 1, "drop": True}],
        [{"path": ["job", "title"], "put": 1, "more": 2}],
        [{"path": ["job", "title"], "put": None}],
        [{"path": ["job", "title"], "put": float("nan")}],
        [{"path": ["job", "title"], "put": "x" * 501}],
        [{"path": ["job", "title"], "typed": 12}],
        [{"path": ["a"] * 13, "put": 1}],
        [{"path": ["job", "title"], "put": [[[[1]]]]}],
        [{"path": ["job", "title"], "put": 1}] * 401,
    ],
)
def test_what_is_no_change_is_refused(document: object) -> None:
    with pytest.raises(InputError):
        changes_of(document)


def test_nothing_is_made_where_one_change_of_several_fails() -> None:
    changes = changes_of([{"path": ["job", "title"], "put": "B"}, {"path": ["flights", 7, "id"], "put": "x"}])
    with pytest.raises(InputError):
        edited(TEXT, changes)


def plain_values(value: object, path: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], object]]:
    """Every value without parts, with its path."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from plain_values(inner, (*path, key))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from plain_values(inner, (*path, number))
    else:
        yield path, value


@pytest.mark.parametrize("example", ["mm", "cables", "winders", "leaning"])
@pytest.mark.parametrize("new", [-12.5, 7, True, 'a "quoted" \\ word'])
def test_one_value_put_in_the_place_of_another_changes_nothing_else(example: str, new: object) -> None:
    text = starting_text(example, Unit.MM)
    values = list(plain_values(tomllib.loads(text)))
    for path, _ in values[:: max(1, len(values) // 25)]:
        after = edited(text, changes_of([{"path": list(path), "put": new}]))
        assert dict(plain_values(tomllib.loads(after))) == {**dict(values), path: new}
        assert len(after.splitlines()) == len(text.splitlines())


@pytest.mark.parametrize("example", ["mm", "in", "quarter-turn", "winders", "cables"])
def test_every_comment_of_an_example_stays(example: str) -> None:
    text = starting_text(example, Unit.MM)
    after = edited(text, changes_of([
        {"path": ["job", "title"], "put": "Another"},
        {"path": ["flights", 0, "rises", "values", 0], "put": 180},
        {"path": ["designs", 0, "handrail", "height"], "put": 905},
    ]))  # fmt: skip
    comments = [line for line in text.splitlines() if line.lstrip().startswith("#")]
    assert [line for line in after.splitlines() if line.lstrip().startswith("#")] == comments
    assert tomllib.loads(after)["designs"][0]["handrail"]["height"] == 905
