"""What lies side by side at one place must fit the width: bounds by weighing widths.

A dual feasible function (`layout.bounds.weighing.scale`) gives each cross-section a weight, so that
those at one lay x weigh 1 at most in each room; the weights of all pieces, taken along their
lengths, are then no more than the length of the lay. Pieces that are too wide to lie side by side,
fold edges and "so many across" are cases of that. With a choice, a piece counts with the way that
weighs least. Rooms of one section share the length, in any proportion.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from layout.bounds.terms.bound import Bound, BoundKind, Share
from layout.bounds.terms.relaxation import SLACK_MM, Relaxation
from layout.bounds.weighing.scale import Scale, scale_for
from pieces.geometry_types import FloatArray

PROPORTIONS = (0.0, 0.2, 0.25, 1.0 / 3.0, 0.4, 0.5, 0.6, 2.0 / 3.0, 0.75, 0.8, 1.0)
"""Proportions tried for two rooms of one section."""

NOWHERE_MM = 1e9
"""A length for which a way counts that is not to be used."""

BLOCK = 200_000
"""Products in one block of a product of matrices."""

STEP = 0.03
"""A function that rises by less than this from one width to the next does not step."""

AS_GOOD_MM = 0.3
"""A function that gives so little less (mm) is as good as another."""

COUNTS_MM = 0.5
"""A piece that contributes less than this to a bound is not named."""


@dataclass(frozen=True)
class Weighing:
    """The best way to weigh the ways of a relaxation.

    `length` (mm) is the bound, `costs` the length for which each way counts, `functions` the row of
    each room's scale, `proportions` what each room counts for, and `area` how far the mere area
    counts instead.
    """

    length: float
    costs: FloatArray
    functions: tuple[int, ...]
    proportions: FloatArray
    area: float = 0.0


class Weights:
    """Every function of every room, applied to every way."""

    def __init__(self, relaxation: Relaxation) -> None:
        self.relaxation = relaxation
        self.room = np.array([way.room for way in relaxation.ways])
        self.scales: list[Scale] = []
        self.tables: list[FloatArray] = []
        for index in range(len(relaxation.rooms)):
            scale, table = self._table(index)
            self.scales.append(scale)
            self.tables.append(table)

    def _table(self, index: int) -> tuple[Scale, FloatArray]:
        """A room's scale, and the length for which each way counts by each of its functions."""
        room, ways = self.relaxation.rooms[index], self.relaxation.ways
        here = [k for k, way in enumerate(ways) if way.room == index]
        known = [
            profile.widest + 2.0 * room.radius - SLACK_MM
            for k in here
            for profile in (ways[k].free, ways[k].on_edge)
            if profile is not None and profile.widest > 0.0
        ]
        scale = scale_for(room.capacity, np.unique(known))
        table = np.zeros((len(scale.free), len(ways)))
        asked = scale.widths[1:] + SLACK_MM
        if here:
            free = np.array([ways[k].free_at_least(asked, room.radius) for k in here])
            edge = np.array([ways[k].on_edge_at_least(asked, room.radius) for k in here])
            table[:, here] = _product(np.diff(scale.free, axis=1), free.T)
            if edge.any():
                table[:, here] += _product(np.diff(scale.on_edge, axis=1), edge.T)
            areas = np.array([ways[k].area for k in here]) / room.capacity
            table[0, here] = np.maximum(table[0, here], areas)
        return scale, table

    def best(self) -> Weighing:
        """Look for the best functions, one room after another, in several proportions."""
        alone = tuple(self._alone(k) for k in range(len(self.tables)))
        starts = {(0,) * len(alone), alone}
        found = [
            self._climb(proportions, start)
            for proportions in self._proportions()
            for start in starts
        ]
        best = max(found, key=lambda weighing: weighing.length)
        return self._with_area(best)

    def _proportions(self) -> list[FloatArray]:
        """What each room may count for: of each section no more than its cloth."""
        rooms = self.relaxation.rooms
        choices: list[list[FloatArray]] = []
        for section in sorted({room.section for room in rooms}):
            mine = [k for k, room in enumerate(rooms) if room.section == section]
            areas = np.array([rooms[k].capacity * rooms[k].plies for k in mine])
            shares = [areas / areas.sum()]
            for pair in itertools.combinations(range(len(mine)), 2):
                for q in PROPORTIONS:
                    share = np.zeros(len(mine))
                    share[list(pair)] = (q, 1.0 - q)
                    shares.append(share)
            spread = []
            for share in shares:
                whole = np.zeros(len(rooms))
                whole[mine] = share * rooms[mine[0]].cost
                spread.append(whole)
            choices.append(spread)
        return [np.sum(chosen, axis=0) for chosen in itertools.product(*choices)]

    def _alone(self, room: int) -> int:
        """The best function of a room for what can lie nowhere else, or as if nothing could."""
        elsewhere = np.where(self.room == room, self.tables[room], NOWHERE_MM)
        least = self.relaxation.by_part(elsewhere)
        here = [one for one in least if one.max() < NOWHERE_MM / 2.0]
        return int(np.sum(here, axis=0).argmax()) if here else 0

    def _climb(self, proportions: FloatArray, start: tuple[int, ...]) -> Weighing:
        rooms = self.relaxation.rooms
        functions = list(start)
        costs = self._costs(functions, proportions)
        used = [k for k in range(len(rooms)) if proportions[k] > 0.0]
        for k in used * (2 if len(used) > 1 else 1):
            tried = np.repeat(costs[None, :], len(self.tables[k]), axis=0)
            mine = self.room == k
            tried[:, mine] = self.tables[k][:, mine] * proportions[k]
            found = self.relaxation.least(tried)
            # Those that are easy to explain stand first.
            functions[k] = int(np.argmax(found >= found.max() - AS_GOOD_MM))
            costs = tried[functions[k]]
        return self._weighing(costs, functions, proportions)

    def _with_area(self, best: Weighing) -> Weighing:
        """Let the area count in part, too: a mixture of two weighings is one."""
        area = self._costs([0] * len(self.relaxation.rooms), best.proportions)
        mixed = [
            self._weighing((1.0 - q) * best.costs + q * area, best.functions, best.proportions, q)
            for q in (0.0, 0.1, 0.2, 0.35, 0.5, 0.7)
        ]
        return max(mixed, key=lambda weighing: weighing.length)

    def _costs(self, functions: list[int], proportions: FloatArray) -> FloatArray:
        costs = np.zeros(len(self.room))
        for k, row in enumerate(functions):
            costs += np.where(self.room == k, self.tables[k][row] * proportions[k], 0.0)
        return costs

    def _weighing(
        self,
        costs: FloatArray,
        functions: Sequence[int],
        proportions: FloatArray,
        area: float = 0.0,
    ) -> Weighing:
        # Outlines are blown up by half the gap, and the lay with them.
        lent = sum(
            2.0 * room.radius * share
            for room, share in zip(self.relaxation.rooms, proportions, strict=True)
        )
        length = float(self.relaxation.least(costs)) - lent
        return Weighing(length, costs, tuple(functions), proportions, area)

    def bound(self, weighing: Weighing) -> Bound:
        """What a weighing says."""
        if not weighing.length > 0.0:
            return Bound(BoundKind.WIDTHS, 0.0)
        length = self.relaxation.cloth(weighing.length)
        return Bound(self.kind(weighing), length, *self.reasons(weighing))

    def kind(self, weighing: Weighing) -> BoundKind:
        """Which argument a weighing is."""
        across = self._across(weighing)
        if all(row == 0 for row in weighing.functions):
            return BoundKind.AREA
        if not across:
            return BoundKind.WIDTHS
        return BoundKind.SIDE_BY_SIDE if across == 1 else BoundKind.SO_MANY_ACROSS

    def _across(self, weighing: Weighing) -> int:
        used = [k for k, share in enumerate(weighing.proportions) if share > 0.0]
        if len(used) > 1:
            return 0
        if weighing.area > 0.0:
            return 0
        return self.scales[used[0]].across[weighing.functions[used[0]]]

    def reasons(self, weighing: Weighing) -> tuple[tuple[Share, ...], int]:
        """The pieces that count, with what they count for, and how many lie side by side."""
        if self.kind(weighing) is BoundKind.AREA:
            return (), 0
        return shares(self.relaxation, weighing.costs), self._across(weighing)

    def steps(self, weighing: Weighing, room: int) -> FloatArray:
        """Widths (mm) at which a room's function steps up."""
        scale, row = self.scales[room], weighing.functions[room]
        rise = np.maximum(np.diff(scale.free[row]), np.diff(scale.on_edge[row]))
        return np.asarray(scale.widths[1:][rise > STEP])

    def weight(self, weighing: Weighing, room: int, share: float, on_edge: bool) -> float:
        """Weight of a share of a room's width."""
        scale, row = self.scales[room], weighing.functions[room]
        weights = scale.on_edge if on_edge else scale.free
        width = share * self.relaxation.rooms[room].capacity * (1.0 + 1e-9)
        at = int(np.searchsorted(scale.widths, width, side="right")) - 1
        own = (1.0 - weighing.area) * float(weights[row, at])
        return float(weighing.proportions[room]) * (own + weighing.area * share)

    def area_weights(self, weighing: Weighing) -> FloatArray:
        """Weight of the whole width of each room, as far as it counts by its area."""
        rows = np.array(weighing.functions)
        return np.where(rows == 0, 1.0, weighing.area) * weighing.proportions


def _product(a: FloatArray, b: FloatArray) -> FloatArray:
    """The matrix product in blocks that are too small to be spread over threads.

    Where every core is busy searching, threads wait longer for each other than one works.
    """
    rows = max(1, BLOCK // max(1, b.size))
    return np.concatenate([a[k : k + rows] @ b for k in range(0, len(a), rows)])


def shares(relaxation: Relaxation, costs: FloatArray) -> tuple[Share, ...]:
    """What each part counts for, given the length that each way does."""
    return tuple(
        Share(part.key, part.copies, float(length))
        for part, length in zip(relaxation.parts, relaxation.by_part(costs), strict=True)
        if length > COUNTS_MM
    )
