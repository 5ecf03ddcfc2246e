"""What stands at the ends, its planes worked by hand."""

import math

import pytest
from tests.strategies_stairs import FOOT_POST, FOOT_WALL, HEAD_POST, HEAD_WALL, newel, regular_flight

from pitchline.design.bay import Trace, field, half_plane
from pitchline.design.bay import standing as standing_face
from pitchline.design.brief import AtWall, ExistingNewel, Foot, FreeEnd, HalfNewel, NewNewel, Station
from pitchline.design.model import PostRole
from pitchline.design.posts import UNKNOWN_TOP, BuiltEnd, Place, build_end
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Line
from pitchline.stair.facts import PostFacts, WallFacts
from pitchline.stair.model import Flight, Side

TOP = Line(1100.0, 200.0 / 225.0)


def place(flight: Flight, *, at_head: bool = False, side: Side = Side.LEFT) -> Place:
    return Place(flight, side, at_head=at_head, rail_top=TOP, post_id="P2" if at_head else "P1")


def standing(**facts: float) -> Flight:
    posts = (
        PostFacts("foot", FOOT_POST, 800.0, 90.0, 80.0, **facts),
        PostFacts("head", HEAD_POST, 3200.0, 90.0, 80.0, **facts),
    )
    return regular_flight(posts=posts)


def face_at(end: BuiltEnd, z: float) -> float:
    return Trace.of(end.rail_face, 0.0).meets(Line(z, 0.0))[0]


def test_a_new_newel_on_the_lower_floor() -> None:
    end = build_end(newel("N1", 90.0, 20.0), place(regular_flight()))
    assert end.post is not None
    assert end.post.foot == (20.0, 0.0, 0.0)
    assert end.post.length == pytest.approx(TOP.at(20.0) + 100.0)
    assert face_at(end, 500.0) == pytest.approx(20.0 + 45.0)
    assert end.rail_face.normal == (1.0, 0.0, 0.0)
    assert (end.post.role, end.post.stands, end.closed) == (PostRole.NEW, "on the lower floor", True)


@pytest.mark.parametrize(
    ("foot", "lap", "height", "words"),
    [
        (Foot.TREAD, 0.0, 600.0, "on the tread of N3"),
        (Foot.STRING, 120.0, 260.0 + 450.0 * 200 / 225 - 120.0, "lapped on the string"),
        (Foot.FLOOR, 0.0, 0.0, "on the lower floor"),
    ],
)
def test_feet_of_new_newels(foot: Foot, lap: float, height: float, words: str) -> None:
    end = build_end(NewNewel(Station("N3"), 90.0, 90.0, 100.0, foot, lap), place(regular_flight()))
    assert end.post is not None
    assert end.post.foot[2] == pytest.approx(height, abs=1e-9)
    assert end.post.stands == words
    assert end.post.laps_string is (foot is Foot.STRING)


def test_a_point_that_only_begins_like_a_nosing_is_no_nosing() -> None:
    """A surveyed point may be called anything, Newel too; it has no tread, so the floor carries the post."""
    end = build_end(newel(FOOT_POST, foot=Foot.TREAD), place(regular_flight()))
    assert end.post is not None
    assert end.post.stands == "on the lower floor"


def test_a_newel_at_the_head_stands_on_the_upper_floor_and_looks_down() -> None:
    end = build_end(newel("N13"), place(regular_flight(), at_head=True))
    assert end.post is not None
    assert end.post.foot[2] == pytest.approx(2600.0, abs=1e-9)
    assert face_at(end, 3000.0) == pytest.approx(2700.0 - 45.0)
    assert end.rail_face.normal == (-1.0, 0.0, 0.0)
    assert end.post.id == "P2"


@pytest.mark.parametrize("at_head", [False, True])
def test_a_leaning_newel_keeps_its_face_where_it_was_read(*, at_head: bool) -> None:
    """10 mm in a metre: the face read at one height lies 10 mm further along a metre higher."""
    flight = standing(lean_along=0.01)
    name, u, z = ("head", 2760.0, 3200.0) if at_head else ("foot", -60.0, 800.0)
    end = build_end(ExistingNewel(name), place(flight, at_head=at_head))
    assert face_at(end, z) == pytest.approx(u, abs=1e-9)
    assert face_at(end, z + 1000.0) == pytest.approx(u + 10.0, abs=1e-9)
    assert end.post is not None
    lean = math.atan(0.01)
    assert end.post.axis == pytest.approx((math.sin(lean), 0.0, math.cos(lean)), abs=1e-12)
    middle = end.post.foot[0] + 0.01 * (z - end.post.foot[2])
    towards_bay = -1.0 if at_head else 1.0
    assert (u - middle) * towards_bay == pytest.approx(45.0 / math.cos(lean), abs=1e-9)


def test_the_top_of_an_existing_newel() -> None:
    untold = build_end(ExistingNewel("foot"), place(standing())).post
    told = build_end(ExistingNewel("foot"), place(standing(top_height=1500.0))).post
    assert untold is not None
    assert told is not None
    assert told.top_z == pytest.approx(1500.0)
    assert untold.top_z == pytest.approx(TOP.at(-105.0) + UNKNOWN_TOP)
    assert told.material == "as found"


