"""From a plan to the stash: lengths in the state of the bolt, and leftovers."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from shapely.geometry import Polygon

from fabrics.plain import plain_fabric
from fabrics.stash.records import Bolt, NewCut
from fabrics.stash.store import Stash
from plans.answer.planner import plan_garment
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.errors import ContradictionError
from plans.leftover_use.cutting import cutting_of
from plans.order import Order
from plans.plan import Plan
from tests.plans.demo import demo_plan, garment
from tests.plans.rectangles import INCH, project, rectangle

LAWN = replace(plain_fabric("140cm"), name="lawn", shrink_along=0.1, shrink_across=0.05)


def bolt(washed: bool = False, **changes: object) -> Bolt:
    fabric = replace(LAWN, **changes)  # type: ignore[arg-type]
    return Bolt("B1", fabric, 5000.0, washed, "", "today")


def panel_plan(fabric_washed: bool = False) -> Plan:
    """One panel of 90 x 60 cm: 90 cm washed, 1 m before."""
    cloth = LAWN.as_washed() if fabric_washed else LAWN
    return plan_garment(
        Order(project(rectangle("panel", 900.0 / INCH, 600.0 / INCH)), {"cloth": cloth}, ends=0.0,
              effort="quick")
    )  # fmt: skip


@pytest.mark.parametrize(
    ("planned_washed", "bolt_washed", "off"),
    [(False, False, 1000.0), (False, True, 900.0), (True, True, 900.0), (True, False, 1000.0)],
)
def test_lengths_come_off_in_the_bolts_own_state(
    planned_washed: bool, bolt_washed: bool, off: float
) -> None:
    """90 cm of washed cloth at 10 % are 1 m unwashed, whatever the plan was made on."""
    cutting = cutting_of(panel_plan(planned_washed), {"cloth": bolt(bolt_washed)})
    assert dict(cutting.taken) == {"B1": pytest.approx(off)}


def test_other_or_narrower_cloth_is_refused() -> None:
    """Another fabric; the same one, but narrower than the layout."""
    plan = panel_plan()
    with pytest.raises(ContradictionError, match="'tweed', and the plan is for 'lawn'"):
        cutting_of(plan, {"cloth": bolt(name="tweed")})
    with pytest.raises(ContradictionError, match="plan again with --cloth cloth=stash:B1"):
        cutting_of(plan, {"cloth": bolt(width=500.0)})
    with pytest.raises(ContradictionError, match="has no such role"):
        cutting_of(plan, {"lining": bolt()})


def test_leftovers_begin_at_the_origin_and_keep_their_shape() -> None:
    """Moved, not changed; or not kept at all."""
    plan = demo_plan("trousers")
    entry = plan.fabrics[0]
    cutting = cutting_of(plan, {})
    assert len(cutting.left) == sum(len(f.leftovers) for f in plan.fabrics)
    assert cutting.left
    for new, old in zip(cutting.left, entry.leftovers, strict=True):
        region = Polygon(new.region.outline, new.region.holes)
        assert region.bounds[:2] == pytest.approx((0.0, 0.0))
        assert region.area == pytest.approx(old.area)
        x1, y1, x2, y2 = new.region.rectangle
        assert region.buffer(1e-2).covers(Polygon(((x1, y1), (x2, y1), (x2, y2), (x1, y2))))
        assert not new.fabric.bolt
    assert not cutting_of(plan, {}, keep_leftovers=False).left


def test_what_is_worth_keeping_is_a_setting() -> None:
    """A strip of 10 cm is scrap, unless less is asked for."""
    order = Order(
        project(rectangle("panel", 900.0 / INCH, 1200.0 / INCH)),
        {"cloth": replace(plain_fabric("132cm"), selvage=0.0)},
        effort="quick", gap=0.0, ends=0.0, fold="open",
    )  # fmt: skip
    assert not plan_garment(order).fabrics[0].leftovers
    (left,) = plan_garment(replace(order, leftover_size=(300.0, 100.0))).fabrics[0].leftovers
    assert left.area == pytest.approx(900.0 * 120.0, rel=1e-2)
    wide_neck = replace(order, leftover_size=(300.0, 100.0), leftover_neck=130.0)
    assert not plan_garment(wide_neck).fabrics[0].leftovers


def test_a_plan_from_the_stash_is_cut_and_undone(tmp_path: Path) -> None:
    """Laid on a bolt, written, read back, recorded, undone."""
    with Stash(tmp_path / "stash.sqlite") as stash:
        put = stash.add_bolt(LAWN, 2500.0, True)
        plan = plan_garment(Order(garment("wrap-skirt"), {"main": put.as_fabric()}, effort="quick"))
        data = json.loads(json.dumps(plan_to_json(plan)))
        again = plan_from_json(data)
        assert again.fabrics[0].fabric.bolt == "B1"
        cutting = cutting_of(again, {"main": put})
        cut = stash.record_cut(NewCut(plan.garment, json.dumps(data), cutting.taken, cutting.left))
        assert stash.bolt("B1").length == pytest.approx(2500.0 - plan.fabrics[0].purchase.bought)
        assert len(stash.leftovers()) == len(plan.fabrics[0].leftovers)
        stash.undo_cut(cut.number)
        assert stash.bolt("B1").length == pytest.approx(2500.0)
        assert not stash.leftovers()
