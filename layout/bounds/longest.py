"""The longest piece has to lie somewhere."""

from __future__ import annotations

import numpy as np

from layout.bounds.terms.bound import Bound, BoundKind, Share
from layout.layout import posed
from layout.problem import Item, Slot
from layout.strip_problem import StripProblem
from pieces.geometry_types import Ring


def longest_bound(problem: StripProblem) -> Bound:
    """Length that the longest item needs in its most favourable slot and pose."""
    lengths = {item.key: 0.0 for item in problem.items}
    for item in problem.items:
        lengths[item.key] = max(lengths[item.key], _needed(problem, item))
    key = max(lengths, key=lambda key: lengths[key])
    return Bound(BoundKind.LONGEST_PIECE, lengths[key], (Share(key, 1, lengths[key]),))


def _needed(problem: StripProblem, item: Item) -> float:
    grain = problem.grain.get(item.key)
    free = grain is not None and grain.headings is None
    return min(
        problem.spread(slot).cloth_length(
            least_width(item.shapes[slot.shape]) if free else _along(item, slot), problem.gap
        )
        for slot in item.slots
    )


def _along(item: Item, slot: Slot) -> float:
    ring = item.shapes[slot.shape]
    return min(float(np.ptp(posed(ring, pose)[:, 0])) for pose in slot.poses)


def least_width(ring: Ring) -> float:
    """Least extent of a ring over all turns, mm: some edge of the convex hull lies flat then.

    Freeman and Shapira, Determining the minimum-area encasing rectangle, CACM 18, 1975 (the
    argument for the hull's edges).
    """
    from shapely.geometry import Polygon

    hull = np.array(Polygon(ring).convex_hull.exterior.coords)
    edges = np.diff(hull, axis=0)
    lengths = np.hypot(edges[:, 0], edges[:, 1])
    normals = np.column_stack([-edges[:, 1], edges[:, 0]])[lengths > 1e-9]
    normals = normals / lengths[lengths > 1e-9][:, None]
    across = hull @ normals.T
    return float((across.max(axis=0) - across.min(axis=0)).min())
