"""Interrupts at awkward moments: between variants, folds and fabrics, and while folders change."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout import stop
from layout.effort import Effort
from layout.layout import EndedBy
from layout.proofs.ruling import Ended, Ruling
from layout.search.progress import Progress
from layout.solver import solve
from pieces.lengths import System
from plans.answer import planner
from plans.folds import fold_search
from plans.folds.fold_search import screen
from plans.folds.jobs import jobs_for
from plans.folds.outcome import FoldResult
from plans.order import Order
from plans.outputs.folder import read_plan, write_folder
from plans.workers import local
from tests.plans.demo import cloth_for, demo_plan, garment


@pytest.fixture(autouse=True)
def _not_asked() -> Iterator[None]:
    yield
    stop.ASKED_TO_END.clear()


def order(name: str = "trousers", makes: int = 1, fold: str = "open") -> Order:
    return Order(garment(name), cloth_for(name), fold=fold, makes=makes, effort="quick")


def test_a_search_asked_to_end_keeps_its_best() -> None:
    """Asked at its first layout, it ends with that; asked before, it has none."""
    (job,) = jobs_for(order())
    found = screen(job, Fold.OPEN, Effort.GLANCE, Effort.GLANCE)
    assert isinstance(found, FoldResult)

    def ask(_: Progress) -> None:
        stop.ASKED_TO_END.set()

    layout = solve(found.built.problem, Effort.QUICK, on_progress=ask)
    assert layout.ended_by is EndedBy.INTERRUPT
    assert found.variant.is_sound(layout)
    with pytest.raises(KeyboardInterrupt):
        solve(found.built.problem, Effort.QUICK)


@pytest.mark.parametrize("makes", [1, 4])
@pytest.mark.parametrize("after", [1, 2, 3])
def test_an_interrupt_between_variants_keeps_the_best(
    monkeypatch: pytest.MonkeyPatch, makes: int, after: int
) -> None:
    """Ctrl-C in any of the searches of a fold ends them all, with a sound and marked layout."""
    (job,) = jobs_for(order(makes=makes))
    searches = 0
    search = solve

    def counted(*args: Any, **more: Any) -> object:
        nonlocal searches
        searches += 1
        if searches > after:
            raise KeyboardInterrupt
        layout = search(*args, **more)
        return layout.with_ending(EndedBy.INTERRUPT) if searches == after else layout

    monkeypatch.setattr(fold_search, "solve", counted)
    found = screen(job, Fold.PARTIAL, Effort.GLANCE, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    assert found.layout.ended_by is EndedBy.INTERRUPT
    assert found.is_sound
    assert searches == after


def test_an_interrupt_before_any_layout_is_one() -> None:
    """Nothing found, nothing returned."""
    (job,) = jobs_for(order())
    stop.ASKED_TO_END.set()
    with pytest.raises(KeyboardInterrupt):
        screen(job, Fold.OPEN, Effort.GLANCE, Effort.GLANCE)


@pytest.mark.parametrize("place", ["deepen_folds", "assemble"])
def test_an_interrupt_between_fabrics_keeps_all_that_is_laid(
    monkeypatch: pytest.MonkeyPatch, place: str
) -> None:
    """Ctrl-C while one fabric is finished: both fabrics were laid, so both are planned."""
    called = 0
    whole = getattr(planner, place)

    def once(*args: object) -> object:
        nonlocal called
        called += 1
        if called == 1:
            raise KeyboardInterrupt
        return whole(*args)

    monkeypatch.setattr(planner, place, once)
    plan = planner.plan_garment(order("layered-top"))
    assert plan.complete
    assert [fabric.ended_by for fabric in plan.fabrics] == [EndedBy.INTERRUPT] * 2


def test_an_interrupt_of_a_proof_ends_the_proof_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was laid is the same as without it, and what was proved by then is told."""
    cloth = {"main": plain_fabric("140cm")}
    wanted = Order(garment("trousers"), cloth, fold="lengthwise", effort="quick")
    plain = planner.plan_garment(wanted).fabrics[0]
    run = Ruling.run

    def interrupted(ruling: Ruling, stop: Callable[[], bool], most: int) -> object:
        ended = run(ruling, lambda: False, min(most, 10_000))
        if ended is Ended.STOPPED:
            raise KeyboardInterrupt
        return ended

    monkeypatch.setattr(Ruling, "run", interrupted)
    entry = planner.plan_garment(replace(wanted, prove=60.0)).fabrics[0]
    assert entry.placements == plain.placements
    assert entry.ended_by is plain.ended_by
    assert plain.bound + 10.0 < entry.bound <= entry.length


def test_a_fabric_without_a_layout_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """Interrupted when one fabric is laid: that one is planned, the other's role missing."""
    wanted = order("layered-top")
    first = jobs_for(wanted)[0]
    found = screen(first, Fold.OPEN, Effort.GLANCE, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    marked = replace(found, layout=found.layout.with_ending(EndedBy.INTERRUPT))
    monkeypatch.setattr(planner, "screen", lambda *_: marked)
    monkeypatch.setattr(local, "cores", lambda: 1)
    plan = planner.plan_garment(wanted)
    assert [fabric.roles for fabric in plan.fabrics] == [first.roles]
    assert plan.missing_roles == tuple(r for job in jobs_for(wanted)[1:] for r in job.roles)


@pytest.mark.parametrize("step", [0, 1])
def test_an_interrupt_while_folders_change_places_loses_neither(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, step: int
) -> None:
    """The former plan is moved aside, the new one put in place: between, the former comes back."""
    target = tmp_path / "plan"
    plan = demo_plan("wrap-skirt", fold="open")
    write_folder(plan, target, System.METRIC, "a4")
    (target / "mark").touch()
    moves = 0
    rename = os.rename

    def interrupted(source: Path, to: Path) -> None:
        nonlocal moves
        moves += 1
        if moves == step + 1:
            raise KeyboardInterrupt
        rename(source, to)

    monkeypatch.setattr(os, "rename", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_folder(plan, target, System.METRIC, "a4")
    assert read_plan(target).garment == "wrap-skirt"
    assert (target / "mark").exists()
    assert [path.name for path in tmp_path.iterdir()] == ["plan"]
