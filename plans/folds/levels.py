"""How much work a plan spends: screening of folds, and the search in the two that matter."""

from __future__ import annotations

from dataclasses import dataclass, replace

from layout.effort import LEAST_MEMBERS, Effort, members_here
from plans.errors import ContradictionError


@dataclass(frozen=True)
class Level:
    """Efforts of one plan: a first glance at variants, screening, refinement (None: no more).

    `tidy` is spent on each other layout that might have less to trace.
    """

    glance: Effort
    screen: Effort
    refine: Effort | None
    tidy: Effort = Effort.GLANCE


REFINED: dict[str, Effort | None] = {
    "quick": None,
    "normal": Effort.NORMAL,
    "thorough": Effort.THOROUGH,
}
"""What each effort that a user names spends on the folds that matter."""

EFFORTS = tuple(REFINED)
"""Efforts by the names that a user gives, the least first."""


def level_for(name: str, members: int = LEAST_MEMBERS) -> Level:
    """Return the efforts that a plan of this name spends, and how many members refine.

    Raises
    ------
    ContradictionError
        If there is no such effort.
    """
    if name not in REFINED:
        raise ContradictionError(f"effort: '{name}' is none of {', '.join(EFFORTS)}")
    refine = REFINED[name]
    if refine is None:
        return Level(Effort.GLANCE, Effort.QUICK, None)
    return Level(Effort.GLANCE, Effort.QUICK, replace(refine, members=members), Effort.BRISK)


def members_for(effort: str, asked: int | None) -> int:
    """How many members a plan of this effort has: as asked, else as there are cores.

    Where nobody searches on, as at quick effort, it does not matter and is the least.
    """
    if level_for(effort).refine is None:
        return LEAST_MEMBERS
    return asked or members_here()
