"""What is glanced at: variants that may be of use, and as many as the work allows."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from fabrics.spread import Fold
from layout.effort import Effort
from layout.fit import NoLayoutError, Why
from layout.solver import solve
from plans.folds import fold_search
from plans.folds.fold_search import screen
from plans.folds.jobs import jobs_for
from plans.folds.outcome import CURTAILED, FoldResult, Variant
from plans.folds.variants import variants
from plans.order import Order
from tests.plans.demo import cloth_for, garment

SOME = 35
"""Units that three variants of the garment below place, two ways each, but not four."""


def order() -> Order:
    return Order(garment("layered-top"), cloth_for("layered-top"), effort="quick")


def screened(fold: Fold) -> FoldResult:
    found = screen(jobs_for(order())[0], fold, Effort.QUICK, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    return found


@pytest.mark.parametrize("fold", [Fold.OPEN, Fold.SECTIONED])
def test_a_layout_that_would_be_too_long_is_given_up(fold: Fold) -> None:
    """With the reason; one that is just long enough is not."""
    job = jobs_for(order())[0]
    variant = next(v for v in variants(job, fold) if isinstance(v, Variant))
    problem = variant.built.problem
    rough = replace(Effort.GLANCE, rough=True)
    layout = solve(problem, rough)
    length = variant.laid(job, layout).length
    assert solve(problem, rough, longest=length) == layout
    with pytest.raises(NoLayoutError) as caught:
        solve(problem, rough, longest=length / 2.0)
    assert caught.value.why is Why.OUTDONE


@pytest.mark.parametrize("fold", [Fold.PARTIAL, Fold.DOUBLE, Fold.SECTIONED])
def test_what_is_given_up_would_not_have_been_kept(
    fold: Fold, monkeypatch: pytest.MonkeyPatch
) -> None:
    hurried = screened(fold)
    monkeypatch.setattr(fold_search, "_longest_of_use", lambda *_: math.inf)
    patient = screened(fold)
    assert hurried.rank == patient.rank
    assert hurried.layout == patient.layout


def test_variants_left_out_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each kind of first section is looked at before any is twice."""
    assert screened(Fold.SECTIONED).remark == ""
    offered = [v for v in variants(jobs_for(order())[0], Fold.SECTIONED) if isinstance(v, Variant)]
    kinds = {variant.sections[0].spread.fold for variant in offered}
    assert fold_search._affordable(offered) == offered
    monkeypatch.setattr(fold_search, "MOST_STARTED", SOME)
    taken = fold_search._affordable(offered)
    assert len(taken) == len(kinds) < len(offered)
    assert {variant.sections[0].spread.fold for variant in taken} == kinds
    assert screened(Fold.SECTIONED).remark == CURTAILED
