"""What is kept where it is: the search lays the rest around it, and the validator sees to it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fabrics.spread import Fold, make_spread
from layout.effort import Effort
from layout.errors import ProblemError
from layout.layout import Layout, Placement, cloth_length, reached
from layout.problem import Item, Pose, Section, Slot, Wanted
from layout.second_goal import second_goal
from layout.solver import solve
from layout.strip_problem import StripProblem
from layout.validator import Code, validate
from tests.layout.random_problems import random_strip

AS_DRAWN = Pose(0.0)
SLOT = Slot(0, 0, (0,), 0, (AS_DRAWN,))


def rectangle(key: str, long: float, wide: float, demand: int = 1) -> Item:
    return Item(key, (((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide)),), demand, (SLOT,))


def strip(*items: Item, kept: tuple[Placement, ...] = (), width: float = 100.0) -> StripProblem:
    spread = make_spread(Fold.OPEN, width, 0.0)
    wanted = {item.key: Wanted(either=item.demand) for item in items}
    return StripProblem(items, (Section("open", spread),), gap=0.0, wanted=wanted, kept=kept)


def test_what_is_kept_lies_where_it_was_and_the_rest_around_it() -> None:
    """Two of 60 across do not lie side by side on 100; the small ones fit beside the kept one."""
    kept = Placement(0, 0, AS_DRAWN, 30.0, 40.0)
    problem = strip(rectangle("a", 50.0, 60.0), rectangle("b", 30.0, 100.0),
                    rectangle("c", 50.0, 40.0), kept=(kept,))  # fmt: skip
    layout = solve(problem, Effort.QUICK)
    assert kept in layout.placements
    assert layout.extents == (80.0,)
    assert not validate(problem, layout)


def test_no_lay_is_shorter_than_what_is_kept() -> None:
    """The search ends there, whatever room is left."""
    kept = Placement(0, 0, AS_DRAWN, 500.0, 0.0)
    problem = strip(rectangle("a", 50.0, 60.0), rectangle("b", 30.0, 30.0), kept=(kept,))
    layout = solve(problem, Effort.QUICK)
    assert cloth_length(problem, layout.extents) == 550.0
    assert layout.placements[0] == kept


def test_one_of_several_alike_is_kept() -> None:
    """The others of its kind are laid anew."""
    kept = Placement(0, 0, AS_DRAWN, 0.0, 25.0)
    problem = strip(rectangle("a", 50.0, 50.0, 3), kept=(kept,))
    layout = solve(problem, Effort.QUICK)
    assert sum(placed == kept for placed in layout.placements) == 1
    assert len(layout.placements) == 3
    assert layout.extents == pytest.approx((100.0,), abs=1e-3)


def test_all_may_be_kept() -> None:
    """Then the layout is what it was."""
    kept = (Placement(0, 0, AS_DRAWN, 0.0, 0.0), Placement(1, 0, AS_DRAWN, 60.0, 0.0))
    problem = strip(rectangle("a", 50.0, 60.0), rectangle("b", 30.0, 30.0), kept=kept)
    layout = solve(problem, Effort.QUICK)
    assert layout.placements == kept
    assert layout.extents == (90.0,)
    assert second_goal(problem, layout, 200.0, lambda _: 1.0).placements == kept


def test_a_layout_that_moved_what_is_kept_is_refused() -> None:
    """By a tenth of a mm, too."""
    kept = Placement(0, 0, AS_DRAWN, 0.0, 0.0)
    problem = strip(rectangle("a", 50.0, 60.0), kept=(kept,))
    moved = Layout((replace(kept, x=0.1),), (50.1,))
    assert [one.code for one in validate(problem, moved)] == [Code.KEPT]


def test_more_than_is_wanted_cannot_be_kept() -> None:
    """The problem says so when it is made."""
    kept = Placement(0, 0, AS_DRAWN, 0.0, 0.0)
    with pytest.raises(ProblemError, match="2 are kept, but 1 are wanted"):
        strip(rectangle("a", 50.0, 60.0), kept=(kept, replace(kept, x=60.0)))
    with pytest.raises(ProblemError, match="does not permit"):
        strip(rectangle("a", 50.0, 60.0), kept=(replace(kept, pose=Pose(90.0)),))


def test_long_searches_and_the_second_goal_keep_it_too() -> None:
    """The separation search and the corner that grows go around it."""
    items = [rectangle(f"r{k}", 40.0 + 7.0 * k, 20.0 + 5.0 * k, 2) for k in range(4)]
    kept = Placement(1, 0, AS_DRAWN, 60.0, 30.0)
    problem = strip(*items, kept=(kept,))
    little = replace(Effort.BRISK, evaluations=20_000, members=1)
    layout = solve(problem, little)
    assert kept in layout.placements
    assert not validate(problem, layout)
    tidied = second_goal(problem, layout, layout.extents[0] + 50.0, lambda _: 1.0, little)
    assert kept in tidied.placements
    assert not validate(problem, tidied)


@pytest.mark.parametrize("seed", [k for k in range(14) if random_strip(k) is not None])
def test_parts_of_random_layouts_are_kept(seed: int) -> None:
    """Under every constraint what was found may be kept in part, and is no longer then."""
    problem = random_strip(seed)
    assert problem is not None
    found = solve(problem, Effort.GLANCE, seed)
    rng = np.random.default_rng(seed)
    kept = tuple(p for p in found.placements if rng.random() < 0.5)
    around = replace(problem, kept=kept)
    again = solve(around, Effort.GLANCE, seed, start=found)
    assert not validate(around, again)
    assert cloth_length(around, again.extents) <= cloth_length(problem, found.extents) + 1e-6
    assert all(extent >= least for extent, least in zip(
        again.extents, reached(problem, kept), strict=True
    ))  # fmt: skip
