"""The flat model that the search works on: one section's lay, or one bounded piece of cloth.

Slots, zones, fold edges and lattices become, for each pose, a box of reference positions: a range
of x and y, perhaps locked to a line or a lattice.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from fabrics.spread import Spread
from layout.bounded_problem import BoundedProblem
from layout.errors import ProblemError
from layout.geometry.convex import convex_parts
from layout.geometry.nofit import OrientedShape
from layout.geometry.simplify import TOLERANCE_MM, search_outline
from layout.layout import kept_extents, pose_matrix, posed
from layout.problem import Item, Pose, Slot, Span
from layout.strip_problem import StripProblem
from pieces.geometry_types import FloatArray

FIT_MM = 1e-6
"""A range that is short by no more than this still holds a piece."""


@dataclass(frozen=True)
class Choice:
    """One way in which a unit may lie: a shape and the box of its reference positions (mm).

    `x_reach` is the shape's greatest x relative to the reference: reference x + x_reach <= length.
    A locked coordinate has equal ends (`x_fixed` for x). Pitches of 0 leave an axis free; else
    the reference lies at phase + k * pitch.
    """

    shape: int
    slot: int
    pose: Pose
    x_from: float
    x_reach: float
    x_fixed: float | None
    y_from: float
    y_to: float
    pitch_x: float = 0.0
    phase_x: float = 0.0
    pitch_y: float = 0.0
    phase_y: float = 0.0


@dataclass(frozen=True)
class Obstacle:
    """A fixed shape: a flaw, what lies outside a bounded piece of cloth, a piece that is kept."""

    shape: int
    x: float
    y: float


@dataclass(frozen=True)
class Model:
    """Shapes, ways of lying by kind, and the units (one a placement) to be laid.

    `items` gives the problem's item of each kind; `max_length` is set on bounded pieces of cloth.
    """

    bases: tuple[FloatArray, ...]
    shapes: tuple[OrientedShape, ...]
    kinds: tuple[tuple[Choice, ...], ...]
    items: tuple[int, ...]
    units: tuple[int, ...]
    areas: FloatArray
    gap: float
    obstacles: tuple[Obstacle, ...] = ()
    max_length: float | None = None
    least: float = 0.0
    """Greatest lay x (mm) of what is kept where it is: no lay is shorter."""


class _Shapes:
    """Collects base polygons and oriented shapes, sharing equal ones."""

    def __init__(self, tolerance: float) -> None:
        self.tolerance = tolerance
        self.bases: list[FloatArray] = []
        self.shapes: list[OrientedShape] = []
        self._base_of: dict[bytes, int] = {}
        self._shape_of: dict[tuple[int, Pose, bool, int | None, tuple[int, ...] | None], int] = {}

    def base(self, item: Item, shape: int) -> int:
        line = item.fold_lines[shape] if item.fold_lines and len(item.fold_lines) > shape else None
        key = np.asarray(item.shapes[shape]).tobytes() + repr(line).encode()
        if key not in self._base_of:
            self._base_of[key] = self.add(search_outline(item.shapes[shape], self.tolerance, line))
        return self._base_of[key]

    def add(self, points: FloatArray) -> int:
        self.bases.append(points)
        return len(self.bases) - 1

    def add_shared(self, points: FloatArray) -> int:
        """Like `add`, but equal points share a base."""
        key = points.tobytes()
        if key not in self._base_of:
            self._base_of[key] = self.add(points)
        return self._base_of[key]

    def oriented(
        self,
        base: int,
        pose: Pose,
        gapless: bool = False,
        flawed_ply: int | None = None,
        cut_plies: tuple[int, ...] | None = None,
    ) -> int:
        key = (base, pose, gapless, flawed_ply, cut_plies)
        if key not in self._shape_of:
            points = self.bases[base] @ pose_matrix(pose).T
            points = np.ascontiguousarray(points[::-1] if pose.flip else points)
            self._shape_of[key] = len(self.shapes)
            self.shapes.append(OrientedShape(base, pose, points, gapless, *key[3:]))
        return self._shape_of[key]


def strip_model(
    problem: StripProblem,
    section: int,
    counts: dict[int, int],
    span: Span | None = None,
    tolerance: float = TOLERANCE_MM,
) -> Model:
    """Model of one section of a strip.

    Parameters
    ----------
    problem : StripProblem
    section : int
    counts : dict
        Placements of each item that go into this section; what is kept there is an obstacle.
    span : Span, optional
        Where the section lies on the cloth; needed if the cloth has flaws.
    tolerance : float
        Of outward simplification, mm.
    """
    spread = problem.sections[section].spread
    shapes = _Shapes(tolerance)
    kinds: list[tuple[Choice, ...]] = []
    items: list[int] = []
    units: list[int] = []
    areas: list[float] = []
    for index, count in counts.items():
        item = problem.items[index]
        choices = tuple(
            choice
            for number, slot in enumerate(item.slots)
            if slot.section == section
            for choice in _choices(item, number, slot, spread, shapes, bool(problem.flaws))
        )
        kinds.append(choices)
        items.append(index)
        units += [len(kinds) - 1] * count
        areas += [Polygon(item.shapes[item.slots[0].shape]).area] * count
    obstacles = _flaws(problem, spread, span, shapes) + _kept(problem, section, shapes)
    return Model(
        tuple(shapes.bases), tuple(shapes.shapes), tuple(kinds), tuple(items), tuple(units),
        np.array(areas), problem.gap, obstacles, least=kept_extents(problem)[section],
    )  # fmt: skip


def alike(a: Model, b: Model) -> bool:
    """Whether two models are of the same shapes, lying in the same ways; obstacles may differ."""
    return (
        a.kinds == b.kinds
        and len(a.shapes) == len(b.shapes)
        and all(
            np.array_equal(p.points, q.points)
            and (p.flawed_ply, p.cut_plies) == (q.flawed_ply, q.cut_plies)
            for p, q in zip(a.shapes, b.shapes, strict=True)
        )
    )


def bounded_model(problem: BoundedProblem, tolerance: float = TOLERANCE_MM) -> Model:
    """Model of a bounded piece of cloth: what lies outside it becomes fixed obstacles."""
    region = Polygon(problem.outline)
    # A hole may reach over the edge: a torn corner, a flaw at the border.
    region = region.difference(shapely.union_all([Polygon(hole) for hole in problem.holes]))
    x1, y1, x2, y2 = region.bounds
    shapes = _Shapes(tolerance)
    kinds: list[tuple[Choice, ...]] = []
    units: list[int] = []
    areas: list[float] = []
    for index, item in enumerate(problem.items):
        choices = []
        for number, slot in enumerate(item.slots):
            for pose in slot.poses:
                low, high = _bounds(item, slot, pose)
                if high[0] - low[0] <= x2 - x1 + FIT_MM and high[1] - low[1] <= y2 - y1 + FIT_MM:
                    shape = shapes.oriented(shapes.base(item, slot.shape), pose)
                    choice = Choice(
                        shape, number, pose, x1 - low[0], high[0], None,
                        y1 - low[1], max(y1 - low[1], y2 - high[1]),
                    )  # fmt: skip
                    choices.append(_on_lattice(choice, slot, pose))
        kinds.append(tuple(choices))
        units += [index] * item.demand
        areas += [Polygon(item.shapes[0]).area] * item.demand
    reach = max(x2 - x1, y2 - y1)
    outside = box(x1 - reach, y1 - reach, x2 + reach, y2 + reach).difference(region)
    obstacles = []
    for part in _convex_pieces(outside):
        shape = shapes.oriented(shapes.add(part), Pose(0.0), gapless=True)
        obstacles.append(Obstacle(shape, 0.0, 0.0))
    return Model(
        tuple(shapes.bases), tuple(shapes.shapes), tuple(kinds), tuple(range(len(kinds))),
        tuple(units), np.array(areas), problem.gap, tuple(obstacles), x2,
    )  # fmt: skip


def _convex_pieces(region: Polygon) -> list[FloatArray]:
    """Convex parts of a region with holes (its triangles)."""
    result = []
    for part in getattr(region, "geoms", [region]):
        for triangle in shapely.constrained_delaunay_triangles(part).geoms:
            ring = np.array(triangle.exterior.coords)[:-1]
            result.append(ring if triangle.exterior.is_ccw else ring[::-1])
    return result


def _flaws(
    problem: StripProblem, spread: Spread, span: Span | None, shapes: _Shapes
) -> tuple[Obstacle, ...]:
    """Flaws as they lie under every ply of the lay."""
    obstacles = []
    for flaw in problem.flaws:
        if span is None:
            raise ValueError("cloth with flaws needs to know where its sections lie")
        ring = np.asarray(flaw.outline, dtype=float)
        for number, ply in enumerate(spread.plies):
            points = ply.from_cloth(ring, span.lay_length, span.start)
            if points[:, 1].max() < ply.y_from or points[:, 1].min() > ply.y_to:
                continue
            if not Polygon(points).exterior.is_ccw:
                points = points[::-1]
            for part in convex_parts(np.ascontiguousarray(points)):
                # Flaws of one size, wherever they lie, share their no-fit polygons.
                x, y = part[0].tolist()
                base = shapes.add_shared(np.round(part - part[0], 6))
                shape = shapes.oriented(base, Pose(0.0), flawed_ply=number)
                obstacles.append(Obstacle(shape, x, y))
    return tuple(obstacles)


def _kept(problem: StripProblem, section: int, shapes: _Shapes) -> tuple[Obstacle, ...]:
    """What stays where it is in a section, as it is laid."""
    obstacles = []
    for placement in problem.kept_in(section):
        item = problem.items[placement.item]
        base = shapes.base(item, item.slots[placement.slot].shape)
        shape = shapes.oriented(base, placement.pose)
        obstacles.append(Obstacle(shape, placement.x, placement.y))
    return tuple(obstacles)


def _bounds(item: Item, slot: Slot, pose: Pose) -> tuple[FloatArray, FloatArray]:
    points = posed(item.shapes[slot.shape], pose)
    return points.min(axis=0), points.max(axis=0)


def _choices(
    item: Item, number: int, slot: Slot, spread: Spread, shapes: _Shapes, flawed: bool
) -> list[Choice]:
    zone = spread.zones[slot.zone]
    # Under what is cut through one ply of two a flaw of the other does no harm.
    cut = slot.plies if flawed and len(slot.plies) < len(zone.plies) else None
    result = []
    for pose in slot.poses:
        low, high = _bounds(item, slot, pose)
        x_from, x_fixed = -float(low[0]), None
        y_from, y_to = zone.y_from - float(low[1]), zone.y_to - float(high[1])
        if slot.fold_edge is not None:
            edge = spread.fold_edges[slot.fold_edge]
            line = item.fold_lines[slot.shape]
            if line is None:
                raise ProblemError(
                    item.key, f"slots[{number}].fold_edge", "its shape has no fold edge"
                )
            at = (np.asarray(line) @ pose_matrix(pose).T).mean(axis=0)
            if edge.along:
                y_from = y_to = edge.at - float(at[1])
            else:
                x_fixed = edge.at - float(at[0])
        elif slot.clearance > 0.0:
            for edge in spread.fold_edges:
                if not edge.along:
                    x_from += slot.clearance
                elif edge.side > 0 and abs(edge.at - zone.y_from) < FIT_MM:
                    y_from += slot.clearance
                elif edge.side < 0 and abs(edge.at - zone.y_to) < FIT_MM:
                    y_to -= slot.clearance
        if y_to < y_from - FIT_MM:
            continue
        shape = shapes.oriented(shapes.base(item, slot.shape), pose, cut_plies=cut)
        choice = Choice(
            shape, number, pose, x_from, float(high[0]), x_fixed, y_from, max(y_from, y_to)
        )  # fmt: skip
        result.append(_on_lattice(choice, slot, pose))
    return result


def _on_lattice(choice: Choice, slot: Slot, pose: Pose) -> Choice:
    lattice = slot.lattice
    if lattice is None:
        return choice
    at = np.asarray(lattice.point) @ pose_matrix(pose).T
    pitch_y = lattice.pitch_y if choice.y_to > choice.y_from else 0.0
    return Choice(
        choice.shape, choice.slot, choice.pose, choice.x_from, choice.x_reach, choice.x_fixed,
        choice.y_from, choice.y_to,
        lattice.pitch_x if choice.x_fixed is None else 0.0, lattice.phase_x - float(at[0]),
        pitch_y, lattice.phase_y - float(at[1]),
    )  # fmt: skip


def lattice_steps(low: float, high: float, pitch: float, phase: float) -> FloatArray:
    """Positions phase + k * pitch in [low, high]."""
    first = math.ceil((low - phase) / pitch - 1e-9)
    last = math.floor((high - phase) / pitch + 1e-9)
    return np.asarray(phase + pitch * np.arange(first, last + 1, dtype=float))
