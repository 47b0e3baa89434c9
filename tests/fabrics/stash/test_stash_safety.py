"""Records are what people pay for: kills, full disks, upgrades and other processes lose none.

SQLite's own integrity check (PRAGMA integrity_check, foreign_key_check) judges after each.
"""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from functools import partial
from pathlib import Path

import pytest

from fabrics.stash import schema
from fabrics.stash.errors import StashError
from fabrics.stash.exchange.files import stash_to_data
from fabrics.stash.records import NewCut
from fabrics.stash.store import Stash
from tests.cli.programs import wait_until
from tests.fabrics.stash.example import LAWN, VOILE, rectangle

ROOT = Path(__file__).parents[3]


def check(path: Path) -> None:
    """Sound by SQLite's check, and by ours: what came off the bolts is in the cuts."""
    with closing(sqlite3.connect(path)) as base:
        assert base.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert base.execute("PRAGMA foreign_key_check").fetchall() == []
    with Stash(path) as stash:
        cuts = stash.cuts()
        left = {tag for cut in cuts if cut.undone is None for tag in cut.left}
        assert left == {one.tag for one in stash.leftovers()}
        for bolt in stash.bolts():
            off = sum(
                length
                for cut in cuts
                if cut.undone is None
                for tag, length in cut.taken
                if tag == bolt.tag
            )
            assert bolt.length + off == pytest.approx(100_000.0)
        for cut in cuts:
            assert len(cut.left) == 2
            assert len(cut.taken) == 2


def cuts_in(path: Path) -> int:
    with Stash(path) as stash:
        return len(stash.cuts())


def _has_more_cuts(path: Path, before: int) -> bool:
    return cuts_in(path) > before


def test_a_kill_at_any_moment_leaves_it_consistent(tmp_path: Path) -> None:
    """Twenty kills of a program that never stops writing, some only once it has written."""
    path = tmp_path / "stash.sqlite"
    with Stash(path) as stash:
        stash.add_bolt(LAWN, 100_000.0, False)
        stash.add_bolt(LAWN, 100_000.0, True)
    rng = random.Random(5)
    recorded = 0
    for number in range(20):
        writer = subprocess.Popen(
            [sys.executable, "-m", "tests.fabrics.stash.killed_writer", str(path), str(number)],
            cwd=ROOT, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        assert writer.stdout is not None
        with writer.stdout:
            assert writer.stdout.readline() == "ready\n"
            if number % 5 == 0:
                wait_until(partial(_has_more_cuts, path, recorded), "a cut is recorded")
            time.sleep(rng.uniform(0.0, 0.08))
            writer.send_signal(signal.SIGKILL)
            writer.wait()
        check(path)
        cuts = cuts_in(path)
        assert cuts >= recorded
        recorded = cuts


def test_two_writers_wait_for_each_other(tmp_path: Path) -> None:
    """Both get on, and nothing of either is lost; then one that waits too long is told why."""
    path = tmp_path / "stash.sqlite"
    with Stash(path) as stash:
        stash.add_bolt(LAWN, 100_000.0, False)
        stash.add_bolt(LAWN, 100_000.0, True)
    writers = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.fabrics.stash.killed_writer", str(path), str(number)],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            text=True,
        )
        for number in range(2)
    ]

    def both() -> bool:
        with Stash(path) as stash:
            return {cut.plan[2] for cut in stash.cuts()} == {"0", "1"}

    wait_until(both, "both have recorded a cut")
    for writer in writers:
        assert writer.stdout is not None
        with writer.stdout:
            assert writer.poll() is None
            writer.kill()
            writer.wait()
    check(path)
    assert both()
    with Stash(path) as holder:
        holder.base.execute("BEGIN IMMEDIATE")
        with (
            Stash(path, wait=0.05) as other,
            pytest.raises(StashError, match=r"another program is changing it.*nothing was changed"),
        ):
            other.add_bolt(LAWN, 5.0, True)
        holder.base.execute("ROLLBACK")


