"""A fault becomes one sentence; an input error tells all of them."""

from pitchline.kit.errors import Fault, InputError, OutputError


def test_a_fault_says_where_what_allowed_and_what_to_do() -> None:
    fault = Fault(
        "designs[0].handrail.depth", "the rail is too deep", "800", "10 to 400 mm", "make it less", 41
    )
    assert fault.sentence() == (
        "line 41, designs[0].handrail.depth: the rail is too deep (found 800); allowed: 10 to 400 mm; make it less."
    )
    assert Fault("the file", "it is empty").sentence() == "the file: it is empty."


def test_all_faults_are_told_with_their_source() -> None:
    error = InputError([Fault("a", "one"), Fault("b", "two")], "stair.toml")
    assert str(error).splitlines() == ["stair.toml, a: one.", "stair.toml, b: two."]
    assert isinstance(error, ValueError)
    assert isinstance(OutputError("x"), OSError)
