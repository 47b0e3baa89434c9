"""A piece in the hand: where it may be put down, and the nearest place where it touches something.

No-fit polygons tell where it may not be because of what lies there. They are those of the search,
whose outlines are simplified outward: what snaps lies up to half a mm further off than the gap.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from fabrics.lay_edges import end_name, lay_edges
from layout.geometry.nofit import NoFitTable
from layout.problem import Pose
from layout.search.model import Choice, lattice_steps
from pieces.geometry_types import FloatArray
from plans.by_hand.moves import ways_of
from plans.by_hand.reopened import OpenLay
from plans.by_hand.ways import tied

TOUCH_MM = 1e-4
"""What is no further away than this touches."""

NARROW_MM = 1e-6
"""A range of places that is narrower is a line."""


@dataclass(frozen=True)
class Barred:
    """Where the piece in the hand may not be because of another thing: rings of its reference.

    They are given from (x, y) on, mm, the outer ring first; the others are holes, in which it may
    lie. Things that are alike share their rings. `number` is that of the piece that lies there, 0
    for a flaw.
    """

    number: int
    rings: tuple[FloatArray, ...]
    x: float
    y: float

    @property
    def polygon(self) -> Polygon:
        """The places themselves."""
        outer, *holes = (ring + np.array([self.x, self.y]) for ring in self.rings)
        return Polygon(outer, holes)


@dataclass(frozen=True)
class Snap:
    """A place (mm) where the piece in the hand may lie, and the names of what it touches there."""

    x: float
    y: float
    touches: tuple[str, ...]


class Held:
    """One piece of a lay in the hand, in one pose.

    Raises
    ------
    NotPermittedError
        If it may not lie in this pose.
    """

    def __init__(self, lay: OpenLay, index: int, pose: Pose | None = None) -> None:
        self.lay = lay
        self.index = index
        self.placement = lay.layout.placements[index]
        self.pose = pose or self.placement.pose
        self.ways = ways_of(lay, index, self.pose)
        items = lay.built.problem.items
        self.section = items[self.placement.item].slots[self.placement.slot].section
        self.on_fold = items[self.placement.item].slots[self.placement.slot].fold_edge is not None

    @cached_property
    def barred(self) -> tuple[Barred, ...]:
        """Where it may not be because of what lies there."""
        model = self.lay.ways.model(self.section)
        table = NoFitTable(model.bases, model.gap)
        mine = model.shapes[self.ways[0].shape]
        found = []
        for k, other in enumerate(self.lay.layout.placements):
            slots = self.lay.built.problem.items[other.item].slots
            if k == self.index or slots[other.slot].section != self.section:
                continue
            rings = table.rings(model.shapes[self.lay.ways.shape(other, self.section)], mine)
            number = self.lay.entry.placements[k].number
            found.append(Barred(number, rings, other.x, other.y))
        for obstacle in model.obstacles:
            rings = table.rings(model.shapes[obstacle.shape], mine)
            found.append(Barred(0, rings, obstacle.x, obstacle.y))
        return tuple(found)

    @cached_property
    def _polygons(self) -> list[Polygon]:
        return [one.polygon for one in self.barred]

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree(self._polygons)

    def snapped(self, x: float, y: float, within: float) -> Snap | None:
        """The nearest place to (x, y) where it may lie and touches something, mm.

        A nook, where it touches two things, comes before a nearer place that touches one. None if
        there is neither within the distance.
        """
        found: list[tuple[bool, float, float, float]] = []
        for way in self.ways:
            for corner, at in self._candidates(way, x, y, within):
                away = math.hypot(at[0] - x, at[1] - y)
                if away <= within + TOUCH_MM:
                    found.append((not corner, away, at[0], at[1]))
        if not found:
            return None
        _, _, at_x, at_y = min(found)
        return Snap(at_x, at_y, self.touched(at_x, at_y))

    def touched(self, x: float, y: float) -> tuple[str, ...]:
        """Names of the edges and pieces that it touches at a place."""
        names = []
        spread = self.lay.built.problem.sections[self.section].spread
        edges = lay_edges(spread)
        for way in self.ways:
            if way.x_fixed is None and abs(x - way.x_from) <= TOUCH_MM:
                names.append(end_name(spread))
            slot = self.lay.built.problem.items[self.placement.item].slots[way.slot]
            zones = spread.zones
            if abs(y - way.y_from) <= TOUCH_MM and slot.zone == 0:
                names.append(edges[0].name.value)
            if abs(y - way.y_to) <= TOUCH_MM and slot.zone == len(zones) - 1:
                names.append(edges[1].name.value)
        there = Point(x, y)
        for k in self._tree.query(there.buffer(1.0)):
            if self._polygons[k].boundary.distance(there) <= TOUCH_MM:
                number = self.barred[k].number
                names.append(self.lay.name(number - 1) if number else "flaw")
        return tuple(dict.fromkeys(names))

    def _candidates(
        self, way: Choice, x: float, y: float, within: float
    ) -> list[tuple[bool, tuple[float, float]]]:
        """Places that touch something, each with whether it is a nook."""
        if way.pitch_x > 0.0 or way.pitch_y > 0.0:
            return [(True, at) for at in self._in_phase(way, x, y, within)]
        near = Point(x, y)
        low_x, high_x = (
            (max(way.x_from, x - within), max(way.x_from, x + within))
            if way.x_fixed is None
            else (way.x_fixed, way.x_fixed)
        )
        low_y, high_y = max(way.y_from, y - within), min(way.y_to, y + within)
        if low_y > high_y:
            low_y = high_y = min(max(y, way.y_from), way.y_to)
        if high_x - low_x <= NARROW_MM or high_y - low_y <= NARROW_MM:
            line = LineString([(low_x, low_y), (high_x, high_y)])
            free = self._without_barred(line if line.length else Point(low_x, low_y))
            ends = [(True, (float(px), float(py))) for px, py in shapely.get_coordinates(free)
                    if not (low_x < px < high_x and self._is_window(px, x, within))]  # fmt: skip
            nearest = _nearest(free, near)
            return ends + ([] if nearest is None else [(False, nearest)])
        free = self._without_barred(box(low_x, low_y, high_x, high_y))
        return _nooks(free, x, y, within) + _on_border(free, near, x, y, within)

    @staticmethod
    def _is_window(value: float, asked: float, within: float) -> bool:
        return abs(abs(value - asked) - within) <= TOUCH_MM

    def _in_phase(
        self, way: Choice, x: float, y: float, within: float
    ) -> list[tuple[float, float]]:
        """Places in phase with the design of the cloth, within a step of it if that is more."""
        far_x, far_y = max(within, way.pitch_x), max(within, way.pitch_y)
        at_x, at_y = tied(way, self.on_fold, x, min(max(y, way.y_from), way.y_to))
        xs = [at_x] if way.pitch_x <= 0.0 else lattice_steps(
            max(way.x_from, x - far_x), max(way.x_from, x + far_x), way.pitch_x, way.phase_x
        ).tolist()  # fmt: skip
        ys = [at_y] if way.pitch_y <= 0.0 or way.y_to <= way.y_from else lattice_steps(
            max(way.y_from, y - far_y), min(way.y_to, y + far_y), way.pitch_y, way.phase_y
        ).tolist()  # fmt: skip
        spots = [(float(one), float(other)) for one in xs for other in ys]
        return [spot for spot in spots if not self._without_barred(Point(spot)).is_empty]

    def _without_barred(self, region: BaseGeometry) -> BaseGeometry:
        """A region of places without those that are barred; their borders stay."""
        near = [self._polygons[k] for k in sorted(self._tree.query(region))]
        if not near:
            return region
        taken = shapely.union_all(near).buffer(-TOUCH_MM / 4.0, join_style="mitre")
        return region.difference(taken)


def _nearest(free: BaseGeometry, near: Point) -> tuple[float, float] | None:
    if free.is_empty:
        return None
    at = shapely.get_coordinates(shapely.shortest_line(free, near))[0]
    return float(at[0]), float(at[1])


def _polygons_of(free: BaseGeometry) -> list[Polygon]:
    parts = getattr(free, "geoms", [free])
    return [part for part in parts if part.geom_type == "Polygon" and not part.is_empty]


def _nooks(
    free: BaseGeometry, x: float, y: float, within: float
) -> list[tuple[bool, tuple[float, float]]]:
    """Corners that bulge out of the free region: it touches two things there."""
    found = []
    for part in _polygons_of(free):
        part = shapely.geometry.polygon.orient(part)
        for ring in (part.exterior, *part.interiors):
            points = shapely.get_coordinates(ring)[:-1]
            before, after = points - np.roll(points, 1, 0), np.roll(points, -1, 0) - points
            turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
            size = np.hypot(*before.T) * np.hypot(*after.T)
            for px, py in points[turn > 0.05 * size].tolist():
                if max(abs(px - x), abs(py - y)) < within - TOUCH_MM:
                    found.append((True, (px, py)))
    return found


def _on_border(
    free: BaseGeometry, near: Point, x: float, y: float, within: float
) -> list[tuple[bool, tuple[float, float]]]:
    """The nearest place on the border of the free region, not on that of what was looked at."""
    inside = box(x - within, y - within, x + within, y + within).buffer(-TOUCH_MM)
    lines = [part.boundary.intersection(inside) for part in _polygons_of(free)]
    nearest = _nearest(shapely.union_all(lines), near) if lines else None
    return [] if nearest is None else [(False, nearest)]
