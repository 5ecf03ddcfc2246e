"""``pitchline share``: one HTML file to send to the people who live with the stair."""

from collections.abc import Sequence
from pathlib import Path

from pitchline.app.cli import HOLDS
from pitchline.app.web.words import LANGUAGES
from pitchline.kit.errors import Fault, InputError, OutputError
from pitchline.story import Solved, SolvedBalustrade

_HEAD = 2000
"""Bytes of a file that are read to know whose it is."""


def share(
    job_file: Path, output: Path, designs: Sequence[str], *, language: str, costs: bool, answer_to: str
) -> int:
    """Write the page; an earlier one is written over, any other file is left alone."""
    from pitchline.app.commands import say, solved_job, working
    from pitchline.app.web.share import checked_address
    from pitchline.job.save import save_text

    if language not in LANGUAGES:
        fault = Fault("--language", "there are no words for it", language, ", ".join(LANGUAGES))
        raise InputError([fault], "the command")
    answer_to = checked_address(answer_to)
    _refuse_others(output)
    with working() as progress:
        progress(f"solving {job_file.name}")
        solved = solved_job(job_file)
        chosen = _chosen(solved, designs)
        progress("the page")
        text = job_file.read_text(encoding="utf-8-sig")
        page = _page(solved, chosen, text, language, costs=costs, answer_to=answer_to)
        save_text(output, page)
    say(
        f"Wrote {output}: {', '.join(whole.id for whole in chosen)}. It opens in any browser without a network."
    )
    return HOLDS


def _page(
    solved: Solved,
    chosen: Sequence[SolvedBalustrade],
    text: str,
    language: str,
    *,
    costs: bool,
    answer_to: str,
) -> str:
    from pitchline.app.web.compare_figures import for_household
    from pitchline.app.web.design_part import plan_of
    from pitchline.app.web.share import Asked, reference_of, share_page
    from pitchline.app.web.words import catalogue
    from pitchline.kit.words import Words as Lengths
    from pitchline.kit.words import show_in

    words, lengths = catalogue(language), Lengths(show_in(solved.job.unit))
    plans = [plan_of(solved, whole) if costs else None for whole in chosen]
    designs = [
        for_household(whole, words, lengths, plan, costs=costs)
        for whole, plan in zip(chosen, plans, strict=True)
    ]
    asked = Asked(tuple(whole.id for whole in chosen), costs, answer_to, reference_of(text))
    return share_page(solved, designs, asked, words)


def _chosen(solved: Solved, names: Sequence[str]) -> tuple[SolvedBalustrade, ...]:
    """The designs asked for, in the order asked; without any, the first of the job."""
    from pitchline.app.web.compare import MOST

    known = {whole.id: whole for whole in solved.balustrades}
    if not known:
        fault = Fault("designs", "the job has no design to show", remedy="add one under [[designs]]")
        raise InputError([fault], "the job")
    unknown = [name for name in names if name not in known]
    if unknown:
        allowed = ", ".join(known)
        raise InputError(
            [Fault("--design", "the job has no such design", n, allowed) for n in unknown], "the command"
        )
    asked = tuple(dict.fromkeys(names)) or tuple(known)[:MOST]
    if len(asked) > MOST:
        fault = Fault("--design", "too many designs for one page", str(len(asked)), f"up to {MOST}")
        raise InputError([fault], "the command")
    return tuple(known[name] for name in asked)


def _refuse_others(output: Path) -> None:
    """OutputError for a file that is no earlier page, or a folder that is not there."""
    from pitchline.app.web.share import SIGN

    if not output.parent.is_dir():
        raise OutputError(f"There is no folder {output.parent} to write {output.name} into; make it first.")
    if output.is_dir():
        raise OutputError(f"{output} is a folder; name a file such as {output / 'designs.html'}.")
    if output.exists():
        with output.open("rb") as file:
            head = file.read(_HEAD)
        if SIGN.encode() not in head:
            raise OutputError(
                f"{output} exists already and is no earlier page of a job; choose another name."
            )
