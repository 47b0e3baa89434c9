"""The constructive search decodes no order further than it is needed, and finds the same."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layout.effort import Effort
from layout.search import positions
from layout.search.construct import Built, Constructor, improve_order, make_constructor
from layout.search.model import strip_model
from layout.solver import solve
from tests.layout.examples import EXAMPLES
from tests.layout.test_solver import many

DECODES = 40


def constructor() -> Constructor:
    problem = many()
    counts = {index: item.demand for index, item in enumerate(problem.items)}
    return make_constructor(strip_model(problem, 0, counts))


def improved(constructor: Constructor) -> tuple[Built | None, list[float]]:
    """The best of so many orders, and the lays on the way to it."""
    lays: list[float] = []

    def better(built: Built) -> bool:
        lays.append(built.extent)
        return False

    rng = np.random.default_rng(1)
    return improve_order(constructor, DECODES, rng, lambda: False, better), lays


def test_what_cannot_be_better_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """Orders of like units once only, none beyond the best: the same layouts for less work."""
    decode = Constructor.decode
    given_up = 0
    whole: list[tuple[int, ...]] = []

    def decoded_whole(
        self: Constructor, order: tuple[int, ...], rule: str, longest: float = math.inf
    ) -> Built | None:
        nonlocal given_up
        whole.append(tuple(self.model.units[unit] for unit in order))
        given_up += decode(self, order, rule, longest) is None
        return decode(self, order, rule)

    hurried = improved(constructor())
    monkeypatch.setattr(Constructor, "decode", decoded_whole)
    patient = improved(constructor())
    assert hurried[1] == patient[1]
    assert hurried[0] is not None
    assert patient[0] is not None
    assert (hurried[0].state.x == patient[0].state.x).all()
    assert given_up > 0
    # Of each order there are two rules at most.
    assert max(whole.count(order) for order in whole) <= 2
    assert len(whole) < DECODES


def test_a_lay_as_long_as_it_may_be_is_not_given_up() -> None:
    one = constructor()
    order = tuple(range(len(one.model.units)))
    built = one.decode(order, "left")
    assert built is not None
    assert one.decode(order, "left", built.extent) is not None
    assert one.decode(order, "left", built.extent - 1e-6) is None


@pytest.mark.parametrize("name", [*EXAMPLES, "many"])
def test_windows_along_the_lay_change_nothing(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """However long they are: what is found in one is what is found in all at once."""
    problem = EXAMPLES[name]() if name in EXAMPLES else many()
    found = []
    for window in (1e9, 97.3, 411.0):
        monkeypatch.setattr(positions, "WINDOW_MM", window)
        found.append(solve(problem, Effort.QUICK))
    for layout in found[1:]:
        assert layout.extents == pytest.approx(found[0].extents, abs=1e-6)
        ends = [(p.item, p.x, p.y) for p in layout.placements]
        whole = [(p.item, p.x, p.y) for p in found[0].placements]
        assert np.array(ends) == pytest.approx(np.array(whole), abs=1e-5)


def test_no_fit_polygons_reach_no_further_than_is_thought() -> None:
    model = constructor().model
    placing = constructor().positions
    for a in range(len(model.shapes)):
        for b in range(len(model.shapes)):
            x1, x2, y1, y2 = placing.reach(a, b)
            low_x, low_y, high_x, high_y = placing.pair(a, b).bounds
            assert x1 <= low_x
            assert y1 <= low_y
            assert high_x <= x2
            assert high_y <= y2
