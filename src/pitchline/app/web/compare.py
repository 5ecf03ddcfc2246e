"""The compare page: two to four designs side by side under one camera, one table, the differences in words."""

from collections.abc import Sequence
from functools import partial
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from pitchline.app.web.design import balustrade_of, design_tables
from pitchline.app.web.desk import Desk
from pitchline.app.web.pages import Page, Told, environment
from pitchline.app.web.pictures import kept
from pitchline.app.web.reply import desk_of, words_of
from pitchline.app.web.state import State
from pitchline.app.web.words import Words

MOST = 4
"""Designs that stand side by side and can still be read."""


def chosen_of(state: State, of: str) -> tuple[str, ...]:
    """Ids of the designs asked for ("A,B"), those there are; the first ones where nothing fits."""
    known = [str(table.get("id", "")) for table in design_tables(state)]
    asked = [name for name in dict.fromkeys(of.split(",")) if name in known]
    return tuple(asked[:MOST] or known[:MOST])


def _tell(desk: Desk, state: State, words: Words) -> Told:
    return _tell_of(desk, state, words, "")


def _tell_of(desk: Desk, state: State, words: Words, of: str) -> Told:
    del desk, words
    chosen = chosen_of(state, of)
    titles = {str(table.get("id", "")): str(table.get("title", "")) for table in design_tables(state)}
    return {
        "chosen": chosen,
        "all_designs": [
            {"id": name, "title": title, "chosen": name in chosen, "href": _toggled(chosen, name)}
            for name, title in titles.items()
        ],
        "cards": [_card(state, name, titles[name]) for name in chosen],
        "most": MOST,
    }


def _toggled(chosen: Sequence[str], name: str) -> str:
    """The designs that would be shown after a tap on one; empty where that cannot be."""
    after = [one for one in chosen if one != name] if name in chosen else [*chosen, name]
    return ",".join(after) if 0 < len(after) <= MOST else ""


def _card(state: State, name: str, title: str) -> Told:
    whole = balustrade_of(state, name)
    card: Told = {"id": name, "title": title, "whole": whole, "eye": ""}
    if whole is not None:
        from pitchline.solids.scene import eye_for

        card["eye"] = ",".join(f"{value:.4f}" for value in eye_for(whole.edges))
        card["counts"] = {
            word: sum(finding.verdict.value == word for finding in whole.findings)
            for word in ("fail", "unsure", "pass")
        }
    return card


PIECES = {"chosen": "compare_chosen.html", "cards": "compare_cards.html"}
PAGE = Page(
    "compare", "compare.html", _tell, PIECES, ("compare.js",), ("viewer.css", "compare.css"), _tell_of
)


# ---------------------------------------------------------------- routes


async def _figures(request: Request) -> Response:
    """The table and the differences in words: worked out when asked for, kept until the next edit."""
    desk, words = desk_of(request), words_of(request)

    def work() -> Response:
        state = desk.job.state()
        if state.solved is None:
            raise HTTPException(409, "Nothing is worked out yet.")
        told = told_figures(desk, state, chosen_of(state, request.query_params.get("of", "")), words)
        return HTMLResponse(environment().get_template("compare_figures.html").render(t=words, **told))

    return await run_in_threadpool(work)


def compared_designs(desk: Desk, state: State, chosen: Sequence[str], words: Words) -> tuple[Any, ...]:
    """The designs with their figures, those that could be laid out."""
    from pitchline.app.web.compare_figures import compared, worked
    from pitchline.app.web.design_part import plan_of
    from pitchline.kit.words import Words as Lengths
    from pitchline.kit.words import show_in

    solved = state.solved
    if solved is None:
        return ()
    lengths = Lengths(show_in(solved.job.unit))

    def one(whole: Any) -> Any:
        plan = kept(desk, f"plan {whole.id}", state.version, lambda: plan_of(solved, whole))
        work = kept(desk, f"worked {whole.id}", state.version, lambda: worked(solved, whole, plan))
        return compared(whole, work, words, lengths)

    found = (balustrade_of(state, name) for name in chosen)
    return tuple(one(whole) for whole in found if whole is not None)


def household_designs(
    desk: Desk, state: State, chosen: Sequence[str], words: Words, *, costs: bool
) -> tuple[Any, ...]:
    """The designs as the household is told of them, those that could be laid out."""
    from pitchline.app.web.compare_figures import for_household
    from pitchline.app.web.design_part import plan_of
    from pitchline.kit.words import Words as Lengths
    from pitchline.kit.words import show_in

    solved = state.solved
    if solved is None:
        return ()
    lengths = Lengths(show_in(solved.job.unit))

    def one(whole: Any) -> Any:
        make = partial(plan_of, solved, whole)
        plan = kept(desk, f"plan {whole.id}", state.version, make) if costs else None
        return for_household(whole, words, lengths, plan, costs=costs)

    found = (balustrade_of(state, name) for name in chosen)
    return tuple(one(whole) for whole in found if whole is not None)


def told_figures(desk: Desk, state: State, chosen: Sequence[str], words: Words) -> Told:
    """What the template of the table needs."""
    from pitchline.app.web.compare_figures import KEYS, best_of
    from pitchline.app.web.compare_words import differences
    from pitchline.kit.words import Words as Lengths
    from pitchline.kit.words import show_in

    designs = compared_designs(desk, state, chosen, words)
    lengths = Lengths(show_in(state.unit))
    return {
        "designs": designs,
        "lines": [{"key": key, "best": best_of(designs, key)} for key in KEYS],
        "differences": differences(designs, words, lengths),
    }


ROUTES: list[Route] = [Route("/compare/figures", _figures)]
