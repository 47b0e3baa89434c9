"""How many joinable strips of a garment a leftover yields when they are cut in parts."""

from __future__ import annotations

from collections import Counter

from fabrics.stash.records import LeftoverRecord
from layout.effort import Effort
from plans.leftover_use.laying import lay_on
from plans.problem.demand import Demand
from plans.problem.joins import MOST_PARTS, can_split, split


def strips_in_parts(
    one: LeftoverRecord, demand: Demand, gap: float, whole: int
) -> tuple[int, int, tuple[Demand, ...]]:
    """Cut a strip that may be joined in as few parts as give the most strips.

    Each join costs its allowance twice, so that parts together are longer than the strip; none is
    shorter than the garment permits.

    Parameters
    ----------
    one : LeftoverRecord
    demand : Demand
    gap : float
        Distance between parts, mm.
    whole : int
        How many strips the leftover holds without a join.

    Returns
    -------
    (int, int, tuple of Demand)
        Strips, parts of each (1: no join), and what is then laid for all that are wanted.
    """
    best: tuple[int, int, tuple[Demand, ...]] = (whole, 1, (demand,))
    for parts in range(2, MOST_PARTS + 1):
        if best[0] >= demand.wanted.total or not can_split(demand, parts):
            break
        pieces = split(demand, parts, one.fabric, 1)
        laid = lay_on(one, pieces, one.fabric, gap, Effort.GLANCE, 1)
        # All parts of one strip are alike, but for the hand that they are cut by.
        by_hand = Counter(copy.hand for copy in laid.copies)
        strips = sum(count // parts for count in by_hand.values())
        if strips > best[0]:
            best = (strips, parts, pieces)
    return best
