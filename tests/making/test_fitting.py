"""Pieces at hand and the places they may go to: what is lacking, what comes off, who goes where."""

import math
from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.design.as_built import MadePiece, SawnEnd, State
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.making.fitting import Fit, as_made, ends_of, fit_of
from pitchline.making.fitting_match import STRANGE_PLACE, Fate, match, still_to_cut
from pitchline.parts.part import Hole, Part, Role

WIDTH, THICKNESS = 32.0, 20.0


def piece(
    place: str, length: float, lower_deg: float = 0.0, upper_deg: float = 0.0, role: Role = Role.UPRIGHT
) -> Part:
    """A piece with its ends mitred in the wide face; ``length`` from longest point to longest point.

    A positive mitre leaves the longest point of its end on the +Y side.
    """
    low, high = math.radians(lower_deg), math.radians(upper_deg)
    half = WIDTH / 2
    start = Plane((half * math.tan(abs(low)), 0.0, 0.0), (-math.cos(low), math.sin(low), 0.0))
    finish = Plane((length - half * math.tan(abs(high)), 0.0, 0.0), (math.cos(high), -math.sin(high), 0.0))
    return Part(place, place, role, "oak", length, WIDTH, THICKNESS, (start,), (finish,), (), Frame())


def test_the_ends_of_a_piece_lie_between_its_longest_points() -> None:
    start, finish = ends_of(piece("U01", 800.0, 30.0, -20.0))
    assert (start.min(), finish.max()) == pytest.approx((0.0, 800.0))
    assert start.max() == pytest.approx(WIDTH * math.tan(math.radians(30.0)))
    assert finish.min() == pytest.approx(800.0 - WIDTH * math.tan(math.radians(20.0)))


@pytest.mark.parametrize("angle", [0.0, 40.0])
def test_a_longer_piece_cut_alike_loses_what_it_is_longer_by(angle: float) -> None:
    fit = fit_of(piece("U01", 804.5, angle, angle), piece("U01", 800.0, angle, angle))
    assert fit.fits
    assert not fit.as_it_is
    assert fit.waste == pytest.approx(4.5)
    assert fit.resawn == (False, False)


def test_a_shorter_piece_lacks_what_it_is_shorter_by() -> None:
    fit = fit_of(piece("U01", 797.5, 40.0, 40.0), piece("U01", 800.0, 40.0, 40.0))
    assert not fit.fits
    assert fit.short == pytest.approx(2.5)


def test_a_piece_that_is_short_by_less_than_a_shaving_fits() -> None:
    assert fit_of(piece("U01", 799.8), piece("U01", 800.0)).as_it_is


def test_a_square_end_is_cut_to_a_new_angle_where_its_length_suffices() -> None:
    """From a square end to a mitre of 10 degrees over 32 mm the short side loses 32 tan 10."""
    fit = fit_of(piece("U01", 800.0), piece("U01", 800.0, upper_deg=10.0))
    assert fit.fits
    assert fit.resawn == (False, True)
    assert (fit.trim_start, fit.trim_finish) == pytest.approx((0.0, WIDTH * math.tan(math.radians(10.0))))


def test_mitres_that_fall_the_other_way_lack_wood_on_the_long_side() -> None:
    """One end mitred by 10 degrees the wrong way over 32 mm lacks 32 tan 10 at the other side of the face."""
    fit = fit_of(piece("U01", 800.0, upper_deg=-10.0), piece("U01", 800.0, upper_deg=10.0))
    assert fit.short == pytest.approx(WIDTH * math.tan(math.radians(10.0)))


def test_a_hole_that_lies_elsewhere_is_told() -> None:
    bored = replace(piece("U01", 800.0), features=(Hole((100.0, 0.0, 0.0), (0.0, 0.0, 1.0), 8.0, 10.0),))
    near, off = (
        replace(bored, features=(Hole((x, 0.0, 0.0), (0.0, 0.0, 1.0), 8.0, 10.0),)) for x in (100.0, 90.0)
    )
    two = replace(bored, features=(*bored.features, Hole((700.0, 0.0, 0.0), (0.0, 0.0, 1.0), 8.0, 10.0)))
    assert fit_of(bored, near).as_it_is
    assert fit_of(bored, two).misplaced
    shifted = fit_of(bored, off)
    assert shifted.short == pytest.approx(10.0), "slid along by 10 to its hole, it lacks them at the far end"


