"""Pictures as bytes: which kind they are, and the same without what was written into them about place and time.

JPEG (ITU-T T.81): the segments APP1 to APP15 and COM go, but for APP14, which tells how colours are coded. PNG (W3C
PNG specification): the text, time and EXIF chunks go. WebP (RFC 9649): the chunks EXIF and XMP go.
"""

import struct
from collections.abc import Iterator

KINDS = {"jpg": "image/jpeg", "png": "image/png", "webp": "image/webp"}
"""Media types by the endings of file names."""

_PNG = b"\x89PNG\r\n\x1a\n"
_PNG_DROPPED = {b"tEXt", b"zTXt", b"iTXt", b"eXIf", b"tIME"}
_WEBP_DROPPED = {b"EXIF", b"XMP "}
_EXIF_AND_XMP = 0b0000_1100
"""Bits of a WebP's flags that tell of those chunks."""


def kind_of(data: bytes) -> str | None:
    """jpg, png or webp by the first bytes; None for anything else."""
    if data.startswith(b"\xff\xd8\xff"):
        return "jpg"
    if data.startswith(_PNG):
        return "png"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "webp"
    return None


def cleaned(data: bytes, kind: str) -> bytes:
    """The picture without its metadata; what cannot be followed is left out from there on."""
    match kind:
        case "jpg":
            return b"\xff\xd8" + b"".join(_jpeg(data))
        case "png":
            return _PNG + b"".join(_png(data))
        case "webp":
            return _webp(data)
    raise ValueError(f"no picture of kind {kind!r} is known")


def _jpeg(data: bytes) -> Iterator[bytes]:
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        (length,) = struct.unpack(">H", data[at + 2 : at + 4])
        if marker == 0xDA:
            yield data[at:]
            return
        told = marker == 0xFE or (0xE1 <= marker <= 0xEF and marker != 0xEE)
        if not told:
            yield data[at : at + 2 + length]
        at += 2 + max(length, 2)


def _png(data: bytes) -> Iterator[bytes]:
    at = len(_PNG)
    while at + 12 <= len(data):
        length, name = struct.unpack(">I4s", data[at : at + 8])
        if name not in _PNG_DROPPED:
            yield data[at : at + 12 + length]
        if name == b"IEND":
            return
        at += 12 + length


def _webp(data: bytes) -> bytes:
    chunks = []
    at = 12
    while at + 8 <= len(data):
        name, length = struct.unpack("<4sI", data[at : at + 8])
        size = 8 + length + length % 2
        chunk = data[at : at + size]
        if name == b"VP8X" and len(chunk) > 8:
            chunk = chunk[:8] + bytes([chunk[8] & ~_EXIF_AND_XMP]) + chunk[9:]
        if name not in _WEBP_DROPPED:
            chunks.append(chunk)
        at += size
    body = b"WEBP" + b"".join(chunks)
    return b"RIFF" + struct.pack("<I", len(body)) + body
