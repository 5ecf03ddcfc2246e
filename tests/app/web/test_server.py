"""Where the app listens: this machine alone unless asked otherwise, on a free port, with a code on a network."""

import socket
from pathlib import Path

import pytest
from tests.app.web.desk import job_in
from tests.command import run
from tests.web.running import running

from pitchline.app.web import server
from pitchline.app.web.desk import Desk
from pitchline.app.web.guard import Keys
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


def test_a_job_is_open_in_one_program_at_a_time(tmp_path: Path) -> None:
    job = job_in(tmp_path)
    with running(tmp_path, job) as first:
        done = run("serve", job, "--no-browser")
        assert done.returncode == 2
        assert "open in another pitchline already" in done.stderr
        first.kill()
        first.start()  # what was killed holds nothing any more


def test_another_job_on_the_bench_lets_go_of_the_first_and_of_its_sheets(tmp_path: Path) -> None:
    one, two = job_in(tmp_path), job_in(tmp_path, "in", name="porch.toml")
    desk, other = (Desk(tmp_path, Keys(frozenset())) for _ in range(2))
    desk.open(one)
    desk.kept["drawing"] = (0, "of the first")
    work = desk.works.start("strength", 0, {"text": one.read_text("utf-8"), "path": str(one)})
    with pytest.raises(InputError, match="another pitchline"):
        other.open(one)
    desk.open(two)
    assert desk.job.path == two
    assert desk.kept == {}
    assert desk.works.all() == []
    assert work.stand == "stopped"
    other.open(one)
    assert other.job.path == one
    desk.close()
    other.close()


def test_a_job_that_cannot_be_read_leaves_the_bench_as_it_is(tmp_path: Path) -> None:
    one, two = job_in(tmp_path), tmp_path / "binary.toml"
    two.write_bytes(b"\x00\x01")
    desk = Desk(tmp_path, Keys(frozenset()))
    desk.open(one)
    with pytest.raises(InputError):
        desk.open(two)
    assert desk.job.path == one
    desk.close()
    assert desk.bench is None
