"""Kernels and their plain Python twins agree, and agree with shapely."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from layout.geometry.nofit import NoFitTable
from layout.kernels.arrays import WITHOUT_RELIEFS, Least, Tunables, Work
from layout.kernels.depth import depth, way_out
from layout.kernels.grid import build_grids, distance_squared
from layout.kernels.heights import PHASES
from layout.kernels.moves import descend, put, relocate, touch
from layout.kernels.overlap import gather, overlap, overlap_near
from layout.kernels.ranges import position_range, random, snapped
from layout.kernels.relief import lowest, raise_ground
from layout.kernels.rounds import SOLVED, overlaps, separate
from layout.search.model import strip_model
from layout.search.pack import Packed, pack, units_of
from layout.search.state import State
from tests.layout.examples import EXAMPLES


@pytest.fixture(scope="module")
def packed() -> Packed:
    """The no-fit polygons of a half and a wedge, in all their poses."""
    problem = EXAMPLES["lengthwise"]()
    model = strip_model(problem, 0, {0: 1, 1: 1})
    return pack(model, NoFitTable(model.bases, model.gap))


def plain(kernel: Any) -> Any:
    """The Python function that a kernel was made of; itself where compilation is off."""
    return getattr(kernel, "py_func", kernel)


@cache
def crowded() -> Packed:
    """A half and three wedges, packed once: no kernel changes this."""
    model = strip_model(EXAMPLES["lengthwise"](), 0, {0: 1, 1: 3})
    return pack(model, NoFitTable(model.bases, model.gap))


class Crowd:
    """A half and three wedges laid on each other, made anew for each call: kernels change it."""

    def __init__(self) -> None:
        self.packed = crowded()
        self.movable = self.count = len(self.packed.model.units)
        choice = np.zeros(self.count, dtype=np.int32)
        near = 10.0 * np.arange(self.count, dtype=np.float64) + 40.0
        self.units = units_of(self.packed, State(choice, near, near + 5.0))
        self.ways, self.nofits = self.packed.ways, self.packed.nofits
        for i in range(self.movable):
            plain(put)(
                i, self.units.way[i], self.units.x[i], self.units.y[i], self.units, self.ways
            )
        self.seed = np.array([4711], np.uint64)
        self.done = np.zeros(1, np.int64)
        self.scratch = np.zeros((8, 16))
        self.near = np.zeros(len(self.units.x), np.int32)
        self.matrix = np.zeros((self.count, self.count))
        self.ground = np.zeros(400, np.float32)
        self.found = np.zeros((6, 3))

    def overlap(self, kernel: Any, i: int, limit: float = 1e300) -> float:
        """Weighted overlap of a unit where it lies."""
        units, way = self.units, self.units.way[i]
        return float(
            kernel(
                i, units.shape[i], units.x[i], units.y[i], self.ways.extent[way], limit,
                self.count, units, self.nofits, self.done,
            )
        )  # fmt: skip

    def work(self, lowest: int = 6) -> Work:
        """What a search keeps beside its units."""
        return Work(
            self.seed, self.done, np.array([1e300, 0.0]), self.matrix,
            np.zeros(self.movable, np.int32), self.scratch, self.near, self.ground,
            self.found[:lowest],
        )  # fmt: skip

    def state(self) -> list[Any]:
        """All that a kernel may have changed."""
        arrays = (*self.units, self.seed, self.done, self.matrix, self.ground, self.found)
        return [np.asarray(array).tolist() for array in arrays]


def agree(call: Callable[[Crowd, Any], Any], kernel: Any) -> tuple[Any, Crowd]:
    """Call a kernel and its twin on equal crowds: the same result, and the same left behind."""
    one, other = Crowd(), Crowd()
    with np.errstate(over="ignore"):
        found, twin = call(one, kernel), call(other, plain(kernel))
    if found is not None:
        assert found == pytest.approx(twin, rel=1e-12, abs=1e-12)
    assert one.state() == other.state()
    return found, one


def polygon(packed: Packed, q: int) -> Polygon:
    n = packed.nofits
    edges = n.edges[n.first[q] : n.first[q + 1]]
    return Polygon(edges[:, :2])


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 8), st.floats(-0.2, 1.2), st.floats(-0.2, 1.2))
def test_depth_is_the_distance_to_the_boundary(packed: Packed, q: int, u: float, v: float) -> None:
    """Inside, the distance to the no-fit polygon's edge plus slack; outside nothing."""
    n = packed.nofits
    q %= len(n.bounds)
    b = n.bounds[q]
    x, y = b[0] + u * (b[2] - b[0]), b[1] + v * (b[3] - b[1])
    args = (q, x, y, n.bounds, n.inverse, n.cells, n.cell, n.candidates, n.edges, n.slack)
    found = depth(*args, 1e300)
    assert found == pytest.approx(plain(depth)(*args, 1e300), abs=1e-12)
    # A caller for whom less would be enough gets that much, and never more than there is.
    for enough in (0.2 * found, 0.9 * found):
        least = depth(*args, enough)
        assert least == pytest.approx(plain(depth)(*args, enough), abs=1e-12)
        assert least == found or enough <= least <= found
    shape, place = polygon(packed, q), shapely.Point(x, y)
    distance = shape.exterior.distance(place)
    if shape.contains(place):
        assert found == pytest.approx(distance + n.slack, abs=1e-9)
    else:
        assert found == pytest.approx(max(0.0, n.slack - distance), abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 8), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_the_way_out_leads_just_out(packed: Packed, q: int, u: float, v: float) -> None:
    """One step along it leaves the polygon, by hardly more than is needed."""
    n = packed.nofits
    q %= len(n.bounds)
    b = n.bounds[q]
    x, y = b[0] + u * (b[2] - b[0]), b[1] + v * (b[3] - b[1])
    out, twin = np.zeros(16), np.zeros(16)
    args = (q, x, y, n.bounds, n.inverse, n.cells, n.cell, n.candidates, n.edges, n.slack)
    deep = way_out(*args, out)
    assert deep == pytest.approx(plain(way_out)(*args, twin), abs=1e-12)
    assert np.allclose(out, twin)
    if deep > 0.0:
        assert math.hypot(out[0], out[1]) == pytest.approx(deep, rel=1e-3, abs=1e-6)
        after = depth(q, x + out[0], y + out[1], *args[3:], 1e300)
        assert after <= n.slack * 0.01 + 1e-9


