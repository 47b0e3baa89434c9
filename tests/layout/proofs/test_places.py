"""How many units copies come to, which lays have twins, and outlines simplified inward."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Polygon

from fabrics.spread import Fold, make_spread
from layout.geometry.simplify import simplify_inward
from layout.problem import Item, Pose, Section, Slot
from layout.proofs.placed import placed_bound
from layout.proofs.places import Kind, cases
from layout.proofs.twins import mirrored
from layout.strip_problem import StripProblem
from pieces.geometry_types import Ring

SQUARE: Ring = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
CORNER: Ring = (
    (0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (30.0, 30.0), (30.0, 100.0), (0.0, 100.0),
)  # fmt: skip
TURNS = (Pose(0.0), Pose(180.0))


def problem(fold: Fold, copies: int, *slots: Slot, ring: Ring = SQUARE) -> StripProblem:
    spread = make_spread(fold, 1000.0, 0.0, 200.0 if fold is Fold.PARTIAL else None)
    line = (None, ((0.0, 0.0), (100.0, 0.0)))
    item = Item("piece", (ring, ring), copies, slots, line)
    return StripProblem((item,), (Section("one", spread),), gap=3.0)


def numbers(given: StripProblem) -> set[int]:
    """How many units the cases have."""
    return {len(case) for case in cases(given, range(len(given.items)))}


PAIR = Slot(0, 0, (0, 1), 0, TURNS)
UPPER, LOWER = Slot(0, 0, (0,), 0, TURNS), Slot(0, 0, (1,), 0, TURNS)
ON_FOLD = Slot(0, 0, (0, 1), 1, (Pose(0.0),), 0)
FLAT = Slot(0, 1, (0,), 0, TURNS)


def test_a_copy_is_a_unit_in_a_single_layer() -> None:
    assert numbers(problem(Fold.OPEN, 3, Slot(0, 0, (0,), 0, TURNS))) == {3}


def test_two_copies_are_one_unit_where_they_may_be_a_pair() -> None:
    """Also if they need not be: two on one ply after another take no less."""
    assert numbers(problem(Fold.LENGTHWISE, 4, PAIR, LOWER)) == {2}
    assert numbers(problem(Fold.LENGTHWISE, 5, PAIR, LOWER)) == {3}


def test_two_copies_on_one_ply_are_two_units() -> None:
    """What can only be cut through the lower ply lies side by side."""
    assert numbers(problem(Fold.LENGTHWISE, 2, LOWER)) == {2}


def test_two_copies_on_two_plies_may_be_one_above_the_other() -> None:
    assert numbers(problem(Fold.LENGTHWISE, 2, UPPER, LOWER)) == {1}


def test_what_has_room_nowhere_gives_no_case() -> None:
    """A square of 100 mm on cloth of 60: nothing is proved, and nothing fails."""
    given = problem(Fold.OPEN, 1, Slot(0, 0, (0,), 0, TURNS))
    narrow = replace(given, sections=(Section("one", make_spread(Fold.OPEN, 60.0)),))
    assert numbers(narrow) == set()
    assert placed_bound(narrow, 1000.0).length == 0.0


def test_halves_on_a_fold_are_units_of_their_own() -> None:
    """Each gives one copy."""
    assert numbers(problem(Fold.LENGTHWISE, 2, ON_FOLD)) == {2}
    assert numbers(problem(Fold.LENGTHWISE, 2, ON_FOLD, PAIR)) == {1, 2}


def test_single_layers_beside_a_double_one_take_copies_one_by_one() -> None:
    assert numbers(problem(Fold.PARTIAL, 2, PAIR, FLAT)) == {1, 2}


def test_sets_of_places_are_told_apart_slot_by_slot() -> None:
    ((kind,),) = cases(problem(Fold.PARTIAL, 1, LOWER, FLAT), (0,))
    assert kind.sets == ((0, 1), (2, 3), (0,), (1,), (2,), (3,))
    assert [kind.parts(number) for number in range(6)] == [
        (2, 2), (4, 2), (0, 0), (0, 0), (0, 0), (0, 0),
    ]  # fmt: skip


def kinds(given: StripProblem) -> tuple[Kind, ...]:
    (case,) = cases(given, range(len(given.items)))
    return case


def one(ring: Ring, *poses: Pose) -> tuple[Kind, ...]:
    return kinds(problem(Fold.OPEN, 1, Slot(0, 0, (0,), 0, poses), ring=ring))


def test_lays_that_can_be_turned_or_mirrored_have_twins() -> None:
    """An L may be turned by half a turn; only if it may also be flipped is its lay mirrored."""
    assert mirrored(one(CORNER, Pose(0.0))) == ()
    assert mirrored(one(CORNER, *TURNS)) == (0,)
    four = tuple(Pose(angle, flip) for angle in (0.0, 180.0) for flip in (False, True))
    assert mirrored(one(CORNER, *four)) == (0, 1)
    assert mirrored(one(SQUARE, Pose(0.0))) == (0, 1)


def test_a_lay_on_the_fold_is_mirrored_along_it_alone() -> None:
    """Across, the fold is on one side."""
    flips = Slot(0, 0, (0, 1), 1, (Pose(0.0, True), Pose(180.0)), 0)
    assert mirrored(kinds(problem(Fold.LENGTHWISE, 1, flips, ring=CORNER))) == (0,)
    assert mirrored(kinds(problem(Fold.LENGTHWISE, 1, ON_FOLD, ring=CORNER))) == ()


@pytest.mark.parametrize("tolerance", [0.2, 1.0, 5.0])
def test_outlines_are_simplified_inward(tolerance: float) -> None:
    """What is left lies within, has fewer corners and lacks no more than the tolerance anywhere."""
    turn = np.linspace(0.0, 2.0 * math.pi, 200, endpoint=False)
    far = 150.0 + 40.0 * np.sin(3.0 * turn)
    ring: Ring = tuple(
        zip((far * np.cos(turn)).tolist(), (far * np.sin(turn)).tolist(), strict=True)
    )
    inner, outer = Polygon(simplify_inward(ring, tolerance)), Polygon(ring)
    assert inner.exterior.is_ccw
    assert inner.difference(outer).area < 1e-6
    assert len(inner.exterior.coords) < 140
    assert inner.hausdorff_distance(outer) <= 4.0 * tolerance


def test_the_line_of_a_fold_stays() -> None:
    """Corners near it go, it does not."""
    ring: Ring = (
        (0.0, 0.0),
        (100.0, 0.0),
        (100.2, 50.0),
        (100.0, 100.0),
        (50.0, 100.3),
        (0.0, 100.0),
    )
    inner = simplify_inward(ring, 1.0, ((0.0, 0.0), (100.0, 0.0)))
    assert [0.0, 0.0] in inner.tolist()
    assert [100.0, 0.0] in inner.tolist()
    assert len(inner) == 4
