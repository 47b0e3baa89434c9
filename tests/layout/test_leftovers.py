"""Bounded pieces of cloth: what the separation brings in that the orders leave out."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest
from shapely.geometry import Polygon

from layout.bounded_problem import BoundedProblem
from layout.effort import Effort
from layout.layout import EndedBy, Layout
from layout.problem import Item, Lattice, Pose, Slot, Wanted
from layout.search.progress import Progress
from layout.solver import solve
from layout.validator import validate
from tests.layout.examples import ALONG, rect
from tests.layout.test_solver import jigsaw


def puzzle(parts: int, room: float) -> BoundedProblem:
    """A rectangle cut up, and a leftover that is larger each way by a factor."""
    rings = jigsaw(parts, parts, 600.0, 400.0)
    items = tuple(
        Item(
            str(k),
            (ring if Polygon(ring).exterior.is_ccw else ring[::-1],),
            1,
            (Slot(0, 0, (0,), 0, ALONG),),
        )
        for k, ring in enumerate(rings)
    )
    wanted = {str(k): Wanted(drawn=1) for k in range(len(rings))}
    return BoundedProblem(items, rect(600.0 * room, 400.0 * room), gap=0.0, wanted=wanted)


@pytest.mark.parametrize("parts", [5, 9])
def test_a_cut_up_leftover_goes_together_again(parts: int) -> None:
    """With four per cent to spare each way everything finds its place."""
    problem = puzzle(parts, 1.04)
    layout = solve(problem, Effort.NORMAL)
    assert validate(problem, layout) == []
    assert layout.unplaced == ()
    assert layout.ended_by is EndedBy.BOUND


def test_the_leftover_is_filled_alike_whatever_the_workers() -> None:
    """Threads of this process or an executor: one layout."""
    effort = replace(Effort.NORMAL, evaluations=300_000)
    problem = puzzle(9, 0.97)
    first = solve(problem, effort, seed=3)
    assert validate(problem, first) == []
    with ThreadPoolExecutor(1) as executor:
        assert solve(problem, effort, seed=3, executor=executor) == first


def test_the_worthier_piece_stays() -> None:
    """Where one of two must go it is the one of less priority, though it is larger."""
    items = (
        Item("large", (rect(300.0, 200.0),), 1, (Slot(0, 0, (0,), 0, ALONG),), priority=1.0),
        Item("small", (rect(200.0, 200.0),), 1, (Slot(0, 0, (0,), 0, ALONG),), priority=5.0),
    )
    problem = BoundedProblem(
        items, rect(400.0, 210.0), wanted={k: Wanted(drawn=1) for k in ("large", "small")}
    )
    layout = solve(problem, Effort.QUICK)
    assert [problem.items[p.item].key for p in layout.placements] == ["small"]
    assert layout.unplaced == (0,)


def test_what_fits_nowhere_is_left_out_and_the_rest_laid() -> None:
    """A piece longer than the leftover does not keep the others from it."""
    items = (
        Item("long", (rect(900.0, 50.0),), 1, (Slot(0, 0, (0,), 0, ALONG),)),
        Item("short", (rect(300.0, 50.0),), 2, (Slot(0, 0, (0,), 0, ALONG),)),
    )
    wanted = {"long": Wanted(drawn=1), "short": Wanted(drawn=2)}
    problem = BoundedProblem(items, rect(400.0, 200.0), wanted=wanted)
    layout = solve(problem, Effort.NORMAL)
    assert layout.unplaced == (0,)
    assert layout.ended_by is EndedBy.BOUND
    nothing = replace(problem, items=items[:1], wanted={"long": Wanted(drawn=1)})
    assert solve(nothing, Effort.QUICK).placements == ()


def test_a_repeat_holds_on_a_leftover() -> None:
    """Pieces of checked leftovers lie in phase."""
    lattice = Lattice((20.0, 10.0), pitch_x=70.0, phase_x=15.0)
    item = Item("a", (rect(100.0, 80.0),), 4, (Slot(0, 0, (0,), 0, ALONG, None, lattice),))
    problem = BoundedProblem((item,), rect(500.0, 200.0), wanted={"a": Wanted(drawn=4)})
    layout = solve(problem, Effort.QUICK)
    assert validate(problem, layout) == []
    assert layout.placements


def test_a_start_on_a_leftover_is_kept_unless_more_fits() -> None:
    """What lies already goes on lying; the rest is brought in."""
    problem = puzzle(5, 1.08)
    part = solve(problem, Effort.GLANCE)
    empty = Layout((), (0.0,), unplaced=tuple(range(5)))
    assert len(solve(problem, Effort.GLANCE, start=part).placements) >= len(part.placements)
    assert len(solve(problem, Effort.GLANCE, start=empty).placements) == len(part.placements)


def test_an_interrupt_on_a_leftover_keeps_the_best() -> None:
    """What was laid until then comes back, and says so."""

    def interrupt(progress: Progress) -> None:
        raise KeyboardInterrupt

    problem = puzzle(5, 1.04)
    layout = solve(problem, Effort.QUICK, on_progress=interrupt)
    assert layout.ended_by is EndedBy.INTERRUPT
    assert layout.placements
    assert validate(problem, layout) == []


def test_turned_pieces_use_an_irregular_leftover() -> None:
    """A triangle takes a triangle, whichever way round it was drawn."""
    corner = ((0.0, 0.0), (300.0, 0.0), (0.0, 200.0))
    item = Item("corner", (corner,), 1, (Slot(0, 0, (0,), 0, (Pose(0.0), Pose(180.0))),))
    there = ((305.0, 0.0), (305.0, 205.0), (0.0, 205.0))
    problem = BoundedProblem((item,), there, wanted={"corner": Wanted(drawn=1)})
    layout = solve(problem, Effort.QUICK)
    assert layout.unplaced == ()
    assert layout.placements[0].pose.angle_deg == 180.0
