"""What a traced piece is: named edges, straight or smooth, and the line they were made of."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.geometry_types import FloatArray, Point
from pieces.outline import Edge, smooth_curve


@dataclass(frozen=True)
class TracedEdge:
    """An edge of a traced outline, mm: its ends, and between them the points of a smooth curve."""

    name: str
    points: tuple[Point, ...]

    @property
    def straight(self) -> bool:
        """Whether it is a straight line."""
        return len(self.points) == 2

    @property
    def drawn(self) -> Edge:
        """The edge as a garment file draws it."""
        return Edge(self.name, smooth_curve(self.points))


@dataclass(frozen=True)
class Outline:
    """A closed outline of edges, and the line (mm, a point a millimetre) that was traced.

    `off` is how far (mm) the edges are from that line at most.
    """

    edges: tuple[TracedEdge, ...]
    line: FloatArray
    off: float
