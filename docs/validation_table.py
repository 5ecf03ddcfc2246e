"""Writes the page of validations from the tests themselves: which published source holds what, and where.

Every test under tests/validation is a row: what it holds is its name in words, the source is its docstring, or what
its module says. A source named in a data file beside the tests is a row of its own.
"""

import ast
import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TESTS = ROOT / "tests" / "validation"
PAGE = ROOT / "docs" / "validation" / "index.md"

INTRODUCTION = """# Validation

What the program is held to from outside: printed values, standards, closed forms and other libraries. The tables are
made from the tests when this page is built, so nothing stands here that is not run. Expected values are formulas or
cited figures, never the program's own output. *From memory* means that the source was not seen again; *common
practice* means that there is none.
"""


@dataclass(frozen=True, slots=True)
class Row:
    """One thing that is held to a source."""

    source: str
    what: str
    where: str


@dataclass(frozen=True, slots=True)
class Chapter:
    """One file of tests: what it says of itself, and its rows."""

    file: str
    words: str
    rows: tuple[Row, ...]


def chapters() -> Iterator[Chapter]:
    """The files of validations, in the order of their names."""
    for path in sorted(TESTS.rglob("test_*.py")):
        yield chapter(path)


def chapter(path: Path) -> Chapter:
    """One file read without running it."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    words = ast.get_docstring(tree) or ""
    name = path.relative_to(ROOT).as_posix()
    tests = [
        node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")
    ]
    rows = [
        Row(
            first_paragraph(ast.get_docstring(test) or "") or "as above",
            in_words(test.name),
            f"line {test.lineno}",
        )
        for test in sorted(tests, key=lambda test: test.lineno)
    ]
    return Chapter(name, words, tuple(rows))


def data_rows() -> Iterator[Row]:
    """The sources that stand in data files beside the tests."""
    for path in sorted((TESTS / "data").rglob("*.json")):
        cases = json.loads(path.read_text(encoding="utf-8"))
        for case in cases if isinstance(cases, list) else ():
            if isinstance(case, dict) and "source" in case:
                yield Row(
                    str(case["source"]), str(case.get("what", "")), f"{path.name}, {case.get('id', '')}"
                )


def in_words(name: str) -> str:
    """A test's name as a sentence."""
    return name.removeprefix("test_").replace("_", " ")


def first_paragraph(text: str) -> str:
    """The first paragraph on one line."""
    return " ".join(text.strip().split("\n\n")[0].split())


def page() -> str:
    """The whole page."""
    parts = [INTRODUCTION, *map(section, chapters())]
    parts.append(f"## Cases in data files\n\nIn `tests/validation/data`:\n\n{table(tuple(data_rows()))}")
    return "\n".join(parts)


def section(one: Chapter) -> str:
    """One file of tests as a section of the page."""
    words = f"```text\n{one.words}\n```"
    return f"## {heading(one.file)}\n\n{words}\n\nIn `{one.file}`:\n\n{table(one.rows)}"


def heading(file: str) -> str:
    """A file's name as a heading."""
    words = Path(file).stem.removeprefix("test_").replace("_", " ")
    return words[:1].upper() + words[1:]


def table(rows: tuple[Row, ...]) -> str:
    """Rows as a table of the page."""
    lines = ["| published source | what | where |", "|---|---|---|"]
    lines += [f"| {cell(row.source)} | {cell(row.what)} | {cell(row.where)} |" for row in rows]
    return "\n".join(lines) + "\n"


def cell(text: str) -> str:
    """Words that cannot break out of their cell or be taken for markup."""
    for mark in "\\|*_`<>[]$":
        text = text.replace(mark, f"\\{mark}")
    return " ".join(text.split())


def write_page() -> None:
    """Write the page for the documentation."""
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    write_page()
    sys.stderr.write(f"Wrote {PAGE.relative_to(ROOT)}\n")
