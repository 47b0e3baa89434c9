"""Flaws without end and without number: work is bounded, and every piece keeps clear of them."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from fabrics.spread import Fold, make_spread
from layout.effort import Effort
from layout.fit import NoLayoutError, Why
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


GAP = 3.0


def bars_across(
    fold: Fold, place: float, lengths: tuple[float, ...], flaws: tuple[tuple[float, float], ...]
) -> StripProblem:
    """Bars of the whole width, each cut through two plies; flaws over the whole width (x, x)."""
    spread = make_spread(fold, 900.0)
    slots = (Slot(0, 0, (0, 1), 0, (Pose(0.0),)),)
    items = tuple(
        Item(str(k), (((0.0, 0.0), (long, 0.0), (long, 899.0), (0.0, 899.0)),), 1, slots)
        for k, long in enumerate(lengths)
    )
    return StripProblem(
        items,
        (Section(fold.value, spread, fold_at=place),),
        tuple(flaw(start, 0.0, end - start, 900.0) for start, end in flaws),
        gap=GAP,
        wanted={item.key: Wanted(either=2) for item in items},
    )


def least_extent(
    fold: Fold, place: float, lengths: tuple[float, ...], flaws: tuple[tuple[float, float], ...]
) -> float:
    """How far the bars reach at best: all orders, each bar as near to the fold as it goes."""
    blocked = [(start - place, end - place) for start, end in flaws]
    if fold is Fold.TURNED:
        blocked += flaws
    else:
        blocked += [(place - end, place - start) for start, end in flaws]

    def reach(order: tuple[float, ...]) -> float:
        at = 0.0
        for long in order:
            # From left to right, so that one that is passed stays passed.
            for start, end in sorted(blocked):
                if at < end + GAP and at + long > start - GAP:
                    at = end + GAP
            at += long + GAP
        return at - GAP

    return min(reach(order) for order in itertools.permutations(lengths))


@pytest.mark.parametrize("fold", [Fold.CROSSWISE, Fold.TURNED])
@pytest.mark.parametrize("seed", range(6))
def test_flaws_on_a_fold_across_cost_no_more_than_they_must(fold: Fold, seed: int) -> None:
    """As short as the best of all orders for this place of the fold, or refused as it is."""
    rng = np.random.default_rng(seed)
    lengths = tuple(float(v) for v in rng.integers(10, 60, rng.integers(1, 4)) * 10)
    place = 1.4 * sum(lengths) + 20.0
    starts = rng.uniform(0.0, 2.5 * sum(lengths), 2)
    flaws = tuple((float(x), float(x) + 30.0) for x in starts)
    problem = bars_across(fold, place, lengths, flaws)
    best = least_extent(fold, place, lengths, flaws)
    if best + (GAP if fold is Fold.TURNED else 0.0) > place:
        with pytest.raises(NoLayoutError) as caught:
            solve(problem, Effort.QUICK)
        assert caught.value.why is Why.BEYOND_FOLD
        return
    layout = solve(problem, Effort.QUICK)
    assert validate(problem, layout) == []
    # Gaps are drawn a little wider than they are, 0.14 mm each.
    assert layout.extents[0] == pytest.approx(best, abs=1.0)
    assert cloth_length(problem, layout.extents) == pytest.approx(place + best, abs=1.0)


def test_the_fold_stays_where_it_is_put() -> None:
    """Cloth before the pieces is not saved by a shorter lay, and flaws beyond it do not matter."""
    problem = bars_across(Fold.CROSSWISE, 1000.0, (300.0,), ((0.0, 650.0), (1350.0, 1400.0)))
    layout = solve(problem, Effort.GLANCE)
    assert validate(problem, layout) == []
    assert problem.spans(layout.extents)[0].lay_length == 1000.0
    assert cloth_length(problem, layout.extents) == pytest.approx(1300.0)
    nearer = replace(problem.sections[0], fold_at=900.0)
    assert validate(replace(problem, sections=(nearer,)), layout) != []


def test_a_fold_across_in_the_second_section_keeps_clear_too() -> None:
    """The section before decides where its cloth begins."""
    first = Section("1 open", make_spread(Fold.OPEN, 900.0))
    second = Section("2 crosswise", make_spread(Fold.CROSSWISE, 900.0), fold_at=500.0)
    shape: Ring = ((0.0, 0.0), (200.0, 0.0), (200.0, 850.0), (0.0, 850.0))
    single = Item("yoke", (shape,), 1, (Slot(0, 0, (0,), 0, (Pose(0.0),)),))
    pair = Item("panel", (shape,), 1, (Slot(1, 0, (0, 1), 0, (Pose(0.0),)),))
    wanted = {"yoke": Wanted(either=1), "panel": Wanted(either=2)}
    # The second begins a gap on either side of the cut behind 200 mm: its fold lies at 706 mm.
    spot = flaw(810.0, 400.0, 10.0, 10.0)
    problem = StripProblem((single, pair), (first, second), (spot,), gap=GAP, wanted=wanted)
    layout = solve(problem, Effort.GLANCE)
    assert validate(problem, layout) == []
    assert layout.extents == pytest.approx((200.0, 820.0 - 706.0 + GAP + 200.0), abs=0.2)
