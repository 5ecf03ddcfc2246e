"""Texts to start a job from: commented blanks, and complete invented examples."""

from importlib.resources import files

from pitchline.kit.units import Unit

EXAMPLES = ("mm", "in")


def starting_text(example: str | None, units: Unit) -> str:
    """A starting job: the invented example "mm" or "in", or with None the commented blank in these units.

    Raises ValueError for an example that does not exist.
    """
    if example is not None and example not in EXAMPLES:
        raise ValueError(f"there is no example {example!r}; there are {' and '.join(EXAMPLES)}")
    name = f"blank-{units.value}" if example is None else f"example-{example}"
    return files("pitchline.job").joinpath("templates", f"{name}.toml").read_text(encoding="utf-8")
