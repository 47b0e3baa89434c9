"""Where a piece's label goes: inside its outline, as large as fits, or beside it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon, box

from pieces.geometry_types import Point
from plans.look import LARGEST_TEXT, SMALLEST_TEXT

POINT_MM = 25.4 / 72.0
LINE_HEIGHT = 1.25
"""Height of a line of text, in sizes."""


@dataclass(frozen=True)
class LabelSpot:
    """A label's lines, centre (drawing mm), size (points) and turn (0 or 90 degrees)."""

    lines: tuple[str, ...]
    x: float
    y: float
    size: float
    turn: float


@lru_cache(maxsize=4096)
def text_width(text: str) -> float:
    """Width of a text at size 1, in sizes."""
    return sum(_advance(letter) for letter in text)


@lru_cache(maxsize=1024)
def _advance(letter: str) -> float:
    """Advance of one letter of the drawing font at size 1."""
    glyph = _font().load_char(ord(letter))
    return float(glyph.linearHoriAdvance) / 65536.0 / 100.0


@lru_cache(maxsize=1)
def _font() -> Any:
    from matplotlib.font_manager import findfont
    from matplotlib.ft2font import FT2Font

    font = FT2Font(findfont("DejaVu Sans"))
    font.set_size(100.0, 72.0)
    return font


def find_spot(
    outline: Polygon,
    wordings: tuple[tuple[str, ...], ...],
    mm_per_mm: float,
    arrow: tuple[Point, Point] | None = None,
) -> LabelSpot | None:
    """Find room for the first wording that fits inside an outline, clear of the arrow if it can.

    Parameters
    ----------
    outline : Polygon
        Cloth mm.
    wordings : tuple of tuples of str
        Lines of text, the fullest wording first.
    mm_per_mm : float
        Cloth mm shown by one mm of paper.
    arrow : (Point, Point), optional
        Grain arrow, cloth mm.
    """
    if arrow is not None:
        clear = outline.difference(LineString(arrow).buffer(0.9 * mm_per_mm))
        spot = _first_fit(clear, wordings[:1], mm_per_mm)
        if spot is not None and spot.size >= 6.0:
            return spot
    return _first_fit(outline, wordings, mm_per_mm)


def _first_fit(
    clear: Polygon,
    wordings: tuple[tuple[str, ...], ...],
    mm_per_mm: float,
) -> LabelSpot | None:
    centres = _centres(clear)
    sizes = [LARGEST_TEXT, 8.0, 7.0, 6.2, 5.4, SMALLEST_TEXT]
    for lines in wordings:
        for size in sizes:
            unit = size * POINT_MM * mm_per_mm
            wide = (max(text_width(line) for line in lines) + 0.5) * unit
            high = (len(lines) * LINE_HEIGHT + 0.3) * unit
            for turn, (w, h) in ((0.0, (wide, high)), (90.0, (high, wide))):
                spot = _fitting(clear, centres, w, h)
                if spot is not None:
                    return LabelSpot(lines, spot[0], spot[1], size, turn)
    return None


def _centres(outline: Polygon) -> np.ndarray:
    """Points inside an outline, the farthest from its edge first."""
    x1, y1, x2, y2 = outline.bounds
    xs, ys = np.linspace(x1, x2, 17)[1:-1], np.linspace(y1, y2, 13)[1:-1]
    grid = np.array([(x, y) for x in xs for y in ys])
    places = shapely.points(grid)
    inside = shapely.contains(outline, places)
    if not inside.any():
        return np.array([outline.representative_point().coords[0]])
    distances = shapely.distance(outline.boundary, places[inside])
    return np.asarray(grid[inside][np.argsort(-distances)][:40])


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


def text_box(spot: LabelSpot, mm_per_mm: float) -> Polygon:
    """Box that a label takes, cloth mm."""
    unit = spot.size * POINT_MM * mm_per_mm
    wide = max(text_width(line) for line in spot.lines) * unit
    high = len(spot.lines) * LINE_HEIGHT * unit
    if spot.turn:
        wide, high = high, wide
    return box(spot.x - wide / 2, spot.y - high / 2, spot.x + wide / 2, spot.y + high / 2)
