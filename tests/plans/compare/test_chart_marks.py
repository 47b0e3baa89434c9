"""Marks of a chart that would hide one another, and widths too near for a figure each."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plans.compare.chart_marks import asides, spaced, told_together, widths_text


def test_marks_of_one_place_stand_side_by_side_in_their_order() -> None:
    """About the place itself; a mark of another height stays where it is."""
    places = [(100.0, 2.0), (100.0, 2.0), (100.0, 1.0), (100.0, 2.01)]
    assert asides(places, 6.0) == pytest.approx([-6.0, 0.0, 0.0, 6.0])


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=12), st.floats(0.0, 50.0))
def test_what_is_spaced_is_apart_in_order_and_moved_no_more_than_it_must(
    wished: list[float], least: float
) -> None:
    """Least squares: the sum of all moves is nought, and what is apart already stays."""
    found = spaced(wished, least)
    assert all(b - a >= least - 1e-6 for a, b in pairwise(found))
    assert sum(found) == pytest.approx(sum(wished), abs=1e-6)
    assert spaced(found, least) == pytest.approx(found, abs=1e-6)


def test_near_widths_are_told_together() -> None:
    """None is left out."""
    groups = told_together([152.4, 90.0, 150.0], 4.0)
    assert [widths_text(group) for group in groups] == ["90", "150, 152.4"]
