"""Quick effort stays quick with many pieces: what is left out is told, and nothing else changes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from layout.effort import Effort, work_of
from layout.search import strip
from layout.search.construct import START_ORDERS, Built, Constructor
from layout.solver import NoLayoutError, solve
from layout.validator import validate
from plans.answer import planner
from plans.answer.notes import notes_for
from plans.answer.planner import plan_garment
from plans.folds.fold_search import MOST_STARTED, _affordable, deepen, screen
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for, jobs_for
from plans.folds.levels import Level
from plans.folds.outcome import CURTAILED, ONE_FOLD_DID, ONE_FOLD_DID_SO_FAR, FoldResult, Variant
from plans.folds.variants import variants
from plans.order import Order
from tests.plans.demo import cloth_for, garment

HURRIED = Level(
    replace(Effort.GLANCE, shared_out=1), replace(Effort.QUICK, placements=60, shared_out=1), None
)


def order(fold: str = "auto") -> Order:
    return Order(garment("wrap-skirt"), cloth_for("wrap-skirt"), fold=fold, effort="quick")


def sectioned(level: Level) -> FoldResult:
    found = screen(jobs_for(order())[0], Fold.SECTIONED, level.screen, level.glance)
    assert isinstance(found, FoldResult)
    return found


def test_a_search_that_left_work_out_knows_it() -> None:
    """Sound all the same; one that tried everything says nothing."""
    found = sectioned(HURRIED)
    assert found.layout.curtailed
    assert found.is_sound
    assert found.remark == CURTAILED
    whole = sectioned(Level(Effort.GLANCE, Effort.QUICK, None))
    assert not whole.layout.curtailed
    assert whole.remark == ""
    assert whole.needless in ("", ONE_FOLD_DID)


def test_what_no_bound_proves_is_told_as_found() -> None:
    """That one fold does as well is what a search saw, however long it was."""
    found = sectioned(Level(Effort.GLANCE, Effort.QUICK, None))
    one = replace(found.layout, extents=(max(found.layout.extents), 0.0))
    for curtailed in (True, False):
        reason = replace(found, layout=replace(one, curtailed=curtailed)).needless
        assert "tried" in reason
        assert reason.endswith("one fold throughout does as well as two combined")


def test_a_search_that_goes_on_is_curtailed_no_more() -> None:
    """Efforts without a limit try all of it, from a start that did not."""
    found = sectioned(HURRIED)
    more = deepen(jobs_for(order())[0], found, replace(Effort.QUICK, shared_out=0))
    assert not more.layout.curtailed


def test_the_plan_says_what_was_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """In the list of folds, and in the notes where that fold is the chosen one."""
    monkeypatch.setattr(planner, "level_for", lambda *_: HURRIED)
    plan = plan_garment(order())
    reports = [r for entry in plan.fabrics for r in entry.other_folds if r.fold is Fold.SECTIONED]
    assert {report.reason for report in reports} & {CURTAILED, ONE_FOLD_DID_SO_FAR}


def test_the_chosen_fold_says_what_was_left_out() -> None:
    """In a note; a layout for which all was tried has none."""
    found = sectioned(HURRIED)
    for curtailed in (True, False):
        told = replace(found, layout=replace(found.layout, curtailed=curtailed))
        notes = notes_for(jobs_for(order())[0], told, ())
        assert any("not everything was tried" in note for note in notes) is curtailed


@pytest.mark.parametrize("makes", [1, 4])
def test_what_is_placed_while_sections_are_tried_is_bounded(
    makes: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Counted, whatever the number of makes: two orders of what is tried, and the last try."""
    placed = 0
    decode = Constructor.decode

    def counted(
        self: Constructor, order: tuple[int, ...], rule: str, longest: float
    ) -> Built | None:
        nonlocal placed
        placed += len(order)
        return decode(self, order, rule, longest)

    monkeypatch.setattr(Constructor, "decode", counted)
    effort = Effort("counted", 0, least_orders=2, shared_out=100)
    job = jobs_for(replace(order(), makes=makes))[0]
    variant = next(v for v in variants(job, Fold.SECTIONED) if isinstance(v, Variant))
    problem = variant.built.problem
    units = sum(item.demand for item in problem.items)
    layout = solve(problem, effort)
    assert validate(problem, layout) == []
    # Two starts, then tries until the limit, two orders each; then one order for good.
    assert placed <= 2 * (100 + 2 * units) + units


def hares(makes: int) -> FabricJob:
    """Many small pieces: 24 units of one make, were all cut singly."""
    hare = garment("toy-hare")
    return job_for(Order(hare, {}, makes=makes), hare.roles, find_fabric("demo-linen"))


def test_orders_of_many_pieces_are_counted_by_what_they_take(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Fewer are decoded than of as many units in small lays, but all that are worth trying first.

    Where a search goes on afterwards none is spared.
    """
    assert work_of(20) == 20.0
    assert work_of(50) == 100.0
    offered = [v for v in variants(hares(3), Fold.PARTIAL) if isinstance(v, Variant)]
    problem = max(offered, key=lambda v: v.units).built.problem
    units = sum(item.demand for item in problem.items)
    effort = replace(Effort.QUICK, placements=20 * units)
    decodes: list[int] = []

    def counted(_: object, decodes_asked: int, *rest: object) -> None:
        decodes.append(decodes_asked)

    monkeypatch.setattr(strip, "improve_order", counted)
    for asked in (effort, replace(effort, evaluations=1)):
        with pytest.raises(NoLayoutError):
            solve(problem, asked)
    assert decodes == [max(START_ORDERS, int(20 * units / work_of(units))), 20]
    assert decodes[0] < 20


def test_of_many_pieces_fewer_folds_in_sections_are_begun() -> None:
    """Counted by what they take; of few nothing is left out."""
    offered = [v for v in variants(hares(3), Fold.SECTIONED) if isinstance(v, Variant)]
    taken = _affordable(offered)
    assert 1 <= len(taken) < len(offered)
    assert len(taken) == 1 or sum(2.0 * work_of(v.units) for v in taken) <= MOST_STARTED
    few = [v for v in variants(hares(1), Fold.SECTIONED) if isinstance(v, Variant)][:4]
    assert _affordable(few) == few
