"""An invented drawing that uses every mark, for the writers' tests."""

from pitchline.kit.drawing.marks import (
    Anchor,
    AngleMark,
    ArcMark,
    Area,
    Dimension,
    Disc,
    Drawing,
    Fill,
    Hatch,
    HeightMark,
    Label,
    Leader,
    Mark,
    Pen,
    Points,
    RunningMarks,
    Stroke,
)

HOSTILE = (
    "<script>alert(1)</script>",
    "&amp; & \"quoted\" 'single'",
    '#import "@preview/x"; #panic()',
    "$x^2$ _a_ *b* `c` @d <e>",
    "%%d %%c %%p %%u %%%",
    r"\P \L{\C1;red} \S1/2; \U+0041 \M+1 \\",
    "=1+1",
    "] } ) // /* <>",
    "^I ^J ^",
    "spindle 😀 θ ∠ שלום",
)
"""Texts that a careless writer of XML, of a typesetter's markup or of CAD codes would take for orders."""


def rectangle(left: float, bottom: float, right: float, top: float) -> Points:
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def every_mark(scale: float = 20.0) -> Drawing:
    post = rectangle(0.0, 0.0, 90.0, 1200.0)
    block = rectangle(2600.0, 0.0, 2900.0, 400.0)
    hole = rectangle(2700.0, 100.0, 2800.0, 300.0)
    places = tuple((x, 0.0) for x in (90.0, 500.0, 560.0, 900.0, 2200.0))
    marks: tuple[Mark, ...] = (
        *(Stroke(((0.0, -40.0 * i), (4160.0, -40.0 * i)), pen) for i, pen in enumerate(Pen)),
        *(Area(rectangle(300.0 * i, 1500.0, 300.0 * i + 200.0, 1600.0), fill) for i, fill in enumerate(Fill)),
        Area(post, Fill.WOOD, pen=Pen.OUTLINE),
        Area(block, Fill.END_GRAIN, (hole,), Pen.CUT),
        Hatch(block, 45.0, 1.2, holes=(hole,)),
        ArcMark((1500.0, 800.0), 300.0, 20.0, 250.0),
        Disc((2200.0, 900.0), 49.5, Pen.ACCENT, Fill.WARNING),
        Label((3000.0, 1000.0), "section A-A\nnext line", 3.5, Anchor.MIDDLE),
        Dimension((0.0, 0.0), (0.0, 1200.0), 9.0, "1200", 90.0),
        Dimension((0.0, 1200.0), (90.0, 1200.0), 6.0, "90", 0.0),
        Dimension((300.0, 300.0), (1200.0, 900.0), 8.0, "1081.7"),
        RunningMarks((0.0, 0.0), places, 0.0, -24.0, tuple(f"{x:.0f}" for x, _ in places)),
        AngleMark((1000.0, 200.0), 0.0, 39.5, 14.0, "39.5°", arms=True),
        Leader((45.0, 800.0), (500.0, 1300.0), "newel 90 x 90"),
        Leader((2200.0, 900.0), (2500.0, 1300.0), "ball does not pass", dot=True, pen=Pen.ACCENT),
        HeightMark((3600.0, 0.0), "+0.000"),
    )
    return Drawing("every-mark", "Every mark, invented", scale, marks, "from the walking side")


def hostile_drawing() -> Drawing:
    labels = tuple(Label((0.0, 100.0 * i), text) for i, text in enumerate(HOSTILE))
    dimensions = tuple(
        Dimension((0.0, -200.0 * i), (1e4, -200.0 * i), 0.0, text) for i, text in enumerate(HOSTILE)
    )
    return Drawing('a "<b>"/../é', "Title <&> 'x'", 10.0, (*labels, *dimensions))
