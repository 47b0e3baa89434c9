"""The narrowest cloth on which one layout still holds."""

from __future__ import annotations

import math

from fabrics.fabric import Fabric
from fabrics.spread import Fold, Spread, Zone
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
            widest = max(widest, _least_spread_width(section.spread, used))
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


def _least_spread_width(spread: Spread, used: dict[int, tuple[float, float]]) -> float:
    selvage = spread.selvage
    if spread.fold in (Fold.OPEN, Fold.CROSSWISE, Fold.TURNED):
        if spread.fold is Fold.TURNED:
            # The upper ply is turned end for end, so both sides must give up alike.
            low, high = used[0]
            spare = min(low - selvage, spread.width - selvage - high)
            return spread.width - 2.0 * max(0.0, spare)
        low, high = used[0]
        return high - low + 2.0 * selvage
    spares = [_slack(zone, used.get(index), spread) for index, zone in enumerate(spread.zones)]
    singles = [s for s, zone in zip(spares, spread.zones, strict=True) if len(zone.plies) == 1]
    if spread.fold is Fold.LENGTHWISE or not singles:
        # Only doubled cloth: what is given up beside the pieces is given up on both plies.
        return spread.width - 2.0 * sum(spares)
    return spread.width - sum(singles)


def _slack(zone: Zone, used: tuple[float, float] | None, spread: Spread) -> float:
    """Width of a zone that can be given up without moving a piece off its fold edge."""
    if used is None:
        return zone.height if len(zone.plies) == 1 else max(0.0, zone.height - 1.0)
    low, high = used
    if len(zone.plies) == 1:
        return max(0.0, zone.height - (high - low))
    at_low = any(e.along and abs(e.at - zone.y_from) < 1e-6 for e in spread.fold_edges)
    return max(0.0, zone.y_to - high if at_low else low - zone.y_from)