def test_grids_agree_with_their_twin(packed: Packed) -> None:
    """The compiled classification of cells is the plain one."""
    n = packed.nofits
    few = n.first[:3]
    args = (n.edges[: few[-1]].copy(), few.copy(), n.bounds[:2].copy(), 8, n.slack)
    for one, other in zip(build_grids(*args), plain(build_grids)(*args), strict=True):
        assert (one == other).all()


def test_random_numbers_agree_with_their_twin_and_spread() -> None:
    """The same sequence, evenly in [0, 1)."""
    seed, twin = np.array([12345], np.uint64), np.array([12345], np.uint64)
    with np.errstate(over="ignore"):
        drawn = [random(seed) for _ in range(2000)]
        assert drawn[:50] == [float(plain(random)(twin)) for _ in range(50)]
    assert min(drawn) >= 0.0
    assert max(drawn) < 1.0
    assert abs(np.mean(drawn) - 0.5) < 0.03


@given(st.floats(-500, 500), st.floats(1.0, 90.0), st.floats(0.0, 90.0))
def test_snapping_stays_in_range_and_on_the_lattice(
    value: float, pitch: float, phase: float
) -> None:
    """A coordinate on a lattice within the range of whole steps."""
    low, high = phase - 3 * pitch, phase + 4 * pitch
    got = snapped(value, low, high, pitch, phase)
    assert got == pytest.approx(plain(snapped)(value, low, high, pitch, phase))
    assert low - 1e-6 <= got <= high + 1e-6
    assert (got - phase) / pitch == pytest.approx(round((got - phase) / pitch), abs=1e-6)


def test_overlap_agrees_with_its_twin_and_gives_up_early() -> None:
    """All neighbours count; beyond the limit it says no more than that it is beyond."""
    found, crowd = agree(lambda c, k: c.overlap(k, 1), overlap)
    assert found > 0.0
    assert crowd.done[0] == 1
    least, _ = agree(lambda c, k: c.overlap(k, 1, 0.1 * found), overlap)
    assert 0.1 * found <= least <= found


