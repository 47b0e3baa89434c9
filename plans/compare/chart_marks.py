"""Where the marks of a chart stand that would lie on one another, and which widths share a name."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean

ALIKE = 0.015
"""Share of the highest value by which values differ at most for their marks to stand side by
side."""


def asides(places: Sequence[tuple[float, float]], apart: float) -> list[float]:
    """How far to the right of its place each mark stands, so that none hides another.

    Parameters
    ----------
    places : sequence of (float, float)
        Across the paper, and the value there. Marks of one place stand in the order of the
        sequence.
    apart : float
        From mark to mark, in units of the paper.
    """
    near = ALIKE * max((value for _, value in places), default=0.0)
    rows: list[list[int]] = []
    for index in sorted(range(len(places)), key=lambda k: places[k][1]):
        if rows and places[index][1] - places[rows[-1][-1]][1] <= near:
            rows[-1].append(index)
        else:
            rows.append([index])
    found = [0.0] * len(places)
    for row in rows:
        row.sort(key=lambda k: (places[k][0], k))
        wished = [places[k][0] for k in row]
        for k, there, wish in zip(row, spaced(wished, apart), wished, strict=True):
            found[k] = there - wish
    return found


def spaced(wished: Sequence[float], least: float) -> list[float]:
    """Places in the given order, at least so far from one another, as near as can be to the wished.

    Least squares under an order: neighbours that are in each other's way are pooled (Ayer, Brunk,
    Ewing, Reid and Silverman, 1955, from memory).
    """
    pools: list[list[float]] = []
    for index, wish in enumerate(wished):
        pools.append([wish - index * least])
        while len(pools) > 1 and fmean(pools[-2]) > fmean(pools[-1]):
            pools[-2:] = [pools[-2] + pools[-1]]
    level = [fmean(pool) for pool in pools for _ in pool]
    return [there + index * least for index, there in enumerate(level)]


def told_together(widths: Sequence[float], near: float) -> list[list[float]]:
    """Widths in groups, those together that are too near for a figure each below the axis."""
    found: list[list[float]] = []
    for width in sorted(widths):
        if found and width - found[-1][0] <= near:
            found[-1].append(width)
        else:
            found.append([width])
    return found


def widths_text(widths: Sequence[float]) -> str:
    """What stands below the axis for a group of widths."""
    return ", ".join(f"{width:g}" for width in widths)
