"""The edges of a lay, named so that a hand finds them.

Left and right are those of a person who stands at the cut end and looks along the cloth. On a
drawing the cut end is at the left, so that the left edge is at the top.
"""

from __future__ import annotations

from dataclasses import dataclass

from fabrics.spread import Spread

SAME_MM = 0.5
"""Two edges whose distances differ by less are equally near."""


@dataclass(frozen=True)
class LayEdge:
    """One long edge of a lay: its name, its place across (lay y, mm), whether it is a fold."""

    name: str
    at: float
    fold: bool


def lay_edges(spread: Spread) -> tuple[LayEdge, LayEdge]:
    """Name the two long edges of a lay: the one at y = 0, and the one across from it."""
    height = spread.lay_height
    folds = {edge.at for edge in spread.fold_edges if edge.along}
    plain = "selvages" if spread.doubled or spread.fold.in_half else "selvage"
    kinds = ["fold" if at in folds else plain for at in (0.0, height)]
    names = kinds if kinds[0] != kinds[1] else [f"right {kinds[0]}", f"left {kinds[1]}"]
    return (
        LayEdge(names[0], 0.0, kinds[0] == "fold"),
        LayEdge(names[1], height, kinds[1] == "fold"),
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