@pytest.mark.parametrize(("side", "sense"), [(Side.RIGHT, 1.0), (Side.LEFT, -1.0)])
def test_a_newel_that_leans_to_the_stair_leans_to_the_walking_side(side: Side, sense: float) -> None:
    post = build_end(ExistingNewel("foot"), place(standing(lean_across=0.02), side=side)).post
    assert post is not None
    assert post.axis[1] / post.axis[2] == pytest.approx(sense * 0.02)


def test_a_twisted_newel_turns_anticlockwise_seen_from_above() -> None:
    end = build_end(ExistingNewel("foot"), place(standing(twist=math.radians(4.0))))
    assert end.rail_face.normal == pytest.approx(
        (math.cos(math.radians(4)), math.sin(math.radians(4)), 0.0), abs=1e-12
    )
    assert Trace.of(end.rail_face, 0.0).meets(Line(900.0, 0.0))[0] == pytest.approx(-60.0, abs=1e-9)
    off = Trace.of(end.rail_face, 30.0).meets(Line(900.0, 0.0))[0]
    assert off == pytest.approx(-60.0 - 30.0 * math.tan(math.radians(4)), abs=1e-9)


def test_a_half_newel_follows_its_wall() -> None:
    walls = (WallFacts("head", HEAD_WALL, 3200.0, lean_along=0.01),)
    flight = regular_flight(walls=walls)
    end = build_end(HalfNewel("head", 45.0, 90.0, 80.0, Foot.FLOOR), place(flight, at_head=True))
    assert end.post is not None
    assert end.post.role is PostRole.HALF
    assert face_at(end, 3200.0) == pytest.approx(2760.0 - 45.0 / math.cos(math.atan(0.01)), abs=1e-9)
    assert face_at(end, 3300.0) - face_at(end, 3200.0) == pytest.approx(1.0, abs=1e-9)
    back = end.post.face(towards_head=True)
    assert Trace.of(back, 0.0).meets(Line(3200.0, 0.0))[0] == pytest.approx(2760.0, abs=1e-9)
    assert end.post.foot[2] == pytest.approx(2600.0, abs=1e-9)


def test_a_wall_that_leans_and_is_skew() -> None:
    flight = regular_flight(walls=(WallFacts("foot", FOOT_WALL, 700.0, 0.02, math.radians(5.0)),))
    end = build_end(AtWall("foot"), place(flight))
    assert end.post is None
    assert end.name == "wall foot"
    assert face_at(end, 700.0) == pytest.approx(-60.0, abs=1e-9)
    turn = end.rail_face.normal[1] / end.rail_face.normal[0]
    assert turn == pytest.approx(math.tan(math.radians(5.0)), rel=1e-3)
    assert end.rail_face.normal[0] > 0.0


def test_a_free_end_stops_the_infill_short_of_the_rails() -> None:
    flight = regular_flight()
    foot = build_end(FreeEnd(Station("N1", 30.0), 25.0), place(flight))
    head = build_end(FreeEnd(Station("N13", -10.0), 25.0), place(flight, at_head=True))
    assert (foot.rail_face.point[0], foot.bay_face.point[0]) == pytest.approx((30.0, 55.0))
    assert (head.rail_face.point[0], head.bay_face.point[0]) == pytest.approx((2690.0, 2665.0))
    assert not foot.closed


@pytest.mark.parametrize("end", [ExistingNewel("gone"), AtWall("gone")])
def test_what_is_not_there_cannot_end_a_rail(end: ExistingNewel | AtWall) -> None:
    with pytest.raises(KeyError):
        build_end(end, place(regular_flight()))


class TestField:
    start = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    finish = Plane((1000.0, 0.0, 0.0), (-1.0, 0.0, 0.0))

    def test_corners_and_labels(self) -> None:
        outline = field(self.start, self.finish, Line(300.0, 0.8), Line(1000.0, 0.8), 0.0)
        assert outline.points == ((0.0, 300.0), (1000.0, 1100.0), (1000.0, 1800.0), (0.0, 1000.0))
        assert outline.labels == ("base", "finish", "rail", "start")

    def test_what_lies_between_is_kept(self) -> None:
        outline = field(self.start, self.finish, Line(300.0, 0.8), Line(1000.0, 0.8), 0.0)
        for plane in (self.start, self.finish):
            inwards = half_plane(plane.flipped(), 0.0)
            assert all(inwards.distance(point) <= 1e-9 for point in outline.points)

    @pytest.mark.parametrize(
        ("base", "rail"), [(Line(300.0, 1.2), Line(1000.0, 0.3)), (Line(2000.0, 0.0), Line(1000.0, 0.8))]
    )
    def test_rails_that_cross_leave_nothing(self, base: Line, rail: Line) -> None:
        with pytest.raises(ImpossibleDesignError, match="no field"):
            field(self.start, self.finish, base, rail, 0.0)

    def test_ends_that_overlap_leave_nothing(self) -> None:
        with pytest.raises(ImpossibleDesignError, match="no field"):
            field(self.finish.flipped(), self.start.flipped(), Line(300.0, 0.8), Line(1000.0, 0.8), 0.0)

    def test_an_end_that_lies_is_refused(self) -> None:
        with pytest.raises(ImpossibleDesignError, match="45 degrees"):
            standing_face(Plane((0.0, 0.0, 0.0), (0.5, 0.0, 1.0)))
