"""Leftovers: the true free cloth, necks and slivers gone, the largest rectangle inside."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from plans.folds.leftovers import find_leftovers, largest_rectangle


def brute(region: Polygon, step: float) -> float:
    """Area of the largest rectangle on a fine grid, by trying all."""
    x1, y1, x2, y2 = region.bounds
    xs, ys = np.arange(x1, x2 + 1e-9, step), np.arange(y1, y2 + 1e-9, step)
    best = 0.0
    for i, a in enumerate(xs):
        for b in xs[i + 1 :]:
            for j, c in enumerate(ys):
                for d in ys[j + 1 :][::-1]:
                    if (b - a) * (d - c) <= best:
                        break
                    if region.covers(box(a, c, b, d)):
                        best = (b - a) * (d - c)
                        break
    return float(best)


@settings(max_examples=15, deadline=None)
@given(st.lists(st.floats(0.3, 1.0), min_size=5, max_size=8))
def test_largest_rectangle_matches_brute_force(radii: list[float]) -> None:
    """Never outside, and at least what a search over a grid finds."""
    count = len(radii)
    region = Polygon(
        [
            (300 * r * np.cos(2 * np.pi * k / count), 300 * r * np.sin(2 * np.pi * k / count))
            for k, r in enumerate(radii)
        ]
    )
    if not region.is_valid:
        return
    found = box(*largest_rectangle(region))
    assert found.difference(region).area < 1e-3 * max(1.0, found.area)
    assert found.area >= 0.9 * brute(region, 60.0)


def test_necks_part_regions_and_slivers_go() -> None:
    """Two fields joined by a strip of 40 mm are two leftovers; a strip alone is none."""
    cloth = box(0, 0, 1000, 500)
    wall = box(400, 0, 600, 460)
    found = find_leftovers(cloth, [wall], gap=0.0)
    assert len(found) == 2
    assert all(leftover.area == pytest.approx(200_000, rel=0.02) for leftover in found)
    assert find_leftovers(cloth, [box(0, 0, 1000, 460)], gap=0.0) == ()


def test_cuts_are_kept_clear_of() -> None:
    """The gap around what was cut is no leftover."""
    (leftover,) = find_leftovers(box(0, 0, 600, 400), [box(0, 0, 300, 400)], gap=5.0)
    assert leftover.rectangle[0] >= 305.0 - 0.3
    assert leftover.area <= 295 * 400 + 1.0


@settings(max_examples=15, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0, 900), st.floats(0, 400), st.floats(50, 400), st.floats(50, 300)),
        max_size=4,
    )
)
def test_leftovers_lie_on_free_cloth(cuts: list[tuple[float, float, float, float]]) -> None:
    """Areas and containment recomputed with shapely."""
    cloth = box(0, 0, 1200, 600)
    copies = [box(x, y, x + a, y + b) for x, y, a, b in cuts]
    total = 0.0
    for leftover in find_leftovers(cloth, copies, gap=3.0):
        region = Polygon(leftover.outline, leftover.holes)
        assert region.area == pytest.approx(leftover.area, rel=1e-6)
        assert region.difference(cloth).area < 1.0
        assert all(region.intersection(copy).area < 1.0 for copy in copies)
        assert box(*leftover.rectangle).difference(region).area < 1.0
        total += region.area
    assert total <= cloth.area


def test_a_long_tail_does_not_hide_a_square_that_is_worth_keeping() -> None:
    """The largest rectangle is too narrow, another of the same region is not."""
    region = box(0.0, 0.0, 1079.0, 148.0).union(box(0.0, 0.0, 320.0, 300.0))
    (left,) = find_leftovers(region, [], 3.0)
    # Its corners are rounded by the opening that parts necks.
    assert left.rectangle == pytest.approx((0.0, 0.0, 320.0, 300.0), abs=16.0)
    assert find_leftovers(region.difference(box(0.0, 0.0, 320.0, 160.0)), [], 3.0) == ()
