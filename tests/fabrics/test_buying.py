"""Buying: shrinkage once and the right way round, steps, minimum, cost."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fabrics.buying import longest_for_same_purchase, purchase, within_one_step
from fabrics.fabric import Fabric
from pieces.lengths import parse_length

PLAIN = Fabric(name="plain", title="Plain", width=1400.0)
YARDS = replace(PLAIN, step=114.3, price_unit=914.4, imperial=True)


@pytest.mark.parametrize(
    ("need", "shrinkage", "buy"),
    [
        # Shrinkage is a share of what goes in: dimensional change as in ISO 5077 = (after -
        # before) / before. foralltex.com, shrinkage for pattern makers: divide, do not multiply.
        (2000.0, 0.05, 2105.26),
        (2000.0, 0.07, 2150.54),
        (parse_length("3 yd"), 0.10, parse_length("3 yd") / 0.9),
    ],
)
def test_shrinkage_divides(need: float, shrinkage: float, buy: float) -> None:
    """2.00 m at 5 % is 2.105 m, not 2.10 m."""
    fabric = replace(PLAIN, shrink_along=shrinkage)
    assert purchase(need, fabric).unwashed == pytest.approx(buy, abs=0.01)
    assert purchase(need, replace(fabric, washed=True)).unwashed == need


def test_width_after_washing() -> None:
    """45 in at 3 % across is 43.65 in (same source), and the selvage shrinks with it."""
    fabric = replace(PLAIN, width=45 * 25.4, selvage=25.4, shrink_across=0.03)
    assert fabric.width_cut == pytest.approx(43.65 * 25.4)
    assert fabric.selvage_cut == pytest.approx(0.97 * 25.4)


@pytest.mark.parametrize(
    ("inches", "yards"),
    [(456, 12.75), (98, 2.75), (147, 4.125), (288, 8.0), (290, 8.125), (116, 3.25), (170, 4.75)],
)
def test_yard_purchases_round_up_to_eighths(inches: float, yards: float) -> None:
    """Published needs (see the worked yardages) as a shop sells them, in eighths of a yard."""
    assert purchase(inches * 25.4, YARDS).bought == pytest.approx(yards * 914.4)


def test_minimum_margin_and_cost() -> None:
    """The margin comes before rounding; the minimum holds; cost follows what is bought."""
    fabric = replace(PLAIN, minimum=500.0, price=10.0, currency="EUR")
    assert purchase(120.0, fabric).bought == 500.0
    assert purchase(620.0, fabric, margin=100.0).bought == pytest.approx(800.0)
    assert purchase(620.0, fabric, margin=100.0).cost == pytest.approx(8.0)
    assert purchase(620.0, PLAIN).cost is None


def test_cloth_on_hand_is_paid() -> None:
    """Its price stays known, and nothing is asked for it."""
    there = replace(PLAIN, price=8.0, currency="EUR", on_hand=2000.0)
    assert purchase(620.0, there).cost is None
    assert purchase(620.0, replace(there, on_hand=None)).cost == pytest.approx(5.6)


@given(st.floats(1.0, 9000.0), st.floats(0.0, 0.2), st.floats(0.0, 200.0))
def test_longest_for_the_same_purchase(exact: float, shrinkage: float, margin: float) -> None:
    """As long as that, the purchase stays; a mm more, and it grows."""
    fabric = replace(PLAIN, shrink_along=shrinkage)
    bought = purchase(exact, fabric, margin).bought
    longest = longest_for_same_purchase(bought, fabric, margin)
    assert longest >= exact - 0.011
    assert purchase(longest, fabric, margin).bought == pytest.approx(bought)
    assert purchase(longest + 1.0, fabric, margin).bought > bought


def test_within_one_step() -> None:
    """A fold that costs one step more is as fair as the shortest, two are not."""
    assert within_one_step(1500.0, 1400.0, PLAIN)
    assert not within_one_step(1600.0, 1400.0, PLAIN)
