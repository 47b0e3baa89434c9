"""The stash itself: every change is one transaction, and nothing recorded is ever deleted.

What is taken out is marked, not removed, so that undoing and history stay possible.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from datetime import datetime

from fabrics.stash.changes import Changes
from fabrics.stash.errors import StashError
from fabrics.stash.records import CutLook, CutRecord, NewCut
from fabrics.stash.writing import now_text
from pieces.lengths import EXCESS_MM


class _LookedError(StashError):
    """Ends a change that was only looked at."""


class Stash(Changes):
    """An open stash; use it as a context manager. See `Connection` for how it is opened."""

    def record_cut(self, new: NewCut) -> CutRecord:
        """Record that a plan was cut, in one transaction.

        Raises
        ------
        StashError
            If a bolt is too short, a tag is unknown, or the same plan is recorded already.
        """
        with self._change():
            number = self._record_cut(new)
        return next(cut for cut in self.cuts() if cut.number == number)

    def look_at_cut(self, new: NewCut) -> CutLook:
        """Tell what `record_cut` would change, and change nothing; its errors are the same.

        It is recorded and taken back, so that what is told is what would come of it.
        """
        try:
            with self._change():
                number = self._record_cut(new)
                record = next(cut for cut in self.cuts() if cut.number == number)
                seen = CutLook(record, self.bolts(), [self.leftover(tag) for tag in record.left])
                raise _LookedError
        except _LookedError:
            return seen

    def _record_cut(self, new: NewCut) -> int:
        """Within a change: write all of it, return the number."""
        digest = hashlib.sha256(new.plan.encode()).hexdigest()
        row = self.base.execute(
            "SELECT cut.id FROM cut JOIN plan ON plan.id = cut.plan_id "
            "WHERE plan.digest = ? AND cut.undone IS NULL",
            (digest,),
        ).fetchone()
        if row is not None and not new.again:
            raise StashError(
                f"this plan was recorded as cut {row[0]} already; if it was cut "
                "once more, add --again"
            )
        self.base.execute(
            "INSERT OR IGNORE INTO plan (digest, garment, body, kept) VALUES (?, ?, ?, ?)",
            (digest, new.garment, new.plan, now_text()),
        )
        plan_id = self._one("SELECT id FROM plan WHERE digest = ?", digest)
        made = self.base.execute(
            "INSERT INTO cut (plan_id, made) VALUES (?, ?)", (plan_id, now_text())
        )
        number = int(made.lastrowid or 0)
        for tag, length in new.taken:
            self._take(number, tag, length)
        for tag in new.used:
            self.leftover(tag)
            self.base.execute("UPDATE leftover SET used_by = ? WHERE tag = ?", (number, tag))
            self.base.execute(
                "INSERT INTO cut_leftover (cut_id, leftover_id) "
                "VALUES (?, (SELECT id FROM leftover WHERE tag = ?))",
                (number, tag),
            )
        for left in new.left:
            self._insert_leftover(left, number)
        return number

    def undo_cut(self, number: int) -> CutRecord:
        """Undo a cut: lengths back onto the bolts, its leftovers out, used ones back.

        Raises
        ------
        StashError
            If there is no such cut, it was undone, or one of its leftovers or bolts was cut up or
            taken out since.
        """
        with self._change():
            found = next((cut for cut in self.cuts() if cut.number == number), None)
            if found is None:
                raise StashError(f"cut {number}: there is none of that number")
            if found.undone is not None:
                raise StashError(f"cut {number}: it was undone already")
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
            for tag, _ in found.taken:
                self._require_there(number, tag)
                self._require_same_state(found, tag)
            now = now_text()
            for tag, length in found.taken:
                self.base.execute(
                    # Rounded, so that adding gives back what taking away took.
                    "UPDATE bolt SET length_mm = ROUND(length_mm + ?, 6), removed = NULL "
                    "WHERE tag = ?",
                    (length, tag),
                )
            self.base.execute("UPDATE leftover SET removed = ? WHERE made_by = ?", (now, number))
            self.base.execute("UPDATE leftover SET used_by = NULL WHERE used_by = ?", (number,))
            self.base.execute("UPDATE cut SET undone = ? WHERE id = ?", (now, number))
        return replace(found, undone=now)

    def _require_there(self, number: int, tag: str) -> None:
        """Refuse to put a length back onto a bolt that was taken out; a used-up one comes back."""
        row = self.base.execute(
            "SELECT length_mm FROM bolt WHERE tag = ? AND removed IS NOT NULL", (tag,)
        ).fetchone()
        if row is not None and row[0] > EXCESS_MM:
            raise StashError(
                f"cut {number}: bolt {tag} was taken out since, so the cut cannot be undone; "
                "laywright stash undo brings it back first"
            )

    def _require_same_state(self, cut: CutRecord, tag: str) -> None:
        """Refuse to put a length back onto a bolt that was washed since: it would not be true."""
        rows = self.base.execute(
            "SELECT number, was, became, made FROM change "
            "WHERE tag = ? AND kind = 'correct' AND undone IS NULL",
            (tag,),
        ).fetchall()
        for number, was, became, made in rows:
            later = datetime.fromisoformat(made) >= datetime.fromisoformat(cut.made)
            if later and json.loads(was)["washed"] != json.loads(became)["washed"]:
                raise StashError(
                    f"cut {cut.number}: bolt {tag} was corrected to another state since, washed or "
                    f"not, so that the length would be wrong; laywright stash undo {number} first"
                )

    def _take(self, cut: int, tag: str, length: float) -> None:
        bolt = self.bolt(tag)
        if length > bolt.length + EXCESS_MM:
            raise StashError(
                f"bolt {bolt.tag}: {self.shown(length)} come off it and it has "
                f"{self.shown(bolt.length)} ({'washed' if bolt.washed else 'unwashed'}); "
                f"{self.shown(length - bolt.length)} are missing"
            )
        rest = max(0.0, bolt.length - length)
        self.base.execute("UPDATE bolt SET length_mm = ? WHERE tag = ?", (rest, bolt.tag))
        if rest <= EXCESS_MM:
            self.base.execute("UPDATE bolt SET removed = ? WHERE tag = ?", (now_text(), bolt.tag))
        self.base.execute(
            "INSERT INTO cut_bolt (cut_id, bolt_id, length_mm) "
            "VALUES (?, (SELECT id FROM bolt WHERE tag = ?), ?)",
            (cut, bolt.tag, min(length, bolt.length)),
        )
