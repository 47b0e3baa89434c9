"""Feasible positions of one unit among placed ones: the best that a rule asks for.

A free unit may take any vertex of its box minus the no-fit polygons; a unit on a fold line or a
lattice the ends of the free stretches of its line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from layout.geometry.nofit import NoFitTable
from layout.geometry.shrunk import ShrunkNoFit, shrunk
from layout.search.model import FIT_MM, Choice, Model, alike, lattice_steps
from pieces.geometry_types import FloatArray

WINDOW_MM = 1000.0
"""Length of the windows in which what is left along a lay is kept."""

Score = Callable[[FloatArray, FloatArray], FloatArray]
"""Scores positions (x, y arrays): the least is best. None is better for a greater x or y."""


@dataclass(frozen=True)
class Placed:
    """A shape that lies fixed while the next one is placed."""

    shape: int
    x: float
    y: float


_Box = tuple[int, float, float, float, float]
"""A shape and the ranges of x and y of its reference positions, mm."""


class Positions:
    """Finds positions on one model; keeps the shrunk no-fit polygons of shape pairs."""

    def __init__(self, model: Model, table: NoFitTable) -> None:
        self.model = model
        self.table = table
        self.fixed = [Placed(o.shape, o.x, o.y) for o in model.obstacles]
        # Flaws may also lie before the lay.
        ends = (o.x + float(model.shapes[o.shape].points[:, 0].max()) for o in model.obstacles)
        self.flawed = max((0.0, *ends))
        self._far = self.flawed + _longest(model)
        self._shrunk: dict[tuple[int, int], ShrunkNoFit] = {}
        self._reach: dict[tuple[int, int], tuple[float, float, float, float]] = {}
        self._empty: dict[_Box, Polygon] = {}

    def serves(self, model: Model) -> bool:
        """Whether another model is of the same shapes, lying in the same ways."""
        return alike(self.model, model)

    def around(self, model: Model) -> Positions:
        """Positions on a model in which only obstacles lie elsewhere (`serves`)."""
        other = Positions(model, self.table)
        other._shrunk, other._reach = self._shrunk, self._reach
        return other

    def begin(self) -> Laying:
        """Begin a layout: nothing lies yet but what is fixed."""
        return Laying(self)

    def ways(self, kind: int) -> list[int]:
        """Choices of a kind that differ: a symmetric shape looks alike in several poses."""
        found: dict[tuple[object, ...], int] = {}
        for index, choice in enumerate(self.model.kinds[kind]):
            points = self.model.shapes[choice.shape].points
            low = points.min(axis=0)
            corners = [tuple(corner) for corner in np.round(points - low, 4).tolist()]
            # Other outlines may have the same corners, but not the same edges.
            edges = {
                frozenset(edge) for edge in zip(corners, corners[1:] + corners[:1], strict=True)
            }
            found.setdefault((*_place_of(choice, low), frozenset(edges)), index)
        return list(found.values())

    def empty(self, choice: Choice, low_x: float, high_x: float) -> Polygon:
        """The positions of a free choice between two x, around what is fixed.

        Worked out once: on a bounded piece of cloth the outside is many obstacles, and flaws of a
        strip may be many.
        """
        key = (choice.shape, low_x, high_x, choice.y_from, choice.y_to)
        found = self._empty.get(key)
        if found is None:
            found = box(low_x, choice.y_from, high_x, choice.y_to)
            around = [(p, self.pair(p.shape, choice.shape)) for p in self.fixed]
            if around:
                found = found.difference(shapely.union_all(_moved(around)))
            self._empty[key] = found
        return found

    def furthest(self, choice: Choice) -> float:
        """The greatest x that the reference of a free choice may have."""
        most = self.model.max_length
        return self._far if most is None else max(choice.x_from, most - choice.x_reach)

    def reach(self, a: int, b: int) -> tuple[float, float, float, float]:
        """Least and greatest x, least and greatest y that the no-fit polygon may reach.

        Known without it: what lies elsewhere need not be worked out.
        """
        found = self._reach.get((a, b))
        if found is None:
            one, other = self.model.shapes[a].points, self.model.shapes[b].points
            more = 1.1 * self.model.gap + FIT_MM
            low = one.min(axis=0) - other.max(axis=0) - more
            high = one.max(axis=0) - other.min(axis=0) + more
            found = self._reach[(a, b)] = (
                float(low[0]), float(high[0]), float(low[1]), float(high[1])
            )  # fmt: skip
        return found

    def pair(self, a: int, b: int) -> ShrunkNoFit:
        """Shrunk no-fit polygon of shapes a and b."""
        found = self._shrunk.get((a, b))
        if found is None:
            found = shrunk(self.table, self.model.shapes[a], self.model.shapes[b])
            self._shrunk[(a, b)] = found
        return found


class Laying:
    """A layout in the making: what lies, and what that leaves of the box of each free choice.

    A box is kept in windows along the lay, so that a position far in front asks for no no-fit
    polygon of what lies behind it, and what is full is never looked at again.
    """

    def __init__(self, positions: Positions) -> None:
        self.positions = positions
        self.placed: list[Placed] = []
        self._left: dict[_Box, tuple[int, Polygon]] = {}

    def put(self, shape: int, x: float, y: float) -> None:
        """Lay a shape for good."""
        self.placed.append(Placed(shape, x, y))

    def best(
        self, choice: Choice, x_limit: float, score: Score, from_end: bool = False
    ) -> tuple[float, float, float] | None:
        """Return (score, x, y) of the best feasible position, or None.

        `x_limit` is the greatest reference x considered, mm. The model's obstacles are avoided too.
        A score that is better for a greater x is one `from_end`, on a lay of given length.
        """
        low_x = choice.x_from if choice.x_fixed is None else choice.x_fixed
        high_x = x_limit if choice.x_fixed is None else choice.x_fixed
        if high_x < low_x - FIT_MM:
            return None
        high_x = max(low_x, high_x)
        if high_x - low_x <= FIT_MM or choice.y_to - choice.y_from <= FIT_MM:
            near = self._near(choice, low_x, high_x)
            candidates = _on_lines(choice, near, low_x, high_x)
        elif choice.pitch_x > 0.0:
            last = self.positions.furthest(choice)
            region = self._region(choice, choice.x_from, last)
            candidates = iter([_first_in_phase(choice, region, low_x, high_x)])
        elif choice.pitch_y > 0.0:
            near = self._near(choice, low_x, high_x)
            candidates = _on_levels(choice, near, low_x, high_x)
        else:
            if from_end:
                return self._best_from_end(choice, score)
            return self._best_in_windows(choice, score)
        best: tuple[float, float, float] | None = None
        for xs, ys in candidates:
            best = _better(best, xs, ys, score)
        return best

    def _best_in_windows(self, choice: Choice, score: Score) -> tuple[float, float, float] | None:
        """The best corner of what is left: beyond a window all is worse than its far end."""
        best: tuple[float, float, float] | None = None
        for low, high in self._windows(choice):
            best = self._better_in(choice, low, high, score, best)
            if best is not None:
                beyond = score(np.array([high]), np.array([choice.y_from]))
                if best[0] <= beyond[0]:
                    break
        return best

    def _best_from_end(self, choice: Choice, score: Score) -> tuple[float, float, float] | None:
        """The same from the far end: before a window that holds a corner all is worse."""
        for low, high in reversed(list(self._windows(choice))):
            best = self._better_in(choice, low, high, score, None)
            if best is not None:
                return best
        return None

    def _windows(self, choice: Choice) -> Iterator[tuple[float, float]]:
        """Stretches along the lay, one after another."""
        low, last = choice.x_from, self.positions.furthest(choice)
        while True:
            high = min(low + WINDOW_MM, last)
            yield low, high
            if high >= last:
                return
            low = high

    def _better_in(
        self,
        choice: Choice,
        low: float,
        high: float,
        score: Score,
        best: tuple[float, float, float] | None,
    ) -> tuple[float, float, float] | None:
        """The best so far, or what is better between two x."""
        region = self._region(choice, low, high)
        if region.is_empty:
            return best
        points = shapely.get_coordinates(region)
        # Corners at the seams of windows are none of what is left.
        real = points[:, 0] > low if low > choice.x_from else points[:, 0] >= low
        real &= (points[:, 0] < high) | (high == self.positions.furthest(choice))
        return _better(best, points[real, 0], points[real, 1], score)

    def _region(self, choice: Choice, low: float, high: float) -> Polygon:
        """What lies leaves of a choice that is locked to no line, between two x."""
        positions = self.positions
        key = (choice.shape, low, high, choice.y_from, choice.y_to)
        count, left = self._left.get(key, (0, None))
        if left is None:
            left = positions.empty(choice, low, high)
        if count < len(self.placed) and not left.is_empty:
            # Only what came since this shape was last looked at is taken off.
            near = []
            bottom, top = choice.y_from - 1.0, choice.y_to + 1.0
            for p in self.placed[count:]:
                x1, x2, y1, y2 = positions.reach(p.shape, choice.shape)
                if p.x + x1 < high and p.x + x2 > low and p.y + y1 < top and p.y + y2 > bottom:
                    near.append((p, positions.pair(p.shape, choice.shape)))
            if near:
                for taken in _moved(near):
                    left = shapely.difference(left, taken)
        self._left[key] = (len(self.placed), left)
        return left

    def _near(
        self, choice: Choice, low_x: float, high_x: float
    ) -> list[tuple[Placed, ShrunkNoFit]]:
        """What may stand in the way of a choice on a line between two x."""
        pairs = (
            (p, self.positions.pair(p.shape, choice.shape))
            for p in (*self.positions.fixed, *self.placed)
        )
        return [
            (p, nofit)
            for p, nofit in pairs
            if _touches(p, nofit, choice)
            and p.x + nofit.bounds[0] < high_x + 1.0
            and p.x + nofit.bounds[2] > low_x - 1.0
        ]


def _better(
    best: tuple[float, float, float] | None, xs: FloatArray, ys: FloatArray, score: Score
) -> tuple[float, float, float] | None:
    """The best so far, or what is better among these positions."""
    if not len(xs):
        return best
    scores = score(xs, ys)
    k = int(np.argmin(scores))
    if best is not None and scores[k] >= best[0]:
        return best
    return float(scores[k]), float(xs[k]), float(ys[k])


def _touches(p: Placed, nofit: ShrunkNoFit, choice: Choice) -> bool:
    """Whether a no-fit polygon reaches into the range across of a choice."""
    bounds = nofit.bounds
    return bool(p.y + bounds[1] < choice.y_to + 1.0 and p.y + bounds[3] > choice.y_from - 1.0)


def _longest(model: Model) -> float:
    """A length (mm) that holds all units one after another, whatever their poses."""
    total = 0.0
    for kind in model.units:
        ways = model.kinds[kind]
        long = max((float(np.ptp(model.shapes[way.shape].points[:, 0])) for way in ways), default=0)
        total += long + max((way.pitch_x for way in ways), default=0.0) + 2.0 * model.gap + 2.0
    return total + max((way.x_from for ways in model.kinds for way in ways), default=0.0)


def _place_of(choice: Choice, low: FloatArray) -> tuple[object, ...]:
    """What a choice permits its shape, by the shape's lowest corner instead of its reference."""
    x, y = (float(v) for v in low)
    fixed = None if choice.x_fixed is None else round(choice.x_fixed + x, 4)
    phase_x = (choice.phase_x + x) % choice.pitch_x if choice.pitch_x else 0.0
    phase_y = (choice.phase_y + y) % choice.pitch_y if choice.pitch_y else 0.0
    return (
        choice.slot, round(choice.x_from + x, 4), fixed, round(choice.y_from + y, 4),
        round(choice.y_to + y, 4), choice.pitch_x, round(phase_x, 4), choice.pitch_y,
        round(phase_y, 4),
    )  # fmt: skip


