"""Placing the labels of a whole drawing: none covers an arrow, or another label.

A label goes inside its piece if there is room; else it stands beside it, tied by a line. Marks of
less weight (figures at the ends of arrows, names of leftovers) take what room is left, or go.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from pieces.geometry_types import Point
from plans.drawing.labels import (
    ENDS_MM,
    LabelSpot,
    arrow_area,
    find_spot,
    label_size,
    largest_part,
    text_box,
)
from plans.drawing.look import SMALLEST_TEXT

BESIDE, SMALLEST_BESIDE = 5.4, 4.0
"""Size of a label beside its piece, and where they crowd, points."""

READABLE = 5.4
"""A name inside is preferred down to this size, points."""

NEAR = 6 * 24
"""Places around the end of an arrow where its figures may stand, tied to it by a line."""

CLEAR_MM = 0.7
"""Kept free between two labels, mm of paper: letters that all but touch read as one word."""

CHUNK = 256
"""Places that are looked at together."""

TRIES = 40_000
"""Places on a drawing that are tried for a label that has none near its piece."""


@dataclass(frozen=True)
class Labelled:
    """What wants a label: its visible outline, its arrow if it is shown, and wordings.

    The wordings are lines of text, the fullest first; the last but one names the piece, the last
    is its number.
    """

    number: int
    outline: Polygon
    arrow: tuple[Point, Point] | None
    wordings: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class PlacedLabel:
    """A label in its place; `tie` is where its line ends on the piece that it stands beside."""

    number: int
    spot: LabelSpot
    box: Polygon
    tie: Point | None


class Places:
    """The room of one drawing: what is covered already, and what may not be.

    Parameters
    ----------
    wanted : sequence of Labelled
    scale : float
        Cloth mm shown by one mm of paper.
    frame : (float, float, float, float)
        x_from, y_from, x_to, y_to within which labels stand, cloth mm.
    marks : sequence of Point
        Further small marks that no label may cover.
    """

    def __init__(
        self,
        wanted: Sequence[Labelled],
        scale: float,
        frame: tuple[float, float, float, float],
        marks: Sequence[Point] = (),
    ) -> None:
        self.wanted = tuple(wanted)
        self.scale = scale
        self.frame = frame
        self.arrows = [arrow_area(one.arrow, scale) for one in wanted if one.arrow is not None]
        self.arrows += [shapely.Point(mark).buffer(ENDS_MM * scale) for mark in marks]
        self._arrow_tree = STRtree(self.arrows)
        self._outline_tree = STRtree([one.outline for one in wanted])
        self._taken = np.empty((0, 4))
        self._ties: BaseGeometry = shapely.MultiLineString()

    def labels(self) -> tuple[PlacedLabel, ...]:
        """Place a label for every piece; those inside first, then those beside."""
        inside: dict[int, PlacedLabel] = {}
        beside: list[tuple[int, Labelled]] = []
        for k, one in enumerate(self.wanted):
            spot = self._inside(one)
            if spot is None:
                beside.append((k, one))
            else:
                inside[k] = self._take(one.number, spot, None)
        for k, one in beside:
            placed = self._beside(one)
            if placed is not None:
                inside[k] = placed
        return tuple(inside[k] for k in sorted(inside))

    def note(
        self, number: int, text: str, end: Point, size: float, within: BaseGeometry
    ) -> PlacedLabel | None:
        """Place a small figure next to the end of an arrow: on its piece, else on free cloth.

        Farther off it is tied to the end by a line; where there is no room at all it is left out.
        """
        wide, high = label_size((text,), size, self.scale)
        reach = 1.15 * self.scale
        centres = np.array(
            [
                (end[0] + sx * (wide / 2 + reach), end[1] + sy * (high / 2 + reach))
                for sx, sy in ((0, 1), (0, -1), (1, 0), (-1, 0), (1, 1), (1, -1), (-1, 1), (-1, -1),
                               (0.5, 1), (-0.5, 1), (0.5, -1), (-0.5, -1))
            ]
        )  # fmt: skip
        found = self._free(centres, wide, high, within)
        if found is None:
            found = self._free(centres, wide, high, None, free_cloth=True)
        if found is not None:
            return self._take(number, LabelSpot((text,), found[0], found[1], size, 0.0), None)
        far = self._unobstructed(_rings(end[0], end[1], 0.0, 0.0, self.scale)[:NEAR], end)
        found = self._free(far, wide, high, None, free_cloth=True)
        if found is None:
            return None
        return self._take(number, LabelSpot((text,), found[0], found[1], size, 0.0), end)

    def _unobstructed(self, centres: np.ndarray, start: Point) -> np.ndarray:
        """Those of some places to which a line from a point crosses no label.

        Places whose line crosses the line of another label come last.
        """
        if not len(centres):
            return centres
        starts = np.broadcast_to(np.array(start), centres.shape)
        lines = shapely.linestrings(np.stack([starts, centres], axis=1))
        if len(self._taken):
            labels = STRtree(shapely.box(*self._taken.T))
            crossing = np.unique(labels.query(lines, "intersects")[0])
            centres, lines = np.delete(centres, crossing, axis=0), np.delete(lines, crossing)
        crossed = shapely.intersects(lines, self._ties)
        return np.concatenate([centres[~crossed], centres[crossed]])

    def keep_clear(self, rings: Sequence[np.ndarray]) -> None:
        """Let nothing that is placed from now on cover what lies within these rings."""
        for ring in rings:
            box = np.concatenate([ring.min(axis=0), ring.max(axis=0)])
            self._taken = np.vstack([self._taken, box])

    def free_spot(
        self, region: BaseGeometry, wordings: tuple[tuple[str, ...], ...]
    ) -> LabelSpot | None:
        """Find room inside a region for a mark that may also be left out."""
        clear = self._without(region, arrows=True, outlines=True)
        spot = find_spot(clear, wordings, self.scale)
        if spot is not None:
            self._take(0, spot, None)
        return spot

    def _inside(self, one: Labelled) -> LabelSpot | None:
        clear = self._without(one.outline, arrows=True)
        # How to cut comes with the name even where it must be small; then the name, then a number.
        full, named = one.wordings[:-2], one.wordings[:-1]
        for wordings, smallest in (
            (full, READABLE),
            (full, SMALLEST_TEXT),
            (named, READABLE),
            (one.wordings, SMALLEST_TEXT),
        ):
            spot = find_spot(clear, wordings, self.scale, smallest=smallest)
            if spot is not None:
                return spot
        return None

    def _without(
        self, region: BaseGeometry, arrows: bool = False, outlines: bool = False
    ) -> BaseGeometry:
        """A region without arrows, other labels, and (if asked) pieces."""
        covered: list[BaseGeometry] = []
        if arrows:
            covered += [self.arrows[k] for k in self._arrow_tree.query(region)]
        if outlines:
            covered += [self.wanted[k].outline for k in self._outline_tree.query(region)]
        x1, y1, x2, y2 = region.bounds
        if len(self._taken) and not region.is_empty:
            t = self._taken + CLEAR_MM * self.scale * np.array([-1.0, -1.0, 1.0, 1.0])
            near = (t[:, 0] < x2) & (t[:, 2] > x1) & (t[:, 1] < y2) & (t[:, 3] > y1)
            covered += [shapely.box(*bounds) for bounds in t[near]]
        return region.difference(shapely.union_all(covered)) if covered else region

    def _beside(self, one: Labelled) -> PlacedLabel | None:
        """Write a label next to a piece too small for it: on free cloth, else on other pieces."""
        body = largest_part(self._without(one.outline, arrows=True)) or one.outline
        if body.is_empty:
            return None
        middle = body.representative_point()
        x1, y1, x2, y2 = one.outline.bounds
        tie = (float(middle.x), float(middle.y))
        near = _rings(middle.x, middle.y, (x2 - x1) / 2, (y2 - y1) / 2, self.scale)
        near = self._unobstructed(near, tie)
        anywhere = self._grid(middle.x, middle.y)
        short = one.wordings[-1:]
        for centres, free_cloth, wordings, size, clear in (
            (near, True, one.wordings[-2:], BESIDE, CLEAR_MM),
            (near, False, short, BESIDE, CLEAR_MM),
            (near, False, short, SMALLEST_BESIDE, CLEAR_MM),
            (anywhere, False, short, SMALLEST_BESIDE, CLEAR_MM),
            (anywhere, False, short, SMALLEST_BESIDE, 0.0),
        ):
            for lines in wordings:
                wide, high = label_size(lines, size, self.scale)
                found = self._free(centres, wide, high, None, free_cloth, clear)
                if found is not None:
                    spot = LabelSpot(lines, found[0], found[1], size, 0.0)
                    return self._take(one.number, spot, tie)
        return None

    def _free(
        self,
        centres: np.ndarray,
        wide: float,
        high: float,
        within: BaseGeometry | None,
        free_cloth: bool = False,
        clear: float = CLEAR_MM,
    ) -> tuple[float, float] | None:
        """First of the centres around which a box is free.

        `within` asks that it lies inside a region; `free_cloth` that it meets no piece, whose
        outline must be seen to be cut along; `clear` is kept to other labels, mm of paper.
        """
        x1, y1, x2, y2 = self.frame
        bounds = np.column_stack(
            [
                centres[:, 0] - wide / 2, centres[:, 1] - high / 2,
                centres[:, 0] + wide / 2, centres[:, 1] + high / 2,
            ]
        )  # fmt: skip
        good = (bounds[:, 0] >= x1) & (bounds[:, 1] >= y1)
        good &= (bounds[:, 2] <= x2) & (bounds[:, 3] <= y2)
        inside = np.flatnonzero(good)
        # Near places come first and mostly do, so that few of many are looked at.
        for start in range(0, len(inside), CHUNK):
            chunk = inside[start : start + CHUNK]
            chunk = chunk[~self._covered(bounds[chunk], clear)]
            boxes = shapely.box(*bounds[chunk].T)
            bad = np.zeros(len(chunk), dtype=bool)
            if within is not None:
                bad |= ~shapely.contains(within, boxes)
            bad |= shapely.intersects(self._ties, boxes)
            bad[self._arrow_tree.query(boxes, "intersects")[0]] = True
            if free_cloth:
                bad[self._outline_tree.query(boxes, "intersects")[0]] = True
            if not bad.all():
                x, y = centres[chunk[int(np.argmin(bad))]]
                return float(x), float(y)
        return None

    def _covered(self, bounds: np.ndarray, clear: float) -> np.ndarray:
        """Which of some boxes are nearer than `clear` (mm of paper) to a label that stands."""
        grown = self._taken + clear * self.scale * np.array([-1.0, -1.0, 1.0, 1.0])
        b, t = bounds[:, None, :], grown[None, :, :]
        meets = (t[..., 0] < b[..., 2]) & (t[..., 2] > b[..., 0])
        meets &= (t[..., 1] < b[..., 3]) & (t[..., 3] > b[..., 1])
        return np.asarray(meets.any(axis=1))

    def _grid(self, x: float, y: float) -> np.ndarray:
        """Places all over the drawing, the nearest to a point first."""
        x1, y1, x2, y2 = self.frame
        pitch = max(1.5 * self.scale, math.sqrt((x2 - x1) * (y2 - y1) / TRIES))
        xs, ys = np.meshgrid(np.arange(x1, x2, pitch), np.arange(y1, y2, pitch))
        grid = np.column_stack([xs.ravel(), ys.ravel()])
        distances = np.hypot(grid[:, 0] - x, grid[:, 1] - y)
        return np.asarray(grid[np.argsort(distances, kind="stable")])

    def _take(self, number: int, spot: LabelSpot, tie: Point | None) -> PlacedLabel:
        place = text_box(spot, self.scale)
        self._taken = np.vstack([self._taken, np.array(place.bounds)])
        if tie is not None:
            self._ties = self._ties.union(shapely.LineString([(spot.x, spot.y), tie]))
        return PlacedLabel(number, spot, place, tie)


def _rings(x: float, y: float, half_x: float, half_y: float, scale: float) -> np.ndarray:
    """Places around a piece of given half size, the nearest first."""
    found = []
    for distance in (2.5, 4.0, 6.0, 9.0, 13.0, 18.0, 25.0):
        for k in range(24):
            angle = 2.0 * math.pi * k / 24
            found.append(
                (
                    x + (half_x + distance * scale) * math.cos(angle),
                    y + (half_y + distance * scale) * math.sin(angle),
                )
            )
    return np.array(found)
