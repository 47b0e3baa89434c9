"""Opening the stash's file, and changing it: all of a change, or nothing.

A kill, a full disk or a fault in the middle of a change leaves the file as it was before (SQLite's
rollback journal, synchronous writes).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Self

from fabrics.stash.errors import StashError
from fabrics.stash.schema import bring_up_to_date

WAIT_SECONDS = 10.0
"""How long a change waits for another process."""


class Connection:
    """An open file with the tables of the present version.

    Parameters
    ----------
    path : Path
        Made if it is not there, its folder too.
    wait : float
        Seconds to wait for another process.

    Raises
    ------
    StashError
        If it cannot be opened, is no stash, or belongs to a later version.
    """

    def __init__(self, path: Path, wait: float = WAIT_SECONDS) -> None:
        self.path = path
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            self.base = sqlite3.connect(path, timeout=wait, isolation_level=None)
        except (OSError, sqlite3.Error) as error:
            raise StashError(f"{path}: the stash cannot be opened ({error})") from error
        try:
            with self._explained():
                self.base.execute("PRAGMA foreign_keys = ON")
                self.base.execute("PRAGMA synchronous = EXTRA")
                bring_up_to_date(self.base, path)
        except BaseException:
            self.base.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.base.close()

    def backup(self, target: Path) -> None:
        """Copy the stash to a file while it may be in use.

        Raises
        ------
        StashError
            If the file is there already or cannot be written.
        """
        if target.exists():
            raise StashError(f"{target}: is there already; choose another name for the backup")
        try:
            copy = sqlite3.connect(target)
            try:
                self.base.backup(copy)
            finally:
                copy.close()
        except sqlite3.Error as error:
            raise StashError(f"{target}: the backup cannot be written ({error})") from error

    @contextmanager
    def _change(self) -> Iterator[None]:
        """One transaction: all of it, or nothing."""
        with self._explained():
            self.base.execute("BEGIN IMMEDIATE")
            try:
                yield
                self.base.execute("COMMIT")
            except BaseException:
                # A full disk may have rolled it back by itself.
                if self.base.in_transaction:
                    self.base.execute("ROLLBACK")
                raise

    @contextmanager
    def _explained(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as error:
            text = str(error)
            if "locked" in text or "busy" in text:
                text = "another program is changing it; wait until it has finished and try again"
            elif "full" in text:
                text = "the disk is full"
            elif "not a database" in text or "malformed" in text:
                text = "it is no stash, or it is damaged; restore a backup"
            elif "readonly" in text:
                text = "it cannot be written"
            raise StashError(f"{self.path}: {text}; nothing was changed") from error
