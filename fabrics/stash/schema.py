"""The tables of the stash, and how an older file becomes a newer one.

The version is SQLite's `user_version`. Each step is one transaction, and the file as it was is
copied aside first: an upgrade that fails leaves everything as before, one that succeeds still
leaves the old file.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from fabrics.stash.errors import StashError

STEPS: tuple[tuple[str, ...], ...] = (
    (
        """CREATE TABLE fabric (
            id INTEGER PRIMARY KEY,
            name TEXT NOT NULL,
            colour TEXT NOT NULL,
            fibre TEXT NOT NULL,
            body TEXT NOT NULL UNIQUE
        )""",
        """CREATE TABLE bolt (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            tag TEXT NOT NULL UNIQUE,
            fabric_id INTEGER NOT NULL REFERENCES fabric (id),
            length_mm REAL NOT NULL CHECK (length_mm >= 0),
            washed INTEGER NOT NULL CHECK (washed IN (0, 1)),
            note TEXT NOT NULL,
            added TEXT NOT NULL,
            removed TEXT
        )""",
        """CREATE TABLE plan (
            id INTEGER PRIMARY KEY,
            digest TEXT NOT NULL UNIQUE,
            garment TEXT NOT NULL,
            body TEXT NOT NULL,
            kept TEXT NOT NULL
        )""",
        """CREATE TABLE cut (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            plan_id INTEGER NOT NULL REFERENCES plan (id),
            made TEXT NOT NULL,
            undone TEXT
        )""",
        """CREATE TABLE cut_bolt (
            cut_id INTEGER NOT NULL REFERENCES cut (id),
            bolt_id INTEGER NOT NULL REFERENCES bolt (id),
            length_mm REAL NOT NULL CHECK (length_mm >= 0),
            PRIMARY KEY (cut_id, bolt_id)
        )""",
        """CREATE TABLE leftover (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            tag TEXT NOT NULL UNIQUE,
            fabric_id INTEGER NOT NULL REFERENCES fabric (id),
            outline TEXT NOT NULL,
            holes TEXT NOT NULL,
            rectangle TEXT NOT NULL,
            long_mm REAL NOT NULL CHECK (long_mm > 0),
            wide_mm REAL NOT NULL CHECK (wide_mm > 0),
            area_mm2 REAL NOT NULL CHECK (area_mm2 > 0),
            note TEXT NOT NULL,
            added TEXT NOT NULL,
            made_by INTEGER REFERENCES cut (id),
            used_by INTEGER REFERENCES cut (id),
            removed TEXT
        )""",
        "CREATE INDEX leftover_by_fabric ON leftover (fabric_id)",
        "CREATE INDEX bolt_by_fabric ON bolt (fabric_id)",
    ),
    # An id for each bolt and leftover that holds in every stash; what was taken out or corrected.
    (
        "ALTER TABLE bolt ADD COLUMN ident TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE leftover ADD COLUMN ident TEXT NOT NULL DEFAULT ''",
        """UPDATE bolt SET ident = tag || ' ' || added || ' ' ||
            (SELECT name FROM fabric WHERE fabric.id = bolt.fabric_id)""",
        """UPDATE leftover SET ident = tag || ' ' || added || ' ' ||
            (SELECT name FROM fabric WHERE fabric.id = leftover.fabric_id)""",
        "CREATE UNIQUE INDEX bolt_by_ident ON bolt (ident)",
        "CREATE UNIQUE INDEX leftover_by_ident ON leftover (ident)",
        """CREATE TABLE change (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            number INTEGER NOT NULL,
            kind TEXT NOT NULL CHECK (kind IN ('out', 'correct')),
            tag TEXT NOT NULL,
            was TEXT NOT NULL,
            became TEXT NOT NULL,
            made TEXT NOT NULL,
            undone TEXT
        )""",
        "CREATE INDEX change_by_number ON change (number)",
        # What was taken out before can be undone, too. A bolt without length was used up by a cut,
        # a leftover of an undone cut went with it.
        """INSERT INTO change (number, kind, tag, was, became, made)
            SELECT row_number() OVER (ORDER BY removed, tag), 'out', tag, '', '', removed FROM (
                SELECT tag, removed FROM bolt WHERE removed IS NOT NULL AND length_mm > 0.01
                UNION ALL
                SELECT tag, removed FROM leftover LEFT JOIN cut ON cut.id = leftover.made_by
                WHERE removed IS NOT NULL AND cut.undone IS NULL
            ) ORDER BY removed, tag""",
    ),
    # Which leftovers a cut used stays recorded when the cut is undone.
    (
        """CREATE TABLE cut_leftover (
            cut_id INTEGER NOT NULL REFERENCES cut (id),
            leftover_id INTEGER NOT NULL REFERENCES leftover (id),
            PRIMARY KEY (cut_id, leftover_id)
        )""",
        """INSERT INTO cut_leftover (cut_id, leftover_id)
            SELECT used_by, id FROM leftover WHERE used_by IS NOT NULL""",
    ),
)
"""Statements that lead from each version to the next."""

VERSION = len(STEPS)


def bring_up_to_date(base: sqlite3.Connection, path: Path) -> None:
    """Make the tables, or bring those of an older version up to date.

    Raises
    ------
    StashError
        If the file was written by a later version of the program, or a step fails.
    """
    version = _version(base)
    if version > VERSION:
        raise StashError(
            f"{path}: this stash was written by a later version (format {version}, this program "
            f"knows {VERSION}); it was left as it is; update laywright"
        )
    if version == VERSION:
        return
    if version > 0:
        _copy_aside(base, path, version)
    base.execute("BEGIN IMMEDIATE")
    try:
        # Another process may have done it while this one waited.
        for number in range(_version(base), VERSION):
            for statement in STEPS[number]:
                base.execute(statement)
            base.execute(f"PRAGMA user_version = {number + 1}")
        base.execute("COMMIT")
    except BaseException:
        if base.in_transaction:
            base.execute("ROLLBACK")
        raise


def _version(base: sqlite3.Connection) -> int:
    return int(base.execute("PRAGMA user_version").fetchone()[0])


def _copy_aside(base: sqlite3.Connection, path: Path, version: int) -> None:
    """Copy the file as it was before an upgrade, unless that was done already."""
    copy = path.with_name(f"{path.stem}-format-{version}{path.suffix}")
    if copy.exists():
        return
    # Half a copy must not be taken for one later.
    part = copy.with_name(f"{copy.name}.part")
    part.unlink(missing_ok=True)
    with closing(sqlite3.connect(part)) as aside:
        base.backup(aside)
    part.replace(copy)
