"""How long a bias strip a piece of cloth yields.

Sources: the area rule (side x side / strip width) and the side that a length needs are printed on
several sewing pages (sewaquilt.com, mydecozo.co.uk, quiltersquestiontime.com); that the rule is an
upper bound follows from practical charts, which print 75 to 88 % of it (fiber-images.com).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely import affinity
from shapely.geometry import Polygon

from plans.leftover_use.bands import full_stretches, levels, sheared

OFFSETS = 24
"""Evenly spaced places of the first strip that are tried."""


@dataclass(frozen=True)
class BiasYield:
    """Strips of one width from one piece of cloth, all mm.

    `at_most` is the area rule; `joined` the length that strips cut at 45 degrees and joined on
    the straight grain really give, `parts` their lengths along the strip, longest first.
    """

    width: float
    at_most: float
    joined: float
    parts: tuple[float, ...]

    @property
    def joins(self) -> int:
        """Seams that join the parts."""
        return max(0, len(self.parts) - 1)

    @property
    def longest(self) -> float:
        """The longest part, a strip without a join; 0 if there is none."""
        return self.parts[0] if self.parts else 0.0


def area_rule(area: float, width: float) -> float:
    """Greatest length (mm) of strip that an area (mm2) can give at all: area / width."""
    return area / width


def side_needed(length: float, width: float) -> float:
    """Side (mm) of the square whose area is that of a strip."""
    return math.sqrt(length * width)


def continuous_strip(side: float, width: float, allowance: float) -> float:
    """Length (mm) of strip cut in one spiral from a square seamed to a tube.

    Two seams of two allowances each take 4 x allowance x side of its area (derived from the
    method, not printed).
    """
    return max(0.0, (side * side - 4.0 * allowance * side) / width)


def bias_yield(region: Polygon, width: float, allowance: float, least_part: float) -> BiasYield:
    """Cut strips at 45 degrees from a region and join them on the straight grain.

    Parameters
    ----------
    region : Polygon
        Warp along x, mm.
    width : float
        Cut width of the strip, mm.
    allowance : float
        Seam allowance of each join, mm: a join at 45 degrees takes 2 sqrt(2) allowances of length.
    least_part : float
        Shortest part worth joining, mm.
    """
    best: tuple[float, tuple[float, ...]] = (0.0, ())
    for turn in (45.0, -45.0):
        turned = affinity.rotate(region, turn, origin=(0.0, 0.0))
        for lean in (1.0, -1.0):
            # Ends on the straight grain lean by 45 degrees to the strip, one way or the other.
            leaning = sheared(turned, lean)
            for first in levels(leaning, width, OFFSETS):
                parts = _parts(leaning, first, width, least_part)
                joined = sum(parts) - 2.0 * math.sqrt(2.0) * allowance * max(0, len(parts) - 1)
                if joined > best[0]:
                    best = (joined, parts)
    return BiasYield(width, area_rule(region.area, width), *best)


def _parts(region: Polygon, first: float, width: float, least: float) -> tuple[float, ...]:
    top = region.bounds[3]
    found: list[float] = []
    y = first
    while y + width <= top + 1e-6:
        stretches = full_stretches(region, y, width)
        found += [high - low for low, high in stretches if high - low >= least]
        y += width
    return tuple(sorted(found, reverse=True))
