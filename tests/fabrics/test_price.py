"""Prices as they are printed."""

from __future__ import annotations

import pytest

from fabrics.price import money
from pieces.files.kinds import in_hundredths


@pytest.mark.parametrize(
    ("amount", "printed"),
    [
        (5.75 * 13.50, "77.63"),  # Half a hundredth, exact in binary: no banker's rule.
        (2250.0 * 17.90 / 1000.0, "40.28"),  # Half a hundredth that is not: 40.2749999...
        (40.2749, "40.27"),
        (0.0, "0.00"),
        (12.0, "12.00"),
        (1234567.895, "1234567.90"),
    ],
)
def test_money_is_rounded_as_a_till_does(amount: float, printed: str) -> None:
    assert money(amount) == printed
    assert in_hundredths(amount) == float(printed)  # What the plan's file keeps is the same.
