"""What matching costs, against the published rule of thumb as a band."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fabrics.fabric import Repeat
from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from pieces.piece import MatchPoint
from plans.choice.repeat_cost import most_by_rule, repeat_cost
from plans.folds.fold_search import screen
from plans.folds.jobs import job_for
from plans.folds.levels import level_for
from plans.folds.outcome import FoldResult
from plans.order import Order
from tests.plans.demo import demo_plan
from tests.plans.rectangles import INCH, project, rectangle

LEVEL = level_for("quick")


def cost(repeat: Repeat | None, panels: int, width: float = 800.0) -> tuple[float | None, float]:
    """Cost and rule (mm) for panels of 50 x 70 cm, one below the other, that must match."""
    fabric = replace(plain_fabric("80cm"), width=width, selvage=0.0, repeat=repeat, one_way=True)
    panel = rectangle("panel", 500.0 / INCH, 700.0 / INCH, panels)
    panel = replace(panel, match_points=(MatchPoint("check", (100.0, 350.0)),))
    job = job_for(Order(project(panel), {}, gap=0.0), ("cloth",), fabric)
    result = screen(job, Fold.OPEN, LEVEL.screen, LEVEL.glance)
    assert isinstance(result, FoldResult)
    return repeat_cost(job, result, LEVEL), most_by_rule(job, result)


@pytest.mark.parametrize("along", [60.0, 101.6, 160.0, 300.0])
@pytest.mark.parametrize("panels", [2, 3, 4])
def test_stacked_panels_cost_what_rounding_up_to_repeats_costs(along: float, panels: int) -> None:
    """Each length but the last is rounded up to whole repeats, as curtain makers do.

    Rounding every cut length up to a whole repeat is published (drpinc.net, measuring for
    draperies). The rule "repeat x number of main pieces" (marcytilton.com) is an upper band.
    """
    found, allowed = cost(Repeat(along, 0.0, 0.0), panels)
    exact = (panels - 1) * (-500.0 % along)
    assert found == pytest.approx(exact, abs=0.01)
    assert allowed == pytest.approx(panels * along)
    assert found is not None
    assert found < allowed


def test_panels_side_by_side_cost_nothing() -> None:
    """Side by side nothing extra is needed (galafabrics.blogspot.com, even stripes)."""
    found, _ = cost(Repeat(160.0, 0.0, 0.0), 2, width=1500.0)
    assert found == pytest.approx(0.0, abs=0.01)


def test_cloth_without_a_design_has_no_such_cost() -> None:
    """Nothing to match, nothing said."""
    assert cost(None, 3)[0] is None


def test_the_plan_says_what_matching_costs() -> None:
    """On the demo check, with the rule beside it; within the rule."""
    entry = next(e for e in demo_plan("blouse").fabrics if "main" in e.roles)
    assert any("Matching the repeat takes" in note for note in entry.notes)
