"""Jobs of several legs: what stands on what, edges, and one design along them."""

import math
from pathlib import Path

import pytest

from pitchline.design.brief import (
    AtTurn,
    BaseSeat,
    ExistingNewel,
    Follow,
    FreeEnd,
    HalfNewel,
    Mitred,
    NewNewel,
    PanelKind,
    PanelsBrief,
    Spread,
    StrandKind,
    StrandsBrief,
    TreadPlace,
    TurnNewel,
    TurnStanding,
)
from pitchline.design.makings import (
    BarFixing,
    BetweenPosts,
    BoredMetal,
    Clamped,
    Dowelled,
    Grooved,
    HeadMaking,
    Making,
    Mortised,
    OnTreads,
    TreadFoot,
)
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.job.value import DATUM, Job
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit
from pitchline.stair.build import build_flight, stacked_flights
from pitchline.stair.edge import Spot
from pitchline.stair.facts import Support
from pitchline.stair.model import LegKind, Seat, Side
from pitchline.story import solve
from pitchline.survey.adjust import adjust
from pitchline.survey.readings import Fixed, Kind

QUARTER = starting_text("quarter-turn", Unit.MM)
PLAIN = starting_text("mm", Unit.MM)


@pytest.fixture(scope="module")
def job() -> Job:
    return load_text(QUARTER)


def test_legs_come_after_those_they_stand_on_however_the_file_orders_them(job: Job) -> None:
    lower, upper = QUARTER.index('[[flights]]\nid = "lower"'), QUARTER.index('[[flights]]\nid = "upper"')
    level = QUARTER.index('[[levels]]\nid = "gallery"')
    turned = QUARTER[:lower] + QUARTER[upper:level] + QUARTER[lower:upper] + QUARTER[level:]
    assert [leg.place for leg in job.flights] == ["flights[0]", "flights[1]", "levels[0]"]
    assert [leg.place for leg in load_text(turned).flights] == ["flights[1]", "flights[0]", "levels[0]"]
    for known in (job, load_text(turned)):
        assert [leg.facts.id for leg in known.flights] == ["lower", "upper", "gallery"]
    assert job.flight("lower").facts.stands_on is None
    assert job.flight("upper").facts.stands_on == Support("lower", 7)
    assert job.flight("gallery").facts.stands_on == Support("upper", 7)


def test_a_level_is_read_along_its_edge(job: Job) -> None:
    gallery = job.flight("gallery")
    assert (gallery.facts.kind, gallery.facts.risers, gallery.facts.width) == (LegKind.LEVEL, 5, 940)
    read = {reading.id: reading for reading in gallery.readings}
    run, height = read["run 2"], read["height of N3"]
    assert (run.kind, run.start, run.end, run.value) == (Kind.RUN, "N2", "N3", 816.5)
    assert (height.kind, height.start, height.end, height.value) == (Kind.HEIGHT, "floor", "N3", -5)
    assert gallery.fixed == DATUM


def test_points_whose_height_nobody_read_lie_level() -> None:
    text = QUARTER.replace("values = [0.5, -2.5, -5, -4, -1.5]", 'values = ["-", "-", "-", -4, "-"]')
    gallery = load_text(text).flight("gallery")
    # the laser was read at N1, N3 and N5, the rule at N4
    assert gallery.fixed == (*DATUM, Fixed(("z", "N2"), 0.0))


def test_the_stair_stands_as_high_as_its_flights_together(job: Job) -> None:
    """The sum of the rises read, within the uncertainty of the readings (1 mm a rise)."""
    built = [build_flight(adjust(leg.readings, leg.fixed), leg.facts) for leg in job.flights]
    _, upper, gallery = stacked_flights(built, [leg.facts for leg in job.flights])
    assert upper.base_z == pytest.approx(187.5 + 188 + 190 + 187.5 + 187 + 188 + 186, abs=4)
    assert gallery.base_z == pytest.approx(upper.base_z + 188 + 189 + 189.5 + 185.5 + 186 + 188 + 187, abs=4)
    assert gallery.nosings[2][1] == pytest.approx(-5, abs=1)


def test_an_edge_turns_where_it_says(job: Job) -> None:
    (edge,) = job.edges
    assert (edge.id, edge.side, edge.legs) == ("inner edge", Side.LEFT, ("lower", "upper", "gallery"))
    first, second = edge.turns
    assert first.angle == pytest.approx(math.pi / 2)
    assert (first.leaves, first.joins) == (Spot("N7", 46), Spot("N1", -44))
    assert second.angle == pytest.approx(math.radians(89.4))


