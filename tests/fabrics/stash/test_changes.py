"""Taking out and correcting can be undone, all of it or nothing, and nothing is deleted."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from fabrics.stash import schema
from fabrics.stash.errors import StashError
from fabrics.stash.exchange.files import stash_to_data
from fabrics.stash.records import NewCut
from fabrics.stash.store import Stash
from tests.fabrics.stash.example import LAWN, VOILE, rectangle


@pytest.fixture
def stash(tmp_path: Path) -> Stash:
    """B1 (3 m, unwashed), B2 (1 m, washed), L1."""
    made = Stash(tmp_path / "stash.sqlite")
    made.add_bolt(LAWN, 3000.0, False, "shelf")
    made.add_bolt(VOILE, 1000.0, True)
    made.add_leftover(rectangle(LAWN, 400.0, 300.0, "hem"))
    return made


def test_what_is_out_comes_back_as_it_was(stash: Stash) -> None:
    """Several tags are one change; undone once, not twice."""
    before = stash_to_data(stash)
    number = stash.remove("l1", "B2", "L1")
    assert [bolt.tag for bolt in stash.bolts()] == ["B1"]
    assert not stash.leftovers()
    change = stash.undo()
    assert (change.number, change.kind, change.tags) == (number, "out", ("L1", "B2"))
    assert stash_to_data(stash) == before
    with pytest.raises(StashError, match="was undone already"):
        stash.undo(number)
    with pytest.raises(StashError, match="nothing was taken out or corrected"):
        stash.undo()
    assert [change.undone is not None for change in stash.changes()] == [True]


def test_out_is_all_or_nothing(stash: Stash) -> None:
    """One wrong tag among three keeps all of them in."""
    with pytest.raises(StashError, match="'B9': nothing"):
        stash.remove("B1", "B9", "L1")
    assert len(stash.bolts()) == 2
    assert len(stash.leftovers()) == 1
    assert not stash.changes()


def test_corrections_are_undone_one_after_another(stash: Stash) -> None:
    """The latest first; an earlier one only when the later is undone."""
    before = stash_to_data(stash)
    stash.correct("B1", length=2880.0, washed=True)
    stash.correct("B1", note="drawer")
    stash.correct("L1", note="")
    assert stash.leftover("L1").note == ""
    with pytest.raises(StashError, match="no longer as that correction left it"):
        stash.undo(1)
    assert stash.undo().tags == ("L1",)
    stash.undo()
    assert (stash.bolt("B1").note, stash.bolt("B1").length) == ("shelf", 2880.0)
    stash.undo()
    assert stash_to_data(stash) == before


def test_a_correction_before_a_cut_waits_for_the_cut(stash: Stash) -> None:
    """Undone in the other order, the length of the cut would be lost."""
    stash.correct("B1", length=2900.0)
    cut = stash.record_cut(NewCut("top", "{}", (("B1", 900.0),)))
    with pytest.raises(StashError, match="undo first what"):
        stash.undo()
    assert stash.bolt("B1").length == 2000.0
    stash.undo_cut(cut.number)
    stash.undo()
    assert stash.bolt("B1").length == 3000.0


def test_a_cut_of_a_bolt_that_was_given_away_is_not_undone(stash: Stash) -> None:
    """It would bring the whole bolt back; with the bolt, the cut can be undone."""
    cut = stash.record_cut(NewCut("top", "{}", (("B1", 900.0),), (rectangle(LAWN, 200.0, 200.0),)))
    stash.remove("B1")
    with pytest.raises(StashError, match=r"bolt B1 was taken out since.*stash undo"):
        stash.undo_cut(cut.number)
    assert [bolt.tag for bolt in stash.bolts()] == ["B2"]
    stash.undo()
    stash.remove("L2")
    with pytest.raises(StashError, match="leftover L2 is no longer there"):
        stash.undo_cut(cut.number)
    stash.undo()
    stash.undo_cut(cut.number)
    assert stash.bolt("B1").length == 3000.0


def test_a_cut_of_a_bolt_that_was_washed_since_waits(stash: Stash) -> None:
    """90 cm unwashed must not come back as 90 cm washed, however soon it was washed."""
    cut = stash.record_cut(NewCut("top", "{}", (("B1", 900.0),)))
    number = stash.correct("B1", length=2000.0, washed=True)
    with pytest.raises(StashError, match=f"another state since.*stash undo {number} first"):
        stash.undo_cut(cut.number)
    stash.undo(number)
    stash.undo_cut(cut.number)
    assert (stash.bolt("B1").length, stash.bolt("B1").washed) == (3000.0, False)


def test_a_correction_of_what_is_out_waits(stash: Stash) -> None:
    """First back, then as it was."""
    number = stash.correct("B2", length=900.0)
    stash.remove("B2")
    with pytest.raises(StashError, match="no longer there"):
        stash.undo(number)
    stash.undo()
    stash.undo(number)
    assert stash.bolt("B2").length == 1000.0


@pytest.mark.parametrize("note", ["bell \x07", "half \ud800", "x" * 200_000])
def test_notes_that_cannot_be_kept_are_refused(stash: Stash, note: str) -> None:
    """For a correction and for what is put in; nothing is changed."""
    before = stash_to_data(stash)
    for change in (
        lambda: stash.correct("B1", note=note),
        lambda: stash.add_bolt(LAWN, 5.0, True, note),
        lambda: stash.add_leftover(rectangle(LAWN, 50.0, 50.0, note)),
    ):
        with pytest.raises(StashError, match="note"):
            change()
    assert stash_to_data(stash) == before


def test_a_stash_of_the_first_version_is_brought_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All is kept, each thing gets an id, and what was taken out before can be undone."""
    path = tmp_path / "stash.sqlite"
    with closing(sqlite3.connect(path)) as base, base:
        for statement in schema.STEPS[0]:
            base.execute(statement)
        base.execute("PRAGMA user_version = 1")
        from json import dumps

        from fabrics.fabric_data import FABRIC

        base.execute(
            "INSERT INTO fabric VALUES (1, 'green-lawn', '', '', ?)", (dumps(FABRIC.write(LAWN)),)
        )
        base.execute("INSERT INTO bolt VALUES (1, 'B1', 1, 500, 0, '', 'then', NULL)")
        base.execute("INSERT INTO bolt VALUES (2, 'B2', 1, 700, 0, '', 'then', 'later')")
        base.execute("INSERT INTO bolt VALUES (3, 'B3', 1, 0, 0, '', 'then', 'later')")
        base.execute(
            "INSERT INTO leftover VALUES (1, 'L1', 1, '[[0,0],[90,0],[90,50],[0,50]]', '[]', "
            "'[0,0,90,50]', 90, 50, 4500, '', 'then', NULL, NULL, 'sooner')"
        )
    with Stash(path) as stash:
        assert [(b.tag, b.ident) for b in stash.bolts()] == [("B1", "B1 then green-lawn")]
        assert [change.tags for change in stash.changes()] == [("B2",), ("L1",)]
        stash.undo()
        stash.undo()
        assert [bolt.tag for bolt in stash.bolts()] == ["B1", "B2"]
        assert stash.leftover("L1").region.long == 90.0
    assert (tmp_path / "stash-format-1.sqlite").exists()


@pytest.mark.parametrize(("length", "off"), [(2000.8, 400.1), (1234.5, 0.3), (2999.9, 1111.7)])
def test_lengths_come_back_as_they_were(stash: Stash, length: float, off: float) -> None:
    """Adding back what was taken away leaves no noise that an undo would stumble over."""
    stash.correct("B1", length=length)
    stash.undo_cut(stash.record_cut(NewCut("top", "{}", (("B1", off),))).number)
    assert stash.bolt("B1").length == length
    stash.undo()
    assert stash.bolt("B1").length == 3000.0
