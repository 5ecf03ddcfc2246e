"""The app as the process that a user starts, which can be killed, frozen and started again on the same port."""

import os
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.command import PROGRAM, environment

PATIENCE = 30.0


@dataclass
class Running:
    """A server over a job file, or over a folder where none is named."""

    folder: Path
    job: Path | None
    port: int
    process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        """Where it is."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Start it and wait until it answers."""
        named = [] if self.job is None else [str(self.job)]
        command = [*PROGRAM, "serve", *named, "--port", str(self.port), "--no-browser"]
        self.process = subprocess.Popen(
            command, cwd=self.folder, env=environment(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            try:
                socket.create_connection(("127.0.0.1", self.port), 0.5).close()
            except OSError:
                time.sleep(0.02)  # another process is waited for
            else:
                return
        raise AssertionError("the server did not start")

    def kill(self) -> None:
        """End it as a power cut would."""
        assert self.process is not None
        self.process.kill()
        self.process.wait(10)

    def stop(self) -> int:
        """End it as Ctrl+C does; its exit code."""
        assert self.process is not None
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(10)

    def freeze(self) -> None:
        """Let it hang."""
        assert self.process is not None
        os.kill(self.process.pid, signal.SIGSTOP)

    def thaw(self) -> None:
        """Let it go on."""
        assert self.process is not None
        os.kill(self.process.pid, signal.SIGCONT)


@contextmanager
def running(folder: Path, job: Path | None = None) -> Iterator[Running]:
    """A server of its own for as long as it is needed."""
    with socket.create_server(("127.0.0.1", 0)) as ear:
        port = ear.getsockname()[1]
    server = Running(folder, job, port)
    server.start()
    try:
        yield server
    finally:
        if server.process is not None and server.process.poll() is None:
            server.thaw()
            server.kill()
