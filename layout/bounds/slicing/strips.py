"""Pieces cut into cross strips, each with the least width over it, and what is beside them.

Widths are whole cells of a room's capacity. What strips leave out of a piece's area counts as
*filling*, which may lie anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layout.bounds.terms.relaxation import SLACK_MM, Relaxation, Way
from pieces.geometry_types import FloatArray

CELLS = 360
"""Cells in which widths are counted."""

MOST_STRIPS = 5
"""Strips of one way, but for those that end where a weighing changes."""

WORTH = 0.004
"""A strip is cut where it makes this share of the width times the length of the piece solid."""


@dataclass(frozen=True)
class Strip:
    """A stretch of a way, `cells` wide over `length` (mm); no two of one edge share a place."""

    way: int
    part: int
    room: int
    cells: int
    length: float
    on_edge: bool


@dataclass(frozen=True)
class Cut:
    """All ways of a relaxation in strips, and by way the filling beside them (cells times mm)."""

    strips: tuple[Strip, ...]
    filling: FloatArray


def cut_up(relaxation: Relaxation, critical: tuple[FloatArray, ...]) -> Cut:
    """Cut all ways into strips, among others at `critical` widths (mm, by room)."""
    strips: list[Strip] = []
    filling = []
    cells = [
        np.unique(np.clip(np.ceil(c * CELLS / room.capacity - 1e-9), 1, CELLS)).astype(int)
        for c, room in zip(critical, relaxation.rooms, strict=True)
    ]
    index = 0
    for number, part in enumerate(relaxation.parts):
        for way in part.ways:
            found = _strips(relaxation, way, index, number, cells[way.room])
            cell = relaxation.rooms[way.room].capacity / CELLS
            solid = sum(strip.cells * strip.length for strip in found)
            filling.append(max(0.0, way.area / cell - solid))
            strips += found
            index += 1
    return Cut(tuple(strips), np.array(filling))


def _strips(
    relaxation: Relaxation, way: Way, index: int, part: int, critical: FloatArray
) -> list[Strip]:
    room = relaxation.rooms[way.room]
    asked = np.arange(1, CELLS + 1) * room.capacity / CELLS + SLACK_MM
    result = []
    for lengths, on_edge in (
        (way.free_at_least(asked, room.radius), False),
        (way.on_edge_at_least(asked, room.radius), True),
    ):
        if lengths[0] <= 0.0:
            continue
        at = _levels(np.concatenate([[lengths[0]], lengths]), critical)
        longer = lengths[at - 1]
        for cells, length in zip(at, longer - np.append(longer[1:], 0.0), strict=True):
            if length > 1e-6:
                result.append(Strip(index, part, way.room, int(cells), float(length), on_edge))
    return result


def _levels(lengths: FloatArray, critical: FloatArray) -> FloatArray:
    """Widths (cells) at which to cut: always where most area becomes solid."""
    every = np.arange(CELLS + 1)
    chosen = {int(c) for c in critical if lengths[int(c)] > 1e-6}
    for _ in range(MOST_STRIPS):
        known = np.array(sorted({0} | chosen))
        place = np.searchsorted(known, every, side="right") - 1
        after = np.append(known, CELLS + 1)[place + 1]
        beyond = np.where(after <= CELLS, lengths[np.minimum(after, CELLS)], 0.0)
        gain = (every - known[place]) * (lengths - beyond)
        best = int(gain.argmax())
        if gain[best] <= WORTH * CELLS * lengths[0]:
            break
        chosen.add(best)
    return np.array(sorted(chosen), dtype=int)
