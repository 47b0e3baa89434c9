"""Which folds are searched on in: what would be chosen, the shortest, then the next shortest."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from layout.effort import Effort
from layout.layout import EndedBy
from plans.answer import deepening
from plans.answer.deepening import DEEPENED, deepen_folds
from plans.choice.fold_choice import choose, shortest
from plans.folds.fold_search import screen
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for
from plans.folds.levels import Level, level_for
from plans.folds.outcome import FoldResult, Outcome
from plans.order import Order
from tests.plans.demo import garment

BRISK = Level(Effort.GLANCE, Effort.GLANCE, Effort.BRISK)


@pytest.fixture(scope="module")
def screened() -> tuple[FabricJob, dict[Fold, Outcome]]:
    skirt = garment("wrap-skirt")
    job = job_for(Order(skirt, {}), skirt.roles, find_fabric("demo-linen"))
    return job, {fold: screen(job, fold, Effort.GLANCE, Effort.GLANCE) for fold in Fold}


def test_the_chosen_and_the_shortest_are_searched_on_in(
    screened: tuple[FabricJob, dict[Fold, Outcome]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each once, and whoever listens hears of it before."""
    job, outcomes = screened
    results = dict(outcomes)
    begun: list[Fold] = []
    searched: list[Fold] = []

    def deepened(_: FabricJob, result: FoldResult, *more: object) -> FoldResult:
        assert begun[-1] is result.fold
        searched.append(result.fold)
        return replace(result, bought=result.bought - 1.0)

    monkeypatch.setattr(deepening, "deepen", deepened)
    assert not deepen_folds(job, results, BRISK, on_fold=begun.append)
    found = {f: r for f, r in outcomes.items() if isinstance(r, FoldResult)}
    assert searched == begun
    assert len(set(searched)) == DEEPENED
    assert {choose(found, job), shortest(found)} <= {*searched, Fold.OPEN}
    assert all(results[fold] is not outcomes[fold] for fold in searched)


def test_a_first_look_searches_on_in_none(
    screened: tuple[FabricJob, dict[Fold, Outcome]], monkeypatch: pytest.MonkeyPatch
) -> None:
    job, outcomes = screened
    monkeypatch.setattr(deepening, "deepen", None)
    assert not deepen_folds(job, dict(outcomes), level_for("quick"))


def test_an_interrupt_leaves_the_other_folds_as_they_were(
    screened: tuple[FabricJob, dict[Fold, Outcome]], monkeypatch: pytest.MonkeyPatch
) -> None:
    job, outcomes = screened
    begun: list[Fold] = []

    def interrupted(_: FabricJob, result: FoldResult, *more: object) -> FoldResult:
        return replace(result, layout=result.layout.with_ending(EndedBy.INTERRUPT))

    monkeypatch.setattr(deepening, "deepen", interrupted)
    assert deepen_folds(job, dict(outcomes), BRISK, on_fold=begun.append)
    assert len(begun) == 1