@pytest.mark.parametrize(("word", "degrees"), [("left", 90.0), ("right", -90.0), ("straight on", 0.0)])
def test_turns_in_words(word: str, degrees: float) -> None:
    (edge,) = load_text(QUARTER.replace('turn = "left"', f'turn = "{word}"')).edges
    assert math.degrees(edge.turns[0].angle) == pytest.approx(degrees)


def test_a_design_along_an_edge_has_a_brief_for_every_leg(job: Job) -> None:
    lower, upper, gallery = job.designs
    assert [brief.id for brief in job.designs] == ["A lower", "A upper", "A gallery"]
    assert {(brief.whole, brief.edge, brief.side) for brief in job.designs} == {
        ("A", "inner edge", Side.LEFT)
    }
    assert [brief.flight for brief in job.designs] == list(job.edges[0].legs)
    assert isinstance(lower.bottom, NewNewel)
    assert isinstance(gallery.top, HalfNewel)
    assert lower.top == upper.bottom
    assert isinstance(lower.top, AtTurn)
    assert lower.top.number == 1
    assert upper.top == gallery.bottom
    assert isinstance(upper.top, AtTurn)
    assert upper.top.number == 2
    assert isinstance(upper.top.turn, TurnNewel)
    assert (upper.top.turn.drop, upper.top.turn.under_rail) == (280, False)


def test_a_leg_has_its_own_tables_and_the_rest_from_the_design(job: Job) -> None:
    seats = [brief.base_rail.seat for brief in job.designs]
    assert seats == [BaseSeat.STRING, BaseSeat.STRING, BaseSeat.FLOOR]
    assert len({brief.rail for brief in job.designs}) == len({brief.infill for brief in job.designs}) == 1


def test_a_design_of_one_flight_is_a_whole_of_its_own() -> None:
    first, second = load_text(PLAIN).designs
    assert (first.whole, first.edge, first.balustrade) == ("", "", "A")
    assert second.balustrade == "B"
    assert load_text(PLAIN).edges == ()


def test_a_design_may_guard_a_level_alone() -> None:
    head = QUARTER[
        : QUARTER.index("# ---------------------------------------------------------------- the edge")
    ]
    text = (
        head
        + """
[[designs]]
id = "G"
title = "The gallery alone"
flight = "gallery"
side = "left"
handrail = { width = 62, depth = 52 }
base_rail = { width = 62, depth = 34, seat = "floor" }
bottom = { kind = "free end", at = "N1" }
top = { kind = "wall", wall = "end wall" }
infill = { kind = "uprights", shape = "rectangular", width = 32 }
making = { kind = "grooved", rail_groove = 8, base_groove = 8, fillet_thickness = 6 }
"""
    )
    (brief,) = load_text(text).designs
    assert (brief.id, brief.flight, brief.edge) == ("G", "gallery", "")


def newels_replaced(by: str) -> str:
    """The quarter-turn job with another thing at its first turn."""
    start = QUARTER.index('kind = "turn newel"')
    end = QUARTER.index("# The newel at the head")
    return QUARTER[:start] + by + "\n" + QUARTER[end:]


def test_the_other_kinds_of_turns() -> None:
    first = load_text(newels_replaced('kind = "mitred"')).designs[0]
    assert first.top == AtTurn(1, Mitred())
    standing = newels_replaced('kind = "standing newel"\npost = "old newel"').replace(
        "[flights.string]",
        '[[flights.posts]]\nid = "old newel"\nstation = "N7"\nface_height = 1800\nalong = 95\nacross = 95\n'
        "[flights.string]",
        1,
    )
    assert load_text(standing).designs[0].top == AtTurn(1, TurnStanding("old newel"))


def test_a_knee_wall_a_cut_string_and_something_overhead() -> None:
    text = QUARTER.replace(
        "[flights.string]\nthickness = 32\ndepth = 240",
        '[[flights.soffits]]\nid = "flight above"\nfrom = "N3"\nto = "N7"\n'
        '[flights.string]\nkind = "knee wall"\nthickness = 110\ndepth = 300',
        1,
    )
    facts = load_text(text).flight("lower").facts
    assert facts.string is not None
    assert facts.string.kind is Seat.KNEE_WALL
    (soffit,) = facts.soffits
    assert (soffit.id, soffit.start, soffit.finish) == ("flight above", "N3", "N7")
    cut = PLAIN[: PLAIN.index("# The string is not quite")] + (
        "[flights.cut_string]\nthickness = 30\ndepth = 110\nreturn_nosing = 22\n"
        + PLAIN[PLAIN.index("# The newel at the head stays") :]
    )
    clear = cut.replace('seat = "string"', 'seat = "clear"').replace('seat = "packed"', 'seat = "clear"')
    known = load_text(clear.replace("least_packing = 3\n", "")).flights[0].facts
    assert known.string is None
    assert known.cut_string is not None
    assert (known.cut_string.thickness, known.cut_string.depth, known.cut_string.return_nosing) == (
        30,
        110,
        22,
    )


