"""Copies are shared out between double cloth and the single cloth beside it."""

from __future__ import annotations

from fabrics.spread import Fold
from layout.effort import Effort
from plans.folds.fold_search import screen
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult
from plans.order import Order
from plans.problem.sharing import ToShare, evened
from tests.plans.rectangles import INCH, inch_cloth, project, rectangle


def test_both_kinds_of_cloth_fill_alike() -> None:
    """One row double and two single: 16 columns of 4 copies hold 63."""
    assert evened([ToShare(9.5, 1, 2, pairs=31, alone=1)]) == (16,)


def test_nothing_goes_where_there_is_no_place() -> None:
    """Too wide for the single cloth: all stay two at a time."""
    assert evened([ToShare(9.5, 1, 0, pairs=31)]) == (31,)


def test_what_lies_on_the_fold_takes_double_cloth() -> None:
    """Two wholes on the fold fill as much as the pairs that go over to the single cloth."""
    assert evened([ToShare(10.0, 1, 0, 0, on_fold=2), ToShare(10.0, 1, 1, pairs=4)]) == (0, 2)


def test_many_squares_beside_a_flap() -> None:
    """63 squares of 9 1/2 in on 42 in: four to a column, 16 columns, 152 in."""
    order = Order(project(rectangle("square", 9.5, 9.5, 63)), {}, gap=0.0, ends=0.0)
    job = job_for(order, ("cloth",), inch_cloth(42.0))
    found = screen(job, Fold.PARTIAL, Effort.QUICK, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    assert found.length <= 153.0 * INCH
