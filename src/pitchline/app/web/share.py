"""One HTML file to send to the people who live with the stair: designs that turn, their differences, an answer.

The file needs no network: styles, script, pictures and models stand in it, and its own content policy lets nothing
else in. The script is that of the app's pages, joined to one module.
"""

import base64
import gzip
import hashlib
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from markupsafe import Markup

from pitchline import __version__
from pitchline.app.web.compare import MOST
from pitchline.app.web.compare_figures import Compared, for_household
from pitchline.app.web.compare_words import differences
from pitchline.app.web.design import scene_bytes, space_picture
from pitchline.app.web.pages import environment
from pitchline.app.web.words import USUAL, Words, catalogue
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.units import show_length
from pitchline.kit.words import Words as Lengths
from pitchline.kit.words import show_in
from pitchline.parts.explode import grouped
from pitchline.sheets.chapter import PackFile
from pitchline.solids.drawn import picture_svg
from pitchline.solids.picture import Picture
from pitchline.solids.scene import eye_for
from pitchline.story import Solved, SolvedBalustrade

SHOWN = ("holds", "movement", "openings")
"""The lines of the table that a household is told; the others are the workshop's."""

PACK_NAME = "choose.html"
"""The page's name in a pack."""

SIGN = '<meta name="generator" content="pitchline'
"""By this a file is known as one that may be written over."""

_ADDRESS = re.compile(r"[A-Za-z0-9._%+-]{1,64}@[A-Za-z0-9-]{1,63}(\.[A-Za-z0-9-]{1,63}){1,8}")
_IMPORT = re.compile(r'^import \{[^}]*\} from "\./(\w+\.js)";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export ", re.MULTILINE)
_COMMENT = re.compile(r"^\s*//.*\n", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Asked:
    """What the file is to hold: which designs, whether money is told, where answers go, which state it shows."""

    designs: tuple[str, ...]
    costs: bool = False
    answer_to: str = ""
    reference: str = ""


def pack_files(
    solved: Solved, text: str, pictures: Mapping[str, Picture]
) -> tuple[tuple[PackFile, bytes], ...]:
    """The page for a pack: the first designs of the job, without prices; nothing where there is none to show.

    ``text`` is that of the job file, ``pictures`` are the designs in space.
    """
    wholes = solved.balustrades[:MOST]
    if not wholes:
        return ()
    t, lengths = catalogue(USUAL), Lengths(show_in(solved.job.unit))
    designs = [for_household(whole, t, lengths) for whole in wholes]
    asked = Asked(tuple(whole.id for whole in wholes), reference=reference_of(text))
    shown = {whole.id: picture_svg(pictures[whole.id], whole.title) for whole in wholes}
    page = share_page(solved, designs, asked, t, shown)
    return ((PackFile(PACK_NAME, "designs that turn, how they differ, and an answer"), page.encode("utf-8")),)


def reference_of(text: str) -> str:
    """A short name of a state of the job: the same text has the same."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:8]


def checked_address(address: str) -> str:
    """An e-mail address, or nothing. InputError for anything else."""
    address = address.strip()
    if address and not _ADDRESS.fullmatch(address):
        fault = Fault(
            "the address for answers", "this is no e-mail address", address, "such as name@example.org"
        )
        raise InputError([fault], "the page to send")
    return address


def share_page(
    solved: Solved,
    compared: Sequence[Compared],
    asked: Asked,
    t: Words,
    pictures: Mapping[str, str] | None = None,
) -> str:
    """The file as HTML; ``compared`` are the designs it shows, in their order, ``pictures`` their SVG where made."""
    wholes = {whole.id: whole for whole in solved.balustrades}
    if pictures is None:
        pictures = {one.id: space_picture(wholes[one.id]) for one in compared}
    lengths = Lengths(show_in(solved.job.unit))
    lines = (*SHOWN, "cost") if asked.costs else SHOWN
    script, style = joined_script("share_page.js"), _static("share.css")
    return environment().get_template("share.html").render(
        t=t,
        version=__version__,
        policy=_policy(script, style),
        script=Markup(script),  # our own module
        style=Markup(style),  # our own style sheet
        title=solved.job.title,
        date=solved.job.date,
        drawn_by=solved.job.drawn_by,
        rules=f"{solved.rules.title}, {solved.rules.edition}",
        designs=compared,
        lines=lines,
        pictures={name: Markup(svg) for name, svg in pictures.items()},  # written by us, escaped
        differences=differences(compared, t, lengths, keys=lines),
        data=Markup(_data([wholes[one.id] for one in compared], solved, asked, t)),  # JSON without any "<"
        reference=asked.reference,
        answer_to=asked.answer_to,
    )  # fmt: skip


def _data(wholes: Sequence[SolvedBalustrade], solved: Solved, asked: Asked, t: Words) -> str:
    """What the script of the page works with, as JSON that may stand in a page."""
    told = {
        "title": solved.job.title,
        "reference": asked.reference,
        "to": asked.answer_to,
        "words": t.under("answer"),
        "designs": [dict(_design(whole, solved)) for whole in wholes],
    }
    return json.dumps(told, ensure_ascii=False).replace("<", "\\u003c")


def _design(whole: SolvedBalustrade, solved: Solved) -> Iterator[tuple[str, Any]]:
    yield "id", whole.id
    yield "title", whole.title
    yield "eye", ",".join(f"{value:.4f}" for value in eye_for(whole.edges))
    yield "model", base64.b64encode(gzip.compress(scene_bytes(whole), 9, mtime=0)).decode("ascii")
    parts: dict[str, str] = {}
    for group in grouped(whole.parts):
        part = group.part
        sizes = " × ".join(show_length(s, solved.job.unit) for s in (part.length, part.width, part.thickness))
        parts |= dict.fromkeys(group.places, f"{part.role.value}, {sizes} {solved.job.unit.value}")
    yield "parts", parts


def _policy(script: str, style: str) -> str:
    """Nothing but this very script and style, and pictures that stand in the page."""
    return (
        f"default-src 'none'; script-src '{_hash(script)}'; style-src '{_hash(style)}'; img-src data:; "
        "form-action 'none'; base-uri 'none'"
    )


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode('utf-8')).digest()).decode('ascii')}"


@cache
def joined_script(name: str) -> str:
    """A module with all that it imports from beside it, as one: each file once, before what needs it."""
    return "".join(_modules(name, set()))


def _modules(name: str, taken: set[str]) -> Iterator[str]:
    if name in taken:
        return
    taken.add(name)
    text = _static(name)
    for needed in _IMPORT.findall(text):
        yield from _modules(needed, taken)
    yield _COMMENT.sub("", _EXPORT.sub("", _IMPORT.sub("", text)))


@cache
def _static(name: str) -> str:
    return files("pitchline.app.web").joinpath("static", name).read_text(encoding="utf-8")
