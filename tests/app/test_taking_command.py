"""`pitchline take` from outside: stock goes, rests come, once; two jobs at once."""

import subprocess
from importlib.resources import files
from pathlib import Path

import pytest
from tests.command import PROGRAM, environment, run

from pitchline.job.new import starting_text
from pitchline.job.rack import load_rack
from pitchline.kit.units import Unit


def shop(folder: Path, unit: str = "mm", titles: tuple[str, ...] = ("stair",)) -> Path:
    """A folder with an invented rack and jobs that name it; the rack's path."""
    rack = folder / "rack.toml"
    rack.write_text(
        files("pitchline.job").joinpath("templates", f"rack-{unit}.toml").read_text("utf-8"), "utf-8"
    )
    text = starting_text(unit, Unit.MM)
    for title in titles:
        job = text.replace('title = "Invented', f'title = "{title}, invented').replace(
            "[job]\n", '[job]\nrack = "rack.toml"\n', 1
        )
        (folder / f"{title}.toml").write_text(job, encoding="utf-8")
    return rack


def take(folder: Path, title: str = "stair", *more: str) -> "subprocess.CompletedProcess[str]":
    return run("take", folder / f"{title}.toml", "--design", "A", "--seconds", "1", *more)


def counts(rack: Path) -> dict[str, int | None]:
    return {bar.stock.id: bar.stock.count for bar in load_rack(rack).bars}


@pytest.mark.slow
def test_stock_goes_and_rests_come_once(tmp_path: Path) -> None:
    rack = shop(tmp_path)
    done = take(tmp_path)
    assert done.returncode == 0, done.stderr
    assert "2 x oak 35 x 35 short end: taken off the rack" in done.stdout
    after = counts(rack)
    assert after["oak 35 x 35 short end"] == 0
    assert "oak 65 x 55, 4.2 m rest 1" in after
    text = rack.read_bytes()
    again = take(tmp_path)
    assert again.returncode == 0
    assert "was cut from this rack before" in again.stdout
    assert rack.read_bytes() == text
    more = take(tmp_path, "stair", "--again")
    assert more.returncode == 0
    assert rack.read_text("utf-8").count("[[taken]]") == 2


@pytest.mark.slow
def test_two_jobs_at_once_share_the_rack(tmp_path: Path) -> None:
    """Both want the two short ends; one gets them, the other plans anew or planned without them."""
    rack = shop(tmp_path, titles=("stair", "landing"))
    jobs = [
        subprocess.Popen(
            [*PROGRAM, "take", str(tmp_path / f"{title}.toml"), "--design", "A", "--seconds", "1"],
            env=environment(),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            encoding="utf-8",
        )
        for title in ("stair", "landing")
    ]
    told = [job.communicate(timeout=120) for job in jobs]
    assert [job.returncode for job in jobs] == [0, 0], told
    assert sum(out.count("short end: taken off the rack") for out, _ in told) == 1
    assert counts(rack)["oak 35 x 35 short end"] == 0
    assert rack.read_text("utf-8").count("[[taken]]") == 2


@pytest.mark.slow
def test_an_example_in_inches(tmp_path: Path) -> None:
    shop(tmp_path, "in")
    done = take(tmp_path)
    assert done.returncode == 0, done.stderr
    assert "USD" in done.stdout


def test_a_job_without_a_rack_is_told_what_to_write(tmp_path: Path) -> None:
    path = tmp_path / "stair.toml"
    path.write_text(starting_text("mm", Unit.MM), encoding="utf-8")
    done = run("take", path, "--design", "A")
    assert done.returncode == 2
    assert 'add rack = "rack.toml" to [job]' in done.stderr


def test_a_design_must_be_named_where_there_are_several(tmp_path: Path) -> None:
    shop(tmp_path)
    done = run("take", tmp_path / "stair.toml")
    assert done.returncode == 2
    assert "allowed: A or B; name it with --design" in done.stderr


def test_faults_of_the_rack_are_told_with_the_job(tmp_path: Path) -> None:
    rack = shop(tmp_path)
    rack.write_text(rack.read_text("utf-8").replace("kerf = 3.2", "kerf = -3.2"), encoding="utf-8")
    done = run("check", tmp_path / "stair.toml")
    assert done.returncode == 2
    assert "in rack.toml, line 8, kerf: a kerf of -3.2 mm is out of reach" in done.stderr