def test_how_far_the_floor_beside_a_leg_lies_below_it() -> None:
    assert load_text(QUARTER).flight("gallery").facts.below is None
    assert (
        load_text(QUARTER.replace("points = 5", "points = 5\nbelow = 2625")).flight("gallery").facts.below
        == 2625
    )


def with_infill(table: str) -> str:
    """The plain example's first design with another infill."""
    start = PLAIN.index("[designs.infill]")
    return PLAIN[:start] + table + PLAIN[PLAIN.index("[designs.making]") :]


def test_strands() -> None:
    cables = '[designs.infill]\nkind = "strands"\nstrand = "cable"\ndepth = 5\npull_n = 900\napart = 1100\n'
    cables += 'push_n = 220\nstretch_n = 1.3e6\nmaterial = "steel"\n\n'
    start, rest = PLAIN.index("[designs.infill]"), PLAIN.index("[designs.allowances]")
    brief = load_text(PLAIN[:start] + cables + PLAIN[rest:]).designs[0]
    infill = brief.infill
    assert isinstance(infill, StrandsBrief)
    assert (infill.kind, infill.depth, infill.thickness) == (StrandKind.CABLE, 5, 5)
    assert (infill.pull, infill.apart, infill.push, infill.stretch) == (900, 1100, 220, 1.3e6)
    assert brief.making == BetweenPosts()
    making = '[designs.making]\nkind = "between posts"\ndepth = 30\nclearance = 0.5\nwhat = "turnbuckle"\n'
    housed = load_text(PLAIN[:start] + cables + making + PLAIN[rest:]).designs[0]
    assert housed.making == BetweenPosts(30, 0.5, "turnbuckle")


def test_panels() -> None:
    panels = (
        '[designs.infill]\nkind = "panels"\npanel = "slatted panel"\nthickness = 18\nslat = 60\nslot = 20\n'
    )
    infill = load_text(with_infill(panels + "widest = 1100\njoint = 12\nedge_gap = 8\n\n")).designs[0].infill
    assert isinstance(infill, PanelsBrief)
    assert (infill.kind, infill.slat, infill.slot) == (PanelKind.SLATTED, 60, 20)
    assert (infill.widest, infill.joint, infill.edge_gap) == (1100, 12, 8)


def test_an_old_file_means_what_it_meant(tmp_path: Path) -> None:
    """A file of the first form has no key that this form does not know, and none that it must have now."""
    for example in ("mm", "in"):
        job = load_text(starting_text(example, Unit.MM), path=tmp_path / "stair.toml")
        (flight,) = job.flights
        assert (flight.facts.kind, flight.facts.stands_on, flight.facts.below) == (LegKind.FLIGHT, None, None)
        assert flight.fixed == DATUM


def with_making(table: str, spread: str = "") -> str:
    """The plain example's first design with another making, and perhaps another spread."""
    start, rest = PLAIN.index("[designs.making]"), PLAIN.index("[designs.allowances]")
    head = PLAIN[:start].replace('spread = "equal gaps"', spread) if spread else PLAIN[:start]
    return head + table + PLAIN[rest:]


MAKINGS = {
    'kind = "mortised"\nrail_depth = 20\nbase_depth = 15\ntenon_thickness = 12\nshoulder = 5\n': Mortised(
        20, 15, 12, 5
    ),
    'kind = "dowelled"\ndiameter = 10\nrail_depth = 20\nbase_depth = 15\nend_depth = 30\n': Dowelled(
        10, 20, 15, 30
    ),
    'kind = "bored metal"\nrail_depth = 20\nbase_depth = 15\nhole = 46\nend_room = 12\n'
    'fixing = "shoes with grub screws"\nshoe = 60\n': BoredMetal(20, 15, 46, 12, BarFixing.SHOES, 60),
}


@pytest.mark.parametrize(("table", "making"), MAKINGS.items(), ids=["mortised", "dowelled", "bored metal"])
def test_other_ways_of_making(table: str, making: Making) -> None:
    assert load_text(with_making(f"[designs.making]\n{table}\n")).designs[0].making == making


