"""Many copies: a part of them is laid first, and repeated as a start for all."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fabrics.spread import Fold
from layout.effort import Effort
from layout.layout import EndedBy, cloth_length
from layout.problem import Flaw, Wanted
from layout.search import strip
from layout.search.repeated import part_of, repeated
from layout.search.task import SolveTask
from layout.solver import solve
from layout.stop import ASKED_TO_END
from layout.strip_problem import StripProblem
from layout.validator import validate
from tests.layout.examples import EXAMPLES, folded, in_phase, open_pair, rect

LITTLE = replace(Effort.NORMAL, evaluations=200_000)


def times(problem: StripProblem, copies: int) -> StripProblem:
    """All of a problem so many times."""
    return replace(
        problem,
        items=tuple(replace(item, demand=copies * item.demand) for item in problem.items),
        wanted={
            key: Wanted(copies * one.drawn, copies * one.other, copies * one.either)
            for key, one in problem.wanted.items()
        },
    )


def test_a_part_is_so_many_sets_that_nothing_is_left_over() -> None:
    """Of 2 pieces 24 sets: a part of 12 to some 30 pieces; what is wanted shrinks with it."""
    problem = times(open_pair(), 24)
    part = part_of(problem)
    assert part is not None
    assert part.times == 2
    assert [item.demand for item in part.problem.items] == [12, 12]
    assert times(part.problem, part.times) == problem


@pytest.mark.parametrize(
    ("why", "problem"),
    [
        ("few pieces", times(open_pair(), 8)),
        ("a prime number of sets", times(open_pair(), 29)),
        ("a place across the fold", times(folded(Fold.CROSSWISE), 24)),
        ("flaws", replace(times(open_pair(), 24), flaws=(Flaw(rect(10.0, 10.0)),))),
        ("several sections", times(EXAMPLES["sectioned"](), 24)),
    ],
)  # fmt: skip
def test_where_a_part_would_not_help_there_is_none(why: str, problem: StripProblem) -> None:
    """Its own best place along the cloth, or too little left to gain by it."""
    assert part_of(problem) is None, why


@pytest.mark.parametrize("example", ["open", "lengthwise", "partial", "double", "in phase"])
def test_what_is_repeated_is_a_layout_of_all(example: str) -> None:
    """Valid, in phase with the repeat, and as long as its parts with the gaps between them."""
    problem = times(EXAMPLES[example](), 24)
    part = part_of(problem)
    assert part is not None
    laid = solve(part.problem, Effort.GLANCE)
    whole = repeated(problem, part, laid)
    assert validate(problem, whole) == []
    one = laid.extents[0]
    step = one + problem.gap
    if example == "in phase":
        step = -(-step // 60.0) * 60.0
    assert whole.extents[0] == pytest.approx((part.times - 1) * step + one)


def test_all_is_laid_no_longer_than_its_parts() -> None:
    """The search goes on from what is repeated; it is valid and the same again."""
    problem = times(in_phase(), 24)
    found = solve(problem, LITTLE)
    assert validate(problem, found) == []
    assert solve(problem, LITTLE).placements == found.placements
    part = part_of(problem)
    assert part is not None
    work = int(strip.PART_SHARE * LITTLE.evaluations)
    laid = solve(part.problem, replace(LITTLE, evaluations=work))
    most = cloth_length(problem, repeated(problem, part, laid).extents)
    assert cloth_length(problem, found.extents) <= most + 1e-6


@pytest.mark.parametrize("asked", [True, False], ids=["asked to end", "interrupted"])
def test_an_interrupt_while_a_part_is_laid_loses_nothing(
    monkeypatch: pytest.MonkeyPatch, asked: bool
) -> None:
    """All copies are laid, from what was found of the part, and the layout says so."""
    problem = times(open_pair(), 24)
    through = strip.solve_strip

    def broken_off(inner: StripProblem, task: SolveTask) -> object:
        laid = through(inner, replace(task, effort=Effort.GLANCE))
        if asked:
            ASKED_TO_END.set()
        return replace(laid, ended_by=EndedBy.INTERRUPT)

    monkeypatch.setattr(strip, "solve_strip", broken_off)
    try:
        found = solve(problem, LITTLE)
    finally:
        ASKED_TO_END.clear()
    assert validate(problem, found) == []
    assert found.ended_by is EndedBy.INTERRUPT
