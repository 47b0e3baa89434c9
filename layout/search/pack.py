"""Packing a model into the arrays that the kernels work on."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from layout.geometry.nofit import NoFitTable
from layout.kernels.arrays import NoFits, Units, Ways
from layout.kernels.grid import LEAST_UNITS, build_grids
from layout.kernels.heights import NO_RELIEFS, with_reliefs
from layout.search.model import Model
from layout.search.state import State
from pieces.geometry_types import FloatArray, IntArray

SLACK_SHARE = 1e-7
"""Slack of touching contacts as a share of the size of the lay; true overlap stays 0."""

GAP_SHARE = 0.55
"""Share of the gap that each shape's box is grown by; the gap's disc is drawn outward a little."""

SIZE_POWER = 1.5
"""How strongly the size of two units weighs in their overlap; measured (contributors' guide)."""

GRID_CELLS = ((5000, 16), (10**9, 10))
"""Cells each way of a no-fit polygon's grid, by how many polygons there are."""


@dataclass(frozen=True)
class Packed:
    """A model in arrays; `begins` gives the first way of each kind."""

    model: Model
    nofits: NoFits
    ways: Ways
    begins: IntArray


def pack(model: Model, table: NoFitTable) -> Packed:
    """Build no-fit polygons, grids and ways."""
    ways = _ways(model)
    used = sorted({choice.shape for kind in model.kinds for choice in kind})
    fixed = sorted({obstacle.shape for obstacle in model.obstacles})
    count = len(model.shapes)
    pair = np.zeros((count, count), dtype=np.int32)
    rings_of: list[tuple[FloatArray, ...]] = []
    for a in [*used, *(shape for shape in fixed if shape not in used)]:
        for b in used:
            pair[a, b] = len(rings_of)
            rings_of.append(table.rings(model.shapes[a], model.shapes[b]))
    size = max(
        1.0, max((float(np.ptp(shape.points, axis=0).max()) for shape in model.shapes), default=1.0)
    )
    nofits = with_reliefs(_nofits(pair, rings_of, SLACK_SHARE * size), _across(ways))
    return Packed(model, nofits, ways, ways.first)


def _nofits(pair: IntArray, rings_of: list[tuple[FloatArray, ...]], slack: float) -> NoFits:
    edges: list[FloatArray] = []
    first = np.zeros(len(rings_of) + 1, dtype=np.int32)
    bounds = np.zeros((len(rings_of), 4))
    for q, rings in enumerate(rings_of):
        for ring in rings:
            vector = np.roll(ring, -1, 0) - ring
            length = np.maximum((vector * vector).sum(axis=1), 1e-300)
            edges.append(np.column_stack([ring, vector, 1.0 / length]))
            first[q + 1] += len(ring)
        low, high = rings[0].min(axis=0), rings[0].max(axis=0)
        bounds[q] = [low[0], low[1], high[0], high[1]]
    first = np.cumsum(first).astype(np.int32)
    bounds += 2.0 * slack * np.array([-1.0, -1.0, 1.0, 1.0])
    cells = next(cells for most, cells in GRID_CELLS if len(rings_of) <= most)
    flat = np.ascontiguousarray(np.vstack(edges))
    cell, candidates = build_grids(flat, first, bounds, cells, slack)
    wide, high = bounds[:, 2] - bounds[:, 0], bounds[:, 3] - bounds[:, 1]
    unit = np.maximum(wide, high) / LEAST_UNITS
    inverse = np.column_stack([cells / wide, cells / high, wide / cells, high / cells, unit])
    inverse = np.ascontiguousarray(inverse)
    return NoFits(pair, bounds, inverse, cells, cell, candidates, flat, first, slack, NO_RELIEFS)


def _ways(model: Model) -> Ways:
    choices = [choice for kind in model.kinds for choice in kind]
    first = np.cumsum([0, *(len(kind) for kind in model.kinds)]).astype(np.int32)
    shapes = np.array([choice.shape for choice in choices], dtype=np.int32)
    extent = np.array(
        [[*model.shapes[k].points.min(axis=0), *model.shapes[k].points.max(axis=0)] for k in shapes]
    )
    # Boxes that do not meet must mean shapes that keep the gap: each carries half of it.
    extent += GAP_SHARE * model.gap * np.array([-1.0, -1.0, 1.0, 1.0])
    box = np.array(
        [
            [c.x_from, c.x_reach, c.y_from, c.y_to, math.nan if c.x_fixed is None else c.x_fixed]
            for c in choices
        ]
    )
    pitch = np.array([[c.pitch_x, c.phase_x, c.pitch_y, c.phase_y] for c in choices])
    return Ways(first, shapes, box, pitch, extent)


def _across(ways: Ways) -> float:
    """Of the widest room that a way has, with what it lies over there, mm."""
    spans = ways.box[:, 3] - ways.box[:, 2] + ways.extent[:, 3] - ways.extent[:, 1]
    return float(spans.max(initial=0.0))


def units_of(packed: Packed, state: State) -> Units:
    """Arrays of a state: movable units, then obstacles."""
    model, ways = packed.model, packed.ways
    movable = len(model.units)
    count = movable + len(model.obstacles)
    kind = np.zeros(count, dtype=np.int32)
    kind[:movable] = model.units
    way = np.zeros(count, dtype=np.int32)
    way[:movable] = packed.begins[kind[:movable]] + state.choice
    x, y = np.zeros(count), np.zeros(count)
    x[:movable], y[:movable] = state.x, state.y
    shape = np.zeros(count, dtype=np.int32)
    shape[:movable] = ways.shape[way[:movable]]
    box = np.zeros((4, count))
    reach = np.zeros(count)
    for k, unit in enumerate(model.units):
        spans = [
            float(np.ptp(model.shapes[choice.shape].points, axis=0).max())
            for choice in model.kinds[unit]
        ]
        reach[k] = max(spans)
    half = GAP_SHARE * model.gap
    for k, obstacle in enumerate(model.obstacles, start=movable):
        x[k], y[k], shape[k] = obstacle.x, obstacle.y, obstacle.shape
        points = model.shapes[obstacle.shape].points + np.array([obstacle.x, obstacle.y])
        low, high = points.min(axis=0) - half, points.max(axis=0) + half
        box[:, k] = [low[0], high[0], low[1], high[1]]
    base = _base_weights(reach, movable)
    return Units(kind, way, x, y, shape, box, base.copy(), reach, base)


def _base_weights(reach: FloatArray, movable: int) -> FloatArray:
    """Weights to begin with: large units are harder to place, so that their overlaps count more.

    The geometric mean of two units' sizes to a power, scaled to 1 on average; an obstacle counts
    as the largest unit. Scaling by a geometric mean of sizes: Gardeyn et al. 2025 (from memory).
    """
    if not movable:
        return np.ones((len(reach), len(reach)))
    sizes = np.where(reach > 0.0, reach, reach[:movable].max())
    weights = np.sqrt(np.outer(sizes, sizes)) ** SIZE_POWER
    return np.asarray(weights / weights.mean())