def _on_lines(
    choice: Choice, near: list[tuple[Placed, ShrunkNoFit]], low_x: float, high_x: float
) -> Iterator[tuple[FloatArray, FloatArray]]:
    """Positions of a choice that is locked to a line; of those on a lattice along it the first."""
    if high_x - low_x <= FIT_MM:
        ys = _free_on_line(near, 0, low_x, (choice.y_from, choice.y_to),
                           (choice.pitch_y, choice.phase_y))  # fmt: skip
        yield np.full(len(ys), low_x), ys
        return
    phase = (choice.pitch_x, choice.phase_x)
    xs = _free_on_line(near, 1, choice.y_from, (low_x, high_x), phase)
    xs = xs[:1] if choice.pitch_x > 0.0 else xs
    yield xs, np.full(len(xs), choice.y_from)


def _on_levels(
    choice: Choice, near: list[tuple[Placed, ShrunkNoFit]], low_x: float, high_x: float
) -> Iterator[tuple[FloatArray, FloatArray]]:
    """Positions of a choice that is in phase across only."""
    for y in lattice_steps(choice.y_from, choice.y_to, choice.pitch_y, choice.phase_y):
        xs = _free_on_line(near, 1, float(y), (low_x, high_x), (0.0, 0.0))
        yield xs, np.full(len(xs), y)


