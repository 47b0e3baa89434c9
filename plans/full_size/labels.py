"""The label of a piece at full size: inside its lines, as large as fits."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from plans.drawing.labels import POINT_MM, find_spot
from plans.full_size.sheet import Label, Line, LineKind

LABEL_SCALES = (2.5, 1.5, 1.0)
"""Labels are as large as in a drawing at one of these scales, whichever fits first."""

CLEAR_MM = 1.5
"""Kept free between letters and lines where there is room."""

SMALLEST_MM = 2.0
"""Letters of a label for which there is no room."""


def fitted_label(lines: Sequence[Line], wordings: tuple[tuple[str, ...], ...]) -> Label:
    """Place the fullest wording inside the lines of a piece; the last where there is no room."""
    found = label_within(lines, wordings)
    if found is not None:
        return found
    place = _inside(lines).representative_point()
    return Label(wordings[-1], (float(place.x), float(place.y)), SMALLEST_MM)


def label_within(
    lines: Sequence[Line], wordings: tuple[tuple[str, ...], ...], part: BaseGeometry | None = None
) -> Label | None:
    """Place a wording inside the lines of a piece, and in a part of the sheet if one is given.

    Clear of the grain arrow, and of lines where that can be; None where it does not fit.
    """
    shape = _inside(lines)
    if part is not None:
        shape = shape.intersection(part)
    grain = next(line for line in lines if line.kind is LineKind.GRAIN)
    ends = (grain.points[0], grain.points[1])
    # What is said counts more than how large, and than a little more room around it.
    rooms = (shape.buffer(-CLEAR_MM), shape)
    for words, room, scale in product(wordings, rooms, LABEL_SCALES):
        spot = find_spot(room, (words,), scale, ends)
        if spot is not None:
            height = spot.size * POINT_MM * scale
            return Label(spot.lines, (spot.x, spot.y), height, spot.turn)
    return None


def _inside(lines: Sequence[Line]) -> BaseGeometry:
    """What lies inside the stitching line, or inside the outline where that is the only one."""
    first = next(line for line in lines if line.kind is LineKind.OUTLINE)
    inner = next((line for line in lines if line.kind is LineKind.NET), first)
    return Polygon(inner.points).buffer(0.0)
