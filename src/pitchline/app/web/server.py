"""Run the app: on this machine alone, or on the local network with a code."""

import contextlib
import secrets
import socket
import sys
import threading
import webbrowser
from pathlib import Path

import uvicorn

from pitchline.app.web.application import make_app
from pitchline.app.web.desk import Desk
from pitchline.app.web.guard import Keys
from pitchline.kit.errors import OutputError

USUAL_PORT = 8640
PORTS_TRIED = 20
LOCAL = "127.0.0.1"


def serve(job: Path | None, *, port: int | None, browser: bool, lan: bool) -> int:
    """Serve a job, or the first page where none is named, until the user ends it.

    InputError for a job file that cannot be read or is open already, OutputError where no port is free.
    """
    with listening(port, "0.0.0.0" if lan else LOCAL) as ear:  # only when asked for
        number = ear.getsockname()[1]
        names = [LOCAL, "localhost", *(own_addresses() if lan else [])]
        code = f"{secrets.randbelow(10**6):06d}" if lan else None
        keys = Keys(frozenset(f"{name}:{number}" for name in names), code)
        desk = Desk(Path.cwd() if job is None else job.resolve().parent, keys)
        if job is not None:
            desk.open(job.resolve())
        try:
            _announce(number, names, code)
            if browser:
                threading.Timer(0.3, webbrowser.open, [f"http://{LOCAL}:{number}/"]).start()
            _run(desk, ear)
        finally:
            desk.close()
    return 0


def _run(desk: Desk, ear: socket.socket) -> None:
    settings = uvicorn.Config(
        make_app(desk),
        log_level="error",
        access_log=False,
        server_header=False,
        date_header=False,
        timeout_graceful_shutdown=2,
        loop="asyncio",
        http="h11",
        ws="none",
    )
    with contextlib.suppress(KeyboardInterrupt):
        uvicorn.Server(settings).run(sockets=[ear])


def listening(port: int | None, address: str) -> socket.socket:
    """A socket on a port: the one asked for, else the usual one or one of the next. OutputError if none is free."""
    tried = range(USUAL_PORT, USUAL_PORT + PORTS_TRIED) if port is None else (port,)
    for number in tried:
        ear = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        if sys.platform != "win32":
            ear.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            ear.bind((address, number))
        except OSError:
            ear.close()
            continue
        return ear
    where = f"Port {port} is" if port is not None else f"The ports from {USUAL_PORT} on are"
    raise OutputError(f"{where} taken by another program; name a free one with --port.")


def own_addresses() -> list[str]:
    """The addresses of this machine on its local network."""
    found: list[str] = []
    with contextlib.suppress(OSError):
        found += [
            str(entry[4][0]) for entry in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
        ]
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # RFC 5737: an address for documentation; nothing is sent
        found.append(str(probe.getsockname()[0]))
    return [address for address in dict.fromkeys(found) if not address.startswith("127.")]


def _announce(port: int, names: list[str], code: str | None) -> None:
    say = sys.stderr.write
    say(f"pitchline is open at http://{LOCAL}:{port}/ and ends with Ctrl+C.\n")
    if code is not None:
        for name in names[2:]:
            say(f"On the local network: http://{name}:{port}/ with the code {code[:3]} {code[3:]}.\n")
        say("Whoever has the code can read and change this job; what is sent is not encrypted.\n")
