"""Marks that drawings at full size share: heads of arrows, notches, the spacing of text."""

from __future__ import annotations

from pieces.geometry_types import Point
from plans.full_size.sheet import LineKind

LINE_SPACING = 1.35

LOOKS: dict[LineKind, tuple[float, tuple[float, ...]]] = {
    LineKind.OUTLINE: (0.6, ()),
    LineKind.NET: (0.35, (4.0, 2.0)),
    LineKind.GRAIN: (0.5, ()),
    LineKind.FOLD: (1.4, (10.0, 2.0, 2.0, 2.0)),
    LineKind.CLOTH: (0.35, ()),
    LineKind.USABLE: (0.35, (2.0, 2.0)),
    LineKind.FOLDED: (1.2, (14.0, 3.0)),
}
"""Width of a line and its dashes, mm."""

NOTCH_MM = 4.0
"""Length of a notch mark."""

HEAD_MM = 6.0
"""Length of the head of a grain arrow."""


def arrow_head(arrow: tuple[Point, ...]) -> tuple[Point, ...]:
    """Return the two strokes at the head of an arrow (tail first)."""
    tail, head = arrow[-2], arrow[-1]
    dx, dy = head[0] - tail[0], head[1] - tail[1]
    length = (dx * dx + dy * dy) ** 0.5 or 1.0
    ux, uy = dx / length * HEAD_MM, dy / length * HEAD_MM
    return (
        (head[0] - ux - uy * 0.4, head[1] - uy + ux * 0.4),
        head,
        (head[0] - ux + uy * 0.4, head[1] - uy - ux * 0.4),
    )
