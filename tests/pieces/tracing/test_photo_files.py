"""Files that are photographs, and files that are none or mean harm."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import cv2
import numpy as np
import pytest

from pieces.findings import InputError
from pieces.tracing.picture.photo import Pixels, read_photo


def picture(wide: int = 900, high: int = 700) -> Pixels:
    shown = np.full((high, wide, 3), 40, np.uint8)
    shown[: high // 2, : wide // 3] = (0, 0, 250)
    return shown


def coded(ending: str, shown: Pixels) -> bytes:
    done, content = cv2.imencode(ending, shown)
    assert done
    return bytes(content)


def refused(tmp_path: Path, content: bytes, words: str) -> None:
    path = tmp_path / "photo.jpg"
    path.write_bytes(content)
    with pytest.raises(InputError, match=words):
        read_photo(path)


@pytest.mark.parametrize("ending", [".jpg", ".png", ".webp"])
def test_usual_formats_are_read(tmp_path: Path, ending: str) -> None:
    path = tmp_path / "photo"
    path.write_bytes(coded(ending, picture()))
    assert read_photo(path).size == (900, 700)


@pytest.mark.parametrize(
    ("turn", "size", "red"),
    [(1, (900, 700), (100, 100)), (3, (900, 700), (600, 800)), (6, (700, 900), (100, 600)),
     (8, (700, 900), (800, 100)), (2, (900, 700), (100, 800))],
)  # fmt: skip
def test_a_turned_picture_is_set_upright(
    tmp_path: Path, turn: int, size: tuple[int, int], red: tuple[int, int]
) -> None:
    """As the orientation in its head asks (Exif 2.32, tag 274), mirrored ones too."""
    head = b"Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01"
    head += struct.pack(">HH", turn, 0) + b"\x00\x00\x00\x00"
    plain = coded(".jpg", picture())
    part = b"\xff\xe1" + struct.pack(">H", len(head) + 2) + head
    path = tmp_path / "photo.jpg"
    path.write_bytes(plain[:2] + part + plain[2:])
    photo = read_photo(path)
    assert photo.size == size
    assert photo.pixels[red][2] > 200
    assert photo.pixels[red][0] < 60


@pytest.mark.parametrize("kind", [b"heic", b"mif1", b"avif"])
def test_formats_of_telephones_that_are_not_read_come_with_advice(
    tmp_path: Path, kind: bytes
) -> None:
    refused(tmp_path, b"\x00\x00\x00\x18ftyp" + kind + b"\x00" * 400, "JPEG")


def test_a_huge_picture_is_refused_by_its_head(tmp_path: Path) -> None:
    size = struct.pack(">IIBBBBB", 100_000, 100_000, 8, 2, 0, 0, 0)
    chunk = b"IHDR" + size
    head = b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + chunk
    head += struct.pack(">I", zlib.crc32(chunk))
    refused(tmp_path, head + b"\x00" * 100, "100000 x 100000 pixels")


def test_a_jpeg_that_says_it_is_huge_is_refused(tmp_path: Path) -> None:
    plain = bytearray(coded(".jpg", picture()))
    at = plain.index(b"\xff\xc0")
    plain[at + 5 : at + 9] = struct.pack(">HH", 65_000, 65_000)
    refused(tmp_path, bytes(plain), "65000 x 65000")


def test_what_breaks_off_is_refused(tmp_path: Path) -> None:
    refused(tmp_path, coded(".jpg", picture())[:-3000], "breaks off|damaged")


@pytest.mark.parametrize(
    "content",
    [b"", b"hello", b"\xff\xd8\xff", b"\xff\xd8\xff\xe0\x00\x00" * 50, b"RIFF\x00\x00\x00\x00WEBP",
     b"\x89PNG\r\n\x1a\n" + b"\x00" * 60, b"RIFF\x00\x00\x00\x00WEBPVP8 " + b"\x00" * 40],
)  # fmt: skip
def test_what_is_no_picture_is_refused(tmp_path: Path, content: bytes) -> None:
    refused(tmp_path, content, "no photograph|damaged|breaks off")


def test_a_small_picture_is_refused(tmp_path: Path) -> None:
    refused(tmp_path, coded(".png", picture(300, 200)), "only 300 x 200")
