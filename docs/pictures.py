"""Draws the pictures of the documentation anew from the built-in examples: ``make pictures``."""

import sys
import tempfile
from pathlib import Path

from pitchline.app.result import result_document
from pitchline.job.load import load_text
from pitchline.job.new import STAIRS, starting_text
from pitchline.kit.naming import safe_name
from pitchline.kit.units import Unit
from pitchline.sheets.edgeviews import named
from pitchline.sheets.pack import write_pack
from pitchline.story import Solved, solve

IMAGES = Path(__file__).parent / "images"
PICTURES = {"A-in-space.svg": "example-in-space.svg", "A-elevation.svg": "example-elevation.svg"}
PAPER = '<rect width="100%" height="100%" fill="#ffffff"/>'


def main() -> None:
    """Build every example in a folder of its own and keep two pictures of each, on white paper."""
    IMAGES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch:
        pack = Path(scratch) / "pack"
        plain = solve(load_text(starting_text("mm", Unit.MM)))
        write_pack(plain, pack, result_document(plain))
        for drawn, kept in PICTURES.items():
            keep(pack / "drawings" / drawn, kept)
        for name, unit in STAIRS.items():
            solved = solve(load_text(starting_text(name, unit)))
            folder = Path(scratch) / name
            write_pack(solved, folder, result_document(solved))
            for drawn, kept in gallery_pictures(name, solved).items():
                keep(folder / "drawings" / drawn, kept)


def gallery_pictures(name: str, solved: Solved) -> dict[str, str]:
    """The pictures of an example's first design: file of the pack, file of the documentation."""
    first = solved.balustrades[0]
    drawn = f"{first.id}-elevation" if len(first.legs) == 1 else f"{named(first.edges[0])}-unrolled"
    return {
        f"{safe_name(drawn)}.svg": f"{name}-elevation.svg",
        f"{safe_name(first.id)}-in-space.svg": f"{name}-in-space.svg",
    }


def keep(drawn: Path, kept: str) -> None:
    """Copy a picture into the documentation, on white paper."""
    (IMAGES / kept).write_text(on_paper(drawn.read_text(encoding="utf-8")), encoding="utf-8")
    sys.stderr.write(f"Drew docs/images/{kept}\n")


def on_paper(svg: str) -> str:
    """A picture with white paper behind it, so that dark pages show it too."""
    end_of_title = svg.index("</title>") + len("</title>")
    return svg[:end_of_title] + PAPER + svg[end_of_title:]


if __name__ == "__main__":
    main()