HEADS = {
    'kind = "grooved"\nrail_groove = 10\nfillet_thickness = 6\n': Grooved(10, 10, 6),
    'kind = "mortised"\nrail_depth = 20\nshoulder = 4\n': Mortised(20, 20, None, 4),
    'kind = "dowelled"\ndiameter = 10\nrail_depth = 20\nend_depth = 30\n': Dowelled(10, 20, 20, 30),
}


@pytest.mark.parametrize(("table", "head"), HEADS.items(), ids=["grooved", "mortised", "dowelled"])
def test_uprights_on_treads_without_a_base_rail(table: str, head: HeadMaking) -> None:
    making = (
        '[designs.making]\nkind = "on treads"\nfoot = "dovetail"\ndepth = 20\ncover = 12\ninset = 3\n'
        f"[designs.making.head]\n{table}\n"
    )
    text = with_making(making, 'spread = "per tread"\nper_tread = 2\ntread_place = "middle of its share"')
    start, rest = text.index("[designs.base_rail]"), text.index("[designs.bottom]")
    brief = load_text(text[:start] + text[rest:]).designs[0]
    assert brief.base is None
    assert brief.making == OnTreads(head, TreadFoot.DOVETAIL, 20, cover=12, inset=3)
    spacing = brief.uprights.spacing
    assert (spacing.spread, spacing.per_tread) == (Spread.PER_TREAD, 2)
    assert spacing.tread_place is TreadPlace.SHARES


def test_groups() -> None:
    spread = 'spread = "groups"\ngroup = 3\ninner_gap = 40'
    spacing = load_text(PLAIN.replace('spread = "equal gaps"', spread)).designs[0].uprights.spacing
    assert (spacing.spread, spacing.group, spacing.inner_gap) == (Spread.GROUPS, 3, 40)


def test_panels_in_clamps_stand_without_a_base_rail() -> None:
    table = (
        '[designs.infill]\nkind = "panels"\npanel = "glass panel"\nthickness = 10\nedge_gap = 12\n\n'
        '[designs.making]\nkind = "clamped"\napart = 600\nfrom_end = 120\nbite = 20\non_posts = false\n\n'
    )
    text = PLAIN[: PLAIN.index("[designs.infill]")] + table + PLAIN[PLAIN.index("[designs.allowances]") :]
    text = text.replace('side = "left"\n', 'side = "left"\nbase_rail = "none"\n', 1)
    start, rest = text.index("[designs.base_rail]"), text.index("[designs.bottom]")
    brief = load_text(text[:start] + text[rest:]).designs[0]
    assert brief.base is None
    assert brief.making == Clamped(600, 120, 20, on_posts=False)


BOTH_SIDES = (
    PLAIN[: PLAIN.index("[[designs]]")]
    + """
[[edges]]
id = "left side"
side = "left"
legs = ["main"]

[[edges]]
id = "right side"
side = "right"
legs = ["main"]

[[designs]]
id = "A"
title = "Both sides"
edges = ["left side", "right side"]
handrail = { width = 62, depth = 52 }
base_rail = { width = 62, depth = 34, seat = "clear" }
bottom = { kind = "free end", at = "N1" }
top = { kind = "free end", at = "N13" }
infill = { kind = "uprights", shape = "rectangular", width = 32 }
making = { kind = "grooved", rail_groove = 8, base_groove = 8, fillet_thickness = 6 }

[[designs.legs]]
leg = "main"
edge = "right side"
top = { kind = "existing newel", post = "top newel" }
handrail = { width = 58, depth = 50 }
"""
)


def test_both_sides_of_a_flight_are_one_design() -> None:
    job = load_text(BOTH_SIDES)
    left, right = job.designs
    assert [brief.id for brief in job.designs] == ["A left side main", "A right side main"]
    assert {brief.balustrade for brief in job.designs} == {"A"}
    assert [(brief.side, brief.edge) for brief in job.designs] == [
        (Side.LEFT, "left side"),
        (Side.RIGHT, "right side"),
    ]
    assert left.bottom == right.bottom
    assert isinstance(left.top, FreeEnd)
    assert right.top == ExistingNewel("top newel")
    assert (left.rail.width, right.rail.width) == (62, 58)


