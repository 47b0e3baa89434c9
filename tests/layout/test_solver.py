"""The solver: valid under every constraint, deterministic, anytime, and a floor of quality."""

from __future__ import annotations

import math
import threading
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon
from shapely.ops import split

from fabrics.spread import Fold, make_spread
from layout.bounded_problem import BoundedProblem
from layout.bounds.best import Care, best_bound
from layout.effort import Effort
from layout.layout import EndedBy, cloth_length
from layout.problem import (
    Flaw,
    Item,
    Lattice,
    Pose,
    Section,
    Slot,
    Wanted,
)
from layout.search import portfolio
from layout.search.portfolio import run_member
from layout.search.progress import Progress
from layout.solver import NoLayoutError, solve
from layout.strip_problem import StripProblem
from layout.validator import validate
from pieces.geometry_types import Ring
from tests.layout.examples import ALONG, BOTH, EXAMPLES, folded, rect


def length_of(problem: StripProblem, effort: Effort, **options: object) -> float:
    layout = solve(problem, effort, **options)  # type: ignore[arg-type]
    assert validate(problem, layout) == []
    return cloth_length(problem, layout.extents)


def many(copies: int = 6) -> StripProblem:
    """Wedges and strips enough to search on."""
    base = folded()
    return replace(
        base,
        items=(base.items[0], replace(base.items[1], demand=copies)),
        wanted={"front": Wanted(either=1), "wedge": Wanted(drawn=copies, other=copies)},
    )


@pytest.mark.parametrize("name", EXAMPLES)
def test_separation_keeps_every_constraint(name: str) -> None:
    """Normal effort, with little work: valid on every kind of spread, never longer than quick."""
    effort = replace(Effort.NORMAL, evaluations=150_000)
    problem = EXAMPLES[name]()
    quick = length_of(problem, Effort.GLANCE)
    assert length_of(problem, effort, start=solve(problem, Effort.GLANCE)) <= quick + 1e-6


def test_same_seed_same_layout_whatever_the_workers() -> None:
    """Alone, in threads and through an executor: one layout."""
    effort = replace(Effort.NORMAL, evaluations=200_000)
    problem = many()
    first = solve(problem, effort, seed=7)
    assert solve(problem, effort, seed=7) == first
    with ThreadPoolExecutor(1) as one, ThreadPoolExecutor(3) as three:
        lengths = {
            cloth_length(problem, solve(problem, effort, 7, executor=e).extents)
            for e in (one, three)
        }
    assert lengths == {cloth_length(problem, first.extents)}


@pytest.mark.parametrize("members", [1, 3])
def test_members_are_as_many_as_are_asked_for_whatever_the_workers(members: int) -> None:
    """Each with a seed of its own, in either round; one worker or more find the same."""
    seeds = []

    class Recorder(ThreadPoolExecutor):
        def submit(self, fn, task):  # type: ignore[no-untyped-def, override]
            seeds.append(task.seed)
            return super().submit(fn, task)

    effort = replace(Effort.NORMAL, evaluations=100_000, members=members)
    first = solve(many(), effort)
    for workers in (1, 4):
        with Recorder(workers) as executor:
            assert solve(many(), effort, executor=executor) == first
    assert len(set(seeds)) == 2 * members == len(seeds) // 2


def test_tasks_are_plain_data() -> None:
    """A member of the portfolio survives the way to another process."""
    import pickle

    sent: list[portfolio.MemberTask] = []

    class Recorder(ThreadPoolExecutor):
        def submit(self, fn, task):  # type: ignore[no-untyped-def, override]
            sent.append(pickle.loads(pickle.dumps(task)))
            return super().submit(fn, task)

    effort = replace(Effort.NORMAL, evaluations=20_000)
    with Recorder(1) as executor:
        solve(many(3), effort, executor=executor)
    assert len(sent) == 2 * effort.members
    assert run_member(sent[0]).complete


def test_a_start_is_never_made_worse() -> None:
    """What is handed in comes back, or better."""
    problem = many()
    start = solve(problem, Effort.QUICK)
    again = solve(problem, Effort.GLANCE, seed=5, start=start)
    assert cloth_length(problem, again.extents) <= cloth_length(problem, start.extents)


