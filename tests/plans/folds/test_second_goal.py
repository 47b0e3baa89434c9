"""The second goal in a plan: the same purchase, no less left over, no half off its fold."""

from __future__ import annotations

from dataclasses import replace

from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout.effort import Effort
from plans.folds.fold_search import screen
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult
from plans.folds.second_goal import _on_fold, tidied, worth_of_leftovers
from plans.order import Order
from tests.plans.demo import garment


def test_as_much_is_bought_and_no_less_is_left() -> None:
    """On the plush of the hare: halves stay on the fold, the leftover does not shrink."""
    effort = replace(Effort.NORMAL, evaluations=1_500_000)
    job = job_for(Order(garment("toy-hare"), {}), ("plush",), plain_fabric("140cm"))
    found = screen(job, Fold.LENGTHWISE, Effort.QUICK, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    tidy = tidied(job, found, effort)
    assert tidy.bought == found.bought
    assert worth_of_leftovers(job, tidy, tidy.layout) >= worth_of_leftovers(
        job, found, found.layout
    )
    assert _on_fold(tidy, tidy.layout) >= _on_fold(found, found.layout)
