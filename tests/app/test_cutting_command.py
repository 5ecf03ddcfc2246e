"""`pitchline cut` from outside: exit codes, what stands on which stream, the document, interruptions."""

import json
import math
import os
import signal
import subprocess
import time
from collections import Counter
from pathlib import Path

import pytest
from tests.command import PROGRAM, environment, run

HEAD = 'kerf = "1/8 in"\ntrim = "1/2 in"\nunits = "in"\ncurrency = "USD"\n'
BARS = """
[[bars]]
id = "8 ft"
length = "8 ft"
width = "1 5/8 in"
thickness = "1 5/8 in"
price = 18.5
"""
PARTS = """
[[parts]]
id = "baluster"
length = "34 5/16 in"
width = "1 5/8 in"
thickness = "1 5/8 in"
quantity = 8
ends = [{mitre_deg = 41.2}, {mitre_deg = 41.2}]
[[parts]]
id = "post block"
length = 10
width = "1 5/8 in"
thickness = "1 5/8 in"
quantity = 3
"""


def written(folder: Path, text: str, name: str = "list.toml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_a_list_in_inches_is_planned_and_told(tmp_path: Path) -> None:
    done = run("cut", written(tmp_path, HEAD + BARS + PARTS), "--seconds", "1")
    assert done.returncode == 0
    assert done.stderr == ""
    assert done.stdout.startswith("Cost 74.00 USD; no plan can cost less.")
    assert 'baluster: 1/2" to 34 13/16"' in done.stdout


def test_the_document_can_be_checked_by_anyone(tmp_path: Path) -> None:
    """Pieces of a bar in order, no two closer than a kerf along either edge, counts right, cost that of the stock."""
    path = written(tmp_path, HEAD + BARS + PARTS)
    done = run("cut", path, "--json", "--seconds", "1")
    assert done.returncode == 0
    plan = json.loads(done.stdout)
    assert plan["lower_bound"] <= plan["cost"] == 18.5 * len(plan["bars"])
    pieces = [piece for bar in plan["bars"] for piece in bar["pieces"]]
    assert Counter(piece["part"] for piece in pieces) == {"baluster": 8, "post block": 3}
    half, kerf = 1.625 * 25.4 / 2, 25.4 / 8
    for bar in plan["bars"]:
        assert bar["pieces"][0]["start"] >= 12.7 - 1e-6
        assert bar["pieces"][-1]["end"] <= 8 * 304.8 - 12.7 + 1e-6
        for before, after in zip(bar["pieces"], bar["pieces"][1:], strict=False):
            slopes = [
                math.tan(math.radians(end["mitre_deg"])) for end in (before["ends"][1], after["ends"][0])
            ]
            for edge in (-half, half):
                end = before["end"] - half * abs(slopes[0]) - edge * slopes[0]
                start = after["start"] + half * abs(slopes[1]) - edge * slopes[1]
                assert start - end >= kerf * math.hypot(1.0, max(map(abs, slopes))) - 1e-6


def test_the_same_list_gives_the_same_bytes(tmp_path: Path) -> None:
    path = written(tmp_path, HEAD + BARS + PARTS)
    plans = [json.loads(run("cut", path, "--json", "--seconds", "2").stdout) for _ in range(2)]
    late = [(plan.pop("seconds"), plan.pop("late"))[1] for plan in plans]
    assert plans[0] == plans[1] or any(late)  # on a busy machine the clock may have stepped in, and says so
    assert plans[0]["cost"] == plans[1]["cost"]


def test_stock_that_does_not_suffice_is_exit_1_and_a_sentence(tmp_path: Path) -> None:
    done = run("cut", written(tmp_path, HEAD + BARS.replace("18.5", "18.5\ncount = 1") + PARTS), "--json")
    assert done.returncode == 1
    plan = json.loads(done.stdout)
    assert sum(one["quantity"] for one in plan["unplaced"]) == 11 - len(plan["bars"][0]["pieces"])
    assert "Not cut" in done.stderr


def test_a_part_too_long_is_told_in_the_list_s_unit(tmp_path: Path) -> None:
    done = run(
        "cut", written(tmp_path, HEAD + BARS + PARTS.replace("34 5/16 in", "100 in")), "--seconds", "0.5"
    )
    assert done.returncode == 1
    assert '5" are lacking' in done.stderr


def test_a_part_of_no_stock_is_told_with_what_there_is(tmp_path: Path) -> None:
    parts = PARTS.replace('width = "1 5/8 in"', 'width = "2 in"', 1)
    done = run("cut", written(tmp_path, HEAD + BARS + parts), "--seconds", "0.5")
    assert done.returncode == 1
    assert 'no bar has that section, no sheet that thickness; there is 1 5/8" x 1 5/8"' in done.stderr


def test_a_list_without_a_kerf_says_so(tmp_path: Path) -> None:
    done = run(
        "cut", written(tmp_path, HEAD.replace('kerf = "1/8 in"', "") + BARS + PARTS), "--seconds", "0.5"
    )
    assert done.returncode == 0
    assert "No kerf is given" in done.stderr


def test_an_unusable_list_is_exit_2(tmp_path: Path) -> None:
    assert run("cut", written(tmp_path, "kerf = ")).returncode == 2
    assert run("cut", tmp_path / "nowhere.toml").returncode == 2
    done = run("cut", written(tmp_path, '{"parts": 3}', "list.json"))
    assert done.returncode == 2
    assert "a number stands where a list belongs" in done.stderr


def test_the_schema_of_a_need_is_printed() -> None:
    done = run("schema", "need")
    assert done.returncode == 0
    assert json.loads(done.stdout)["title"] == "pitchline need"


@pytest.mark.slow
def test_an_interrupt_prints_the_best_plan_so_far(tmp_path: Path) -> None:
    """Many unlike lengths keep the search busy; Ctrl-C ends it within two seconds with a plan that can be cut."""
    parts = "".join(
        f'[[parts]]\nid = "p{i}"\nlength = {13.3 + (i * 7.37) % 31:.3f}\nwidth = "1 5/8 in"\n'
        'thickness = "1 5/8 in"\nquantity = 2\n'
        f"ends = [{{mitre_deg = {(i * 11) % 45}}}, {{mitre_deg = {-(i * 17) % 45}}}]\n"
        for i in range(40)
    )
    bars = BARS + BARS.replace("8 ft", "10 ft").replace("18.5", "22.9")
    path = written(tmp_path, HEAD + bars + parts)
    child = subprocess.Popen(
        [*PROGRAM, "cut", str(path), "--json", "--seconds", "60"],
        env=environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
    )
    time.sleep(4.0)
    begin = time.monotonic()
    os.kill(child.pid, signal.SIGINT)
    out, err = child.communicate(timeout=20)
    assert time.monotonic() - begin < 3.0
    plan = json.loads(out)
    assert plan["stopped"] or plan["gap"] == 0.0
    assert plan["unplaced"] == []
    if plan["stopped"]:
        assert "Stopped by you" in err


def test_strips_from_the_merchant_are_cut_to_length_at_home(tmp_path: Path) -> None:
    """Strips of 100 and 150 ripped from one sheet with a kerf of 4, cut at home with 2: four strips, a kerf apart."""
    need = {
        "kerf": 4,
        "trim": 0,
        "merchant": {"home_kerf": 2},
        "sheets": [{"id": "S", "length": 1000, "width": 520, "thickness": 18, "price": 30}],
        "parts": [
            {"id": "a", "length": 332, "width": 100, "thickness": 18, "quantity": 6, "grain": "length"},
            {"id": "b", "length": 499, "width": 150, "thickness": 18, "quantity": 4, "grain": "length"},
        ],
    }
    done = run("cut", written(tmp_path, json.dumps(need), "list.json"), "--json", "--seconds", "1")
    assert done.returncode == 0, done.stderr
    plan = json.loads(done.stdout)
    assert len(plan["sheets"]) == 1
    (asked,) = plan["merchant"]
    assert sorted(asked["widths"]) == [100.0, 100.0, 150.0, 150.0]
    far = [sum(asked["widths"][: n + 1]) + 4.0 * n for n in range(4)]
    assert asked["marks"] == pytest.approx(far)
    assert asked["rest"] == pytest.approx(520.0 - far[-1] - 4.0)
