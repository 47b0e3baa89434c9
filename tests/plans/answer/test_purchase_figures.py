"""What a plan says to buy: rounded once, nothing forgotten, the same whatever units are shown."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from shapely.geometry import Polygon

from fabrics.buying import longest_however_sold, purchase, sold_in
from fabrics.fabric import Fabric, Repeat
from fabrics.plain import plain_fabric
from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from layout.effort import Effort
from pieces.lengths import YARD_MM, System
from pieces.piece import Cut, CutKind, MatchPoint
from plans.answer.assemble import assemble
from plans.answer.planner import plan_garment
from plans.choice.second_goal import with_second_goal
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.errors import ContradictionError, NothingFitsError
from plans.folds.fold_search import screen
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for, jobs_for
from plans.folds.outcome import FoldResult
from plans.order import USUAL_ENDS_MM, Order
from plans.orders.cloth import cloth_by_role
from plans.plan import FabricPlan, Plan
from plans.words.facts import arithmetic, plan_text, titled
from plans.words.key_figures import key_figures
from plans.words.lists.tables import fabric_table
from plans.words.purchase_words import shopping_line
from tests.plans.demo import garment
from tests.plans.rectangles import INCH, project, rectangle


def planned(length: float, cloth: Fabric, **more: object) -> FabricPlan:
    """A panel of a length (mm) by 30 cm, with no ends unless asked for."""
    order = Order(
        project(rectangle("panel", length / INCH, 300.0 / INCH)), {"cloth": cloth},
        effort="quick", fold="open", **{"ends": 0.0, **more},  # type: ignore[arg-type]
    )  # fmt: skip
    return plan_garment(order).fabrics[0]


def line(entry: FabricPlan, what: str, system: System = System.METRIC) -> tuple[str, str]:
    found = next(one for one in arithmetic(entry, system) if one.what == what)
    return found.how, found.result


def test_cloth_without_steps_is_rounded_once_in_the_units_that_are_asked_for() -> None:
    """24 1/8 in is 3/4 yd; by way of 0.7 m it would be 7/8 yd."""
    metric = planned(24.125 * INCH, plain_fabric("140cm"))
    imperial = planned(24.125 * INCH, plain_fabric("140cm"), system=System.IMPERIAL)
    assert metric.purchase.bought == pytest.approx(700.0)
    assert imperial.purchase.bought == pytest.approx(0.75 * YARD_MM)
    assert shopping_line(imperial, System.IMPERIAL).startswith("Ask for 3/4 yd of plain")
    assert metric.placements == imperial.placements


def test_cloth_with_its_own_step_is_sold_in_that_whoever_asks() -> None:
    """The other unit is shown as measured, marked "about"; the cost follows the purchase."""
    cloth = replace(find_fabric("demo-cotton-lawn"), washed=True)
    entry = planned(24.125 * INCH, cloth, system=System.IMPERIAL)
    assert entry.purchase.bought == pytest.approx(700.0)
    text = shopping_line(entry, System.IMPERIAL)
    assert text.startswith("Ask for 0.7 m (about 27 9/16 in) of")
    assert "(8.33 EUR)" in text
    assert line(entry, "cost", System.IMPERIAL) == ("0.7 m x 11.90 a metre", "8.33 EUR")
    how, result = line(entry, "to buy", System.IMPERIAL)
    assert result == "0.7 m"
    assert how == "rounded up to steps of 0.1 m, at least 0.2 m; about 27 9/16 in"
    yards = planned(24.125 * INCH, replace(find_fabric("demo-quilting-cotton"), washed=True))
    assert shopping_line(yards, System.METRIC).startswith("Ask for 3/4 yd (about 68.6 cm) of")
    assert line(yards, "cost") == ("3/4 yd x 12.00 a yard", "9.00 USD")


def test_a_price_a_metre_of_cloth_sold_by_the_yard() -> None:
    """3/4 yd is 0.6858 m: 8.16 at 11.90 a metre."""
    cloth = replace(plain_fabric("140cm"), price=11.90, currency="EUR")
    entry = planned(24.125 * INCH, cloth, system=System.IMPERIAL)
    assert line(entry, "cost", System.IMPERIAL) == ("0.686 m x 11.90 a metre", "8.16 EUR")


def test_cloth_on_hand_is_sold_by_nobody() -> None:
    """Its step is that of a tape in either system."""
    cloth = replace(plain_fabric("140cm"), on_hand=2000.0, step=10.0)
    assert sold_in(cloth, System.IMPERIAL) == cloth


@pytest.mark.parametrize(("cloth", "fold"), [("45in", Fold.DOUBLE), ("115cm", Fold.PARTIAL)])
def test_units_do_not_change_a_layout(cloth: str, fold: Fold) -> None:
    """The same depths, the same places, whatever is shown."""
    found = []
    for system in System:
        order = Order(garment("layered-top"), {}, system=system)
        job = job_for(order, ("overlay",), find_fabric(cloth))
        outcome = screen(job, fold, Effort.GLANCE, Effort.GLANCE)
        assert isinstance(outcome, FoldResult)
        found.append(outcome)
    assert found[0].sections == found[1].sections
    assert found[0].layout == found[1].layout
    assert found[0].bought == found[1].bought


def test_squared_off_ends_are_bought_by_default_and_shown() -> None:
    """3 cm together (a setting): a dress of exactly 90 cm is not cut from 0.9 m."""
    entry = planned(900.0, plain_fabric("140cm"), ends=USUAL_ENDS_MM)
    assert USUAL_ENDS_MM == 30.0
    assert Order(project(), {}).ends == USUAL_ENDS_MM
    assert entry.purchase.bought == pytest.approx(1000.0)
    assert entry.length == pytest.approx(930.0)
    assert entry.bound == pytest.approx(930.0)
    assert line(entry, "squared-off ends") == ("90 cm + 3 cm for both together", "0.930 m")


def test_cloth_with_next_to_nothing_to_spare_is_warned_of() -> None:
    """Less than 1 cm: said first, and bold where that can be."""
    tight = planned(895.0, plain_fabric("140cm,shrinkage=0%"))
    assert [w for w in tight.warnings if "Only 0.5 cm to spare" in w]
    assert "\n! Only 0.5 cm to spare" in plan_text(a_plan(tight), System.METRIC)
    assert not planned(889.0, plain_fabric("140cm,shrinkage=0%")).warnings
    margin = planned(895.0, plain_fabric("140cm,shrinkage=0%"), margin=50.0)
    assert not margin.warnings


def a_plan(*entries: FabricPlan) -> Plan:
    return Plan("project", "Project", 1, entries)


def test_unstated_shrinkage_is_warned_of_with_the_usual_range() -> None:
    """A plain width is not cloth that cannot shrink; one that was washed will not."""
    words = "cotton usually loses 2 to 7 %"
    assert any(words in warning for warning in planned(450.0, plain_fabric("140cm")).warnings)
    for text in ("140cm,washed", "140cm,shrinkage=5%"):
        assert not planned(450.0, plain_fabric(text)).warnings


def test_unwashed_cloth_on_hand_shrinks_as_stated() -> None:
    """1.2 m at 5 % leave 1.14 m: 1.15 m do not fit on it, though they do without shrinkage."""
    short = replace(plain_fabric("115cm,shrinkage=5%"), on_hand=1200.0, step=10.0)
    with pytest.raises(NothingFitsError):
        planned(1150.0, short)
    unknown = replace(plain_fabric("115cm"), on_hand=1200.0, step=10.0)
    assert any("No shrinkage is allowed for" in w for w in planned(1150.0, unknown).warnings)


def test_the_least_width_is_never_above_the_cloth() -> None:
    """60 in asks for 1.524 m at most, not for 1.53 m."""
    panel = project(rectangle("panel", 10, 60 - 20 / INCH))
    cloth = plain_fabric("60in")
    entry = plan_garment(Order(panel, {"cloth": cloth}, fold="open", effort="quick")).fabrics[0]
    assert entry.min_width == pytest.approx(1524.0)
    assert "at least 1.524 m wide" in shopping_line(entry, System.METRIC)
    assert "at least 60 in wide" in shopping_line(entry, System.IMPERIAL)
    assert key_figures(entry, System.METRIC).narrowest == "1.524 m"


def test_the_shop_is_asked_for_the_width_of_the_plan() -> None:
    """On less the figures at the table do not hold, though the lay has room: plan again first."""
    cloth = plain_fabric("140cm")
    panel = project(rectangle("panel", 10, 40))
    entry = plan_garment(Order(panel, {"cloth": cloth}, fold="open", effort="quick")).fabrics[0]
    entry = replace(entry, min_width=1303.0)
    said = shopping_line(entry, System.METRIC)
    assert "at least 1.4 m wide. Narrower cloth needs a new plan before it is cut" in said
    assert said.endswith("at least 1.31 m if you plan again on its width.")


def test_the_length_to_slide_along_a_design_is_bought() -> None:
    """A repeat of 6 cm: up to that much, so that the first match point lies where one wants it."""
    panel = replace(
        rectangle("panel", 600.0 / INCH, 300.0 / INCH, 2),
        match_points=(MatchPoint("check", (100.0, 0.0)),),
    )
    cloth = replace(plain_fabric("140cm"), repeat=Repeat(60.0), width=640.0, selvage=0.0)
    order = Order(project(panel), {"cloth": cloth}, fold="open", effort="quick", ends=0.0)
    entry = plan_garment(order).fabrics[0]
    assert entry.slide == 60.0
    how, result = line(entry, "to begin where you want in the design")
    assert how == "60 cm + up to one repeat, 6 cm"
    assert result == "0.660 m"
    assert entry.length == pytest.approx(660.0)
    assert entry.bound <= entry.length
    assert any("part of the purchase" in note for note in entry.notes)
    plain = plan_garment(replace(order, cloth={"cloth": replace(cloth, repeat=None)})).fabrics[0]
    assert plain.slide == 0.0


def test_copies_that_come_near_each_other_across_a_fold_are_named() -> None:
    """A pair that fits its fold to the millimetre lies nearer than the gap: it is said."""
    ring = ((0.0, 0.0), (500.0, 0.0), (500.0, 348.0), (0.0, 349.0))
    panel = replace(
        rectangle("panel", 1, 1), outline=ring, grain=((50.0, 50.0), (400.0, 50.0)),
        cuts=(Cut("cloth", CutKind.PAIR, 2),),
    )  # fmt: skip
    cloth = replace(plain_fabric("70cm"), selvage=0.0)
    order = Order(project(panel), {"cloth": cloth}, fold="lengthwise", effort="quick")
    entry = plan_garment(order).fabrics[0]
    assert len(entry.placements) == 1
    (note,) = [n for n in entry.notes if "Across the fold" in n]
    assert "less than the gap of 0.3 cm" in note
    roomy = plan_garment(replace(order, cloth={"cloth": replace(cloth, width=710.0)})).fabrics[0]
    assert not [n for n in roomy.notes if "Across the fold" in n]


def test_a_double_fold_is_deep_enough_for_the_gap() -> None:
    """Pairs beside a fold of a depth of our choice keep half the gap from it."""
    cloth = find_fabric("demo-linen")
    order = Order(garment("trousers"), {"main": cloth}, fold="double", effort="quick")
    assert not [n for n in plan_garment(order).fabrics[0].notes if "Across the fold" in n]


def test_the_exact_length_is_the_shortest_found() -> None:
    """A lay that is stretched within its purchase says so beside it, and why."""
    order = Order(garment("toy-hare"), {})
    job = job_for(order, ("cotton",), plain_fabric("70cm"))
    shortest = screen(job, Fold.OPEN, Effort.GLANCE, Effort.GLANCE)
    assert isinstance(shortest, FoldResult)
    chosen = with_second_goal(job, shortest, Effort.BRISK)
    assert chosen.length <= shortest.length
    entry = assemble(job, chosen, ())
    assert entry.length == pytest.approx(chosen.length + 30.0)
    assert entry.laid == pytest.approx(chosen.laid + 30.0)
    assert entry.laid >= entry.length
    assert purchase(entry.laid, entry.fabric).bought <= entry.purchase.bought + 1e-6
    assert longest_however_sold(entry.length, job.fabric) >= entry.laid
    stretched = replace(entry, laid=entry.length + 40.0)
    words = key_figures(stretched, System.METRIC).exact
    assert "the shortest found; drawn over" in words
    assert "bought anyway, so that more is left over in one piece" in words
    again = plan_from_json(plan_to_json(a_plan(stretched))).fabrics[0]
    assert again.laid == pytest.approx(stretched.laid, abs=1e-5)


def test_two_plain_widths_are_two_cloths() -> None:
    """Unless they are named together; a fabric with a name of its own is one however often."""

    def pairs(typed: tuple[str, ...]) -> list[tuple[str, str]]:
        return [(role, fabric) for role, _, fabric in (text.partition("=") for text in typed)]

    def jobs(*cloth: str) -> list[FabricJob]:
        return jobs_for(Order(garment("layered-top"), cloth_by_role(pairs(cloth), None)))

    apart = jobs("base=60in", "overlay=60in")
    assert [job.roles for job in apart] == [("base",), ("overlay",)]
    assert apart[1].fabric.title == "plain cloth, 60 in wide, for overlay"
    (together,) = jobs("base+overlay=60in")
    assert together.roles == ("base", "overlay")
    (shared,) = jobs("base=demo-linen", "overlay=demo-linen")
    assert shared.roles == ("base", "overlay")
    for wrong in (("base=60in", "base+overlay=60in"), ("base+=60in",)):
        with pytest.raises(ContradictionError):
            cloth_by_role(pairs(wrong), None)


def test_a_plan_says_first_which_roles_share_cloth() -> None:
    """In its first lines."""
    entry = planned(450.0, find_fabric("demo-linen"))
    shared = a_plan(replace(entry, roles=("base", "overlay")))
    first = plan_text(shared, System.METRIC).splitlines()[1]
    assert first.startswith("base and overlay are cut together from one length of demo")
    assert not plan_text(a_plan(entry), System.METRIC).splitlines()[1]


def test_messages_speak_the_units_that_are_asked_for() -> None:
    """A misfit on cloth sold by the yard, in a metric plan, and the other way round."""
    panel = project(rectangle("panel", 10, 60))
    for system, words in ((System.METRIC, "152.4 cm"), (System.IMPERIAL, "60 in")):
        for cloth in ("45in", "115cm"):
            order = Order(panel, {"cloth": find_fabric(cloth)}, effort="quick", system=system)
            with pytest.raises(NothingFitsError) as caught:
                plan_garment(order)
            text = str(caught.value)
            assert words in text
            assert bool(re.search(r"\d in\b", text)) is (system is System.IMPERIAL)
            assert bool(re.search(r"\d cm\b", text)) is (system is System.METRIC)


@pytest.mark.parametrize("ends", [0.0, 30.0, 200.0])
def test_flaws_stay_where_they_are_whatever_is_squared_off(ends: float) -> None:
    """A flaw is measured from the cut end; pieces keep clear of it there, with the gap."""
    flaw = ((400.0, 100.0), (430.0, 100.0), (430.0, 1300.0), (400.0, 1300.0))
    cloth = replace(plain_fabric("140cm,washed"), flaws=(flaw,))
    order = Order(
        project(rectangle("panel", 300.0 / INCH, 900.0 / INCH, 2)), {"cloth": cloth},
        effort="quick", fold="open", ends=ends,
    )  # fmt: skip
    entry = plan_garment(order).fabrics[0]
    assert entry.fabric.flaws == (flaw,)
    spot = Polygon(flaw)
    copies = [Polygon(copy.outline) for placed in entry.placements for copy in placed.copies]
    assert min(copy.distance(spot) for copy in copies) >= 3.0 - 0.01
    assert min(copy.bounds[0] for copy in copies) >= ends / 2.0 - 0.01


def test_rectangles_are_told_only_where_they_would_need_more() -> None:
    """On matched cloth they mean nothing: no figure is better than a wrong one."""
    entry = planned(450.0, plain_fabric("140cm"))
    figures = key_figures(entry, System.METRIC)
    assert figures.rectangles == ""
    words = "if each piece were a rectangle"
    assert words not in dict(figures.rows())
    longer = replace(entry, boxes=entry.length + 100.0)
    assert dict(key_figures(longer, System.METRIC).rows())[words] == "55 cm would be needed"


def test_strips_may_be_joined_of_more_parts_than_they_need() -> None:
    """The skirt's ties fit whole on 140 cm; in three parts a tenth of the cloth is saved."""
    job = job_for(Order(garment("wrap-skirt"), {}), ("main",), plain_fabric("140cm"))
    found = screen(job, Fold.LENGTHWISE, Effort.QUICK, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    assert ("tie", 3) in [(key, parts) for key, parts, _ in found.joined]
    assert found.length < 1400.0


def test_a_fabric_is_described_in_its_own_prices_and_steps() -> None:
    """11.90 a metre is not 11.90 for 1 1/8 yd, and 10 cm are no 3 15/16 in."""
    text = fabric_table(find_fabric("demo-cotton-lawn"), System.IMPERIAL)
    assert "11.90 EUR a metre" in text
    assert re.search(r"sold in steps of +0\.1 m", text)
    assert "12.00 USD a yard" in fabric_table(find_fabric("demo-quilting-cotton"), System.METRIC)


def test_plain_cloth_is_not_said_to_be_for_a_role_twice() -> None:
    """Its title names its roles; that of a fabric with a name does not."""
    (cloth,) = cloth_by_role([("main", "115cm")], None).values()
    entry = replace(planned(450.0, find_fabric("demo-linen")), roles=("main",))
    assert titled(entry) == "demo washed-look linen, sand for main"
    plain = replace(entry, fabric=cloth)
    assert titled(plain) == "plain cloth, 115 cm wide, for main"


def test_what_is_taken_of_cloth_on_hand_is_one_amount() -> None:
    """On cloth of an inch width, too: in the step that was used, never in eighths of a yard."""
    cloth = replace(plain_fabric("45in,washed"), on_hand=1050.0, step=10.0, own_step=True)
    entry = planned(965.0, cloth)
    assert entry.purchase.bought == pytest.approx(970.0)
    assert shopping_line(entry, System.METRIC).startswith("Take 0.97 m of")
    assert shopping_line(entry, System.IMPERIAL).startswith("Take 38 3/16 in of")
    how, result = line(entry, "left of what is on hand", System.IMPERIAL)
    assert how.endswith("- 38 3/16 in")
    assert result == "3 1/8 in"


def test_plain_cloth_is_named_as_one_asks_for_it() -> None:
    """No option's spelling in the shop."""
    title = plain_fabric("60in,nap,shrinkage=5%x3%,price=14/yd").title
    assert title == "plain cloth, 60 in wide, with nap, that shrinks 5 % along and 3 % across"


def test_a_misspelt_role_is_named_first() -> None:
    """Not the role that is then without cloth."""
    order = Order(garment("trousers"), {"mian": plain_fabric("115cm")})
    with pytest.raises(ContradictionError, match="'mian'"):
        jobs_for(order)
