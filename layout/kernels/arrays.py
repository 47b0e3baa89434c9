"""The plain arrays that kernels work on, bundled so that calls stay readable."""

from __future__ import annotations

from typing import Any, NamedTuple


class Reliefs(NamedTuple):
    """Depths in the no-fit polygons on a lattice (see `relief`); of no length where none are."""

    step: float
    """mm between places of the lattice."""
    begin: Any
    """(Q,) int64: where a polygon's heights begin."""
    size: Any
    """(Q, 2) int64: rows and columns of each phase."""
    heights: Any
    """float32: for each polygon its phases, row by row."""


class NoFits(NamedTuple):
    """No-fit polygons of all pairs of shapes, with their grids (see `grid.build_grids`)."""

    pair: Any
    """(K, K) int32: polygon of a fixed shape and a moving one."""
    bounds: Any
    inverse: Any
    cells: int
    cell: Any
    candidates: Any
    edges: Any
    first: Any
    slack: float
    reliefs: Reliefs


class Ways(NamedTuple):
    """Ways of lying (the choices of all kinds, one after another)."""

    first: Any
    """(kinds + 1,) int32: where each kind's ways begin."""
    shape: Any
    box: Any
    """(ways, 5): x_from, x_reach, y_from, y_to, x_fixed (nan if x is free)."""
    pitch: Any
    """(ways, 4): pitch_x, phase_x, pitch_y, phase_y."""
    extent: Any
    """(ways, 4): the shape's x_min, y_min, x_max, y_max."""


class Units(NamedTuple):
    """The state of a search: movable units first, then fixed obstacles."""

    kind: Any
    way: Any
    x: Any
    y: Any
    shape: Any
    box: Any
    """(4, units): x_min, x_max, y_min, y_max as they lie."""
    weight: Any
    reach: Any
    """(units,): size of each unit, mm: the scale of its small moves."""
    base: Any
    """(units, units): what each weight begins at and decays to; greater between large units."""


class Least(NamedTuple):
    """Where the movable units lay when they overlapped least."""

    way: Any
    x: Any
    y: Any


class Work(NamedTuple):
    """What one search keeps beside its units; all of it is written to."""

    seed: Any
    """(1,) uint64: of the next random number."""
    done: Any
    """(1,) int64: positions evaluated so far."""
    memory: Any
    """(2,): the least total overlap so far, and the rounds since."""
    matrix: Any
    """(units, units): true overlap of each pair."""
    order: Any
    """(movable,) int32: room for the units that overlap, in the order in which they move."""
    scratch: Any
    """(8, 16): room for contact moves."""
    near: Any
    """(units,) int32: room for the units that are near one."""
    ground: Any
    """(places,) float32: room for the relief of all units around one."""
    found: Any
    """(most, 3): room for the lowest places of a relief; of length 0 if none is surveyed."""


class Tunables(NamedTuple):
    """Numbers of candidate positions for one move, beside those of its reliefs."""

    uniform: int = 0
    local: int = 6
    touching: int = 6


WITHOUT_RELIEFS = Tunables(uniform=15, local=15, touching=20)
