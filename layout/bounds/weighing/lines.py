"""Lines across the cloth that pieces must cross wherever they lie.

A piece of more than half the length crosses the middle, whichever way it is pushed; of lines at
equal distances a piece crosses one, or several. What it weighs at those lines together
(`layout.bounds.weighing.scale`) is least for some place of it; if the least of all pieces are
together more than the lines can carry, the length is too short. So is every length below it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layout.bounds.terms.bound import Bound, BoundKind, Share
from layout.bounds.terms.relaxation import SLACK_MM, Relaxation
from layout.bounds.weighing.scale import MOST_ACROSS, few_weights
from pieces.geometry_types import FloatArray

GRID_MM = 3.0
"""Places of a piece are told apart by cells of this length; in each, the least counts."""

OFF = (0.04, 0.08, 0.12, 0.16, 0.2, 0.25, 0.33)
LINES = (
    *(tuple(k / (m + 1) for k in range(1, m + 1)) for m in range(1, 7)),
    *((0.5 - off,) for off in OFF[:4]),
    *((0.5 - off, 0.5 + off) for off in OFF),
    *((0.5 - off, 0.5, 0.5 + off) for off in OFF[1:]),
)
"""Where lines are tried, in shares of the length: evenly, one, two and three about the middle."""

SHARES = (0.2, 1.0 / 3.0, 0.5, 2.0 / 3.0, 0.8)
"""What the first of two rooms counts for beside the other."""

CLOSE_MM = 1.5
"""How closely the greatest length that is too short is looked for."""

ROUNDING = 1e-6
"""Weights are no more exact than this."""


@dataclass(frozen=True)
class _Weighed:
    """A way's cells from either end, the lesser of each two, a row a function."""

    cells: int
    ahead: FloatArray
    turned: FloatArray


def lines_bound(relaxation: Relaxation, known: float, most: float) -> Bound:
    """The greatest length that lines prove too short, from a known bound up (mm of cloth).

    `most` is where the search ends, mm of cloth.
    """
    nothing = Bound(BoundKind.LINES, 0.0)
    if len(relaxation.spreads) > 1:
        return nothing
    crossed = _Lines(relaxation)
    cost = relaxation.rooms[0].cost
    low, named = known / cost, None
    for lines in LINES:
        high = most / cost
        tried = low + CLOSE_MM
        while tried < high:
            found = crossed.too_short(tried, lines)
            if found is None:
                high = tried
            else:
                low, named = tried, found
            if high - low <= CLOSE_MM:
                break
            # What one set of lines adds is mostly little.
            tried = min((low + high) / 2.0, low + max(CLOSE_MM, 4.0 * (tried - known / cost)))
    if named is None:
        return nothing
    return Bound(BoundKind.LINES, relaxation.cloth(low * cost), named)


class _Lines:
    """What the ways of a relaxation weigh at lines, and the lengths that this proves too short."""

    def __init__(self, relaxation: Relaxation) -> None:
        self.relaxation = relaxation
        self.radius = max(room.radius for room in relaxation.rooms)
        self.room = np.array([way.room for way in relaxation.ways])
        self.ways = [self._weighed(k) for k in range(len(relaxation.ways))]
        areas = np.array([room.capacity * room.plies for room in relaxation.rooms])
        self.shares = [areas / areas.sum()]
        if len(areas) == 2:
            self.shares += [np.array([share, 1.0 - share]) for share in SHARES]

    def _weighed(self, index: int) -> _Weighed | None:
        way = self.relaxation.ways[index]
        room = self.relaxation.rooms[way.room]
        if way.whole is None:
            return None
        widths = way.whole.by_cells(GRID_MM, room.radius)
        widths = np.maximum(widths - SLACK_MM, 0.0)
        begin = np.arange(len(widths)) * GRID_MM
        low, high = way.edge_range
        on_edge = (begin >= low) & (begin + GRID_MM <= high + 2.0 * room.radius)
        on_edge &= way.edge is not None
        # Alone on its fold edge, a piece weighs what the rest of the width leaves.
        free = few_weights(widths, room.capacity)
        rest = 1.0 - few_weights(room.capacity - widths, room.capacity)
        table = np.where(on_edge & (widths > 0.0), rest, free)
        return _Weighed(len(widths), _in_pairs(table), _in_pairs(table[:, ::-1]))

    def too_short(self, length: float, lines: tuple[float, ...]) -> tuple[Share, ...] | None:
        """The pieces that cannot lie within a length (mm of lay), or None if they might."""
        room = length + 2.0 * self.radius
        costs = np.zeros((MOST_ACROSS, len(self.ways)))
        widest = float(np.diff([0.0, *lines, 1.0]).max()) * room
        for k, way in enumerate(self.ways):
            # What is shorter than that lies between two lines, or before the first.
            if way is not None and way.cells * GRID_MM > widest - 2.0 * GRID_MM:
                costs[:, k] = _least(way, room, np.array(lines) * room)
        for shares in self.shares:
            weighed = costs * shares[self.room]
            total = self.relaxation.least(weighed)
            if total.max() > len(lines) + ROUNDING:
                return self._named(weighed[int(total.argmax())])
        return None

    def _named(self, costs: FloatArray) -> tuple[Share, ...]:
        counted = self.relaxation.by_part(costs)
        return tuple(
            Share(part.key, part.copies, 0.0)
            for part, weight in zip(self.relaxation.parts, counted, strict=True)
            if weight > ROUNDING
        )


def _least(way: _Weighed, room: float, lines: FloatArray) -> FloatArray:
    """What a way weighs at all lines together, by function, where that is least."""
    starts = int(max(0.0, room - way.cells * GRID_MM) // GRID_MM) + 1
    # It begins somewhere in a cell: a line meets this cell of it, or the next.
    cell = np.floor(lines[:, None] / GRID_MM - np.arange(starts) - 1.0).astype(int)
    place = np.clip(cell + 1, 0, way.cells)
    least = [table[:, place].sum(axis=1).min(axis=-1) for table in (way.ahead, way.turned)]
    return np.asarray(np.minimum(*least))


def _in_pairs(table: FloatArray) -> FloatArray:
    """The lesser of each two neighbouring cells, before the first and behind the last nothing.

    Column k is for cells k - 1 and k.
    """
    nothing = np.zeros((len(table), 1))
    return np.concatenate([nothing, np.minimum(table[:, :-1], table[:, 1:]), nothing], axis=1)
