"""What leftovers do not carry comes off a bolt that holds enough; only then is it bought."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from fabrics.stash.records import Bolt
from pieces.lengths import System
from plans.by_hand.changed import changed_fabric
from plans.by_hand.moves import moved
from plans.by_hand.reopened import opened
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.leftover_use.bolts import bolts_for, stands_in, unused_note
from plans.leftover_use.cutting import cutting_of
from plans.leftover_use.planning import plan_with_leftovers
from plans.order import Order
from plans.plan import Plan
from plans.words.facts import plan_text
from tests.plans.leftover_use.test_planning import CLOTH, leftover, order
from tests.plans.rectangles import project, rectangle

SHRINKING = replace(CLOTH, shrink_along=0.1)


def bolt(tag: str, length: float, washed: bool = True, **changes: object) -> Bolt:
    fabric = replace(CLOTH, **changes)  # type: ignore[arg-type]
    return Bolt(tag, fabric, length, washed, "", "today")


def planned(bolts: list[Bolt], the_order: Order | None = None, left: tuple[str, ...] = ()) -> Plan:
    there = [leftover(tag, 610.0, 610.0) for tag in left]
    return plan_with_leftovers(the_order or order(), there, bolts=bolts)


def test_the_shortest_bolt_that_holds_enough_is_taken() -> None:
    """1.1 m are needed: not the bolt of 90 cm, not the one of 3 m; nothing is bought."""
    plan = planned([bolt("B1", 3000.0), bolt("B2", 900.0), bolt("B3", 1500.0)])
    (entry,) = plan.fabrics
    assert entry.fabric.bolt == "B3"
    text = " ".join(plan_text(plan, System.METRIC).split())
    assert "Bolt B3 of your stash holds enough, so that none of this is bought: 1.1 m of" in text
    assert "its 1.5 m (washed) are taken, 40 cm remain on it." in text
    assert "Ask for" not in text
    assert "Take 1.1 m of the blue linen that you have (B3)." in text


def test_leftovers_come_before_bolts() -> None:
    """The squares on the leftover, the panel of 50 cm on a bolt that was too short for all."""
    plan = planned([bolt("B1", 3000.0), bolt("B2", 600.0)], left=("L1",))
    assert [cut.tag for cut in plan.on_leftovers] == ["L1"]
    assert plan.fabrics[0].fabric.bolt == "B2"
    assert plan.fabrics[0].purchase.bought == pytest.approx(500.0)


def test_what_is_on_hand_costs_nothing() -> None:
    """Neither the cloth nor what leftovers save of it."""
    priced = replace(CLOTH, price=10.0, currency="EUR")
    the_order = replace(order(), cloth={"cloth": priced})
    plan = planned([bolt("B1", 3000.0, price=10.0, currency="EUR")], the_order, left=("L1",))
    text = plan_text(plan, System.METRIC)
    assert "Leftovers save 0.6 m" in text
    assert "EUR" not in text
    assert plan.fabrics[0].fabric.price == 10.0


@pytest.mark.parametrize("tag", ["B1", ""])
def test_what_a_role_names_that_is_there_costs_nothing(tag: str) -> None:
    """A bolt of the stash, or cloth whose length was typed: as text and in its file."""
    priced = replace(CLOTH, price=10.0, currency="EUR", on_hand=3000.0, bolt=tag)
    plan = planned([], replace(order(), cloth={"cloth": priced}), left=("L1",))
    text = plan_text(plan, System.METRIC)
    assert "Leftovers save 0.6 m" in text
    assert "EUR" not in text
    assert plan_to_json(plan)["fabrics"][0]["cost"] is None
    assert not stands_in(plan.fabrics[0])


def test_a_bolt_that_stands_in_still_does_after_a_change_by_hand() -> None:
    """Its note has the figures of what lies now; that of a named bolt gets none."""
    there = bolt("B1", 3000.0, price=10.0, currency="EUR")
    named = replace(order(), cloth={"cloth": there.as_fabric()})
    for the_order, noted in ((order(), True), (named, False)):
        (entry,) = planned([there], the_order).fabrics
        assert stands_in(entry) is noted
        at = max(range(len(entry.placements)), key=lambda k: entry.placements[k].outline[0])
        lay = opened(entry, replace(the_order, cloth={"cloth": entry.fabric}))
        changed = changed_fabric(moved(lay, at, 200.0, 0.0), System.METRIC)
        assert stands_in(changed) is noted
        assert changed.purchase.bought > entry.purchase.bought
        assert changed.purchase.cost is None


def test_where_no_bolt_holds_enough_it_is_bought() -> None:
    """Too short, other cloth, narrower, napped: none of them."""
    plan = planned(
        [
            bolt("B1", 1090.0),
            bolt("B2", 5000.0, name="red linen"),
            bolt("B3", 5000.0, width=700.0),
            bolt("B4", 5000.0, one_way=True),
        ]
    )
    assert plan.fabrics[0].fabric.on_hand is None
    text = plan_text(plan, System.METRIC)
    assert "Ask for 1.1 m" in text
    assert plan.fabrics[0].notes[0] == "Bolt B1 of your stash holds too little for this."


@pytest.mark.parametrize(("washed", "tag"), [(True, "B1"), (False, "")])
def test_the_state_of_a_bolt_counts(washed: bool, tag: str) -> None:
    """1.15 m washed are enough for 1.1 m; unwashed, at 10 %, they will be 1.035 m."""
    the_order = replace(order(), cloth={"cloth": SHRINKING})
    plan = planned([bolt("B1", 1150.0, washed, shrink_along=0.1)], the_order)
    assert plan.fabrics[0].fabric.bolt == tag


def test_cutting_takes_it_off_that_bolt() -> None:
    """Written, read back, cut: in the bolt's own state."""
    the_order = replace(order(), cloth={"cloth": SHRINKING})
    one = bolt("B1", 1300.0, False, shrink_along=0.1)
    plan = planned([one], the_order)
    again = plan_from_json(json.loads(json.dumps(plan_to_json(plan))))
    (entry,) = again.fabrics
    assert entry.fabric.bolt == "B1"
    taken = dict(cutting_of(again, {"cloth": one}).taken)
    assert taken == {"B1": pytest.approx(entry.purchase.bought)}
    assert 1100.0 / 0.9 <= taken["B1"] <= 1100.0 / 0.9 + 10.0


