"""Laws of saw settings: laid and set as told, the saw cuts the plane that the part has.

The saw is built here from its parts: the piece is laid on its face against the fence, a taper block turns it, the
blade's line is swung and the blade leaned over, all by rotation matrices of their own.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, permutations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from pitchline.kit.geometry.bevels import SawReading, end_plane, start_plane
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, SETTING_OPENS
from pitchline.making.settings import Batch, CutKind, Holding, SawWork, SetCut, Setting, WhyNot
from pitchline.making.settings_order import moves_between, ordered
from pitchline.making.settings_ways import ways
from pitchline.making.settings_work import saw_work
from pitchline.making.shop import Saw, SawKind, Shop, usual_saw, usual_shop
from pitchline.parts.explode import Group
from pitchline.parts.part import Face, Part, Role, RoundOver

FEW = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
Matrix = NDArray[np.float64]

AXES = {Face.PLUS_Y: (0, 1, 0), Face.MINUS_Y: (0, -1, 0), Face.PLUS_Z: (0, 0, 1), Face.MINUS_Z: (0, 0, -1)}


def turned(axis: str, degrees: float) -> Matrix:
    """Rotation about an axis of the saw by the right-hand rule."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array(
        [[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]
        if axis == "z"
        else [[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]]
    )


def laid(one: SetCut, kind: SawKind) -> Matrix:
    """From the piece's axes to the saw's: the face down meets -z, the fence face +y (a mitre gauge's -y)."""
    up = -np.array(AXES[one.lay.down], dtype=float)
    away = np.array(AXES[one.lay.fence], dtype=float) * (-1.0 if kind is SawKind.TABLE else 1.0)
    return np.array([np.cross(away, up), away, up])


def cut_by_the_saw(one: SetCut, batch: Batch, *, shared: bool) -> Plane:
    """What the blade cuts, in the piece's own axes, through the point of its stop line at the told distance."""
    setting = batch.setting
    lay = laid(one, setting.saw.kind)
    block = math.copysign(setting.block_deg, one.exact.mitre_deg) if setting.block_deg else 0.0
    mitre = setting.mitre_deg if shared else one.exact.mitre_deg - block
    tilt = setting.tilt_deg if shared else one.exact.bevel_deg
    upright_square = np.array([1.0, 0.0, 0.0])
    blade = turned("z", mitre) @ turned("y", -tilt) @ upright_square
    piece = turned("z", -block) @ lay
    normal = piece.T @ blade
    part, line = one.cut.part, stop_point(one)
    others = part.finish_cuts if one.cut.at_start else part.start_cuts
    places = [-plane.distance((0.0, *line)) / plane.normal[0] for plane in others]
    far = min(places) if one.cut.at_start else max(places)
    reach = one.stop if one.cut.kind is CutKind.END else abs(one.stop)
    x = far - reach if one.cut.at_start else far + reach
    outward = -1.0 if one.cut.at_start else 1.0
    normal = normal * outward * math.copysign(1.0, normal[0])
    return Plane((x, *line), (float(normal[0]), float(normal[1]), float(normal[2])))


def stop_point(one: SetCut) -> tuple[float, float]:
    down, fence = np.array(AXES[one.lay.down]), np.array(AXES[one.lay.fence])
    corner = (down + fence) if one.low else fence
    return float(corner[1] * one.cut.part.width / 2), float(corner[2] * one.cut.part.thickness / 2)


@st.composite
def saws(draw: st.DrawFn) -> Saw:
    kind = draw(st.sampled_from([SawKind.MITRE, SawKind.TABLE, SawKind.HAND]))
    swing = st.sampled_from([45.0, 50.0, 60.0])
    return replace(
        usual_saw(kind),
        left_deg=draw(swing),
        right_deg=draw(swing),
        tilt_left_deg=draw(st.sampled_from([0.0, 30.0, 45.0, 47.0])),
        tilt_right_deg=draw(st.sampled_from([0.0, 45.0])),
        deep=draw(st.floats(40, 120)),
        wide=draw(st.floats(200, 400)),
    )


@st.composite
def groups(draw: st.DrawFn) -> tuple[Group, ...]:
    """Pieces whose ends are cut at a few angles, some of them off by a hair; some with an arris rounded over."""
    angles = draw(st.lists(st.floats(-70, 70), min_size=1, max_size=3))
    slants = draw(st.lists(st.floats(-40, 40), min_size=1, max_size=2))
    found = []
    for number in range(draw(st.integers(1, 6))):
        length = draw(st.floats(60, 1500))
        width, thick = draw(st.floats(10, 90)), draw(st.floats(6, 60))
        hair = draw(st.sampled_from([0.0, 0.0, 0.03, -0.1]))
        reading = SawReading(
            draw(st.sampled_from([0.0, *angles])) + hair, draw(st.sampled_from([0.0, *slants]))
        )
        other = draw(st.sampled_from([reading, reading.mirrored, SawReading(0.0, 0.0)]))
        reach = 400.0
        features = (RoundOver(((1, 1), (-1, 1)), 5.0),) if draw(st.booleans()) else ()
        part = Part(
            f"U{number}",
            f"U{number}",
            Role.UPRIGHT,
            "oak-european",
            length + 2 * reach,
            max(width, thick),
            min(width, thick),
            (start_plane((reach, 0.0, 0.0), reading),),
            (end_plane((reach + length, 0.0, 0.0), other),),
            features,
            Frame(),
        )
        found.append(Group(part.mark, part, (part.place,)))
    return tuple(found)


