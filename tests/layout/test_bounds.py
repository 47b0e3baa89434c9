"""Bounds against exhaustive small cases: a wrong bound is worse than a weak one."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fabrics.spread import Fold, make_spread
from layout.bounds.area import area_bound
from layout.bounds.best import Care, best_bound
from layout.bounds.fold_edges import fold_edge_bound
from layout.bounds.longest import least_width, longest_bound
from layout.bounds.terms.bound import BoundKind
from layout.bounds.terms.relaxation import relaxed
from layout.boxes import boxes_length
from layout.effort import Effort
from layout.layout import cloth_length
from layout.problem import Grain, Item, Pose, Section, Slot, Wanted
from layout.solver import solve
from layout.strip_problem import StripProblem
from tests.layout.examples import ALONG, EXAMPLES, folded, rect

UNIT = 50.0


def rectangles(sizes: list[tuple[int, int]], height: int) -> StripProblem:
    """Rectangles in cells of 50 mm on open cloth without gap or selvage."""
    spread = make_spread(Fold.OPEN, height * UNIT)
    items = tuple(
        Item(str(k), (rect(a * UNIT, b * UNIT),), 1, (Slot(0, 0, (0,), 0, (Pose(0.0),)),))
        for k, (a, b) in enumerate(sizes)
    )
    return StripProblem(
        items,
        (Section("open", spread),),
        gap=0.0,
        wanted={str(k): Wanted(drawn=1) for k in range(len(sizes))},
    )


def shortest(sizes: list[tuple[int, int]], height: int) -> int:
    """Least length in cells by trying everything: rectangles on whole cells.

    For rectangles in a strip some shortest layout lies on sums of sides, here whole cells.
    """
    for length in itertools.count(1):
        if _fits(sizes, height, length, frozenset()):
            return length
    raise AssertionError


def _fits(
    sizes: list[tuple[int, int]], height: int, length: int, taken: frozenset[tuple[int, int]]
) -> bool:
    if not sizes:
        return True
    a, b = sizes[0]
    for x in range(length - a + 1):
        for y in range(height - b + 1):
            cells = {(x + i, y + j) for i in range(a) for j in range(b)}
            if not cells & taken and _fits(sizes[1:], height, length, taken | cells):
                return True
    return False


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 3), st.integers(1, 3)), min_size=1, max_size=4),
    st.integers(3, 4),
)
def test_bounds_never_exceed_the_exhaustive_optimum(
    sizes: list[tuple[int, int]], height: int
) -> None:
    """No bound above the shortest of all layouts; no box packing below it."""
    problem = rectangles(sizes, height)
    best = shortest(sizes, height) * UNIT
    assert best_bound(problem, Care.CLOSE).length <= best + 1e-6
    boxes = boxes_length(problem)
    assert boxes is not None
    assert boxes >= best - 0.5
    assert cloth_length(problem, solve(problem, Effort.QUICK).extents) >= best - 0.01


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_bound_exceeds_a_found_length(name: str) -> None:
    """Every kind of spread: bound <= length <= boxes (where boxes mean anything)."""
    problem = EXAMPLES[name]()
    length = cloth_length(problem, solve(problem, Effort.QUICK).extents)
    assert best_bound(problem, Care.CLOSE).length <= length + 1e-6
    boxes = boxes_length(problem)
    if boxes is not None:
        assert boxes >= best_bound(problem, Care.CLOSE).length - 1e-6


def test_area_counts_both_plies() -> None:
    """A pair through two plies takes twice its area, a one-ply cut what it blocks, too."""
    problem = folded()
    usable = 2 * 490.0
    expected = (2 * 200 * 120 + 2 * 0.5 * 300 * (100 + 200)) / usable
    assert area_bound(relaxed(problem)).length == pytest.approx(expected)


def test_fold_edges_bound_pieces_that_lie_nowhere_else() -> None:
    """Three halves of 200 mm on one fold edge need 600 mm and two gaps."""
    problem = folded()
    three = replace(problem.items[0], demand=3)
    assert fold_edge_bound(replace(problem, items=(three,))).length == pytest.approx(606.0)
    assert fold_edge_bound(replace(problem, items=(problem.items[1],))).length == 0.0


def test_doubled_spreads_need_the_longest_piece_twice() -> None:
    """On a turned spread both plies carry it, and a gap lies between them."""
    spread = make_spread(Fold.TURNED, 1000.0, 10.0)
    item = Item("bar", (rect(400.0, 100.0),), 1, (Slot(0, 0, (0, 1), 0, ALONG),))
    problem = StripProblem((item,), (Section("turned", spread),))
    assert longest_bound(problem).length == pytest.approx(803.0)


def test_least_width_over_all_turns() -> None:
    """A square's least extent is its side, at whatever angle it was drawn.

    A regular hexagon's is the distance of its sides, sqrt(3) x side (plane geometry).
    """
    turn = math.radians(17)
    square = tuple(
        (
            100 * (x * math.cos(turn) - y * math.sin(turn)),
            100 * (x * math.sin(turn) + y * math.cos(turn)),
        )
        for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))
    )
    assert least_width(square) == pytest.approx(100.0)
    hexagon = tuple(
        (80 * math.cos(math.pi * k / 3), 80 * math.sin(math.pi * k / 3)) for k in range(6)
    )
    assert least_width(hexagon) == pytest.approx(80 * math.sqrt(3))


def test_pieces_that_turn_any_way_are_bounded_by_their_least_width() -> None:
    """The bound looks at all angles, not only at those that the search tries."""
    spread = make_spread(Fold.OPEN, 1000.0)
    item = Item("felt", (rect(400.0, 100.0),), 1, (Slot(0, 0, (0,), 0, ALONG),))
    problem = StripProblem((item,), (Section("open", spread),), grain={"felt": Grain(None)})
    assert longest_bound(problem).length == pytest.approx(100.0)


def test_boxes_of_rectangles_are_the_rectangles() -> None:
    """Nine napkins of a third of the width take three rows (rectpack's own answer)."""
    problem = rectangles([(2, 1)] * 9, 3)
    assert boxes_length(problem) == pytest.approx(6 * UNIT)


def test_boxes_that_stand_beyond_the_fold_pieces_are_counted_from_there() -> None:
    """A box too wide for the room beside a half begins where the half ends."""
    spread = make_spread(Fold.LENGTHWISE, 1400.0)
    half = Item(
        "half", (rect(500.0, 300.0),), 1, (Slot(0, 0, (0, 1), 0, ALONG, 0),),
        (((0.0, 0.0), (500.0, 0.0)),),
    )  # fmt: skip
    wide = Item("wide", (rect(480.0, 550.0),), 1, (Slot(0, 0, (0, 1), 0, ALONG),))
    small = Item("small", (rect(200.0, 100.0),), 1, (Slot(0, 0, (0, 1), 0, ALONG),))
    problem = StripProblem((half, wide, small), (Section("lengthwise", spread),), gap=3.0)
    assert boxes_length(problem) == pytest.approx(983.0)


def test_a_sliver_is_bounded_too() -> None:
    """A strip so narrow that no cross strip of it is worth cutting."""
    problem = rectangles([(6, 1)], 4)
    sliver = Item("sliver", (rect(300.0, 0.8),), 3, problem.items[0].slots)
    found = best_bound(replace(problem, items=(sliver,)), Care.CLOSE)
    assert found.kind is BoundKind.LONGEST_PIECE
    assert found.length == pytest.approx(300.0)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.integers(100, 500), st.integers(1, 4), st.floats(-4.0, 4.0), st.integers(1, 3)
        ),
        min_size=1,
        max_size=3,
    )
)
def test_no_bound_exceeds_what_widths_near_a_fraction_of_the_lay_need(
    pieces: list[tuple[int, int, float, int]],
) -> None:
    """Widths of 1000 mm / k and a few mm: what just fits beside itself with the gap, or not."""
    spread = make_spread(Fold.OPEN, 1000.0)
    items = tuple(
        Item(
            str(k), (rect(long, min(1000.0, 1000.0 / part + more)),), count,
            (Slot(0, 0, (0,), 0, (Pose(0.0),)),),
        )
        for k, (long, part, more, count) in enumerate(pieces)
    )  # fmt: skip
    problem = StripProblem(
        items,
        (Section("open", spread),),
        gap=3.0,
        wanted={str(k): Wanted(drawn=piece[3]) for k, piece in enumerate(pieces)},
    )
    found = solve(problem, Effort.QUICK)
    assert best_bound(problem, Care.CLOSE).length <= cloth_length(problem, found.extents) + 0.01


def test_a_piece_of_half_the_width_does_not_lie_beside_itself() -> None:
    """One of 501 mm on 1000 mm, with a gap of 3 mm: its own length is all that it takes."""
    spread = make_spread(Fold.OPEN, 1000.0)
    item = Item("0", (rect(400.0, 501.0),), 1, (Slot(0, 0, (0,), 0, (Pose(0.0),)),))
    problem = StripProblem(
        (item,), (Section("open", spread),), gap=3.0, wanted={"0": Wanted(drawn=1)}
    )
    assert 399.0 < best_bound(problem, Care.CLOSE).length <= 400.0
