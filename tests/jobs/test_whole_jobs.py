"""Whole jobs from the first file to the pack: the invented examples, an irregular flight in inches, hostile words.

What a pack is read with here is not what wrote it: an HTML parser, an XML parser, openpyxl for the workbook, PDFium
for the PDF, trimesh for the GLB.
"""

import csv
import io
import json
import re
import tomllib
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import openpyxl
import pypdfium2
import pytest
import trimesh
from ezdxf.filemanagement import read as read_dxf
from tests.command import FAILING, LIMBER

from pitchline.app.cli import main

JOBS = ("example-mm", "example-in", "irregular-in")
LINE_ENDS = re.compile("[\r\n]")


def ends_with(*arguments: str) -> int:
    """The exit code of a run of the command line in this process."""
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert isinstance(ended.value.code, int)
    return ended.value.code


def start(name: str, folder: Path) -> Path:
    """A job begun with the program itself, or the invented flight in inches."""
    job = folder / f"{name}.toml"
    if name.startswith("example-"):
        assert ends_with("new", str(job), "--example", name.removeprefix("example-")) == 0
    else:
        job.write_bytes(FAILING.read_bytes())
    return job


class Pack:
    """A built pack, its job, and how check and build ended."""

    def __init__(self, name: str, folder: Path) -> None:
        self.job = start(name, folder)
        self.folder = folder / "pack"
        self.checked = ends_with("check", str(self.job))
        self.built = ends_with("build", str(self.job), "-o", str(self.folder))

    def files(self) -> dict[str, bytes]:
        """Every file by its name inside the pack."""
        return {
            path.relative_to(self.folder).as_posix(): path.read_bytes()
            for path in sorted(self.folder.rglob("*"))
            if path.is_file()
        }

    def result(self) -> dict[str, Any]:
        """The result document."""
        found: dict[str, Any] = json.loads((self.folder / "result.json").read_text("utf-8"))
        return found


