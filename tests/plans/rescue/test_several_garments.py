"""Cloth that is too short for several garments: whose pieces change, and fewer of one of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pieces.drafting.garment import Garment
from pieces.drafting.outfit import Ordered, outfit_of
from pieces.lengths import System
from pieces.readers.garment_toml import load_garment
from plans.folds.jobs import jobs_for
from plans.order import Order
from plans.rescue.changes.fewer import Fewer
from plans.rescue.changes.ideas import ideas_for
from plans.rescue.changes.recutting import FromOtherCloth
from plans.rescue.changes.shortening import shortenings
from plans.rescue.words import idea_line
from tests.plans.orders.aprons import APRON
from tests.plans.rectangles import project
from tests.plans.rescue.short import answer, bolt, mm, shortage, told


def pair(skirts: int = 1) -> Garment:
    """A top of 40 cm and skirts of 60 cm length, each as wide as the cloth of 50 cm."""
    top = replace(project(mm("body", 400.0, 500.0)), name="top", source="top")
    skirt = replace(project(mm("panel", 600.0, 500.0)), name="skirt", source="skirt")
    return outfit_of([Ordered(top), Ordered(skirt, skirts)]).garment


def test_one_garment_of_two_may_be_left_out() -> None:
    """100 cm are wanted and 70 there: either is left out, and no more."""
    found = answer(pair(), bolt(500.0, 700.0), fold="open")
    assert told(found, "without 'top'").needed == pytest.approx(600.0)
    assert told(found, "without 'skirt'").needed == pytest.approx(400.0)


def test_fewer_of_one_garment_are_told_with_how_to_ask() -> None:
    """Of two skirts one fits beside the top."""
    found = answer(pair(2), bolt(500.0, 1100.0), fold="open")
    fewer = told(found, "1 instead of 2 of 'skirt'")
    assert fewer.needed == pytest.approx(1000.0)
    assert "*1 after its name, or count = 1" in idea_line(found, fewer)


def test_counts_of_the_others_stay_as_they_are() -> None:
    """An order made twice is counted garment by garment."""
    one = shortage(pair(), bolt(500.0, 700.0), fold="open", makes=2)
    steps = [idea.steps for idea in ideas_for(one) if isinstance(idea.steps[0], Fewer)]
    assert [[change.words(System.METRIC) for change in changes] for changes in steps] == [
        ["1 instead of 2 of 'top'", "without 'top'"],
        ["1 instead of 2 of 'skirt'", "without 'skirt'"],
    ]


def test_hems_of_two_garments_are_not_shortened_together(tmp_path: Path) -> None:
    """However alike their edges are called."""
    path = tmp_path / "apron.toml"
    path.write_text(APRON, encoding="utf-8")
    both = outfit_of([Ordered(load_garment(path, "S")), Ordered(load_garment(path, "M"))]).garment
    (job,) = jobs_for(Order(both, {"main": bolt(1500.0, 300.0)}))
    found = [
        change.words(System.METRIC)
        for steps in shortenings(job, both.drafts, System.METRIC)
        for change in steps[:1]
    ]
    assert found == [
        "'apron S: front' 0.5 cm shorter at the hem",
        "'apron M: front' 0.5 cm shorter at the hem",
    ]


def test_what_is_often_cut_from_another_cloth_goes_by_the_piece() -> None:
    """Not by what its garment is called."""
    garment = replace(
        project(mm("panel", 600.0, 400.0), mm("front", 500.0, 150.0)), name="belt", source="belt"
    )
    other = replace(project(mm("big", 600.0, 400.0)), name="top", source="top")
    one = shortage(outfit_of([Ordered(garment), Ordered(other)]).garment, bolt(450.0, 600.0))
    keys = [i.steps[0].key for i in ideas_for(one) if isinstance(i.steps[0], FromOtherCloth)]
    assert keys == ["belt: front"]
