"""How each post of a design stands: stated, or as is usual for a post of its kind; pull tests on top."""

from pitchline.catalogue.strength import fixing_type
from pitchline.design.model import Design, Post, PostRole
from pitchline.strength.bases import supports
from pitchline.strength.bases.joints import (
    AsFound,
    Base,
    BaseStiffness,
    FaceFixed,
    OnPlate,
    PostEnd,
    base_stiffness,
)
from pitchline.strength.bases.pull import measured
from pitchline.strength.bases.springs import about
from pitchline.strength.bases.supports import OnString, Support
from pitchline.strength.settings import PostBase, StrengthSettings
from pitchline.strength.woods import Wood, wood_of

USUAL_STRING = (32.0, 230.0)
"""Thickness and depth of a string of which nothing is known, mm (common practice, no source)."""

USUAL_GOING = 250.0
"""mm, of a flight of one step (common practice, no source)."""

ON_WALL = about(200e6)
"""A half newel screwed to its wall over its height hardly turns at its foot (common practice, no source)."""


def post_end(post: Post, settings: StrengthSettings) -> PostEnd:
    """The foot of a post for its base."""
    return PostEnd(wood_of(post.material, settings.graded), post.along, post.across)


def how_it_stands(post: Post, design: Design, settings: StrengthSettings) -> tuple[Base, Support]:
    """The base and support of a post: as stated, else as usual."""
    stated = settings.bases.get(post.id, PostBase())
    wood = wood_of("pine-european", settings.graded)
    support = stated.support or _usual_support(post, design, wood)
    if isinstance(support, OnString):
        support = supports.string(support.wood, support.thickness, support.depth, mean_going(design))
    return stated.base or _usual_base(post), support


def mean_going(design: Design) -> float:
    """The mean going of the flight, mm; that of a usual one where it has a single step."""
    nosings = design.flight.nosings
    return (nosings[-1][0] - nosings[0][0]) / (len(nosings) - 1) if len(nosings) > 1 else USUAL_GOING


def stand(post: Post, design: Design, settings: StrengthSettings) -> BaseStiffness:
    """The stiffness of a post's base, with its pull tests in place of estimates."""
    end = post_end(post, settings)
    if post.role is PostRole.HALF and post.id not in settings.bases:
        told = "half newel screwed to its wall every 300 mm of its height, 5 kN/mm each, half to twice (no source)"
        return BaseStiffness("on a wall", ON_WALL, ON_WALL, 0.0, 0.0, (told,))
    base, support = how_it_stands(post, design, settings)
    found = base_stiffness(base, end, support)
    for number, pull in enumerate(settings.bases.get(post.id, PostBase()).pulls):
        found = measured(found, pull, end, f"bases.{post.id}.pulls[{number}]")
    return found


def _usual_base(post: Post) -> Base:
    if post.role is PostRole.EXISTING:
        return AsFound()
    if post.laps_string:
        return FaceFixed(fixing_type("bolt-m10"), rows=2, pitch=120.0, edge=40.0)
    lever = min(post.along, post.across)
    return OnPlate(fixing_type("screw-8"), 4, lever_along=lever, lever_across=lever, thread=60.0)


def _usual_support(post: Post, design: Design, wood: Wood) -> Support:
    if post.laps_string:
        known = design.flight.string
        thickness, depth = USUAL_STRING if known is None else (known.thickness, known.depth)
        return supports.string(wood, thickness, depth, mean_going(design))
    if "tread" in post.stands:
        return supports.tread(wood)
    return supports.floor(wood)
