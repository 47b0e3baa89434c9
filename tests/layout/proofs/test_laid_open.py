"""Sections laid open: what is proved of a single layer holds for them; what it keeps of them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fabrics.spread import Fold, make_spread
from layout.problem import Flaw, Item, Pose, Section, Slot, Wanted
from layout.proofs.laid_open import laid_open
from layout.proofs.placed import placed_bound
from layout.strip_problem import StripProblem
from pieces.geometry_types import Ring
from tests.layout.small_cases import CELL, SPREADS, WIDTH, corner, random_case, rectangle, shortest

ENOUGH = 20_000

KINDS = {
    "lengthwise, partial": (4, 6, ((Fold.LENGTHWISE, None, None), (Fold.PARTIAL, 2.0, None))),
    "crosswise, open": (25, 4, ((Fold.CROSSWISE, None, None), (Fold.OPEN, None, None))),
    "turned, lengthwise": (2, 6, ((Fold.TURNED, None, None), (Fold.LENGTHWISE, None, None))),
    "double, open": (4, 6, ((Fold.DOUBLE, 1.0, 1.0), (Fold.OPEN, None, None))),
}
"""Sections, how many of 30 cases are proved to the end at least, and the width in cells."""


@pytest.mark.parametrize("name", KINDS)
def test_no_bound_is_above_the_shortest_layout(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of any sections, by trying everything."""
    enough, width, sections = KINDS[name]
    monkeypatch.setitem(SPREADS, name, sections)
    monkeypatch.setitem(WIDTH, name, width)
    met = 0
    for seed in range(30):
        problem = random_case(name, seed)
        best = shortest(problem, copies=True)
        bound = placed_bound(problem, 2.0 * best + 10.0 * CELL, ENOUGH)
        assert 0.0 < bound.length <= best + 1e-6, (name, seed, bound, best)
        met += bound.length >= best - 1.0
    assert met >= enough


def sections(*folds: Fold, width: float = 1000.0, selvage: float = 10.0) -> tuple[Section, ...]:
    spreads = (make_spread(fold, width, selvage, 200.0 if fold is Fold.PARTIAL else None) for fold
               in folds)  # fmt: skip
    return tuple(Section(str(k), spread) for k, spread in enumerate(spreads))


SQUARE = rectangle(2, 2)
PAIR = Slot(0, 0, (0, 1), 0, (Pose(0.0),), clearance=1.5)
FLAT = Slot(1, 0, (0,), 0, (Pose(0.0), Pose(180.0, True)))


def problem(
    *slots: Slot, ring: Ring = SQUARE, wanted: Wanted | None = None, first: Fold = Fold.LENGTHWISE
) -> StripProblem:
    """A piece wanted twice on two sections, the second of them open."""
    copies = Wanted(either=2) if wanted is None else wanted
    return StripProblem(
        (Item("piece", (ring,), 2, slots),), sections(first, Fold.OPEN), gap=3.0,
        wanted={"piece": copies},
    )  # fmt: skip


def test_the_cloth_is_as_wide_and_each_copy_is_wanted() -> None:
    """Flaws are left out: what lies in one section may come to lie elsewhere."""
    given = replace(problem(PAIR, FLAT), flaws=(Flaw(SQUARE),))
    opened = laid_open(given)
    (section,) = opened.sections
    assert (section.spread.fold, section.spread.width, section.spread.selvage) == (
        Fold.OPEN, 1000.0, 10.0,
    )  # fmt: skip
    assert [item.demand for item in opened.items] == [2]
    assert not opened.flaws


def test_each_hand_has_its_poses() -> None:
    """A corner on two plies gives one of each; where hands do not matter both have all poses."""
    ring = corner(3, 2)
    hands = laid_open(problem(PAIR, ring=ring, wanted=Wanted(drawn=1, other=1)))
    assert [(item.demand, item.slots[0].poses) for item in hands.items] == [
        (1, (Pose(0.0),)), (1, (Pose(0.0, True),)),
    ]  # fmt: skip
    either = laid_open(problem(PAIR, ring=ring))
    assert [(item.demand, set(item.slots[0].poses)) for item in either.items] == [
        (2, {Pose(0.0), Pose(0.0, True)})
    ]


def test_poses_that_look_alike_count_once() -> None:
    """A square looks the same from either side and either end."""
    (item,) = laid_open(problem(PAIR, FLAT)).items
    assert sum(len(slot.poses) for slot in item.slots) == 1


def test_a_fold_across_turns_the_heads_of_one_ply() -> None:
    """A wedge that points one way on the lay points both ways on the cloth."""
    wedge: Ring = ((0.0, 0.0), (200.0, 50.0), (0.0, 100.0))
    (across,) = laid_open(problem(PAIR, ring=wedge, first=Fold.CROSSWISE)).items
    assert [pose.angle_deg for pose in across.slots[0].poses] == [0.0, 180.0]
    (along,) = laid_open(problem(PAIR, ring=wedge)).items
    assert [pose.angle_deg for pose in along.slots[0].poses] == [0.0]


def test_halves_on_a_fold_are_wholes() -> None:
    half, whole = rectangle(3, 1), rectangle(3, 2)
    on_fold = Slot(0, 0, (0, 1), 1, (Pose(0.0),), 0)
    item = Item(
        "piece", (whole, half), 1, (on_fold,), (None, ((0.0, 0.0), (150.0, 0.0))), (whole, whole)
    )
    given = StripProblem((item,), sections(Fold.LENGTHWISE, Fold.OPEN), gap=3.0)
    (opened,) = laid_open(given).items
    assert (opened.demand, opened.shapes) == (1, (whole,))
    # Two of them do not lie side by side on cloth that is not twice as wide.
    two = replace(given, items=(replace(item, demand=2),))
    narrow = replace(two, sections=sections(Fold.LENGTHWISE, Fold.OPEN, width=215.0))
    wide = replace(two, sections=sections(Fold.LENGTHWISE, Fold.OPEN, width=225.0))
    assert placed_bound(narrow, 1000.0).length == pytest.approx(303.0, abs=1.0)
    assert placed_bound(wide, 1000.0).length == pytest.approx(150.0, abs=0.5)


def test_the_gap_is_kept_only_where_copies_of_a_pair_are_apart() -> None:
    """Half of it from the fold between them; cloth that is cut and turned has no such fold."""
    assert laid_open(problem(PAIR, FLAT)).gap == 3.0
    assert laid_open(problem(replace(PAIR, clearance=1.4), FLAT)).gap == 0.0
    assert laid_open(problem(PAIR, FLAT, first=Fold.CROSSWISE)).gap == 3.0
    assert laid_open(problem(PAIR, FLAT, first=Fold.TURNED)).gap == 0.0
    assert laid_open(problem(FLAT)).gap == 3.0
