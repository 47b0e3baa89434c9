"""Kernels and their plain Python twins agree, and agree with shapely."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from layout.geometry.nofit import NoFitTable
from layout.kernels.depth import depth, way_out
from layout.kernels.grid import build_grids
from layout.kernels.moves import random, snapped
from layout.search.model import strip_model
from layout.search.pack import Packed, pack
from tests.layout.examples import EXAMPLES


@pytest.fixture(scope="module")
def packed() -> Packed:
    """The no-fit polygons of a half and a wedge, in all their poses."""
    problem = EXAMPLES["lengthwise"]()
    model = strip_model(problem, 0, {0: 1, 1: 1})
    return pack(model, NoFitTable(model.bases, model.gap))


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
    assert found == pytest.approx(depth.py_func(*args, 1e300), abs=1e-12)
    # A caller for whom less would be enough gets that much, and never more than there is.
    for enough in (0.2 * found, 0.9 * found):
        least = depth(*args, enough)
        assert least == pytest.approx(depth.py_func(*args, enough), abs=1e-12)
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
    assert deep == pytest.approx(way_out.py_func(*args, twin), abs=1e-12)
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
    for one, other in zip(build_grids(*args), build_grids.py_func(*args), strict=True):
        assert (one == other).all()


def test_random_numbers_agree_with_their_twin_and_spread() -> None:
    """The same sequence, evenly in [0, 1)."""
    seed, twin = np.array([12345], np.uint64), np.array([12345], np.uint64)
    drawn = [random(seed) for _ in range(2000)]
    with np.errstate(over="ignore"):
        assert drawn[:50] == [float(random.py_func(twin)) for _ in range(50)]
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
    assert got == pytest.approx(snapped.py_func(value, low, high, pitch, phase))
    assert low - 1e-6 <= got <= high + 1e-6
    assert (got - phase) / pitch == pytest.approx(round((got - phase) / pitch), abs=1e-6)


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
