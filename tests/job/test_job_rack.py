"""The rack file: read strictly, updated in one step, by several at once and whatever kills the writer."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from pitchline.job.rack import load_rack, rack_of
from pitchline.job.rack_update import RackChangedError, carry_out, locked
from pitchline.kit.cutting.need import BarStock, SheetStock
from pitchline.kit.errors import InputError, OutputError
from pitchline.stock.rack import RackBar, RackSheet
from pitchline.stock.taking import Taking

TEXT = """\
# The shop's rack (invented)
schema = "pitchline-rack/1"
units = "mm"
currency = "GBP"
kerf = 2.8
trim = 10

[[sheets]]  # the good ply
id = "ply 18"
material = "birch-plywood"
length = 2440
width = 1220
thickness = 17.7
nominal = 18
price = 62.0

[[bars]]
id = "short oak"
material = "oak-european"
length = 1330
width = 41
thickness = 41
price = 0.5
count = 200
offcut = true
"""


def taking(plan: str, number: int, rests: int = 0) -> Taking:
    stock = BarStock("short oak rest", 412.37, 41.0, 41.0, 0.15, 1, True, "oak-european")
    return Taking(plan, {}, {"short oak": number}, (), (RackBar(stock),) * rests)


def written(folder: Path, text: str = TEXT) -> Path:
    path = folder / "rack.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_rack_is_read_with_its_saw_and_sizes(tmp_path: Path) -> None:
    rack = load_rack(written(tmp_path))
    assert rack.saw.kerf == 2.8
    assert rack.sheets == (
        RackSheet(SheetStock("ply 18", 2440, 1220, 17.7, 62.0, None, False, "birch-plywood"), 18),
    )
    assert rack.bars[0].stock.count == 200
    assert rack.currency == "GBP"


def test_a_rack_in_inches() -> None:
    text = TEXT.replace('units = "mm"', 'units = "in"').replace("kerf = 2.8", "kerf = 0.125")
    text = text.replace("length = 1330", 'length = "52 3/8 in"').replace("trim = 10", "trim = 0.5")
    text = text.replace("= 41", "= 1.625").replace("2440", "96").replace("1220", "48").replace("17.7", "0.7")
    rack = rack_of(text.replace("nominal = 18", "nominal = 0.75"), "rack.toml")
    assert rack.bars[0].stock.length == pytest.approx(52.375 * 25.4)
    assert rack.saw.kerf == pytest.approx(3.175)
    assert rack.bars[0].stock.width == pytest.approx(1.625 * 25.4)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("price = 62.0", "pric = 62.0", "line 15, sheets[0].pric: this key is not known here"),
        ("price = 62.0", "price = -1", "line 15, sheets[0].price: a price of -1 money is out of reach"),
        ('id = "short oak"', 'id = ""', "line 18, bars[0].id: a name is empty"),
        ('schema = "pitchline-rack/1"', 'schema = "pitchline-rack/9"', "line 2, schema: this form of file"),
        ("count = 200", "count = 2.5", "line 24, bars[0].count: a number in stock must be a whole number"),
    ],
)
def test_faults_name_line_and_key(old: str, new: str, said: str) -> None:
    with pytest.raises(InputError) as told:
        rack_of(TEXT.replace(old, new), "rack.toml")
    assert said in str(told.value)


def test_stock_of_one_name_stands_once() -> None:
    with pytest.raises(InputError, match="this name is used twice"):
        rack_of(TEXT + TEXT[TEXT.index("[[bars]]") :], "rack.toml")


def test_carrying_out_a_plan_counts_down_and_adds_rests(tmp_path: Path) -> None:
    path = written(tmp_path)
    assert carry_out(path, taking("one", 3, rests=2), "stair")
    rack = load_rack(path)
    assert [bar.stock.id for bar in rack.bars] == ["short oak", "short oak rest 1", "short oak rest 2"]
    assert rack.bars[0].stock.count == 197
    assert rack.bars[1].stock.length == pytest.approx(412.3)  # rounded down to a tenth
    assert rack.bars[1].stock.offcut
    text = path.read_text(encoding="utf-8")
    assert "# The shop's rack (invented)" in text
    assert "# the good ply" in text


def test_a_plan_is_carried_out_once(tmp_path: Path) -> None:
    path = written(tmp_path)
    assert carry_out(path, taking("one", 3), "stair")
    once = path.read_bytes()
    assert not carry_out(path, taking("one", 3), "stair")
    assert path.read_bytes() == once


def test_sheets_that_are_not_counted_stay(tmp_path: Path) -> None:
    path = written(tmp_path)
    rest = RackSheet(SheetStock("ply 18 rest", 700.08, 410.0, 17.7, 1.1, 1, True, "birch-plywood"), 18.0)
    carry_out(path, Taking("one", {"ply 18": 2}, {}, (rest,), ()), "stair")
    sheets = load_rack(path).sheets
    assert sheets[0].stock.count is None
    assert (sheets[1].stock.length, sheets[1].stock.thickness, sheets[1].nominal) == (700.0, 17.7, 18.0)


def test_a_rack_of_inline_tables_is_added_to_in_its_own_way(tmp_path: Path) -> None:
    text = TEXT[: TEXT.index("[[bars]]")].replace("[[sheets]]  # the good ply", "[[sheets]]")
    head, sheets = text.split("[[sheets]]")
    bar = 'bars = [{id = "short oak", length = 1330, width = 41, thickness = 41, price = 0.5, count = 5}]\n'
    path = written(tmp_path, head + bar + "[[sheets]]" + sheets)
    carry_out(path, taking("one", 3, rests=1), "stair")
    assert [bar.stock.count for bar in load_rack(path).bars] == [2, 1]


def test_what_another_job_took_is_told_and_nothing_is_changed(tmp_path: Path) -> None:
    path = written(tmp_path)
    before = path.read_bytes()
    with pytest.raises(RackChangedError, match="the plan takes 201 of short oak and 200 are there"):
        carry_out(path, taking("one", 201), "stair")
    assert path.read_bytes() == before


def test_a_writer_that_never_ends_is_not_waited_for_for_ever(tmp_path: Path) -> None:
    path = written(tmp_path)
    with locked(path), pytest.raises(OutputError, match="another job"):
        carry_out(path, taking("one", 1), "stair", patience=0.1)


TAKE_MANY = """
import sys
from pathlib import Path
from pitchline.job.rack_update import carry_out
from pitchline.stock.taking import Taking
path, name, number = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
for turn in range(number):
    carry_out(path, Taking(f"{name} {turn}", {}, {"short oak": 1}, (), ()), name)
