"""Where the app listens: this machine alone unless asked otherwise, on a free port, with a code on a network."""

import socket
from pathlib import Path

import pytest
from tests.app.web.desk import job_in
from tests.command import run

from pitchline.app.web import server
from pitchline.app.web.desk import Desk
from pitchline.app.web.server import listening, own_addresses
from pitchline.kit.errors import InputError, OutputError


def test_a_port_that_is_taken_is_told_or_passed_over() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        taken.listen()
        with pytest.raises(OutputError, match=f"Port {port} is taken"):
            listening(port, "127.0.0.1")
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(server, "USUAL_PORT", port)
            patch.setattr(server, "PORTS_TRIED", 20)
            with listening(None, "127.0.0.1") as ear:
                assert ear.getsockname()[1] > port


def test_own_addresses_are_not_the_machine_talking_to_itself() -> None:
    assert all(not address.startswith("127.") for address in own_addresses())


@pytest.mark.parametrize("lan", [False, True])
def test_the_code_is_told_on_a_network_and_nobody_else_gets_in_without(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], lan: bool
) -> None:
    seen: list[tuple[str, str | None, bool]] = []

    def noted(desk: Desk, ear: socket.socket) -> None:
        hosts = {host.partition(":")[0] for host in desk.keys.hosts}
        seen.append((ear.getsockname()[0], desk.keys.code, "127.0.0.1" in hosts))

    monkeypatch.setattr(server, "_run", noted)
    monkeypatch.setattr(server, "own_addresses", lambda: ["192.0.2.5"])
    assert server.serve(job_in(tmp_path), port=None, browser=False, lan=lan) == 0
    ((address, code, own),) = seen
    told = capsys.readouterr().err
    assert own
    if lan:
        assert address == "0.0.0.0"
        assert code is not None
        assert len(code) == 6
        assert f"{code[:3]} {code[3:]}" in told
        assert "192.0.2.5" in told
        assert "not encrypted" in told
    else:
        assert (address, code) == ("127.0.0.1", None)
        assert "192.0.2.5" not in told


def test_a_job_that_is_not_there_is_told_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        server.serve(tmp_path / "nothing.toml", port=None, browser=False, lan=False)
    done = run("serve", tmp_path / "nothing.toml", "--no-browser")
    assert done.returncode == 2
    assert "there is no such file" in done.stderr
    assert "Traceback" not in done.stderr
