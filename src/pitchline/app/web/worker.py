"""What runs in a process of its own: cutting plans and packs. Plain data go in and come out."""

import contextlib
import os
import signal
import sys
import threading
from collections.abc import Callable, Mapping
from functools import partial
from multiprocessing import parent_process
from multiprocessing.connection import Connection, wait
from pathlib import Path
from typing import Any

Progress = Callable[[str], None]


def run(kind: str, asked: Mapping[str, Any], line: Connection) -> None:
    """Do one piece of work and say how it went over the line; end when the app ends."""
    from pitchline.kit.errors import InputError, PitchlineError

    _end_with_parent()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    try:
        answer = KINDS[kind](asked, lambda stage: line.send(("stage", stage)))
        line.send(("answer", answer))
    except InputError as wrong:
        line.send(("fault", [fault.sentence() for fault in wrong.faults]))
    except (PitchlineError, OSError) as wrong:
        line.send(("fault", [str(wrong)]))
    finally:
        with contextlib.suppress(OSError):
            line.close()


def _end_with_parent() -> None:
    """A thread that ends this process when the app's own is gone, however it went."""
    parent = parent_process()
    if parent is None:
        return

    def watch() -> None:
        wait([parent.sentinel])
        os.kill(os.getpid(), signal.SIGTERM)

    threading.Thread(target=watch, daemon=True).start()


def _solved(asked: Mapping[str, Any]) -> Any:
    from pitchline.job.load import load_text
    from pitchline.story import solve

    path = Path(asked["path"])
    return solve(load_text(asked["text"], path.name, path))


def _sheets(page: str) -> Callable[[Mapping[str, Any], Progress], Mapping[str, Any]]:
    """The sheets of one page."""

    def work(asked: Mapping[str, Any], progress: Progress) -> Mapping[str, Any]:
        from pitchline.app.web.sheet_data import sheets_of

        progress("solving")
        return sheets_of(page, _solved(asked), Path(asked["sheets"]), progress)

    return work


def _pack(asked: Mapping[str, Any], progress: Progress) -> dict[str, Any]:
    from pitchline.app.result import result_document
    from pitchline.app.web.share import pack_files
    from pitchline.sheets.pack import write_pack
    from pitchline.story_cutting import plan_cuttings
    from pitchline.story_making import work_out

    progress("solving")
    solved = _solved(asked)
    progress("cutting plans")
    cuttings = plan_cuttings(solved)
    workshop = work_out(solved, cuttings)
    document = result_document(solved, cuttings, workshop)
    more = partial(pack_files, solved, asked["text"])
    names = write_pack(solved, Path(asked["folder"]), document, progress, cuttings, workshop, more)
    return {"names": list(names), "holds": solved.holds}


KINDS: Mapping[str, Callable[[Mapping[str, Any], Progress], Mapping[str, Any]]] = {
    **{page: _sheets(page) for page in ("cutting", "making", "strength")},
    "pack": _pack,
}
