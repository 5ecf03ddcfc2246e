"""A page with nothing but the viewer on it, under the content policy of the app: no inline script, no stranger."""

from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pitchline.app.web

STATIC = Path(pitchline.app.web.__file__).parent / "static"
POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:"
KINDS = {".js": "text/javascript", ".css": "text/css", ".html": "text/html; charset=utf-8"}

PAGE = """<!doctype html><html lang="en"><title>One balustrade</title>
<link rel="icon" href="data:,"><link rel="stylesheet" href="/viewer.css"><link rel="stylesheet" href="/page.css">
<main><h1>One balustrade</h1><p id="keys">Arrows turn it.</p>
<div class="viewer" data-eye="{eye}" data-label="The balustrade in space" data-describedby="keys">
<p class="viewer-picture">A picture</p></div></main>
<script type="module" src="/page.js"></script></html>"""

SCRIPT = """import { mountViewer } from "/viewer.js";
const host = document.querySelector(".viewer");
if (location.hash === "#none") HTMLCanvasElement.prototype.getContext = () => null;
window.viewer = mountViewer(host);
host.addEventListener("pick", (event) => { host.dataset.picked = event.detail.name ?? "nothing"; });
if (window.viewer) window.viewer.loadUrl("/scene.glb");
"""

STYLE = ".viewer { width: 800px; height: 500px; } body { margin: 0; }"


@contextmanager
def serving(glb: bytes, eye: str) -> Iterator[str]:
    """The address of the page for as long as it is needed."""
    made = {
        "/": ("text/html; charset=utf-8", PAGE.replace("{eye}", eye).encode()),
        "/page.js": ("text/javascript", SCRIPT.encode()),
        "/page.css": ("text/css", STYLE.encode()),
        "/scene.glb": ("model/gltf-binary", glb),
    }

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            file = STATIC / self.path[1:]
            if self.path in made:
                kind, body = made[self.path]
            elif file.is_file():
                kind, body = KINDS[file.suffix], file.read_bytes()
            else:
                self.send_error(404)
                return
            self.send_response(200)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Security-Policy", POLICY)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: object) -> None:
            """Nothing: a test says what goes wrong."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
