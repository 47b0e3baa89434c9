"""What SQLite or the system refuses is said in a sentence: which file, what, what to do."""

from __future__ import annotations

import errno
import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from fabrics.stash.errors import StashError
from fabrics.stash.records import NewCut
from fabrics.stash.sqlite_words import OTHERWISE, WORDS, words_for
from fabrics.stash.store import Stash
from pieces.lengths import System
from pieces.system_words import system_words
from tests.fabrics.stash.example import LAWN, rectangle


@pytest.mark.parametrize("code", [code for code, _ in WORDS])
def test_every_code_has_words_of_its_own(code: int) -> None:
    """Extended codes too; nothing of SQLite's own text is passed on."""
    error = sqlite3.OperationalError("CHECK constraint failed: x > 0")
    error.sqlite_errorcode = code | (3 << 8)
    said = words_for(error)
    assert said != OTHERWISE
    assert "CHECK" not in said
    assert words_for(sqlite3.OperationalError("no such table: bolt")) == OTHERWISE


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EISDIR, 12345])
def test_system_errors_have_words(number: int) -> None:
    """What happened and, where there is something to do, what."""
    said = system_words(OSError(number, "Second-hand text"))
    assert ("Second-hand text" in said) == (number == 12345)


def test_devices_and_folders_hold_no_stash(tmp_path: Path) -> None:
    """/dev/null, a folder, a file in place of a folder, a name that is none."""
    for path, said in (
        (Path(os.devnull), "is no ordinary file"),
        (tmp_path, "is a folder"),
        (tmp_path / ("x" * 300), "too long"),
        (tmp_path / "a\0b", "no file name"),
    ):
        with pytest.raises(StashError, match=said):
            Stash(path)
    (tmp_path / "file").write_text("x")
    with pytest.raises(StashError, match=r"cannot be opened: .*not a folder"):
        Stash(tmp_path / "file" / "stash.sqlite")


def test_a_database_of_something_else_is_refused(tmp_path: Path) -> None:
    """With the version of a stash, but without its tables."""
    path = tmp_path / "other.sqlite"
    with Stash(path) as stash:
        version = stash.base.execute("PRAGMA user_version").fetchone()[0]
    path.unlink()
    with closing(sqlite3.connect(path)) as base, base:
        base.execute("CREATE TABLE recipe (id INTEGER)")
        base.execute(f"PRAGMA user_version = {version}")
    with Stash(path) as stash, pytest.raises(StashError, match="not those of a stash"):
        stash.bolts()


def test_a_backup_that_fails_leaves_nothing_behind(tmp_path: Path) -> None:
    """A folder that is not there."""
    with Stash(tmp_path / "stash.sqlite") as stash:
        with pytest.raises(StashError, match=r"cannot be written: it cannot be opened"):
            stash.backup(tmp_path / "nowhere" / "copy.sqlite")
        with pytest.raises(StashError, match="too long"):
            stash.backup(tmp_path / ("x" * 300))


def test_what_has_no_size_is_refused_before_the_tables(tmp_path: Path) -> None:
    """A leftover without a rectangle, a bolt without end."""
    with Stash(tmp_path / "stash.sqlite") as stash:
        with pytest.raises(StashError, match="holds no rectangle"):
            stash.add_leftover(rectangle(LAWN, 100.0, 0.0))
        with pytest.raises(StashError, match="larger than any leftover"):
            stash.add_leftover(rectangle(LAWN, 300_000.0, 100.0))
        for length in (-1.0, float("nan"), float("inf"), 2e6):
            with pytest.raises(StashError, match="length: "):
                stash.add_bolt(LAWN, length, True)
        assert not stash.bolts()


@pytest.mark.parametrize(
    ("system", "said"),
    [
        (System.METRIC, "127.0 cm come off it and it has 101.6 cm (washed); 25.4 cm are missing"),
        (System.IMPERIAL, "50 in come off it and it has 40 in (washed); 10 in are missing"),
    ],
)
def test_messages_speak_the_units_of_whoever_asks(
    tmp_path: Path, system: System, said: str
) -> None:
    """More is cut off a bolt than it holds."""
    with Stash(tmp_path / "s.sqlite", system=system) as stash:
        stash.add_bolt(LAWN, 1016.0, True)
        with pytest.raises(StashError) as told:
            stash.record_cut(NewCut("top", "{}", (("B1", 1270.0),)))
        assert said in str(told.value)
