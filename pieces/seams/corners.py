"""Corners at the ends of an edge: what its neighbour there is, and at what angle they meet."""

from __future__ import annotations

import math

from pieces.geometry_types import Point
from pieces.outline import Edge, ring_of, signed_area
from pieces.seams.measured import WalkedEdge


def neighbour(walked: WalkedEdge, last: bool) -> Edge:
    """The edge that meets this one at its last point, or at its first."""
    names = walked.draft.edge_names
    index = names.index(walked.named.edge)
    return walked.draft.edges[(index + 1) % len(names) if last else index - 1]


def corner_angle(walked: WalkedEdge, last: bool) -> float:
    """Angle inside the piece between an edge and its neighbour, degrees in (0, 360)."""
    edge, other = walked.edge, neighbour(walked, last)
    if last:
        here, back, on = edge.points[-1], edge.points[-2], other.points[1]
    else:
        here, back, on = edge.points[0], other.points[-2], edge.points[1]
    angle = math.degrees(_heading(here, back) - _heading(here, on)) % 360.0
    return angle if signed_area(ring_of(walked.draft.edges)) > 0.0 else 360.0 - angle


def _heading(start: Point, end: Point) -> float:
    return math.atan2(end[1] - start[1], end[0] - start[0])
