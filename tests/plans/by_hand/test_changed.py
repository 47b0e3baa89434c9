"""A plan after a change by hand: figures, marks, and what was kept."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from layout.validator import validate
from pieces.drafting.garment import Garment
from pieces.lengths import System
from plans.answer.assemble import assemble
from plans.by_hand.again import laid_again
from plans.by_hand.changed import changed_fabric, changed_plan
from plans.by_hand.errors import NoSuchPieceError, NotValidError
from plans.by_hand.moves import moved
from plans.by_hand.named import pieces_named
from plans.by_hand.reopened import OpenLay, opened
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.errors import NothingFitsError
from plans.order import Order
from plans.outputs.pdf import write_pdf
from plans.outputs.report.page import write_html
from plans.plan import Plan
from plans.words.changed_words import changed_words
from plans.words.facts import plan_text
from tests.plans.by_hand.rectangles import CLOTH, laid_out, lay_of, order, plan_of, rectangle
from tests.plans.demo import cloth_for, demo_plan, garment


@pytest.fixture(scope="module")
def plan() -> Plan:
    return plan_from_json(plan_to_json(plan_of(order())))


@pytest.fixture(scope="module")
def lay(plan: Plan) -> OpenLay:
    return opened(plan.fabrics[0], order())


def test_nothing_changed_is_the_plan_as_it_was(plan: Plan, lay: OpenLay) -> None:
    """To the last field."""
    assert changed_plan(plan, {0: lay}, order(), {}) == plan


def test_a_changed_plan_has_the_figures_of_what_lies_now(plan: Plan, lay: OpenLay) -> None:
    """Length, purchase, pins and leftovers come from where a plan's always come from."""
    shifted = moved(lay, 4, 100.0, 20.0)
    (entry,) = changed_plan(plan, {0: shifted}, order(), {}).fabrics
    assert entry.length == pytest.approx(730.0, abs=1e-3)
    assert entry.purchase.bought == pytest.approx(800.0)
    last = entry.placements[-1]
    assert (last.piece, last.number, last.by_hand) == ("large", 5, True)
    assert last.pins[0].from_end == pytest.approx(410.0 + 75.0 + 10.0, abs=1e-3)
    plain = assemble(shifted.job, shifted.result, plan.fabrics[0].other_folds)
    assert entry.leftovers == plain.leftovers
    assert entry.changed is not None
    assert entry.changed.length == pytest.approx(630.0, abs=1e-3)
    assert not any(placed.by_hand for placed in entry.placements[:-1])


def test_it_is_marked_wherever_it_is_shown(plan: Plan, lay: OpenLay, tmp_path: Path) -> None:
    """In its file, as text, in the report and on the page to print."""
    changed = changed_plan(plan, {0: moved(lay, 4, 100.0, 20.0)}, order(), {})
    data = plan_to_json(changed)
    assert data["fabrics"][0]["changed"] == {"found_mm": 630.0, "found_buy_mm": 700.0}
    assert plan_from_json(data) == plan_from_json(plan_to_json(plan_from_json(data)))
    words = (
        "5 large lies as put by hand: 73 cm, 10 cm longer than the lay that was found (63 cm); "
        "0.1 m more is bought"
    )
    assert changed_words(changed.fabrics[0], System.METRIC) == words
    assert "changed by hand" in plan_text(changed, System.METRIC)
    assert "The search ended" not in plan_text(changed, System.METRIC)
    write_html(changed, tmp_path / "report.html", System.METRIC)
    report = (tmp_path / "report.html").read_text().replace("\xa0", " ")
    assert words in report
    write_pdf(changed, changed.fabrics[0], tmp_path / "plan.pdf", System.METRIC, "a4")
    assert (tmp_path / "plan.pdf").stat().st_size > 1000
    assert "changed" not in plan_to_json(plan)["fabrics"][0]
    assert not changed_words(plan.fabrics[0], System.METRIC)


def test_a_second_change_is_held_against_what_was_found_first(plan: Plan, lay: OpenLay) -> None:
    """And what was moved before stays marked."""
    once = changed_plan(plan, {0: moved(lay, 4, 100.0, 0.0)}, order(), {})
    again = opened(once.fabrics[0], order())
    twice = changed_fabric(moved(again, 0, 3.0, 0.0), System.METRIC)
    assert twice.changed is not None
    assert twice.changed.length == pytest.approx(630.0, abs=1e-3)
    assert [placed.piece for placed in twice.placements if placed.by_hand] == ["large", "large"]


def test_what_cannot_be_cut_is_no_plan(plan: Plan, lay: OpenLay) -> None:
    """The message names the pieces."""
    with pytest.raises(NotValidError, match="1 large and 5 large overlap"):
        changed_plan(plan, {0: moved(lay, 4, -50.0, 0.0)}, order(), {})