def test_each_side_of_a_flight_has_its_own_string() -> None:
    """A closed string on the left with a base rail on it, a cut string on the right with a clear one."""
    text = BOTH_SIDES.replace(
        "[flights.string]",
        '[flights.cut_string]\nthickness = 32\ndepth = 120\nside = "right"\n\n[flights.string]\nside = "left"',
    )
    text = text.replace('seat = "clear"', 'seat = "string"', 1)
    text = text.replace(
        'edge = "right side"\n',
        'edge = "right side"\nbase_rail = { width = 62, depth = 34, seat = "clear" }\n',
        1,
    )
    left, right = (leg.design for leg in solve(load_text(text)).balustrades[0].legs)
    assert left.flight.string is not None
    assert left.flight.cut_string is None
    assert right.flight.string is None
    assert right.flight.cut_string is not None
    assert left.base is not None
    assert left.base.bottom.slope == pytest.approx(left.flight.string.top.slope)


def test_turns_of_several_edges_are_told_edge_by_edge() -> None:
    """The quarter turn again, cut into two edges of one design: the turns keep their order."""
    whole = load_text(QUARTER)
    edges = (
        '[[edges]]\nid = "down"\nside = "left"\nlegs = ["lower", "upper"]\n'
        'turns = [{ turn = "left", leaves_offset = 46, joins_offset = -44 }]\n\n'
        '[[edges]]\nid = "up"\nside = "left"\nlegs = ["gallery"]\n\n'
    )
    text = QUARTER[: QUARTER.index("[[edges]]")] + edges + QUARTER[QUARTER.index("[[designs]]") :]
    text = text.replace('edge = "inner edge"', 'edges = ["down", "up"]')
    start = text.index("# The newel at the head")
    text = text[:start] + text[text.index("[designs.top]") :]
    text = text.replace(
        "[designs.legs.base_rail]",
        '[designs.legs.bottom]\nkind = "free end"\nat = "N1"\n\n[designs.legs.base_rail]',
    )
    text = text.replace(
        "[[designs.legs]]",
        '[[designs.legs]]\nleg = "upper"\ntop = { kind = "free end", at = "N7" }\n\n[[designs.legs]]',
    )
    job = load_text(text)
    assert [brief.id for brief in job.designs] == [brief.id for brief in whole.designs]
    lower, upper, gallery = job.designs
    assert lower.top == whole.designs[0].top == upper.bottom
    assert isinstance(upper.top, FreeEnd)
    assert isinstance(gallery.bottom, FreeEnd)
    assert gallery.top == whole.designs[2].top


LATTICE = """<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="120mm" viewBox="0 0 80 120">
<rect x="10" y="10" width="60" height="100"/></svg>
"""


def with_pattern(table: str) -> str:
    """The plain example's first design with cut panels in its grooves."""
    panels = f'[designs.infill]\nkind = "panels"\npanel = "cut pattern"\nthickness = 12\n{table}\n\n'
    return with_infill(panels)


def test_a_pattern_is_read_from_a_drawing_beside_the_job(tmp_path: Path) -> None:
    (tmp_path / "lattice.svg").write_text(LATTICE, encoding="utf-8")
    text = with_pattern('pattern = { file = "lattice.svg", follow = "turned", margin = 30, clip = true }')
    infill = load_text(text, path=tmp_path / "job.toml").designs[0].infill
    assert isinstance(infill, PanelsBrief)
    pattern = infill.pattern
    assert pattern is not None
    assert (pattern.width, pattern.height) == pytest.approx((80, 120))
    assert pattern.follow is Follow.TURNED
    assert (pattern.margin, pattern.clip, pattern.source) == (30, True, "lattice.svg")
    assert len(pattern.outlines) == 1


def test_faults_of_a_drawing_are_told_where_the_job_names_it(tmp_path: Path) -> None:
    crossed = LATTICE.replace(
        '<rect x="10" y="10" width="60" height="100"/>', '<path d="M 10 10 L 70 110 L 70 10 L 10 60 Z"/>'
    )
    (tmp_path / "crossed.svg").write_text(crossed, encoding="utf-8")
    for table, words in (
        ('pattern = { file = "crossed.svg" }', "outline 1: it crosses itself"),
        ('pattern = { file = "nowhere.svg" }', "there is no such drawing"),
    ):
        text = with_pattern(table)
        with pytest.raises(InputError) as caught:
            load_text(text, path=tmp_path / "job.toml")
        (fault,) = caught.value.faults
        assert fault.where == "designs[0].infill.pattern.file"
        assert fault.line == text[: text.index(table)].count("\n") + 1
        assert words in fault.sentence()
    with pytest.raises(InputError, match="not saved yet"):
        load_text(with_pattern('pattern = { file = "lattice.svg" }'))
