"""Where the grain arrow of each piece lies on its paper, so that it can be drawn and pinned by."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from pieces.geometry_types import Point, Ring
from pieces.lengths import System, format_tape
from plans.plan import LeftoverCopy, PlacedPiece
from plans.words.at_table.paper_half import fold_of

HEADS = ("piece", "tail: edge behind it", "tail: nearest edge beside it", "length")

FIGURES = (1, 2, 3)
"""Columns of bare figures, which are set right."""

SHARES = (30, 20, 26, 14)
"""Relative widths of the columns."""

TOUCH_MM = 1e-6


@dataclass(frozen=True)
class ArrowOnPaper:
    """The arrow of a piece against the outline of its paper, mm; the same however it lies.

    `behind` is the distance from the tail back along the grain to the outline, `beside` that
    square to the grain to the nearer side, `length` that from tail to head.
    """

    behind: float
    beside: float
    length: float


def arrow_on_paper(outline: Ring, arrow: tuple[Point, Point], opened: bool = False) -> ArrowOnPaper:
    """Measure an arrow (tail, head) inside an outline (mm).

    Of what is `opened` (traced whole) the paper is a half, whose fold line is an edge.
    """
    tail, head = arrow
    length = math.dist(tail, head)
    along = ((head[0] - tail[0]) / length, (head[1] - tail[1]) / length)
    across = (-along[1], along[0])
    fold = fold_of(outline, arrow) if opened else None

    def reach(way: Point) -> float:
        return min(_reach(outline, tail, way), _to_line(fold, tail, way))

    behind = reach((-along[0], -along[1]))
    beside = min(reach(across), reach((-across[0], -across[1])))
    # A ray from a corner, or along an edge, meets nothing: the tail is on the outline.
    behind, beside = (0.0 if math.isinf(far) else far for far in (behind, beside))
    return ArrowOnPaper(behind, beside, length)


def arrow_rows(
    lying: Iterable[PlacedPiece | LeftoverCopy], system: System
) -> tuple[tuple[str, ...], ...]:
    """One row for each piece of what lies there."""
    first: dict[str, PlacedPiece | LeftoverCopy] = {}
    for one in lying:
        first.setdefault(one.piece, one)
    rows = []
    for one in first.values():
        found = arrow_on_paper(one.outline, one.grain, one.opened)
        figures = (found.behind, found.beside, found.length)
        rows.append((one.piece, *(format_tape(figure, system) for figure in figures)))
    return tuple(rows)


def arrow_words(system: System) -> str:
    """Explain the rows."""
    unit = "inches" if system is System.IMPERIAL else "cm"
    return (
        f"Where the grain arrow is drawn on the paper, in {unit}: from its tail back along the "
        "grain to the edge behind it, square to the grain to the nearest edge beside it, and how "
        "long it is. Edges are those of the piece as it is cut, with its allowances; the fold line "
        "of a half is one."
    )


def _reach(outline: Ring, start: Point, way: Point) -> float:
    """How far an outline is in a direction (of length 1); infinite where it is not met."""
    found = []
    for k, (bx, by) in enumerate(outline):
        ax, ay = outline[k - 1]
        # Along the way, and to its left.
        a_on = (ax - start[0]) * way[0] + (ay - start[1]) * way[1]
        b_on = (bx - start[0]) * way[0] + (by - start[1]) * way[1]
        a_off = (ay - start[1]) * way[0] - (ax - start[0]) * way[1]
        b_off = (by - start[1]) * way[0] - (bx - start[0]) * way[1]
        if (a_off > 0.0) == (b_off > 0.0):
            continue
        on = a_on + (b_on - a_on) * a_off / (a_off - b_off)
        if on >= -TOUCH_MM:
            found.append(max(0.0, on))
    return min(found, default=math.inf)


def _to_line(fold: tuple[Point, Point] | None, start: Point, way: Point) -> float:
    """How far a line (a point of it, its normal) is in a direction; infinite if never met."""
    if fold is None:
        return math.inf
    (x, y), normal = fold
    nearer = way[0] * normal[0] + way[1] * normal[1]
    if abs(nearer) <= TOUCH_MM:
        return math.inf
    on = ((x - start[0]) * normal[0] + (y - start[1]) * normal[1]) / nearer
    return max(0.0, on) if on >= -TOUCH_MM else math.inf