"""


def writer(path: Path, name: str, number: int) -> "subprocess.Popen[bytes]":
    return subprocess.Popen([sys.executable, "-c", TAKE_MANY, str(path), name, str(number)])


def test_two_jobs_at_once_lose_nothing(tmp_path: Path) -> None:
    path = written(tmp_path)
    writers = [writer(path, name, 12) for name in ("stair", "landing")]
    assert [one.wait(timeout=60) for one in writers] == [0, 0]
    assert load_rack(path).bars[0].stock.count == 200 - 24


def taken(path: Path) -> int:
    return path.read_text(encoding="utf-8").count("[[taken]]")


def test_a_writer_killed_at_any_point_leaves_a_whole_rack(tmp_path: Path) -> None:
    """Killed while it is at it, ever later; the plans named in the file are exactly those that were counted."""
    path = written(tmp_path)
    for turn in range(6):
        before = taken(path)
        one = writer(path, f"job {turn}", 1000)
        end = time.monotonic() + 30.0
        while taken(path) == before and time.monotonic() < end:
            time.sleep(0.005)
        time.sleep(0.011 * turn)
        os.kill(one.pid, signal.SIGKILL)
        one.wait(timeout=30)
        done = taken(path)
        assert done > before
        assert load_rack(path).bars[0].stock.count == 200 - done
    assert carry_out(path, taking("last", 1), "stair")
    assert not list(tmp_path.glob("*.part")) and not list(tmp_path.glob(".*.part"))
