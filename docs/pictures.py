"""Draws the pictures of the front page anew from the built-in example: ``make pictures``."""

import sys
import tempfile
from pathlib import Path

from pitchline.app.commands import demo

IMAGES = Path(__file__).parent / "images"
PICTURES = {"A-in-space.svg": "example-in-space.svg", "A-elevation.svg": "example-elevation.svg"}
PAPER = '<rect width="100%" height="100%" fill="#ffffff"/>'


def main() -> None:
    """Build the example in a folder of its own and keep two of its pictures, on white paper."""
    IMAGES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch:
        pack = Path(scratch) / "pack"
        demo(pack)
        for drawn, kept in PICTURES.items():
            text = (pack / "drawings" / drawn).read_text(encoding="utf-8")
            (IMAGES / kept).write_text(on_paper(text), encoding="utf-8")
            sys.stderr.write(f"Drew docs/images/{kept}\n")


def on_paper(svg: str) -> str:
    """A picture with white paper behind it, so that dark pages show it too."""
    end_of_title = svg.index("</title>") + len("</title>")
    return svg[:end_of_title] + PAPER + svg[end_of_title:]


if __name__ == "__main__":
    main()
