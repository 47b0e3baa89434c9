"""Efforts: values that anyone may make, and that a search does as much work for as they say."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from layout.effort import Effort
from layout.solver import solve
from plans.compare.search import screening
from plans.folds.levels import level_for
from tests.layout.test_solver import many


def test_the_named_ones_are_in_order() -> None:
    """Each of the three that a user names does no less than the one before, and searches on."""
    named = [Effort.GLANCE, Effort.QUICK, Effort.BRISK, Effort.NORMAL, Effort.THOROUGH]
    assert [one.placements for one in named] == sorted(one.placements for one in named)
    assert [one.evaluations for one in named] == sorted(one.evaluations for one in named)
    assert Effort.QUICK.evaluations == 0 < Effort.NORMAL.evaluations
    assert Effort("quick", 800, shared_out=800) == Effort.QUICK


@pytest.mark.parametrize(
    "wrong",
    [
        {"placements": -1},
        {"evaluations": -5},
        {"least_orders": 0},
        {"members": 0},
        {"members": 101},
    ],
)
def test_counts_below_nothing_are_refused(wrong: dict[str, int]) -> None:
    """With the name of the effort."""
    with pytest.raises(ValueError, match="'quick'"):
        replace(Effort.QUICK, **wrong)  # type: ignore[arg-type]


def test_an_effort_of_ones_own_is_heard() -> None:
    """Only one that may evaluate positions sends out members to separate; any name will do."""

    class Counting(ThreadPoolExecutor):
        sent = 0

        def submit(self, fn, /, *args, **options):  # type: ignore[no-untyped-def]
            self.sent += 1
            return super().submit(fn, *args, **options)

    problem = many()
    sent = []
    for one in (Effort("mine", 40), Effort("mine, longer", 40, 20_000)):
        with Counting(1) as executor:
            solve(problem, one, executor=executor)
        sent.append(executor.sent)
    assert sent[0] == 0
    assert sent[1] > 0


def test_kept_answers_are_told_apart_by_the_work_and_not_by_its_name() -> None:
    """A comparison never takes what less work found for what more would."""
    level = level_for("normal")
    more = replace(level, screen=replace(level.screen, placements=900))
    assert screening(level) == screening(level_for("thorough"))
    assert screening(level) != screening(more)
