"""Reliefs are as fine as there is room for, and a search does without them where there is none."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from layout.effort import Effort
from layout.geometry.nofit import NoFitTable
from layout.kernels import heights
from layout.kernels.heights import PHASES
from layout.kernels.rounds import separate
from layout.layout import cloth_length
from layout.search import explore
from layout.search.model import strip_model
from layout.search.pack import Packed, pack
from layout.solver import solve
from layout.strip_problem import StripProblem
from layout.validator import validate
from tests.layout.examples import EXAMPLES

SHORT = replace(Effort.NORMAL, evaluations=20_000)


def packed() -> Packed:
    model = strip_model(EXAMPLES["lengthwise"](), 0, {0: 1, 1: 3})
    return pack(model, NoFitTable(model.bases, model.gap))


def laid(problem: StripProblem, effort: Effort = SHORT) -> float:
    layout = solve(problem, effort, seed=3)
    assert validate(problem, layout) == []
    return cloth_length(problem, layout.extents)


def test_a_relief_has_room_for_each_phase_of_each_polygon() -> None:
    """So many steps across the lay; heights lie one after another."""
    found = packed().nofits
    step = found.reliefs.step
    size = found.reliefs.size
    # 1000 mm wide, folded, less the selvedge.
    assert 480.0 < step * heights.STEPS_ACROSS <= 500.0
    spans = (found.bounds[:, 2:] - found.bounds[:, :2])[:, ::-1]
    assert (size * step >= spans - 1e-6).all()
    assert (size * step < spans + step).all()
    ends = found.reliefs.begin + PHASES**2 * size.prod(axis=1)
    assert ends.tolist() == [*found.reliefs.begin[1:], len(found.reliefs.heights)]


def test_where_room_is_short_reliefs_are_coarser_and_then_there_are_none(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Their size follows the room that they are given."""
    fine = packed().nofits.reliefs
    monkeypatch.setattr(heights, "MOST_HEIGHTS", len(fine.heights) // 3)
    coarse = packed().nofits.reliefs
    assert fine.step < coarse.step < 2.5 * fine.step
    assert len(coarse.heights) < len(fine.heights) / 2
    monkeypatch.setattr(heights, "MOST_HEIGHTS", 10)
    assert len(packed().nofits.reliefs.heights) == 0


def test_a_search_does_without_reliefs_or_with_a_part_of_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Valid layouts, none longer than the constructive search's, whatever room there is."""
    problem = EXAMPLES["double"]()
    start = laid(problem, replace(SHORT, evaluations=0))
    searched: list[int] = []
    once = separate

    def counted(*given: Any) -> Any:
        searched.append(len(given[5].found))
        return once(*given)

    monkeypatch.setattr(explore, "separate", counted)
    for change, lowest in (
        ((heights, "MOST_HEIGHTS", 10), 0),
        ((explore, "MOST_PLACES", 40), explore.LOWEST),
        ((explore, "MOST_PLACES", 1), explore.LOWEST),
    ):
        searched.clear()
        with monkeypatch.context() as patch:
            patch.setattr(*change)
            assert laid(problem) <= start
        assert set(searched) == {lowest}
