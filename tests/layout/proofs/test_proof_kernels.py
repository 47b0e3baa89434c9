"""Kernels of the search through places: HiGHS and shapely say the same, as do their plain twins."""

from __future__ import annotations

import math
from typing import Any

import highspy
import numpy as np
import pytest
import shapely
from shapely.geometry import Point, Polygon

from fabrics.spread import Fold, make_spread
from layout.kernels.branches.arrays import Box, Corner, Lines
from layout.kernels.branches.outside import MOST_SIDES, depth_within, sides_around
from layout.kernels.branches.vertices import BEYOND, IMPOSSIBLE, SOLVED, climb, invert, locate
from layout.linear.highs import quiet_solver
from layout.problem import Item, Pose, Section, Slot
from layout.proofs.placed import placed_bound
from layout.strip_problem import StripProblem
from pieces.geometry_types import FloatArray

UNITS = 4
N = 2 * UNITS + 1
SORTED = 1e-3 * (1.0 + np.arange(N) / N)
"""Cost of each unknown but the length: large enough for one best corner."""


NO_LINES = Lines(np.zeros(0, dtype=int), np.zeros(0, dtype=int), np.zeros((0, 2)), np.zeros(0))


def plain(kernel: Any) -> Any:
    """The Python function that a kernel was made of; itself where compilation is off."""
    return getattr(kernel, "py_func", kernel)


class Programme:
    """Boxes of four units and lines between them, at random."""

    def __init__(self, seed: int) -> None:
        rng = np.random.default_rng(seed)
        self.count = int(rng.integers(3, 12))
        self.cost = SORTED.copy()
        self.cost[-1] = 1.0
        low, high = np.zeros(N), np.full(N, 1e300)
        low[:-1] = rng.uniform(0.0, 50.0, N - 1)
        high[1:-1:2] = low[1:-1:2] + rng.uniform(0.0, 100.0, UNITS)
        self.box = Box(low, high, rng.uniform(10.0, 40.0, UNITS))
        pairs = [rng.choice(UNITS, 2, replace=False) for _ in range(self.count)]
        turn = rng.uniform(0.0, 2.0 * math.pi, self.count)
        self.lines = Lines(
            np.array([pair[0] for pair in pairs]), np.array([pair[1] for pair in pairs]),
            np.stack([np.cos(turn), np.sin(turn)], 1), rng.uniform(-20.0, 60.0, self.count),
        )  # fmt: skip

    def corner(self) -> Corner:
        active = np.array([*range(N - 1), 2 * N])
        return Corner(active, np.zeros((N, N)), np.zeros(N), np.zeros(N))

    def climbed(self, twin: Any, limit: float = 1e9) -> tuple[int, Corner]:
        corner = self.corner()
        assert twin(invert)(N, self.cost, self.lines, corner, np.zeros((N, N)))
        twin(locate)(N, self.box, self.lines, corner)
        ended = twin(climb)(
            N, self.count, limit, self.cost, self.box, self.lines, corner, np.zeros(N)
        )
        return ended, corner

    def by_highs(self) -> float | None:
        """Least value, None if there is none."""
        rows = np.zeros((self.count + UNITS, N))
        for k in range(self.count):
            i, j = 2 * self.lines.first[k], 2 * self.lines.second[k]
            rows[k, i : i + 2] -= self.lines.normal[k]
            rows[k, j : j + 2] += self.lines.normal[k]
        for unit in range(UNITS):
            rows[self.count + unit, [2 * unit, N - 1]] = -1.0, 1.0
        solver = quiet_solver()
        for k in range(N):
            solver.addVar(float(self.box.low[k]), min(float(self.box.high[k]), highspy.kHighsInf))
            solver.changeColCost(k, float(self.cost[k]))
        for row, least in zip(rows, [*self.lines.least, *self.box.reach], strict=True):
            used = np.flatnonzero(row).astype(np.int32)
            solver.addRow(float(least), highspy.kHighsInf, len(used), used, row[used])
        solver.run()
        if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        return float(solver.getInfo().objective_function_value)


@pytest.mark.parametrize("twin", [lambda kernel: kernel, plain], ids=["compiled", "plain"])
def test_corners_are_climbed_to_what_highs_finds(twin: Any) -> None:
    """Sixty programmes at random, some of them impossible; HiGHS is a solver by others."""
    ends = []
    for seed in range(60):
        programme = Programme(seed)
        best = programme.by_highs()
        ended, corner = programme.climbed(twin)
        ends.append(ended)
        if best is None:
            assert ended == IMPOSSIBLE, seed
            continue
        assert ended == SOLVED, seed
        assert programme.cost @ corner.at == pytest.approx(best, abs=1e-6), seed
        # What cannot be below a limit is seen to be beyond it.
        assert programme.climbed(twin, best - 0.01)[0] == BEYOND, seed
        assert programme.climbed(twin, best + 0.01)[0] == SOLVED, seed
    assert 5 < ends.count(IMPOSSIBLE) < 40


def test_a_corner_is_found_again_from_its_constraints() -> None:
    """Inverse, duals and place, from the active constraints alone."""
    for seed in range(20):
        programme = Programme(seed)
        _, corner = programme.climbed(lambda kernel: kernel)
        again = Corner(corner.active.copy(), np.ones((N, N)), np.ones(N), np.ones(N))
        assert invert(N, programme.cost, programme.lines, again, np.zeros((N, N)))
        locate(N, programme.box, programme.lines, again)
        assert again.at == pytest.approx(corner.at, abs=1e-6)
        assert again.dual == pytest.approx(corner.dual, abs=1e-6)


