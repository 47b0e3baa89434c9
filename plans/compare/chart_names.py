"""Names beside marks of a chart, each where it covers no mark, no line and no other name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import TYPE_CHECKING

import numpy as np

from pieces.geometry_types import FloatArray
from plans.drawing import look
from plans.drawing.writing import families
from plans.drawing.writing import shown as drawable

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.text import Annotation

DISTANCES = (15.0, 24.0, 34.0, 46.0, 60.0, 76.0, 94.0)
"""From a mark to the middle of its name, in points."""

TIED = 20.0
"""Names that stand further away (points) than this are tied to their mark by a thin line."""

MARK_RADIUS, RING_RADIUS = 4.0, 6.5
"""Of a mark, and of one with a ring, in points."""

APART = (3.0, 1.0)
"""Kept free around a name, across and up, in points."""

SAMPLES = 60
"""Points of each stretch of a line that a name keeps clear of."""

SIDES = (0.0, 0.6, -0.6, 1.0, -1.0)
"""How far beside its mark a name's middle stands, in shares of its own width."""


@dataclass(frozen=True)
class Named:
    """A name and the mark that it belongs to, in the units of the axes."""

    name: str
    x: float
    y: float


@dataclass(frozen=True)
class Taken:
    """What names keep clear of, in the units of the axes: marks, those with a ring, and lines.

    A mark is (x, y, points that it stands aside).
    """

    marks: tuple[tuple[float, float, float], ...]
    ringed: tuple[tuple[float, float, float], ...]
    lines: tuple[tuple[tuple[float, float], ...], ...]


def write_names(axes: Axes, names: Sequence[Named], taken: Taken) -> None:
    """Write each name as near to its mark as there is room.

    The figure has its layout by now; names do not change it.
    """
    point = axes.figure.dpi / 72.0
    boxes = np.concatenate(
        [
            _squares(axes, taken.marks, MARK_RADIUS * point, point),
            _squares(axes, taken.ringed, RING_RADIUS * point, point),
            *(_squares(axes, _sampled(line), point, point) for line in taken.lines),
        ]
    )
    for named in names:
        text = _annotation(axes, named)
        extent = text.get_window_extent()
        half = np.array([extent.width, extent.height]) / 2.0 + point * np.array(APART)
        at = axes.transData.transform((named.x, named.y))
        offset = _best_offset(axes, at, half, boxes, point)
        text.remove()
        text = _annotation(axes, named, offset / point)
        boxes = np.concatenate([boxes, [[*(at + offset - half), *(at + offset + half)]]])


def _best_offset(
    axes: Axes, at: FloatArray, half: FloatArray, boxes: FloatArray, point: float
) -> FloatArray:
    """The nearest free place, or the one that covers least (pixels from the mark)."""
    room = axes.get_window_extent()
    low, high = np.array([room.x0, room.y0]), np.array([room.x1, room.y1])
    best, least = np.zeros(2), np.inf
    for distance, side, up in product(DISTANCES, SIDES, (-1.0, 1.0)):
        offset = np.array([side * 2.0 * half[0], up * distance * point])
        begin, end = at + offset - half, at + offset + half
        meets = (
            (boxes[:, 0] < end[0]) & (begin[0] < boxes[:, 2])
            & (boxes[:, 1] < end[1]) & (begin[1] < boxes[:, 3])
        )  # fmt: skip
        covered = int(meets.sum()) + 100 * int((begin < low).any() or (end > high).any())
        if covered < least:
            best, least = offset, covered
        if not covered:
            break
    return best


def _annotation(axes: Axes, named: Named, offset: FloatArray | None = None) -> Annotation:
    """A name with its middle so many points from its mark."""
    away = np.zeros(2) if offset is None else offset
    tied = bool(np.hypot(*away) > TIED)
    text = axes.annotate(
        drawable(named.name), (named.x, named.y), (float(away[0]), float(away[1])),
        textcoords="offset points", ha="center", va="center", fontsize=7.5, color=look.INK,
        parse_math=False, fontfamily=families(named.name),
        arrowprops=(
            {"arrowstyle": "-", "color": look.INK, "linewidth": 0.5, "shrinkA": 0, "shrinkB": 5}
            if tied else None
        ),
    )  # fmt: skip
    text.set_in_layout(False)
    return text


def _squares(
    axes: Axes, places: Sequence[tuple[float, float, float]], radius: float, point: float
) -> FloatArray:
    """Boxes about places (x, y, points aside), in pixels: left, bottom, right, top."""
    if not len(places):
        return np.empty((0, 4))
    at = np.asarray(places, dtype=float)
    middle = axes.transData.transform(at[:, :2])
    middle[:, 0] += at[:, 2] * point
    return np.hstack([middle - radius, middle + radius])


def _sampled(line: Sequence[tuple[float, float]]) -> list[tuple[float, float, float]]:
    shares = np.linspace(0.0, 1.0, SAMPLES)
    return [
        (x0 + share * (x1 - x0), y0 + share * (y1 - y0), 0.0)
        for (x0, y0), (x1, y1) in pairwise(line)
        for share in shares.tolist()
    ]
