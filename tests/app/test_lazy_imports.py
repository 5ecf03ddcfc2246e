"""Which libraries a command imports: what is heavy stays out of the way of those that need it not."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from tests.command import SOUND, environment

ASKING = """
import json, sys
from pitchline.app.cli import main
try:
    main(sys.argv[1:])
except SystemExit:
    pass
sys.stderr.write(json.dumps(sorted({name.split(".")[0] for name in sys.modules})))
"""

WRITERS = {"typst", "ezdxf", "manifold3d", "xlsxwriter", "jinja2", "pypdf", "fontTools", "tomlkit"}
"""What only a pack, a sheet or a saved job needs."""


def imported_by(*arguments: str) -> set[str]:
    """The top names of the modules that a run of the command line has imported, its output not on a terminal."""
    done = subprocess.run(
        [sys.executable, "-c", ASKING, *arguments],
        env=environment(NO_COLOR="1"),
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    return set(json.loads(done.stderr.splitlines()[-1]))


def test_help_loads_next_to_nothing() -> None:
    loaded = imported_by("--help")
    assert not loaded & WRITERS
    assert not loaded & {"numpy", "scipy", "shapely", "pydantic"}


def test_importing_the_command_line_loads_next_to_nothing() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "import sys, pitchline.app.cli; sys.stdout.write(' '.join(sys.modules))"],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    loaded = {name.split(".")[0] for name in done.stdout.split()}
    assert not loaded & (WRITERS | {"numpy", "scipy", "shapely", "pydantic", "rich"})


@pytest.mark.parametrize(
    "command", [["check", str(SOUND)], ["solve", str(SOUND), "--json"]], ids=["check", "solve"]
)
def test_solving_loads_no_writer(command: list[str]) -> None:
    loaded = imported_by(*command)
    assert not loaded & WRITERS
    assert "rich" not in loaded
    assert "shapely" in loaded


def test_rules_load_no_arithmetic() -> None:
    loaded = imported_by("rules", "england-dwelling")
    assert not loaded & (WRITERS | {"numpy", "scipy", "shapely", "rich"})


def test_a_pack_needs_none_of_the_libraries_of_the_tests(tmp_path: Path) -> None:
    loaded = imported_by("build", str(SOUND), "-o", str(tmp_path / "pack"))
    assert not loaded & {
        "OCP",
        "trimesh",
        "openpyxl",
        "PIL",
        "pypdfium2",
        "jsonschema",
        "hypothesis",
        "pytest",
    }


def test_the_first_page_of_the_app_waits_for_nothing_heavy() -> None:
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys, pitchline.app.web.server; sys.stdout.write(' '.join(sys.modules))",
        ],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    loaded = {name.split(".")[0] for name in done.stdout.split()}
    assert not loaded & (WRITERS - {"jinja2"} | {"numpy", "scipy", "shapely", "pydantic", "rich"})
