"""The pages of the app and how they are written: a page is a template and the pieces of it that answer an edit.

A piece is an element of the page with an id of its own; after an edit its HTML is sent again and settled into the
page without disturbing what is being typed.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, pass_context
from jinja2.runtime import Context
from markupsafe import Markup

from pitchline.app.web.desk import Desk
from pitchline.app.web.state import State
from pitchline.app.web.words import LANGUAGES, Words

Told = dict[str, Any]
"""What a template is told."""


@dataclass(frozen=True, slots=True)
class Page:
    """A page: its key (also its address and its words ``page.KEY``), its template, its pieces by element id.

    ``tell`` gives what the templates need; ``scripts`` and ``styles`` are files of ``static``. A page that shows
    some of several things, such as one of the designs, has ``tell_of`` instead, which is told which.
    """

    key: str
    template: str
    tell: Callable[[Desk, State, Words], Told]
    pieces: Mapping[str, str] = field(default_factory=dict)
    scripts: tuple[str, ...] = ()
    styles: tuple[str, ...] = ()
    tell_of: Callable[[Desk, State, Words, str], Told] | None = None


COMMON = {"block": "block.html", "amiss": "amiss.html"}
"""Pieces of every page: the title block, and the faults that have no field on the page."""


@cache
def environment() -> Environment:
    """The templates, escaped; a name that is not told is an error."""
    found = Environment(
        loader=PackageLoader("pitchline.app.web"),
        autoescape=True,
        auto_reload=False,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.globals["piece"] = _piece
    found.filters["json"] = lambda value: json.dumps(value, ensure_ascii=False)
    return found


@pass_context
def _piece(context: Context, name: str, tag: str = "div", label: str = "") -> Markup:
    """The element of a piece with what it holds now."""
    page: Page = context["page"]
    template = environment().get_template({**COMMON, **page.pieces}[name])
    named = Markup(' aria-label="{}"').format(label) if label else ""
    body = Markup(template.render(context.get_all()))  # the template escaped it
    return Markup('<{0} id="{1}" data-piece{3}>{2}</{0}>').format(Markup(tag), name, body, named)


def told(page: Page, pages: tuple[Page, ...], desk: Desk, state: State, words: Words, of: str = "") -> Told:
    """All that the templates of a page are told; ``of`` names what it shows where it shows some of several."""
    common = {
        "t": words, "page": page, "pages": pages, "desk": desk, "state": state, "token": desk.keys.token,
        "languages": LANGUAGES, "number": 1 + [p.key for p in pages].index(page.key),
        "tally": tally(state), "unit": state.unit.value, "of": of,
    }  # fmt: skip
    own = page.tell(desk, state, words) if page.tell_of is None else page.tell_of(desk, state, words, of)
    return {**common, **own}


def write_page(known: Told) -> str:
    """A page whole."""
    return environment().get_template(known["page"].template).render(known)


def write_pieces(known: Told) -> dict[str, str]:
    """The pieces of a page by their ids."""
    page: Page = known["page"]
    return {
        name: environment().get_template(template).render(known)
        for name, template in {**COMMON, **page.pieces}.items()
    }


def answer(known: Told) -> Told:
    """What a page is told after an edit."""
    state: State = known["state"]
    faults = [{"where": f.where, "text": f.sentence(), "problem": f.problem} for f in state.faults]
    return {
        "version": state.version,
        "fresh": state.fresh,
        "faults": faults,
        "undo": state.undo,
        "redo": state.redo,
        "tally": tally(state),
        "pieces": write_pieces(known),
    }


def tally(state: State) -> dict[str, int]:
    """How many findings there are of each verdict."""
    counts = dict.fromkeys(("fail", "unsure", "pass", "report", "advice"), 0)
    if state.solved is not None:
        for finding in state.solved.findings():
            counts[finding.verdict.value] += 1
    return counts
