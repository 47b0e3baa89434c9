"""A piece as bars on a grid along the cloth, for arguments about where each piece begins.

Wherever between two lines of the grid a piece begins, a bar is no wider than the piece is at the
line where the bar stands. So lengths and widths are rounded down.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from layout.bounds.terms.relaxation import SLACK_MM, Way
from pieces.geometry_types import FloatArray

MOST_BARS = 8
"""Bars of one piece; neighbours of nearly one width are taken together."""


@dataclass(frozen=True)
class Bar:
    """From one line of the grid on, for so many lines, so wide (whole mm)."""

    begin: int
    lines: int
    width: int

    @property
    def end(self) -> int:
        """The line behind it."""
        return self.begin + self.lines


@dataclass(frozen=True)
class Barred:
    """A way of lying: its bars, how many lines it is long, and the lines on the fold edge."""

    lines: int
    bars: tuple[Bar, ...]
    on_edge: tuple[int, int]

    def turned(self) -> Barred:
        """The same, the other end first."""
        bars = tuple(Bar(self.lines - bar.end, bar.lines, bar.width) for bar in self.bars[::-1])
        begin, end = self.on_edge
        return Barred(self.lines, bars, (self.lines - end, self.lines - begin))


def barred(way: Way, radius: float, grid: float) -> Barred | None:
    """A way in bars on a grid (mm), blown up by half the gap; None if it has no certain shape."""
    profile = way.whole
    if profile is None:
        return None
    widths = profile.by_cells(grid, radius)
    lines = len(widths)
    begin, end = way.edge_range
    edge = (0, 0)
    if way.edge is not None:
        first, last = math.ceil(begin / grid), math.floor((end + 2.0 * radius - SLACK_MM) / grid)
        edge = (first, max(first, last))
    return Barred(lines, _together(np.floor(np.maximum(widths - SLACK_MM, 0.0))), edge)


def _together(widths: FloatArray) -> tuple[Bar, ...]:
    """Bars of a row of widths: neighbours whose joining loses least are joined first."""
    runs = [[k, 1, float(width)] for k, width in enumerate(widths)]
    while len(runs) > 1:
        losses = [
            abs(a[2] - b[2]) * (a[1] if a[2] > b[2] else b[1]) for a, b in itertools.pairwise(runs)
        ]
        k = int(np.argmin(losses))
        if losses[k] > 0.0 and len(runs) <= MOST_BARS:
            break
        a, b = runs[k], runs[k + 1]
        runs[k : k + 2] = [[a[0], a[1] + b[1], min(a[2], b[2])]]
    return tuple(Bar(int(at), int(n), int(width)) for at, n, width in runs if width >= 1.0)
