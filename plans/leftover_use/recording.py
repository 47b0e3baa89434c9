"""Recording in the stash that a plan was cut."""

from __future__ import annotations

import json

from fabrics.stash.records import CutRecord, NewCut
from fabrics.stash.store import Stash
from plans.data.plan_json import plan_to_json
from plans.errors import ContradictionError
from plans.leftover_use.cutting import cutting_of
from plans.plan import Plan


def new_cut(
    base: Stash, plan: Plan, sources: dict[str, str], keep_leftovers: bool, again: bool
) -> NewCut:
    """What recording a plan takes off its bolts, puts in and keeps; the stash records it.

    Parameters
    ----------
    base : Stash
    plan : Plan
    sources : dict of str to str
        Tag of the bolt by role, where it is another than the one that was planned on.
    keep_leftovers, again : bool
        Whether leftovers are put in; whether the same plan was cut once more.

    Raises
    ------
    ContradictionError, StashError
        If it is not complete, or cannot be cut from these.
    """
    if not plan.complete:
        missing = ", ".join(plan.missing_roles)
        raise ContradictionError(
            f"the plan of '{plan.garment}' is not complete ({missing} missing)"
        )
    tags = planned_bolts(plan) | sources
    bolts = {role: base.bolt(tag) for role, tag in tags.items()}
    cutting = cutting_of(plan, bolts, keep_leftovers)
    return NewCut(plan.garment, kept_text(plan), cutting.taken, cutting.left, cutting.used, again)


def cuts_of(base: Stash, plan: Plan) -> list[CutRecord]:
    """Cuts of just this plan that were recorded and not undone, oldest first."""
    kept = kept_text(plan)
    return [cut for cut in base.cuts() if cut.plan == kept and cut.undone is None]


def kept_text(plan: Plan) -> str:
    """A plan as the stash keeps it, and knows it again by."""
    return json.dumps(plan_to_json(plan), sort_keys=True)


def planned_bolts(plan: Plan) -> dict[str, str]:
    """Tag of the bolt by role, where it was planned on one."""
    return {
        role: entry.fabric.bolt
        for entry in plan.fabrics
        for role in entry.roles
        if entry.fabric.bolt
    }
