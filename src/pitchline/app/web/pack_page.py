"""The pack page: make the pack, stop it, look at its files, take it away whole."""

from collections.abc import Iterable

from pitchline.app.web.desk import Desk
from pitchline.app.web.files_routes import pack_names
from pitchline.app.web.pages import Page, Told
from pitchline.app.web.state import State
from pitchline.app.web.words import Words


def folders(names: Iterable[str]) -> dict[str, list[str]]:
    """The files of a pack by their folders, those of none under nothing; each as often as it is named, once."""
    found: dict[str, list[str]] = {"": []}
    for name in dict.fromkeys(names):
        found.setdefault(name.rpartition("/")[0].partition("/")[0], []).append(name)
    return found


def _tell(desk: Desk, state: State, words: Words) -> Told:
    del words
    done = desk.works.answer("pack")
    names = pack_names(desk)
    return {
        "kind": "pack",
        "names": names,
        "folders": folders(names),
        "old": done is None or done.version != state.version,
    }


PAGE = Page(
    "pack",
    "pack.html",
    _tell,
    {"work": "work.html", "files": "pack_files.html"},
    ("work.js",),
    ("sheets.css",),
)
