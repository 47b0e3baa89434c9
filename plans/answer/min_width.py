"""The narrowest cloth on which one layout still holds."""

from __future__ import annotations

import math

from fabrics.fabric import Fabric
from layout.layout import Layout, posed
from layout.strip_problem import StripProblem


def least_width(problem: StripProblem, layout: Layout, fabric: Fabric) -> float:
    """Narrowest width as bought (mm, rounded up to a whole one) that carries this same layout.

    Pieces keep their places against the fold edges; folds keep their depths, except that a
    lengthwise fold stays in the middle and selvages that meet go on meeting. What can be given up
    is cloth beside the pieces. Where a repeat ties pieces to the selvages, the width stays.
    """
    if any(slot.lattice for item in problem.items for slot in item.slots) or fabric.flaws:
        return fabric.width
    widest = 0.0
    for index, section in enumerate(problem.sections):
        used = _used(problem, layout, index)
        if used:
            widest = max(widest, section.spread.fold.least_width(section.spread, used))
    if not fabric.washed:
        widest /= 1.0 - fabric.shrink_across
    return min(fabric.width, math.ceil(widest - 1e-6))


def _used(problem: StripProblem, layout: Layout, section: int) -> dict[int, tuple[float, float]]:
    """Range of lay y (mm) that placements take, by zone."""
    used: dict[int, tuple[float, float]] = {}
    for placement in layout.placements:
        item = problem.items[placement.item]
        slot = item.slots[placement.slot]
        if slot.section != section:
            continue
        y = posed(item.shapes[slot.shape], placement.pose, placement.x, placement.y)[:, 1]
        low, high = used.get(slot.zone, (math.inf, -math.inf))
        used[slot.zone] = (min(low, float(y.min())), max(high, float(y.max())))
    return used
