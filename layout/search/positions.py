"""Feasible positions of one unit among placed ones: the best that a rule asks for.

A free unit may take any vertex of its box minus the no-fit polygons; a unit on a fold line or a
lattice the ends of the free stretches of its line. No-fit polygons are shrunk by 0.02 micrometres,
so that exact fits, which would be regions without area, stay open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from layout.geometry.nofit import NoFitTable
from layout.search.model import FIT_MM, Choice, Model, lattice_steps
from pieces.geometry_types import FloatArray

SHRINK_MM = 2e-5
"""How much no-fit polygons are shrunk; twice this, over a metre of contact, is 0.04 mm2."""

Score = Callable[[FloatArray, FloatArray], FloatArray]
"""Scores positions (x, y arrays): the least is best."""


@dataclass(frozen=True)
class Placed:
    """A shape that lies fixed while the next one is placed."""

    shape: int
    x: float
    y: float


@dataclass(frozen=True)
class _NoFit:
    """A shrunk no-fit polygon: closed rings of each part (shell first), and its bounds."""

    parts: tuple[tuple[FloatArray, ...], ...]
    bounds: FloatArray


class Positions:
    """Finds positions on one model; keeps the shrunk no-fit polygons of shape pairs."""

    def __init__(self, model: Model, table: NoFitTable) -> None:
        self.model = model
        self.table = table
        self._shrunk: dict[tuple[int, int], _NoFit] = {}
        self._fixed = [Placed(o.shape, o.x, o.y) for o in model.obstacles]
        self._free_regions: dict[Choice, Polygon] = {}
        self._flawed: dict[Choice, Polygon] = {}

    def best(
        self, choice: Choice, placed: list[Placed], x_limit: float, score: Score
    ) -> tuple[float, float, float] | None:
        """Return (score, x, y) of the best feasible position, or None.

        `x_limit` is the greatest reference x considered, mm. The model's obstacles are avoided too.
        """
        low_x = choice.x_from if choice.x_fixed is None else choice.x_fixed
        high_x = x_limit if choice.x_fixed is None else choice.x_fixed
        if high_x < low_x - FIT_MM:
            return None
        high_x = max(low_x, high_x)
        # On a bounded piece of cloth the range of a free shape is always the same; the outside is
        # many obstacles, so what they leave is worked out once.
        free = _is_free(choice, low_x, high_x) and bool(self._fixed)
        kept = free and self.model.max_length is not None
        near = [
            (p, self._pair(p.shape, choice.shape))
            for p in (placed if free else [*self._fixed, *placed])
            if self._touches(p, choice, low_x, high_x)
        ]
        if kept:
            candidates = iter([_corners(self._free_region(choice, low_x, high_x), near)])
        elif free:
            within = box(low_x, choice.y_from, high_x, choice.y_to)
            candidates = iter([_corners(within.difference(self._around_flaws(choice)), near)])
        else:
            candidates = self._candidates(choice, near, low_x, high_x)
        best: tuple[float, float, float] | None = None
        for xs, ys in candidates:
            if not len(xs):
                continue
            scores = score(xs, ys)
            k = int(np.argmin(scores))
            if best is None or scores[k] < best[0]:
                best = (float(scores[k]), float(xs[k]), float(ys[k]))
                if choice.pitch_x:
                    break
        return best

    def _around_flaws(self, choice: Choice) -> Polygon:
        """Positions that the flaws of a strip forbid, worked out once: there may be many."""
        found = self._flawed.get(choice)
        if found is None:
            around = [(p, self._pair(p.shape, choice.shape)) for p in self._fixed]
            found = shapely.union_all(_moved(around))
            self._flawed[choice] = found
        return found

    def _free_region(self, choice: Choice, low_x: float, high_x: float) -> Polygon:
        """Positions in a bounded piece of cloth where nothing else lies yet."""
        found = self._free_regions.get(choice)
        if found is None:
            region = box(low_x, choice.y_from, high_x, choice.y_to)
            around = [(p, self._pair(p.shape, choice.shape)) for p in self._fixed]
            found = region.difference(shapely.union_all(_moved(around)))
            self._free_regions[choice] = found
        return found

    def _pair(self, a: int, b: int) -> _NoFit:
        """Shrunk no-fit polygon of shapes a and b."""
        found = self._shrunk.get((a, b))
        if found is None:
            rings = self.table.rings(self.model.shapes[a], self.model.shapes[b])
            polygon = Polygon(rings[0], rings[1:]).buffer(-SHRINK_MM, join_style="mitre")
            parts = [
                tuple(shapely.get_coordinates(ring) for ring in (part.exterior, *part.interiors))
                for part in getattr(polygon, "geoms", [polygon])
            ]
            found = _NoFit(tuple(parts), np.array(polygon.bounds))
            self._shrunk[(a, b)] = found
        return found

    def _touches(self, p: Placed, choice: Choice, low_x: float, high_x: float) -> bool:
        bounds = self._pair(p.shape, choice.shape).bounds
        return bool(
            p.x + bounds[0] < high_x + 1.0
            and p.x + bounds[2] > low_x - 1.0
            and p.y + bounds[1] < choice.y_to + 1.0
            and p.y + bounds[3] > choice.y_from - 1.0
        )

    def _candidates(
        self,
        choice: Choice,
        near: list[tuple[Placed, _NoFit]],
        low_x: float,
        high_x: float,
    ) -> Iterator[tuple[FloatArray, FloatArray]]:
        locked_x = high_x - low_x <= FIT_MM
        locked_y = choice.y_to - choice.y_from <= FIT_MM
        if choice.pitch_x > 0.0 and not locked_x:
            for x in lattice_steps(low_x, high_x, choice.pitch_x, choice.phase_x):
                yield _on_upright(choice, near, float(x))
        elif choice.pitch_y > 0.0 and not locked_y:
            for y in lattice_steps(choice.y_from, choice.y_to, choice.pitch_y, choice.phase_y):
                xs = _free_starts(near, 1, float(y), low_x, high_x)
                yield xs, np.full(len(xs), y)
        elif locked_y:
            xs = _free_starts(near, 1, choice.y_from, low_x, high_x)
            yield xs, np.full(len(xs), choice.y_from)
        elif locked_x:
            yield _on_upright(choice, near, low_x)
        else:
            yield _corners(box(low_x, choice.y_from, high_x, choice.y_to), near)


def _is_free(choice: Choice, low_x: float, high_x: float) -> bool:
    """Whether a shape may move both ways, and is on no lattice."""
    tied = choice.pitch_x > 0.0 or choice.pitch_y > 0.0
    return not tied and high_x - low_x > FIT_MM and choice.y_to - choice.y_from > FIT_MM


def _on_upright(
    choice: Choice, near: list[tuple[Placed, _NoFit]], x: float
) -> tuple[FloatArray, FloatArray]:
    """Positions on one line across the lay."""
    ys = _free_starts(near, 0, x, choice.y_from, choice.y_to)
    if choice.pitch_y > 0.0 and choice.y_to > choice.y_from:
        steps = lattice_steps(choice.y_from, choice.y_to, choice.pitch_y, choice.phase_y)
        blocks = _blocks(near, 0, x)
        ys = np.array([y for y in steps if not any(a < y < b for a, b in blocks)])
    return np.full(len(ys), x), ys


def _corners(region: Polygon, near: list[tuple[Placed, _NoFit]]) -> tuple[FloatArray, FloatArray]:
    """Corners of what placed shapes leave of a region."""
    if near:
        region = region.difference(shapely.union_all(_moved(near)))
    points = shapely.get_coordinates(region)
    return points[:, 0], points[:, 1]


def _moved(near: list[tuple[Placed, _NoFit]]) -> list[Polygon]:
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


def _free_starts(
    near: list[tuple[Placed, _NoFit]],
    axis: int,
    value: float,
    low: float,
    high: float,
) -> FloatArray:
    """Both ends of the free stretches of a line; `axis` is the coordinate that is fixed."""
    at = low
    ends: list[float] = []
    for start, end in sorted(_blocks(near, axis, value)):
        if start > high:
            break
        if start >= at:
            ends += [at, start]
        at = max(at, end)
    if at <= high:
        ends += [at, high]
    return np.array(ends)


def _blocks(
    near: list[tuple[Placed, _NoFit]], axis: int, value: float
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
