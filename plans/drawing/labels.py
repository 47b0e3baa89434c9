"""Where a label goes: inside an outline, as large as fits, clear of arrows and other labels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry import Point as Place
from shapely.geometry.base import BaseGeometry

from pieces.geometry_types import Point
from plans.drawing.look import LARGEST_TEXT, SMALLEST_TEXT
from plans.drawing.writing import text_width

POINT_MM = 25.4 / 72.0
LINE_HEIGHT = 1.35
"""Height of a line of text, in sizes."""

PAD = 0.15
"""Kept free around a label, in sizes."""

SIZES = (LARGEST_TEXT, 8.0, 7.0, 6.2, 5.4, SMALLEST_TEXT)

SHAFT_MM, ENDS_MM = 0.7, 1.0
"""Kept free beside the shaft of an arrow, and around its tail and head, mm of paper."""

CENTRES = 60
"""Places inside an outline that are tried for the middle of its label."""


@dataclass(frozen=True)
class LabelSpot:
    """A label's lines, centre (drawing mm), size (points) and turn (0 or 90 degrees)."""

    lines: tuple[str, ...]
    x: float
    y: float
    size: float
    turn: float


def arrow_area(arrow: tuple[Point, Point], mm_per_mm: float) -> BaseGeometry:
    """What an arrow needs to be seen whole, its tail and head included (cloth mm)."""
    shaft = LineString(arrow).buffer(SHAFT_MM * mm_per_mm, quad_segs=2)
    ends = [Place(end).buffer(ENDS_MM * mm_per_mm, quad_segs=2) for end in arrow]
    return shapely.union_all([shaft, *ends])


def find_spot(
    outline: BaseGeometry,
    wordings: tuple[tuple[str, ...], ...],
    mm_per_mm: float,
    arrow: tuple[Point, Point] | None = None,
    smallest: float = SMALLEST_TEXT,
) -> LabelSpot | None:
    """Find room for the first wording that fits inside an outline, clear of its arrow.

    Parameters
    ----------
    outline : shapely geometry
        Cloth mm; may be empty or in several parts.
    wordings : tuple of tuples of str
        Lines of text, the fullest wording first.
    mm_per_mm : float
        Cloth mm shown by one mm of paper.
    arrow : (Point, Point), optional
        Grain arrow, cloth mm.
    smallest : float
        Least size, points.
    """
    clear = outline
    if arrow is not None:
        clear = outline.difference(arrow_area(arrow, mm_per_mm))
    parts = _parts(clear)[:4]
    for lines in wordings:
        for size in (size for size in SIZES if size >= smallest):
            wide, high = label_size(lines, size, mm_per_mm)
            for turn, (w, h) in ((0.0, (wide, high)), (90.0, (high, wide))):
                for part, centres in parts:
                    spot = _fitting(part, centres, w, h)
                    if spot is not None:
                        return LabelSpot(lines, spot[0], spot[1], size, turn)
    return None


def label_size(lines: tuple[str, ...], size: float, mm_per_mm: float) -> tuple[float, float]:
    """Width and height that a label takes, its margin included, cloth mm."""
    unit = size * POINT_MM * mm_per_mm
    wide = max(text_width(line) for line in lines) + 2 * PAD
    return wide * unit, (len(lines) * LINE_HEIGHT + 2 * PAD) * unit


def text_box(spot: LabelSpot, mm_per_mm: float) -> Polygon:
    """Box that a label takes, cloth mm."""
    wide, high = label_size(spot.lines, spot.size, mm_per_mm)
    if spot.turn:
        wide, high = high, wide
    return box(spot.x - wide / 2, spot.y - high / 2, spot.x + wide / 2, spot.y + high / 2)


def _parts(clear: BaseGeometry) -> list[tuple[Polygon, np.ndarray]]:
    """Parts of a region with the places that are tried in each, the largest part first."""
    polygons = [
        part
        for part in getattr(clear, "geoms", [clear])
        if isinstance(part, Polygon) and not part.is_empty
    ]
    result = []
    for part in sorted(polygons, key=lambda part: -part.area):
        shapely.prepare(part)
        result.append((part, _centres(part)))
    return result


def _centres(outline: Polygon) -> np.ndarray:
    """Points inside an outline, the farthest from its edge first."""
    x1, y1, x2, y2 = outline.bounds
    xs, ys = np.linspace(x1, x2, 19)[1:-1], np.linspace(y1, y2, 15)[1:-1]
    grid = np.array([(x, y) for x in xs for y in ys])
    places = shapely.points(grid)
    inside = shapely.contains(outline, places)
    if not inside.any():
        return np.array([outline.representative_point().coords[0]])
    distances = shapely.distance(outline.boundary, places[inside])
    return np.asarray(grid[inside][np.argsort(-distances, kind="stable")][:CENTRES])


def _fitting(
    outline: Polygon, centres: np.ndarray, wide: float, high: float
) -> tuple[float, float] | None:
    x1, y1, x2, y2 = outline.bounds
    if wide > x2 - x1 or high > y2 - y1:
        return None
    boxes = shapely.box(
        centres[:, 0] - wide / 2,
        centres[:, 1] - high / 2,
        centres[:, 0] + wide / 2,
        centres[:, 1] + high / 2,
    )
    fits = shapely.contains(outline, boxes)
    if not fits.any():
        return None
    x, y = centres[int(np.argmax(fits))]
    return float(x), float(y)


def largest_part(region: BaseGeometry) -> Polygon | None:
    """Largest polygon of a region, or None if it has none."""
    parts = _polygons(region)
    return max(parts, key=lambda part: part.area) if parts else None


def _polygons(region: BaseGeometry) -> list[Polygon]:
    whole = region.geoms if isinstance(region, MultiPolygon) else getattr(region, "geoms", [region])
    return [part for part in whole if isinstance(part, Polygon) and not part.is_empty]
