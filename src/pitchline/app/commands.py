"""What each command does; the heavy steps are imported where they are used."""

import errno
import json
import os
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from pitchline.app.cli import FAILS, HOLDS
from pitchline.app.example import Example, UnitName
from pitchline.kit.errors import Fault, InputError, OutputError
from pitchline.kit.finding import Finding, Verdict

if TYPE_CHECKING:
    from pitchline.story import Solved

Progress = Callable[[str], None]
Chapters = tuple[tuple[str, tuple[Finding, ...]], ...]

_WORDS = {
    Verdict.FAIL: ("FAIL", typer.colors.RED),
    Verdict.UNSURE: ("UNSURE", typer.colors.YELLOW),
    Verdict.PASS: ("pass", typer.colors.GREEN),
    Verdict.REPORT: ("report", typer.colors.BLUE),
    Verdict.ADVICE: ("advice", typer.colors.CYAN),
}
_SEVERITY = {verdict: number for number, verdict in enumerate(_WORDS)}


def say(text: str) -> None:
    """A sentence for the user, on standard error."""
    typer.echo(text, err=True)


@contextmanager
def working() -> Iterator[Progress]:
    """A line that says what is being done, on a terminal only."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console  # only a terminal needs it

    with Console(stderr=True).status("starting") as status:
        yield status.update


def solved_job(job_file: Path, judged_by: str | None = None) -> "Solved":
    """A job file solved; InputError with the lines of its faults."""
    from pitchline.catalogue.rules import load_rule_file, load_rule_set
    from pitchline.job.faults import located
    from pitchline.job.load import load_job
    from pitchline.story import solve as solve_job

    job = load_job(job_file)
    other = None
    if judged_by is not None:
        other = load_rule_file(Path(judged_by)) if judged_by.endswith(".toml") else load_rule_set(judged_by)
    try:
        return solve_job(job, judged_by=other)
    except InputError as wrong:
        text = job_file.read_text(encoding="utf-8-sig")
        raise InputError(located(wrong.faults, text), job_file.name) from wrong


def new(file: Path, example: Example | None, units: UnitName) -> None:
    """Write a starting job and its survey sheet."""
    from pitchline.job.new import example_unit, starting_text
    from pitchline.kit.units import Unit
    from pitchline.sheets.survey_sheet import survey_sheet

    if not file.name:
        fault = Fault(
            "pitchline new", "the new job needs a file name", str(file), remedy="such as stair.toml"
        )
        raise InputError([fault], "the command")
    if not file.parent.is_dir():
        raise OutputError(f"There is no folder {file.parent} to write {file.name} into; make it first.")
    sheet = file.with_name(f"{file.stem}-survey-sheet.pdf")
    for path in (file, sheet):
        if path.exists():
            raise OutputError(f"{path} exists already and is left as it is; choose another name.")
    unit = Unit(units.value) if example is None else example_unit(example.value)
    text = starting_text(None if example is None else example.value, unit)
    _write_new(file, text.encode())
    _write_new(sheet, survey_sheet(unit))
    say(f"Wrote {file} and {sheet}. Print the sheet, fill both in at the stair, then: pitchline check {file}")


def _write_new(path: Path, content: bytes) -> None:
    """Write a file that does not exist yet, whole or not at all."""
    with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".pitchline-", delete=False) as temporary:
        beside = Path(temporary.name)
        try:
            temporary.write(content)
            temporary.close()
            beside.chmod(0o644)
            _place(beside, path)
        finally:
            beside.unlink(missing_ok=True)


def _place(beside: Path, path: Path) -> None:
    """Give a finished file its name without ever replacing another."""
    try:
        path.hardlink_to(beside)
    except FileExistsError as taken:
        raise OutputError(f"{path} exists already and is left as it is; choose another name.") from taken
    except OSError as fault:
        if fault.errno not in (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP):
            raise
        beside.rename(path)


def check(job_file: Path, *, show_all: bool, judged_by: str | None = None) -> int:
    """Print how a job stands and its findings, worst first; ``judged_by``: would it pass under other rules."""
    from pitchline.app.strength_words import strength_lines

    with working() as progress:
        progress(f"solving {job_file.name}")
        solved = solved_job(job_file, judged_by)
    if judged_by is not None:
        typer.echo(f"Laid out for {solved.job.place}, judged by {solved.rules.id}: {solved.rules.title}")
    for line in strength_lines(solved):
        typer.echo(line)
    _print_findings(solved.chapters(), show_all=show_all)
    return HOLDS if solved.holds else FAILS


def _print_findings(chapters: Chapters, *, show_all: bool) -> None:
    """Chapter by chapter, worst first; what holds and general advice only when asked for."""
    counts = dict.fromkeys(_WORDS, 0)
    for title, findings in chapters:
        for finding in findings:
            counts[finding.verdict] += 1
        shown = [
            f for f in findings if show_all or not (f.verdict is Verdict.PASS or f.code.startswith(QUIET))
        ]
        if shown:
            typer.echo(title)
        for finding in sorted(shown, key=lambda f: _SEVERITY[f.verdict]):
            _print_finding(finding)
    tally = ", ".join(f"{counts[verdict]} {word.lower()}" for verdict, (word, _) in _WORDS.items())
    more = "" if show_all else "; --all shows what holds and the general notices too"
    typer.echo(f"{sum(counts.values())} findings: {tally}{more}")


QUIET = "notice."
"""Findings that are said of every job; the pack holds them all."""


def _print_finding(finding: Finding) -> None:
    word, shade = _WORDS[finding.verdict]
    mark = typer.style(f"{word:>7}", fg=shade) if _in_colour() else f"{word:>7}"
    typer.echo(f"{mark}  {finding.where}: {finding.text}{_rule(finding)}")
    if finding.remedy:
        typer.echo(f"         {finding.remedy}")


def _in_colour() -> bool:
    """Colour on a terminal only, and not where NO_COLOR asks for none (no-color.org)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def _rule(finding: Finding) -> str:
    rule = finding.rule
    return "" if rule is None else f" [{rule.id} {rule.clause}, {rule.status}]"


