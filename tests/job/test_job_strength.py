"""The tables on strength and on newels between: what they become, and every slip told with its line."""

import math
from pathlib import Path

import pytest

from pitchline.design.brief import AtTurn, Foot, NewelBetween
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.errors import InputError
from pitchline.kit.units import MM_PER_INCH, Unit
from pitchline.strength.bases.joints import AsFound, Dowelled, FaceFixed, InSocket, OnPlate
from pitchline.strength.bases.supports import OnString
from pitchline.strength.nds.members import LoadDuration
from pitchline.strength.settings import Code, WallHold

POUND = 4.4482216152605
"""N: 0.45359237 kg x 9.80665 m/s2, both exact by definition."""


def job_text(example: str = "mm", *, head: str = "", first: str = "") -> str:
    """An example with tables put before its first design, and into it before its infill."""
    text = starting_text(example, Unit.MM)
    text = text.replace("[[designs]]", f"{head}\n[[designs]]", 1)
    return text.replace("[designs.infill]", f"{first}\n[designs.infill]", 1)


def slips(text: str) -> list[str]:
    """The sentences of a job that cannot be read."""
    with pytest.raises(InputError) as wrong:
        load_text(text)
    return [fault.sentence() for fault in wrong.value.faults]


NEWEL = """
[[designs.newels]]
at = "N7"
offset = 60
along = 90
across = 90
above_rail = 80
foot = "string"
lap = 150
material = "oak-european"
"""


def test_a_newel_between_divides_a_flight_into_two_bays() -> None:
    job = load_text(job_text(first=NEWEL))
    first, second, *_ = job.designs
    assert (first.id, second.id) == ("A bay 1", "A bay 2")
    assert first.balustrade == second.balustrade == "A"
    assert first.flight == second.flight
    newel = NewelBetween(second.bottom.turn.at, 90, 90, 80, Foot.STRING, 150, False, "oak-european")  # type: ignore[union-attr]
    assert first.top == AtTurn(1, newel)
    assert second.bottom == AtTurn(1, newel)
    assert second.run_on


def test_a_newel_between_in_one_leg_of_an_edge_counts_the_turns_anew() -> None:
    newel = NEWEL.replace("[[designs.newels]]", '[[designs.newels]]\nleg = "upper"').replace("N7", "N4")
    job = load_text(job_text("quarter-turn", first=newel))
    named = [brief.id for brief in job.designs if brief.balustrade == "A"]
    assert named == ["A lower", "A upper bay 1", "A upper bay 2", "A gallery"]
    numbers = [
        (getattr(brief.bottom, "number", None), getattr(brief.top, "number", None))
        for brief in job.designs
        if brief.balustrade == "A"
    ]
    assert numbers == [(None, 1), (1, 2), (2, 3), (3, None)]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (('at = "N7"', 'at = "N19"'), "no nosing 19"),
        (("lap = 150", 'leg = "main"'), "this one guards a single flight"),
        (('foot = "string"', 'foot = "floor"'), "on a tread or laps the string"),
        (('foot = "string"', 'foot = "tread"'), "only a newel that stands on the string laps it"),
        (("above_rail = 80", "above_rail = 80\nunder_rail = true"), "above_rail has no say"),
        (("oak-european", "oak-of-nowhere"), "no such material"),
    ],
)
def test_slips_of_a_newel_between(change: tuple[str, str], told: str) -> None:
    found = slips(job_text(first=NEWEL.replace(*change)))
    assert any(
        told in sentence and "designs[0].newels[0]" in sentence and "line " in sentence for sentence in found
    )


def test_a_newel_between_of_an_edge_names_its_leg() -> None:
    found = slips(job_text("quarter-turn", first=NEWEL))
    assert any("in which leg this newel stands" in sentence for sentence in found)


HEAD = """
[strength]
code = "NDS 2018"
service_class = 2
load_duration = "ten minutes"
doubtful_fixings = true

[[strength.materials]]
material = "oak-european"
strength_class = "D30"
grade = "white-oak-2"
"""

