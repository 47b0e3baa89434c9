"""A section of flawed cloth becomes shorter: what lies behind it meets other flaws."""

from __future__ import annotations

import numpy as np
import pytest

from fabrics.spread import Fold, make_spread
from layout.effort import Effort
from layout.layout import Layout, cloth_length
from layout.problem import Flaw, Item, Placement, Pose, Section, Slot, Wanted
from layout.search.construct import improve_order, make_constructor
from layout.search.model import Model, strip_model
from layout.search.state import State
from layout.search.within.behind import has_behind, layouts_behind
from layout.solver import solve
from layout.strip_problem import StripProblem
from layout.validator import validate
from pieces.geometry_types import Ring
from tests.layout.test_flaws import GAP, flaw

LONG = 200.0
PANEL: Ring = ((0.0, 0.0), (LONG, 0.0), (LONG, 850.0), (0.0, 850.0))


def two_sections(*flaws: Flaw) -> StripProblem:
    """A panel in either of two sections of cloth 900 mm wide."""
    sections = tuple(Section(name, make_spread(Fold.OPEN, 900.0)) for name in ("1", "2"))
    items = tuple(
        Item(key, (PANEL,), 1, (Slot(k, 0, (0,), 0, (Pose(0.0),)),))
        for k, key in enumerate(("first", "second"))
    )
    wanted = {item.key: Wanted(either=1) for item in items}
    return StripProblem(items, sections, flaws, gap=GAP, wanted=wanted)


def loose() -> Layout:
    """The first panel 60 mm from the end, the second 30 mm from where its section begins."""
    placed = (Placement(0, 0, Pose(0.0), 60.0, 0.0), Placement(1, 0, Pose(0.0), 30.0, 0.0))
    return Layout(placed, (60.0 + LONG, 30.0 + LONG))


def anew(model: Model) -> State | None:
    rng = np.random.default_rng(1)
    built = improve_order(make_constructor(model), 2, rng, lambda: False, lambda _: False)
    return None if built is None else built.state


def lengths_behind(problem: StripProblem, x: float) -> list[float]:
    """Cloth lengths of the layouts with the first panel at `x`, each of which is right."""
    layout = loose()
    assert validate(problem, layout) == []
    model = strip_model(problem, 0, {0: 1}, problem.span_with_place(0, layout.extents))
    state = State(np.array([0], dtype=np.int32), np.array([x]), np.array([0.0]))
    found = list(layouts_behind(problem, layout, 0, model, state, anew))
    assert all(validate(problem, one) == [] for one in found)
    return [cloth_length(problem, one.extents) for one in found]


def test_what_lies_behind_moves_on_where_no_flaw_is_in_the_way() -> None:
    """By as much as the first section became shorter, stays where it is, or is laid anew."""
    before = 60.0 + LONG + 2.0 * GAP + 30.0 + LONG
    assert cloth_length(two_sections(), loose().extents) == before
    found = lengths_behind(two_sections(flaw(900.0, 400.0, 10.0, 10.0)), 0.0)
    assert found == pytest.approx([before - 60.0, before, before - 90.0], abs=0.2)


def test_what_would_come_to_lie_on_a_flaw_stays_or_is_laid_anew() -> None:
    """A spot between the panels: moved on, the second would lie on it."""
    before = 60.0 + LONG + 2.0 * GAP + 30.0 + LONG
    spot = flaw(270.0, 400.0, 10.0, 10.0)
    found = lengths_behind(two_sections(spot), 0.0)
    assert found == pytest.approx([before, 280.0 + GAP + LONG], abs=0.2)


def test_a_section_that_is_no_shorter_moves_nothing() -> None:
    assert lengths_behind(two_sections(flaw(900.0, 400.0, 10.0, 10.0)), 60.0) == []
    assert has_behind(loose(), 0)
    assert not has_behind(loose(), 1)


@pytest.mark.parametrize("ply", [0, 1])
def test_a_flaw_harms_only_what_is_cut_through_its_ply(ply: int) -> None:
    """A single piece on the upper ply of a fold across lies over a flaw of the lower one."""
    spread = make_spread(Fold.CROSSWISE, 900.0)
    section = Section("crosswise", spread, fold_at=700.0)
    item = Item("back", (PANEL,), 1, (Slot(0, 0, (1,), 0, (Pose(0.0),)),))
    # On either ply it lies 90 to 110 mm from where the lay begins.
    (x1, y1), (x2, y2) = spread.plies[ply].to_cloth(
        np.array([[90.0, 400.0], [110.0, 420.0]]), section.fold_at
    )
    spot = flaw(min(x1, x2), min(y1, y2), 20.0, 20.0)
    problem = StripProblem((item,), (section,), (spot,), gap=GAP, wanted={"back": Wanted(either=1)})
    layout = solve(problem, Effort.GLANCE)
    assert validate(problem, layout) == []
    least = LONG if ply == 0 else 110.0 + GAP + LONG
    assert layout.extents[0] == pytest.approx(least, abs=0.2)
