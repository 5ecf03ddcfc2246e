"""The strength files of the catalogue: strict, every row with its source; faults told with their place."""

import pytest

from pitchline.catalogue.strength import (
    fixing_type,
    is_plywood,
    list_fixings,
    plies_of,
    read_fixings,
    read_lumber_grades,
    read_plies,
    read_strength_classes,
    strength_class,
)
from pitchline.kit.errors import InputError

SOURCE = '[sources.s]\ntitle = "t"\nedition = "e"\nseen = "s"\n'


def test_unknown_names_are_told_the_nearest() -> None:
    with pytest.raises(InputError, match="did you mean"):
        strength_class("C25")
    with pytest.raises(InputError, match="no such fixing"):
        fixing_type("nail")
    with pytest.raises(InputError, match="no such plywood"):
        plies_of("oak-european")


def test_every_fixing_has_sound_sizes() -> None:
    for fixing_id in list_fixings():
        fixing = fixing_type(fixing_id)
        assert 0.0 < fixing.root < fixing.d < fixing.head
        assert fixing.f_u >= 400.0
        assert fixing.stress_area > 0.0


def test_plywoods() -> None:
    assert is_plywood("birch-plywood")
    assert not is_plywood("pine-european")
    with pytest.raises(ValueError, match="odd number of plies"):
        from pitchline.strength.plies import lay_up

        lay_up(plies_of("birch-plywood"), 4)


@pytest.mark.parametrize(
    ("read", "text", "words"),
    [
        (read_strength_classes, '[classes]\nC24 = { kind = "softwood", source = "s", status = "M" }', "f_m"),
        (
            read_strength_classes,
            '[classes]\nC24 = { kind = "steel", source = "x", status = "M" }',
            "no such source",
        ),
        (read_lumber_grades, '[assumed]\npine = "none"', "assumed.pine"),
        (read_plies, '[plywood]\np = { veneer = "thin", source = "s", status = "M" }', "plywood.p.veneer"),
        (read_fixings, '[fixings]\nf = { kind = "bolt", colour = 3 }', "not known here"),
    ],
)
def test_faults_are_told_with_their_place(read: object, text: str, words: str) -> None:
    assert callable(read)
    with pytest.raises(InputError, match=words):
        read(SOURCE + text, "a file of one's own")
