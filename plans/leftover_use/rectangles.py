"""How many rectangles of one size a piece of cloth yields, cut in rows."""

from __future__ import annotations

from shapely import affinity
from shapely.geometry import Polygon

from plans.leftover_use.bands import full_stretches, levels

OFFSETS = 24
"""Evenly spaced places of the first row that are tried."""


def count_rectangles(
    region: Polygon, along: float, across: float, either_way: bool = False, gap: float = 0.0
) -> int:
    """Count rectangles of `along` x `across` the grain (mm) cut in straight rows, a gap apart.

    Rows run along the grain or across it, each filled by itself; with `either_way` the grain may
    lie along either side. Rows suit a ruler and a cutter; a freer arrangement may hold more.
    """
    sizes = [(along, across)] + ([(across, along)] if either_way else [])
    best = 0
    for long, wide in sizes:
        best = max(best, _rows(region, long, wide, gap))
        turned = affinity.affine_transform(region, [0.0, 1.0, 1.0, 0.0, 0.0, 0.0])
        best = max(best, _rows(turned, wide, long, gap))
    return best


def _rows(region: Polygon, long: float, wide: float, gap: float) -> int:
    """Most in rows of height `wide`, the first of which begins at the best of several levels."""
    best = 0
    for first in levels(region, wide, OFFSETS):
        count = 0
        y = first
        while y + wide <= region.bounds[3] + 1e-6:
            for low, high in full_stretches(region, y, wide):
                count += int((high - low + gap + 1e-6) // (long + gap))
            y += wide + gap
        best = max(best, count)
    return best
