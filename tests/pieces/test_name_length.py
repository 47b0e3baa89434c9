"""Names that become names of files: how long they may be, and where they are cut."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from pieces.files.text_file import read_text
from pieces.findings import InputError
from pieces.name_length import (
    MOST_BYTES,
    cut_to_length,
    is_numbered,
    name_too_long,
    numbered,
    with_ending,
)
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


def test_a_number_always_fits_behind_a_name() -> None:
    """What is too long of the name goes, never the number; no sign is halved."""
    assert numbered("nappe", 1) == "nappe"
    assert numbered("nappe", 12) == "nappe-12"
    assert numbered("n" * 200, 2) == "n" * 198 + "-2"
    assert numbered("é" * 100, 10) == "é" * 98 + "-10"
    assert with_ending("n" * 250, "-plan", 250) == "n" * 245 + "-plan"
    assert with_ending("n", "e" * 300) == "e" * 300
    assert is_numbered("é" * 98 + "-10", "é" * 100)
    assert not is_numbered("nappe-2x", "nappe")
    assert not is_numbered("nappe-1", "nappe")


def test_the_system_s_refusal_of_a_name_tells_what_is_allowed() -> None:
    """In our words, never in its own."""
    words = "the name is too long; choose one of at most 200 letters"
    assert system_words(OSError(errno.ENAMETOOLONG, "File name too long")) == words
    with pytest.raises(InputError, match=f"cannot be read: {words}"):
        read_text(Path("n" * 300 + ".toml"))
