"""The command line. Results go to standard output, messages for people to standard error.

Exit codes: 0 all holds, 1 some findings fail or are unsure, 2 unusable input or nowhere to write, 130 stopped by
the user, 70 a fault of the program itself.
"""

import errno
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated, NoReturn

import typer

from pitchline import __version__
from pitchline.app.example import Example, UnitName

HOLDS, FAILS, UNUSABLE, BROKEN, STOPPED = 0, 1, 2, 70, 130
STOPPED_WORDS = "Stopped; nothing half written is left."

app = typer.Typer(
    name="pitchline",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="From the tape readings of an existing stair to a balustrade that fits it: survey, design, checks, "
    "parts and drawings from one job file. A design aid: the rules of your place, building control and a "
    "structural engineer have the last word.",
    epilog="Start with: pitchline new stair.toml, fill it in at the stair, then pitchline check stair.toml "
    "and pitchline build stair.toml -o pack",
)

JobFile = Annotated[Path, typer.Argument(metavar="JOB", help="The job file (TOML).", show_default=False)]
Folder = Annotated[
    Path, typer.Option("--output", "-o", metavar="FOLDER", help="Folder for the pack.", show_default=False)
]


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"pitchline {__version__}")
        raise typer.Exit


@app.callback()
def _common(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    del version


@app.command(epilog="Example: pitchline new stair.toml --units in")
def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file to write.", show_default=False)],
    example: Annotated[
        Example | None, typer.Option("--example", help="Start from a complete invented example.")
    ] = None,
    units: Annotated[UnitName, typer.Option("--units", help="Unit of the plain numbers.")] = UnitName.MM,
) -> None:
    """Write a commented starting job and a printable survey sheet; never overwrites."""
    from pitchline.app import commands  # each command loads only what it needs

    _ended(lambda: commands.new(file, example, units))


