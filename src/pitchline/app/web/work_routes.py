"""Routes of long work: begin it, ask how far it is, stop it."""

import json

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from pitchline.app.web.reply import desk_of, words_of
from pitchline.app.web.words import Words
from pitchline.app.web.worker import KINDS
from pitchline.app.web.works import Work


def _told(work: Work, words: Words) -> dict[str, object]:
    slug = work.stage.lower().replace(" ", "_").replace("-", "_")
    return {
        "id": work.id,
        "kind": work.kind,
        "version": work.version,
        "stand": work.stand,
        "stage": words.maybe(f"stage.{slug}", work.stage),
        "steps": work.steps,
        "said": list(work.said),
    }


async def _start(request: Request) -> Response:
    try:
        kind = json.loads(await request.body())["kind"]
    except (ValueError, KeyError, TypeError) as error:
        raise HTTPException(400, "The kind of work is needed.") from error
    if kind not in KINDS:
        raise HTTPException(404, "There is no such work.")
    desk, words = desk_of(request), words_of(request)

    def begin() -> Response:
        state = desk.job.state()
        if not state.fresh:
            raise HTTPException(422, words("work.unsound"))
        asked = {"text": state.text, "path": str(desk.job.path), "folder": str(desk.pack_folder)}
        work = desk.works.start(kind, state.version, asked)
        return JSONResponse(_told(work, words))

    return await run_in_threadpool(begin)


def _look(request: Request) -> Response:
    return JSONResponse(_told(_found(request), words_of(request)))


def _found(request: Request) -> Work:
    work = desk_of(request).works.find(request.path_params["id"])
    if work is None:
        raise HTTPException(404, "There is no such work.")
    return work


def _stop(request: Request) -> Response:
    work = _found(request)
    work.stop()
    return JSONResponse(_told(work, words_of(request)))


def _sheet(request: Request) -> Response:
    """A sheet as a picture or a document as PDF, as the work made them."""
    work, name = _found(request), request.path_params["name"]
    known = work.answer if isinstance(work.answer, dict) else {}
    names = {n for one in known.get("documents", ()) for n in (one["pdf"], *one["sheets"])}
    if work.folder is None or name not in names:
        raise HTTPException(404, "There is no such sheet.")
    kind = "application/pdf" if name.endswith(".pdf") else "image/svg+xml"
    return FileResponse(work.folder / name, media_type=kind, headers={"cache-control": "max-age=3600"})


ROUTES = [
    Route("/errand", _start, methods=["POST"]),
    Route("/errand/{id}", _look),
    Route("/errand/{id}/sheet/{name}", _sheet),
    Route("/errand/{id}/stop", _stop, methods=["POST"]),
]
