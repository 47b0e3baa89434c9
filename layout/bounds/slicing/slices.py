"""Slices of the lay: a linear programme over what lies side by side at one place.

Every lay is a row of slices, each with strips of some pieces side by side in each room. Slices may
come in any order, so that the programme knows less than a layout does (Belov, Kartak, Rohling,
Scheithauer, on bar relaxations). Its columns are found one after another. What the solver of the
programme says is only used as weights: the bound is worked out from these with knapsacks that
round in its disfavour, so that no rounding of the solver can make it untrue.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layout.bounds.slicing.pattern import Pattern, best_pattern
from layout.bounds.slicing.programme import Programme
from layout.bounds.slicing.strips import CELLS, Cut, cut_up
from layout.bounds.terms.bound import Bound, BoundKind
from layout.bounds.terms.relaxation import Relaxation
from layout.bounds.weighing.widths import Weighing, Weights, shares
from pieces.geometry_types import FloatArray

MOST_ROUNDS, MOST_WORK = 40, 1200
"""Rounds of the programme, each of which looks for a better slice in each room; and rounds times
strips, so that it takes no longer for many pieces."""

CLOSE = 0.002
"""Share of the length to which the programme is solved."""

TRUST = 0.5
"""How far new weights keep to the best so far; without that they swing for long."""


LEAST_WORTH = 1e-6
"""Prices of no more than this for a whole slice are rounding: no bound rests on them."""


@dataclass(frozen=True)
class Prices:
    """Weights of each strip (a mm of it) and of a cell of filling in each room."""

    strips: FloatArray
    filling: FloatArray

    def towards(self, other: Prices, share: float) -> Prices:
        """Weights between these and others."""
        return Prices(
            (1.0 - share) * self.strips + share * other.strips,
            (1.0 - share) * self.filling + share * other.filling,
        )


@dataclass(frozen=True)
class _Value:
    """What prices prove: a length (mm), what each way costs for it, the best slices by room."""

    length: float
    costs: FloatArray
    patterns: tuple[Pattern, ...]


def slices_bound(weights: Weights, start: Weighing) -> Bound:
    """The bound that a programme finds which begins with a weighing."""
    relaxation = weights.relaxation
    critical = tuple(weights.steps(start, k) for k in range(len(relaxation.rooms)))
    cut = cut_up(relaxation, critical)
    slices = _Slices(relaxation, cut)
    rounds = min(MOST_ROUNDS, MOST_WORK // max(1, len(cut.strips)))
    return slices.bound(slices.weighed(weights, start), rounds)


class _Slices:
    """The dual side: what prices prove, and the slices that prove them too high."""

    def __init__(self, relaxation: Relaxation, cut: Cut) -> None:
        self.relaxation = relaxation
        self.cut = cut
        self.here = [
            [i for i, strip in enumerate(cut.strips) if strip.room == k]
            for k in range(len(relaxation.rooms))
        ]
        self.way = np.array([strip.way for strip in cut.strips], dtype=int)
        self.lengths = np.array([strip.length for strip in cut.strips])
        self.room = np.array([way.room for way in relaxation.ways])

    def bound(self, centre: Prices, rounds: int) -> Bound:
        programme = Programme(self.relaxation, self.cut)
        best = self._value(centre)
        programme.add(best.patterns)
        trust = TRUST
        for _ in range(rounds):
            length, strips, filling = programme.solve()
            if length - best.length <= CLOSE * length:
                break
            tried = Prices(strips, filling).towards(centre, trust)
            value = self._value(tried)
            if value.length > best.length:
                best, centre = value, tried
            if programme.add(value.patterns):
                trust = min(TRUST, trust + 0.1)
            elif trust == 0.0:
                break
            else:
                trust = max(0.0, trust - 0.3)
        length = self.relaxation.cloth(best.length)
        return Bound(BoundKind.SLICES, length, shares(self.relaxation, best.costs))

    def weighed(self, weights: Weights, weighing: Weighing) -> Prices:
        """The prices that a weighing amounts to."""
        strips = [
            weights.weight(weighing, strip.room, strip.cells / CELLS, strip.on_edge)
            for strip in self.cut.strips
        ]
        return Prices(np.array(strips), weights.area_weights(weighing) / CELLS)

    def _value(self, prices: Prices) -> _Value:
        relaxation = self.relaxation
        patterns = tuple(
            best_pattern(
                self.cut.strips, here, relaxation.parts, prices.strips, float(prices.filling[k])
            )
            for k, here in enumerate(self.here)
        )
        # Of each section, all rooms together may count for its cloth.
        used: dict[int, float] = {}
        for room, pattern in zip(relaxation.rooms, patterns, strict=True):
            used[room.section] = used.get(room.section, 0.0) + pattern.worth / room.cost
        most = max(used.values())
        costs = self.cut.filling * prices.filling[self.room]
        np.add.at(costs, self.way, self.lengths * prices.strips)
        if most < LEAST_WORTH:
            return _Value(0.0, costs, patterns)
        lent = sum(
            2.0 * room.radius * pattern.worth
            for room, pattern in zip(relaxation.rooms, patterns, strict=True)
        )
        return _Value((float(relaxation.least(costs)) - lent) / most, costs / most, patterns)
