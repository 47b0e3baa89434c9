"""What matching a repeat costs: length beyond what plain cloth of the same width would need."""

from __future__ import annotations

from dataclasses import replace

from pieces.lengths import format_length, shown_rest
from plans.folds.fold_search import deepen, screen
from plans.folds.job import FabricJob
from plans.folds.levels import Level
from plans.folds.outcome import FoldResult
from plans.problem.repeats import repeat_rule


def repeat_cost(job: FabricJob, chosen: FoldResult, level: Level) -> float | None:
    """Length (mm) that matching adds in the fold chosen; None where nothing must match.

    The same pieces are laid on the same cloth without its design, with the same effort. A layout in
    phase is one of plain cloth, too, so that the cost is never below nothing.
    """
    if not repeat_rule(job.fabric, job.demands).active:
        return None
    plain_job = replace(job, fabric=replace(job.fabric, repeat=None))
    plain = screen(plain_job, chosen.fold, level.screen, level.glance)
    if not isinstance(plain, FoldResult):
        return None
    if level.refine is not None:
        plain = deepen(plain_job, plain, level.refine)
    return max(0.0, chosen.length - plain.length)


def most_by_rule(job: FabricJob, chosen: FoldResult) -> float:
    """Length (mm) that the rule of thumb allows: one repeat for each matched placement.

    "Repeat x number of main pieces" is printed on sewing pages (marcytilton.com, tips for matching
    plaids and checks); that each piece after the first loses less than one repeat is derived.
    """
    repeat = job.fabric.repeat
    matched = sum(
        item.demand
        for item in chosen.built.problem.items
        if any(slot.lattice is not None for slot in item.slots)
    )
    return 0.0 if repeat is None else repeat.along * matched


def repeat_note(job: FabricJob, chosen: FoldResult, level: Level) -> tuple[str, ...]:
    """Say what matching costs; nothing where nothing must match."""
    cost = repeat_cost(job, chosen, level)
    if cost is None:
        return ()
    allowed = most_by_rule(job, chosen)
    rule = f" (the rule of thumb allows {format_length(allowed, job.system)})" if allowed else ""
    total = cost + job.slide
    in_layout = format_length(shown_rest(job.system, total, job.slide), job.system)
    more = f"Matching the repeat takes {format_length(total, job.system)} more than "
    parts = (
        f": {in_layout} in the layout, and up to "
        f"{format_length(job.slide, job.system)} to begin where you want in the design"
        if job.slide
        else ""
    )
    return (f"{more}plain cloth of this width would{parts}{rule}.",)
