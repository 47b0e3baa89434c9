"""From the layout chosen for a fabric to everything that the plan says about it."""

from __future__ import annotations

from dataclasses import replace

from shapely.geometry import Polygon, box

from fabrics.buying import Purchase, purchase, sold_in
from fabrics.fold_words import how_to_fold
from layout.bounds.best import Care
from layout.bounds.terms.bound import Bound
from layout.boxes import boxes_length
from layout.layout import EndedBy
from layout.validator import validate
from pieces.lengths import EXCESS_MM
from plans.answer.account import area_account, utilisation
from plans.answer.allowances import allowances_of
from plans.answer.min_width import least_width
from plans.answer.notes import notes_for
from plans.answer.placed import placed_pieces
from plans.answer.warnings import warnings_for
from plans.errors import FaultError
from plans.folds.bound import NEAR_SHARE, least_bound, proved_bound, require_no_more
from plans.folds.job import FabricJob
from plans.folds.leftovers import find_leftovers
from plans.folds.outcome import FoldResult
from plans.plan import FabricPlan, FoldReport, SectionPlan

SEEN_MM = 0.5
"""A layout that exceeds a bound by no more has reached it: no tape shows that."""


def assemble(
    job: FabricJob,
    chosen: FoldResult,
    others: tuple[FoldReport, ...],
    prove: float = 0.0,
    care: Care = Care.CLOSE,
) -> FabricPlan:
    """Validate a layout and work out all figures of its plan.

    `prove` is the time in seconds for a search for a better bound; 0 for none. Else the bound is
    worth as much work as `care` says.

    Raises
    ------
    FaultError
        If the validator refuses the layout: a fault of ours, never a warning.
    """
    problem = chosen.built.problem
    violations = validate(problem, chosen.layout)
    if violations:
        listed = "; ".join(violation.message for violation in violations[:3])
        raise FaultError(
            f"the layout of '{job.fabric.name}' ({chosen.fold.value}) was refused: {listed}"
        )
    laid = problem.spans(chosen.layout.extents)
    used = [k for k, extent in enumerate(chosen.layout.extents) if extent > 0.0]
    placements = tuple(
        replace(placed, section=used.index(placed.section))
        for placed in placed_pieces(chosen.built, chosen.layout, laid, job.ends)
    )
    fabric = sold_in(job.fabric, job.system)
    length, laid_length = chosen.length + job.beyond, chosen.laid + job.beyond
    bought = purchase(length, fabric, job.margin)
    bound = proved_bound(job, chosen, prove) if prove else least_bound(job, chosen.variant, care)
    require_no_more(job, chosen, bound)
    least = purchase(bound.length + job.beyond, fabric, job.margin)
    boxes = boxes_length(problem)
    outlines = [Polygon(copy.outline) for placed in placements for copy in placed.copies]
    piece_area = sum(outline.area for outline in outlines)
    usable = box(
        0.0,
        job.fabric.selvage_cut,
        bought.bought_washed,
        job.fabric.width_cut - job.fabric.selvage_cut,
    )
    for flaw in job.fabric.flaws:
        usable = usable.difference(Polygon(flaw))
    leftovers = find_leftovers(usable, outlines, job.gap, job.leftover_neck, job.leftover_size)
    account = area_account(
        piece_area,
        sum(leftover.area for leftover in leftovers),
        bought.bought_washed,
        job.fabric.width_cut,
    )
    return FabricPlan(
        roles=job.roles,
        fabric=fabric,
        fold=chosen.fold,
        sections=_sections(job, chosen, used),
        placements=placements,
        gap=job.gap,
        ends=job.ends,
        slide=job.slide,
        length=length,
        laid=laid_length,
        bound=min(bound.length + job.beyond, length),  # rounding of equal figures only
        bound_kind=bound.kind,
        bound_shares=bound.shares,
        bound_across=bound.across,
        boxes=length if boxes is None else boxes + job.beyond,
        purchase=bought,
        min_width=least_width(problem, chosen.layout, job.fabric),
        utilisation=utilisation(piece_area, length, job.fabric.width_cut),
        leftovers=leftovers,
        pieces_share=account.pieces,
        leftover_share=account.leftovers,
        scrap_share=account.scrap,
        other_folds=others,
        notes=notes_for(job, chosen, placements),
        ended_by=_ended_by(chosen, bound, bought, least),
        warnings=warnings_for(fabric, bought, laid_length, job.system),
        allowances=allowances_of(chosen.built.origins),
        spared=chosen.spared,
    )


def _ended_by(chosen: FoldResult, bound: Bound, bought: Purchase, least: Purchase) -> EndedBy:
    """Why no search goes on: it was cut short, nothing shorter exists or buys less, or its end."""
    ended = chosen.layout.ended_by
    if ended in (EndedBy.TIME, EndedBy.INTERRUPT):
        return ended
    if chosen.length <= bound.length + SEEN_MM:
        return EndedBy.BOUND
    if bought.bought <= least.bought + EXCESS_MM:
        return EndedBy.TARGET
    near = chosen.length <= bound.length * (1.0 + NEAR_SHARE)
    return EndedBy.NEAR if near else EndedBy.EFFORT


def _sections(job: FabricJob, chosen: FoldResult, used: list[int]) -> tuple[SectionPlan, ...]:
    """Describe the sections that carry anything; with `ends` shared out at the raw ends."""
    laid = chosen.built.problem.spans(chosen.layout.extents)
    result = []
    for k in used:
        section, span = chosen.sections[k], laid[k]
        spread = section.spread
        before = 0.0 if k == used[0] else job.ends / 2.0
        after = job.ends if k == used[-1] else job.ends / 2.0
        start = span.start + job.ends / 2.0
        place = start + span.lay_length if section.fold_at else None
        result.append(
            SectionPlan(
                name=section.name,
                spread=spread,
                extent=chosen.layout.extents[k],
                lay_length=span.lay_length,
                start=start,
                cloth_from=span.begin + before,
                cloth_to=span.end + after,
                how=how_to_fold(spread, job.system, place),
                folded_at=place,
            )
        )
    return tuple(result)