def star(seed: int) -> Polygon:
    """A ring with many hollows around the origin, sometimes with a hole."""
    rng = np.random.default_rng(seed)
    turn = np.sort(rng.uniform(0.0, 2.0 * math.pi, 14))
    far = rng.uniform(30.0, 100.0, 14)
    shell = np.stack([far * np.cos(turn), far * np.sin(turn)], 1)
    ring = Polygon(shell).buffer(0.0)
    return ring.difference(Point(0.0, 20.0).buffer(8.0, quad_segs=3)) if seed % 2 else ring


def edges_of(region: Polygon) -> FloatArray:
    rings = [np.array(ring.coords) for part in shapely.get_parts(region)
             for ring in (part.exterior, *part.interiors)]  # fmt: skip
    return np.vstack([np.hstack([ring[:-1], ring[1:]]) for ring in rings])


@pytest.mark.parametrize("twin", [lambda kernel: kernel, plain], ids=["compiled", "plain"])
def test_depth_is_the_distance_to_the_edge(twin: Any) -> None:
    """As shapely measures it; nothing outside and within holes."""
    for seed in range(6):
        region = star(seed)
        edges = edges_of(region)
        for x, y in np.random.default_rng(seed).uniform(-100.0, 100.0, (40, 2)).tolist():
            inside = region.contains(Point(x, y))
            expected = region.boundary.distance(Point(x, y)) if inside else 0.0
            found = twin(depth_within)(x, y, 0, len(edges), edges)
            assert found == pytest.approx(expected, abs=1e-9), (seed, x, y)


@pytest.mark.parametrize("twin", [lambda kernel: kernel, plain], ids=["compiled", "plain"])
def test_what_is_behind_no_side_is_forbidden(twin: Any) -> None:
    """The convex part lies within the region, but for what no place can reach."""
    tried = 0
    for seed in range(30):
        region = star(seed)
        edges = edges_of(region)
        rng = np.random.default_rng(seed)
        x, y = rng.uniform(-60.0, 60.0, 2).tolist()
        if not region.contains(Point(x, y)):
            continue
        reach = np.array([x - 70.0, x + 50.0, y - 40.0, y + 60.0])
        normal, least = np.zeros((MOST_SIDES, 2)), np.zeros(MOST_SIDES)
        room = np.zeros((len(edges), 4))
        sides = twin(sides_around)(
            x, y, 0, len(edges), edges, reach, 0, 1, NO_LINES, 0, room, normal, least
        )
        assert sides > 0
        assert (normal[:sides] @ [x, y] < least[:sides]).all()
        places = rng.uniform(reach[::2], reach[1::2], (400, 2))
        within = places[(places @ normal[:sides].T < least[:sides] - 1e-9).all(axis=1)]
        assert shapely.contains_xy(region, within).all()
        tried += len(within) > 20
    assert tried > 10


def test_a_region_that_is_all_that_can_be_reached_has_no_sides() -> None:
    """Then there is no place at all."""
    edges = edges_of(shapely.box(-10.0, -10.0, 10.0, 10.0))
    normal, least = np.zeros((MOST_SIDES, 2)), np.zeros(MOST_SIDES)
    reach = np.array([-9.0, 9.0, -9.0, 9.0])
    sides = sides_around(
        1.0, 2.0, 0, 4, edges, reach, 0, 1, NO_LINES, 0, np.zeros((4, 4)), normal, least
    )
    assert sides == 0


@pytest.mark.parametrize("twin", [lambda kernel: kernel, plain], ids=["compiled", "plain"])
def test_a_place_on_one_line_alone_is_stopped_at_corners_on_it(twin: Any) -> None:
    """No edge of a diamond crosses its diagonal, and yet the region ends there."""
    edges = edges_of(Polygon([(10.0, 0.0), (0.0, 10.0), (-10.0, 0.0), (0.0, -10.0)]))
    normal, least = np.zeros((MOST_SIDES, 2)), np.zeros(MOST_SIDES)
    for reach in ([0.0, 0.0, -50.0, 50.0], [-50.0, 50.0, 0.0, 0.0]):
        place = (0.0, 1.0) if reach[0] == 0.0 else (1.0, 0.0)
        sides = twin(sides_around)(
            *place, 0, 4, edges, np.array(reach), 0, 1, NO_LINES, 0, np.zeros((4, 4)), normal, least
        )
        beyond = 50.0 * np.array(place)
        assert sides > 0
        assert (normal[:sides] @ beyond >= least[:sides]).any()


def test_a_proof_of_two_wedges_and_a_bar() -> None:
    """Every kernel at work: a wedge on a wedge, 600 mm together, and a bar of 200 behind them."""
    wedge = ((0.0, 0.0), (600.0, 0.0), (0.0, 300.0))
    bar = ((0.0, 0.0), (200.0, 0.0), (200.0, 300.0), (0.0, 300.0))
    turns = (Slot(0, 0, (0,), 0, (Pose(0.0), Pose(180.0))),)
    items = (Item("wedge", (wedge,), 2, turns), Item("bar", (bar,), 1, turns))
    spread = make_spread(Fold.OPEN, 300.0)
    bound = placed_bound(StripProblem(items, (Section("one", spread),), gap=0.0), 2000.0, 20_000)
    assert bound.length == pytest.approx(800.0, abs=2.0)
