"""The second goal: within the same length more is left over in one piece, and all stays valid."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.effort import Effort
from layout.layout import Layout, cloth_length
from layout.problem import Item, Slot, Wanted
from layout.second_goal import second_goal
from layout.solver import solve
from layout.strip_problem import StripProblem
from layout.validator import validate
from tests.layout.examples import ALONG, EXAMPLES, rect


def strip_of_rectangles() -> StripProblem:
    """Four blocks of 300 x 200 on an open strip as wide as three of them."""
    sections = EXAMPLES["open"]().sections
    item = Item("block", (rect(300.0, 200.0),), 4, (Slot(0, 0, (0,), 0, ALONG),))
    return StripProblem((item,), sections, gap=0.0, wanted={"block": Wanted(drawn=4)})


def free_end(layout: Layout) -> float:
    """Less the farther the blocks lie along the cloth: a simple score."""
    return -sum(p.x for p in layout.placements)


def scattered(problem: StripProblem) -> Layout:
    """The blocks in the four corners of 70 cm of cloth, so that nothing of use is left."""
    layout = solve(problem, Effort.QUICK)
    corners = [(0.0, 10.0), (0.0, 780.0), (400.0, 10.0), (400.0, 780.0)]
    placements = tuple(
        replace(spot, x=x, y=y) for spot, (x, y) in zip(layout.placements, corners, strict=True)
    )
    return replace(layout, placements=placements, extents=(700.0,))


def whole_width_left(layout: Layout) -> float:
    """Area (mm2) of what is left of 70 cm of the cloth over its whole width, beyond all blocks."""
    lengths = (300.0 if spot.pose.angle_deg % 180.0 == 0.0 else 200.0 for spot in layout.placements)
    ends = (spot.x + long for spot, long in zip(layout.placements, lengths, strict=True))
    return (700.0 - max(ends)) * 980.0


def test_more_is_left_and_the_layout_stays_valid() -> None:
    """Pieces that lie apart come together; never longer than allowed; the same each time.

    At best all four lie side by side, and 40 cm are left: at least a quarter of that is found.
    """
    effort = replace(Effort.NORMAL, evaluations=600_000)
    problem = strip_of_rectangles()
    layout = scattered(problem)
    assert validate(problem, layout) == []
    assert whole_width_left(layout) == 0.0
    found = second_goal(problem, layout, 700.0, whole_width_left, effort, 3)
    assert validate(problem, found) == []
    assert cloth_length(problem, found.extents) <= 700.0 + 1e-6
    assert whole_width_left(found) >= 100.0 * 980.0
    assert second_goal(problem, layout, 700.0, whole_width_left, effort, 3) == found


def test_what_leaves_no_more_is_not_taken() -> None:
    """Side by side at the end of the cloth, there is nothing to gain."""
    effort = replace(Effort.NORMAL, evaluations=100_000)
    problem = strip_of_rectangles()
    layout = solve(problem, Effort.QUICK)
    assert second_goal(problem, layout, 700.0, whole_width_left, effort) is layout


def test_a_quick_search_leaves_it_as_it_is() -> None:
    """Without work there is no second goal."""
    problem = strip_of_rectangles()
    layout = solve(problem, Effort.QUICK)
    assert second_goal(problem, layout, 5000.0, free_end, Effort.QUICK) is layout


@pytest.mark.parametrize("name", ["lengthwise", "partial", "double", "crosswise", "turned"])
def test_every_spread_takes_the_second_goal(name: str) -> None:
    """Whatever comes out is valid and within the length."""
    effort = replace(Effort.NORMAL, evaluations=300_000)
    problem = EXAMPLES[name]()
    layout = solve(problem, Effort.QUICK)
    limit = 1.2 * cloth_length(problem, layout.extents)
    found = second_goal(problem, layout, limit, free_end, effort, 1)
    assert validate(problem, found) == []
    assert cloth_length(problem, found.extents) <= limit + 1e-6
