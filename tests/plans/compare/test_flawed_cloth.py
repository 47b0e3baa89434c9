"""Comparing cloth with flaws, whose folds across lie where the flaws permit it."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from plans.compare import search
from plans.compare.cells import Question
from plans.compare.results import ResultCache
from plans.compare.search import compare
from plans.folds.jobs import job_for
from plans.order import Order
from tests.plans.rectangles import project, rectangle


def test_cloth_with_flaws_is_compared_in_folds_across_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The place of the fold is made again with the layout, and remembered with it."""
    flaw = ((300.0, 200.0), (320.0, 200.0), (320.0, 700.0), (300.0, 700.0))
    flawed = replace(plain_fabric("90cm"), flaws=(flaw,))
    panels = Order(project(rectangle("panel", 16, 12, 2)), {})
    asked = [
        Question(job_for(panels, ("cloth",), flawed), fold)
        for fold in (Fold.OPEN, Fold.CROSSWISE, Fold.TURNED)
    ]
    store = ResultCache(tmp_path / "results.sqlite")
    with ThreadPoolExecutor(1) as threads:
        first, _ = compare(asked, "quick", store, threads)
    assert all(cell.length is not None for cell in first)
    monkeypatch.setattr(search, "screen", None)
    again, _ = compare(asked, "quick", store)
    assert again == first
