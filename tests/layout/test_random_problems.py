"""Random problems from seeds: every spread, turn, hand, lattice, flaw and leftover.

A longer soak of the same runs outside the suite: `python -m tests.bench.soak`.
"""

from __future__ import annotations

import pytest
from shapely.geometry import Polygon

from layout.effort import Effort
from layout.problem import Problem
from tests.bench.soak import fault
from tests.layout.random_problems import random_leftover, random_strip

QUICK = range(1000, 1040)
SEPARATED = range(2000, 2012)


def problems(seed: int) -> list[Problem]:
    """A strip, if the seed gives a sound one, and a leftover."""
    strip = random_strip(seed)
    return [random_leftover(seed)] + ([] if strip is None else [strip])


FAILED_ONCE = (111,)
"""Seeds that the soak found a fault with: 111 splits a sliver off a no-fit polygon."""

CROSSED_ONCE = (45, 5006)
"""Seeds of leftovers whose outline was drawn across itself, which ended the soak."""


def test_no_leftover_is_drawn_across_itself() -> None:
    """A problem that cannot be made tells nothing of the search."""
    for seed in CROSSED_ONCE:
        assert Polygon(random_leftover(seed).outline).is_valid, f"seed {seed}"


def test_seeds_that_failed_once_do_not_fail_again() -> None:
    """A fault found by the soak stays mended."""
    for seed in FAILED_ONCE:
        for problem in problems(seed):
            assert fault(problem, Effort.GLANCE, 0.3) == "", f"seed {seed}"


@pytest.mark.parametrize("effort", [Effort.GLANCE, Effort.ENDLESS], ids=lambda one: one.name)
def test_random_problems_never_give_an_invalid_layout(effort: Effort) -> None:
    """No crash, no violation, no bound above a found length."""
    for seed in QUICK if effort is Effort.GLANCE else SEPARATED:
        for problem in problems(seed):
            assert fault(problem, effort, 0.3) == "", f"seed {seed}"