def test_the_rest_is_laid_again_around_what_is_kept(plan: Plan, lay: OpenLay) -> None:
    """A large one in the way of the other: the small ones find room; what is kept stays."""
    shifted = moved(lay, 4, 0.0, 390.0)  # it lies on two small ones now
    assert validate(shifted.built.problem, shifted.layout)
    again = laid_again(shifted, [4], order())
    assert again.layout.placements[4] == shifted.layout.placements[4]
    assert not validate(again.built.problem, again.layout)
    assert again.length == pytest.approx(630.0, abs=1e-2)
    (entry,) = changed_plan(plan, {0: again}, order(), {0: (4,)}).fabrics
    assert entry.changed is not None
    assert len(entry.changed.kept) == 1
    kept = entry.placements[entry.changed.kept[0] - 1]
    assert kept.by_hand
    assert kept.outline[0] == pytest.approx((310.0, 390.0), abs=1e-6)
    assert "was laid again around" in changed_words(entry, System.METRIC)


def test_what_overlaps_cannot_be_kept(lay: OpenLay) -> None:
    """Only what is kept is to blame; the rest would have been laid again."""
    bad = moved(lay, 4, -50.0, 0.0)
    with pytest.raises(NotValidError, match=r"what is kept cannot stay so:\n  1 large and 5 large"):
        laid_again(bad, [0, 4], order())
    assert laid_again(bad, [4], order()).length >= 630.0


def test_cloth_on_hand_may_be_too_short_around_what_is_kept() -> None:
    """That is told, and no plan is made."""
    asked = order(replace(CLOTH, on_hand=700.0, washed=True))
    lay = opened(plan_of(asked).fabrics[0], asked)
    far = moved(lay, 4, 200.0, 0.0)
    with pytest.raises(NothingFitsError, match="more than there is on hand"):
        laid_again(far, [4], asked)


@pytest.mark.parametrize(
    ("name", "fold"),
    [("layered-top", "lengthwise"), ("wrap-skirt", "crosswise"), ("blouse", "open")],
)
def test_kept_pieces_of_demo_garments_stay_to_the_last_digit(name: str, fold: str) -> None:
    """Halves on folds, pairs and what must match among them; the result is no longer."""
    asked = Order(garment(name), cloth_for(name), effort="quick")
    entry = plan_from_json(plan_to_json(demo_plan(name, fold))).fabrics[0]
    lay = opened(entry, asked)
    kept = [0, 2]
    again = laid_again(lay, kept, asked)
    assert [again.layout.placements[k] for k in kept] == [lay.layout.placements[k] for k in kept]
    assert again.length <= lay.length + 1e-3
    changed = changed_fabric(again, System.METRIC, tuple(kept))
    assert changed.changed is not None
    for k, number in zip(kept, changed.changed.kept, strict=True):
        stayed = changed.placements[number - 1]
        assert stayed.piece == entry.placements[k].piece
        there = np.array(entry.placements[k].outline)
        assert np.abs(np.array(stayed.outline) - there).max() <= 2e-6  # as files round


def test_pieces_are_found_by_name_or_number(plan: Plan) -> None:
    """As the drawing labels them; what is misspelt is told with what is meant."""
    assert pieces_named(plan, ["small", "5"]) == {0: (1, 2, 3, 4)}
    assert pieces_named(plan, ["cloth:Large"]) == {0: (0, 4)}
    assert pieces_named(plan, ["2 small"]) == {0: (1,)}
    with pytest.raises(NoSuchPieceError, match="'smal' is no piece of this plan; did you mean 's"):
        pieces_named(plan, ["smal"])
    two = demo_plan("layered-top", "lengthwise")
    with pytest.raises(NoSuchPieceError, match=r"'1': several fabrics.*base:1 or overlay:1"):
        pieces_named(two, ["1"])
    assert pieces_named(two, ["overlay:1"]) == {1: (0,)}


def test_gaps_that_are_short_by_a_hair_add_up_to_no_fault() -> None:
    """Thirty panels in a row, each gap 0.009 mm short: shorter than the bound, and sound."""
    row = Garment("row", "Row", (rectangle("panel", 50.0, 600.0, 30),))
    lay = lay_of(order(garment=row))
    step = 50.0 + lay.job.gap - 0.009
    lay = laid_out(lay, {k: (k * step, 100.0) for k in range(30)})
    entry = changed_fabric(lay, System.METRIC)
    assert entry.length == pytest.approx(30 * 50.0 + 29 * (lay.job.gap - 0.009) + 20.0, abs=1e-6)
