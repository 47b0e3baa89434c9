"""The second-best variant of a fold is searched in only where it may win, by what is proved."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout.bounds.best import Care
from layout.bounds.terms.bound import Bound, BoundKind
from layout.effort import Effort
from layout.layout import EndedBy
from plans.folds import fold_search
from plans.folds.bound import bound_of
from plans.folds.fold_search import deepen, may_better, may_equal, screen
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult, Variant
from plans.order import Order
from tests.plans.demo import garment

SKIRT = garment("wrap-skirt")
JOB = job_for(Order(SKIRT, {}), SKIRT.roles, plain_fabric("140cm"))


@pytest.fixture(scope="module")
def screened() -> FoldResult:
    """A skirt in a single layer, with a rival whose waistband is cut in other parts."""
    result = screen(JOB, Fold.OPEN, Effort.QUICK, Effort.GLANCE)
    assert isinstance(result, FoldResult)
    assert result.rival is not None
    return result


def searched_in(
    result: FoldResult, ended: EndedBy, least: float, monkeypatch: pytest.MonkeyPatch
) -> list[Variant]:
    """Variants searched in, briefly or long, where the rival buys so much at least (mm)."""
    rival = result.rival
    assert rival is not None
    searched: list[Variant] = []

    def search(_: FabricJob, variant: Variant, *_more: object) -> FoldResult:
        searched.append(variant)
        one = result if variant is result.variant else rival
        return replace(one, layout=one.layout.with_ending(ended), rival=None)

    def bound(_: FabricJob, variant: Variant, care: Care) -> Bound:
        # It takes a search for a proof to know it.
        proved = variant is rival.variant and care is Care.SEARCHED
        return Bound(BoundKind.PLACED, JOB.same_purchase(least - JOB.beyond) if proved else 0.0)

    monkeypatch.setattr(fold_search, "_search", search)
    monkeypatch.setattr(fold_search, "bound_of", bound)
    deepen(JOB, result, Effort.NORMAL)
    return searched


@pytest.mark.parametrize(
    ("ended", "steps", "wanted"),
    [
        (EndedBy.EFFORT, 1, False),
        (EndedBy.EFFORT, 0, True),
        (EndedBy.TARGET, 0, False),
        (EndedBy.TARGET, -1, True),
    ],
)
def test_a_rival_that_cannot_win_is_let_be(
    screened: FoldResult,
    ended: EndedBy,
    steps: int,
    wanted: bool,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One that buys as much may still have less to trace, unless the first is at its bound."""
    least = screened.bought + steps * JOB.fabric.step
    searched = searched_in(screened, ended, least, monkeypatch)
    assert (screened.rival is not None and screened.rival.variant in searched) is wanted


def test_more_care_only_ever_rules_out(screened: FoldResult) -> None:
    """Bounds rise with the care that they are worth; what a careful one permits all others do."""
    rival = screened.rival
    assert rival is not None
    lengths = [bound_of(JOB, rival.variant, care).length for care in Care]
    # Other arguments may be named for a length that is as good.
    assert all(more >= less - 0.5 for less, more in itertools.pairwise(lengths))
    for one, best in ((rival, screened), (screened, rival)):
        for of in (may_better, may_equal):
            answers = [of(JOB, one, best, care) for care in Care]
            assert answers == sorted(answers, reverse=True)


def test_of_the_skirt_the_rival_is_ruled_out_by_proof_alone(screened: FoldResult) -> None:
    """Little care leaves it room for less than it is known to need with more."""
    rival = screened.rival
    assert rival is not None
    assert may_better(JOB, rival, screened, Care.USUAL)
    assert not may_equal(JOB, rival, screened, Care.SEARCHED)
