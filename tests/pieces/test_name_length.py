"""Names that become names of files: how long they may be, and where they are cut."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from pieces.files.text_file import read_text
from pieces.findings import InputError
from pieces.name_length import MOST_BYTES, cut_to_length, name_too_long
from pieces.system_words import system_words


def test_a_name_may_be_so_long_and_no_longer() -> None:
    """Counted as a file system counts: a letter with an accent is two bytes."""
    assert name_too_long("n" * MOST_BYTES) == ""
    assert name_too_long("n" * 260) == "is too long: 260 letters, at most 200"
    assert "202 bytes, at most 200" in name_too_long("é" * 101)


def test_a_name_is_cut_between_two_signs() -> None:
    """None is halved."""
    assert cut_to_length("nappe") == "nappe"
    assert cut_to_length("x" + "é" * 150) == "x" + "é" * 99


def test_the_system_s_refusal_of_a_name_tells_what_is_allowed() -> None:
    """In our words, never in its own."""
    words = "the name is too long; choose one of at most 200 letters"
    assert system_words(OSError(errno.ENAMETOOLONG, "File name too long")) == words
    with pytest.raises(InputError, match=f"cannot be read: {words}"):
        read_text(Path("n" * 300 + ".toml"))