def test_target_bound_and_time_end_a_search_and_say_so() -> None:
    """Each ending has its name."""
    problem = many()
    assert solve(problem, Effort.QUICK, target=1e6).ended_by is EndedBy.TARGET
    assert solve(folded(Fold.CROSSWISE), Effort.QUICK).ended_by in (EndedBy.BOUND, EndedBy.EFFORT)
    assert solve(problem, Effort.ENDLESS, time_limit=0.4).ended_by is EndedBy.TIME


def test_progress_is_reported_and_improves() -> None:
    """Each report is shorter than the last."""
    reports: list[Progress] = []
    solve(many(8), Effort.QUICK, on_progress=reports.append)
    lengths = [report.length for report in reports]
    assert lengths
    assert lengths == sorted(lengths, reverse=True)


def test_interrupts_keep_the_best() -> None:
    """A KeyboardInterrupt during the search gives what was found, marked as such."""

    def interrupt(progress: Progress) -> None:
        raise KeyboardInterrupt

    layout = solve(many(), Effort.QUICK, on_progress=interrupt)
    assert layout.ended_by is EndedBy.INTERRUPT
    assert validate(many(), layout) == []
    assert threading.active_count() < 10


def test_a_piece_wider_than_every_zone_is_named() -> None:
    """No search is begun for what cannot be."""
    problem = folded()
    wide = replace(problem.items[1], shapes=(rect(100.0, 600.0),), key="sail")
    with pytest.raises(NoLayoutError, match="sail") as caught:
        solve(replace(problem, items=(wide,)), Effort.GLANCE)
    assert caught.value.key == "sail"


def jigsaw(seed: int, parts: int, length: float, height: float) -> list[Ring]:
    """A rectangle cut into irregular parts by random lines."""
    rng = np.random.default_rng(seed)
    pieces = [Polygon(rect(length, height))]
    while len(pieces) < parts:
        pieces.sort(key=lambda p: -p.area)
        largest = pieces.pop(0)
        cx, cy = largest.centroid.coords[0]
        angle = rng.uniform(0, math.pi)
        dx, dy = 5000 * math.cos(angle), 5000 * math.sin(angle)
        cut = split(largest, LineString([(cx - dx, cy - dy), (cx + dx, cy + dy)]))
        pieces += list(cut.geoms)
    return [tuple((float(x), float(y)) for x, y in p.exterior.coords[:-1]) for p in pieces]


def puzzle(rings: list[Ring], fold: Fold, height: float) -> StripProblem:
    """The parts as pieces of cloth that is exactly as wide as the rectangle (on each ply)."""
    width = height if fold is Fold.OPEN else 2 * height
    spread = make_spread(fold, width)
    plies = spread.zones[0].plies
    items = []
    for k, ring in enumerate(rings):
        ring = ring if Polygon(ring).exterior.is_ccw else ring[::-1]
        items.append(Item(str(k), (ring,), 1, (Slot(0, 0, plies, 0, (Pose(0.0),)),)))
    wanted = {str(k): Wanted(drawn=1, other=len(plies) - 1) for k in range(len(rings))}
    return StripProblem(tuple(items), (Section(fold.value, spread),), gap=0.0, wanted=wanted)


@pytest.mark.parametrize(("parts", "floor"), [(4, 0.97), (6, 0.97), (9, 0.97)])
@pytest.mark.parametrize("fold", [Fold.OPEN, Fold.LENGTHWISE])
def test_known_optimum_jigsaws(fold: Fold, parts: int, floor: float) -> None:
    """A rectangle cut up and put together again: the optimum is its length."""
    problem = puzzle(jigsaw(parts, parts, 600.0, 400.0), fold, 400.0)
    found = length_of(problem, Effort.NORMAL, time_limit=8.0, target=600.0 / floor)
    assert best_bound(problem, Care.CLOSE).length <= 600.0 + 1e-6
    assert 600.0 / found >= floor


def test_halves_side_by_side_on_a_double_fold() -> None:
    """Two halves, one at each fold edge, need no more than the longer one."""
    spread = make_spread(Fold.DOUBLE, 1200.0, 10.0)
    slots = tuple(Slot(0, k, spread.zones[k].plies, 0, (Pose(0.0, k == 1),), k) for k in range(2))
    half = rect(500.0, 280.0)
    item = Item(
        "half", (half,), 2, slots, (((0.0, 0.0), (500.0, 0.0)),),
        (((0.0, -280.0), (500.0, -280.0), (500.0, 280.0), (0.0, 280.0)),))  # fmt: skip
    problem = StripProblem((item,), (Section("double", spread),), wanted={"half": Wanted(either=2)})
    assert length_of(problem, Effort.QUICK) == pytest.approx(500.0)


