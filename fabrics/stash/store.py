"""The stash itself: every change is one transaction, and nothing recorded is ever deleted.

What is taken out is marked, not removed, so that undoing and history stay possible.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from datetime import datetime
from typing import Any

from fabrics.fabric import Fabric
from fabrics.fabric_data import fabric_from_data, fabric_to_data
from fabrics.stash.connection import Connection
from fabrics.stash.errors import StashError
from fabrics.stash.records import Bolt, CutRecord, LeftoverRecord, NewLeftover
from pieces.lengths import EXCESS_MM

BOLT_QUERY = """SELECT bolt.tag, fabric.body, bolt.length_mm, bolt.washed, bolt.note, bolt.added
    FROM bolt JOIN fabric ON fabric.id = bolt.fabric_id"""
LEFTOVER_QUERY = """SELECT leftover.tag, fabric.body, outline, holes, rectangle, area_mm2, note,
    added, made_by FROM leftover JOIN fabric ON fabric.id = leftover.fabric_id"""


class Stash(Connection):
    """An open stash; use it as a context manager. See `Connection` for how it is opened."""

    # What there is

    def bolts(self) -> list[Bolt]:
        """Bolts that are there, oldest first."""
        with self._explained():
            rows = self.base.execute(f"{BOLT_QUERY} WHERE removed IS NULL ORDER BY bolt.id")
            return [_bolt(row) for row in rows]

    def leftovers(self) -> list[LeftoverRecord]:
        """Leftovers that are there, oldest first."""
        with self._explained():
            rows = self.base.execute(
                f"{LEFTOVER_QUERY} WHERE removed IS NULL AND used_by IS NULL ORDER BY leftover.id"
            )
            return [_leftover(row) for row in rows]

    def find(self, tag: str) -> Bolt | LeftoverRecord:
        """Return what carries a tag.

        Raises
        ------
        StashError
            If nothing does.
        """
        wanted = tag.strip().upper()
        there: list[Bolt | LeftoverRecord] = [*self.bolts(), *self.leftovers()]
        for one in there:
            if one.tag == wanted:
                return one
        known = ", ".join(one.tag for one in there[:12]) or "the stash is empty"
        raise StashError(f"tag '{tag}': nothing in the stash carries it ({known})")

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

    # Changes

    def add_bolt(self, fabric: Fabric, length: float, washed: bool, note: str = "") -> Bolt:
        """Put a bolt in; return it with its tag."""
        if not length > 0.0:
            raise StashError(f"length: {length:g} mm is no length of a bolt; more than 0")
        with self._change():
            tag = self._insert_bolt(fabric, length, washed, note)
        return self.bolt(tag)

    def add_leftover(self, new: NewLeftover) -> LeftoverRecord:
        """Put a leftover in; return it with its tag."""
        with self._change():
            tag = self._insert_leftover(new, None)
        return self.leftover(tag)

    def take_in(
        self, bolts: list[Bolt], leftovers: list[tuple[str, NewLeftover]]
    ) -> tuple[list[str], list[str]]:
        """Put in what another stash wrote down, under the same tags; all of it or nothing.

        Returns
        -------
        (list of str, list of str)
            Tags that were put in, and tags that were there already, equal in every respect.

        Raises
        ------
        StashError
            If a tag is taken by something else.
        """
        came: list[str] = []
        there: list[str] = []
        with self._change():
            present: dict[str, Any] = {b.tag: _facts(b) for b in self.bolts()}
            present |= {one.tag: _facts(one) for one in self.leftovers()}
            known = {
                row[0]
                for table in ("bolt", "leftover")
                for row in self.base.execute(f"SELECT tag FROM {table}").fetchall()
            }
            offered: list[tuple[str, Bolt | NewLeftover]] = [(b.tag, b) for b in bolts]
            for tag, one in offered + list(leftovers):
                if tag in present and present[tag] == _facts(one):
                    there.append(tag)
                    continue
                if tag in known:
                    raise StashError(f"tag '{tag}': something else carries it; nothing was put in")
                if isinstance(one, Bolt):
                    self._insert_bolt(one.fabric, one.length, one.washed, one.note, tag)
                else:
                    self._insert_leftover(one, None, tag)
                known.add(tag)
                came.append(tag)
        return came, there

    def correct(
        self,
        tag: str,
        length: float | None = None,
        washed: bool | None = None,
        note: str | None = None,
    ) -> None:
        """Correct what is known of a bolt, or the note of a leftover."""
        if length is not None and not length > 0.0:
            raise StashError(f"length: {length:g} mm is no length of a bolt; take it out instead")
        with self._change():
            found = self.find(tag)
            if isinstance(found, Bolt):
                self.base.execute(
                    "UPDATE bolt SET length_mm = COALESCE(?, length_mm), "
                    "washed = COALESCE(?, washed), note = COALESCE(?, note) WHERE tag = ?",
                    (length, None if washed is None else int(washed), note, found.tag),
                )
                return
            if length is not None or washed is not None:
                raise StashError(
                    f"tag '{found.tag}': only the note of a leftover can be corrected; take it "
                    "out and put it in as measured"
                )
            self.base.execute(
                "UPDATE leftover SET note = COALESCE(?, note) WHERE tag = ?", (note, found.tag)
            )

    def remove(self, tag: str) -> None:
        """Take a bolt or a leftover out; the record of it stays."""
        with self._change():
            found = self.find(tag)
            table = "bolt" if isinstance(found, Bolt) else "leftover"
            self.base.execute(
                f"UPDATE {table} SET removed = ? WHERE tag = ?", (_today(), found.tag)
            )

    def record_cut(
        self,
        garment: str,
        plan: str,
        taken: list[tuple[str, float]],
        left: list[NewLeftover],
        used: list[str],
        again: bool = False,
    ) -> CutRecord:
        """Record that a plan was cut, in one transaction.

        Parameters
        ----------
        garment, plan : str
            Its name, and the plan as JSON.
        taken : list of (str, float)
            Length (mm, in the bolt's own state) off each bolt, by tag.
        left : list of NewLeftover
        used : list of str
            Tags of leftovers that were cut up.
        again : bool
            Whether the same plan may have been recorded before.

        Raises
        ------
        StashError
            If a bolt is too short, a tag is unknown, or the same plan is recorded already.
        """
        digest = hashlib.sha256(plan.encode()).hexdigest()
        with self._change():
            row = self.base.execute(
                "SELECT cut.id FROM cut JOIN plan ON plan.id = cut.plan_id "
                "WHERE plan.digest = ? AND cut.undone IS NULL",
                (digest,),
            ).fetchone()
            if row is not None and not again:
                raise StashError(
                    f"this plan was recorded as cut {row[0]} already; if it was cut "
                    "once more, add --again"
                )
            self.base.execute(
                "INSERT OR IGNORE INTO plan (digest, garment, body, kept) VALUES (?, ?, ?, ?)",
                (digest, garment, plan, _today()),
            )
            plan_id = self._one("SELECT id FROM plan WHERE digest = ?", digest)
            made = self.base.execute(
                "INSERT INTO cut (plan_id, made) VALUES (?, ?)", (plan_id, _today())
            )
            number = int(made.lastrowid or 0)
            for tag, length in taken:
                self._take(number, tag, length)
            for tag in used:
                self.leftover(tag)
                self.base.execute("UPDATE leftover SET used_by = ? WHERE tag = ?", (number, tag))
            for new in left:
                self._insert_leftover(new, number)
        return next(cut for cut in self.cuts() if cut.number == number)

    def undo_cut(self, number: int) -> CutRecord:
        """Undo a cut: lengths back onto the bolts, its leftovers out, used ones back.

        Raises
        ------
        StashError
            If there is no such cut, it was undone, or one of its leftovers was cut up or taken out.
        """
        with self._change():
            found = next((cut for cut in self.cuts() if cut.number == number), None)
            if found is None:
                raise StashError(f"cut {number}: there is none of that number")
            if found.undone is not None:
                raise StashError(f"cut {number}: it was undone on {found.undone} already")
            gone = self.base.execute(
                "SELECT tag FROM leftover WHERE made_by = ? "
                "AND (used_by IS NOT NULL OR removed IS NOT NULL)",
                (number,),
            ).fetchone()
            if gone is not None:
                raise StashError(
                    f"cut {number}: its leftover {gone[0]} is no longer there, so the cut "
                    "cannot be undone"
                )
            now = _today()
            for tag, length in found.taken:
                self.base.execute(
                    "UPDATE bolt SET length_mm = length_mm + ?, removed = NULL WHERE tag = ?",
                    (length, tag),
                )
            self.base.execute("UPDATE leftover SET removed = ? WHERE made_by = ?", (now, number))
            self.base.execute("UPDATE leftover SET used_by = NULL WHERE used_by = ?", (number,))
            self.base.execute("UPDATE cut SET undone = ? WHERE id = ?", (now, number))
        return replace(found, undone=now)

    # Within a change

    def _fabric(self, fabric: Fabric) -> int:
        """Row of a fabric; equal ones share it."""
        plain = replace(fabric, on_hand=None, bolt="", source="")
        body = json.dumps(fabric_to_data(plain), sort_keys=True)
        self.base.execute(
            "INSERT OR IGNORE INTO fabric (name, colour, fibre, body) VALUES (?, ?, ?, ?)",
            (fabric.name, fabric.colour, fabric.fibre, body),
        )
        return self._one("SELECT id FROM fabric WHERE body = ?", body)

    def _one(self, query: str, value: str) -> int:
        return int(self.base.execute(query, (value,)).fetchone()[0])

    def _next_tag(self, table: str, letter: str) -> str:
        """Short enough to write on cloth, and never given twice."""
        row = self.base.execute("SELECT seq FROM sqlite_sequence WHERE name = ?", (table,))
        last = row.fetchone()
        return f"{letter}{(last[0] if last else 0) + 1}"

    def _insert_bolt(
        self, fabric: Fabric, length: float, washed: bool, note: str, tag: str | None = None
    ) -> str:
        tag = tag or self._next_tag("bolt", "B")
        self.base.execute(
            "INSERT INTO bolt (id, tag, fabric_id, length_mm, washed, note, added) "
            "VALUES (?, ?, ?, ?, ?, ?, ?)",
            (int(tag[1:]), tag, self._fabric(fabric), length, int(washed), note, _today()),
        )
        return tag

    def _insert_leftover(
        self, new: NewLeftover, made_by: int | None, tag: str | None = None
    ) -> str:
        x1, y1, x2, y2 = new.rectangle
        tag = tag or self._next_tag("leftover", "L")
        self.base.execute(
            "INSERT INTO leftover (id, tag, fabric_id, outline, holes, rectangle, long_mm, "
            "wide_mm, area_mm2, note, added, made_by) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                int(tag[1:]),
                tag,
                self._fabric(new.fabric),
                json.dumps(new.outline),
                json.dumps(new.holes),
                json.dumps(new.rectangle),
                x2 - x1,
                y2 - y1,
                new.area,
                new.note,
                _today(),
                made_by,
            ),
        )
        return tag

    def _take(self, cut: int, tag: str, length: float) -> None:
        bolt = self.bolt(tag)
        if length > bolt.length + EXCESS_MM:
            raise StashError(
                f"bolt {bolt.tag}: {length / 10:.1f} cm come off it and it has "
                f"{bolt.length / 10:.1f} cm ({'washed' if bolt.washed else 'unwashed'}); "
                f"{(length - bolt.length) / 10:.1f} cm are missing"
            )
        rest = max(0.0, bolt.length - length)
        self.base.execute("UPDATE bolt SET length_mm = ? WHERE tag = ?", (rest, bolt.tag))
        if rest <= EXCESS_MM:
            self.base.execute("UPDATE bolt SET removed = ? WHERE tag = ?", (_today(), bolt.tag))
        self.base.execute(
            "INSERT INTO cut_bolt (cut_id, bolt_id, length_mm) "
            "VALUES (?, (SELECT id FROM bolt WHERE tag = ?), ?)",
            (cut, bolt.tag, min(length, bolt.length)),
        )

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
            "SELECT tag FROM leftover WHERE used_by = ? ORDER BY id", (number,)
        )
        return CutRecord(
            number, garment, made, undone,
            tuple((str(tag), float(length)) for tag, length in taken),
            tuple(row[0] for row in left.fetchall()),
            tuple(row[0] for row in used.fetchall()),
            plan,
        )  # fmt: skip


def _facts(one: Bolt | LeftoverRecord | NewLeftover) -> tuple[Any, ...]:
    """What two records must share to be the same thing."""
    if isinstance(one, Bolt):
        return one.fabric, one.length, one.washed, one.note
    return one.fabric, one.outline, one.holes, one.note


def _today() -> str:
    return datetime.now().astimezone().isoformat(timespec="seconds")


def _bolt(row: tuple[Any, ...]) -> Bolt:
    tag, body, length, washed, note, added = row
    return Bolt(tag, fabric_from_data(json.loads(body)), length, bool(washed), note, added)


def _leftover(row: tuple[Any, ...]) -> LeftoverRecord:
    tag, body, outline, holes, rectangle, area, note, added, made_by = row
    x1, y1, x2, y2 = json.loads(rectangle)
    return LeftoverRecord(
        tag=tag,
        fabric=fabric_from_data(json.loads(body)),
        outline=tuple((x, y) for x, y in json.loads(outline)),
        holes=tuple(tuple((x, y) for x, y in hole) for hole in json.loads(holes)),
        rectangle=(x1, y1, x2, y2),
        area=area,
        note=note,
        added=added,
        made_by=made_by,
    )
