"""What parts measure: lengths, readings of ends, words, running marks. Volumes are checked in tests/validation."""

import math
from dataclasses import replace

import pytest
from tests.strategies_stairs import (
    FOOT_POST,
    HEAD_WALL,
    LIMITS,
    PLAIN_BASE,
    PLAIN_GROOVES,
    PLAIN_RAIL,
    PLAIN_UPRIGHTS,
    plain_brief,
    regular_flight,
)

from pitchline.design.brief import (
    AtWall,
    Bored,
    ExistingNewel,
    FreeEnd,
    Grooved,
    Leaning,
    Shape,
    SpacingBrief,
    Spread,
    Stacked,
    Station,
    UprightsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.geometry.bevels import EndsRelation
from pitchline.kit.geometry.frames import Frame, Plane, unit
from pitchline.parts.explode import explode
from pitchline.parts.measure import (
    describe,
    end_readings,
    feature_words,
    lengths,
    mass,
    relation,
    running_marks,
    surface_area,
    volume,
)
from pitchline.parts.part import Face, Groove, Hole, Part, Role, RoundOver
from pitchline.stair.facts import PostFacts, WallFacts

RISE, GOING = 200.0, 225.0
PITCH = math.atan2(RISE, GOING)


def plain_design(**changes: object) -> Design:
    flight = regular_flight()
    return compose(flight, plain_brief(flight, **changes), LIMITS)


def bar(start_normal: tuple[float, float, float], finish_normal: tuple[float, float, float]) -> Part:
    """A bar 1000 x 80 x 40 between two planes through its middle line at 20 and 980 mm."""
    return Part(
        place="X1",
        mark="X1",
        role=Role.HANDRAIL,
        material="oak-european",
        length=1000.0,
        width=80.0,
        thickness=40.0,
        start_cuts=(Plane((20.0, 0.0, 0.0), start_normal),),
        finish_cuts=(Plane((980.0, 0.0, 0.0), finish_normal),),
        features=(),
        frame=Frame(),
        trim=12.0,
        face_names=(
            (Face.PLUS_Y, "top"),
            (Face.MINUS_Y, "underside"),
            (Face.PLUS_Z, "open side"),
            (Face.MINUS_Z, "stair side"),
        ),
    )


LEFT, RIGHT = unit((-1.0, -0.5, 0.0)), unit((1.0, 0.5, 0.0))


class TestLengths:
    def test_parallel_cuts_give_a_rhomboid_with_equal_edges(self) -> None:
        # Slope 1 : 2 across 80 mm: the ends run 40 mm; every edge is as long as the middle line, 960 mm.
        measured = lengths(bar(LEFT, RIGHT))
        assert measured.edges == pytest.approx((960.0,) * 4)
        assert measured.long_point == pytest.approx(1000.0)
        assert measured.blank == pytest.approx(1012.0)

    def test_mirrored_cuts_give_a_trapezium(self) -> None:
        measured = lengths(bar(unit((-1.0, 0.5, 0.0)), RIGHT))
        assert measured.short_point == pytest.approx(960.0 - 40.0)
        assert measured.long_point == pytest.approx(960.0 + 40.0)

    def test_an_upright_of_a_regular_stair(self) -> None:
        # Between parallel rails every edge of a plumb upright is as long: the plumb distance between the seats;
        # its long point to long point is longer by what the rake rises in its width.
        design = plain_design()
        seats = design.handrail.seat, design.base_rail.seat
        assert seats[0] is not None
        assert seats[1] is not None
        part = next(p for p in explode(design) if p.role is Role.UPRIGHT)
        plumb = seats[0].z0 - seats[1].z0
        assert lengths(part).edges == pytest.approx((plumb,) * 4)
        assert lengths(part).long_point == pytest.approx(plumb + 41.0 * RISE / GOING)


class TestEnds:
    def test_a_slope_of_one_in_two_reads_so_on_every_scale(self) -> None:
        start, finish = end_readings(bar(LEFT, RIGHT))
        assert start.mitre_deg == pytest.approx(math.degrees(math.atan(0.5)))
        assert start.bevel_deg == pytest.approx(0.0, abs=1e-9)
        assert start.from_edge_deg == pytest.approx(90.0 - math.degrees(math.atan(0.5)))
        assert finish.rise_per_100 == pytest.approx(50.0)
        assert finish.rise_per_12 == pytest.approx(6.0)
        assert start.planes == finish.planes == 1
        assert not start.is_square
        assert not start.is_compound

    def test_faces_are_named_in_words(self) -> None:
        start, finish = end_readings(bar(LEFT, RIGHT))
        assert start.wide_face == "open side"
        assert start.long_point == "top"
        assert finish.long_point == "underside"

    def test_a_compound_cut_has_its_long_point_on_two_faces(self) -> None:
        finish = end_readings(bar(LEFT, unit((1.0, 0.3, -0.2))))[1]
        assert finish.is_compound
        assert finish.long_point == "underside, open side"

    @pytest.mark.parametrize(
        ("start", "finish", "expected"),
        [
            ((-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), EndsRelation.SQUARE),
            (LEFT, RIGHT, EndsRelation.PARALLEL),
            (unit((-1.0, 0.5, 0.0)), RIGHT, EndsRelation.MIRRORED),
            (unit((-1.0, 0.2, 0.1)), RIGHT, EndsRelation.DIFFERENT),
        ],
    )
    def test_relation(
        self,
        start: tuple[float, float, float],
        finish: tuple[float, float, float],
        expected: EndsRelation,
    ) -> None:
        assert relation(bar(start, finish)) is expected

    def test_two_planes_at_an_end_come_largest_first_and_make_the_ends_different(self) -> None:
        part = bar((-1.0, 0.0, 0.0), (1.0, 0.0, 0.0))
        corner = (
            Plane((980.0, 20.0, 0.0), unit((1.0, 1.0, 0.0))),
            Plane((980.0, 20.0, 0.0), unit((1.0, -0.1, 0.0))),
        )
        finish = end_readings(replace(part, finish_cuts=corner))[1]
        assert finish.planes == 2
        assert finish.mitre_deg == pytest.approx(-math.degrees(math.atan(0.1)))
        assert relation(replace(part, finish_cuts=corner)) is EndsRelation.DIFFERENT

    def test_a_plumb_upright_is_cut_at_the_pitch(self) -> None:
        part = next(p for p in explode(plain_design()) if p.role is Role.UPRIGHT)
        start, finish = end_readings(part)
        assert abs(start.mitre_deg) == pytest.approx(math.degrees(PITCH))
        assert start.mitre_deg == pytest.approx(finish.mitre_deg)

    def test_a_rail_between_plumb_newels_is_plumb_cut(self) -> None:
        # The rail's wide face is its top, so the plumb cut shows as a bevel equal to the pitch.
        rail = next(p for p in explode(plain_design()) if p.role is Role.HANDRAIL)
        start, finish = end_readings(rail)
        for end in (start, finish):
            assert end.mitre_deg == pytest.approx(0.0, abs=1e-9)
            assert abs(end.bevel_deg) == pytest.approx(math.degrees(PITCH))


class TestWood:
    def test_mass_is_volume_by_density(self) -> None:
        # 1 m x 100 mm x 100 mm is 0.01 m3; at 500 kg/m3 it weighs 5 kg.
        part = replace(bar((-1.0, 0.0, 0.0), (1.0, 0.0, 0.0)), width=100.0, thickness=100.0)
        whole = replace(
            part, start_cuts=(Plane((0, 0, 0), (-1, 0, 0)),), finish_cuts=(Plane((1000.0, 0, 0), (1, 0, 0)),)
        )
        assert mass(whole, 500.0) == pytest.approx(5.0)

    def test_a_groove_and_a_round_take_their_section_by_the_length_at_their_centroid(self) -> None:
        part = bar(unit((-1.0, 0.3, -0.2)), unit((1.0, 0.5, 0.4)))
        bare = volume(part)
        groove = Groove(Face.MINUS_Y, 5.0, 12.0, 9.0)

        def length_at(y: float, z: float) -> float:
            return (980.0 - 0.5 * y - 0.4 * z) - (20.0 + 0.3 * y - 0.2 * z)

        grooved = replace(part, features=(groove,))
        assert bare - volume(grooved) == pytest.approx(12.0 * 9.0 * length_at(-40.0 + 4.5, 5.0))
        # A spandrel's centroid lies (10 - 3 pi)/(12 - 3 pi) r from both its sides (by Pappus; any table of sections).
        radius, share = 8.0, (10 - 3 * math.pi) / (12 - 3 * math.pi)
        rounded = replace(part, features=(RoundOver(((1, -1),), radius),))
        taken = (1 - math.pi / 4) * radius**2 * length_at(40.0 - share * radius, -20.0 + share * radius)
        assert bare - volume(rounded) == pytest.approx(taken)


class TestWords:
    def test_features_in_words(self) -> None:
        part = bar(LEFT, RIGHT)
        holes = tuple(Hole((x, -40.0, 0.0), (0.0, 1.0, 0.0), 20.0, 25.0) for x in (100.0, 200.0))
        part = replace(
            part, features=(Groove(Face.MINUS_Y, 0.0, 12.0, 9.0), *holes, RoundOver(((1, 1),), 6.0))
        )
        words = feature_words(part, "{:.0f}".format)
        assert words[0] == "2 holes 20 across, 25 deep along the drill"
        assert "groove 12 wide, 9 deep, underside" in words
        assert "1 edges rounded to 6" not in words
        assert "1 edge rounded to 6" in words

    def test_a_description_gathers_it_all(self) -> None:
        part = bar(LEFT, RIGHT)
        described = describe(part)
        assert described.lengths == lengths(part)
        assert (described.start, described.finish) == end_readings(part)
        assert described.relation is EndsRelation.PARALLEL
        assert described.volume == volume(part)
        assert described.surface == surface_area(part)


class TestRunningMarks:
    def test_regular_places_follow_from_gap_and_width(self) -> None:
        design = plain_design()
        for rail in running_marks(design).bars:
            gap = design.uprights[0].gap_before
            for number, mark in enumerate(rail.marks):
                level = gap + number * (gap + 41.0)
                assert mark.edge_level == pytest.approx(level)
                assert mark.centre_level == pytest.approx(level + 20.5)
                assert mark.edge == pytest.approx(level / math.cos(PITCH))
                assert mark.clear_before == pytest.approx(gap / math.cos(PITCH))
            assert rail.slope_deg == pytest.approx(math.degrees(PITCH))
            assert rail.upright_width == pytest.approx(41.0 / math.cos(PITCH))

    @pytest.mark.parametrize("lean", [Leaning.PLUMB, Leaning.SQUARE, -0.3])
    @pytest.mark.parametrize("existing", [False, True])
    def test_clear_lengths_and_uprights_fill_the_rail(self, lean: Leaning | float, existing: bool) -> None:
        post = PostFacts("old", FOOT_POST, 700.0, 92.0, 90.0, 0.021, -0.014, math.radians(3.0))
        flight = regular_flight(posts=(post,))
        changes = {"bottom": ExistingNewel("old")} if existing else {}
        brief = plain_brief(flight, infill=replace(PLAIN_UPRIGHTS, lean=lean), **changes)
        table = running_marks(compose(flight, brief, LIMITS))
        for rail in table.bars:
            clear = sum(mark.clear_before for mark in rail.marks) + rail.clear_after
            hidden = min(0.0, rail.marks[0].edge)
            assert clear + len(rail.marks) * rail.upright_width + hidden == pytest.approx(rail.length)

    def test_fillets_are_the_clear_lengths_less_their_play(self) -> None:
        making = Grooved(rail_groove=10.0, base_groove=10.0, fillet_thickness=6.0, end_play=0.8)
        table = running_marks(plain_design(making=making))
        for rail in table.bars:
            inner = rail.marks[1]
            assert inner.clear_before - inner.fillet_before == pytest.approx(0.8 / math.cos(PITCH))
            assert rail.clear_after - rail.fillet_after == pytest.approx(0.4 / math.cos(PITCH))

    def test_fillets_are_the_parts_that_lie_there(self) -> None:
        design = plain_design(making=Grooved(10.0, 10.0, 6.0, end_play=0.8))
        fillets = [part for part in explode(design) if part.role is Role.BASE_FILLET]
        rail = running_marks(design).bars[0]
        listed = [*(mark.fillet_before for mark in rail.marks), rail.fillet_after]
        assert [max(lengths(part).edges) for part in fillets] == pytest.approx(listed)

    def test_the_overhang_past_a_free_end_counts_from_the_rail_end(self) -> None:
        free = FreeEnd(Station("N1", -30.0), overhang=50.0)
        rail = running_marks(plain_design(bottom=free)).bars[0]
        assert rail.datum.startswith("free end")
        assert rail.marks[0].edge_level == pytest.approx(50.0, abs=1e-6)
        assert rail.marks[0].clear_before == pytest.approx(0.0, abs=1e-6)
        assert rail.marks[0].fillet_before == pytest.approx(50.0 / math.cos(PITCH))

    def test_a_mark_rounded_by_itself_is_off_by_half_a_step_at_most(self) -> None:
        for rail in running_marks(plain_design()).bars:
            assert rail.rounding(1.0) <= 0.5

    def test_stepping_off_adds_the_rounding_of_every_length(self) -> None:
        rail = running_marks(plain_design()).bars[0]
        clear = rail.marks[0].clear_before
        expected = len(rail.marks) * (round(clear) - clear)
        assert rail.stepped_off(1.0) == pytest.approx(expected)
        assert abs(rail.stepped_off(1.0)) > rail.rounding(1.0)

    def test_a_step_of_nothing_is_refused(self) -> None:
        with pytest.raises(ValueError, match="above zero"):
            running_marks(plain_design()).bars[0].stepped_off(0.0)

    def test_where_the_closing_error_goes(self) -> None:
        walled = regular_flight(walls=(WallFacts("head", HEAD_WALL, 3000.0),))
        brief = plain_brief(walled, top=AtWall("head"))
        assert (
            "fillets at the two ends take it up half each"
            in running_marks(compose(walled, brief, LIMITS)).closing
        )
        module = replace(PLAIN_UPRIGHTS, spacing=SpacingBrief(Spread.MODULE, module=130.0))
        assert "odd fillets" in running_marks(plain_design(infill=module)).closing
        free = FreeEnd(Station("N1"))
        assert "head of the stair" in running_marks(plain_design(bottom=free)).closing
        assert "foot of the stair" in running_marks(plain_design(top=FreeEnd(Station("N13")))).closing
        both = plain_design(bottom=free, top=FreeEnd(Station("N13")))
        assert "trimmed off the ends of the rails" in running_marks(both).closing
        assert "never step" in running_marks(both).closing

    def test_what_takes_it_up_is_named_by_the_making(self) -> None:
        rods = UprightsBrief(Shape.ROUND, 20.0, 20.0)
        bored = running_marks(plain_design(making=Bored(20.0, 12.0), infill=rods))
        assert "gaps at the two ends" in bored.closing
        assert all(mark.fillet_before == 0.0 for mark in bored.bars[0].marks)
        stacked = plain_design(
            making=Stacked(3, 17.6, (2,), 27.0, 12.0),
            infill=replace(PLAIN_UPRIGHTS, thickness=17.6),
            rail=replace(PLAIN_RAIL, width=52.8),
            base=replace(PLAIN_BASE, width=52.8),
        )
        assert "spacer blocks at the two ends" in running_marks(stacked).closing
        assert PLAIN_GROOVES.end_play == 0.0