POSTS = """
[designs.strength.rail_ends]
fixing = "screw-8"
count = 3
thread = 70

[[designs.strength.posts]]
post = "P1"
kind = "notched"
fixing = "bolt-m12"
rows = 2
pitch = 140
edge = 50
notch = 32
tight_holes = true
support = { kind = "string", thickness = 32, depth = 240 }
pulls = [{ force = 200, height = 900, moved = 6.5 }]

[[designs.strength.posts]]
post = "P2"
kind = "as found"
"""


def test_the_tables_become_settings() -> None:
    settings = load_text(job_text(head=HEAD, first=POSTS)).strength["A"]
    assert settings.code is Code.NDS_2018
    assert settings.service == 2
    assert settings.duration is LoadDuration.TEN_MINUTES
    assert settings.doubtful_fixings
    assert settings.graded.classes == {"oak-european": "D30"}
    assert settings.graded.grades == {"oak-european": "white-oak-2"}
    assert (settings.rail_fixing.fixing.id, settings.rail_fixing.count, settings.rail_fixing.thread) == (
        "screw-8",
        3,
        70.0,
    )
    first = settings.bases["P1"]
    assert isinstance(first.base, FaceFixed)
    assert (first.base.fixing.id, first.base.pitch, first.base.edge, first.base.notch) == (
        "bolt-m12",
        140,
        50,
        32,
    )
    assert first.base.tight_holes
    assert isinstance(first.support, OnString)
    assert (first.support.thickness, first.support.depth) == (32, 240)
    assert (first.pulls[0].force, first.pulls[0].moved, first.pulls[0].across) == (200.0, 6.5, True)
    assert isinstance(settings.bases["P2"].base, AsFound)


def test_designs_without_a_table_take_what_is_usual_and_what_the_job_says() -> None:
    job = load_text(job_text(head=HEAD, first=POSTS))
    assert job.strength["B"].bases == {}
    assert job.strength["B"].code is Code.NDS_2018


def test_inches_and_pounds() -> None:
    posts = """
[[designs.strength.posts]]
post = "P1"
kind = "plate"
fixing = "screw-8"
count = 4
lever_along = 3
lever_across = "3 1/2 in"
thread = 2.5
support = { kind = "joist", width = 1.5, depth = 9.25, free = 48, blocked = 16 }
pulls = [{ force = 45, height = 36, moved = 0.25, way = "along" }, { force = "200 N", height = 36, moved = 0.2 }]
"""
    base = load_text(job_text("in", first=posts)).strength["A"].bases["P1"]
    assert isinstance(base.base, OnPlate)
    assert math.isclose(base.base.lever_along, 3 * MM_PER_INCH)
    assert math.isclose(base.base.lever_across, 3.5 * MM_PER_INCH)
    along, across = base.pulls
    assert math.isclose(along.force, 45 * POUND, rel_tol=1e-12)
    assert not along.across
    assert across.force == 200.0
    assert math.isclose(along.moved, 6.35, rel_tol=1e-12)


@pytest.mark.parametrize(
    ("table", "kind"),
    [
        ('kind = "dowelled"\ndiameter = 30\ndepth = 90', Dowelled),
        ('kind = "socket"\ndepth = 120', InSocket),
        ('kind = "screwed"\nfixing = "screw-10"\nlever_along = 70\nlever_across = 70', OnPlate),
        ('kind = "face"\nfixing = "bolt-m10"', FaceFixed),
        ('kind = "usual"', type(None)),
    ],
)
def test_every_kind_of_base(table: str, kind: type) -> None:
    text = job_text(first=f'[[designs.strength.posts]]\npost = "P1"\n{table}\n')
    assert isinstance(load_text(text).strength["A"].bases["P1"].base, kind)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (
            ('post = "P1"', 'post = "P7"'),
            "no post of this name",
        ),
        (('post = "P1"', 'post = "P2"'), "how this post stands is told already"),
        (("bolt-m12", "bolt-m13"), 'perhaps you mean "bolt-m12"'),
        (("pitch = 140", "pitch = 0"), "2 fixings need a distance between them"),
        (("pitch = 140", "pitch = 140\nthread = 60"), "a bolt goes right through"),
        (("notch = 32", "notch = 32\nwashers = 2"), "this key is not known here"),
        (('kind = "string"', 'kind = "tread"'), "this key is not known here"),
        (("force = 200", 'force = "20 stone"'), "no force that can be read"),
        (("force = 200", "force = 90000"), "out of reach"),
        (('kind = "notched"', 'kind = "nailed"'), "this word is not known here"),
    ],
)
def test_slips_of_a_base(change: tuple[str, str], told: str) -> None:
    found = slips(job_text(head=HEAD, first=POSTS.replace(*change, 1)))
    assert any(told in sentence and "line " in sentence for sentence in found), found


