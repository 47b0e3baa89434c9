"""Proofs by arranging pieces along the cloth, against the shortest layouts of small cases."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from multiprocessing import get_context

import pytest

from fabrics.spread import Fold, make_spread
from layout.bounds.proving.arranged import arranged_bound, has_prover, prove_here
from layout.bounds.proving.bars import barred
from layout.bounds.terms.profile import profile_of
from layout.bounds.terms.relaxation import Way, relaxed, relaxed_copies
from layout.problem import Item, Pose, Section, Slot
from layout.strip_problem import StripProblem
from tests.layout.small_cases import CELL, SPREADS, random_case, rectangle, shortest

needs_prover = pytest.mark.skipif(
    not has_prover(), reason="OR-tools is not installed: pip install 'laywright[proof]'"
)


@pytest.fixture(scope="module")
def prover() -> Iterator[Executor]:
    """A process that proves; to begin one for each proof takes longer than the proofs."""
    with ProcessPoolExecutor(1, get_context("spawn")) as pool:
        yield pool


@needs_prover
@pytest.mark.parametrize("copies", [False, True], ids=["placements", "copies"])
@pytest.mark.parametrize("name", SPREADS)
def test_nothing_is_proved_above_the_shortest_layout(
    name: str, copies: bool, prover: Executor
) -> None:
    """Even if a longer layout is all that was found."""
    for seed in range(5):
        problem = random_case(name, seed)
        best = shortest(problem, copies)
        relaxation = relaxed_copies(problem) if copies else relaxed(problem)
        bound = prover.submit(
            prove_here, relaxation, 0.0, best + 2 * CELL, 2.0, (25.0, 12.5)
        ).result()
        assert bound.length <= best + 1e-6, (name, seed)


@needs_prover
def test_rows_are_proved_to_follow_one_another() -> None:
    """Seven squares of 400 mm, three across: three rows, less what a grid of 40 mm rounds away."""
    spread = make_spread(Fold.OPEN, 1400.0)
    square = ((0.0, 0.0), (400.0, 0.0), (400.0, 400.0), (0.0, 400.0))
    item = Item("square", (square,), 7, (Slot(0, 0, (0,), 0, (Pose(0.0),)),))
    problem = StripProblem((item,), (Section("open", spread),), gap=0.0)
    bound = arranged_bound(relaxed(problem), 0.0, 1300.0, 60.0, (40.0,))
    assert bound.length == pytest.approx(3 * 360.0, abs=0.1)


def test_bars_round_down() -> None:
    """150 mm by 100 mm and a gap of 3 mm: 15 cells of 10 mm, of which the ends lack the gap."""
    way = Way(0, 1, 0.0, None, whole=profile_of(rectangle(3, 2), Pose(0.0)))
    shape = barred(way, 1.5, 10.0)
    assert shape is not None
    assert shape.lines == 15
    assert [(bar.begin, bar.lines, bar.width) for bar in shape.bars] == [
        (0, 1, 99), (1, 14, 102),
    ]  # fmt: skip
    assert [(bar.begin, bar.lines, bar.width) for bar in shape.turned().bars] == [
        (0, 14, 102), (14, 1, 99),
    ]  # fmt: skip
