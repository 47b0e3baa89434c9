"""Flawed cloth and the choice of a variant: a glance at one must not be misled by a flaw."""

from __future__ import annotations

from dataclasses import replace

from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from layout.effort import Effort
from layout.layout import cloth_length
from layout.solver import solve
from plans.folds.fold_search import screen
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult, Variant
from plans.folds.variants import variants
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


def test_the_first_of_combined_sections_is_searched_too() -> None:
    """A flaw in the middle of the cloth: the folded part before the open one becomes shorter.

    Were only the last section searched, as long as the first is laid by orders, it took 1507 mm.
    """
    blouse, linen = garment("blouse"), find_fabric("demo-linen")
    y = linen.width_cut / 2.0 - 20.0
    spot = ((806.0, y), (846.0, y), (846.0, y + 40.0), (806.0, y + 40.0))
    job = job_for(Order(blouse, {}), blouse.roles, replace(linen, flaws=(spot,)))
    variant = next(
        one
        for one in variants(job, Fold.SECTIONED)
        if isinstance(one, Variant) and sum(one.built.pairing) == 3
    )
    effort = replace(Effort.BRISK, members=1, evaluations=400_000)
    layout = solve(variant.built.problem, effort, 1)
    assert variant.is_sound(layout)
    assert min(layout.extents) > 0.0
    assert cloth_length(variant.built.problem, layout.extents) < 1455.0