def test_a_bolt_that_a_role_names_is_not_taken_for_another() -> None:
    """Nor is any bolt looked for where the cloth is on hand already."""
    named = bolt("B1", 3000.0)
    the_order = replace(order(), cloth={"cloth": named.as_fabric()})
    plan = planned([named, bolt("B2", 1200.0)], the_order)
    assert plan.fabrics[0].fabric.bolt == "B1"
    assert not plan.fabrics[0].notes or "holds enough" not in plan.fabrics[0].notes[0]
    from plans.folds.jobs import jobs_for

    assert bolts_for(jobs_for(the_order)[0], [named]) == []
    (job,) = jobs_for(order())
    assert [one.tag for one in bolts_for(job, [bolt("B1", 50.0), named])] == ["B1"]


def test_a_bolt_that_another_role_names_is_pointed_out() -> None:
    """The lining is bought: whoever wants both on the bolt names it for both."""
    named = bolt("B1", 3000.0)
    inside = rectangle("inside", 10.0, 10.0)
    inside = replace(inside, cuts=(replace(inside.cuts[0], role="lining"),))
    garment = project(rectangle("panel", 10.0, 10.0), inside)
    the_order = replace(
        order(), garment=garment, cloth={"cloth": named.as_fabric(), "lining": CLOTH}
    )
    first, second = planned([named], the_order).fabrics
    assert not first.notes
    assert second.notes[0] == (
        "Bolt B1 of your stash is the same cloth, but another role names it; name a bolt for "
        "both roles to lay them on it together."
    )


def test_several_of_a_kind_are_listed() -> None:
    assert unused_note(["L1", "L2", "L4"], ["B2", "B3"], ["B5", "B6"]) == (
        "With leftovers L1, L2 and L4 of your stash no less would be needed; bolts B2 and B3 of "
        "your stash each hold too little for this; bolts B5 and B6 of your stash are the same "
        "cloth, but other roles name them; name a bolt for both roles to lay them on it together."
    )
    assert unused_note([], [], []) == ""
