"""Placing the labels of a whole drawing: none covers an arrow, or another label.

A label goes inside its piece if there is room; else it stands beside it, tied by a line. Marks of
less weight (figures at the ends of arrows, names of leftovers) take what room is left, or go.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from pieces.geometry_types import Point
from plans.drawing.label_candidates import all_over, around, rings_around
from plans.drawing.labels import (
    ENDS_MM,
    SHAFT_MM,
    SIZES,
    LabelSpot,
    arrow_area,
    find_spot,
    label_size,
    largest_part,
    text_box,
)
from plans.drawing.look import PIN_TEXT, SMALLEST_TEXT

BESIDE, SMALLEST_BESIDE = 5.4, 4.0
"""Size of a label beside its piece, and where they crowd, points."""

READABLE = 5.4
"""A name inside is preferred down to this size, points."""

NEAR = 6 * 24
"""Places around the end of an arrow where its figures may stand, tied to it by a line."""

ALONG = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Where along its arrow a label is tried that must leave the ends to figures, in shares of it."""

CLEAR_MM = 0.7
"""Kept free between two labels, mm of paper: letters that all but touch read as one word."""

CHUNK = 256
"""Places that are looked at together."""


@dataclass(frozen=True)
class Labelled:
    """What wants a label: its visible outline, its arrow if it is shown, and wordings.

    The wordings are lines of text, the fullest first; the last but one names the piece, the last
    is its number. `notes` are figures that are to stand at ends of the arrow, each with its end.
    """

    number: int
    outline: Polygon
    arrow: tuple[Point, Point] | None
    wordings: tuple[tuple[str, ...], ...]
    notes: tuple[tuple[str, Point], ...] = ()

    @property
    def upright(self) -> bool:
        """Whether the arrow points rather across the drawing than along it."""
        if self.arrow is None:
            return False
        (x1, y1), (x2, y2) = self.arrow
        return abs(y2 - y1) > abs(x2 - x1)

    def leaves_out(self, lines: tuple[str, ...]) -> int:
        """How much a wording leaves out: nothing (0), how to cut (1), or the name, too (2)."""
        return max(0, self.wordings.index(lines) - len(self.wordings) + 3)


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

    def figures(self) -> tuple[PlacedLabel, ...]:
        """Place the figures at the ends of all arrows for which there is room."""
        found = [self._note(one, *note) for one in self.wanted for note in one.notes]
        return tuple(label for label in found if label is not None)

    def _note(self, one: Labelled, text: str, end: Point) -> PlacedLabel | None:
        """Place a small figure next to the end of an arrow: on its piece, else on free cloth.

        Farther off it is tied to the end by a line; where there is no room at all it is left out.
        """
        wide, high = label_size((text,), PIN_TEXT, self.scale)
        near = around(end, wide, high, 1.15 * self.scale)
        far = self._unobstructed(rings_around(*end, 0.0, 0.0, self.scale)[:NEAR], end)
        turned = around(end, high, wide, 1.15 * self.scale) if one.upright else near[:0]
        for centres, box, on_piece, tie in (
            (near, (wide, high), True, None),
            (turned, (high, wide), True, None),
            (near, (wide, high), False, None),
            (far, (wide, high), False, end),
        ):
            found = self._free(centres, *box, one.outline if on_piece else None, not on_piece)
            if found is not None:
                turn = 90.0 if centres is turned else 0.0
                return self._take(one.number, LabelSpot((text,), *found, PIN_TEXT, turn), tie)
        return None

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
        spot = _spot_in(clear, one, self.scale)
        if spot is None or not one.notes:
            return spot
        kept = self._note_boxes(one)
        if len(self._note_boxes(one, spot)) >= len(kept):
            return spot
        # It takes the room of figures of its own arrow: elsewhere, if it says as much there.
        moved = _spot_in(self._without(clear, besides=kept), one, self.scale)
        if moved is None or one.leaves_out(moved.lines) > one.leaves_out(spot.lines):
            moved = self._beside_arrow(one, kept, one.leaves_out(spot.lines))
        return moved or spot

    def _note_boxes(self, one: Labelled, spot: LabelSpot | None = None) -> list[Polygon]:
        """Boxes of the figures of a piece for which there is room, its label being at a spot."""
        taken, ties = self._taken, self._ties
        if spot is not None:
            self._take(one.number, spot, None)
        found = [self._note(one, *note) for note in one.notes]
        self._taken, self._ties = taken, ties
        return [note.box for note in found if note is not None]

    def _beside_arrow(
        self, one: Labelled, kept: Sequence[Polygon], most_left_out: int
    ) -> LabelSpot | None:
        """Find room for a label along the shaft of its arrow, clear of boxes that are kept."""
        if one.arrow is None:
            return None
        (x1, y1), (x2, y2) = one.arrow
        upright = one.upright
        taken = self._taken
        self._taken = np.vstack([taken, *(np.array(box.bounds) for box in kept)])
        try:
            for lines in one.wordings:
                if one.leaves_out(lines) > most_left_out:
                    break
                for size in SIZES:
                    wide, high = label_size(lines, size, self.scale)
                    away = high / 2 + 1.05 * SHAFT_MM * self.scale
                    off_x, off_y = (away, 0.0) if upright else (0.0, away)
                    centres = np.array(
                        [
                            (x1 + at * (x2 - x1) + side * off_x, y1 + at * (y2 - y1) + side * off_y)
                            for at in ALONG
                            for side in (-1.0, 1.0)
                        ]
                    )
                    box = (high, wide) if upright else (wide, high)
                    found = self._free(centres, *box, one.outline)
                    if found is not None:
                        return LabelSpot(lines, *found, size, 90.0 if upright else 0.0)
        finally:
            self._taken = taken
        return None

    def _without(
        self,
        region: BaseGeometry,
        arrows: bool = False,
        outlines: bool = False,
        besides: Sequence[Polygon] = (),
    ) -> BaseGeometry:
        """A region without arrows, other labels, further boxes, and (if asked) pieces."""
        clear = CLEAR_MM * self.scale
        covered: list[BaseGeometry] = [box.buffer(clear, join_style="mitre") for box in besides]
        if arrows:
            covered += [self.arrows[k] for k in self._arrow_tree.query(region)]
        if outlines:
            covered += [self.wanted[k].outline for k in self._outline_tree.query(region)]
        x1, y1, x2, y2 = region.bounds
        if len(self._taken) and not region.is_empty:
            t = self._taken + clear * np.array([-1.0, -1.0, 1.0, 1.0])
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
        near = rings_around(middle.x, middle.y, (x2 - x1) / 2, (y2 - y1) / 2, self.scale)
        near = self._unobstructed(near, tie)
        anywhere = all_over(self.frame, tie, self.scale)
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

    def _take(self, number: int, spot: LabelSpot, tie: Point | None) -> PlacedLabel:
        place = text_box(spot, self.scale)
        self._taken = np.vstack([self._taken, np.array(place.bounds)])
        if tie is not None:
            self._ties = self._ties.union(shapely.LineString([(spot.x, spot.y), tie]))
        return PlacedLabel(number, spot, place, tie)


def _spot_in(clear: BaseGeometry, one: Labelled, scale: float) -> LabelSpot | None:
    """Find room for a label in what is clear of its piece."""
    # How to cut comes with the name even where it must be small; then the name, then a number.
    full, named = one.wordings[:-2], one.wordings[:-1]
    for wordings, smallest in (
        (full, READABLE),
        (full, SMALLEST_TEXT),
        (named, READABLE),
        (one.wordings, SMALLEST_TEXT),
    ):
        spot = find_spot(clear, wordings, scale, smallest=smallest)
        if spot is not None:
            return spot
    return None
