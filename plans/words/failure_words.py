"""What ended some work, in words for whoever asked for it."""

from __future__ import annotations

from concurrent.futures import BrokenExecutor
from dataclasses import dataclass
from enum import Enum

from fabrics.folds.errors import FabricError
from pieces.errors import PieceError
from pieces.findings import InputError
from pieces.system_words import system_words
from pieces.tracing.refusal import UntraceableError
from plans.errors import NothingFitsError, PlanError


class Blame(Enum):
    """Whose matter it is."""

    INPUT = "input"
    NO_LAYOUT = "no layout"
    UNMEASURABLE = "unmeasurable"
    FAULT = "fault"


@dataclass(frozen=True)
class Failure:
    """Whose matter it is, and what is said about it, a line each."""

    blame: Blame
    lines: tuple[str, ...]


LOST_WORKER = (
    "a worker of this plan was ended from outside, as systems do when memory runs out; "
    "nothing was written. Try again, with fewer makes or fewer programs at a time"
)


def failure_of(error: Exception) -> Failure:
    """Say what an error means."""
    if isinstance(error, InputError):
        return Failure(Blame.INPUT, tuple(str(finding) for finding in error.findings))
    if isinstance(error, NothingFitsError):
        return Failure(Blame.NO_LAYOUT, (str(error),))
    if isinstance(error, UntraceableError):
        return Failure(Blame.UNMEASURABLE, (str(error),))
    if isinstance(error, (PieceError, FabricError, PlanError)):
        return Failure(Blame.INPUT, (str(error),))
    if isinstance(error, OSError):
        where = error.filename or "while reading or writing"
        return Failure(Blame.INPUT, (f"{where}: {system_words(error)}",))
    if isinstance(error, BrokenExecutor):
        return Failure(Blame.FAULT, (LOST_WORKER,))
    return Failure(
        Blame.FAULT,
        (f"a fault in laywright, not in your files: {type(error).__name__}: {error}",),
    )
