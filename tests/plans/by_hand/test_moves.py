"""Pieces moved, turned and turned over by hand, and what is wrong with where they lie."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.problem import Pose
from pieces.drafting.garment import Garment
from pieces.lengths import System
from pieces.piece import Cut, CutKind
from plans.by_hand.errors import NotPermittedError, NotValidError
from plans.by_hand.judged import judged, require_sound
from plans.by_hand.moves import moved, turned, turned_over
from plans.by_hand.reopened import OpenLay, opened
from plans.order import Order
from tests.plans.by_hand.rectangles import CLOTH, lay_of, order, rectangle
from tests.plans.demo import cloth_for, demo_plan, garment


@pytest.fixture(scope="module")
def lay() -> OpenLay:
    """Large at the cut end and 310 on; three small in a row above them, all 10 apart."""
    return lay_of(order())


def texts(lay: OpenLay, system: System = System.METRIC) -> list[str]:
    return [wrong.text for wrong in judged(lay, system)]


def index_of(lay: OpenLay, piece: str) -> int:
    return next(k for k, placed in enumerate(lay.entry.placements) if placed.piece == piece)


def test_a_found_lay_is_sound(lay: OpenLay) -> None:
    """And nothing has been moved."""
    assert not texts(lay)
    assert not lay.is_changed


def test_a_move_is_judged_with_its_figures(lay: OpenLay) -> None:
    """Named with numbers and pieces, in the units of whoever asks."""
    assert texts(moved(lay, 4, -40.0, 0.0)) == ["1 large and 5 large overlap."]
    assert texts(moved(lay, 4, -4.0, 0.0)) == [
        "1 large and 5 large lie 0.6 cm apart; the gap is 1 cm."
    ]
    assert texts(moved(lay, 1, -25.4, 0.0), System.IMPERIAL) == [
        "2 small reaches 1 in beyond the usable cloth at the cut end."
    ]
    assert texts(moved(lay, 1, 0.0, 100.0)) == [
        "2 small reaches 1 cm beyond the usable cloth at the left selvage."
    ]
    assert texts(moved(lay, 4, 25.0, 20.0)) == []


def test_a_lay_grows_and_shrinks_with_what_is_moved(lay: OpenLay) -> None:
    """The length counts the ends, as a plan does."""
    assert lay.length == pytest.approx(630.0, abs=1e-3)
    longer = moved(lay, 4, 70.0, 0.0)
    assert longer.length == pytest.approx(700.0, abs=1e-3)
    assert longer.by_hand == (False, False, False, False, True)
    assert moved(longer, 4, -70.0, 0.0).length == pytest.approx(630.0, abs=1e-3)


def test_a_refused_lay_names_all_that_is_wrong(lay: OpenLay) -> None:
    """One line each."""
    bad = moved(moved(lay, 4, -40.0, 0.0), 1, -10.0, 0.0)
    with pytest.raises(NotValidError, match=r"overlap\.\n.*reaches 1 cm|reaches 1 cm.*\n.*overlap"):
        require_sound(bad, System.METRIC)


def test_rectangles_turn_by_half_and_are_the_same_turned_over(lay: OpenLay) -> None:
    """About their middle, so that they cover the same cloth."""
    half = turned(lay, 0)
    assert half.layout.placements[0].pose == Pose(180.0)
    assert not texts(half)
    assert half.length == pytest.approx(lay.length)
    assert turned(half, 0).layout.placements[0].pose == Pose(0.0)
    with pytest.raises(NotPermittedError, match="turned over it is the same"):
        turned_over(lay, 0)


def test_cloth_that_is_one_way_permits_no_turn() -> None:
    """The reason is told."""
    lay = lay_of(order(replace(CLOTH, one_way=True)))
    with pytest.raises(NotPermittedError, match="1 large may not be turned: this cloth is one way"):
        turned(lay, 0)


def test_cloth_on_hand_must_do() -> None:
    """A lay that takes more is told of, though no piece is to blame."""
    lay = lay_of(order(replace(CLOTH, on_hand=640.0, washed=True)))
    assert not texts(moved(lay, 4, 5.0, 0.0))
    (wrong,) = judged(moved(lay, 4, 60.0, 0.0), System.METRIC)
    assert wrong.numbers == ()
    assert wrong.text == "The lay takes 69 cm, 5 cm more than there is on hand (64 cm)."


def test_the_cut_between_sections_is_no_flaw_whatever_a_piece_is_called() -> None:
    """What a piece is too near to is told by what it is, not by words that its name may hold."""
    pair = replace(rectangle("side", 300.0, 400.0), cuts=(Cut("cloth", CutKind.PAIR, 2),))
    tiles = Garment("tiles", "Tiles", (pair, rectangle("flaw cover", 300.0, 600.0)))
    lay = lay_of(replace(order(garment=tiles), fold="sectioned"))
    said = texts(moved(lay, index_of(lay, "flaw cover"), -6.0, 0.0))
    assert "2 flaw cover is too near a cut between two sections: keep 1 cm clear." in said
    assert not any("near a flaw" in text for text in said)


def test_a_half_stays_on_its_fold() -> None:
    """It slides along it; turned over it heads the other way, if the cloth permits."""
    asked = Order(garment("wrap-skirt"), cloth_for("wrap-skirt"), effort="quick")
    lay = opened(demo_plan("wrap-skirt", "lengthwise").fabrics[0], asked)
    index = next(k for k, placed in enumerate(lay.entry.placements) if placed.on_fold)
    before = lay.layout.placements[index]
    after = moved(lay, index, 30.0, 40.0).layout.placements[index]
    assert (after.x, after.y) == (before.x + 30.0, before.y)
    assert not any("fold edge" in text for text in texts(moved(lay, index, 1.0, 40.0)))
    with pytest.raises(NotPermittedError, match="its fold edge lies on the fold"):
        turned(lay, index)


def test_pieces_that_match_go_from_repeat_to_repeat() -> None:
    """The smallest step leads to the next place in phase, so that the design goes on matching."""
    asked = Order(garment("blouse"), cloth_for("blouse"), effort="quick")
    lay = opened(demo_plan("blouse", "open").fabrics[0], asked)
    index = index_of(lay, "sleeve")
    before = lay.layout.placements[index]
    repeat = lay.job.fabric.repeat
    assert repeat is not None
    after = moved(lay, index, 1.0, 0.0).layout.placements[index]
    assert after.x - before.x == pytest.approx(repeat.along, abs=1e-6)
    assert not any("match" in text for text in texts(moved(lay, index, 1.0, 0.0)))
