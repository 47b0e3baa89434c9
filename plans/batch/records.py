"""What a batch has done, kept beside its plans: so that a batch which was ended goes on.

One SQLite file, which one batch holds at a time, however that one ends. What is kept is used only
for the very same question of the very same program, and if the files of the plan are all there.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
import tempfile
from dataclasses import asdict, replace
from pathlib import Path
from types import TracebackType

from pieces.system_words import system_words
from plans.batch.answer import Answer, Cloth, State
from plans.outputs.folder import PLAN_FILE, FolderError, whole_folder
from plans.whole_files import ASIDE, ASIDE_END, clear_leavings

NAME = ".batch.sqlite"

LASTING = (State.PLANNED, State.NO_LAYOUT, State.SHORT)
"""What would come of the same question again."""


class Records:
    """The folder of a batch and what is known of the plans in it; to be used in a `with`.

    Raises
    ------
    FolderError
        If the folder cannot be made or written, holds something else, or another batch writes
        there.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        _make(folder)
        self._base = _held(folder)
        # Nobody else writes here: whoever wrote what lies aside was killed.
        clear_leavings(folder, 0.0)

    def __enter__(self) -> Records:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._base.close()

    def get(self, name: str, key: str) -> Answer | None:
        """Return what came of this question, if that is known and its plan is as it was."""
        try:
            row = self._base.execute(
                "SELECT body FROM done WHERE name = ? AND key = ?", (name, key)
            ).fetchone()
            return None if row is None else _read(json.loads(row[0]), self.folder / name)
        except (sqlite3.Error, OSError, ValueError, KeyError, TypeError, AttributeError):
            return None

    def put(self, name: str, key: str, answer: Answer) -> Answer:
        """Write the plan of an answer and keep what is to be known of it; return what came of that.

        Raises
        ------
        FolderError
            If the disk refuses. Where the place of a plan holds something else, that is its answer.
        """
        if answer.files:
            try:
                with whole_folder(self.folder / name) as aside:
                    for file, content in answer.files:
                        (aside / file).write_bytes(content)
            except FolderError as error:
                if isinstance(error.__cause__, OSError):
                    # The disk refuses: it will refuse the others, too.
                    raise
                return replace(answer, state=State.NOT_WRITTEN, reason=str(error), files=())
        if answer.state in LASTING:
            try:
                with self._base:
                    self._base.execute(
                        "INSERT OR REPLACE INTO done (name, key, body) VALUES (?, ?, ?)",
                        (name, key, json.dumps(_written(answer))),
                    )
            except sqlite3.Error as error:
                raise FolderError(f"{self.folder / NAME}: cannot be written: {error}") from error
        return replace(answer, files=())

    def has_plan(self, name: str) -> bool:
        """Whether there is a plan in the place of an order, whatever it is of."""
        return (self.folder / name / PLAN_FILE).exists()


def _make(folder: Path) -> None:
    """See that there is a folder for a batch."""
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise FolderError(f"--out {folder}: is a file; name a folder")
    try:
        if folder.is_dir() and any(folder.iterdir()) and not (folder / NAME).exists():
            raise FolderError(
                f"--out {folder}: holds other files and no batch, so nothing is written there; "
                "name another folder or empty it"
            )
        folder.mkdir(exist_ok=True)
        # Known before anything is planned.
        with tempfile.TemporaryDirectory(dir=folder, prefix=ASIDE, suffix=ASIDE_END):
            pass
    except FileNotFoundError as error:
        raise FolderError(
            f"--out {folder}: the folder {folder.absolute().parent} does not exist; make it first"
        ) from error
    except OSError as error:
        raise FolderError(f"--out {folder}: cannot be written: {system_words(error)}") from error


def _held(folder: Path) -> sqlite3.Connection:
    try:
        return _opened(folder / NAME)
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode == sqlite3.SQLITE_BUSY:
            raise FolderError(
                f"--out {folder}: another batch writes there; wait until it ends, or name another "
                "folder"
            ) from error
        raise FolderError(f"--out {folder}: cannot be written: {error}") from error
    except sqlite3.DatabaseError:
        # No database any more: all that was in it can be worked out again.
        (folder / NAME).unlink(missing_ok=True)
        return _opened(folder / NAME)


def _opened(path: Path) -> sqlite3.Connection:
    """Open the file and hold it until it is closed, or this process ends."""
    base = sqlite3.connect(path, timeout=0.0)
    try:
        base.execute("PRAGMA locking_mode = EXCLUSIVE")
        base.execute("BEGIN EXCLUSIVE")
        base.execute("CREATE TABLE IF NOT EXISTS done (name TEXT PRIMARY KEY, key TEXT, body TEXT)")
        base.execute("COMMIT")
    except BaseException:
        base.close()
        raise
    return base


def _written(answer: Answer) -> dict[str, object]:
    return {
        "state": answer.state.value,
        "title": answer.title,
        "reason": answer.reason,
        "cloths": [asdict(cloth) for cloth in answer.cloths],
        "files": {file: hashlib.sha256(content).hexdigest() for file, content in answer.files},
    }


def _read(body: dict[str, object], folder: Path) -> Answer | None:
    """An answer as it was kept; None if its plan is no longer what it was."""
    files, cloths = body["files"], body["cloths"]
    if not isinstance(files, dict) or not isinstance(cloths, list):
        return None
    for file, digest in files.items():
        if hashlib.sha256((folder / file).read_bytes()).hexdigest() != digest:
            return None
    return Answer(
        State(body["state"]),
        str(body["title"]),
        str(body["reason"]),
        tuple(Cloth(**{**cloth, "roles": tuple(cloth["roles"])}) for cloth in cloths),
    )
