"""Putting bolts and leftovers into the stash, one at a time or as another stash wrote them down."""

from __future__ import annotations

import json
import re
import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Any

from fabrics.fabric import Fabric
from fabrics.fabric_data import FABRIC
from fabrics.stash.errors import StashError
from fabrics.stash.reading import Reading
from fabrics.stash.records import Bolt, Damaged, LeftoverRecord, NewLeftover, TakenIn
from pieces.files.json_file import LONGEST_MM
from pieces.lengths import EXCESS_MM, System, format_length

MOST_KEPT_NUMBER = 99_999
"""A tag with a greater number is not kept on import: what follows must fit on the cloth."""


_WAS = re.compile(r"(?:^|; )was [BL]\d+ in .*$")


class Writing(Reading):
    """The ways into a stash; each is all or nothing."""

    def add_bolt(self, fabric: Fabric, length: float, washed: bool, note: str = "") -> Bolt:
        """Put a bolt in; return it with its tag.

        Raises
        ------
        StashError
            If its length (mm) is none, or something about it cannot be kept.
        """
        self.require_length(length)
        with self._change():
            tag = self._insert_bolt(Bolt("", fabric, length, washed, note, ""))
        return self.bolt(tag)

    def add_leftover(self, new: NewLeftover) -> LeftoverRecord:
        """Put a leftover in; return it with its tag.

        Raises
        ------
        StashError
            If it holds no rectangle, or something about it cannot be kept.
        """
        with self._change():
            tag = self._insert_leftover(new, None)
        return self.leftover(tag)

    def take_in(self, bolts: list[Bolt], leftovers: list[LeftoverRecord], source: str) -> TakenIn:
        """Put in what another stash wrote down; all of it or nothing.

        What is known already, by its id, is left alone. What comes keeps its tag if that was never
        given here; else it gets the next one, and a note of what it was.

        Parameters
        ----------
        bolts, leftovers : list
        source : str
            Where it comes from, for the note.
        """
        came: dict[int, tuple[str, str]] = {}
        there: list[tuple[str, str]] = []
        differs: list[tuple[str, str, str]] = []
        offered: list[Bolt | LeftoverRecord] = [*bolts, *leftovers]
        with self._change():
            known = self._known()
            given = {tag for tag, _, _ in known.values()}
            fresh: list[int] = []
            for k, one in enumerate(offered):
                match = known.get(one.ident) or self._same(one, known)
                if match is None:
                    fresh.append(k)
                elif differing := self._differing(one, match[1], match[2]):
                    differs.append((one.tag, match[0], differing))
                else:
                    there.append((one.tag, match[0]))
            # First those that keep their tags, so that none of them is given to another.
            keep = [k for k in fresh if offered[k].tag not in given and _is_short(offered[k].tag)]
            for k in keep:
                came[k] = (offered[k].tag, self._put(offered[k], offered[k].tag))
            for k in fresh:
                if k not in came:
                    one = offered[k]
                    note = f"was {one.tag} in {source}"
                    noted = replace(one, note=f"{one.note}; {note}" if one.note else note)
                    came[k] = (one.tag, self._put(noted, None))
        return TakenIn(tuple(came[k] for k in sorted(came)), tuple(there), tuple(differs))

    def _known(self) -> dict[str, tuple[str, Bolt | LeftoverRecord | None, str]]:
        """All that ever was here by id: its tag, itself if it is sound, and where it is now."""
        gone = {
            row[0]: row[1]
            for row in self.base.execute(
                "SELECT tag, 'out' FROM bolt WHERE removed IS NOT NULL UNION ALL "
                "SELECT tag, CASE WHEN used_by IS NULL THEN 'out' ELSE 'cut up' END FROM leftover "
                "WHERE removed IS NOT NULL OR used_by IS NOT NULL"
            )
        }
        records: list[Bolt | LeftoverRecord] = [
            *self._sound_bolts("")[0], *self._sound_leftovers("")[0],
        ]  # fmt: skip
        sound = {one.tag: one for one in records}
        rows = self.base.execute(
            "SELECT ident, tag FROM bolt UNION ALL SELECT ident, tag FROM leftover"
        )
        return {ident: (tag, sound.get(tag), gone.get(tag, "")) for ident, tag in rows}

    def _same(
        self, one: Bolt | LeftoverRecord, known: dict[str, Any]
    ) -> tuple[str, Bolt | LeftoverRecord | None, str] | None:
        """For files of older versions, which tell no ids: the same tag and the same facts."""
        if not one.ident.startswith(f"{one.tag} "):
            return None
        for tag, mine, gone in known.values():
            if tag == one.tag and mine is not None and not gone and _facts(mine) == _facts(one):
                return tag, mine, gone
        return None

    def _differing(
        self, one: Bolt | LeftoverRecord, mine: Bolt | LeftoverRecord | None, gone: str
    ) -> str:
        """Say how what is here differs from what a file says of it; empty if it does not."""
        if gone:
            return "is out here" if gone == "out" else "was cut up here"
        if mine is None:
            return "is damaged here"
        found = []
        if isinstance(one, Bolt) and isinstance(mine, Bolt):
            if abs(one.length - mine.length) > EXCESS_MM:
                here, there = self.shown(mine.length), self.shown(one.length)
                found.append(f"is {here} long here and {there} there")
            if one.washed != mine.washed:
                found.append("is washed here" if mine.washed else "is not washed here")
        if _own(one.note) != _own(mine.note):
            found.append(f"{_noted(mine.note)} here and {_noted(one.note)} there")
        return ", and ".join(found)

    def _put(self, one: Bolt | LeftoverRecord, tag: str | None) -> str:
        if isinstance(one, Bolt):
            return self._insert_bolt(one, tag)
        new = NewLeftover(one.fabric, one.region, one.note)
        return self._insert_leftover(new, None, tag, one.ident)

    def require_length(self, length: float) -> None:
        """Refuse a length (mm) that no bolt has, with a StashError."""
        if not length > 0.0:
            raise StashError(f"length: {self.shown(length)} is no length of a bolt; more than 0")
        if length > LONGEST_MM:
            raise StashError(
                f"length: no bolt is longer than {self.shown(LONGEST_MM)}; check the unit"
            )

    def shown(self, length: float) -> str:
        """Print a length (mm) in the units of whoever asks, never changing from cm to m."""
        if self.system is System.METRIC:
            return f"{length / 10.0:.1f} cm"
        return format_length(length, self.system)

    # Within a change

    def _fabric(self, fabric: Fabric) -> int:
        """Row of a fabric; equal ones share it."""
        plain = replace(fabric, on_hand=None, bolt="", source="", lot="")
        body = json.dumps(FABRIC.write(plain), sort_keys=True)
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

    def _insert_bolt(self, one: Bolt, tag: str | None = None) -> str:
        tag = tag or self._next_tag("bolt", "B")
        self.base.execute(
            "INSERT INTO bolt (id, tag, fabric_id, length_mm, washed, note, added, ident) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (
                int(tag[1:]), tag, self._fabric(one.fabric), one.length, int(one.washed), one.note,
                now_text(), one.ident or new_ident(),
            ),
        )  # fmt: skip
        self._require_sound(self._sound_bolts, "bolt", tag)
        return tag

    def _insert_leftover(
        self, new: NewLeftover, made_by: int | None, tag: str | None = None, ident: str = ""
    ) -> str:
        region = new.region
        if not (region.long > 0.0 and region.wide > 0.0 and region.area > 0.0):
            raise StashError("a leftover that holds no rectangle at all is not worth a tag")
        tag = tag or self._next_tag("leftover", "L")
        self.base.execute(
            "INSERT INTO leftover (id, tag, fabric_id, outline, holes, rectangle, long_mm, "
            "wide_mm, area_mm2, note, added, made_by, ident) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                int(tag[1:]), tag, self._fabric(new.fabric), json.dumps(region.outline),
                json.dumps(region.holes), json.dumps(region.rectangle), region.long, region.wide,
                region.area,
                new.note, now_text(), made_by, ident or new_ident(),
            ),
        )  # fmt: skip
        self._require_sound(self._sound_leftovers, "leftover", tag)
        return tag

    def _require_sound(
        self, read: Callable[[str, str], tuple[Any, list[Damaged]]], table: str, tag: str
    ) -> None:
        """Refuse what could not be read back."""
        bad = read(f"WHERE {table}.tag = ?", tag)[1]
        if bad:
            raise StashError(f"it cannot be kept: {'; '.join(bad[0].faults)}")


def now_text() -> str:
    """The time of a change, with the zone (ISO 8601), fine enough to tell which came first."""
    return datetime.now().astimezone().isoformat(timespec="microseconds")


def new_ident() -> str:
    """An id that no other record has, in any stash."""
    return secrets.token_hex(8)


def _own(note: str) -> str:
    """A note without what an import added to it of the tag that it had elsewhere."""
    return _WAS.sub("", note)


def _noted(note: str) -> str:
    return f"has the note '{note}'" if note else "has no note"


def _is_short(tag: str) -> bool:
    return int(tag[1:]) <= MOST_KEPT_NUMBER


def _facts(one: Bolt | LeftoverRecord) -> tuple[Any, ...]:
    """What two records must share to be the same thing."""
    plain = replace(one.fabric, on_hand=None, bolt="", source="", lot="")
    if isinstance(one, Bolt):
        return plain, one.length, one.washed, one.note
    return plain, one.region.outline, one.region.holes, one.note