def test_what_was_measured_of_a_cut_piece_is_believed() -> None:
    planned = piece("U01", 800.0, 40.0, 40.0)
    made = as_made(planned, MadePiece("U01", State.CUT, "", length=795.0, finish=SawnEnd(mitre_deg=38.0)))
    start, finish = ends_of(made)
    assert made.length == 795.0
    assert (start.min(), finish.max()) == pytest.approx((0.0, 795.0))
    assert finish.max() - finish.min() == pytest.approx(WIDTH * math.tan(math.radians(38.0)))
    assert as_made(planned, MadePiece("U01", State.CUT, "")) is planned


LENGTHS = st.lists(st.integers(780, 820).map(float), min_size=1, max_size=5)


@settings(max_examples=60, deadline=None)
@given(LENGTHS, LENGTHS)
def test_pieces_are_given_out_as_trying_every_way_would(have: list[float], wanted: list[float]) -> None:
    """The assignment against all permutations: most pieces used, then least cut off and moved."""
    cut = {f"U{k:02d}": piece(f"U{k:02d}", length) for k, length in enumerate(have, start=1)}
    places = [piece(f"U{k:02d}", length) for k, length in enumerate(wanted, start=1)]
    found = match(places, places, {}, cut)
    given_out = [(one.piece, one.place, one.fit) for one in found.placed if one.piece]
    cost = sum(fit.waste + (STRANGE_PLACE if name != place else 0.0) for name, place, fit in given_out if fit)
    best = min(_ways(have, wanted))
    assert (-len(given_out), cost) == pytest.approx(best)
    assert len(found.left_over) == len(have) - len(given_out)
    made = {one.place for one in found.placed if one.piece}
    assert {part.place for part in still_to_cut(places, found)} == {p.place for p in places} - made


def _ways(have: list[float], wanted: list[float]) -> list[tuple[int, float]]:
    """Of every way to give pieces to places: how many go somewhere (below zero), and what it costs."""
    seats: list[int | None] = [*range(len(wanted)), *[None] * len(have)]
    ways = set()
    for way in set(permutations(seats, len(have))):
        pairs = [(k, seat) for k, seat in enumerate(way) if seat is not None]
        if all(have[k] >= wanted[seat] for k, seat in pairs):
            cost = sum(have[k] - wanted[seat] + (STRANGE_PLACE if k != seat else 0.0) for k, seat in pairs)
            ways.add((-len(pairs), cost))
    return list(ways)


def test_what_becomes_of_every_piece_is_told() -> None:
    planned = [piece(f"U{k:02d}", 800.0) for k in range(1, 6)]
    now = [piece("U01", 800.0), piece("U02", 800.0), piece("U03", 790.0), piece("U04", 810.0)]
    found = match(planned, now, {"U01": "U01"}, {"U03": planned[2], "U04": planned[3]})
    fates = {one.place: (one.piece, one.fate) for one in found.placed}
    assert fates == {
        "U01": ("U01", Fate.FITTED),
        "U02": ("U04", Fate.FITS),
        "U03": ("U03", Fate.TRIM),
        "U04": ("", Fate.NEW),
    }
    assert found.gone == ("U05",)
    assert not found.left_over


def test_pieces_of_other_stuff_keep_to_themselves() -> None:
    rail = piece("F01", 800.0, role=Role.RAIL_FILLET)
    found = match([piece("U01", 800.0)], [piece("U01", 800.0)], {}, {"F01": rail})
    assert [one.fate for one in found.placed] == [Fate.SAME]
    assert [(one.piece, one.fit) for one in found.left_over] == [("F01", None)]


def test_a_fit_says_what_comes_off() -> None:
    assert Fit().as_it_is
    assert Fit(1.0, 2.0).waste == 3.0
    assert not Fit(misplaced=True).fits
