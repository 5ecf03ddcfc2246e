"""The pages: links lead somewhere, snippets are what they say, commands exist, quoted output is the program's."""

import ast
import os
import re
import shlex
import tomllib
from pathlib import Path

import pytest
from docs.snippets import filled, pages
from docs.validation_table import chapters, data_rows
from typer.main import get_command

from pitchline.app.cli import app
from pitchline.catalogue.rules import load_rule_file
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
FRONT = [ROOT / name for name in ("README.md", "CONTRIBUTING.md", "CHANGELOG.md")]
PAGES = sorted({*FRONT, *(path for path in DOCS.rglob("*.md") if "_build" not in path.parts)})
LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")
FENCE = re.compile(r"^( *)```(\w+)\n(.*?)^ *```$", re.DOTALL | re.MULTILINE)
BUILT = {DOCS / "validation" / "index.md"}
"""Pages that are made when the documentation is built."""


def named(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def blocks(path: Path, language: str) -> list[str]:
    """The code blocks of a page in one language, their indent taken off."""
    found = FENCE.findall(path.read_text("utf-8"))
    return [
        re.sub(rf"^{indent}", "", text, flags=re.MULTILINE)
        for indent, name, text in found
        if name == language
    ]


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_links_lead_to_files_that_are_there(page: Path) -> None:
    for target in LINK.findall(page.read_text("utf-8")):
        if "://" not in target:
            path = Path(os.path.normpath(page.parent / target))
            assert path.exists() or path in BUILT, target


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_snippets_are_toml_and_python(page: Path) -> None:
    for text in blocks(page, "toml"):
        tomllib.loads(text)
    for text in blocks(page, "python"):
        ast.parse(text)


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_commands_on_the_pages_exist_with_their_options(page: Path) -> None:
    known = get_command(app).commands  # type: ignore[attr-defined]  # a group of commands has them
    spoken = [line for text in blocks(page, "sh") for line in text.splitlines()]
    spoken += re.findall(r"`(pitchline [^`]+)`", page.read_text("utf-8"))
    for line in spoken:
        words = shlex.split(line.split("#")[0].split("&&")[0])
        if not words or not words[0].endswith("pitchline") or len(words) < 2:
            continue
        assert words[1] in known or words[1].startswith("--"), line
        if words[1] in known:
            options = {option for parameter in known[words[1]].params for option in parameter.opts} | {
                "--help"
            }
            assert {word for word in words[2:] if word.startswith("-")} <= options, line


def test_every_command_and_make_verb_is_on_the_front_page() -> None:
    front = (ROOT / "README.md").read_text("utf-8")
    for command in app.registered_commands:
        assert command.callback is not None
        assert f"`{command.callback.__name__}`" in front
    verbs = re.findall(r"^([a-z]+):.*##", (ROOT / "Makefile").read_text("utf-8"), re.MULTILINE)
    habits = (ROOT / "CONTRIBUTING.md").read_text("utf-8")
    assert all(f"`make {verb}`" in habits for verb in verbs if verb not in {"help", "clean"})


def test_every_package_is_on_the_front_page() -> None:
    front = (ROOT / "README.md").read_text("utf-8")
    packages = {path.parent.name for path in (ROOT / "src" / "pitchline").glob("*/__init__.py")}
    assert packages == {
        name for name in re.findall(r"^\| `(\w+)` \|", front, re.MULTILINE) if name in packages
    }


def test_the_pictures_are_there_and_light() -> None:
    pictures = sorted((DOCS / "images").iterdir())
    assert pictures
    assert all(picture.stat().st_size < 150_000 for picture in pictures)
    shown = "".join(page.read_text("utf-8") for page in PAGES)
    assert all(picture.name in shown for picture in pictures)


@pytest.mark.parametrize("page", pages(), ids=named)
def test_quoted_output_is_what_the_program_says(page: Path) -> None:
    """When this fails because the program has learnt better words: python docs/snippets.py."""
    assert page.read_text("utf-8") == filled(page)


def test_the_rule_file_of_the_howto_moves_the_design(tmp_path: Path) -> None:
    own, job = blocks(DOCS / "howto" / "override-a-rule.md", "toml")
    path = tmp_path / "our-town.toml"
    path.write_text(own, encoding="utf-8")
    assert load_rule_file(path).require("opening.stair").value_mm == pytest.approx(4 * 25.4)
    text = starting_text("in", Unit.INCH)
    head, rest = text[: text.index("[job]")], text[text.index("[[flights]]") :]
    found = load_text(f"{head}{job}\n{rest}", "stair.toml", tmp_path / "stair.toml")
    assert found.rules_file == path


def test_every_validation_says_where_it_comes_from() -> None:
    for chapter in chapters():
        assert chapter.rows, chapter.file
        for row in chapter.rows:
            assert chapter.words or row.source != "as above", f"{chapter.file}: {row.what}"
    assert all(row.source.strip() and row.what.strip() for row in data_rows())


def test_every_decision_tells_its_price() -> None:
    decisions = sorted((DOCS / "decisions").glob("0*.md"))
    assert [path.name[:3] for path in decisions] == [f"{k:03d}" for k in range(1, len(decisions) + 1)]
    for path in decisions:
        text = path.read_text("utf-8")
        assert text.startswith(f"# {path.name[:3]} ")
        assert "**Decided.**" in text
        assert "price" in text


def test_the_changelog_has_next_on_top() -> None:
    text = (ROOT / "CHANGELOG.md").read_text("utf-8")
    assert re.findall(r"^## (.+)$", text, re.MULTILINE)[0] == "NEXT"
