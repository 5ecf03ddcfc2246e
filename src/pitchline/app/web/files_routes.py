"""Drawings, models, and files of the pack, by their names; nothing else of the disk."""

import io
import zipfile
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from pitchline.app.web.desk import Desk
from pitchline.app.web.pictures import drawing, model
from pitchline.app.web.reply import desk_of
from pitchline.kit.drawing.lettering import FONT_FOLDER

SVG, GLB = "image/svg+xml", "model/gltf-binary"
_FONTS = ("routed-gothic.ttf", "routed-gothic-narrow.ttf")


def _drawing(request: Request) -> Response:
    found = drawing(desk_of(request), request.path_params["name"])
    if found is None:
        raise HTTPException(404, "There is no such drawing.")
    return Response(found, media_type=SVG)


def _model(request: Request) -> Response:
    found = model(desk_of(request), request.path_params["design"])
    if found is None:
        raise HTTPException(404, "There is no such design.")
    return Response(found, media_type=GLB)


def _font(request: Request) -> Response:
    name = request.path_params["name"]
    if name not in _FONTS:
        raise HTTPException(404, "There is no such font.")
    return FileResponse(
        Path(FONT_FOLDER) / name, media_type="font/ttf", headers={"cache-control": "max-age=86400"}
    )


def pack_names(desk: Desk) -> tuple[str, ...]:
    """The files of the job's pack, as its marker lists them; none where no pack stands there."""
    import json

    from pitchline.sheets.files import MARKER

    marker = desk.pack_folder / MARKER
    try:
        names = json.loads(marker.read_text("utf-8"))["files"]
    except (OSError, ValueError, KeyError, TypeError):
        return ()
    folder = desk.pack_folder.resolve()
    inside = ((name, (folder / name).resolve()) for name in names if isinstance(name, str))
    return tuple(name for name, path in inside if path.is_relative_to(folder) and path.is_file())


def _pack_file(request: Request) -> Response:
    desk, name = desk_of(request), request.path_params["name"]
    if name not in pack_names(desk):
        raise HTTPException(404, "There is no such file in the pack.")
    path = desk.pack_folder / name
    kept = "inline" if path.suffix in (".pdf", ".svg", ".txt", ".html", ".json") else "attachment"
    headers = {"content-security-policy": _PACK_POLICY} if path.suffix == ".html" else None
    return FileResponse(path, filename=path.name, content_disposition_type=kept, headers=headers)


_PACK_POLICY = "default-src 'none'; img-src 'self' data:; style-src 'self' 'unsafe-inline'"
"""The front page of a pack carries its own style, and no script."""


def _pack_zip(request: Request) -> Response:
    desk = desk_of(request)
    names = pack_names(desk)
    if not names:
        raise HTTPException(404, "There is no pack yet.")
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        for name in names:
            file.write(desk.pack_folder / name, f"{desk.pack_folder.name}/{name}")
    headers = {"content-disposition": f'attachment; filename="{desk.pack_folder.name}.zip"'}
    return Response(out.getvalue(), media_type="application/zip", headers=headers)


ROUTES = [
    Route("/drawing/{name}.svg", _drawing),
    Route("/glb/{design}", _model),
    Route("/font/{name}", _font),
    Route("/pack/{name:path}", _pack_file),
    Route("/pack.zip", _pack_zip),
]
