"""Texts to start a job from: commented blanks, and complete invented examples."""

from importlib.resources import files

from pitchline.kit.units import Unit

EXAMPLES = ("mm", "in")
"""The plain examples: one straight flight, two designs, in either unit."""

STAIRS = {
    "quarter-turn": Unit.MM,
    "dog-leg": Unit.MM,
    "winders": Unit.MM,
    "leaning": Unit.MM,
    "panels": Unit.MM,
    "cables": Unit.INCH,
    "knee-wall": Unit.INCH,
}
"""Examples of other stairs and other ways to guard them, and the unit each is written in."""


def example_unit(example: str) -> Unit:
    """The unit that an example is written in. ValueError for an example that does not exist."""
    if example in EXAMPLES:
        return Unit(example)
    if example not in STAIRS:
        raise ValueError(f"there is no example {example!r}; there are {', '.join((*EXAMPLES, *STAIRS))}")
    return STAIRS[example]


def starting_text(example: str | None, units: Unit) -> str:
    """A starting job: an invented example by its name, or with None the commented blank in these units.

    Raises ValueError for an example that does not exist.
    """
    if example is None:
        name = f"blank-{units.value}"
    else:
        example_unit(example)
        name = f"example-{example}" if example in EXAMPLES else example
    return files("pitchline.job").joinpath("templates", f"{name}.toml").read_text(encoding="utf-8")


def demo_text() -> str:
    """The plain example in mm as a maker would finish it: a newel between, bases told and pulled at, a rack named."""
    return files("pitchline.job").joinpath("templates", "demo.toml").read_text(encoding="utf-8")


def rack_text(units: Unit) -> str:
    """An invented shop's rack, in these units."""
    return (
        files("pitchline.job").joinpath("templates", f"rack-{units.value}.toml").read_text(encoding="utf-8")
    )
