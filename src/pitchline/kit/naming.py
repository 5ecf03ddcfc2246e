"""File names made from what people write: safe on every common system, whatever the text."""

import re

_UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")
_RESERVED = {
    "con",
    "prn",
    "aux",
    "nul",
    *(f"com{k}" for k in range(1, 10)),
    *(f"lpt{k}" for k in range(1, 10)),
}
LONGEST = 60


def safe_name(text: str) -> str:
    """A name of at most 61 letters, digits, dots, dashes and underscores; never empty, hidden or reserved."""
    name = _UNSAFE.sub("-", text).strip(".-_")[:LONGEST] or "unnamed"
    return f"{name}-" if name.split(".")[0].lower() in _RESERVED else name


def same_name(a: str, b: str) -> bool:
    """Whether two texts would give one file name on a system that does not tell capitals apart."""
    return safe_name(a).lower() == safe_name(b).lower()
