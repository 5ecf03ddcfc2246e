import io
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from ezdxf import recover
from ezdxf.entities.text import Text
from ezdxf.tools.text import plain_mtext
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.sample_drawing import HOSTILE, every_mark, hostile_drawing

from pitchline.kit.drawing.dxf import LAYERS, dxf_formatted, dxf_text, write_dxf
from pitchline.kit.drawing.lettering import clean_text
from pitchline.kit.drawing.marks import Dimension, Drawing, Label, Pen, Stroke
from pitchline.kit.errors import OutputError

LINE_WEIGHTS = {13, 18, 25, 35, 50, 70}
"""Hundredths of mm; the DXF reference admits these among others."""


@pytest.fixture(scope="module")
def document() -> Any:
    return read(write_dxf(every_mark()))


def read(data: bytes) -> Any:
    document, auditor = recover.read(io.BytesIO(data))
    assert not auditor.errors
    assert not auditor.fixes
    return document


def plain(text: str) -> str:
    return text.replace("\u200b", "")


def test_it_audits_without_errors_or_repairs(document: Any) -> None:
    auditor = document.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])


def test_model_space_is_in_millimetres_of_the_real_thing(document: Any) -> None:
    assert document.header["$INSUNITS"] == 4
    lines = [line for line in document.modelspace().query("LWPOLYLINE") if line.dxf.layer == LAYERS[Pen.CUT]]
    long = max(lines, key=lambda line: max(x for x, *_ in line) - min(x for x, *_ in line))
    assert max(x for x, *_ in long) - min(x for x, *_ in long) == pytest.approx(4160.0)


def test_every_pen_has_a_layer_with_its_weight_and_line_type(document: Any) -> None:
    assert set(LAYERS) == set(Pen)
    for pen, name in LAYERS.items():
        layer = document.layers.get(name)
        assert layer.dxf.lineweight == round(100 * pen.weight_mm)
        assert layer.dxf.lineweight in LINE_WEIGHTS
        assert (layer.dxf.linetype != "Continuous") == bool(pen.dashes_mm)
        assert document.modelspace().query(f'*[layer=="{name}"]'), f"something lies on {name}"


def test_line_types_have_paper_size(document: Any) -> None:
    assert document.header["$LTSCALE"] == 20.0
    assert {"Dashed edge", "Chain line"} <= {line_type.dxf.name for line_type in document.linetypes}


def test_dimensions_are_dimension_entities_with_their_picture(document: Any) -> None:
    dimensions = document.modelspace().query("DIMENSION")
    assert len(dimensions) == 4
    for dimension in dimensions:
        block = document.blocks.get(dimension.dxf.geometry)
        assert len(block.query("SOLID")) == 2, "two arrowheads"
        assert len(block.query("TEXT")) == 1
    measured = sorted(round(one.get_measurement(), 1) for one in dimensions)
    # 1081.7 = hypot(900, 600)
    assert measured == [39.5, 90.0, 1081.7, 1200.0]


def test_dimension_style_is_in_model_sizes_with_dimscale_one(document: Any) -> None:
    style = document.dimstyles.get("Workshop")
    assert style.dxf.dimscale == 1.0
    assert style.dxf.dimtxt == pytest.approx(2.5 * 20.0)
    assert style.dxf.dimasz == pytest.approx(2.5 * 20.0)
    assert chr(style.dxf.dimdsep) == "."


def test_a_dimension_line_passes_where_its_picture_has_it() -> None:
    drawing = Drawing("d", "t", 10.0, (Dimension((0.0, 0.0), (500.0, 100.0), 7.0, "500", 0.0),))
    (dimension,) = read(write_dxf(drawing)).modelspace().query("DIMENSION")
    assert dimension.dxf.defpoint.y == pytest.approx(100.0 + 70.0)
    assert dimension.dxf.actual_measurement == pytest.approx(500.0)


def test_letters_are_as_high_as_on_paper_times_the_scale(document: Any) -> None:
    heights = {text.dxf.height for text in document.modelspace().query("TEXT")}
    assert heights == {2.5 * 20.0, 3.5 * 20.0}
    assert document.styles.get("Drawing letters").dxf.font == "routed-gothic.ttf"


def test_hatches_and_tints_are_hatch_entities(document: Any) -> None:
    hatches = document.modelspace().query("HATCH")
    patterned = [hatch for hatch in hatches if not hatch.dxf.solid_fill]
    assert len(patterned) == 1
    line = patterned[0].pattern.lines[0]
    assert line.angle % 180.0 == pytest.approx(45.0)
    assert line.offset.magnitude == pytest.approx(1.2 * 20.0)
    assert len(patterned[0].paths) == 2


def test_hostile_texts_come_out_letter_by_letter() -> None:
    space = read(write_dxf(hostile_drawing())).modelspace()
    assert sorted(plain(text.plain_text()) for text in space.query("TEXT")) == sorted(HOSTILE)
    shown = [plain(str(plain_mtext(dimension.dxf.text))) for dimension in space.query("DIMENSION")]
    assert sorted(shown) == sorted(HOSTILE)


@given(st.text(max_size=40))
def test_any_text_survives_the_codes_of_the_format(text: str) -> None:
    entity = Text.new(dxfattribs={"text": dxf_text(text)})
    assert plain(entity.plain_text()) == plain(clean_text(text))


@settings(max_examples=25, deadline=None)
@given(st.text(alphabet="%^\\{}<>dPUM+0041 a;", max_size=14))
def test_any_text_of_control_codes_survives_a_whole_file(text: str) -> None:
    marks = (Label((0.0, 0.0), "x" + text), Stroke(((0.0, 0.0), (1.0, 1.0))))
    (entity,) = read(write_dxf(Drawing("d", "t", 1.0, marks))).modelspace().query("TEXT")
    assert plain(entity.plain_text()) == "x" + text


def test_a_dimension_text_never_becomes_the_measured_value_or_nothing() -> None:
    assert dxf_formatted("<>") != "<>"
    assert dxf_formatted(" ") != " "
    assert dxf_formatted("") != ""


def test_the_same_drawing_gives_the_same_bytes() -> None:
    assert write_dxf(every_mark()) == write_dxf(every_mark())


def test_the_library_is_left_as_it_was() -> None:
    library: Any = ezdxf
    before = library.options.write_fixed_meta_data_for_testing
    write_dxf(every_mark())
    assert library.options.write_fixed_meta_data_for_testing == before


def test_a_missing_font_is_an_output_error(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="install pitchline again"):
        write_dxf(every_mark(), tmp_path)
