"""Seam and hem allowances of the pieces of a plan."""

from __future__ import annotations

from collections.abc import Iterable

from plans.plan import PieceAllowance
from plans.problem.demand import Demand


def allowances_of(demands: Iterable[Demand]) -> tuple[PieceAllowance, ...]:
    """List the allowances of each piece once; the parts of a joined strip are alike."""
    found = {}
    for demand in demands:
        name = demand.part_of or demand.key
        found[name] = PieceAllowance(name, demand.piece.net, demand.piece.allowances, demand.parts)
    return tuple(found.values())
