"""The second goal, once no less cloth can be bought: a larger leftover, and like pieces together.

A leftover is kept free as a corner of the lay: everything beyond a place along it and beyond a
place across it, seen from the far end and from either side (so a strip along a selvage or a fold,
or one across the end, too). It is a fixed obstacle that is moved further in, while the pieces make
room (guided local search, as in the separation). Counted in evaluated positions.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from layout.geometry.nofit import NoFitTable, OrientedShape
from layout.problem import Pose
from layout.search.explore import Explorer
from layout.search.model import Model, Obstacle
from layout.search.pack import Packed, pack
from layout.search.state import State
from pieces.geometry_types import FloatArray

GROWTH = (0.4, 0.01)
"""Share by which the corner grows at the first try, and the least that is tried."""

TRY_SHARE = 0.04
"""Share of the work that one try may spend."""

SWAPS = 2
"""Separations of one try."""

GROW_SHARE = 0.4
"""Share of the work that each side of the lay gets; the rest brings like pieces together."""

LEAST_MM2 = 20_000.0
"""Area that a corner begins to grow from."""

CLOSER = 0.97
"""Like pieces come closer if the sum of their distances falls below this share."""


@dataclass(frozen=True)
class Lay:
    """The rectangle of lay that there is: length (mm) and usable range across."""

    length: float
    low: float
    high: float


@dataclass(frozen=True)
class _Corner:
    """A corner kept free: all beyond `x`, and above `y` (or below it)."""

    above: bool
    x: float
    y: float

    def area(self, lay: Lay) -> float:
        """Area inside the lay, mm2."""
        across = lay.high - self.y if self.above else self.y - lay.low
        return max(0.0, lay.length - self.x) * max(0.0, across)


Better = Callable[[State], bool]
"""Offered a state with a larger corner, or one as large with closer pieces; tells whether it is
kept."""


def search_second_goal(
    model: Model,
    state: State,
    lay: Lay,
    evaluations: int,
    seed: int,
    stop: Callable[[], bool],
    offer: Better,
) -> None:
    """Search for states of the same lay with more cloth left in one piece, and offer them.

    Parameters
    ----------
    model, state : Model, State
        A section and its valid state.
    lay : Lay
        Its length is what may be used up.
    evaluations, seed : int
        Work and seed.
    stop : callable
    offer : callable
    """
    sides = [
        _SideSearch(model, state, lay, int(GROW_SHARE * evaluations), seed, stop, offer, above)
        for above in (True, False)
    ]
    best = sides[0]
    for side in sides:
        if side.grow():
            best = side
    best.gather(int((1.0 - 2.0 * GROW_SHARE) * evaluations))


class _SideSearch:
    """The search for one side of the lay; `corner` and `state` are what was last kept."""

    def __init__(
        self,
        model: Model,
        state: State,
        lay: Lay,
        evaluations: int,
        seed: int,
        stop: Callable[[], bool],
        offer: Better,
        above: bool,
    ) -> None:
        self.lay = lay
        self.above = above
        self.state = state
        self.corner = _largest_corner(model, state, lay, above)
        self.obstacles = model.obstacles
        self.model, self.block = _with_block(model, lay, above)
        self.packed: Packed = pack(self.model, NoFitTable(self.model.bases, self.model.gap))
        self.rng = np.random.default_rng([seed, int(above)])
        self.evaluations = evaluations
        self.left = evaluations
        self.stop = stop
        self.offer = offer

    def grow(self) -> bool:
        """Grow the corner while it can be grown; return whether any state was kept."""
        growth, least = GROWTH
        corner, state = self.corner, self.state
        kept = False
        while growth > least and not self._over():
            for way in range(3):
                tried = self._grown(corner, growth, way)
                if self._over() or tried.area(self.lay) <= 1.001 * corner.area(self.lay):
                    continue
                found = self._fitted(tried, state)
                if found is None:
                    continue
                corner, state = tried, found
                if self.offer(state):
                    self.corner, self.state, kept = corner, state, True
                break
            else:
                growth *= 0.5
        return kept

    def gather(self, evaluations: int) -> None:
        """Exchange units of different kinds while like pieces come closer."""
        units = self.model.units
        if len(set(units)) < 2 or len(set(units)) == len(units):
            return
        self.left = evaluations
        while not self._over():
            self.left -= 1000
            i, j = (int(k) for k in self.rng.choice(len(units), 2, replace=False))
            if units[i] != units[j]:
                self._exchange(i, j)

    def _over(self) -> bool:
        return self.left <= 0 or self.stop()

    def _grown(self, corner: _Corner, growth: float, way: int) -> _Corner:
        """A corner with more area: longer, wider, or of another form."""
        lay, area = self.lay, (1.0 + growth) * max(corner.area(self.lay), LEAST_MM2)
        long = lay.length - corner.x
        if way == 0:
            long *= 1.0 + growth
        elif way == 2:
            long = lay.length * float(self.rng.choice([1.0, self.rng.uniform(0.1, 1.0)]))
        long = min(max(long, area / (lay.high - lay.low)), lay.length)
        wide = min(area / long, lay.high - lay.low)
        y = lay.high - wide if self.above else lay.low + wide
        return _Corner(self.above, lay.length - long, y)

    def _fitted(self, corner: _Corner, start: State) -> State | None:
        """Make room for a corner, or None."""
        obstacle = Obstacle(self.block, corner.x, corner.y)
        model = replace(self.model, obstacles=(*self.obstacles, obstacle))
        work = min(self.left, max(1, int(TRY_SHARE * self.evaluations)))
        explorer = Explorer(
            replace(self.packed, model=model), start, work, int(self.rng.integers(2**31)),
            self.stop, lambda _state, _extent: False,
        )  # fmt: skip
        found = explorer.fit(self.lay.length, SWAPS)
        self.left -= max(1000, int(explorer.done[0]))
        return found

    def _exchange(self, i: int, j: int) -> None:
        """Two units change places; kept if like pieces lie closer then."""
        middles = _middles(self.model, self.state)
        x, y = self.state.x.copy(), self.state.y.copy()
        shift = middles[j] - middles[i]
        x[[i, j]] += [shift[0], -shift[0]]
        y[[i, j]] += [shift[1], -shift[1]]
        swapped = State(self.state.choice.copy(), x, y)
        enough = CLOSER * _apart(self.model, self.state)
        if _apart(self.model, swapped) >= enough:
            return
        found = self._fitted(self.corner, swapped)
        if found is not None and _apart(self.model, found) < enough and self.offer(found):
            self.state = found


def _with_block(model: Model, lay: Lay, above: bool) -> tuple[Model, int]:
    """The model with one more shape: a block as large as the lay, its corner at the origin."""
    long, wide = lay.length, lay.high - lay.low
    low, high = (0.0, wide) if above else (-wide, 0.0)
    ring = np.array([[0.0, low], [long, low], [long, high], [0.0, high]])
    shape = OrientedShape(len(model.bases), Pose(0.0), ring)
    # It is packed as an obstacle, so that its no-fit polygons are made; its place comes later.
    here = Obstacle(len(model.shapes), lay.length, lay.high if above else lay.low)
    widened = replace(
        model,
        bases=(*model.bases, ring),
        shapes=(*model.shapes, shape),
        obstacles=(*model.obstacles, here),
    )
    return widened, len(model.shapes)


def _outlines(model: Model, state: State) -> list[Polygon]:
    shapes = [
        (model.kinds[kind][state.choice[unit]].shape, state.x[unit], state.y[unit])
        for unit, kind in enumerate(model.units)
    ]
    shapes += [(obstacle.shape, obstacle.x, obstacle.y) for obstacle in model.obstacles]
    return [Polygon(model.shapes[shape].points + np.array([x, y])) for shape, x, y in shapes]


def _largest_corner(model: Model, state: State, lay: Lay, above: bool) -> _Corner:
    """The largest free corner as the pieces lie."""
    outlines = _outlines(model, state)
    ends = sorted({0.0, *(float(v) for p in outlines for v in p.bounds[::2])})
    best = _Corner(above, lay.length, lay.high if above else lay.low)
    for end in ends:
        x = end + model.gap if end > 0.0 else 0.0
        if x >= lay.length:
            continue
        beyond = shapely.intersection(
            np.array(outlines), box(x - model.gap, lay.low - 1.0, lay.length + 1.0, lay.high + 1.0)
        )
        bounds = shapely.bounds(beyond[~shapely.is_empty(beyond)])
        if above:
            y = max([lay.low, *(bounds[:, 3] + model.gap)])
        else:
            y = min([lay.high, *(bounds[:, 1] - model.gap)])
        corner = _Corner(above, x, float(y))
        if corner.area(lay) > best.area(lay):
            best = corner
    return best


def _middles(model: Model, state: State) -> FloatArray:
    result = []
    for unit, kind in enumerate(model.units):
        points = model.shapes[model.kinds[kind][state.choice[unit]].shape].points
        middle = 0.5 * (points.min(axis=0) + points.max(axis=0))
        result.append(middle + np.array([state.x[unit], state.y[unit]]))
    return np.array(result)


def _apart(model: Model, state: State) -> float:
    """Sum of the distances (mm) of like pieces from the middle of their kind."""
    middles = _middles(model, state)
    total = 0.0
    kinds = np.array(model.units)
    for kind in set(model.units):
        of_kind = middles[kinds == kind]
        total += float(np.hypot(*(of_kind - of_kind.mean(axis=0)).T).sum())
    return total
