"""Lower bounds on the cloth length of any layout of a problem (squared-off ends not included).

Each bound follows from one true argument on true outlines; the best of them is stated with every
plan. A wrong bound is worse than a weak one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np

from layout.layout import posed
from layout.problem import Item, Section, Slot
from layout.strip_problem import StripProblem
from pieces.geometry_types import Ring
from pieces.outline import ring_area


class BoundKind(Enum):
    """The argument that gives a bound; the value is what is printed and stands in files."""

    AREA = "area"
    LONGEST_PIECE = "longest piece"
    FOLD_EDGES = "fold edges"


@dataclass(frozen=True)
class Bound:
    """A lower bound on the cloth length, mm, and the argument that gives it."""

    kind: BoundKind
    length: float


def best_bound(problem: StripProblem) -> Bound:
    """Return the greatest of the bounds of a strip problem."""
    bounds = [
        Bound(BoundKind.AREA, area_bound(problem)),
        Bound(BoundKind.LONGEST_PIECE, longest_bound(problem)),
        Bound(BoundKind.FOLD_EDGES, fold_edge_bound(problem)),
    ]
    return max(bounds, key=lambda bound: bound.length)


def area_bound(problem: StripProblem) -> float:
    """Area that the placements take, over the usable area of a unit of cloth length.

    A placement takes its shape's area on every ply that lies there, cut or blocked. Where sections
    differ, the most generous one counts for all.
    """
    sections = problem.sections
    capacity = max(_capacity(section) for section in sections)
    taken = sum(
        item.demand * min(_taken(item, slot, sections) for slot in item.slots)
        for item in problem.items
    )
    return taken / capacity


def longest_bound(problem: StripProblem) -> float:
    """Length that the longest item needs in its most favourable slot and pose."""
    sections = problem.sections
    longest = 0.0
    for item in problem.items:
        grain = problem.grain.get(item.key)
        free = grain is not None and grain.headings is None
        needs = []
        for slot in item.slots:
            extent = (
                least_width(item.shapes[slot.shape])
                if free
                else min(_along(item.shapes[slot.shape], slot, k) for k in range(len(slot.poses)))
            )
            needs.append(sections[slot.section].spread.cloth_length(extent, problem.gap))
        longest = max(longest, min(needs))
    return longest


def fold_edge_bound(problem: StripProblem) -> float:
    """Lengths of the fold edges of pieces that can lie nowhere else, over the fold edges there are.

    Along one fold line the edges of n pieces and the n - 1 gaps between them take their sum.
    """
    sections = problem.sections
    total = 0.0
    count = 0
    for item in problem.items:
        if not all(_along_fold(slot, sections) for slot in item.slots):
            continue
        lengths = [
            math.dist(*line)
            for slot in item.slots
            if (line := item.fold_lines[slot.shape]) is not None
        ]
        total += item.demand * min(lengths)
        count += item.demand
    edges = [sum(1 for edge in section.spread.fold_edges if edge.along) for section in sections]
    if not count or not max(edges):
        return 0.0
    gaps = max(0, count - sum(edges)) * problem.gap
    return (total + gaps) / max(edges)


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


def _capacity(section: Section) -> float:
    """Usable area of a unit of cloth length, mm2 per mm."""
    spread = section.spread
    plies = sum(zone.height * len(zone.plies) for zone in spread.zones)
    return plies / (2.0 if spread.doubled else 1.0)


def _taken(item: Item, slot: Slot, sections: tuple[Section, ...]) -> float:
    zone = sections[slot.section].spread.zones[slot.zone]
    return ring_area(item.shapes[slot.shape]) * len(zone.plies)


def _along(ring: Ring, slot: Slot, pose: int) -> float:
    x = posed(ring, slot.poses[pose])[:, 0]
    return float(x.max() - x.min())


def _along_fold(slot: Slot, sections: tuple[Section, ...]) -> bool:
    if slot.fold_edge is None:
        return False
    return sections[slot.section].spread.fold_edges[slot.fold_edge].along