def test_a_full_disk_changes_nothing(tmp_path: Path) -> None:
    """Injected by a limit on the file's pages, at every size of the room that is left."""
    path = tmp_path / "stash.sqlite"
    with Stash(path) as stash:
        stash.add_bolt(LAWN, 100_000.0, False)
        stash.add_bolt(LAWN, 100_000.0, True)
        refused = 0
        for number in range(40):
            pages = stash.base.execute("PRAGMA page_count").fetchone()[0]
            stash.base.execute(f"PRAGMA max_page_count = {pages + number % 3}")
            before = stash_to_data(stash)
            refusal = ""
            try:
                stash.record_cut(
                    NewCut(
                        "top",
                        f'[{number}, "{"long " * 900}"]',
                        (("B1", 1.0), ("B2", 1.0)),
                        (rectangle(LAWN, 200.0, 100.0, "x" * 3000),) * 2,
                    )
                )
            except StashError as error:
                refusal = str(error)
            if refusal:
                assert "the disk is full; make room and try again; nothing was changed" in refusal
                assert stash_to_data(stash) == before
                refused += 1
                stash.base.execute("PRAGMA max_page_count = 100000")
                stash.record_cut(
                    NewCut(
                        "top",
                        f"[{number}]",
                        (("B1", 1.0), ("B2", 1.0)),
                        (rectangle(LAWN, 200.0, 100.0),) * 2,
                    )
                )
        assert refused > 3
    check(path)


def test_an_upgrade_keeps_every_record_and_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A later version of the tables; one whose step fails leaves the file as it was."""
    path = tmp_path / "stash.sqlite"
    with Stash(path) as stash:
        stash.add_bolt(LAWN, 1000.0, False)
        stash.add_leftover(rectangle(VOILE, 300.0, 200.0))
        stash.record_cut(NewCut("top", "{}", (("B1", 100.0),), (), ("L1",)))
        before = stash_to_data(stash)
    content = path.read_bytes()
    before_version = schema.VERSION
    good = "ALTER TABLE bolt ADD COLUMN shelf TEXT NOT NULL DEFAULT ''"
    monkeypatch.setattr(schema, "VERSION", schema.VERSION + 1)
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, (good, "UPDATE nothing SET x = 1")))
    with pytest.raises(StashError, match="nothing was changed"):
        Stash(path)
    assert path.read_bytes() == content
    copy = tmp_path / f"stash-format-{before_version}.sqlite"
    assert copy.exists()
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS[:-1], (good,)))
    with Stash(path) as stash:
        assert stash_to_data(stash) == before
        assert stash.base.execute("SELECT shelf FROM bolt").fetchall() == [("",)]
    monkeypatch.undo()
    with pytest.raises(StashError, match="written by a later version"):
        Stash(path)
    with Stash(copy) as old:
        assert stash_to_data(old) == before


def test_what_is_no_stash_is_left_as_it_is(tmp_path: Path) -> None:
    """A text file, a folder that cannot be written: a reason, and nothing changes."""
    text = tmp_path / "notes.txt"
    text.write_text("buttons, thread, 60 cm of elastic, and many other things\n" * 40)
    content = text.read_bytes()
    with pytest.raises(StashError, match="it is no stash"):
        Stash(text)
    assert text.read_bytes() == content
    blocked = tmp_path / "file"
    blocked.write_text("x")
    with pytest.raises(StashError, match="cannot be opened"):
        Stash(blocked / "stash.sqlite")


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root writes anywhere")
def test_a_file_that_cannot_be_written_says_so(tmp_path: Path) -> None:
    """Reading still works."""
    path = tmp_path / "stash.sqlite"
    with Stash(path) as stash:
        stash.add_bolt(LAWN, 5.0, True)
    path.chmod(0o444)
    with Stash(path) as stash:
        assert len(stash.bolts()) == 1
        with pytest.raises(StashError, match="cannot be written"):
            stash.add_bolt(LAWN, 5.0, True)


def test_a_backup_is_whole_while_the_stash_is_in_use(tmp_path: Path) -> None:
    """Made in the middle of another's change, it shows the state before that."""
    path = tmp_path / "stash.sqlite"
    with Stash(path) as stash, Stash(path) as other:
        stash.add_bolt(LAWN, 5.0, True)
        other.base.execute("BEGIN IMMEDIATE")
        other.base.execute("UPDATE bolt SET length_mm = 1")
        stash.backup(tmp_path / "copy.sqlite")
        other.base.execute("ROLLBACK")
        with pytest.raises(StashError, match="is there already"):
            stash.backup(tmp_path / "copy.sqlite")
    with Stash(tmp_path / "copy.sqlite") as copy:
        assert copy.bolt("B1").length == 5.0
