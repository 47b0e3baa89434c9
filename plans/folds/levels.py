"""How much work a plan spends: screening of folds, and the search in the two that matter."""

from __future__ import annotations

from dataclasses import dataclass

from layout.effort import Effort
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


def level_for(name: str) -> Level:
    """Return the efforts that a plan of this name spends.

    Raises
    ------
    ContradictionError
        If there is no such effort.
    """
    levels = {
        "quick": Level(Effort.GLANCE, Effort.QUICK, None),
        "normal": Level(Effort.GLANCE, Effort.QUICK, Effort.NORMAL, Effort.BRISK),
        "thorough": Level(Effort.GLANCE, Effort.QUICK, Effort.THOROUGH, Effort.BRISK),
    }
    if name not in levels:
        raise ContradictionError(f"effort: '{name}' is none of {', '.join(levels)}")
    return levels[name]
