"""Leftovers first: what lies on them is not bought, and every copy is somewhere once."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace

import pytest
from shapely.geometry import Polygon

from fabrics.fabric import Fabric
from fabrics.plain import plain_fabric
from fabrics.region import Region
from fabrics.stash.records import LeftoverRecord
from pieces.drafting.outfit import Ordered, outfit_of
from pieces.lengths import System
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.errors import NothingFitsError
from plans.leftover_use.cutting import cutting_of
from plans.leftover_use.planning import plan_with_leftovers
from plans.order import Order
from plans.outputs.report.page import html_text
from plans.plan import Whose
from plans.words.facts import plan_text
from plans.words.piece_names import piece_words
from tests.plans.demo import demo_plan
from tests.plans.rectangles import INCH, project, rectangle

CLOTH = replace(plain_fabric("80cm"), name="blue linen", title="blue linen", selvage=0.0)


def leftover(tag: str, long: float, wide: float, fabric: Fabric = CLOTH) -> LeftoverRecord:
    outline = ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
    region = Region(outline, (), long * wide, (0.0, 0.0, long, wide))
    return LeftoverRecord(tag, fabric, region, "", "today")


def order(**more: object) -> Order:
    """A panel as wide as the cloth, and four squares of 30 cm."""
    garment = project(
        rectangle("panel", 500.0 / INCH, 800.0 / INCH),
        rectangle("square", 300.0 / INCH, 300.0 / INCH, 4),
    )
    return Order(garment, {"cloth": CLOTH}, effort="quick", gap=0.0, ends=0.0, **more)  # type: ignore[arg-type]


def test_leftovers_take_what_saves_most() -> None:
    """Four squares need 60 cm more; the leftover that takes them all saves that, not the others."""
    there = [
        leftover("L1", 310.0, 310.0),
        leftover("L2", 610.0, 610.0),
        leftover("L3", 2000.0, 2000.0, replace(CLOTH, name="red linen")),
    ]
    plan = plan_with_leftovers(order(), there)
    assert [cut.tag for cut in plan.on_leftovers] == ["L2"]
    assert Counter(copy.piece for copy in plan.on_leftovers[0].copies) == {"square": 4}
    assert plan.fabrics[0].length == pytest.approx(500.0)
    saving = plan.savings[0]
    assert (saving.without, saving.bought) == pytest.approx((1100.0, 500.0))
    laid = Counter(p.piece for p in plan.fabrics[0].placements)
    assert laid == {"panel": 1}


def test_leftovers_that_save_nothing_are_left_alone() -> None:
    """One square less still needs the same two rows."""
    plan = plan_with_leftovers(order(), [leftover("L1", 310.0, 310.0)])
    assert not plan.on_leftovers
    assert not plan.savings
    assert plan.fabrics[0].length == pytest.approx(1100.0)
    assert plan.fabrics[0].notes[0] == ("With leftover L1 of your stash no less would be needed.")


def test_where_everything_lies_on_leftovers_nothing_is_bought() -> None:
    """And every output can say so."""
    plan = plan_with_leftovers(
        order(), [leftover("L1", 510.0, 810.0), leftover("L2", 610.0, 610.0)]
    )
    assert not plan.fabrics
    assert plan.complete
    assert {cut.tag for cut in plan.on_leftovers} == {"L1", "L2"}
    again = plan_from_json(json.loads(json.dumps(plan_to_json(plan))))
    assert again.on_leftovers == plan.on_leftovers
    assert again.savings == plan.savings
    for system in System:
        text = plan_text(plan, system)
        assert "Nothing to buy." in text
        assert max(len(line) for line in text.splitlines()) <= 100
    assert "Leftover L1" in html_text(plan, System.METRIC)
    assert set(cutting_of(plan, {}).used) == {"L1", "L2"}


def test_a_bolt_that_is_too_short_is_helped_out_by_leftovers() -> None:
    """60 cm on hand carry the panel; with the squares on a leftover that is enough."""
    short = replace(CLOTH, on_hand=600.0, step=10.0)
    tight = replace(order(), cloth={"cloth": short})
    with pytest.raises(NothingFitsError, match="on hand"):
        plan_with_leftovers(tight, [leftover("L1", 200.0, 200.0)])
    plan = plan_with_leftovers(tight, [leftover("L1", 610.0, 610.0)])
    assert plan.complete
    assert [cut.tag for cut in plan.on_leftovers] == ["L1"]
    assert plan.fabrics[0].purchase.bought == pytest.approx(500.0)


def test_copies_on_leftovers_and_on_cloth_are_all_copies() -> None:
    """A demo garment with a leftover of no particular form: nothing twice, nothing missing."""
    without = demo_plan("layered-top", "open")
    voile = next(f.fabric for f in without.fabrics if "overlay" in f.roles)
    ring = ((0.0, 0.0), (500.0, 0.0), (620.0, 250.0), (450.0, 700.0), (0.0, 480.0))
    one = leftover("L1", 10.0, 10.0, voile)
    one = replace(one, region=replace(one.region, outline=ring, area=Polygon(ring).area))
    from tests.plans.demo import cloth_for
    from tests.plans.demo import garment as demo_garment

    plan = plan_with_leftovers(
        Order(demo_garment("layered-top"), cloth_for("layered-top"), fold="open", effort="quick"),
        [one],
    )
    counts = Counter(copy.piece for cut in plan.on_leftovers for copy in cut.copies) + Counter(
        placed.piece for entry in plan.fabrics for placed in entry.placements for _ in placed.copies
    )
    expected = Counter(
        placed.piece
        for entry in without.fabrics
        for placed in entry.placements
        for _ in placed.copies
    )
    assert counts == expected
    region = Polygon(ring).buffer(0.01)
    for cut in plan.on_leftovers:
        outlines = [Polygon(copy.outline) for copy in cut.copies]
        assert all(region.covers(outline) for outline in outlines)
        left = sum(rest.area for rest in cut.left)
        assert left + sum(outline.area for outline in outlines) <= Polygon(ring).area + 1e-6


def test_what_lies_on_leftovers_is_for_one_garment_after_another() -> None:
    """Of two bags with two squares each, whose squares lie partly on a leftover."""
    top = replace(project(rectangle("panel", 500.0 / INCH, 800.0 / INCH)), name="top", source="top")
    bag = replace(
        project(rectangle("square", 300.0 / INCH, 300.0 / INCH, 2)), name="bag", source="bag"
    )
    garment = outfit_of([Ordered(top), Ordered(bag, 2)]).garment
    asked = replace(order(), garment=garment)
    plan = plan_with_leftovers(asked, [leftover("L1", 310.0, 610.0)])
    (cut,) = plan.on_leftovers
    assert [piece_words(copy) for copy in cut.copies] == ["bag 1 of 2: square"] * 2
    laid = Counter(
        piece_words(placed) for placed in plan.fabrics[0].placements for _ in placed.copies
    )
    assert laid == {"top: panel": 1, "bag 2 of 2: square": 2}
    assert plan_from_json(plan_to_json(plan)).on_leftovers[0].copies[0].whose == Whose(
        "bag", (1,), 2
    )
    assert "bag 1 of 2: square x 2" in plan_text(plan, System.METRIC)
