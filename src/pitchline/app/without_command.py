"""What becomes of a balustrade without one of its pieces: ``pitchline check JOB --without P2``."""

import math
from pathlib import Path

import typer

from pitchline.app import commands
from pitchline.app.cli import FAILS, HOLDS
from pitchline.kit.errors import Fault, InputError
from pitchline.story_strength import EdgeStrength
from pitchline.strength.changes import Consequence


def without(job_file: Path, piece: str, judged_by: str | None = None) -> int:
    """Say for every design that has such a newel, upright or base rail what happens without it.

    InputError where none has; the exit code tells whether all of them would still hold.
    """
    solved = commands.solved_job(job_file, judged_by)
    edges = [edge for whole in solved.balustrades for edge in whole.strength]
    having = [edge for edge in edges if piece in edge.removable]
    if not having:
        known = ", ".join(dict.fromkeys(name for edge in edges for name in edge.removable))
        problem = "no design has a newel, upright or base rail of this name"
        raise InputError([Fault("--without", problem, piece, known)], "the command")
    held = True
    for edge in having:
        told = edge.without(piece)
        typer.echo(f"Design {edge.name}: {told.sentence}.")
        held = held and _holds(edge, told)
    return HOLDS if held else FAILS


def _holds(edge: EdgeStrength, told: Consequence) -> bool:
    """Whether movement and strength hold without it, likely values taken."""
    report, after = edge.report, told.after
    limit = math.inf if report is None else report.limit.value
    return after is not None and after.movement <= limit and after.utilisation <= 1.0
