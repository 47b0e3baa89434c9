"""Intricate outlines: the search's outline has bounded corners, holds the true one, never crosses.

Work is bounded by counting corners and convex parts, not by a clock.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon

from layout.geometry.convex import convex_parts
from layout.geometry.simplify import (
    FEW_CORNERS,
    MANY_CORNERS,
    TOLERANCE_MM,
    coarseness,
    search_outline,
    simplify_outward,
)
from pieces.geometry_types import Ring


def ring_of(polygon: Polygon) -> Ring:
    assert polygon.is_valid
    coords = list(polygon.exterior.coords)[:-1]
    return tuple(
        (float(x), float(y)) for x, y in (coords if polygon.exterior.is_ccw else coords[::-1])
    )


def jagged(count: int = 2000, jag: float = 0.6, seed: int = 1) -> Ring:
    """A piece as a tracing gives it: every other point a little outside."""
    chance = random.Random(seed)
    points = []
    for k in range(count):
        a = 2.0 * math.pi * k / count
        r = 1.0 + 0.18 * math.cos(2 * a) + 0.08 * math.sin(3 * a)
        out = jag * (1 if k % 2 else -1) * chance.uniform(0.6, 1.0)
        points.append(((220 * r + out) * math.cos(a), (300 * r + out) * math.sin(a)))
    return ring_of(Polygon(points))


def rough() -> Ring:
    return jagged(2000, 3.0)


def comb() -> Ring:
    """Two hundred teeth, 60 mm deep."""
    points = [(0.0, 0.0), (800.0, 0.0)]
    for k in range(200, 0, -1):
        points += [
            (4.0 * k, 80.0),
            (4.0 * k - 2.0, 80.0),
            (4.0 * k - 2.0, 20.0),
            (4.0 * k - 4.0, 20.0),
        ]
    return ring_of(Polygon(points))


def spiral() -> Ring:
    """A band wound up five times, its turns 6 mm apart."""
    t = np.linspace(4.0, 4.0 + 10.0 * math.pi, 900)
    r = 8.0 * t
    return ring_of(
        LineString(np.column_stack([r * np.cos(t), r * np.sin(t)])).buffer(22.0, quad_segs=2)
    )


def needles() -> Ring:
    """A star of 150 long points."""
    t = 2.0 * math.pi * np.arange(300) / 300
    r = np.where(np.arange(300) % 2, 60.0, 300.0)
    return ring_of(Polygon(np.column_stack([r * np.cos(t), r * np.sin(t)])))


def zip_teeth() -> Ring:
    """A slit whose two edges interlock, so that filling one side may meet the other."""
    teeth = [(5.0 * k, 100.0 + (4.0 if k % 2 else -4.0)) for k in range(1, 100)]
    lower = [(x, y - 1.5) for x, y in teeth]
    upper = [(x, y + 1.5) for x, y in teeth[::-1]]
    return ring_of(
        Polygon(
            [
                (-100, 0),
                (600, 0),
                (600, 60),
                *lower[::-1],
                *upper[::-1],
                (600, 140),
                (600, 200),
                (-100, 200),
            ]
        )
    )


SHAPES = [jagged, rough, comb, spiral, needles, zip_teeth]


@pytest.mark.parametrize("shape", SHAPES)
def test_corners_are_few_and_all_outward(shape: Callable[[], Ring]) -> None:
    """Bounded work; sound; nothing of the true outline is lost."""
    ring = shape()
    outer, true = search_outline(ring), Polygon(ring)
    whole = Polygon(outer)
    assert len(outer) <= MANY_CORNERS
    assert len(convex_parts(outer)) <= FEW_CORNERS
    assert whole.is_valid
    assert whole.exterior.is_ccw
    assert true.difference(whole).area <= 1e-9 * true.area


@pytest.mark.parametrize("shape", SHAPES)
def test_what_it_costs_is_told(shape: Callable[[], Ring]) -> None:
    """The area added and the greatest distance are those that can be measured."""
    ring = shape()
    cost = coarseness(ring)
    assert cost is not None
    whole, true = Polygon(search_outline(ring)), Polygon(ring)
    assert cost.area == pytest.approx(whole.area - true.area, abs=1e-3)
    assert cost.area > 0.0
    assert cost.distance == pytest.approx(
        whole.exterior.hausdorff_distance(true.exterior), abs=1e-6
    )


def test_a_slight_jag_costs_little() -> None:
    """2,000 points 0.6 mm in and out: as few parts as a smooth piece, 1 % of its area at most."""
    ring = jagged()
    smooth = simplify_outward(jagged(60, 0.0))
    outer = search_outline(ring)
    assert len(outer) <= len(smooth) + 4
    assert len(convex_parts(outer)) <= 2 * len(convex_parts(smooth))
    cost = coarseness(ring)
    assert cost is not None
    assert cost.area < 0.01 * Polygon(ring).area
    assert cost.distance < 3.0


def test_well_drawn_outlines_stay_as_they_are() -> None:
    """Within the usual tolerance nothing is coarsened, and nothing is to be told."""
    ring = jagged(200, 0.0)
    assert np.array_equal(search_outline(ring), simplify_outward(ring, TOLERANCE_MM))
    assert coarseness(ring) is None


@pytest.mark.parametrize("jag", [0.6, 4.0])
def test_a_fold_edge_does_not_move(jag: float) -> None:
    """A jagged half on the fold: its edge lies on the same line, and nothing beyond it."""
    chance = random.Random(3)
    arc = []
    for k in range(1, 1500):
        a = math.pi * k / 1500
        out = jag * (1 if k % 2 else -1) * chance.uniform(0.5, 1.0)
        arc.append(((250.0 + out) * math.cos(a), max(0.5, (180.0 + out) * math.sin(a))))
    fold = [(-250.0 + 500.0 * k / 200, 0.0) for k in range(201)]
    ring = ring_of(Polygon([*fold, *arc]))
    line = ((-250.0, 0.0), (250.0, 0.0))
    outer = search_outline(ring, TOLERANCE_MM, line)
    assert len(outer) <= MANY_CORNERS
    assert outer[:, 1].min() == 0.0
    on_line = outer[outer[:, 1] == 0.0]
    assert np.ptp(on_line[:, 0]) >= 500.0
    assert Polygon(ring).difference(Polygon(outer)).area <= 1e-9 * Polygon(ring).area