def test_the_matrix_of_overlaps_agrees_with_its_twin() -> None:
    """Symmetric, nothing on its diagonal, and its upper half adds up to the total."""
    total, crowd = agree(lambda c, k: k(c.matrix, c.count, c.movable, c.units, c.nofits), overlaps)
    assert total > 0.0
    assert (crowd.matrix == crowd.matrix.T).all()
    assert np.triu(crowd.matrix).sum() == pytest.approx(total)
    assert not np.diag(crowd.matrix).any()


def test_neighbours_of_a_unit_are_those_that_could_overlap_it() -> None:
    """Overlap with those listed is the overlap with all, anywhere within the margin."""
    crowd = Crowd()
    way = crowd.units.way[1]
    shape, extent = crowd.ways.shape[way], crowd.ways.extent[way]
    x, y = float(crowd.units.x[1]), float(crowd.units.y[1])

    def listed(c: Crowd, k: Any) -> int:
        return int(k(1, x, y, extent, 100.0, c.near, c.count, c.units))

    count, crowd = agree(listed, gather)
    assert 0 < count < crowd.count
    for off in (-100.0, 0.0, 60.0, 100.0):
        place = (1, shape, x + off, y - off, extent, 1e300)
        rest = (crowd.units, crowd.nofits, crowd.done)
        assert overlap_near(*place, crowd.near, count, *rest) == overlap(*place, crowd.count, *rest)


def test_descent_and_contact_agree_with_their_twins_and_never_worsen() -> None:
    """From where a unit lies to where it overlaps less."""

    def slide(c: Crowd, k: Any) -> Any:
        way, value = c.units.way[1], c.overlap(overlap, 1)
        where = position_range(way, 900.0, c.ways)
        return k(
            1, way, c.units.x[1], c.units.y[1], value, 20.0, 1.0, *where, c.seed, c.near, c.units,
            c.ways, c.nofits, c.count, c.done,
        )  # fmt: skip

    def push(c: Crowd, k: Any) -> Any:
        way, value = c.units.way[1], c.overlap(overlap, 1)
        where = position_range(way, 900.0, c.ways)
        return k(
            1, way, c.units.x[1], c.units.y[1], value, 4, *where, c.scratch, c.near, c.units,
            c.ways, c.nofits, c.count, c.done,
        )  # fmt: skip

    before = Crowd().overlap(overlap, 1)
    for call, kernel in ((slide, descend), (push, touch)):
        (_, _, value), _ = agree(call, kernel)
        assert 0.0 <= value < before


