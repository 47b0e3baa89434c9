"""Laying pieces within a length around fixed shapes one after another, without compiled code.

What `around.py` is for a search that separates, this is for quick effort: whoever looks for the
place of a fold across asks again and again whether the pieces fit around flaws that lie elsewhere
each time. Some go as far forward as they can, others as far back, so that a flaw may lie between.
Counted in units placed. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from layout.geometry.nofit import NoFitTable
from layout.search.construct import FURTHER_RULES, RULES, Built, Constructor, changed_order
from layout.search.model import Model
from layout.search.positions import Positions
from layout.search.state import State
from layout.search.within.tries import Tries

LAYS = 24
"""Lays of one try."""

ANY_RULE = (*RULES, *FURTHER_RULES)

T = TypeVar("T")


@dataclass(frozen=True)
class Recipe:
    """How units are laid: in which order, each by which rule and (if not any) in which way."""

    order: tuple[int, ...]
    rules: tuple[str, ...]
    ways: tuple[int | None, ...]


class _ByRecipe(Constructor):
    """Decodes recipes."""

    recipe: Recipe

    def laid(self, recipe: Recipe, most_missing: float) -> Built | None:
        """Lay the units; those that find no room are left out, None if that is more than so."""
        self.recipe = recipe
        return self.decode(recipe.order, "", most_missing=most_missing)

    def ways_of(self, unit: int) -> list[int]:
        """The one way of the recipe, or all."""
        way = self.recipe.ways[unit]
        return super().ways_of(unit) if way is None else [way]

    def rule_of(self, unit: int, rule: str) -> str:
        """The rule of the recipe."""
        return self.recipe.rules[unit]


class ByOrders(Tries):
    """Lays the pieces anew, one after another; its work is in units placed."""

    LEAST_WORK = 2

    def __init__(self, work: int, seed: int, stop: Callable[[], bool]) -> None:
        super().__init__(work, seed, stop)
        self._positions: Positions | None = None
        self._best: Recipe | None = None

    def _within(self, model: Model, start: State, length: float) -> State | None:
        """The first lay that holds all units, of what came nearest before and of its changes."""
        model = replace(model, max_length=length)
        constructor = _ByRecipe(model, self._around(model), model.areas)
        tried, missing = self._best or _recipe_of(model, start), math.inf
        for _ in range(LAYS):
            if self.over:
                return None
            self.left -= len(tried.order)
            built = constructor.laid(tried, missing)
            if built is not None:
                missing, self._best = built.cost[0], tried
                if built.state.complete:
                    return built.state
            tried = self._changed(constructor, self._best or tried)
        return None

    def _changed(self, constructor: _ByRecipe, recipe: Recipe) -> Recipe:
        """Another order, or another rule or way for one unit."""
        what, unit = int(self.rng.integers(3)), int(self.rng.integers(len(recipe.order)))
        if what == 0:
            return replace(recipe, order=changed_order(recipe.order, self.rng))
        if what == 1:
            rule = ANY_RULE[int(self.rng.integers(len(ANY_RULE)))]
            return replace(recipe, rules=_with(recipe.rules, unit, rule))
        ways: list[int | None] = [None, *Constructor.ways_of(constructor, unit)]
        way = ways[int(self.rng.integers(len(ways)))]
        return replace(recipe, ways=_with(recipe.ways, unit, way))

    def _around(self, model: Model) -> Positions:
        """Positions in a model; with what is known of shapes where only places of flaws differ."""
        if self._positions is None or not self._positions.serves(model):
            self._positions = Positions(model, NoFitTable(model.bases, model.gap))
        else:
            self._positions = self._positions.around(model)
        return self._positions


def _with(values: tuple[T, ...], index: int, value: T) -> tuple[T, ...]:
    """The same with another value in one place."""
    return (*values[:index], value, *values[index + 1 :])


def _recipe_of(model: Model, state: State) -> Recipe:
    """The units from the beginning of a lay on, each as far forward as it goes."""
    count = len(model.units)
    ways = [
        model.kinds[kind][choice] for kind, choice in zip(model.units, state.choice, strict=True)
    ]
    starts = [
        float(x) + float(model.shapes[way.shape].points[:, 0].min())
        for x, way in zip(state.x, ways, strict=True)
    ]
    order = tuple(int(unit) for unit in np.lexsort((state.y, np.array(starts))))
    return Recipe(order, (RULES[0],) * count, (None,) * count)
