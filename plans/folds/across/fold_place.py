"""Where cloth with flaws is folded across: the fold's place decides where they lie on the lay.

On a crosswise or turned spread one ply is measured from the fold, so that its flaws move over the
lay as the fold moves. Pieces are laid as if the cloth were sound; then the fold is put where that
layout is clear of the flaws, and near the middle with the pieces laid around them. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from fabrics.folds.tape import foldable_depth
from layout.fit import NoLayoutError, Why
from layout.layout import Layout
from layout.problem import Flaw
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult, Variant
from plans.problem.on_cloth import copy_poses

STEP_MM = 5.0
"""Places of the fold that are looked at lie so far apart."""

MOST_PLACES = 400
"""Places near the middle that are looked at; beyond them only those clear of whole flaws."""

MOST_TRIES = 10
"""How many places of the fold the pieces are laid for, around the flaws."""

STRIDE = 0.1
"""How far the fold moves on at a time, as a share of what the pieces need."""

NEAR_ENOUGH = 1.005
"""A layout that is longer than on sound cloth by no more than this is not searched on for."""

Laid = Callable[[Variant], FoldResult]


def needs_place(job: FabricJob, variant: Variant) -> bool:
    """Whether a variant was made for sound cloth, and its fold has yet to find a place."""
    return bool(job.fabric.flaws) and variant.fold.doubled


def with_place(job: FabricJob, sound: FoldResult, laid: Laid) -> FoldResult:
    """The best result found on the cloth with its flaws, from one that took it for sound.

    Parameters
    ----------
    job : FabricJob
    sound : FoldResult
        Of a variant that needs a place.
    laid : callable
        Lays a variant at a glance.

    Raises
    ------
    NoLayoutError
        If the pieces fit nowhere around the flaws.
    """
    extent = sound.layout.extents[0]
    least = least_place(sound.variant, sound.layout)
    best = clear_of_flaws(job, sound.variant, sound.layout, least)
    if best is not None and best.length <= NEAR_ENOUGH * (least + extent):
        return best
    place, failed = on_tape(job, sound.variant, least), None
    for left in range(MOST_TRIES, 0, -1):
        # Pieces that reach as far as on sound cloth are no better with the fold beyond this.
        most = np.inf if best is None else best.length - extent
        if place >= most:
            break
        try:
            found = laid(folded_at(job, sound.variant, place))
        except NoLayoutError as error:
            failed = error
            # Flaws lie elsewhere a little further on, too: leap only where steps lead nowhere.
            leap = (error.needed or 0.0) - place
            step = leap if 2 * left <= MOST_TRIES else min(leap, STRIDE * extent)
            place = on_tape(job, sound.variant, place + max(STEP_MM, step))
            continue
        if best is None or found.rank < best.rank:
            best = found
        most = best.length - extent
        place = on_tape(job, sound.variant, place + max(STEP_MM, (most - place) / (left + 1)))
    if best is not None:
        return best
    raise failed or NoLayoutError(Why.FLAWED)


def nearest_fold(job: FabricJob, result: FoldResult) -> FoldResult:
    """The same layout with the fold as near to the cut end as its flaws allow.

    A search cuts the lay shorter around a fold that stays where it is; cloth before the pieces is
    then saved by folding nearer.
    """
    if not any(section.fold_at for section in result.sections):
        return result
    least = least_place(result.variant, result.layout)
    moved = clear_of_flaws(job, result.variant, result.layout, least, result.sections[0].fold_at)
    return moved if moved is not None and moved.length < result.length else result


def folded_at(job: FabricJob, variant: Variant, place: float) -> Variant:
    """A variant of a spread folded across with its fold in a place (lay length), flaws heeded.

    With the fold in no place (0) it takes the cloth for sound.
    """
    sections = tuple(replace(section, fold_at=place) for section in variant.sections)
    flaws = tuple(Flaw(outline) for outline in job.laid_cloth.flaws) if place else ()
    problem = replace(variant.built.problem, sections=sections, flaws=flaws)
    return replace(variant, sections=sections, built=replace(variant.built, problem=problem))


def least_place(variant: Variant, layout: Layout) -> float:
    """Lay length that the pieces need."""
    free = tuple(replace(section, fold_at=0.0) for section in variant.sections)
    problem = replace(variant.built.problem, sections=free, flaws=())
    return problem.spans(layout.extents)[0].lay_length


def on_tape(job: FabricJob, variant: Variant, least: float) -> float:
    """The next place that a tape shows from the raw cut end, or where the design permits a cut."""
    section = variant.sections[0]
    if section.length_pitch > 0.0:
        steps = np.ceil((least - section.length_phase) / section.length_pitch - 1e-9)
        return float(section.length_phase + steps * section.length_pitch)
    return foldable_depth(least + job.ends / 2.0) - job.ends / 2.0


def clear_of_flaws(
    job: FabricJob, variant: Variant, layout: Layout, least: float, below: float = np.inf
) -> FoldResult | None:
    """The layout as it is, with the fold in the nearest place where it is clear of all flaws."""
    flaws = [Polygon(outline) for outline in job.laid_cloth.flaws]
    for place in _places(job, variant, least):
        if place >= below:
            return None
        moved = folded_at(job, variant, place)
        copies = copy_poses(moved.built.problem, layout)
        items = moved.built.problem.items
        outlines = []
        for copy in copies:
            placed = layout.placements[copy.placement]
            item = items[placed.item]
            outlines.append(Polygon(copy.outline(item, item.slots[placed.slot].shape)))
        apart = [float(shapely.distance(np.array(outlines), flaw).min()) for flaw in flaws]
        if min(apart) >= job.gap and moved.is_sound(layout):
            return moved.laid(job, layout)
    return None


def _places(job: FabricJob, variant: Variant, least: float) -> Iterator[float]:
    """Places from the least on: each that a tape shows, then those past the end of each flaw."""
    place = on_tape(job, variant, least)
    for _ in range(MOST_PLACES):
        yield place
        place = on_tape(job, variant, place + 0.5)
    ends = sorted(max(x for x, _ in outline) for outline in job.laid_cloth.flaws)
    for end in ends:
        beyond = on_tape(job, variant, least + end + job.gap)
        if beyond > place:
            yield beyond