def _first_in_phase(
    choice: Choice, region: Polygon, low_x: float, high_x: float
) -> tuple[FloatArray, FloatArray]:
    """Positions in a region on the first line across the lay that is in phase and has any."""
    steps = lattice_steps(low_x, high_x, choice.pitch_x, choice.phase_x)
    shapely.prepare(region)
    if choice.pitch_y > 0.0:
        ys = lattice_steps(choice.y_from, choice.y_to, choice.pitch_y, choice.phase_y)
        for x in steps:
            there = ys[shapely.intersects_xy(region, np.full(len(ys), x), ys)]
            if len(there):
                return np.full(len(there), x), there
        return steps[:0], steps[:0]
    ends = np.array([[(x, choice.y_from), (x, choice.y_to)] for x in steps]).reshape(-1, 2, 2)
    lines = shapely.linestrings(ends)
    hit = np.flatnonzero(shapely.intersects(region, lines))
    if not len(hit):
        return steps[:0], steps[:0]
    points = shapely.get_coordinates(shapely.intersection(region, lines[hit[0]]))
    return points[:, 0], points[:, 1]


def _moved(near: list[tuple[Placed, ShrunkNoFit]]) -> list[Polygon]:
    """No-fit polygons where their placed shapes lie."""
    result = []
    for p, nofit in near:
        offset = np.array([p.x, p.y])
        for shell, *holes in nofit.parts:
            if holes:
                result.append(Polygon(shell + offset, [hole + offset for hole in holes]))
            else:
                result.append(shapely.polygons(shell + offset))
    return result


