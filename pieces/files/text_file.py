"""Reading a small text file that a person has saved with whatever editor there was."""

from __future__ import annotations

import codecs
from pathlib import Path

from pieces.findings import Finding, InputError
from pieces.system_words import system_words

LARGEST_FILE_BYTES = 5_000_000
"""Files above this are no garment or fabric files, nor drawings of pieces."""

_WIDE = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"),
         (codecs.BOM_UTF16_BE, "utf-16"))  # fmt: skip


def read_bytes(path: Path, kind: str, largest: int = LARGEST_FILE_BYTES) -> bytes:
    """Read a file of at most so many bytes.

    Raises
    ------
    InputError
        If it cannot be read or is too large to be what it is called: `kind` ("a drawing").
    """
    name = str(path)
    try:
        if path.is_dir():
            raise InputError([Finding(name, "is a folder", fix="name a file in it")])
        if path.is_char_device() or path.is_block_device():
            # It may never end; a pipe is what somebody made on purpose.
            raise InputError([Finding(name, "is a device, not a file")])
        if path.stat().st_size > largest:
            raise InputError([Finding(name, f"is too large to be {kind}")])
        return path.read_bytes()
    except OSError as error:
        raise InputError([Finding(name, f"cannot be read: {system_words(error)}")]) from error


def read_text(path: Path) -> str:
    """Read a text file; a byte order mark says how it is coded, else it is UTF-8.

    Raises
    ------
    InputError
        If it cannot be read, is too large, is no text, or holds nothing.
    """
    name = str(path)
    text = decoded(read_bytes(path, "a garment or fabric file"), name)
    if not text.strip():
        raise InputError([Finding(name, "is empty", fix="it needs at least a title")])
    return text


def decoded(content: bytes, name: str) -> str:
    """The text that a file holds, its lines parted by line feeds.

    Parameters
    ----------
    content : bytes
    name : str
        Of the file, for messages.

    Raises
    ------
    InputError
        If it is no text.
    """
    coding = next((coding for mark, coding in _WIDE if content.startswith(mark)), "utf-8")
    try:
        text = content.decode(coding)
    except UnicodeDecodeError as error:
        raise InputError([_undecoded(name, content, error)]) from error
    return text.replace("\r\n", "\n")


def _undecoded(name: str, content: bytes, error: UnicodeDecodeError) -> Finding:
    """Say which line holds the sign that is not UTF-8, and how it was probably meant."""
    if b"\x00" in content[:4096]:
        return Finding(name, "is not a text file", fix="a garment or fabric file is plain text")
    line = content[: error.start].count(b"\n")
    shown = content.split(b"\n")[line].decode("cp1252", errors="replace").strip()
    return Finding(
        name,
        f"is not a text file in UTF-8: '{shown[:60]}' was saved in another coding",
        fix="save it again and choose UTF-8 as its encoding",
        line=line + 1,
    )
