"""What SQLite refused, in the words of a person, with what to do."""

from __future__ import annotations

import sqlite3

WORDS: tuple[tuple[int, str], ...] = (
    (sqlite3.SQLITE_BUSY,
     "another program is changing it; wait until it has finished and try again"),
    (sqlite3.SQLITE_LOCKED,
     "another program is changing it; wait until it has finished and try again"),
    (sqlite3.SQLITE_FULL, "the disk is full; make room and try again"),
    (sqlite3.SQLITE_NOTADB,
     "it is no stash, or it is damaged; name another file, or restore a backup"),
    (sqlite3.SQLITE_CORRUPT, "it is no stash, or it is damaged; restore a backup"),
    (sqlite3.SQLITE_READONLY,
     "it cannot be written; look at the rights of the file and its folder"),
    (sqlite3.SQLITE_PERM, "it cannot be written; look at the rights of the file and its folder"),
    (sqlite3.SQLITE_AUTH, "it cannot be written; look at the rights of the file and its folder"),
    (sqlite3.SQLITE_CANTOPEN,
     "it cannot be opened; look whether its folder is there and may be written to"),
    (sqlite3.SQLITE_IOERR,
     "the disk does not answer as it should; is it full, or was it taken out? copy the file to "
     "another disk and try again"),
    (sqlite3.SQLITE_NOMEM, "there is not enough memory; close other programs and try again"),
    (sqlite3.SQLITE_TOOBIG, "something is too large to be kept; shorten it"),
    (sqlite3.SQLITE_CONSTRAINT,
     "the tables of a stash do not permit that value; check what was typed"),
    (sqlite3.SQLITE_SCHEMA, "another program changed its tables; try again"),
    (sqlite3.SQLITE_INTERRUPT, "it was interrupted; try again"),
    (sqlite3.SQLITE_MISMATCH, "a number was expected where something else stands"),
)  # fmt: skip
"""By SQLite's primary result codes (sqlite.org/rescode.html)."""

OTHERWISE = (
    "its tables are not those of a stash of this version; restore a backup, or name another file"
)


def words_for(error: sqlite3.Error) -> str:
    """Say what an error of SQLite means for the file that was asked for, and what to do."""
    # The lowest byte is the primary code; the rest tells details.
    primary = (getattr(error, "sqlite_errorcode", None) or sqlite3.SQLITE_ERROR) & 0xFF
    return dict(WORDS).get(primary, OTHERWISE)
