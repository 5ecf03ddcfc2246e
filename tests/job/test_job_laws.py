"""Whatever bytes a job file holds, it is read or refused in words: nothing else may happen."""

import tomllib
from typing import Any

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.job.load import load_bytes
from pitchline.job.new import STAIRS, starting_text
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit

TEXTS = [
    starting_text("mm", Unit.MM),
    starting_text("in", Unit.INCH),
    starting_text(None, Unit.MM),
    *(starting_text(name, Unit.MM) for name in STAIRS),
]
MARKS = ["\n", "[", "]", "{", "}", '"', "'", "=", ".", ",", "#", "-", "\x00", "\\", '"""', "'''", "\u200f"]
WORDS = ["nan", "1e999", "true", "[[flights]]\n", "[designs.top]\n", "N99", "0", *MARKS]
SNIPPETS = st.sampled_from([b"", b" ", b"\xff", *(word.encode() for word in WORDS)])


def read_or_refuse(data: bytes) -> None:
    try:
        load_bytes(data, "job.toml")
    except InputError as refused:
        assert refused.faults
        assert all(fault.sentence() for fault in refused.faults)


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(TEXTS), st.lists(st.tuples(st.integers(0, 9000), st.integers(0, 6), SNIPPETS), max_size=4)
)
def test_bytes_changed_at_random_are_read_or_refused(
    text: str, changes: list[tuple[int, int, bytes]]
) -> None:
    data = text.encode()
    for place, length, snippet in changes:
        at = place % len(data)
        data = data[:at] + snippet + data[at + length :]
    read_or_refuse(data)


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=200))
def test_bytes_at_random_are_refused(data: bytes) -> None:
    read_or_refuse(data)


STRANGE = st.one_of(
    st.none().map(lambda _: {}),
    st.booleans(),
    st.integers(-(2**70), 2**70),
    st.floats(),
    st.text(max_size=12),
    st.dates(),
    st.lists(st.one_of(st.integers(), st.text(max_size=3)), max_size=3),
    st.dictionaries(st.text(min_size=1, max_size=6), st.integers(), max_size=2),
)


def places(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    found = [path] if path else []
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        found += places(item, (*path, key))
    return found


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(TEXTS), st.data())
def test_values_of_another_sort_are_read_or_refused(text: str, data: st.DataObject) -> None:
    values = tomllib.loads(text)
    for _ in range(data.draw(st.integers(1, 3))):
        *above, last = data.draw(st.sampled_from(places(values)))
        target: Any = values
        for part in above:
            target = target[part]
        if data.draw(st.booleans()):
            target[last] = data.draw(STRANGE)
        elif isinstance(target, dict):
            del target[last]
    read_or_refuse(tomlkit.dumps(values).encode())


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(TEXTS), st.data())
def test_a_line_left_out_or_doubled_is_read_or_refused(text: str, data: st.DataObject) -> None:
    lines = text.split("\n")
    number = data.draw(st.integers(0, len(lines) - 1))
    lines[number : number + 1] = [lines[number]] * data.draw(st.sampled_from([0, 2]))
    read_or_refuse("\n".join(lines).encode())
