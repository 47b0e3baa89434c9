"""Of layouts that buy the same, the one with less to trace is drawn, and the plan says so."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout.effort import Effort
from layout.layout import Layout, Placement
from layout.solver import solve
from pieces.lengths import System
from pieces.outline import ring_length
from plans.answer.assemble import assemble
from plans.choice.fold_choice import choose
from plans.choice.tracing import (
    longest_drawn,
    traced_for,
    with_less_tracing,
)
from plans.data.plan_json import plan_from_json, plan_to_json
from plans.folds.fold_search import _easy_second, screen
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for, jobs_for
from plans.folds.outcome import FoldResult
from plans.folds.traced import outline_traced, tracing
from plans.order import Order
from plans.plan import Plan
from plans.words.facts import plan_text
from plans.words.key_figures import key_figures
from tests.plans.demo import cloth_for, demo_plan, garment


def overlay_job() -> FabricJob:
    """The overlay of the layered top on voile."""
    order = Order(garment("layered-top"), cloth_for("layered-top"))
    return next(job for job in jobs_for(order) if job.roles == ("overlay",))


def pinafore_job(step: float = 100.0) -> FabricJob:
    """The pinafore on plain cloth that is cut by a step."""
    cloth = replace(plain_fabric("140cm"), step=step, own_step=True)
    return job_for(Order(garment("pinafore"), {}), ("main",), cloth)


def screened(job: FabricJob, fold: Fold) -> FoldResult:
    found = screen(job, fold, Effort.QUICK, Effort.GLANCE)
    assert isinstance(found, FoldResult)
    return found


def opened_out(job: FabricJob, result: FoldResult) -> FoldResult:
    """A layout of the same variant in which no half lies on a fold that may lie elsewhere."""
    problem = result.built.problem
    off = [
        sum(slot.fold_edge is not None for slot in item.slots)
        if any(slot.fold_edge is None for slot in item.slots)
        else 0
        for item in problem.items
    ]
    items = tuple(
        replace(item, slots=item.slots[skip:])
        for item, skip in zip(problem.items, off, strict=True)
    )
    layout = solve(replace(problem, items=items), Effort.GLANCE)
    spots = tuple(
        Placement(p.item, p.slot + off[p.item], p.pose, p.x, p.y) for p in layout.placements
    )
    result = result.variant.laid(job, Layout(spots, layout.extents))
    assert result.is_sound
    return result


def test_along_a_fold_nothing_is_traced() -> None:
    """A half on its fold: all round less the fold edge; opened out: all round the whole."""
    result = screened(pinafore_job(), Fold.LENGTHWISE)
    item = next(item for item in result.built.problem.items if len(item.shapes) == 2)
    folded = next(slot for slot in item.slots if slot.fold_edge is not None)
    flat = next(slot for slot in item.slots if slot.fold_edge is None)
    half, whole = outline_traced(item, folded), outline_traced(item, flat)
    assert whole == pytest.approx(2.0 * half, rel=1e-6)
    assert whole == pytest.approx(ring_length(item.shapes[flat.shape]))


def test_halves_go_back_to_their_fold_where_that_buys_no_more() -> None:
    """From a layout with all of them opened out, on cloth that is sold by four metres."""
    job = pinafore_job(4000.0)
    worse = opened_out(job, screened(job, Fold.LENGTHWISE))
    better = with_less_tracing(job, worse, Effort.GLANCE)
    assert better.bought == worse.bought
    assert better.is_sound
    assert better.length == min(worse.length, better.laid) <= worse.length
    assert better.laid <= longest_drawn(job, worse) + 1e-6
    assert better.spared == pytest.approx(traced_for(worse) - traced_for(better))
    assert better.spared > 0.2 * traced_for(worse)
    items = better.built.problem.items
    assert all(
        items[p.item].slots[p.slot].fold_edge is not None
        for p in better.layout.placements
        if any(slot.fold_edge is not None for slot in items[p.item].slots)
    )


def test_cloth_is_worth_more_than_tracing() -> None:
    """Where less tracing would take more cloth the layout stays as it is."""
    job = pinafore_job(1.0)
    worse = opened_out(job, screened(job, Fold.LENGTHWISE))
    better = with_less_tracing(job, worse, Effort.GLANCE)
    assert better.bought <= worse.bought
    assert better.laid <= longest_drawn(job, worse) + 1e-6


def test_of_two_folds_that_buy_the_same_the_one_with_less_to_trace_is_taken() -> None:
    """Partial and double are as simple; a double fold has room for both halves on a fold."""
    job = overlay_job()
    found = {fold: screened(job, fold) for fold in (Fold.PARTIAL, Fold.DOUBLE)}
    partial, double = found[Fold.PARTIAL], found[Fold.DOUBLE]
    assert partial.bought == double.bought
    assert traced_for(double) < 0.85 * traced_for(partial)
    # Whichever is a little shorter.
    for shorter in found:
        changed = {
            fold: replace(one, length=one.length - (1.0 if fold is shorter else 0.0))
            for fold, one in found.items()
        }
        assert choose(changed, job) is Fold.DOUBLE


def test_within_a_fold_less_to_trace_is_taken_before_a_shorter_layout() -> None:
    """Both buy the same; the one with its halves opened out is made a little shorter."""
    job = pinafore_job(4000.0)
    easy = screened(job, Fold.LENGTHWISE)
    worse = opened_out(job, easy)
    worse = replace(worse, length=easy.length - 5.0)
    assert worse.rank < easy.rank
    assert easy.preferred < worse.preferred
    assert _easy_second([worse, worse, easy])[:2] == [worse, easy]
    assert replace(worse, bought=worse.bought - 1.0).preferred < easy.preferred


def test_the_plan_tells_what_there_is_to_trace() -> None:
    """The figure is that of the outlines in the plan, in text and JSON; older plans lack it."""
    plan = demo_plan("pinafore")
    entry = plan.fabrics[0]
    data = plan_to_json(plan)
    assert data["fabrics"][0]["trace_mm"] == pytest.approx(entry.traced, abs=0.06)
    assert entry.traced > sum(0.4 * ring_length(placed.outline) for placed in entry.placements)
    assert "to trace" in plan_text(plan, System.METRIC)
    for one in data["fabrics"]:
        del one["trace_mm"]
    again = plan_from_json(json.loads(json.dumps(data)))
    assert again.fabrics[0].traced == pytest.approx(entry.traced, abs=0.1)
    assert again.fabrics[0].spared == 0.0


def test_the_plan_says_that_a_longer_layout_is_drawn_for_less_tracing() -> None:
    """In a note, beside the exact length, and in the JSON."""
    job = pinafore_job(4000.0)
    worse = opened_out(job, screened(job, Fold.LENGTHWISE))
    entry = assemble(job, with_less_tracing(job, worse, Effort.GLANCE), ())
    assert entry.spared > 0.0
    assert any("less outline is traced" in note for note in entry.notes)
    if entry.laid > entry.length + 1.0:
        assert "so that less is traced" in key_figures(entry, System.METRIC).exact
    plan = Plan("pinafore", "Pinafore", 1, (entry,))
    again = plan_from_json(json.loads(json.dumps(plan_to_json(plan))))
    assert again.fabrics[0].spared == pytest.approx(entry.spared, abs=0.01)
    before = tracing(worse.built.problem, worse.layout)
    assert entry.traced == pytest.approx(before - entry.spared, rel=1e-3)
