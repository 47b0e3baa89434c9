"""A piece in the hand snaps to edges and neighbours, with the gap."""

from __future__ import annotations

import numpy as np
import pytest

from pieces.lengths import System
from plans.by_hand.judged import judged
from plans.by_hand.moves import put_at
from plans.by_hand.reopened import OpenLay, opened
from plans.by_hand.snapping import Barred, Held, Snap
from plans.order import Order
from tests.plans.by_hand.rectangles import lay_of, order
from tests.plans.demo import cloth_for, demo_plan, garment


@pytest.fixture(scope="module")
def lay() -> OpenLay:
    """A large one at the cut end, one 310 on; three small in a row above the first, 10 apart."""
    return lay_of(order())


def corner(held: Held, snap: Snap | None) -> tuple[float, float]:
    """Lower left corner of a small one (100 by 300, its reference at 25, 150) where it snapped."""
    assert snap is not None
    return round(snap.x - 25.0, 3), round(snap.y - 150.0, 3)


def small(lay: OpenLay, x: float, y: float, within: float) -> tuple[Held, Snap | None]:
    """The third small one, its lower left corner asked for at a place."""
    held = Held(lay, 3)
    return held, held.snapped(x + 25.0, y + 150.0, within)


def test_it_snaps_to_the_selvage(lay: OpenLay) -> None:
    """Beyond it, too: the nearest place that is valid."""
    for y in (690.0, 712.0):
        held, snap = small(lay, 800.0, y, 15.0)
        assert corner(held, snap) == (800.0, 700.0)
        assert snap is not None
        assert snap.touches == ("left selvage",)


def test_it_snaps_to_a_neighbour_with_the_gap(lay: OpenLay) -> None:
    """Ten away from the second large one, which ends at 610 along and 600 across."""
    held, snap = small(lay, 625.0, 300.0, 12.0)
    assert corner(held, snap) == (620.0, 300.0)
    assert snap is not None
    assert snap.touches == ("5 large",)
    held, snap = small(lay, 612.0, 300.0, 12.0)
    assert corner(held, snap) == (620.0, 300.0)


def test_a_nook_comes_before_a_nearer_single_touch(lay: OpenLay) -> None:
    """Neighbour and selvage are both near."""
    held, snap = small(lay, 626.0, 4.0, 12.0)
    assert corner(held, snap) == (620.0, 0.0)
    assert snap is not None
    assert set(snap.touches) == {"right selvage", "5 large"}


def test_it_stays_in_the_hand_where_nothing_is_near(lay: OpenLay) -> None:
    """Far from everything, and far inside of another."""
    assert small(lay, 1200.0, 350.0, 12.0)[1] is None
    assert small(lay, 400.0, 150.0, 12.0)[1] is None


def test_it_snaps_to_the_cut_end() -> None:
    """The end is where the lay begins, the ends squared off."""
    lay = put_at(lay_of(order()), 1, lay_of(order()).layout.placements[1].pose, 2000.0, 400.0)
    held = Held(lay, 1)
    snap = held.snapped(25.0 + 3.0, 760.0 + 40.0, 6.0)
    assert corner(held, snap) == (0.0, 650.0)
    assert snap is not None
    assert set(snap.touches) == {"cut end", "3 small"}


@pytest.mark.parametrize(
    ("name", "fold"), [("wrap-skirt", "lengthwise"), ("trousers", "auto"), ("blouse", "open")]
)
def test_what_snapped_is_valid(name: str, fold: str) -> None:
    """On folds, around flaws, in phase with a design: the validator finds nothing wrong."""
    asked = Order(garment(name), cloth_for(name), effort="quick")
    lay = opened(demo_plan(name, fold).fabrics[0], asked)
    snapped = 0
    for index, placement in enumerate(lay.layout.placements):
        held = Held(lay, index)
        for dx, dy in ((7.0, 3.0), (-6.0, 8.0), (0.0, -9.0)):
            snap = held.snapped(placement.x + dx, placement.y + dy, 15.0)
            if snap is not None:
                put = put_at(lay, index, placement.pose, snap.x, snap.y)
                assert not judged(put, System.METRIC)
                snapped += 1
    assert snapped >= len(lay.layout.placements)


def test_what_lies_in_the_opening_of_another_touches_it(lay: OpenLay) -> None:
    """Places within a piece that is open in the middle: their border is touched from inside."""
    held = Held(lay, 3)
    around = np.array([(0.0, 0.0), (400.0, 0.0), (400.0, 400.0), (0.0, 400.0)])
    within = np.array([(100.0, 100.0), (300.0, 100.0), (300.0, 300.0), (100.0, 300.0)])
    held.__dict__["barred"] = (Barred(5, (around, within), 0.0, 0.0),)
    assert held.touched(100.0, 200.0) == ("5 large",)
    assert held.touched(200.0, 200.0) == ()