def solve(job_file: Path, *, as_json: bool) -> int:
    """Print the result document."""
    from pitchline.app.result import result_document
    from pitchline.story_cutting import plan_cuttings
    from pitchline.story_making import work_out

    if not as_json:
        fault = Fault("pitchline solve", "it prints one format", allowed="--json", remedy="add --json")
        raise InputError([fault], "the command")
    with working() as progress:
        progress(f"solving {job_file.name}")
        solved = solved_job(job_file)
        progress("cutting plans")
        cuttings = plan_cuttings(solved)
        progress("making")
        document = result_document(solved, cuttings, work_out(solved, cuttings))
    text = json.dumps(document, ensure_ascii=False, allow_nan=False, indent=1)
    sys.stdout.write(text + "\n")
    sys.stdout.flush()
    return HOLDS if solved.holds else FAILS


def build(job_file: Path, folder: Path) -> int:
    """Build the pack of a job."""
    from pitchline.app.result import result_document
    from pitchline.app.web.share import pack_files
    from pitchline.sheets.pack import write_pack
    from pitchline.story_cutting import plan_cuttings
    from pitchline.story_making import work_out

    with working() as progress:
        progress(f"solving {job_file.name}")
        solved = solved_job(job_file)
        progress("cutting plans")
        cuttings = plan_cuttings(solved)
        progress("making")
        workshop = work_out(solved, cuttings)
        document = result_document(solved, cuttings, workshop)
        more = partial(pack_files, solved, job_file.read_text("utf-8-sig"))
        written = write_pack(solved, folder, document, progress, cuttings, workshop, more)
    say(f"Wrote {len(written)} files to {folder}; open {folder / 'index.html'} first.")
    failing = [f for f in solved.findings() if f.verdict in (Verdict.FAIL, Verdict.UNSURE)]
    for finding in failing:
        say(f"{_WORDS[finding.verdict][0]:>7}  {finding.where}: {finding.text}{_rule(finding)}")
    return FAILS if failing else HOLDS


def demo(folder: Path) -> int:
    """Build the invented example, cut from an invented rack."""
    from pitchline.job.new import demo_text, rack_text
    from pitchline.kit.units import Unit

    with tempfile.TemporaryDirectory(prefix="pitchline-") as scratch:
        job_file = Path(scratch) / "example.toml"
        job_file.write_text(demo_text(), encoding="utf-8")
        job_file.with_name("rack.toml").write_text(rack_text(Unit.MM), encoding="utf-8")
        return build(job_file, folder)


def schema(document: str) -> None:
    """Print a JSON Schema."""
    if document == "job":
        from pitchline.job.model import job_schema

        found = job_schema()
    elif document == "result":
        from pitchline.app.result import result_schema

        found = result_schema()
    elif document == "need":
        from pitchline.app.need_file import need_schema

        found = need_schema()
    elif document == "rack":
        from pitchline.job.rack import rack_schema

        found = rack_schema()
    else:
        fault = Fault("pitchline schema", "no such document", document, "job, need, rack, result")
        raise InputError([fault], "the command")
    typer.echo(json.dumps(found, indent=2, ensure_ascii=False))


def rules(ids: Sequence[str], topic: str | None) -> None:
    """List the rule sets, show one, or hold several against each other."""
    from pitchline.app.rules_compared import compared
    from pitchline.app.rules_text import one_rule_set, rule_set_list

    shown = one_rule_set(ids[0]) if ids else rule_set_list()
    for line in compared(ids, topic) if len(ids) > 1 else shown:
        typer.echo(line)
