"""Keeps what the pages show of the program's output as the program really says it.

A page names files and commands in comments, and the block that follows holds what came out:

    <!-- copy: examples/loft-stair.toml stair.toml -->
    <!-- replace: stair.toml | old text | new text -->
    <!-- run: pitchline check stair.toml -->
    <!-- lines: FAIL|findings -->          (optional: only lines that match)

``python docs/snippets.py`` fills the blocks anew; a test holds the pages to it.
"""

import re
import shlex
import shutil
import subprocess
import sys
import tempfile
import textwrap
from pathlib import Path

DOCS = Path(__file__).parent
PROGRAM = Path(sys.executable).with_name("pitchline")
COLUMNS = 116
REMEDY = " " * 9
"""How `check` indents what to do about a finding."""

_PART = re.compile(r"<!-- (?P<verb>copy|replace|run|lines): (?P<rest>.*?) -->\n|```text\n.*?```\n", re.DOTALL)


class Page:
    """One page worked through from the top, in a folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.said: str | None = None

    def filled(self, text: str) -> str:
        """The page with every block that follows a command filled with what the command says."""
        return _PART.sub(self._part, text)

    def _part(self, part: re.Match[str]) -> str:
        if part["verb"] is None:
            said, self.said = self.said, None
            return part[0] if said is None else f"```text\n{''.join(map(_fitted, said.splitlines()))}```\n"
        getattr(self, f"_{part['verb']}")(part["rest"])
        return part[0]

    def _copy(self, rest: str) -> None:
        source, target = rest.split()
        shutil.copy(DOCS / source, self.folder / target)

    def _replace(self, rest: str) -> None:
        name, old, new = (piece.strip().replace("\\n", "\n") for piece in rest.split(" | "))
        path = self.folder / name
        text = path.read_text(encoding="utf-8")
        if text.count(old) != 1:
            raise ValueError(f"{name} holds {text.count(old)} times: {old}")
        path.write_text(text.replace(old, new), encoding="utf-8")

    def _run(self, rest: str) -> None:
        program, *arguments = shlex.split(rest)
        if program == "cat":
            self.said = (self.folder / arguments[0]).read_text(encoding="utf-8-sig")
            return
        done = subprocess.run(
            [PROGRAM, *arguments],
            cwd=self.folder,
            capture_output=True,
            text=True,
            check=False,
            encoding="utf-8",
        )
        if done.returncode not in (0, 1) or "Traceback" in done.stderr:
            raise RuntimeError(f"{rest} ended with {done.returncode}: {done.stderr}")
        self.said = done.stdout + done.stderr

    def _lines(self, rest: str) -> None:
        """Keep the lines that match, each with the indented lines that belong to it."""
        kept, keeping = [], False
        for line in (self.said or "").splitlines():
            keeping = bool(re.search(rest, line)) or (keeping and line.startswith(REMEDY))
            if keeping:
                kept.append(line)
        self.said = "\n".join(kept)


def _fitted(line: str) -> str:
    """A line broken to the width of a page, further lines indented."""
    indent = REMEDY if line.startswith(" ") else ""
    return "\n".join(textwrap.wrap(line, COLUMNS, subsequent_indent=indent) or [""]) + "\n"


def filled(page: Path) -> str:
    """The text of a page with its blocks as the program fills them now."""
    text = page.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        return Page(Path(folder)).filled(text)


def pages() -> list[Path]:
    """The pages that show output."""
    return sorted(path for path in DOCS.rglob("*.md") if "<!-- run:" in path.read_text(encoding="utf-8"))


def main() -> None:
    """Fill every page anew and say which have changed."""
    for page in pages():
        text = filled(page)
        if text != page.read_text(encoding="utf-8"):
            page.write_text(text, encoding="utf-8")
            sys.stderr.write(f"Filled {page.relative_to(DOCS)} anew\n")


if __name__ == "__main__":
    main()
