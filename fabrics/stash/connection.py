"""Opening the stash's file, and changing it: all of a change, or nothing.

A kill, a full disk or a fault in the middle of a change leaves the file as it was before (SQLite's
rollback journal, synchronous writes).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Self

from fabrics.stash.errors import StashError
from fabrics.stash.schema import bring_up_to_date
from fabrics.stash.sqlite_words import words_for
from pieces.lengths import System
from pieces.system_words import system_words

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
    system : System
        Units that its messages speak.

    Raises
    ------
    StashError
        If it cannot be opened, is no stash, or belongs to a later version.
    """

    def __init__(
        self, path: Path, wait: float = WAIT_SECONDS, system: System = System.METRIC
    ) -> None:
        self.path = path
        self.system = system
        try:
            # A link to nowhere makes the file; a device or a folder can hold no stash.
            if path.exists() and not path.is_file():
                what = "is a folder" if path.is_dir() else "is no ordinary file"
                raise StashError(f"{path}: {what}, so that no stash can be kept in it; name a file")
            path.parent.mkdir(parents=True, exist_ok=True)
            self.base = sqlite3.connect(path, timeout=wait, isolation_level=None)
        except FileExistsError as error:
            raise StashError(
                f"{path}: the stash cannot be opened: {path.parent} is a file, not a folder; look "
                "at the spelling"
            ) from error
        except OSError as error:
            raise StashError(
                f"{path}: the stash cannot be opened: {system_words(error)}"
            ) from error
        except (sqlite3.Error, ValueError) as error:
            if isinstance(error, StashError):
                raise
            words = words_for(error) if isinstance(error, sqlite3.Error) else "that is no file name"
            raise StashError(f"{path}: the stash cannot be opened: {words}") from error
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
        try:
            if target.exists():
                raise StashError(f"{target}: is there already; choose another name for the backup")
            copy = sqlite3.connect(target)
            try:
                self.base.backup(copy)
            finally:
                copy.close()
        except OSError as error:
            raise StashError(
                f"{target}: the backup cannot be written: {system_words(error)}"
            ) from error
        except sqlite3.Error as error:
            # Half a backup must not be taken for one.
            with suppress(OSError):
                target.unlink(missing_ok=True)
            raise StashError(
                f"{target}: the backup cannot be written: {words_for(error)}"
            ) from error

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
            raise StashError(f"{self.path}: {words_for(error)}; nothing was changed") from error
        except UnicodeEncodeError as error:
            raise StashError(
                f"{self.path}: a note or name holds letters that are none "
                f"({error.object[:20]!a}); type it anew; nothing was changed"
            ) from error
