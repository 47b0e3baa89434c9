"""What there is in the stash: bolts, leftovers and cuts, and rows that are damaged.

A row that an older version let in, or that another program changed, does not keep the good ones
from being listed: it is told apart, with what is wrong with it.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, TypeVar

from fabrics.stash.connection import Connection
from fabrics.stash.errors import StashError
from fabrics.stash.records import Bolt, CutRecord, Damaged, LeftoverRecord
from fabrics.stash.rows import BOLT, LEFTOVER
from pieces.files.json_file import Fields
from pieces.findings import Finding

BOLTS = """SELECT bolt.tag, bolt.ident, fabric.body, bolt.length_mm, bolt.washed, bolt.note,
    bolt.added FROM bolt JOIN fabric ON fabric.id = bolt.fabric_id"""
LEFTOVERS = """SELECT leftover.tag, leftover.ident, fabric.body, outline, holes, rectangle, note,
    added, made_by FROM leftover JOIN fabric ON fabric.id = leftover.fabric_id"""
BOLTS_THERE = "WHERE bolt.removed IS NULL ORDER BY bolt.id"
LEFTOVERS_THERE = "WHERE removed IS NULL AND used_by IS NULL ORDER BY leftover.id"

Record = TypeVar("Record", Bolt, LeftoverRecord)


class Reading(Connection):
    """The questions that a stash answers."""

    def bolts(self) -> list[Bolt]:
        """Bolts that are there, oldest first; damaged ones left out."""
        return self._sound_bolts()[0]

    def leftovers(self) -> list[LeftoverRecord]:
        """Leftovers that are there, oldest first; damaged ones left out."""
        return self._sound_leftovers()[0]

    def damaged(self) -> list[Damaged]:
        """Bolts and leftovers that are there and cannot be used, with the reasons."""
        return self._sound_bolts()[1] + self._sound_leftovers()[1]

    def find(self, tag: str) -> Bolt | LeftoverRecord:
        """Return what carries a tag.

        Raises
        ------
        StashError
            If nothing does, or what is recorded of it is damaged.
        """
        one, bad = self._one_there(tag.strip().upper())
        if one is not None:
            return one
        if bad is not None:
            raise StashError(
                f"tag '{bad.tag}': what is recorded of it is damaged "
                f"({'; '.join(bad.faults)}); laywright stash out {bad.tag} takes it out, "
                "then put it in as measured"
            )
        with self._explained():
            rows = self.base.execute(
                "SELECT tag FROM (SELECT tag, 1 AS kind, id FROM bolt WHERE removed IS NULL "
                "UNION ALL SELECT tag, 2, id FROM leftover WHERE removed IS NULL "
                "AND used_by IS NULL) ORDER BY kind, id LIMIT 12"
            ).fetchall()
        known = ", ".join(row[0] for row in rows) or (
            f"{self.path} is empty; laywright stash list says what to do first"
        )
        raise StashError(f"tag '{tag}': nothing in the stash carries it ({known})")

    def _one_there(self, tag: str) -> tuple[Bolt | LeftoverRecord | None, Damaged | None]:
        """What carries a tag and is there: sound, or damaged."""
        bolts = self._sound_bolts("WHERE bolt.tag = ? AND removed IS NULL", tag)
        leftovers = self._sound_leftovers(
            "WHERE leftover.tag = ? AND removed IS NULL AND used_by IS NULL", tag
        )
        sound: list[Bolt | LeftoverRecord] = [*bolts[0], *leftovers[0]]
        bad = bolts[1] + leftovers[1]
        return (sound[0] if sound else None), (bad[0] if bad else None)

    def bolt(self, tag: str) -> Bolt:
        """Return the bolt of a tag; StashError if there is none."""
        found = self.find(tag)
        if not isinstance(found, Bolt):
            raise StashError(f"tag '{tag}': that is a leftover, not a bolt")
        return found

    def leftover(self, tag: str) -> LeftoverRecord:
        """Return the leftover of a tag; StashError if there is none."""
        found = self.find(tag)
        if not isinstance(found, LeftoverRecord):
            raise StashError(f"tag '{tag}': that is a bolt, not a leftover")
        return found

    def cuts(self) -> list[CutRecord]:
        """Cuts that were recorded, oldest first, undone ones included."""
        with self._explained():
            rows = self.base.execute(
                "SELECT cut.id, plan.garment, cut.made, cut.undone, plan.body FROM cut "
                "JOIN plan ON plan.id = cut.plan_id ORDER BY cut.id"
            ).fetchall()
            return [self._cut(*row) for row in rows]

    # Rows

    def _sound_bolts(
        self, where: str = BOLTS_THERE, *values: str
    ) -> tuple[list[Bolt], list[Damaged]]:
        with self._explained():
            rows = self.base.execute(f"{BOLTS} {where}", values).fetchall()
        return self._sorted_out([_bolt_data(row) for row in rows], BOLT.read)

    def _sound_leftovers(
        self, where: str = LEFTOVERS_THERE, *values: str
    ) -> tuple[list[LeftoverRecord], list[Damaged]]:
        with self._explained():
            rows = self.base.execute(f"{LEFTOVERS} {where}", values).fetchall()
        return self._sorted_out([_leftover_data(row) for row in rows], LEFTOVER.read)

    def _sorted_out(
        self, rows: list[dict[str, Any]], read: Callable[[Fields], Record]
    ) -> tuple[list[Record], list[Damaged]]:
        sound: list[Record] = []
        bad: list[Damaged] = []
        for data in rows:
            findings: list[Finding] = []
            one = read(Fields(data, str(self.path), findings))
            if not findings:
                sound.append(one)
                continue
            faults = tuple(f"{found.field}: {found.message}" for found in findings)
            bad.append(Damaged(str(data["tag"]), faults))
        return sound, bad

    def _cut(
        self, number: int, garment: str, made: str, undone: str | None, plan: str
    ) -> CutRecord:
        taken = self.base.execute(
            "SELECT bolt.tag, cut_bolt.length_mm FROM cut_bolt "
            "JOIN bolt ON bolt.id = cut_bolt.bolt_id WHERE cut_id = ? ORDER BY bolt.id",
            (number,),
        ).fetchall()
        left = self.base.execute(
            "SELECT tag FROM leftover WHERE made_by = ? ORDER BY id", (number,)
        )
        used = self.base.execute(
            "SELECT tag FROM cut_leftover JOIN leftover ON leftover.id = leftover_id "
            "WHERE cut_id = ? ORDER BY leftover.id",
            (number,),
        )
        return CutRecord(
            number, garment, made, undone,
            tuple((str(tag), float(length)) for tag, length in taken),
            tuple(row[0] for row in left.fetchall()),
            tuple(row[0] for row in used.fetchall()),
            plan,
        )  # fmt: skip


def _bolt_data(row: tuple[Any, ...]) -> dict[str, Any]:
    tag, ident, body, length, washed, note, added = row
    return {
        "tag": tag, "id": ident, "fabric": _plain(body), "length_mm": length,
        "washed": bool(washed), "note": note, "added": added,
    }  # fmt: skip


def _leftover_data(row: tuple[Any, ...]) -> dict[str, Any]:
    tag, ident, body, outline, holes, rectangle, note, added, made_by = row
    return {
        "tag": tag, "id": ident, "fabric": _plain(body), "outline": _plain(outline),
        "holes": _plain(holes), "rectangle_mm": _plain(rectangle), "note": note, "added": added,
        "made_by": made_by,
    }  # fmt: skip


def _plain(text: Any) -> Any:
    """What a column holds as JSON; nothing if it is none."""
    try:
        return json.loads(text)
    except (ValueError, TypeError, RecursionError):
        return None
