"""The linear programme of slices: least cloth for so many copies, from the slices known so far."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from layout.bounds.slicing.pattern import Pattern
from layout.bounds.slicing.strips import CELLS, Cut
from layout.bounds.terms.relaxation import Relaxation
from layout.linear.highs import highs, quiet_solver
from pieces.geometry_types import FloatArray

UNIT_MM = 100.0
"""Lengths in the programme are in this unit, near to 1 as a solver likes them."""


class Programme:
    """Columns: each section's length, how often each way is used, the length of each slice.

    Rows, in this order: each strip and each room's filling is found room for; the slices of a room
    are no longer than its section; each part is got; pairs are no more than there may be.
    """

    def __init__(self, relaxation: Relaxation, cut: Cut) -> None:
        self.cut = cut
        rooms, parts = relaxation.rooms, relaxation.parts
        self.filling = len(cut.strips)
        self.rooms = self.filling + len(rooms)
        self.copies = self.rooms + len(rooms)
        self.pairs = self.copies + len(parts)
        self.infinity = highs().kHighsInf
        self.model = quiet_solver(presolve="off")
        for _ in range(self.rooms):
            self._row(0.0, self.infinity)
        for room in rooms:
            self._row(-self.infinity, 2.0 * room.radius / UNIT_MM)
        for part in parts:
            self._row(float(part.copies), self.infinity)
        for part in parts:
            limited = not part.divisible and any(way.gives == 1 for way in part.ways)
            self._row(-self.infinity, float(part.pairs) if limited else self.infinity)
        self._add_sections(relaxation)
        self._add_ways(relaxation)
        self.known: set[tuple[int, tuple[tuple[int, int], ...]]] = set()
        self.add([Pattern(0.0, {}, CELLS) for _ in rooms])
        for k, strip in enumerate(cut.strips):
            self._slice(strip.room, Pattern(0.0, {k: 1}, CELLS - strip.cells))

    def _row(self, low: float, high: float) -> None:
        self.model.addRow(low, high, 0, np.array([], dtype=np.int32), np.array([]))

    def _column(self, cost: float, entries: dict[int, float]) -> None:
        rows = np.fromiter(entries, dtype=np.int32)
        values = np.fromiter(entries.values(), dtype=float)
        self.model.addCol(cost, 0.0, self.infinity, len(rows), rows, values)

    def _add_sections(self, relaxation: Relaxation) -> None:
        rooms = relaxation.rooms
        for section in sorted({room.section for room in rooms}):
            mine = [k for k, room in enumerate(rooms) if room.section == section]
            self._column(rooms[mine[0]].cost, {self.rooms + k: -1.0 for k in mine})

    def _add_ways(self, relaxation: Relaxation) -> None:
        strips: dict[int, list[int]] = {}
        for k, strip in enumerate(self.cut.strips):
            strips.setdefault(strip.way, []).append(k)
        index = 0
        for number, part in enumerate(relaxation.parts):
            for way in part.ways:
                entries = {k: -self.cut.strips[k].length / UNIT_MM for k in strips.get(index, [])}
                entries[self.filling + way.room] = -self.cut.filling[index] / CELLS / UNIT_MM
                entries[self.copies + number] = float(way.gives)
                if way.gives == 2:
                    entries[self.pairs + number] = 1.0
                self._column(0.0, entries)
                index += 1

    def add(self, patterns: Sequence[Pattern]) -> bool:
        """Add a slice for each room; say whether one of them was new."""
        added = [self._slice(room, pattern) for room, pattern in enumerate(patterns)]
        return any(added)

    def _slice(self, room: int, pattern: Pattern) -> bool:
        key = (room, tuple(sorted(pattern.strips.items())))
        if key in self.known:
            return False
        self.known.add(key)
        entries = {k: float(count) for k, count in pattern.strips.items()}
        entries[self.rooms + room] = 1.0
        if pattern.left:
            entries[self.filling + room] = pattern.left / CELLS
        self._column(0.0, entries)
        return True

    def solve(self) -> tuple[float, FloatArray, FloatArray]:
        """Least length (mm) so far, and the prices of strips (a mm) and of a cell of filling."""
        self.model.run()
        duals = np.maximum(np.array(self.model.getSolution().row_dual), 0.0)
        length = float(self.model.getInfo().objective_function_value) * UNIT_MM
        return length, duals[: self.filling], duals[self.filling : self.rooms] / CELLS
