"""Flawed cloth and the choice of a variant: a glance at one must not be misled by a flaw."""

from __future__ import annotations

from dataclasses import replace

from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from layout.effort import Effort
from plans.folds.fold_search import screen
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult
from plans.order import Order
from tests.plans.demo import garment


def test_a_flaw_behind_the_pieces_costs_nothing_in_combined_folds() -> None:
    """What lies best on sound cloth is looked at again, however far a glance passed the flaw by."""
    trousers, linen = garment("trousers"), find_fabric("demo-linen")
    spot = ((1490.0, 200.0), (1520.0, 200.0), (1520.0, 215.0), (1490.0, 215.0))
    lengths = []
    for flaws in ((), (spot,)):
        job = job_for(Order(trousers, {}), trousers.roles, replace(linen, flaws=flaws))
        found = screen(job, Fold.SECTIONED, Effort.QUICK, Effort.GLANCE)
        assert isinstance(found, FoldResult)
        assert found.is_sound
        lengths.append(found.length)
    sound, flawed = lengths
    assert sound + 15.0 < spot[0][0] - job.gap
    assert flawed < 1.001 * sound
