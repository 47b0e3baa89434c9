"""Lengths that are printed beside their sum add up as they are printed, in any units."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from fabrics.fabric import Repeat
from fabrics.plain import plain_fabric
from pieces.lengths import System, parse_length
from pieces.piece import MatchPoint
from plans.answer.planner import plan_garment
from plans.order import Order
from plans.words.facts import arithmetic, fold_rows, plan_text
from tests.plans.rectangles import INCH, project, rectangle

SUMS = {
    "squared-off ends": 1.0,
    "to begin where you want in the design": 1.0,
    "safety margin": 1.0,
    "left of what is on hand": -1.0,
    "usable width": -1.0,
}
"""Lines that add one length to another, or take it off."""


def printed(text: str) -> list[float]:
    return [parse_length(one) for one in re.findall(r"\d[\d /.]*(?:cm|in|m)\b", text)]


@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize("length", [310.2, 311.7, 313.3, 314.4, 315.9])
def test_printed_lengths_add_up_to_what_is_printed(length: float, system: System) -> None:
    """To the last tenth of a centimetre, or sixteenth of an inch, down the whole column."""
    checks = replace(
        plain_fabric("138cm,selvage=1.3cm,shrinkage=7%x0%"),
        repeat=Repeat(61.3, 0.0, 0.0), on_hand=900.7,
    )  # fmt: skip
    panel = rectangle("panel", length / INCH, 300.0 / INCH)
    panel = replace(panel, match_points=(MatchPoint("check", (100.0, 150.0)),))
    order = Order(
        project(panel), {"cloth": checks}, effort="quick", fold="open", ends=31.4, margin=20.9,
        system=system,
    )  # fmt: skip
    lines = {one.what: one for one in arithmetic(plan_garment(order).fabrics[0], system)}
    for what, sign in SUMS.items():
        first, second = printed(lines[what].how)
        (result,) = printed(lines[what].result)
        assert first + sign * second == pytest.approx(result), (what, lines[what])
    told = list(lines.values())
    for before, after in pairwise(told):
        if after.what in SUMS and SUMS[after.what] > 0.0:
            assert printed(before.result)[0] == pytest.approx(printed(after.how)[0])


def test_columns_of_other_folds_stand_below_each_other() -> None:
    """However many signs a length in inches takes."""
    panel = rectangle("panel", 2400.0 / INCH, 600.0 / INCH, 2)
    order = Order(project(panel), {"cloth": plain_fabric("138cm")}, effort="quick",
                  system=System.IMPERIAL)  # fmt: skip
    plan = plan_garment(order)
    longest = max(len(row[1]) for row in fold_rows(plan.fabrics[0], System.IMPERIAL)[1:])
    assert longest > 10
    text = plan_text(plan, System.IMPERIAL).partition("other folds:\n")[2]
    ends = {
        line.index(" in ") for line in text.splitlines() if re.match(r"    \S.* in .* yd", line)
    }
    assert len(ends) == 1
