"""Seam and hem allowances of the pieces of a plan."""

from __future__ import annotations

from collections.abc import Iterable

from plans.plan import PieceAllowance
from plans.problem.demand import Demand


def allowances_of(demands: Iterable[Demand]) -> tuple[PieceAllowance, ...]:
    """List the allowances of each piece once."""
    found = {
        demand.key: PieceAllowance(demand.key, demand.piece.net, demand.piece.allowances)
        for demand in demands
    }
    return tuple(found.values())
