"""How long a name may be that becomes the name of a file or folder."""

from __future__ import annotations

MOST_BYTES = 200
"""Of a name: file systems permit 255, and endings and numbers come on top."""


def name_too_long(name: str) -> str:
    """Say that a name is too long and how long it may be; empty if it is not."""
    length = len(name.encode("utf-8", "surrogateescape"))
    if length <= MOST_BYTES:
        return ""
    if length == len(name):
        return f"is too long: {length} letters, at most {MOST_BYTES}"
    return (
        f"is too long: {length} bytes, at most {MOST_BYTES} (a plain letter is one byte, one with "
        "an accent two, signs of other scripts up to four)"
    )


def cut_to_length(name: str) -> str:
    """The beginning of a name that is not too long, in whole signs."""
    return name.encode("utf-8", "surrogateescape")[:MOST_BYTES].decode("utf-8", "ignore")