@app.command(epilog="Example: pitchline check stair.toml --all")
def check(
    job: JobFile,
    show_all: Annotated[bool, typer.Option("--all", help="Show what holds as well.")] = False,
    other: Annotated[
        str | None,
        typer.Option(
            "--rules",
            metavar="OTHER",
            help="Judge the design as laid out by other rules: would it pass there?",
            show_default=False,
        ),
    ] = None,
    without: Annotated[
        str | None,
        typer.Option(
            "--without",
            metavar="PIECE",
            help="Tell instead what becomes of it without this newel, upright or base rail (P2, U05, B1).",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Solve a job and print its findings: what fails first, and whether it will stand."""

    def run() -> int:
        if without is not None:
            from pitchline.app import without_command

            return without_command.without(job, without, other)
        from pitchline.app import commands

        return commands.check(job, show_all=show_all, judged_by=other)

    _ended(run)


@app.command(epilog="Example: pitchline solve stair.toml --json > result.json")
def solve(
    job: JobFile,
    json: Annotated[bool, typer.Option("--json", help="Print the result document (JSON).")] = False,
) -> None:
    """Solve a job and print the result document on standard output, nothing else there."""
    from pitchline.app import commands

    _ended(lambda: commands.solve(job, as_json=json))


@app.command(epilog="Example: pitchline build stair.toml -o pack")
def build(job: JobFile, output: Folder) -> None:
    """Build the whole pack: drawings, lists, findings, 3-D. Written beside and moved into place."""
    from pitchline.app import commands

    _ended(lambda: commands.build(job, output))


@app.command(epilog="Example: pitchline rules england-dwelling scotland-dwelling --on opening")
def rules(
    ids: Annotated[
        list[str] | None,
        typer.Argument(metavar="[ID]...", help="One to show it, two or more to compare.", show_default=False),
    ] = None,
    topic: Annotated[
        str | None,
        typer.Option("--on", metavar="SUBJECT", help="Compare one subject only.", show_default=False),
    ] = None,
) -> None:
    """List the rule sets, show one with clauses, sources and how well each figure is known, or compare some."""
    from pitchline.app import commands

    _ended(lambda: commands.rules(ids or (), topic))


@app.command(epilog="Example: pitchline cut list.toml --seconds 5")
def cut(
    need: Annotated[
        Path,
        typer.Argument(
            metavar="NEED", help="The list of parts and stock (TOML or JSON).", show_default=False
        ),
    ],
    json: Annotated[bool, typer.Option("--json", help="Print the plan as a document (JSON).")] = False,
    seconds: Annotated[
        float, typer.Option("--seconds", min=0.1, max=3600.0, help="How long to look for a better plan.")
    ] = 5.0,
    seed: Annotated[
        int,
        typer.Option("--seed", min=0, help="The same seed gives the same plan; another may give another."),
    ] = 0,
    folder: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            metavar="FOLDER",
            help="Write pictures and lists of the plan there.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Plan the cutting of any list of parts from any stock, and say what no plan can beat."""
    from pitchline.app import cutting_command

    _ended(lambda: cutting_command.cut(need, as_json=json, seconds=seconds, seed=seed, folder=folder))


@app.command(epilog="Example: pitchline take stair.toml --design A")
def take(
    job: JobFile,
    design: Annotated[
        str | None,
        typer.Option("--design", help="Which design is made, where there are several.", show_default=False),
    ] = None,
    seconds: Annotated[
        float, typer.Option("--seconds", min=0.1, max=3600.0, help="How long to look for a better plan.")
    ] = 5.0,
    again: Annotated[
        bool, typer.Option("--again", help="Cut it once more although it was cut before.")
    ] = False,
) -> None:
    """Carry out a design's cutting plan: take its stock off the shop's rack and put the rests there."""
    from pitchline.app import taking_command

    _ended(lambda: taking_command.take(job, design, seconds=seconds, again=again))


@app.command(epilog="Example: pitchline schema job > job.schema.json")
def schema(
    document: Annotated[
        str, typer.Argument(metavar="job|need|rack|result", help="Which document.", show_default=False)
    ],
) -> None:
    """Print the JSON Schema of a document, for editors and checkers."""
    from pitchline.app import commands

    _ended(lambda: commands.schema(document))


@app.command(epilog="Example: pitchline share stair.toml -o choose.html --design A --design B")
def share(
    job: JobFile,
    output: Annotated[
        Path,
        typer.Option("--output", "-o", metavar="FILE", help="The HTML file to write.", show_default=False),
    ],
    design: Annotated[
        list[str] | None,
        typer.Option(
            "--design", help="A design to show, up to four; left out: the first four.", show_default=False
        ),
    ] = None,
    language: Annotated[str, typer.Option("--language", help="Language of the page: en or de.")] = "en",
    costs: Annotated[bool, typer.Option("--costs", help="Tell what the stock costs.")] = False,
    answer_to: Annotated[
        str, typer.Option("--answer-to", metavar="ADDRESS", help="E-mail for answers.", show_default=False)
    ] = "",
) -> None:
    """Write one page to send to the household: designs that turn, how they differ, an answer; no network needed."""
    from pitchline.app import share_command

    _ended(
        lambda: share_command.share(
            job, output, design or (), language=language, costs=costs, answer_to=answer_to
        )
    )


@app.command(epilog="Example: pitchline serve stair.toml")
def serve(
    job: Annotated[
        Path | None,
        typer.Argument(
            metavar="[JOB]", help="The job file; left out: a page to begin one.", show_default=False
        ),
    ] = None,
    port: Annotated[
        int | None,
        typer.Option("--port", min=1, max=65535, help="The port to listen on.", show_default=False),
    ] = None,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open the browser at once.")] = True,
    lan: Annotated[
        bool, typer.Option("--lan", help="Let tablets on the local network in, by a code that is shown.")
    ] = False,
) -> None:
    """Open the bench: survey, design, check and print in the browser, on this machine and without a network."""

    def run() -> int:
        from pitchline.app.web.server import serve as serve_job

        return serve_job(job, port=port, browser=browser, lan=lan)

    _ended(run)


@app.command(epilog="Example: pitchline demo -o demo")
def demo(output: Folder) -> None:
    """Build the invented example, whole, and say where its pack lies."""
    from pitchline.app import commands

    _ended(lambda: commands.demo(output))


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command line; every expected fault ends with one sentence and an exit code."""
    try:
        app(args=arguments)
    except SystemExit as ended:
        if ended.code == STOPPED:
            sys.stderr.write(f"{STOPPED_WORDS}\n")
        raise


def _ended(command: Callable[[], int | None]) -> NoReturn:
    """Do a command's work and end with its exit code; a fault of the user's or of the machine is one sentence."""
    from pitchline.kit.errors import PitchlineError  # --help loads nothing of ours

    try:
        code = command() or HOLDS
        sys.stdout.flush()
    except PitchlineError as fault:
        sys.stderr.write(f"{fault}\n")
        code = UNUSABLE
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.stderr.write("Whoever was reading this output stopped reading; the rest was not written.\n")
        code = UNUSABLE
    except OSError as fault:
        sys.stderr.write(f"{_says(fault)}\n")
        code = UNUSABLE
    except Exception:  # noqa: BLE001  # a fault of the program must never look like a finding's exit code 1
        traceback.print_exc()
        sys.stderr.write(
            "This is a fault of the program, not of your job: please report what stands above.\n"
        )
        code = BROKEN
    raise typer.Exit(code)


def _says(fault: OSError) -> str:
    where = f" {fault.filename}" if fault.filename else ""
    if fault.errno == errno.ENOSPC:
        return f"The disk is full while writing{where}; nothing half written is left."
    return f"Cannot use{where}: {(fault.strerror or str(fault)).lower()}."
