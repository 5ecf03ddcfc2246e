"""The page on dependencies against what the project asks for and what the packages say of themselves."""

import re
import tomllib
from importlib.metadata import Distribution, distribution
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "decisions" / "008-dependencies.md").read_text("utf-8")
TOLD = dict(re.findall(r"^\| `([\w.-]+)` \| ([\w.-]+) \|", PAGE, re.MULTILINE))
PERMISSIVE = {"MIT", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "ISC", "PSF-2.0"}
FAMILIES = {"MIT": "MIT", "BSD": "BSD", "Apache": "Apache", "ISC": "ISC", "PSF": "PSF"}


def requirements() -> list[Requirement]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    return [Requirement(text) for text in project["dependencies"]]


def asked_for() -> set[str]:
    """What is asked for anywhere."""
    return {name_of(requirement.name) for requirement in requirements()}


def installed_here() -> set[str]:
    """What is asked for on this machine: some packages have no build for some."""
    return {name_of(one.name) for one in requirements() if one.marker is None or one.marker.evaluate()}


def name_of(requirement: str) -> str:
    found = re.match(r"[\w.-]+", requirement)
    assert found is not None
    return re.sub(r"[-_.]+", "-", found[0]).lower()


def words_on_the_licence(package: Distribution) -> str:
    """All that a package says of its licence in its metadata."""
    said = package.metadata.json
    classifiers = [line for line in said.get("classifier", []) if line.startswith("License")]
    first_line = str(said.get("license", "")).split("\n")[0]
    return " ".join([str(said.get("license_expression", "")), first_line, *classifiers])


def brought_along(names: set[str]) -> set[str]:
    """Everything that is installed with some packages, extras left out."""
    found: set[str] = set()
    waiting = set(names)
    while waiting:
        name = waiting.pop()
        found.add(name)
        for requirement in distribution(name).requires or []:
            needed = name_of(requirement)
            if ";" not in requirement and needed not in found:
                waiting.add(needed)
    return found


def test_the_page_names_every_package_that_is_asked_for_and_no_other() -> None:
    assert TOLD.keys() == asked_for()


@pytest.mark.parametrize("name", sorted(installed_here()))
def test_a_package_has_the_licence_that_is_told(name: str) -> None:
    told = TOLD[name]
    assert told in PERMISSIVE
    said = words_on_the_licence(distribution(name))
    assert told in said or FAMILIES[told.split("-")[0]] in said


def test_what_they_bring_along_is_told_and_permissive() -> None:
    for name in sorted(brought_along(installed_here()) - installed_here()):
        assert f"`{name}`" in PAGE
        said = words_on_the_licence(distribution(name))
        assert any(family in said for family in FAMILIES), f"{name}: {said}"
        assert not re.search(r"(?<!L)\bA?GPL", said)
