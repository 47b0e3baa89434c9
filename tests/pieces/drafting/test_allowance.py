"""Allowance: mitred corners, trimmed points, fold edges without, hems that turn up flat."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from pieces.drafting.allowance import cutting_line
from pieces.outline import Edge, ring_of, signed_area


def edges(*points: tuple[float, float]) -> tuple[Edge, ...]:
    """Edges "0", "1", ... of a polygon."""
    count = len(points)
    return tuple(Edge(str(k), (points[k], points[(k + 1) % count])) for k in range(count))


def even(shape: tuple[Edge, ...], width: float) -> dict[str, float]:
    """The same allowance on every edge."""
    return {edge.name: width for edge in shape}


@given(
    st.lists(st.floats(0.02, 0.98), min_size=4, max_size=9, unique_by=lambda v: round(v, 1)),
    st.floats(1.0, 30.0),
    st.floats(200.0, 900.0),
)
def test_mitred_allowance_adds_what_the_formula_says(
    shares: list[float], width: float, radius: float
) -> None:
    """For a convex straight-sided piece it adds perimeter x a + a^2 x sum of tan(exterior / 2).

    Common practice, no source (plane geometry). Corners that would be trimmed are left out.
    """
    angles = sorted(2 * math.pi * share for share in shares)
    shape = edges(*((radius * math.cos(t), radius * math.sin(t)) for t in angles))
    ring = np.asarray(ring_of(shape))
    before, after = ring - np.roll(ring, 1, 0), np.roll(ring, -1, 0) - ring
    turn = np.arctan2(
        before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1)
    )
    if (turn > math.radians(115)).any() or (turn < 1e-3).any():
        return
    perimeter = float(np.hypot(*after.T).sum())
    grown = signed_area(cutting_line(shape, even(shape, width)))
    added = perimeter * width + width**2 * float(np.tan(turn / 2).sum())
    assert grown - signed_area(ring_of(shape)) == pytest.approx(added, rel=1e-6)


def test_long_points_are_trimmed_beyond_twice_the_allowance() -> None:
    """A sharp corner is cut off square at twice the allowance."""
    shape = edges((0, 0), (1000, 0), (1000, 100))
    ring = cutting_line(shape, even(shape, 10.0))
    far = max(math.dist((0, 0), p) for p in ring if p[0] < 100)
    assert far < 2.0 * 10.0 + 3.0
    assert len(ring) > 3


def test_fold_edges_get_none() -> None:
    """The fold edge stays where it is, and its neighbours are extended along it."""
    shape = edges((0, 0), (200, 0), (200, 300), (0, 300))
    widths = {**even(shape, 15.0), "3": 0.0}
    ring = Polygon(cutting_line(shape, widths, fold="3"))
    assert ring.bounds == pytest.approx((0.0, -15.0, 215.0, 315.0))


def test_hem_of_a_flared_piece_turns_up_flat() -> None:
    """Folded up along the hem line, the hem allowance matches the piece above it."""
    shape = edges((0, 0), (400, 0), (340, 500), (60, 500))
    ring = Polygon(cutting_line(shape, {**even(shape, 12.0), "0": 40.0}, frozenset({"0"})))
    below = Polygon([(x, -y) for x, y in ring.exterior.coords]).intersection(
        Polygon([(-100, 0), (600, 0), (600, 40), (-100, 40)])
    )
    above = ring.intersection(Polygon([(-100, 0), (600, 0), (600, 40), (-100, 40)]))
    assert below.symmetric_difference(above).area < 1e-6 * above.area


@given(st.floats(2.0, 20.0))
def test_allowance_contains_the_piece(width: float) -> None:
    """Curved hollows too: the cutting line lies outside the stitching line everywhere."""
    t = np.linspace(0, 2 * math.pi, 80, endpoint=False)
    r = 200 + 60 * np.cos(3 * t)
    points = [(float(a), float(b)) for a, b in zip(r * np.cos(t), r * np.sin(t), strict=True)]
    shape = edges(*points)
    grown, net = Polygon(cutting_line(shape, even(shape, width))), Polygon(points)
    assert grown.is_valid
    assert grown.contains(net)
    assert net.exterior.distance(grown.exterior) > 0.95 * width


def test_a_slit_that_the_allowance_closes_leaves_the_piece_as_it_is() -> None:
    """4 mm wide at the top with 6 cm of allowance: lines beside it meet metres away."""
    shape = edges((0, 0), (300, 0), (300, 300), (152, 300), (150, 10), (148, 300), (0, 300))
    grown = Polygon(cutting_line(shape, even(shape, 60.0)))
    assert grown.symmetric_difference(Polygon(ring_of(shape)).buffer(60.0)).area < 4000.0
    assert grown.bounds == pytest.approx((-60.0, -60.0, 360.0, 360.0))


@pytest.mark.parametrize("width", [10.0, 30.0, 60.0])
@pytest.mark.parametrize("seed", range(12))
def test_every_edge_has_its_allowance_however_tight_the_hollows(seed: int, width: float) -> None:
    """As shapely has it, which offsets the whole at once; its corners are trimmed alike."""
    numbers = np.random.default_rng(seed)
    turns = np.sort(numbers.uniform(0.0, 2.0 * math.pi, 24))
    reach = numbers.uniform(60.0, 300.0, len(turns))
    xs, ys = reach * np.cos(turns), reach * np.sin(turns)
    points = [(float(x), float(y)) for x, y in zip(xs, ys, strict=True)]
    shape = edges(*points)
    grown = Polygon(cutting_line(shape, even(shape, width)))
    whole = Polygon(points).buffer(width, join_style="mitre", mitre_limit=2.0)
    assert grown.symmetric_difference(Polygon(whole.exterior)).area < 1e-3 * whole.area