@pytest.mark.parametrize(
    ("table", "told"),
    [
        ('kind = "plate"\nfixing = "bolt-m10"', "with screws, and this is a bolt"),
        ('kind = "plate"\nfixing = "screw-8"\ncount = 3', "their number is even"),
        ('kind = "plate"\nfixing = "screw-8"\nsupport = { kind = "solid" }', "concrete or masonry"),
        (
            'kind = "plate"\nfixing = "screw-8"\nsupport = { kind = "string", thickness = 32, depth = 240 }',
            "not on a string's edge",
        ),
        ('kind = "face"\nfixing = "bolt-m10"\nsupport = { kind = "floor" }', "not on a floor"),
        (
            'kind = "face"\nfixing = "bolt-m10"\nsupport = { kind = "joist", width = 45, depth = 195, free = 1200, '
            'material = "pine-of-nowhere" }',
            "no such material",
        ),
    ],
)
def test_slips_between_a_base_and_its_support(table: str, told: str) -> None:
    found = slips(job_text(first=f'[[designs.strength.posts]]\npost = "P1"\n{table}\n'))
    assert any(told in sentence for sentence in found), found


def test_a_material_is_told_once_and_with_a_class_or_grade() -> None:
    bare = '[strength]\n[[strength.materials]]\nmaterial = "oak-european"\n'
    found = slips(job_text(head=bare + bare.removeprefix("[strength]\n")))
    assert sum("neither a class nor a grade" in sentence for sentence in found) == 2
    assert sum("told already" in sentence for sentence in found) == 1


def test_the_settings_do_not_hang_on_where_the_job_is_kept(tmp_path: Path) -> None:
    text = job_text(head=HEAD, first=POSTS)
    assert load_text(text).strength == load_text(text, path=tmp_path / "stair.toml").strength


FIXED = """
[designs.strength.base_fixings]
fixing = "screw-8"
apart = 150
thread = 60

[designs.strength.rail_joints]
fixing = "bolt-m10"
count = 2

[[designs.strength.walls]]
pull = 1800
shear = 1200
count = 3

[[designs.strength.walls]]
piece = "H1"
pull = 2500
shear = 1500
"""


def test_what_holds_base_rails_joints_and_walls_becomes_settings() -> None:
    settings = load_text(job_text(first=FIXED)).strength["A"]
    seat, joint = settings.seat_fixing, settings.rail_joint
    assert (seat.fixing.id, seat.apart, seat.thread) == ("screw-8", 150.0, 60.0)
    assert (joint.fixing.id, joint.count) == ("bolt-m10", 2)
    assert settings.walls == {"": WallHold(1800.0, 1200.0, 3), "H1": WallHold(2500.0, 1500.0)}


@pytest.mark.parametrize(
    ("change", "place", "told"),
    [
        (('"screw-8"', '"bolt-m8"'), "base_fixings.fixing", "screwed down, and this is a bolt"),
        (('piece = "H1"\n', ""), "walls[1]", "told already"),
        (("apart = 150", "apart = 15"), "base_fixings.apart", "40"),
        (("pull = 1800", "pull = 0"), "walls[0].pull", "a force"),
    ],
)
def test_slips_of_what_holds_rails(change: tuple[str, str], place: str, told: str) -> None:
    found = slips(job_text(first=FIXED.replace(*change)))
    assert any(
        f"designs[0].strength.{place}" in sentence and told in sentence and "line " in sentence
        for sentence in found
    ), found


IN_POUNDS = """
[[designs.strength.walls]]
pull = 400
shear = "1 kN"
"""


def test_forces_of_an_inch_job_are_pounds_where_no_unit_is_written() -> None:
    text = starting_text("in", Unit.INCH).replace("[designs.infill]", f"{IN_POUNDS}\n[designs.infill]", 1)
    hold = load_text(text).strength["A"].walls[""]
    assert hold.pull == pytest.approx(400 * POUND)
    assert hold.shear == pytest.approx(1000.0)
