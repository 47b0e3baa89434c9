"""A plan read back from its file is opened as the layout that it came of."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.validator import validate
from plans.answer.assemble import assemble
from plans.by_hand.errors import ChangedGarmentError
from plans.by_hand.reopened import opened
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.order import Order
from plans.plan import Plan
from tests.plans.by_hand.rectangles import order as tiles
from tests.plans.by_hand.rectangles import plan_of
from tests.plans.demo import cloth_for, demo_plan, garment


def order(name: str, makes: int = 1) -> Order:
    return Order(garment(name), cloth_for(name), makes=makes, effort="quick")


def read_back(plan: Plan) -> Plan:
    return plan_from_json(plan_to_json(plan))


@pytest.mark.parametrize(
    ("name", "fold"),
    [("layered-top", "partial"), ("trousers", "auto"), ("toy-hare", "auto"), ("blouse", "open")],
)
def test_every_demo_plan_opens_as_it_was(name: str, fold: str) -> None:
    """Assembled again without a change it is the same plan, in all that is not a reason."""
    plan = read_back(demo_plan(name, fold))
    for entry in plan.fabrics:
        lay = opened(entry, order(name))
        assert not validate(lay.built.problem, lay.layout)
        again = assemble(lay.job, lay.result, entry.other_folds)
        assert len(again.placements) == len(entry.placements)
        assert again.laid == pytest.approx(entry.laid, abs=1e-4)
        assert again.min_width == pytest.approx(entry.min_width, abs=1e-3)
        assert again.purchase.bought >= entry.purchase.bought - 1e-6
        assert [placed.piece for placed in again.placements] == [
            placed.piece for placed in entry.placements
        ]
        for mine, theirs in zip(again.placements, entry.placements, strict=True):
            assert mine.pins[0].from_end == pytest.approx(theirs.pins[0].from_end, abs=1e-3)
            assert (mine.plies, mine.on_fold, mine.opened) == (
                theirs.plies, theirs.on_fold, theirs.opened,
            )  # fmt: skip


def test_a_garment_that_changed_is_refused_with_its_piece() -> None:
    """Another outline, another number, or a piece that is gone."""
    plan = read_back(demo_plan("wrap-skirt"))
    entry, asked = plan.fabrics[0], order("wrap-skirt")
    first, *rest = asked.garment.pieces
    grown = replace(first, outline=tuple((1.01 * x, y) for x, y in first.outline))
    changed = replace(asked.garment, pieces=(grown, *rest))
    with pytest.raises(ChangedGarmentError, match=f"piece '{first.name}' has changed"):
        opened(entry, replace(asked, garment=changed))
    with pytest.raises(ChangedGarmentError, match="has changed since this was planned"):
        opened(entry, replace(asked, garment=replace(asked.garment, pieces=tuple(rest))))
    with pytest.raises(ChangedGarmentError, match="are cut now"):
        opened(entry, replace(asked, makes=2))


def test_what_lies_on_leftovers_is_not_missed() -> None:
    """Only what is left to lay is opened then; else a copy that is gone means a changed garment."""
    asked = tiles()
    (entry,) = plan_of(asked).fabrics
    fewer = replace(
        entry, placements=tuple(placed for placed in entry.placements if placed.number != 2)
    )
    with pytest.raises(ChangedGarmentError, match="3 of it are cut now, 2 lie there"):
        opened(fewer, asked)
    lay = opened(fewer, asked, on_leftovers=True)
    assert len(lay.layout.placements) == 4
    assert not validate(lay.built.problem, lay.layout)
