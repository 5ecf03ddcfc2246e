"""Parts as solids: what overlaps, what touches, how far apart. Volumes are checked in tests/validation."""

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.strategies_stairs import FOOT_POST, LIMITS, plain_brief, regular_flight

from pitchline.design.brief import ExistingNewel
from pitchline.design.compose import compose
from pitchline.design.model import Design, PostRole
from pitchline.kit.geometry.frames import Frame, Plane, along
from pitchline.parts.explode import explode
from pitchline.parts.part import Hole, Part, Role, RoundBar
from pitchline.solids.mesh import Mesh
from pitchline.solids.solid import (
    gap,
    local_solid,
    overlaps,
    part_body,
    part_mesh,
    post_body,
    solid_of,
    touching,
)
from pitchline.stair.facts import PostFacts


@pytest.fixture(scope="module")
def design() -> Design:
    """A balustrade from an old newel, leaning and twisted, to a new one."""
    post = PostFacts("old", FOOT_POST, 700.0, 92.0, 90.0, 0.021, -0.014, math.radians(3.0))
    flight = regular_flight(posts=(post,))
    return compose(flight, plain_brief(flight, bottom=ExistingNewel("old")), LIMITS)


def cube(place: str, at: float, size: float = 100.0) -> Part:
    return Part(
        place=place,
        mark=place,
        role=Role.BASE_BLOCK,
        material="oak-european",
        length=size,
        width=size,
        thickness=size,
        start_cuts=(Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),),
        finish_cuts=(Plane((size, 0.0, 0.0), (1.0, 0.0, 0.0)),),
        features=(),
        frame=Frame(origin=(at, 0.0, 0.0)),
    )


def test_touching_cubes_do_not_overlap() -> None:
    assert overlaps([cube("A", 0.0), cube("B", 100.0)]) == ()


def test_an_overlap_is_the_shared_slab() -> None:
    (found,) = overlaps([cube("A", 0.0), cube("B", 99.0), cube("C", 500.0)])
    assert (found.a, found.b) == ("A", "B")
    assert found.volume == pytest.approx(1.0 * 100.0 * 100.0)


def test_what_is_smaller_than_asked_for_is_not_told() -> None:
    assert overlaps([cube("A", 0.0), cube("B", 99.0)], more_than=10_001.0) == ()


def test_gap_and_touch() -> None:
    first, near, far = part_body(cube("A", 0.0)), part_body(cube("B", 100.0)), part_body(cube("C", 103.0))
    assert gap(first, near) == pytest.approx(0.0, abs=1e-9)
    assert gap(first, far) == pytest.approx(3.0)
    assert gap(first, far, search=2.0) == pytest.approx(2.0)
    assert touching(first, near)
    assert not touching(first, far)


def test_nothing_overlaps_in_a_balustrade_between_crooked_newels(design: Design) -> None:
    assert overlaps(explode(design), design.posts[:1]) == ()


def test_a_part_pushed_into_its_neighbours_is_found(design: Design) -> None:
    parts = list(explode(design))
    place = next(i for i, part in enumerate(parts) if part.role is Role.UPRIGHT)
    frame = parts[place].frame
    moved = replace(frame, origin=along(frame.origin, (1.0, 0.0, 0.0), 1.0))
    parts[place] = replace(parts[place], frame=moved)
    found = overlaps(parts)
    assert found
    assert all(parts[place].place in (overlap.a, overlap.b) for overlap in found)


def test_rails_touch_the_newels_and_uprights_the_rails(design: Design) -> None:
    bodies = {part.place: part_body(part) for part in explode(design)}
    posts = {post.id: post_body(post) for post in design.posts}
    for rail in ("H1", "B1"):
        assert all(touching(bodies[rail], post) for post in posts.values())
        assert touching(bodies[rail], bodies["U01"])
    assert not touching(bodies["H1"], bodies["B1"])


def test_the_existing_newel_stands_where_it_was_surveyed(design: Design) -> None:
    post = design.posts[0]
    assert post.role is PostRole.EXISTING
    body = post_body(post)
    assert body.solid.volume() == pytest.approx(92.0 * 90.0 * post.length)
    low, high = body.low, body.high
    assert low[2] < 5.0
    assert high[0] - low[0] > 92.0 + 0.02 * post.length


def test_a_round_upright_fits_a_hole_of_its_own_size() -> None:
    # Bars are polygons inside their circle, holes polygons outside it: no clash where there is none in truth.
    block = replace(cube("A", 0.0), features=(Hole((50.0, 0.0, 50.0), (0.0, 0.0, -1.0), 20.0, 60.0),))
    bar = replace(
        cube("B", 0.0),
        width=20.0,
        thickness=20.0,
        features=(RoundBar(20.0),),
        frame=Frame.from_xy((50.0, 0.0, -10.0), (0.0, 0.0, 1.0), (math.cos(0.3), math.sin(0.3), 0.0)),
    )
    assert overlaps([block, bar]) == ()


def test_a_plain_parts_mesh_is_its_cut_box() -> None:
    mesh = part_mesh(cube("A", 0.0))
    assert mesh.volume == pytest.approx(1e6)
    assert mesh.volume == pytest.approx(local_solid(cube("A", 0.0)).volume())


def test_an_open_mesh_is_refused() -> None:
    whole = part_mesh(cube("A", 0.0))
    with pytest.raises(ValueError, match="not a closed solid"):
        solid_of(Mesh(whole.corners, np.ascontiguousarray(whole.triangles[:-1])))
