"""Places ruled out, against the shortest layouts of small cases and puzzles known by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from fabrics.spread import Fold, make_spread
from layout.bounds.terms.relaxation import SLACK_MM
from layout.problem import Flaw, Grain, Item, Pose, Section, Slot
from layout.proofs.placed import placed_bound
from layout.proofs.places import INWARD_MM, cases
from layout.proofs.ruling import ACCEPTED_MM, Ended, Ruling
from layout.strip_problem import StripProblem
from pieces.geometry_types import Ring
from tests.layout.small_cases import CELL, SPREADS, random_case, rectangle, shortest

ENOUGH = 20_000
"""Branches that any of these cases needs, and more."""

AS_GOOD_MM = 2.0 * ACCEPTED_MM + 0.5
"""What a proof may give away where outlines have straight edges alone."""

HALF_TURN = (Pose(0.0), Pose(180.0))


def strip(width: float, *items: Item, gap: float = 0.0, fold: Fold = Fold.OPEN) -> StripProblem:
    return StripProblem(items, (Section("one", make_spread(fold, width)),), gap=gap)


def piece(key: str, ring: Ring, copies: int = 1, poses: tuple[Pose, ...] = HALF_TURN) -> Item:
    return Item(key, (ring,), copies, (Slot(0, 0, (0,), 0, poses),))


@pytest.mark.parametrize("name", SPREADS)
def test_no_bound_is_above_the_shortest_layout(name: str) -> None:
    """Rectangles, corners, halves with a choice, pairs, turned pieces; with and without a gap."""
    met = seen = 0
    for seed in range(25):
        problem = random_case(name, seed)
        best = shortest(problem, copies=True)
        bound = placed_bound(problem, 2.0 * best + 10.0 * CELL, ENOUGH)
        assert bound.length <= best + 1e-6, (name, seed, bound, best)
        # With a gap the shortest of layouts on whole cells need not be the shortest of all.
        seen += problem.gap == 0.0
        met += problem.gap == 0.0 and bound.length >= best - AS_GOOD_MM
    if name == "sectioned":
        # Laid open, what is cut two at a time has more room than it has.
        assert met > seen // 3
    else:
        assert met == seen


def test_what_is_longer_than_the_limit_is_not_asked_for() -> None:
    """Three rows are needed; that two and a half are too short is soon proved."""
    square = piece("square", rectangle(2, 2), 3, (Pose(0.0),))
    problem = strip(2.5 * CELL, square)
    assert placed_bound(problem, 10.0 * CELL).length == pytest.approx(6.0 * CELL, abs=AS_GOOD_MM)
    assert placed_bound(problem, 5.0 * CELL).length == pytest.approx(5.0 * CELL, abs=0.1)


def test_two_wedges_lie_head_to_tail() -> None:
    """Right triangles of 600 by 300 mm on a width of 300 make a rectangle; a gap moves them apart.

    Lying along their slanted sides, they are shifted by the gap over the sine of that side's slope.
    """
    wedge = ((0.0, 0.0), (600.0, 0.0), (0.0, 300.0))
    for gap in (0.0, 5.0):
        problem = strip(300.0, piece("wedge", wedge, 2), gap=gap)
        best = 600.0 + gap * math.hypot(600.0, 300.0) / 300.0
        bound = placed_bound(problem, 2000.0, ENOUGH)
        assert best - AS_GOOD_MM <= bound.length <= best + 1e-6


def test_halves_lie_side_by_side_on_a_fold_across() -> None:
    """Two wedges whose blunt ends are on the fold: neither can be moved along the lay at all."""
    wedge = ((0.0, 0.0), (200.0, 0.0), (0.0, 100.0))
    half = Slot(0, 0, (0, 1), 0, (Pose(0.0),), 0)
    item = Item("wedge", (wedge,), 2, (half,), (((0.0, 0.0), (0.0, 100.0)),))
    for width, best in ((203.0, 400.0), (250.0, 400.0)):
        bound = placed_bound(strip(width, item, gap=3.0, fold=Fold.CROSSWISE), 2000.0, ENOUGH)
        assert best - AS_GOOD_MM <= bound.length <= best + 1e-6


def test_one_way_wedges_do_not() -> None:
    """With one heading alone the second lies behind the first, its blunt end in the sharp one."""
    wedge = ((0.0, 0.0), (600.0, 0.0), (0.0, 300.0))
    bound = placed_bound(strip(300.0, piece("wedge", wedge, 2, (Pose(0.0),))), 2000.0, ENOUGH)
    assert bound.length == pytest.approx(1200.0, abs=AS_GOOD_MM)


def test_a_hollow_takes_what_fits_it() -> None:
    """A bar of 100 mm lies within a frame open to one side, one of 110 mm does not."""
    frame = (
        (0.0, 0.0), (300.0, 0.0), (300.0, 100.0), (100.0, 100.0), (100.0, 201.0), (300.0, 201.0),
        (300.0, 301.0), (0.0, 301.0),
    )  # fmt: skip
    for high, best in ((100.0, 400.0), (110.0, 600.0)):
        bar = ((0.0, 0.0), (300.0, 0.0), (300.0, high), (0.0, high))
        problem = strip(301.0, piece("frame", frame), piece("bar", bar))
        bound = placed_bound(problem, 1000.0, ENOUGH)
        assert best - AS_GOOD_MM <= bound.length <= best + 1e-6


@pytest.mark.parametrize("gap", [0.0, 3.0])
def test_what_fits_a_hollow_exactly_lies_in_it(gap: float) -> None:
    """A bar that has no room to spare in a frame but the gap: its place there has no width."""
    inner = 100.0 + 2.0 * gap
    frame = (
        (0.0, 0.0), (300.0, 0.0), (300.0, 100.0), (100.0, 100.0), (100.0, 100.0 + inner),
        (300.0, 100.0 + inner), (300.0, 200.0 + inner), (0.0, 200.0 + inner),
    )  # fmt: skip
    bar = ((0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0))
    problem = strip(200.0 + inner, piece("frame", frame), piece("bar", bar), gap=gap)
    bound = placed_bound(problem, 1000.0, ENOUGH)
    assert 300.0 + gap - AS_GOOD_MM <= bound.length <= 300.0 + gap


def test_two_on_one_ply_keep_no_gap_from_what_is_cut_through_the_other() -> None:
    """Squares on the upper ply, a bar beside them through the lower: no gap between them."""
    square = Slot(0, 0, (1,), 0, HALF_TURN)
    items = (
        Item("square", (rectangle(2, 2),), 2, (replace(square, plies=(0, 1)), square)),
        Item("bar", (rectangle(5, 2),), 1, (replace(square, plies=(0,)),)),
    )
    problem = strip(8.0 * CELL, *items, gap=CELL, fold=Fold.LENGTHWISE)
    assert placed_bound(problem, 2000.0, ENOUGH).length <= 5.0 * CELL


def test_round_outlines_cost_what_they_are_simplified_by() -> None:
    """Two discs of 200 mm across a width of 300: their centres are 200 apart, 100 of it across."""
    disc = tuple(
        (100.0 + 100.0 * math.cos(k * math.pi / 60), 100.0 + 100.0 * math.sin(k * math.pi / 60))
        for k in range(120)
    )
    best = 200.0 + math.sqrt(200.0**2 - 100.0**2)
    bound = placed_bound(strip(300.0, piece("disc", disc, 2)), 1000.0, ENOUGH)
    assert best - 4.0 * INWARD_MM - AS_GOOD_MM <= bound.length <= best + SLACK_MM


def test_the_pieces_that_decide_are_named() -> None:
    """Two wide ones follow one another; a small one has room beside them."""
    wide = piece("wide", rectangle(4, 5), 2)
    small = piece("small", rectangle(1, 1))
    bound = placed_bound(strip(6.0 * CELL, small, wide), 2000.0, ENOUGH)
    assert [(share.key, share.copies) for share in bound.shares] == [("wide", 2)]


def test_flaws_are_left_out() -> None:
    """They only make layouts longer."""
    sound = strip(3.0 * CELL, piece("long", rectangle(10, 2)))
    flawed = replace(sound, flaws=(Flaw(rectangle(1, 1)),))
    assert placed_bound(flawed, 2000.0).length == placed_bound(sound, 2000.0).length


def test_what_may_be_turned_anyhow_is_left_out() -> None:
    """Nothing is known of the poses of what has no grain, but all of the others is."""
    long = piece("long", rectangle(10, 2), poses=(Pose(0.0),))
    plain = strip(3.0 * CELL, long)
    free = StripProblem(plain.items, plain.sections, gap=0.0, grain={"long": Grain(headings=None)})
    assert placed_bound(plain, 2000.0).length == pytest.approx(10.0 * CELL, abs=0.1)
    assert placed_bound(free, 2000.0).length == 0.0


def test_more_work_never_proves_less() -> None:
    """Bounds of one tree rise; when it ends they stay."""
    problem = random_case("open", 3)
    items = range(len(problem.items))
    found = list(cases(problem, items))
    ruling = Ruling(found, problem.gap, 40.0 * CELL, {})
    before, ended = ruling.least, Ended.STOPPED
    while ended is Ended.STOPPED:
        ended = ruling.run(lambda: False, ruling.branches + 1)
        assert ruling.least >= before
        before = ruling.least
    assert ended is Ended.FITS
