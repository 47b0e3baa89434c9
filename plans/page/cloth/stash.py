"""The stash as views see it: opened for a change; read without making one where none is."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request

from fabrics.stash.records import Bolt, Change, CutRecord, Damaged, LeftoverRecord
from fabrics.stash.store import Stash
from plans.page.names import NotThereError
from plans.page.settings import units
from plans.page.surroundings import surroundings


@dataclass(frozen=True)
class Contents:
    """All that a stash tells; nothing where there is no stash yet."""

    bolts: tuple[Bolt, ...] = ()
    leftovers: tuple[LeftoverRecord, ...] = ()
    damaged: tuple[Damaged, ...] = ()
    changes: tuple[Change, ...] = ()
    cuts: tuple[CutRecord, ...] = ()

    @property
    def anything(self) -> bool:
        """Whether there is cloth in it, sound or not."""
        return bool(self.bolts or self.leftovers or self.damaged)

    @property
    def latest(self) -> Change | None:
        """The change that undoing would undo."""
        return next((one for one in reversed(self.changes) if one.undone is None), None)


def opened(request: Request) -> Stash:
    """Open the stash, which is made where there is none; its messages speak the chosen units."""
    return Stash(surroundings(request).stash, system=units(request))


def contents(request: Request) -> Contents:
    """Read the stash; looking makes no file."""
    if not surroundings(request).stash.exists():
        return Contents()
    with opened(request) as base:
        return Contents(
            tuple(base.bolts()), tuple(base.leftovers()), tuple(base.damaged()),
            tuple(base.changes()), tuple(base.cuts()),
        )  # fmt: skip


def kept_one(request: Request, tag: str) -> Bolt | LeftoverRecord:
    """Return the bolt or leftover that carries a tag.

    Raises
    ------
    NotThereError
        If nothing does.
    """
    found = contents(request)
    wanted = tag.strip().upper()
    kept: list[Bolt | LeftoverRecord] = [*found.bolts, *found.leftovers]
    for one in kept:
        if one.tag == wanted:
            return one
    raise NotThereError(f"there is no '{tag}' in the stash (any more)")
