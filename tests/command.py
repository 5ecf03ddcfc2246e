"""The command line as a process of its own, for tests that look at it from outside."""

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

PROGRAM = (sys.executable, "-c", "from pitchline.app.cli import main; main()")
"""The installed entry point without its wrapper: the same call, whatever the environment is named."""

EXAMPLES = Path(__file__).parents[1] / "docs" / "examples"
SOUND, FAILING = EXAMPLES / "loft-stair-firm.toml", EXAMPLES / "back-stair-inches.toml"
"""Invented jobs: one of which everything holds, one whose handrail is too big for a hand."""

LIMBER = EXAMPLES / "loft-stair.toml"
"""An invented job of which everything holds but its strength: one span over the whole flight."""


def environment(**more: str) -> Mapping[str, str]:
    """The environment of the test without what changes how programs write, and with what is asked for."""
    plain = {name: value for name, value in os.environ.items() if name not in {"NO_COLOR", "FORCE_COLOR"}}
    return {**plain, "COLUMNS": "100", "PYTHONWARNINGS": "error", **more}


def run(
    *arguments: str | Path | bytes, folder: Path | None = None, **more: str
) -> subprocess.CompletedProcess[str]:
    """One run of the program to its end, both streams as text."""
    return subprocess.run(
        [*PROGRAM, *arguments],
        cwd=folder,
        env=environment(**more),
        capture_output=True,
        encoding="utf-8",
        errors="surrogateescape",
        timeout=60,
        check=False,
    )
