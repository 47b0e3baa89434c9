"""Bolts of the stash that forms of several rooms offer."""

from __future__ import annotations

from pathlib import Path

from fabrics.stash.errors import StashError
from fabrics.stash.records import Bolt
from fabrics.stash.store import Stash
from pieces.lengths import System


def offered_bolts(stash: Path, system: System = System.METRIC) -> list[Bolt]:
    """Bolts to choose from; none of a stash that cannot be read, whose own view says why."""
    if not stash.exists():
        return []
    try:
        with Stash(stash, system=system) as base:
            return base.bolts()
    except (StashError, OSError):
        return []
