"""The pack page: make the pack, stop it, look at its files, take it away whole."""

from pitchline.app.web.desk import Desk
from pitchline.app.web.files_routes import pack_names
from pitchline.app.web.pages import Page, Told
from pitchline.app.web.state import State
from pitchline.app.web.words import Words


def _tell(desk: Desk, state: State, words: Words) -> Told:
    del words
    done = desk.works.answer("pack")
    return {
        "kind": "pack",
        "names": pack_names(desk),
        "old": done is None or done.version != state.version,
    }


PAGE = Page("pack", "pack.html", _tell, {"work": "work.html", "files": "pack_files.html"}, ("work.js",))
