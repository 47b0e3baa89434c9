"""Does it fit on the cloth that there is? With how much to spare, or what would make it fit."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from fabrics.buying import off_the_bolt, purchase
from fabrics.fabric import Fabric
from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from pieces.lengths import System, parse_length
from plans.answer.planner import plan_garment
from plans.folds.on_hand import ShortageError
from plans.order import Order
from plans.plan import Plan
from plans.rescue import trial
from plans.rescue.rescue import rescue
from plans.rescue.words import rescue_text
from plans.words.facts import arithmetic, fold_heads
from plans.words.purchase_words import shopping_line
from tests.plans.rectangles import INCH, project, rectangle


@pytest.fixture(autouse=True)
def no_long_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rectangles are laid at once."""
    monkeypatch.setattr(trial, "MOST_COPIES", 0)


def order(cloth: Fabric, fold: str = "auto") -> Order:
    """Two panels of 60 x 40 cm and two facings of 30 x 40 cm."""
    garment = project(
        rectangle("panel", 600.0 / INCH, 400.0 / INCH, 2),
        rectangle("facing", 300.0 / INCH, 400.0 / INCH, 2),
    )
    return Order(garment, {"cloth": cloth}, fold=fold, effort="quick", gap=0.0, ends=0.0)


def plan(cloth: Fabric, fold: str = "auto") -> Plan:
    return plan_garment(order(cloth, fold))


def rescued(order: Order) -> str:
    """What would help, in one line."""
    with pytest.raises(ShortageError) as caught:
        plan_garment(order)
    (shortage,) = caught.value.shortages
    return " ".join(rescue_text(rescue(shortage)).split())


def told(cloth: Fabric, fold: str = "auto") -> str:
    return rescued(order(cloth, fold))


def cloth(on_hand: float, **more: object) -> Fabric:
    return replace(plain_fabric("84cm"), on_hand=on_hand, step=10.0, **more)  # type: ignore[arg-type]


def test_it_fits_and_says_what_is_to_spare() -> None:
    """90 cm are needed of 84 cm cloth: two panels side by side, then the small ones."""
    found = plan(cloth(1000.0)).fabrics[0]
    assert found.length == pytest.approx(900.0)
    lines = {line.what: line for line in arithmetic(found, System.METRIC)}
    assert lines["left of what is on hand"].result == "0.100 m"
    assert "unwashed" in lines["left of what is on hand"].how
    taken = {line.what: line for line in arithmetic(found, System.IMPERIAL)}["to take"]
    assert (taken.how, taken.result) == ("rounded up to steps of 1 cm", "35 7/16 in")
    assert shopping_line(found, System.METRIC).startswith("Take 0.9 m of the")
    assert fold_heads(found)[2] == "to take"
    assert fold_heads(plan(plain_fabric("84cm")).fabrics[0])[2] == "to buy"


def test_what_is_missing_adds_up_as_it_is_printed() -> None:
    """In inches: there is, it takes, it lacks; and so with what an idea saves."""
    for on_hand in (610.3, 611.2, 612.1, 613.6, 614.9):
        with pytest.raises(ShortageError) as caught:
            plan_garment(replace(order(cloth(on_hand)), system=System.IMPERIAL))
        (shortage,) = caught.value.shortages
        there, takes, short = (
            parse_length(one) for one in re.findall(r"\d[\d /]* in\b", shortage.headline())
        )
        assert takes - there == pytest.approx(short)


def test_cloth_that_is_just_enough_fits() -> None:
    """To the millimetre, though lengths are rounded up to what a tape shows."""
    found = plan(cloth(901.0)).fabrics[0]
    assert found.purchase.bought == pytest.approx(900.0)
    assert plan(cloth(900.0)).fabrics[0].purchase.bought == pytest.approx(900.0)
    shrinking = plan(cloth(1000.5, shrink_along=0.1)).fabrics[0]
    assert shrinking.purchase.bought == pytest.approx(1000.0)


def test_too_little_says_how_much_and_what_would_help() -> None:
    """Ten centimetres too little: without the facings the rest fits; no fold does."""
    text = told(cloth(800.0))
    assert "80 cm on hand (unwashed)" in text
    assert "10 cm too little" in text
    assert "'facing' from another cloth: needs 60 cm, you have 80 cm: fits with 20 cm" in text
    assert "every fold was tried before" in text


def test_another_fold_that_would_fit_is_named() -> None:
    """Crosswise the length is doubled; lengthwise it would do."""
    text = told(cloth(950.0), fold="crosswise")
    assert "lengthwise fold instead of crosswise fold: needs 90 cm, you have 95 cm" in text
    assert "fits with 5 cm to spare [--fold lengthwise]" in text
    assert plan(cloth(950.0)).fabrics[0].fold is not Fold.CROSSWISE


def test_dropping_the_nap_is_offered_only_if_allowed() -> None:
    """Trapezoids that nest head to tail: one way they need more."""
    ring = ((0.0, 0.0), (600.0, 0.0), (600.0, 500.0), (0.0, 200.0))
    piece = replace(
        rectangle("wedge", 600.0 / INCH, 500.0 / INCH, 2), outline=ring,
        grain=((100.0, 100.0), (500.0, 100.0)),
    )  # fmt: skip
    garment = project(piece)
    napped = replace(plain_fabric("74cm"), one_way=True, on_hand=900.0, step=10.0)

    def tried(nap_optional: bool) -> str:
        order = Order(
            garment, {"cloth": napped}, effort="quick", gap=0.0, ends=0.0, nap_optional=nap_optional
        )
        return rescued(order)

    assert "--nap-optional tries that too" in tried(False)
    allowed = tried(True)
    assert "laid both ways, against the nap: needs 60 cm, you have 90 cm: fits with 30" in allowed
    assert "panels may shade differently" in allowed


def test_off_the_bolt_no_shop_step_applies() -> None:
    """2.00 m at 5 % shrinkage is 2.105 m of unwashed cloth (trade arithmetic), washed 2.00 m."""
    fabric = replace(plain_fabric("140cm"), shrink_along=0.05)
    assert off_the_bolt(2000.0, fabric) == pytest.approx(2105.263, abs=1e-3)
    assert off_the_bolt(2000.0, fabric.as_washed(), 50.0) == pytest.approx(2050.0)
    assert purchase(2000.0, fabric).bought == pytest.approx(2200.0)