@pytest.fixture(scope="module", params=JOBS)
def pack(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Pack:
    return Pack(request.param, tmp_path_factory.mktemp(request.param))


class Seen(HTMLParser):
    """What a browser would see of the front page: elements, links, and the words between them."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.words: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    @property
    def links(self) -> set[str]:
        return {value for name, value in self.attributes if name in {"href", "src"}}


def front_page(files: dict[str, bytes]) -> Seen:
    return Seen(files["index.html"].decode("utf-8"))


def test_check_and_build_end_alike(pack: Pack) -> None:
    assert pack.built == pack.checked
    assert pack.built in {0, 1}


def test_the_front_page_lists_what_is_there_and_no_more(pack: Pack) -> None:
    files = pack.files()
    assert front_page(files).links == files.keys() - {"index.html", "pack.json"}
    assert set(json.loads(files["pack.json"])["files"]) == files.keys() - {"pack.json"}
    assert all(files.values())


def test_the_pack_holds_what_the_designs_need(pack: Pack) -> None:
    names = pack.files().keys()
    for design in pack.result()["designs"]:
        name = design["id"]
        assert f"{name}.glb" in names
        for drawing in ("elevation", "plan"):
            assert {f"drawings/{name}-{drawing}.{kind}" for kind in ("svg", "dxf")} <= names
        for listing in ("cut-list", "end-angles", "heights", "openings"):
            assert f"lists/{name}-{listing}.csv" in names
    assert {
        "drawings.pdf",
        "lists.pdf",
        "full-size-angles.pdf",
        "lists.xlsx",
        "findings.txt",
        "job.toml",
    } <= names


def test_the_job_in_the_pack_is_the_job(pack: Pack) -> None:
    assert pack.files()["job.toml"] == pack.job.read_bytes()


def test_building_again_gives_the_same_bytes_of_every_file(pack: Pack, tmp_path: Path) -> None:
    before = pack.files()
    again = tmp_path / "again"
    assert ends_with("build", str(pack.job), "-o", str(again)) == pack.built
    after = {
        path.relative_to(again).as_posix(): path.read_bytes() for path in again.rglob("*") if path.is_file()
    }
    assert after.keys() == before.keys()
    assert [name for name in before if before[name] != after[name]] == []


@pytest.mark.parametrize("pack", ["irregular-in"], indirect=True)
def test_building_over_a_pack_replaces_it(pack: Pack) -> None:
    stray = pack.folder / "drawings" / "left-over.svg"
    stray.write_text("an earlier design")
    before = pack.files()
    assert ends_with("build", str(pack.job), "-o", str(pack.folder)) == pack.built
    assert pack.files().keys() == before.keys() - {"drawings/left-over.svg"}
    assert not list(pack.folder.parent.glob(".*"))


def test_the_nosings_lie_where_the_tape_says(pack: Pack) -> None:
    """A class II tape used into a corner errs by some 1 mm; a rise of two ends thus by 3 mm at the most."""
    raw = tomllib.loads(pack.job.read_text("utf-8"))
    per_unit = 25.4 if raw["job"]["units"] == "in" else 1.0
    for stair, flight in zip(pack.result()["stairs"], raw["flights"], strict=True):
        for found, read in zip(stair["rises"], flight["rises"]["values"], strict=True):
            assert found == pytest.approx(length_in(read, per_unit), abs=3.0)
        for found, read in zip(stair["goings"], flight["goings"]["values"], strict=True):
            assert found == pytest.approx(length_in(read, per_unit), abs=3.0)


def length_in(read: str | float, per_unit: float) -> float:
    """A length of the invented jobs in mm: a plain number, or inches with a fraction."""
    if not isinstance(read, str):
        return read * per_unit
    whole, _, part = read.removesuffix(" in").partition(" ")
    over, _, under = part.partition("/")
    return 25.4 * (float(whole) + (float(over) / float(under) if under else 0.0))


def test_pieces_of_the_lists_are_pieces_of_the_model(pack: Pack) -> None:
    files = pack.files()
    for design in pack.result()["designs"]:
        rows = list(csv.reader(io.StringIO(files[f"lists/{design['id']}-cut-list.csv"].decode("utf-8-sig"))))
        listed = {row[0]: int(row[1]) for row in rows[1:]}
        assert listed == {part["mark"]: part["quantity"] for part in design["parts"]}
        scene = trimesh.load_scene(io.BytesIO(files[f"{design['id']}.glb"]), file_type="glb")
        places = {place for part in design["parts"] for place in part["places"]}
        assert places <= set(scene.graph.nodes)


def test_the_drawings_open_in_other_programs(pack: Pack) -> None:
    for name, content in pack.files().items():
        if name.endswith(".svg"):
            assert ET.fromstring(content).tag == "{http://www.w3.org/2000/svg}svg"
        elif name.endswith(".dxf"):
            document = read_dxf(io.StringIO(content.decode("utf-8")))
            assert not document.audit().errors
        elif name.endswith(".pdf"):
            with pypdfium2.PdfDocument(content) as document:
                assert len(document) >= 1


TITLE = '<script>alert(1)</script> & "q" \'a\' #eval("1") $x$ *b* {{7*7}} \\n ]]> <!-- %s'
FORMULA = '=HYPERLINK("http://x","y")'
HOSTILE = {
    'title = "Invented loft stair: first balustrade"': f"title = {json.dumps(TITLE)}",
    'title = "Ash rails, square uprights"': f"title = {json.dumps('</title><img src=x onerror=alert(1)> @import #')}",
    'drawn_by = "An invented workshop"': f"drawn_by = {json.dumps(FORMULA)}",
    'kind = "pitch", from = "N2"': f'kind = "pitch", id = {json.dumps(FORMULA)}, from = "N2"',
    'setup = "plumb line", to = "N5"': 'setup = "plumb line", id = "+1+cmd|\' /C calc\'!A0", to = "N5"',
}


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """The pack of a job whose every free text tries to be something else."""
    folder = tmp_path_factory.mktemp("hostile")
    text = LIMBER.read_text("utf-8")
    for old, new in HOSTILE.items():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    job = folder / "job.toml"
    job.write_text(text, encoding="utf-8")
    assert ends_with("build", str(job), "-o", str(folder / "pack")) == 1
    pack_folder = folder / "pack"
    return {
        p.relative_to(pack_folder).as_posix(): p.read_bytes() for p in pack_folder.rglob("*") if p.is_file()
    }


def test_hostile_words_are_words_on_the_front_page(hostile: dict[str, bytes]) -> None:
    seen = front_page(hostile)
    assert "script" not in seen.tags
    assert all(not name.startswith("on") for name, _ in seen.attributes)
    assert seen.links <= hostile.keys()
    assert TITLE in seen.words
    assert any("</title><img src=x onerror=alert(1)>" in words for words in seen.words)
    assert all(value.startswith("drawings/") for name, value in seen.attributes if name == "src")


def test_hostile_words_are_words_in_pictures(hostile: dict[str, bytes]) -> None:
    for name, content in hostile.items():
        if name.endswith(".svg"):
            tags = {element.tag.rpartition("}")[2] for element in ET.fromstring(content).iter()}
            assert tags <= {
                "svg",
                "title",
                "desc",
                "g",
                "path",
                "line",
                "polyline",
                "polygon",
                "circle",
                "rect",
            } | {
                "defs",
                "use",
                "text",
                "tspan",
                "style",
                "clipPath",
                "ellipse",
            }, name


def test_no_word_is_a_formula_in_lists(hostile: dict[str, bytes]) -> None:
    cells = [cell for name, content in hostile.items() if name.endswith(".csv") for cell in cells_of(content)]
    assert f"'{FORMULA}" in cells
    number = re.compile(r"[+-]?[0-9][0-9 /\".°]*")
    assert [
        cell for cell in cells if cell.startswith(("=", "+", "-", "@")) and not number.fullmatch(cell)
    ] == []


def cells_of(content: bytes) -> Iterator[str]:
    for row in csv.reader(io.StringIO(content.decode("utf-8-sig"))):
        yield from row


def test_no_word_is_a_formula_or_a_link_in_the_workbook(hostile: dict[str, bytes]) -> None:
    book = openpyxl.load_workbook(io.BytesIO(hostile["lists.xlsx"]))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert {cell.data_type for cell in cells} <= {"s", "n"}
    assert all(cell.hyperlink is None for cell in cells)
    assert FORMULA in {cell.value for cell in cells}


def test_hostile_words_are_printed_as_they_are(hostile: dict[str, bytes]) -> None:
    for name in ("drawings.pdf", "lists.pdf", "full-size-angles.pdf"):
        content = hostile[name]
        assert b"/JavaScript" not in content
        assert b"/URI" not in content
        assert b"/Launch" not in content
    with pypdfium2.PdfDocument(hostile["drawings.pdf"]) as document:
        words = "".join(LINE_ENDS.sub(" ", page.get_textpage().get_text_range()) for page in document)
    joined = words.replace(" ", "").replace("\ufffe", "")
    assert TITLE.replace(" ", "") in joined
    assert FORMULA.replace(" ", "") in joined


def test_hostile_words_come_back_whole_as_data(hostile: dict[str, bytes]) -> None:
    document = json.loads(hostile["result.json"])
    assert document["job"]["title"] == TITLE
    assert hostile["findings.txt"].decode("utf-8").splitlines()[0] == TITLE
    assert trimesh.load_scene(io.BytesIO(hostile["A.glb"]), file_type="glb").geometry


def test_file_names_are_plain(hostile: dict[str, bytes]) -> None:
    assert all(
        re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]*(/[A-Za-z0-9][A-Za-z0-9._-]*)*", name) for name in hostile
    )


@pytest.mark.parametrize("name", ["../A", "a/b", "A\\\\B", "<b>", "A\\u0007", "", ".", "A\\nB", "é"])
def test_names_that_are_no_names_are_refused(name: str, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(LIMBER.read_text("utf-8").replace('id = "A"', f'id = "{name}"'), encoding="utf-8")
    assert ends_with("build", str(job), "-o", str(tmp_path / "pack")) == 2
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]


@pytest.mark.parametrize("names", [("A b", "A-b"), ("A", "a"), ("con", "lists")])
def test_designs_whose_names_look_alike_do_not_overwrite_each_other(
    names: tuple[str, str], tmp_path: Path
) -> None:
    """Either both designs are in the pack under names of their own, on any file system, or the job is refused."""
    text = LIMBER.read_text("utf-8")
    head, design = text[: text.index("[[designs]]")], text[text.index("[[designs]]") :]
    job = tmp_path / "job.toml"
    both = "\n".join(design.replace('id = "A"', f'id = "{name}"') for name in names)
    job.write_text(head + both, encoding="utf-8")
    code = ends_with("build", str(job), "-o", str(tmp_path / "pack"))
    if code == 2:
        return
    models = [path.name.lower() for path in (tmp_path / "pack").glob("*.glb")]
    assert len(set(models)) == 2
    assert not {Path(name).stem for name in models} & {"con", "prn", "aux", "nul"}
