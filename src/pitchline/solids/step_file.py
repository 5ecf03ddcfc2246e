"""An exchange file in clear text (ISO 10303-21): numbered entities, texts and numbers as the standard writes them."""

from collections.abc import Sequence

Ref = str
"""How one entity names another: ``#12``."""

Value = str | Sequence[str]

SCHEMA = "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"

_PLAIN = range(0x20, 0x7F)


class Entities:
    """The entities of a file as they are added."""

    def __init__(self) -> None:
        self._lines: list[str] = []
        self._shared: dict[str, Ref] = {}

    def add(self, name: str, *values: Value) -> Ref:
        """An entity with its attributes; returns how to refer to it."""
        return self._put(f"{name}({','.join(_written(value) for value in values)})")

    def add_complex(self, *parts: str) -> Ref:
        """An entity of several types at once, each already written with its attributes."""
        return self._put(f"({' '.join(parts)})")

    def shared(self, name: str, *values: Value) -> Ref:
        """As `add`; one entity for all that are written alike."""
        written = f"{name}({','.join(_written(value) for value in values)})"
        if written not in self._shared:
            self._shared[written] = self._put(written)
        return self._shared[written]

    def _put(self, written: str) -> Ref:
        self._lines.append(written)
        return f"#{len(self._lines)}"

    def text(self) -> str:
        """The data section's lines."""
        return "".join(f"#{n}={line};\n" for n, line in enumerate(self._lines, start=1))


def _written(value: Value) -> str:
    return value if isinstance(value, str) else f"({','.join(value)})"


def text(words: str) -> str:
    """A text as the format holds it: quotes doubled, other letters by their code."""
    return f"'{_coded(words)}'"


def _coded(words: str) -> str:
    """Letters beyond ASCII in runs of four or eight hexadecimal digits (ISO 10303-21, 6.4.3; from memory)."""
    out = []
    for letter in words:
        code = ord(letter)
        if letter == "'":
            out.append("''")
        elif letter == "\\":
            out.append("\\\\")
        elif code in _PLAIN:
            out.append(letter)
        elif code <= 0xFFFF:
            out.append(f"\\X2\\{code:04X}\\X0\\")
        else:
            out.append(f"\\X4\\{code:08X}\\X0\\")
    return "".join(out)


def number(value: float) -> str:
    """A real number: always with a point, exact to the last digit of a double."""
    if value == 0.0:
        return "0."
    written = repr(float(value)).upper()
    mantissa, mark, exponent = written.partition("E")
    mantissa = mantissa.removesuffix("0") if mantissa.endswith(".0") else mantissa
    mantissa = mantissa if "." in mantissa else f"{mantissa}."
    return mantissa + mark + exponent


def header(title: str, date: str = "") -> str:
    """What stands before a file's data."""
    stamp = f"{date or '1970-01-01'}T00:00:00"
    return (
        "ISO-10303-21;\nHEADER;\n"
        f"FILE_DESCRIPTION(({text(title)}),'2;1');\n"
        f"FILE_NAME({text(title)},{text(stamp)},(''),(''),'pitchline','pitchline','');\n"
        f"FILE_SCHEMA(('{SCHEMA}'));\nENDSEC;\n"
    )


def step_file(title: str, entities: Entities, date: str = "") -> bytes:
    """The whole file; the same entities give the same bytes."""
    data = f"DATA;\n{entities.text()}ENDSEC;\nEND-ISO-10303-21;\n"
    return (header(title, date) + data).encode("ascii")