def _free_on_line(
    near: list[tuple[Placed, ShrunkNoFit]],
    axis: int,
    value: float,
    between: tuple[float, float],
    phase: tuple[float, float],
) -> FloatArray:
    """Free positions of a line: those in phase, or both ends of its free stretches.

    `axis` is the coordinate that is fixed, `phase` the pitch (0: any) and phase along the line.
    """
    low, high = between
    blocks = sorted(_blocks(near, axis, value))
    if phase[0] > 0.0 and high > low:
        steps = lattice_steps(low, high, *phase)
        return np.array([at for at in steps if not any(a < at < b for a, b in blocks)])
    at = low
    ends: list[float] = []
    for start, end in blocks:
        if start > high:
            break
        if start >= at:
            ends += [at, start]
        at = max(at, end)
    if at <= high:
        ends += [at, high]
    return np.array(ends)


def _blocks(
    near: list[tuple[Placed, ShrunkNoFit]], axis: int, value: float
) -> list[tuple[float, float]]:
    """Open stretches of a line that no-fit polygons block."""
    result = []
    for p, nofit in near:
        offset = (p.x, p.y)
        at = value - offset[axis]
        if not nofit.bounds[axis] < at < nofit.bounds[axis + 2]:
            continue
        for part in nofit.parts:
            crossings: list[float] = []
            for points in part:
                level, other = points[:, axis], points[:, 1 - axis]
                a, b = level[:-1], level[1:]
                hit = (a <= at) != (b <= at)
                t = (at - a[hit]) / (b[hit] - a[hit])
                crossings += (other[:-1][hit] + t * (other[1:][hit] - other[:-1][hit])).tolist()
            crossings.sort()
            shift = offset[1 - axis]
            result += [
                (s + shift, e + shift) for s, e in zip(crossings[::2], crossings[1::2], strict=True)
            ]
    return result
