"""Reading a photograph: looked at from outside first, so that no file can do harm."""

from __future__ import annotations

import struct
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pieces.files.text_file import read_bytes
from pieces.findings import Finding, InputError

Pixels = NDArray[np.uint8]
"""Blue, green, red; shape (high, wide, 3)."""

MOST_BYTES = 60_000_000
"""A larger file is no photograph that a telephone takes."""

MOST_PIXELS = 64_000_000
HALVED_ABOVE = 20_000_000
"""Photographs of more pixels are read at half their width and height: the rims gain nothing."""

LEAST_SIDE = 600
LONGEST_SIDE = 20_000

_NOT_READ = {
    b"heic": "HEIC", b"heix": "HEIC", b"hevc": "HEIC", b"heim": "HEIC", b"heis": "HEIC",
    b"mif1": "HEIF", b"msf1": "HEIF", b"avif": "AVIF", b"avis": "AVIF",
}  # fmt: skip

_FRAMES = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}
"""Markers of a JPEG file that state its size (ITU-T T.81, table B.1)."""


@dataclass(frozen=True)
class Photo:
    """A photograph, turned upright as its file asks for; nothing else of the file is kept."""

    source: str
    pixels: Pixels

    @property
    def size(self) -> tuple[int, int]:
        """Width and height, px."""
        high, wide = self.pixels.shape[:2]
        return wide, high


def read_photo(path: Path) -> Photo:
    """Read a JPEG, PNG or WebP file.

    Raises
    ------
    InputError
        If it is of another kind, damaged, or larger than a photograph is.
    """
    content = read_bytes(path, "a photograph", MOST_BYTES)
    wide, high = _stated_size(path, content)
    if max(wide, high) > LONGEST_SIDE or wide * high > MOST_PIXELS:
        raise _fault(
            path, f"has {wide} x {high} pixels, more than {MOST_PIXELS // 1_000_000} million",
            "save it smaller",
        )  # fmt: skip
    if min(wide, high) < LEAST_SIDE:
        raise _fault(
            path, f"has only {wide} x {high} pixels", "take the photograph as the camera made it"
        )
    return Photo(str(path), _decoded(path, content, wide * high > HALVED_ABOVE))


def _decoded(path: Path, content: bytes, halved: bool) -> Pixels:
    import cv2

    flag = cv2.IMREAD_REDUCED_COLOR_2 if halved else cv2.IMREAD_COLOR
    try:
        pixels = cv2.imdecode(np.frombuffer(content, np.uint8), flag)
    except cv2.error:
        pixels = None
    if pixels is None or pixels.ndim != 3:
        raise _fault(path, "is damaged: its picture cannot be read", "copy it once more")
    found: Pixels = pixels
    return found


def _stated_size(path: Path, content: bytes) -> tuple[int, int]:
    """Width and height by the head of the file, before anything is unpacked."""
    size: tuple[int, int] | None = None
    if content[4:8] == b"ftyp" and content[8:12] in _NOT_READ:
        kind = _NOT_READ[content[8:12]]
        raise _fault(
            path, f"is a {kind} file, which is not read here",
            "send or export it as JPEG; telephones can also be set to take JPEG",
        )  # fmt: skip
    if content[:2] == b"\xff\xd8":
        size = _jpeg_size(content)
        if size and b"\xff\xd9" not in content[-4096:]:
            raise _fault(path, "breaks off: the end of the picture is missing", "copy it once more")
    elif content[:8] == b"\x89PNG\r\n\x1a\n" and content[12:16] == b"IHDR" and len(content) > 33:
        size = struct.unpack(">II", content[16:24])
    elif content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        size = _webp_size(content)
    else:
        raise _fault(path, "is no photograph", "JPEG, PNG or WebP")
    if not size or min(size) < 1:
        raise _fault(path, "is damaged: it does not say how large it is", "copy it once more")
    return size


def _jpeg_size(content: bytes) -> tuple[int, int] | None:
    at = 2
    while at + 9 < len(content):
        if content[at] != 0xFF:
            return None
        marker = content[at + 1]
        if marker == 0xFF:
            at += 1
        elif marker in _FRAMES:
            high, wide = struct.unpack(">HH", content[at + 5 : at + 9])
            return wide, high
        elif marker == 0x01 or 0xD0 <= marker <= 0xD8:
            at += 2
        else:
            at += 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    return None


def _webp_size(content: bytes) -> tuple[int, int] | None:
    kind = content[12:16]
    if len(content) < 30:
        return None
    if kind == b"VP8X":
        return (
            1 + int.from_bytes(content[24:27], "little"),
            1 + int.from_bytes(content[27:30], "little"),
        )
    if kind == b"VP8 ":
        wide, high = struct.unpack("<HH", content[26:30])
        return wide & 0x3FFF, high & 0x3FFF
    if kind == b"VP8L":
        bits = int.from_bytes(content[21:25], "little")
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    return None


def _fault(path: Path, message: str, fix: str) -> InputError:
    return InputError([Finding(str(path), message, fix=fix)])
