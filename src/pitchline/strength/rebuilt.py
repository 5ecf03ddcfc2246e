"""A design with one thing built otherwise: a stouter rail, thicker newels, one newel more, other bases.

Only what the strength looks at is changed; it is for trying out, and nothing is made from it.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from pitchline.design.makings import Stacked
from pitchline.design.model import Bar, Design, Post, PostRole
from pitchline.kit.geometry.lines import Line
from pitchline.kit.words import Words
from pitchline.strength.bases.joints import Base
from pitchline.strength.bases.supports import Support
from pitchline.strength.legs import StandingLeg
from pitchline.strength.settings import PostBase, StrengthSettings
from pitchline.strength.standing import how_it_stands

LAP = 150.0
"""How far a newel added between laps a string, mm (common practice, no source)."""


def widened(bar: Bar, width: float) -> Bar:
    """A rail at least so wide."""
    return replace(bar, width=max(width, bar.width))


def deepened(bar: Bar, depth: float) -> Bar:
    """A rail so deep square to its top, which stays; never shallower than it is."""
    bottom = Line(bar.top.z0, bar.top.slope).offset(-max(depth, bar.depth))
    return replace(bar, bottom=bottom)


def with_layers(design: Design, count: int) -> Design:
    """A stacked design with so many layers, its members' layers kept in the middle."""
    making = design.making
    if not isinstance(making, Stacked):
        return design
    shift = (count - making.layers) // 2
    thicker_making = replace(
        making, layers=count, member_layers=tuple(n + shift for n in making.member_layers)
    )
    return replace(design, making=thicker_making)


def thicker(design: Design, size: float) -> Design:
    """A design with newels at least so thick each way; those that stand already stay as they are."""
    posts = tuple(
        post
        if post.role is PostRole.EXISTING
        else replace(post, along=max(size, post.along), across=max(size, post.across))
        for post in design.posts
    )
    return replace(design, posts=posts)


def bases_of(
    legs: Sequence[StandingLeg], settings: StrengthSettings
) -> Iterator[tuple[Post, Design, Base, Support]]:
    """Every newel of an edge that stands on a base of its own, with that base and what it stands on."""
    for leg in legs:
        for post in leg.design.posts:
            if post.role is not PostRole.HALF and not post.shared:
                yield post, leg.design, *how_it_stands(post, leg.design, settings)


def with_bases(settings: StrengthSettings, bases: Mapping[str, tuple[Base, Support]]) -> StrengthSettings:
    """The settings with other bases; a base that is changed is no longer the one that was pulled at."""
    known = dict(settings.bases)
    for name, (base, support) in bases.items():
        stated = known.get(name, PostBase())
        known[name] = PostBase(base, stated.support or support)
    return replace(settings, bases=known)


def with_every_base(
    legs: Sequence[StandingLeg], settings: StrengthSettings, change: Callable[[Base], Base]
) -> StrengthSettings:
    """The settings with every base changed that is known how it is made."""
    found = {post.id: (change(base), support) for post, _, base, support in bases_of(legs, settings)}
    return with_bases(settings, found)


def station_near(design: Design, u: float) -> tuple[str, float] | None:
    """The nearest named nosing to a place and how far beyond it that is, mm; None on a leg without nosings."""
    flight = design.flight
    known = [
        (abs(u - at), name, u - at)
        for (at, _), name in zip(flight.nosings, flight.nosing_names, strict=True)
        if name
    ]
    if not known:
        return None
    _, name, beyond = min(known)
    return name, beyond


def near_words(near: tuple[str, float], words: Words) -> str:
    """A place by the nearest nosing, as the job file has it."""
    name, beyond = near
    if abs(beyond) < 1.0:
        return f"at {name}"
    return f"{words.about(abs(beyond))} {'above' if beyond > 0.0 else 'below'} {name}"


def newel_between(design: Design) -> Post | None:
    """A newel like the others in the middle of the handrail, on string or tread; None where none is to be made."""
    return next(iter(newels_between(design, 1)), None)


def newels_between(design: Design, count: int) -> tuple[Post, ...]:
    """So many newels like the others that part the handrail evenly; empty where no newel is to be made."""
    pattern = next((post for post in design.posts if post.role is not PostRole.EXISTING), None)
    if pattern is None:
        return ()
    start, finish = design.handrail.start.point[0], design.handrail.finish.point[0]
    places = [start + (finish - start) * n / (count + 1) for n in range(1, count + 1)]
    return tuple(_newel_at(design, pattern, u, n if count > 1 else 0) for n, u in enumerate(places, start=1))


def _newel_at(design: Design, pattern: Post, u: float, number: int) -> Post:
    rail, string = design.handrail, design.flight.string
    if string is not None:
        foot, stands = string.top.at(u) - LAP, "lapped on the string"
    else:
        below = [z for at, z in design.flight.nosings if at <= u]
        foot, stands = max(below, default=0.0), "on the tread there"
    return replace(
        pattern,
        id=f"between {rail.id}" + (f" {number}" if number else ""),
        role=PostRole.NEW,
        foot=(u, 0.0, foot),
        axis=(0.0, 0.0, 1.0),
        along_axis=(1.0, 0.0, 0.0),
        length=rail.top.at(u) - foot,
        stands=stands,
        laps_string=string is not None,
        shared=False,
    )
