"""The published fabric-width conversion chart as a plausibility band.

Yards of each width that replace one another, as printed on sewwithsarah.com (fabric conversion
chart) and, with the same cells, by two further sources. It is an approximate equal-area rule: the
areas within a row of it differ by up to 11 %, so that only a band can be asked for.
"""

from __future__ import annotations

import pytest

from fabrics.fabric_toml import plain_fabric
from plans.order import Order
from plans.planner import plan_garment
from tests.plans.demo import garment

CHART = {
    36: (1.75, 2, 2.25, 2.5, 2.875, 3.125, 3.375, 3.75, 4.25, 4.5, 4.75, 5),
    45: (1.375, 1.625, 1.75, 2.125, 2.25, 2.5, 2.75, 2.875, 3.125, 3.375, 3.625, 3.875),
    54: (1.125, 1.375, 1.5, 1.75, 1.875, 2, 2.25, 2.375, 2.625, 2.75, 2.875, 3.125),
    60: (1, 1.25, 1.375, 1.625, 1.75, 1.875, 2, 2.25, 2.375, 2.625, 2.75, 2.875),
}


def chart_ratio(narrow: int, wide: int, yards: float) -> float:
    """Yards of the wide cloth for one yard of the narrow, from the nearest row."""
    row = min(range(12), key=lambda k: abs(CHART[narrow][k] - yards))
    return CHART[wide][row] / CHART[narrow][row]


def test_the_chart_is_an_equal_area_rule_within_eleven_per_cent() -> None:
    """Internal check: yards x width stays within 0.89 to 1.10 of the 36 in cell of its row."""
    for row in range(12):
        for width, yards in CHART.items():
            assert 0.88 <= yards[row] * width / (CHART[36][row] * 36) <= 1.11


@pytest.mark.parametrize("name", ["wrap-skirt", "blouse"])
def test_plans_on_other_widths_stay_near_the_chart(name: str) -> None:
    """Lengths on 36, 45, 54 and 60 in cloth convert as the chart says, give or take a third.

    The chart speaks of cloth without knowing the pieces: a piece that just fails to fit beside
    another makes a jump. The share of conversions within a quarter is asked for, too.
    """
    lengths = {}
    for width in CHART:
        cloth = plain_fabric(f"{width} in")
        order = Order(
            garment(name), dict.fromkeys(garment(name).roles, cloth), fold="open", effort="quick"
        )
        lengths[width] = plan_garment(order).fabrics[0].length / 914.4
    ratios = [
        lengths[wide] / lengths[narrow] / chart_ratio(narrow, wide, lengths[narrow])
        for narrow, wide in ((36, 45), (36, 54), (36, 60), (45, 54), (45, 60), (54, 60))
    ]
    assert all(0.66 <= ratio <= 1.34 for ratio in ratios)
    assert sum(0.75 <= ratio <= 1.25 for ratio in ratios) >= len(ratios) - 1