def shop_with(some: list[Saw]) -> Shop:
    named = tuple(replace(saw, id=f"{saw.kind.value} {k}") for k, saw in enumerate(some))
    return replace(usual_shop(), saws=named)


def moved(order: Sequence[Setting]) -> int:
    """How many scales are moved in all, beginning at square."""
    return sum(moves_between(a, b) for a, b in zip([None, *order], order, strict=False))


def each(work: SawWork) -> list[tuple[SetCut, Batch]]:
    return [(one, batch) for batch in work.batches for one in batch.cuts]


@FEW
@given(groups(), st.lists(saws(), min_size=1, max_size=3))
def test_the_saw_cuts_the_plane_of_the_part(pieces: tuple[Group, ...], some: list[Saw]) -> None:
    for one, batch in each(saw_work(pieces, shop_with(some))):
        made, wanted = cut_by_the_saw(one, batch, shared=False), one.cut.plane
        assert np.allclose(made.normal, wanted.normal, atol=1e-9)
        assert abs(made.distance(wanted.point)) <= 1e-6 and abs(wanted.distance(made.point)) <= 1e-6


@FEW
@given(groups(), st.lists(saws(), min_size=1, max_size=3))
def test_a_shared_setting_opens_no_joint_by_more_than_is_allowed(
    pieces: tuple[Group, ...], some: list[Saw]
) -> None:
    """Over the corners of the section, along the piece, the cut made is within the told gap of the cut wanted."""
    for one, batch in each(saw_work(pieces, shop_with(some))):
        assert one.opens <= SETTING_OPENS
        made, wanted = cut_by_the_saw(one, batch, shared=True), one.cut.plane
        part = one.cut.part
        corners = [(y * part.width / 2, z * part.thickness / 2) for y in (-1, 1) for z in (-1, 1)]
        gaps = [wanted.distance((-made.distance((0.0, *yz)) / made.normal[0], *yz)) for yz in corners]
        assert max(gaps) - min(gaps) == pytest.approx(one.opens, abs=1e-9)


@FEW
@given(groups(), st.lists(saws(), min_size=1, max_size=3))
def test_every_cut_is_made_once_within_reach_of_its_saw(pieces: tuple[Group, ...], some: list[Saw]) -> None:
    work = saw_work(pieces, shop_with(some))
    told = [(one.cut.mark, one.cut.at_start) for one, _ in each(work)]
    told += [(one.cut.mark, one.cut.at_start) for one in work.unset]
    assert sorted(told) == sorted((group.mark, start) for group in pieces for start in (True, False))
    assert all(one.why is WhyNot.BEYOND for one in work.unset)
    for one, batch in each(work):
        saw, setting = batch.setting.saw, batch.setting
        assert saw.reaches(setting.mitre_deg, setting.tilt_deg, ENDS_ALIKE_DEG)
        wide, high = one.lay.section(one.cut.part)
        assert saw.passes(
            wide, high / 1.9 if one.from_two_sides else high, one.exact.mitre_deg, one.exact.bevel_deg
        )
        if one.from_two_sides:
            assert max(abs(one.exact.mitre_deg), abs(one.exact.bevel_deg)) <= ENDS_ALIKE_DEG


@FEW
@given(groups(), saws())
def test_no_piece_that_is_too_short_is_held_by_hand(pieces: tuple[Group, ...], saw: Saw) -> None:
    for one, batch in each(saw_work(pieces, shop_with([replace(saw, shortest=1000.0)]))):
        short = one.cut.part.blank_length < batch.setting.saw.shortest
        assert (one.holding is not Holding.BY_HAND) == short


@FEW
@given(groups(), saws())
def test_there_are_no_fewer_settings(pieces: tuple[Group, ...], saw: Saw) -> None:
    """No choice of fewer settings serves all cuts: tried out where there are few enough to try them all."""
    work = saw_work(pieces, shop_with([saw]))
    batches = work.batches
    plain = [one for one, batch in each(work) if not batch.setting.block_deg]
    if not 2 <= len(batches) <= 4 or len(plain) != len(each(work)):
        return
    found = [ways(one.cut, [batches[0].setting.saw]) for one in plain]
    every = [way.setting for some in found for way in some]
    for fewer in combinations(dict.fromkeys(every), len(batches) - 1):
        served = all(
            any(way.opens(one.cut.part, setting) <= SETTING_OPENS for way in some for setting in fewer)
            for one, some in zip(plain, found, strict=True)
        )
        assert not served


@FEW
@given(groups(), st.lists(saws(), min_size=1, max_size=2))
def test_no_other_order_moves_fewer_scales(pieces: tuple[Group, ...], some: list[Saw]) -> None:
    work = saw_work(pieces, shop_with(some))
    found = [batch.setting for batch in work.batches]
    assert ordered(found)[1] == work.moves
    for saw in {setting.saw for setting in found}:
        mine = [setting for setting in found if setting.saw == saw]
        if len(mine) <= 6:
            assert moved(mine) == min(moved(order) for order in permutations(mine))
