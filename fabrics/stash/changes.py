"""Taking out and correcting what is in the stash, and undoing that.

Each change keeps what was there before, so that it can be undone as long as nothing else has
happened to what it changed. Nothing is deleted: what is out is marked, what is undone is marked.
"""

from __future__ import annotations

import json
from typing import Any

from fabrics.stash.errors import StashError
from fabrics.stash.records import Bolt, Change
from fabrics.stash.writing import Writing, now_text
from pieces.lengths import EXCESS_MM

FIELDS = {"B": ("length_mm", "washed", "note"), "L": ("note",)}
"""What can be corrected, by the first letter of the tag."""


class Changes(Writing):
    """Taking out, correcting, undoing."""

    def correct(
        self,
        tag: str,
        length: float | None = None,
        washed: bool | None = None,
        note: str | None = None,
    ) -> int:
        """Correct what is known of a bolt, or the note of a leftover.

        Returns
        -------
        int
            Number of the change, for `undo`.

        Raises
        ------
        StashError
            If nothing carries the tag, the length (mm) is none, or a leftover has no such field.
        """
        if length is not None:
            if not length > 0.0:
                raise StashError(
                    f"length: {self.shown(length)} is no length of a bolt; take it out instead"
                )
            self.require_length(length)
        with self._change():
            found = self.find(tag)
            if not isinstance(found, Bolt) and (length is not None or washed is not None):
                raise StashError(
                    f"tag '{found.tag}': only the note of a leftover can be corrected; take it "
                    "out and put it in as measured"
                )
            new = {"length_mm": length, "washed": None if washed is None else int(washed)}
            was = self._state(found.tag)
            became = was | {
                key: value
                for key, value in {**new, "note": note}.items()
                if value is not None and key in was
            }
            self._set(found.tag, became)
            read = self._sound_bolts if isinstance(found, Bolt) else self._sound_leftovers
            self._require_sound(read, _table(found.tag), found.tag)
            return self._record("correct", [(found.tag, was, became)])

    def remove(self, *tags: str) -> int:
        """Take bolts or leftovers out, all of them or none; the records of them stay.

        Returns
        -------
        int
            Number of the change, for `undo`.

        Raises
        ------
        StashError
            If nothing that is there carries one of the tags.
        """
        with self._change():
            wanted = list(dict.fromkeys(tag.strip().upper() for tag in tags))
            for tag in wanted:
                # What is damaged may go, too.
                if self._one_there(tag)[1] is None:
                    self.find(tag)
            for tag in wanted:
                self.base.execute(
                    f"UPDATE {_table(tag)} SET removed = ? WHERE tag = ?", (now_text(), tag)
                )
            return self._record("out", [(tag, {}, {}) for tag in wanted])

    def changes(self) -> list[Change]:
        """What was taken out or corrected, oldest first, undone ones included."""
        with self._explained():
            rows = self.base.execute(
                "SELECT number, kind, made, undone, tag FROM change ORDER BY number, id"
            ).fetchall()
        found: dict[int, Change] = {}
        for number, kind, made, undone, tag in rows:
            before = found[number].tags if number in found else ()
            found[number] = Change(number, kind, made, undone, (*before, tag))
        return list(found.values())

    def undo(self, number: int | None = None) -> Change:
        """Undo a change: the latest that is not undone, or the one of a number.

        Raises
        ------
        StashError
            If there is none, it was undone, or something else has happened to what it changed.
        """
        with self._change():
            changes = self.changes()
            if number is None:
                number = max((c.number for c in changes if c.undone is None), default=0)
                if not number:
                    raise StashError("nothing was taken out or corrected that could be undone")
            found = next((change for change in changes if change.number == number), None)
            if found is None:
                raise StashError(f"change {number}: there is none of that number")
            if found.undone is not None:
                raise StashError(f"change {number}: it was undone already")
            rows = self.base.execute(
                "SELECT tag, was, became FROM change WHERE number = ? ORDER BY id DESC", (number,)
            ).fetchall()
            for tag, was, became in rows:
                if found.kind == "out":
                    self._bring_back(number, tag)
                else:
                    self._restore(number, tag, json.loads(was), json.loads(became))
            now = now_text()
            self.base.execute("UPDATE change SET undone = ? WHERE number = ?", (now, number))
        return Change(found.number, found.kind, found.made, now, found.tags)

    # Within a change

    def _bring_back(self, number: int, tag: str) -> None:
        done = self.base.execute(
            f"UPDATE {_table(tag)} SET removed = NULL WHERE tag = ? AND removed IS NOT NULL", (tag,)
        )
        if done.rowcount != 1:
            raise StashError(f"change {number}: {tag} is there already")

    def _restore(self, number: int, tag: str, was: dict[str, Any], became: dict[str, Any]) -> None:
        if not self._is_there(tag):
            raise StashError(f"change {number}: {tag} is no longer there; bring it back first")
        if not _alike(self._state(tag), became):
            raise StashError(
                f"change {number}: {tag} is no longer as that correction left it; undo first what "
                "came later (laywright stash list --changes, --cuts), or correct it anew"
            )
        self._set(tag, was)

    def _is_there(self, tag: str) -> bool:
        used = " AND used_by IS NULL" if tag.startswith("L") else ""
        row = self.base.execute(
            f"SELECT 1 FROM {_table(tag)} WHERE tag = ? AND removed IS NULL{used}", (tag,)
        ).fetchone()
        return row is not None

    def _state(self, tag: str) -> dict[str, Any]:
        """What can be corrected of a tag, as it is now."""
        fields = FIELDS[tag[0]]
        row = self.base.execute(
            f"SELECT {', '.join(fields)} FROM {_table(tag)} WHERE tag = ?", (tag,)
        ).fetchone()
        return dict(zip(fields, row, strict=True))

    def _set(self, tag: str, values: dict[str, Any]) -> None:
        listed = ", ".join(f"{field} = ?" for field in values)
        self.base.execute(
            f"UPDATE {_table(tag)} SET {listed} WHERE tag = ?", (*values.values(), tag)
        )

    def _record(self, kind: str, rows: list[tuple[str, dict[str, Any], dict[str, Any]]]) -> int:
        number = int(
            self.base.execute("SELECT COALESCE(MAX(number), 0) + 1 FROM change").fetchone()[0]
        )
        for tag, was, became in rows:
            self.base.execute(
                "INSERT INTO change (number, kind, tag, was, became, made) "
                "VALUES (?, ?, ?, ?, ?, ?)",
                (number, kind, tag, json.dumps(was), json.dumps(became), now_text()),
            )
        return number


def _table(tag: str) -> str:
    return "bolt" if tag.startswith("B") else "leftover"


def _alike(now: dict[str, Any], then: dict[str, Any]) -> bool:
    """Whether two states are the same, lengths but for what adding and taking away rounds."""
    if set(now) != set(then):
        return False
    for field, value in now.items():
        other = then[field]
        if isinstance(value, float) and isinstance(other, (int, float)):
            if abs(value - other) > EXCESS_MM:
                return False
        elif value != other:
            return False
    return True
