"""Parts of the ends: new newels and half newels."""

from collections.abc import Iterator

from pitchline.design.model import Design, Post, PostRole
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.parts.joints.registry import joint_of
from pitchline.parts.part import Feature, Notch, Part, Role
from pitchline.parts.shaping import face_names


def newel_parts(design: Design) -> Iterator[Part]:
    """One part for each newel that has to be made."""
    for post in design.posts:
        if post.role is not PostRole.EXISTING and not post.shared:
            yield _newel(design, post)


def _newel(design: Design, post: Post) -> Part:
    frame = _frame(post)
    wide, thin = max(post.along, post.across), min(post.along, post.across)
    return Part(
        place=post.id,
        mark=post.id,
        role=Role.HALF_NEWEL if post.role is PostRole.HALF else Role.NEWEL,
        material=post.material,
        length=post.length,
        width=wide,
        thickness=thin,
        start_cuts=(Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),),
        finish_cuts=(Plane((post.length, 0.0, 0.0), (1.0, 0.0, 0.0)),),
        features=(*_notch(design, post), *joint_of(design.making).in_post(design, post, frame)),
        frame=frame,
        face_names=face_names(frame, design.side),
    )


def _frame(post: Post) -> Frame:
    """X up the newel, Y along its wider side."""
    towards = post.along_axis if post.along >= post.across else post.across_axis
    return Frame.from_xy(post.foot, post.axis, towards)


def _notch(design: Design, post: Post) -> Iterator[Feature]:
    """A newel lapped on the string is notched over it, up to the string's top edge on its higher side.

    The notch goes right through along the stair, and is so wide that the string passes a newel that stands skew.
    """
    string = design.flight.string
    if string is None or not post.laps_string:
        return
    edges = (post.foot[0] - post.along / 2, post.foot[0] + post.along / 2)
    head = max(string.top.at(u) for u in edges) - post.foot[2]
    if head <= 0:
        return
    through = post.along / 2
    beside = (string.thickness / 2 + through * abs(post.along_axis[1])) / abs(post.across_axis[1])
    y, z = (through, beside) if post.along >= post.across else (beside, through)
    yield Notch((0.0, -y, -z), (head, y, z))
