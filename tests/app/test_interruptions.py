"""What stops a run half-way leaves nothing half written: signals, closed pipes, full disks."""

import errno
import io
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.command import PROGRAM, SOUND, environment, run

from pitchline.app import commands
from pitchline.app.cli import main


def waits_for(happens: Callable[[], bool], seconds: float = 20.0) -> bool:
    """Whether something happens in time."""
    end = time.monotonic() + seconds
    while not happens():
        if time.monotonic() > end:
            return False
        time.sleep(0.005)
    return True


def test_stopping_a_build_leaves_nothing(tmp_path: Path) -> None:
    arguments = [*PROGRAM, "build", str(SOUND), "-o", str(tmp_path / "pack")]
    with subprocess.Popen(arguments, env=environment(), stderr=subprocess.PIPE, text=True) as process:
        begun = waits_for(lambda: any(tmp_path.iterdir()) or process.poll() is not None)
        assert begun
        process.send_signal(signal.SIGINT)
        _, told = process.communicate(timeout=20)
    assert process.returncode == 130
    assert told.strip() == "Stopped; nothing half written is left."
    assert list(tmp_path.iterdir()) == []


def test_stopping_a_build_keeps_the_pack_before(tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    pack.mkdir()
    (pack / "pack.json").write_text("{}")
    arguments = [*PROGRAM, "build", str(SOUND), "-o", str(pack)]
    with subprocess.Popen(arguments, env=environment(), stderr=subprocess.PIPE, text=True) as process:
        assert waits_for(lambda: len(list(tmp_path.iterdir())) > 1 or process.poll() is not None)
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=20)
    assert process.returncode == 130
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]
    assert [path.name for path in pack.iterdir()] == ["pack.json"]


@pytest.mark.parametrize("arguments", [["rules", "england-dwelling"], ["check", str(SOUND), "--all"]])
def test_a_reader_that_goes_away(arguments: list[str]) -> None:
    """As ``| head -1`` does: the reader closes the pipe before the program has written."""
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = subprocess.run(
            [*PROGRAM, *arguments],
            env=environment(),
            stdout=writing,
            stderr=subprocess.PIPE,
            text=True,
            timeout=60,
            check=False,
        )
    finally:
        os.close(writing)
    assert done.returncode != 0
    assert "Traceback" not in done.stderr
    assert "Exception ignored" not in done.stderr
    assert len(done.stderr.splitlines()) <= 1


class FullStream(io.StringIO):
    """A stream whose disk is full."""

    def write(self, text: str) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")


@pytest.mark.parametrize("arguments", [["rules"], ["solve", str(SOUND), "--json"]])
def test_standard_output_on_a_full_disk(
    arguments: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", FullStream())
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2
    told = capsys.readouterr().err
    assert told.startswith("The disk is full")
    assert len(told.splitlines()) == 1


def test_a_disk_that_fills_up_under_a_build(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    written = 0
    write_bytes = Path.write_bytes

    def fills_up(path: Path, content: bytes) -> int:
        nonlocal written
        written += 1
        if written > 5:
            raise OSError(errno.ENOSPC, "No space left on device", str(path))
        return write_bytes(path, content)

    monkeypatch.setattr(Path, "write_bytes", fills_up)
    with pytest.raises(SystemExit) as ended:
        main(["build", str(SOUND), "-o", str(tmp_path / "pack")])
    assert ended.value.code == 2
    assert written == 6
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("The disk is full while writing")
    assert list(tmp_path.iterdir()) == []


def test_a_disk_that_fills_up_under_a_new_job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(path: Path, target: Path) -> None:
        raise OSError(errno.ENOSPC, "No space left on device", str(path))

    monkeypatch.setattr(Path, "hardlink_to", full)
    with pytest.raises(OSError, match="No space"):
        commands._write_new(tmp_path / "stair.toml", b"content")
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_the_way_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "pack").write_text("mine")
    for target in (tmp_path / "pack", tmp_path / "pack" / "deeper"):
        done = run("build", SOUND, "-o", target)
        assert (done.returncode, done.stdout) == (2, "")
        assert len(done.stderr.splitlines()) == 1
    assert (tmp_path / "pack").read_text() == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]
