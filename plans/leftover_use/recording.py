"""Recording in the stash that a plan was cut."""

from __future__ import annotations

import json

from fabrics.stash.records import CutRecord
from fabrics.stash.store import Stash
from plans.data.plan_json import plan_to_json
from plans.errors import ContradictionError
from plans.leftover_use.cutting import Cutting, cutting_of
from plans.plan import Plan


def record_cut(
    base: Stash, plan: Plan, sources: dict[str, str], keep_leftovers: bool, again: bool
) -> CutRecord:
    """Take what a plan needs off its bolts, put in what it leaves, and keep the plan.

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
        If it is not complete, cannot be cut from these, or was recorded already.
    """
    cutting = cutting_from(base, plan, sources, keep_leftovers)
    kept = json.dumps(plan_to_json(plan), sort_keys=True)
    return base.record_cut(
        plan.garment, kept, list(cutting.taken), list(cutting.left), list(cutting.used), again
    )


def cutting_from(base: Stash, plan: Plan, sources: dict[str, str], keep_leftovers: bool) -> Cutting:
    """What recording a cut would change; the parameters and errors are those of `record_cut`."""
    if not plan.complete:
        missing = ", ".join(plan.missing_roles)
        raise ContradictionError(
            f"the plan of '{plan.garment}' is not complete ({missing} missing)"
        )
    tags = planned_bolts(plan) | sources
    bolts = {role: base.bolt(tag) for role, tag in tags.items()}
    return cutting_of(plan, bolts, keep_leftovers)


def planned_bolts(plan: Plan) -> dict[str, str]:
    """Tag of the bolt by role, where it was planned on one."""
    return {
        role: entry.fabric.bolt
        for entry in plan.fabrics
        for role in entry.roles
        if entry.fabric.bolt
    }