@st.composite
def random_problems(draw: st.DrawFn) -> StripProblem:
    """Wedges, bars and halves on any spread, with lattices, flaws, one way, or a leftover."""
    fold = draw(st.sampled_from([Fold.OPEN, Fold.LENGTHWISE, Fold.PARTIAL, Fold.CROSSWISE,
                                 Fold.TURNED]))  # fmt: skip
    spread = make_spread(fold, 900.0, 10.0, 300.0 if fold is Fold.PARTIAL else None)
    one_way = draw(st.booleans()) and fold is not Fold.CROSSWISE
    zone = next(k for k, z in enumerate(spread.zones) if z.plies)
    plies = spread.zones[zone].plies
    poses: tuple[Pose, ...] = BOTH if not one_way else (Pose(0.0), Pose(0.0, True))
    if len(plies) == 1:
        poses = tuple(pose for pose in poses if not pose.flip)
    items = []
    wanted = {}
    for k in range(draw(st.integers(1, 4))):
        long, wide = draw(st.floats(60.0, 300.0)), draw(st.floats(40.0, 250.0))
        slope = draw(st.floats(0.2, 1.0))
        ring: Ring = ((0.0, 0.0), (long, 0.0), (long, wide * slope), (0.0, wide))
        lattice = None
        if draw(st.booleans()):
            lattice = Lattice((10.0, 10.0), pitch_x=draw(st.floats(20.0, 90.0)), phase_x=15.0)
        count = draw(st.integers(1, 3))
        slot = Slot(0, zone, plies, 0, poses, None, lattice, clearance=1.5 if len(plies) > 1 else 0)
        items.append(Item(str(k), (ring,), count, (slot,)))
        wanted[str(k)] = Wanted(drawn=count, other=count if len(plies) == 2 else 0)
    flaws: tuple[Flaw, ...] = ()
    if draw(st.booleans()):
        flaws = (Flaw(((200.0, 250.0), (230.0, 250.0), (230.0, 280.0), (200.0, 280.0))),)
    place = 9000.0 if flaws and spread.doubled else 0.0
    section = Section(fold.value, spread, fold_at=place)
    return StripProblem(tuple(items), (section,), flaws, one_way=one_way, wanted=wanted)


@settings(max_examples=50, deadline=None)
@given(random_problems())
def test_random_problems_give_valid_layouts(problem: StripProblem) -> None:
    """Never an invalid layout, never a bound above what was found."""
    layout = solve(problem, Effort.GLANCE)
    assert validate(problem, layout) == []
    assert best_bound(problem, Care.CLOSE).length <= cloth_length(problem, layout.extents) + 1e-6


@settings(max_examples=12, deadline=None)
@given(random_problems())
def test_random_problems_stay_valid_in_the_separation(problem: StripProblem) -> None:
    """The compiled search keeps every constraint, too."""
    layout = solve(problem, Effort.NORMAL, time_limit=0.3)
    assert validate(problem, layout) == []


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.floats(60.0, 200.0), st.floats(60.0, 200.0)), min_size=1, max_size=7))
def test_bounded_cloth_takes_what_fits(sizes: list[tuple[float, float]]) -> None:
    """Inside an L-shaped leftover with a hole: valid, and what is left out is named."""
    outline = (
        (0.0, 0.0), (500.0, 0.0), (500.0, 200.0), (250.0, 200.0), (250.0, 450.0), (0.0, 450.0),
    )  # fmt: skip
    hole = ((100.0, 250.0), (140.0, 250.0), (140.0, 290.0), (100.0, 290.0))
    items = tuple(
        Item(str(k), (rect(a, b),), 1, (Slot(0, 0, (0,), 0, ALONG),))
        for k, (a, b) in enumerate(sizes)
    )
    problem = BoundedProblem(
        items, outline, (hole,), wanted={str(k): Wanted(either=1) for k in range(len(sizes))}
    )
    layout = solve(problem, Effort.GLANCE)
    assert validate(problem, layout) == []
    assert len(layout.placements) + len(layout.unplaced) == len(sizes)
    assert layout.placements
