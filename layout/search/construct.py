"""The constructive search: units placed one after another, and the order improved.

Needs no compiled code: it is the answer on a cold start and the start of the separation search.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from layout.geometry.nofit import NoFitTable
from layout.search.model import Model
from layout.search.positions import Laying, Positions
from layout.search.state import State
from layout.stop import heed
from pieces.geometry_types import FloatArray

RULES = ("left", "fill")
"""Where the next unit goes: its right edge least, or the lay least longer and then leftmost."""

FURTHER_RULES = ("left far", "fill far", "end", "end far")
"""Further rules: what is as good at the far edge of the lay, not at the near one; on a lay of given
length the left edge greatest, from its end on."""

MOST_CHANGES = 8
"""How often an order that was tried already is changed again: once all orders near the best are
known, the search goes on further away (measured: contributors' guide)."""


@dataclass(frozen=True)
class Built:
    """A decoded order and how good it is (the least is best)."""

    state: State
    cost: tuple[float, ...]
    order: tuple[int, ...]
    rule: str

    @property
    def extent(self) -> float:
        """Greatest lay x that anything reaches, mm."""
        return self.cost[1]


class Constructor:
    """Decodes orders of units into layouts of one model."""

    def __init__(self, model: Model, positions: Positions, priorities: FloatArray) -> None:
        self.model = model
        self.positions = positions
        self.priorities = priorities
        self.ways = [positions.ways(kind) for kind in range(len(model.kinds))]

    def decode(
        self,
        order: tuple[int, ...],
        rule: str,
        longest: float = math.inf,
        most_missing: float = math.inf,
    ) -> Built | None:
        """Place the units in this order; a bounded piece may leave some out.

        None as soon as the lay is longer than `longest` (mm), or units that are worth more than
        `most_missing` are left out.
        """
        model = self.model
        count = len(model.units)
        choice = np.full(count, -1, dtype=np.int32)
        x, y = np.zeros(count), np.zeros(count)
        laying = self.positions.begin()
        extent = model.least
        missing = spread = 0.0
        for unit in order:
            heed()
            found = self._place(unit, laying, extent, rule)
            if found is None:
                missing += float(self.priorities[unit])
                if missing > most_missing:
                    return None
                continue
            index, at_x, at_y = found
            taken = model.kinds[model.units[unit]][index]
            choice[unit], x[unit], y[unit] = index, at_x, at_y
            laying.put(taken.shape, at_x, at_y)
            extent = max(extent, at_x + taken.x_reach)
            if extent > longest:
                return None
            spread += (at_x + taken.x_reach) * float(model.areas[unit])
        state = State(choice, x, y)
        missing = float(self.priorities[choice < 0].sum())
        return Built(state, (missing, extent, spread), order, rule)

    def _place(
        self, unit: int, laying: Laying, extent: float, rule: str
    ) -> tuple[int, float, float] | None:
        model = self.model
        rule = self.rule_of(unit, rule)
        leftmost, across = rule.startswith("left"), -1e-5 if rule.endswith("far") else 1e-5
        from_end = rule.startswith("end")
        best: tuple[float, int, float, float] | None = None
        for index in self.ways_of(unit):
            choice = model.kinds[model.units[unit]][index]
            if model.max_length is not None:
                limit = model.max_length - choice.x_reach
            else:
                # Beyond everything that lies, and a lattice step more, there is always room.
                limit = self._beyond(extent) + choice.x_from + choice.pitch_x
            reach, start = choice.x_reach, choice.x_from

            def score(
                xs: FloatArray,
                ys: FloatArray,
                reach: float = reach,
                start: float = start,
                extent: float = extent,
            ) -> FloatArray:
                if from_end:
                    return start - xs + across * ys
                right = xs + reach
                if leftmost:
                    return right + across * ys
                return np.maximum(right, extent) * 1e3 + xs + across * ys

            found = laying.best(choice, limit, score, from_end)
            if found is not None and (best is None or found[0] < best[0] - 1e-9):
                best = (found[0], index, found[1], found[2])
        return None if best is None else best[1:]

    def ways_of(self, unit: int) -> list[int]:
        """Ways in which a unit may lie."""
        return self.ways[self.model.units[unit]]

    def rule_of(self, unit: int, rule: str) -> str:
        """The rule by which a unit is laid, where the lay has one."""
        return rule

    def _beyond(self, extent: float) -> float:
        """Length after which neither pieces nor flaws lie, and a gap."""
        return max(extent, self.positions.flawed) + 2.0 * self.model.gap + 1.0


def make_constructor(model: Model, priorities: FloatArray | None = None) -> Constructor:
    """Return a constructor of a model; units are worth their area unless priorities are given."""
    positions = Positions(model, NoFitTable(model.bases, model.gap))
    return Constructor(model, positions, model.areas if priorities is None else priorities)


START_ORDERS = 5 * len(RULES)
"""Orders worth trying first, each by every rule."""


def start_orders(model: Model) -> Iterator[tuple[int, ...]]:
    """Orders worth trying first: units tied to a line first, then the large before the small."""
    count = len(model.units)
    tied = np.array([_tied(model, unit) for unit in range(count)])
    longest = np.array([_size(model, unit, 0) for unit in range(count)])
    widest = np.array([_size(model, unit, 1) for unit in range(count)])
    keys = (model.areas, longest, widest, longest * widest)
    for key in keys:
        yield tuple(int(u) for u in np.lexsort((np.arange(count), -key, ~tied)))
    yield tuple(int(u) for u in np.lexsort((np.arange(count), -model.areas)))


def _tied(model: Model, unit: int) -> bool:
    return all(
        choice.y_to - choice.y_from < 1e-6 or choice.x_fixed is not None
        for choice in model.kinds[model.units[unit]]
    )


def _size(model: Model, unit: int, axis: int) -> float:
    choices = model.kinds[model.units[unit]]
    # A unit that fits nowhere in a bounded piece of cloth has no choices.
    return max((float(np.ptp(model.shapes[c.shape].points[:, axis])) for c in choices), default=0.0)


def improve_order(
    constructor: Constructor,
    decodes: int,
    rng: np.random.Generator,
    stop: Callable[[], bool],
    on_better: Callable[[Built], bool],
    longest: float = math.inf,
    most_changes: int = MOST_CHANGES,
) -> Built | None:
    """Try the start orders, then change the best one; at most `decodes` orders.

    Where an order was tried already it is changed again, up to `most_changes` times.

    `on_better` hears of each improvement and returns whether it is good enough to end with. None if
    no order gives a lay of at most `longest`, mm.
    """
    orders = _Orders(constructor, longest)
    for order in start_orders(constructor.model):
        for rule in RULES:
            if orders.done >= decodes or (orders.best is not None and stop()):
                return orders.best
            built = orders.tried(order, rule)
            if built is not None and on_better(built):
                return built
    while orders.best is not None and orders.done < decodes and not stop():
        best = orders.best
        rule = best.rule if rng.random() < 0.8 else RULES[int(rng.integers(len(RULES)))]
        order = changed_order(best.order, rng)
        for _ in range(most_changes):
            if not orders.knows(order, rule):
                break
            order = changed_order(order, rng)
        built = orders.tried(order, rule)
        if built is not None and on_better(built):
            return built
    return orders.best


class _Orders:
    """Orders that were tried: how many, and the best. None is decoded further than it is needed."""

    def __init__(self, constructor: Constructor, longest: float) -> None:
        self.constructor = constructor
        self.longest = longest
        self.best: Built | None = None
        self.done = 0
        self._seen: set[tuple[str, tuple[int, ...]]] = set()

    def knows(self, order: tuple[int, ...], rule: str) -> bool:
        """Whether an order like this was tried."""
        return self._key(order, rule) in self._seen

    def _key(self, order: tuple[int, ...], rule: str) -> tuple[str, tuple[int, ...]]:
        """Units of one kind are alike."""
        return rule, tuple(self.constructor.model.units[unit] for unit in order)

    def tried(self, order: tuple[int, ...], rule: str) -> Built | None:
        """Decode an order and return what it gives if that is the best so far."""
        self.done += 1
        if self.knows(order, rule):
            return None
        self._seen.add(self._key(order, rule))
        built = self.constructor.decode(order, rule, self._most)
        if built is None or (self.best is not None and built.cost >= self.best.cost):
            return None
        self.best = built
        return built

    @property
    def _most(self) -> float:
        """The lay (mm) beyond which no order is better than the best; a strip leaves none out."""
        if self.constructor.model.max_length is not None:
            return math.inf
        if self.best is None or not self.best.state.complete:
            return self.longest
        return min(self.longest, self.best.extent)


def changed_order(order: tuple[int, ...], rng: np.random.Generator) -> tuple[int, ...]:
    """Swap two units, or move one."""
    units = list(order)
    if len(units) < 2:
        return order
    i, j = (int(k) for k in rng.choice(len(units), 2, replace=False))
    if rng.random() < 0.5:
        units[i], units[j] = units[j], units[i]
    else:
        units.insert(j, units.pop(i))
    return tuple(units)
