"""The second goal: within the same length more is left over in one piece, and all stays valid."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.effort import Effort
from layout.layout import Layout, cloth_length
from layout.problem import Item, Problem, Slot, Strip, Wanted
from layout.solver import solve
from layout.tidy import tidy
from layout.validator import validate
from tests.layout.examples import ALONG, EXAMPLES, rect


def strip_of_rectangles() -> Problem:
    """Four blocks of 300 x 200 on an open strip as wide as three of them."""
    strip = EXAMPLES["open"]().container
    assert isinstance(strip, Strip)
    item = Item("block", (rect(300.0, 200.0),), 4, (Slot(0, 0, (0,), 0, ALONG),))
    return Problem(strip, (item,), gap=0.0, wanted={"block": Wanted(drawn=4)})


def free_end(layout: Layout) -> float:
    """Length (mm) beyond all placements but the longest row's: a simple score."""
    return -sum(p.x for p in layout.placements)


def test_more_is_left_and_the_layout_stays_valid() -> None:
    """Judged by any score; never longer than allowed; the same each time."""
    effort = replace(Effort.NORMAL, evaluations=600_000)
    problem = strip_of_rectangles()
    layout = solve(problem, Effort.QUICK)
    limit = cloth_length(problem, layout.extents) + 400.0
    before = free_end(layout)
    found = tidy(problem, layout, limit, free_end, effort, 2)
    assert validate(problem, found) == []
    assert cloth_length(problem, found.extents) <= limit + 1e-6
    assert free_end(found) >= before
    assert tidy(problem, layout, limit, free_end, effort, 2) == found


def test_a_quick_search_leaves_it_as_it_is() -> None:
    """Without work there is no second goal."""
    problem = strip_of_rectangles()
    layout = solve(problem, Effort.QUICK)
    assert tidy(problem, layout, 5000.0, free_end, Effort.QUICK) is layout


@pytest.mark.parametrize("name", ["lengthwise", "partial", "double", "crosswise", "turned"])
def test_every_spread_can_be_tidied(name: str) -> None:
    """Whatever comes out is valid and within the length."""
    effort = replace(Effort.NORMAL, evaluations=300_000)
    problem = EXAMPLES[name]()
    layout = solve(problem, Effort.QUICK)
    limit = 1.2 * cloth_length(problem, layout.extents)
    found = tidy(problem, layout, limit, free_end, effort, 1)
    assert validate(problem, found) == []
    assert cloth_length(problem, found.extents) <= limit + 1e-6
