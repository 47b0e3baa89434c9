"""A cache of results by the content of their problem, so that no question is worked out twice.

The key is a digest of everything that the answer depends on, the program's own sources included:
another version never reads an old answer. What is read back is built and validated anew, so that a
damaged cache costs time and nothing else.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from contextlib import closing
from pathlib import Path

from fabrics.spread import Fold
from layout.layout import EndedBy
from pieces.files.user_folders import user_cache_folder
from plans.compare.remembered import outcome_from_data, outcome_to_data
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult, Outcome
from plans.program import program

_CUT_SHORT = (EndedBy.TIME, EndedBy.INTERRUPT)

MOST_ROWS = 20_000
"""Results kept; the oldest make room."""


class ResultCache:
    """Results in one SQLite file; every failure to read or write it counts as "not there"."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or user_cache_folder() / "results.sqlite"

    def get(
        self, job: FabricJob, fold: Fold, work: str, start: Outcome | None = None
    ) -> Outcome | None:
        """Return what this work found for this problem (from this start), validated again."""
        try:
            body = self._body(_key(job, fold, work, start))
            return None if body is None else outcome_from_data(job, fold, json.loads(body))
        except (sqlite3.Error, OSError, ValueError, KeyError, TypeError, IndexError):
            return None

    def get_proof(self, job: FabricJob, work: str, result: FoldResult) -> float | None:
        """Return the bound (mm) that this work proved beside a result."""
        key = _key(job, result.fold, work, result)
        try:
            body = self._body(key)
            length, seal = (None, "") if body is None else json.loads(body)
        except (sqlite3.Error, OSError, ValueError, TypeError):
            return None
        # To prove it again would be all the work: a figure that was damaged is known by its seal.
        return length if isinstance(length, float) and seal == _seal(key, length) else None

    def put(
        self,
        job: FabricJob,
        fold: Fold,
        work: str,
        outcome: Outcome,
        start: Outcome | None = None,
    ) -> None:
        """Keep a result of finished work; one that was interrupted is not the answer."""
        if isinstance(outcome, FoldResult) and outcome.layout.ended_by in _CUT_SHORT:
            return
        self._put(_key(job, fold, work, start), json.dumps(outcome_to_data(outcome)))

    def put_proof(self, job: FabricJob, work: str, result: FoldResult, length: float) -> None:
        """Keep the bound (mm) that this work proved beside a result."""
        key = _key(job, result.fold, work, result)
        self._put(key, json.dumps([length, _seal(key, length)]))

    def _body(self, key: str) -> str | None:
        with closing(self._open()) as base:
            row = base.execute("SELECT body FROM result WHERE key = ?", (key,)).fetchone()
        return None if row is None else str(row[0])

    def _put(self, key: str, body: str) -> None:
        try:
            with closing(self._open()) as base, base:
                base.execute("INSERT OR REPLACE INTO result (key, body) VALUES (?, ?)", (key, body))
                base.execute(
                    "DELETE FROM result WHERE rowid <= (SELECT MAX(rowid) FROM result) - ?",
                    (MOST_ROWS,),
                )
        except (sqlite3.Error, OSError):
            return

    def _open(self) -> sqlite3.Connection:
        self.path.parent.mkdir(parents=True, exist_ok=True)
        try:
            return _prepared(self.path)
        except sqlite3.DatabaseError as error:
            if isinstance(error, sqlite3.OperationalError):
                raise
            # Not a database any more: it holds nothing that cannot be worked out again.
            self.path.unlink(missing_ok=True)
            return _prepared(self.path)


def _prepared(path: Path) -> sqlite3.Connection:
    base = sqlite3.connect(path, timeout=5.0)
    base.execute("CREATE TABLE IF NOT EXISTS result (key TEXT PRIMARY KEY, body TEXT NOT NULL)")
    return base


def _key(job: FabricJob, fold: Fold, work: str, start: Outcome | None) -> str:
    begun = None if start is None else outcome_to_data(start)
    text = repr((program(), job, fold.value, work, begun))
    return hashlib.sha256(text.encode()).hexdigest()


def _seal(key: str, length: float) -> str:
    return hashlib.sha256(f"{key} {length!r}".encode()).hexdigest()
