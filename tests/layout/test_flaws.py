"""Flaws without end and without number: work is bounded, and every piece keeps clear of them."""

from __future__ import annotations

import numpy as np

from fabrics.spread import Fold, make_spread
from layout.effort import Effort
from layout.layout import cloth_length
from layout.problem import Flaw, Item, Pose, Section, Slot, Span, Wanted
from layout.search.model import strip_model
from layout.solver import solve
from layout.strip_problem import StripProblem
from layout.validator import validate
from pieces.geometry_types import Ring


def flaw(x: float, y: float, long: float, wide: float) -> Flaw:
    return Flaw(((x, y), (x + long, y), (x + long, y + wide), (x, y + wide)))


def pieces_beside(flaws: tuple[Flaw, ...]) -> StripProblem:
    """Four rectangles of 300 x 200 mm on a single layer of 900 mm."""
    shape: Ring = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))
    spread = make_spread(Fold.OPEN, 900.0, 10.0)
    item = Item("panel", (shape,), 4, (Slot(0, 0, (0,), 0, (Pose(0.0), Pose(180.0))),))
    sections = (Section("open", spread),)
    return StripProblem((item,), sections, flaws, wanted={"panel": Wanted(drawn=4)})


def test_flaws_over_the_whole_width_are_passed_by() -> None:
    """Before one that leaves room, else beyond it, however long it is; several alike."""
    lengths = []
    for flaws in (
        (flaw(400.0, 0.0, 1e6, 900.0),),
        (flaw(100.0, 0.0, 1e6, 900.0),),
        tuple(flaw(100.0 + 60_000.0 * k, 0.0, 59_800.0, 900.0) for k in range(5)),
    ):
        problem = pieces_beside(flaws)
        layout = solve(problem, Effort.GLANCE)
        assert validate(problem, layout) == []
        lengths.append(cloth_length(problem, layout.extents))
    assert lengths[0] == 300.0
    assert 1e6 < lengths[1] < 1.001e6
    # The cloth between them is too short for a panel and its gaps: beyond the last one.
    assert 299_900.0 < lengths[2] < 300_500.0


def test_flaws_of_one_size_share_their_no_fit_polygons() -> None:
    """A hundred flaws are two shapes; layouts keep clear of all."""
    flaws = tuple(
        flaw(37.3 * k % 700.0, 13.7 * k % 880.0, *((5.0, 5.0) if k % 2 else (8.0, 3.0)))
        for k in range(100)
    )
    problem = pieces_beside(flaws)
    model = strip_model(problem, 0, {0: 4}, Span(0.0, 700.0, 0.0, 700.0))
    assert len(model.obstacles) == 100
    assert len(model.bases) == 1 + 2
    found = {
        tuple(np.round(model.shapes[o.shape].points.min(axis=0) + np.array([o.x, o.y]), 3))
        for o in model.obstacles
    }
    assert found == {tuple(np.round(one.outline[0], 3)) for one in flaws}
    layout = solve(problem, Effort.GLANCE)
    assert validate(problem, layout) == []
