"""The JSON Schema and the howto page speak of every key, and say the same as the model."""

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import jsonschema
import pytest
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from pitchline.job.fields import Choice, Count, Figure, Force, Reader, Size, Switch, Word, Words
from pitchline.job.model import JobFile, job_schema
from pitchline.job.new import EXAMPLES, STAIRS, starting_text
from pitchline.job.tables import TABLES, keys_of
from pitchline.kit.units import Unit

PAGE = Path(__file__).parents[2] / "docs" / "howto" / "job-file.md"


def shown_as(place: str) -> str:
    """A table's place as it is written in a file."""
    name = place.replace("[]", "")
    return f"`[[{name}]]`" if place.endswith("[]") else f"`[{name}]`"


def kinds_of(place: str) -> dict[str, type[BaseModel]]:
    """The tables that may stand at a place, by kind; of one kind only, by no word."""
    table = TABLES[place]
    return {"": table} if isinstance(table, type) else dict(table)


def first_places() -> dict[type[BaseModel], str]:
    """Where each table stands first."""
    return {model: place for place in list(TABLES)[::-1] for model in kinds_of(place).values()}


def tables() -> Iterator[tuple[str, type[BaseModel]]]:
    """Every table with its heading on the page, where it stands first."""
    first = first_places()
    for place in TABLES:
        for kind, model in kinds_of(place).items():
            if first[model] == place:
                words = f" of kind {kind}" if kind else ""
                yield f"## {shown_as(place)}{words}" if place else "## The whole file", model


def repeats() -> Iterator[tuple[str, str]]:
    """Every heading of a place whose tables are told elsewhere, and what stands below it."""
    first = first_places()
    for place in TABLES:
        told = {first[model] for model in kinds_of(place).values()}
        if place not in told:
            kinds = [kind for kind in kinds_of(place) if kind]
            words = f", of kind {', '.join(kinds)}" if kinds else ""
            yield f"## {shown_as(place)}", f"As {shown_as(told.pop())}{words}."


def readers(annotation: Any) -> Iterator[Reader]:
    """The readers in a field's annotation, however deep."""
    for part in get_args(annotation):
        if isinstance(part, Reader):
            yield part
        else:
            yield from readers(part)


def allowed(info: FieldInfo) -> str:
    found = [mark for mark in info.metadata if isinstance(mark, Reader)] or list(readers(info.annotation))
    return in_words(found[0]) if found else ""


def in_words(reader: Reader) -> str:
    words = "a day"
    match reader:
        case Size():
            words = f"{reader.low:g} to {reader.high:g} mm"
        case Figure():
            words = f"{reader.low:g} to {reader.high:g} {reader.unit}"
        case Force():
            words = f"{reader.low:g} to {reader.high:g} N"
        case Count():
            words = f"{reader.low} to {reader.high}"
        case Choice():
            words = ", ".join(member.value for member in reader.of)
        case Word():
            words = ", ".join(reader.known)
        case Words():
            words = f"up to {reader.longest} characters"
        case Switch():
            words = "true, false"
    return words


def left_out(info: FieldInfo) -> str:
    if info.is_required():
        return "needed"
    extra = info.json_schema_extra
    default = extra["default"] if isinstance(extra, dict) else info.default
    if isinstance(default, bool):
        return str(default).lower()
    if isinstance(default, float):
        return f"{default:g}"
    return str(default) if default else ""


def rows(model: type[BaseModel]) -> Iterator[str]:
    for name, info in model.model_fields.items():
        yield f"| `{info.alias or name}` | {left_out(info)} | {allowed(info)} | {info.description} |"


def test_the_page_has_every_table_and_every_key_as_the_model_has_them() -> None:
    page = PAGE.read_text(encoding="utf-8")
    for heading, model in tables():
        assert f"\n{heading}\n" in page
        section = page.split(f"\n{heading}\n", 1)[1].split("\n## ", 1)[0]
        for row in rows(model):
            assert row in section, f"{heading}: {row}"
    for heading, words in repeats():
        assert f"\n{heading}\n\n{words}\n" in page


def test_the_page_speaks_of_no_other_key() -> None:
    page = PAGE.read_text(encoding="utf-8")
    known = {key for _, model in tables() for key in keys_of(model)}
    told = {line.split("`")[1] for line in page.split("\n") if line.startswith("| `") and line.count("|") > 3}
    assert told == known


def test_the_examples_on_the_page_are_toml() -> None:
    page = PAGE.read_text(encoding="utf-8")
    snippets = [part.split("```", 1)[0] for part in page.split("```toml\n")[1:]]
    assert len(snippets) >= 3
    for snippet in snippets:
        tomllib.loads(snippet)


def test_every_key_of_the_schema_is_described() -> None:
    schema = job_schema()
    for table in [schema, *schema["$defs"].values()]:
        if "properties" not in table:
            continue
        assert table["additionalProperties"] is False
        for key, field in table["properties"].items():
            named = schema["$defs"].get(field.get("$ref", "").removeprefix("#/$defs/"), {})
            assert field.get("description") or named.get("description"), key


def test_every_table_of_the_schema_is_known_to_the_sentences() -> None:
    named = {model.__name__ for _, model in tables()}
    schema = job_schema()
    assert {name for name, table in schema["$defs"].items() if "properties" in table} | {"JobFile"} == named
    assert JobFile.model_fields.keys() == {
        "form",
        "job",
        "shop",
        "finish",
        "layers",
        "strength",
        "instruments",
        "flights",
        "levels",
        "winders",
        "edges",
        "designs",
        "wall_rails",
        "as_built",
    }


STARTING = {
    **{name: starting_text(name, Unit.MM) for name in (*EXAMPLES, *STAIRS)},
    **{f"blank {unit.value}": starting_text(None, unit) for unit in Unit},
}


@pytest.mark.parametrize("text", STARTING.values(), ids=STARTING)
def test_the_starting_jobs_keep_to_the_schema(text: str) -> None:
    values = tomllib.loads(text)
    if "date" in values["job"]:
        values["job"]["date"] = values["job"]["date"].isoformat()
    jsonschema.Draft202012Validator.check_schema(job_schema())
    jsonschema.validate(values, job_schema())


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('units = "mm"', 'units = "cm"'),
        ("risers = 13", "risers = 13.5"),
        ("width = 860", "width = true"),
        ("width = 860", "widht = 860"),
        ('kind = "straight"', 'kind = "strait"'),
        ('foot = "floor"', 'foot = "carpet"'),
        ("twist_deg = 0.8", 'twist_deg = "0.8"'),
        ("layers = 3", "layers = 4"),
    ],
)
def test_the_schema_refuses_what_the_program_refuses(old: str, new: str) -> None:
    text = starting_text("mm", Unit.MM)
    assert old in text
    values = tomllib.loads(text.replace(old, new, 1).replace("date = 2025-03-14", 'date = "2025-03-14"'))
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(values, job_schema())
