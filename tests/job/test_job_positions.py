import tomllib
from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st

from pitchline.job.new import starting_text
from pitchline.job.positions import Path, line_of, lines_of
from pitchline.kit.units import Unit

TRICKY = '''a = 1
[b] # a comment with ] and "
c.d = """x
[not.a.table]
y"""
"q.r" = [1, [2,
 3], {x=1, y.z = 2.5}]
[[f]]
[[f.g]]
h = 1979-05-27 07:32:00
[f.i.j]
k='a]#'
[[f.g]]
h=2
[[f]]
[[f.g]]
'h' = {
} # an empty one'''
TRICKY = TRICKY.replace("{\n}", "{ }")


def paths(value: object, path: Path = ()) -> Iterator[Path]:
    if path:
        yield path
    if isinstance(value, dict):
        for key, item in value.items():
            yield from paths(item, (*path, key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from paths(item, (*path, index))


def test_every_key_and_item_of_a_tricky_text_is_found_at_its_line() -> None:
    lines = lines_of(TRICKY)
    assert {path: lines[path] for path in paths(tomllib.loads(TRICKY))} == {
        ("a",): 1,
        ("b",): 2,
        ("b", "c"): 3,
        ("b", "c", "d"): 3,
        ("b", "q.r"): 6,
        ("b", "q.r", 0): 6,
        ("b", "q.r", 1): 6,
        ("b", "q.r", 1, 0): 6,
        ("b", "q.r", 1, 1): 7,
        ("b", "q.r", 2): 7,
        ("b", "q.r", 2, "x"): 7,
        ("b", "q.r", 2, "y"): 7,
        ("b", "q.r", 2, "y", "z"): 7,
        ("f",): 8,
        ("f", 0): 8,
        ("f", 0, "g"): 9,
        ("f", 0, "g", 0): 9,
        ("f", 0, "g", 0, "h"): 10,
        ("f", 0, "i"): 11,
        ("f", 0, "i", "j"): 11,
        ("f", 0, "i", "j", "k"): 12,
        ("f", 0, "g", 1): 13,
        ("f", 0, "g", 1, "h"): 14,
        ("f", 1): 15,
        ("f", 1, "g"): 16,
        ("f", 1, "g", 0): 16,
        ("f", 1, "g", 0, "h"): 17,
    }


def test_a_path_that_is_not_there_is_answered_with_what_is_around_it() -> None:
    lines = lines_of(TRICKY)
    assert line_of(("f", 0, "g", 1, "missing"), lines) == 13
    assert line_of(("nowhere",), lines) is None


def test_every_path_of_the_starting_jobs_has_a_line() -> None:
    for example, unit in (("mm", Unit.MM), ("in", Unit.INCH), (None, Unit.MM), (None, Unit.INCH)):
        text = starting_text(example, unit)
        assert set(paths(tomllib.loads(text))) <= set(lines_of(text))


KEYS = st.from_regex(r"[a-z][a-z0-9_-]{0,5}", fullmatch=True)
VALUES = st.sampled_from(
    ["1", "-2.5", '"a [b] = # c"', "'{}'", "true", "1979-05-27", '"""\n]\n"""', "[ ]", "{ }"]
)


@given(st.dictionaries(KEYS, st.lists(VALUES, min_size=1, max_size=4), min_size=1, max_size=6), st.data())
def test_lists_over_several_lines_are_counted_item_by_item(
    table: dict[str, list[str]], data: st.DataObject
) -> None:
    text = ""
    wanted: dict[Path, int] = {}
    for key, items in table.items():
        text += "\n" * data.draw(st.integers(0, 2)) + f"{key} = ["
        wanted[(key,)] = text.count("\n") + 1
        for index, item in enumerate(items):
            text += data.draw(st.sampled_from(["", "\n", ' # [ "\n\n']))
            wanted[(key, index)] = text.count("\n") + 1
            text += item + ","
        text += "]\n"
    tomllib.loads(text)
    lines = lines_of(text)
    assert {path: lines[path] for path in wanted} == wanted
