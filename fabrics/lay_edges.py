"""The edges of a lay, named so that a hand finds them.

Left and right are those of a person who stands at the cut end and looks along the cloth. On a
drawing the cut end is at the left, so that the left edge is at the top.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from fabrics.spread import Spread

SAME_MM = 0.5
"""Two edges whose distances differ by less are equally near."""


class EdgeName(Enum):
    """What a long edge of a lay is called; the value is what is printed and stands in files."""

    FOLD = "fold"
    RIGHT_FOLD = "right fold"
    LEFT_FOLD = "left fold"
    SELVAGE = "selvage"
    RIGHT_SELVAGE = "right selvage"
    LEFT_SELVAGE = "left selvage"
    SELVAGES = "selvages"
    """Both selvages, one upon the other."""
    RIGHT_SELVAGES = "right selvages"
    LEFT_SELVAGES = "left selvages"
    NEARER_FOLD = "nearer fold"
    """What early plans called one of two folds."""

    @property
    def sided(self) -> bool:
        """Whether two edges of one kind are told apart by right and left."""
        return self in _RIGHT.values() or self in _LEFT.values()


_RIGHT = {
    EdgeName.FOLD: EdgeName.RIGHT_FOLD,
    EdgeName.SELVAGE: EdgeName.RIGHT_SELVAGE,
    EdgeName.SELVAGES: EdgeName.RIGHT_SELVAGES,
}
_LEFT = {
    EdgeName.FOLD: EdgeName.LEFT_FOLD,
    EdgeName.SELVAGE: EdgeName.LEFT_SELVAGE,
    EdgeName.SELVAGES: EdgeName.LEFT_SELVAGES,
}


@dataclass(frozen=True)
class LayEdge:
    """One long edge of a lay: its name, its place across (lay y, mm), whether it is a fold."""

    name: EdgeName
    at: float
    fold: bool


def lay_edges(spread: Spread) -> tuple[LayEdge, LayEdge]:
    """Name the two long edges of a lay: the one at y = 0, and the one across from it."""
    height = spread.lay_height
    folds = {edge.at for edge in spread.fold_edges if edge.along}
    together = spread.doubled or spread.fold.in_half
    plain = EdgeName.SELVAGES if together else EdgeName.SELVAGE
    first, second = (EdgeName.FOLD if at in folds else plain for at in (0.0, height))
    alike = first is second
    return (
        LayEdge(_RIGHT[first] if alike else first, 0.0, first is EdgeName.FOLD),
        LayEdge(_LEFT[second] if alike else second, height, second is EdgeName.FOLD),
    )


def nearest_edge(spread: Spread, y: float) -> LayEdge:
    """Return the edge that is nearest to a place across the lay (mm); of two, the fold."""
    first, second = sorted(
        lay_edges(spread), key=lambda edge: (round(abs(edge.at - y), 3), not edge.fold)
    )
    if second.fold and not first.fold and abs(second.at - y) - abs(first.at - y) < SAME_MM:
        return second
    return first


def end_name(spread: Spread) -> str:
    """Name the end at which lay x begins."""
    return spread.fold.begins_at or "cut end"
