"""A plan once more, after a change: every figure by the functions that make a found plan's."""

from __future__ import annotations

from dataclasses import replace

from pieces.lengths import System
from plans.answer.assemble import assemble
from plans.answer.placed import reading_order
from plans.answer.whose import told_apart
from plans.by_hand.judged import require_sound
from plans.by_hand.reopened import OpenLay
from plans.leftover_use.bolts import bolt_note, stands_in
from plans.order import Order
from plans.plan import Changed, FabricPlan, Plan, Saving


def changed_plan(
    plan: Plan, lays: dict[int, OpenLay], order: Order, kept: dict[int, tuple[int, ...]]
) -> Plan:
    """A plan with some of its lays changed, marked so.

    Parameters
    ----------
    plan : Plan
    lays : dict of int to OpenLay
        By the index of the fabric in the plan; fabrics that are not named stay as they are.
    order : Order
        What the plan answers.
    kept : dict of int to tuple of int
        Placements of a lay (by index) that were kept while the rest was laid again.

    Raises
    ------
    NotValidError
        If a lay may not be cut as it lies.
    """
    fabrics = list(plan.fabrics)
    savings = plan.savings
    for at, lay in lays.items():
        fabrics[at] = changed_fabric(lay, order.system, kept.get(at, ()))
        savings = tuple(_saving(one, plan.fabrics[at], fabrics[at]) for one in savings)
    # What lies on leftovers is told by its piece: files keep no more of it.
    cuts = tuple(
        replace(cut, copies=tuple(replace(copy, key=copy.piece) for copy in cut.copies))
        for cut in plan.on_leftovers
    )
    made = replace(plan, fabrics=tuple(fabrics), savings=savings, on_leftovers=cuts)
    return told_apart(made, order)


def changed_fabric(lay: OpenLay, system: System, kept: tuple[int, ...] = ()) -> FabricPlan:
    """A fabric as its pieces lie now, with what a search had found beside it.

    Raises
    ------
    NotValidError
        If it may not be cut as it lies.
    """
    require_sound(lay, system)
    before = lay.entry
    if not lay.is_changed and not kept:
        return before
    entry = assemble(lay.job, lay.result, before.other_folds)
    numbers = {
        index: number
        for number, index in enumerate(reading_order(lay.built.problem, lay.layout), start=1)
    }
    by_hand = {numbers[index] for index, is_so in enumerate(lay.by_hand) if is_so}
    found = before.changed or Changed(before.length, before.purchase.bought)
    entry = replace(
        entry,
        placements=tuple(
            replace(placed, by_hand=placed.number in by_hand) for placed in entry.placements
        ),
        changed=replace(found, kept=tuple(sorted(numbers[index] for index in kept))),
    )
    return _with_its_bound(_off_its_bolt(entry, before, system), before)


def _with_its_bound(entry: FabricPlan, before: FabricPlan) -> FabricPlan:
    """With the bound that was known before, if that says more: it holds for all layouts alike."""
    if before.bound <= entry.bound or before.bound > entry.length:
        return entry
    return replace(
        entry,
        bound=before.bound,
        bound_kind=before.bound_kind,
        bound_shares=before.bound_shares,
        bound_across=before.bound_across,
    )


def _off_its_bolt(entry: FabricPlan, before: FabricPlan, system: System) -> FabricPlan:
    """What was taken off a bolt of the stash in place of cloth to buy still says so."""
    if not stands_in(before):
        return entry
    note = bolt_note(entry.fabric, entry.purchase.bought, system)
    return replace(entry, notes=(note, *entry.notes))


def _saving(saving: Saving, before: FabricPlan, now: FabricPlan) -> Saving:
    """What leftovers save, after another purchase of the same fabric."""
    if saving.roles != before.roles:
        return saving
    more = now.purchase.bought - before.purchase.bought
    dearer = (now.purchase.cost or 0.0) - (before.purchase.cost or 0.0)
    paid = now.fabric.on_hand is not None
    cost = None if saving.cost is None or paid else saving.cost - dearer
    return replace(saving, bought=saving.bought + more, cost=cost)
