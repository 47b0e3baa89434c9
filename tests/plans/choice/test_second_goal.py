"""The second goal in a plan: the same purchase, more left over, no half off its fold."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout.effort import Effort
from layout.layout import Layout
from layout.problem import Problem
from plans.choice import second_goal
from plans.choice.second_goal import with_second_goal, worth_of_leftovers
from plans.folds.fold_search import screen
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult
from plans.order import Order
from tests.plans.demo import garment


def test_as_much_is_bought_and_more_is_left() -> None:
    """Trousers on a lengthwise fold: a quick layout leaves cloth in places that can be joined."""
    effort = replace(Effort.NORMAL, evaluations=1_500_000)
    job = job_for(Order(garment("trousers"), {}), ("main",), plain_fabric("150cm"))
    found = screen(job, Fold.LENGTHWISE, Effort.QUICK, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    tidy = with_second_goal(job, found, effort)
    assert tidy.bought == found.bought
    assert tidy.variant.is_sound(tidy.layout)
    left, before = (worth_of_leftovers(job, one, one.layout) for one in (tidy, found))
    assert left > max(1.2 * before, 100_000.0)


def test_a_half_that_leaves_its_fold_is_worth_no_leftover(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever is left then: the same layout with one half laid in a place off the fold."""
    job = job_for(Order(garment("pinafore"), {}), ("main",), plain_fabric("140cm"))
    found = screen(job, Fold.LENGTHWISE, Effort.QUICK, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    items = found.built.problem.items
    spots = found.layout.placements
    at, off = next(
        (k, slot)
        for k, spot in enumerate(spots)
        if items[spot.item].slots[spot.slot].fold_edge is not None
        for slot, place in enumerate(items[spot.item].slots)
        if place.fold_edge is None
    )
    scores: list[float] = []

    def judged(
        problem: Problem, layout: Layout, limit: float, score: Callable[[Layout], float],
        *rest: object,
    ) -> Layout:  # fmt: skip
        moved = replace(
            layout,
            placements=(*spots[:at], replace(spots[at], slot=off), *spots[at + 1 :]),
        )
        scores.extend((score(layout), score(moved)))
        return layout

    monkeypatch.setattr(second_goal, "second_goal", judged)
    assert with_second_goal(job, found, Effort.NORMAL) is found
    assert scores[0] > 0.0
    assert scores[1] < 0.0