def test_contact_moves_come_to_the_same_with_any_list_of_neighbours(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Judged among all, among those a short move away, and among those a long one away."""

    def places() -> list[Any]:
        c = Crowd()
        way, value = c.units.way[1], c.overlap(overlap, 1)
        where = position_range(way, 900.0, c.ways)
        found = plain(touch)(
            1, way, c.units.x[1], c.units.y[1], value, 4, *where, c.scratch, c.near, c.units,
            c.ways, c.nofits, c.count, c.done,
        )  # fmt: skip
        return [*found, int(c.done[0])]

    usual = places()
    for share in (0.0, 0.02, 10.0):
        monkeypatch.setattr("layout.kernels.moves.NEAR_SHARE", share)
        assert places() == usual


@pytest.mark.parametrize(("tunables", "lowest"), [(Tunables(), 6), (WITHOUT_RELIEFS, 0)])
def test_relocating_agrees_with_its_twin_and_lays_the_unit_down(
    tunables: Tunables, lowest: int
) -> None:
    """The unit overlaps less after it, and its box goes with it; with reliefs and without."""

    def move(c: Crowd, k: Any) -> None:
        k(1, 900.0, tunables, c.work(lowest), c.units, c.ways, c.nofits, c.count)

    _, crowd = agree(move, relocate)
    assert crowd.overlap(overlap, 1) < Crowd().overlap(overlap, 1)
    way = crowd.units.way[1]
    assert crowd.units.box[0, 1] == crowd.units.x[1] + crowd.ways.extent[way, 0]


def test_a_relief_is_the_weighted_overlap_all_over() -> None:
    """At each place of the lattice what is judged exactly, but for where units are rounded to."""
    rows, columns, x, y = 10, 30, 20.0, 15.0

    def survey(c: Crowd, k: Any) -> int:
        shape = c.units.shape[1]
        return int(k(1, shape, x, y, rows, columns, c.ground, c.count, c.units, c.nofits))

    added, crowd = agree(survey, raise_ground)
    assert 0 < added <= 3 * rows * columns
    heavy = Crowd()
    heavy.units.weight[:] *= 1e60
    survey(heavy, raise_ground)
    assert heavy.ground == pytest.approx(crowd.ground, rel=1e-6)
    step = crowd.nofits.reliefs.step
    # A place moves by half a phase each way, and a depth changes by no more than the place does.
    others = [j for j in range(crowd.count) if j != 1]
    off = step / PHASES / math.sqrt(2.0) * sum(crowd.units.weight[1, j] for j in others)
    place = crowd.ways.extent[crowd.units.way[1]], 1e300, crowd.count, crowd.units, crowd.nofits
    exact = np.array(
        [
            [
                overlap(1, crowd.units.shape[1], x + c * step, y + r * step, *place, crowd.done)
                for c in range(columns)
            ]
            for r in range(rows)
        ]
    )
    greatest = max(crowd.units.weight[1, j] for j in others)
    seen = greatest * crowd.ground[: rows * columns].reshape(rows, columns)
    assert exact.max() > 3.0 * off
    assert np.abs(seen - exact).max() <= off + 1e-3
    assert np.abs(seen - exact).mean() <= 0.5 * off


def test_the_lowest_places_are_found_in_order() -> None:
    """Those without a lower neighbour; not more than there is room for."""
    ground = np.array([[5, 4, 5, 9], [3, 6, 2, 9], [5, 7, 5, 1]], np.float32)
    for most, expected in ((6, [1.0, 2.0, 3.0, 4.0]), (2, [1.0, 2.0])):
        for kernel in (lowest, plain(lowest)):
            found = np.zeros((most, 3))
            n = kernel(ground.ravel(), 3, 4, found)
            assert found[:n, 0].tolist() == expected
            assert [ground[int(r), int(c)] for _, r, c in found[:n]] == expected


def test_putting_down_and_the_range_of_a_way_agree_with_their_twins() -> None:
    """Position, shape and box of a unit; the range of its reference positions."""
    _, crowd = agree(lambda c, k: k(2, c.units.way[1], 7.0, 9.0, c.units, c.ways), put)
    assert (crowd.units.x[2], crowd.units.y[2]) == (7.0, 9.0)
    (low, high, _, _), _ = agree(lambda c, k: k(c.units.way[1], 900.0, c.ways), position_range)
    assert low <= high <= 900.0


@given(st.floats(-50, 50), st.floats(-50, 50))
def test_the_distance_of_an_edge_agrees_with_its_twin(px: float, py: float) -> None:
    """Of a point from the edge from (0, 0) to (30, 40)."""
    args = (px, py, 0.0, 0.0, 30.0, 40.0, 1.0 / 2500.0)
    found = distance_squared(*args)
    assert found == pytest.approx(plain(distance_squared)(*args))
    edge = shapely.LineString([(0.0, 0.0), (30.0, 40.0)])
    assert math.sqrt(found) == pytest.approx(edge.distance(shapely.Point(px, py)), abs=1e-9)


def test_rounds_of_the_search_agree_with_their_twin() -> None:
    """The same end, the same way there, and units that are apart."""

    def search(c: Crowd, k: Any) -> Any:
        least = Least(*(np.zeros_like(a[: c.movable]) for a in (c.units.way, c.units.x, c.units.y)))
        return k(
            200, 50, 900.0, 100_000, Tunables(), c.work(), least, c.count, c.movable, c.units,
            c.ways, c.nofits,
        )  # fmt: skip

    ended, crowd = agree(search, separate)
    assert ended == SOLVED
    assert plain(overlaps)(crowd.matrix, crowd.count, crowd.movable, crowd.units, crowd.nofits) == 0


def test_cache_survives_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    """A file where the folder should be: kernels are kept elsewhere, and work."""
    blocked = tmp_path / "not-a-folder"
    blocked.write_text("x")
    code = (
        "from layout.kernels.cache import kernel_folder\n"
        "from pieces.files.user_folders import user_cache_folder\n"
        "folder = kernel_folder()\n"
        "print(folder.is_dir(), user_cache_folder() in folder.parents)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "LAYWRIGHT_CACHE": str(blocked)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split() == ["True", "False"]
