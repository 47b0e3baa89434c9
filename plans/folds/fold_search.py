"""Laying one fabric's pieces in one kind of fold: depths, sections, pairings and joins tried."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from dataclasses import replace
from operator import attrgetter

from fabrics.spread import Fold
from layout.bounds.best import Care
from layout.effort import Effort, work_of
from layout.layout import EndedBy, Layout, cloth_length
from layout.search.progress import Progress
from layout.solver import NoLayoutError, solve
from plans.errors import ContradictionError
from plans.folds.across.fold_place import nearest_fold, needs_place, with_place
from plans.folds.across.place_search import has_place, searched_with_place
from plans.folds.bound import bound_of, care_for, short_enough
from plans.folds.depth_search import other_depths
from plans.folds.job import FabricJob
from plans.folds.opened import opened_out
from plans.folds.outcome import FoldFailure, FoldResult, Outcome, Variant
from plans.folds.variants import split_demands, variants
from plans.problem.misfit import misfit_message, no_layout_message
from plans.problem.problem_builder import Misfit

KEPT_VARIANTS = 2
"""Variants of one fold that are searched further after a first glance at all."""


MOST_STARTED = 800.0
"""Units placed when folds in sections are begun, over all their variants (two ways each); many in
one lay count for more (`work_of`)."""

MOST_ABLE = 8
"""Variants of which it is worked out whether they could better one that meets its bound."""

RANK, PREFERRED = attrgetter("rank"), attrgetter("preferred")

OnLayout = Callable[[FoldResult], None]
"""Told of each better layout of a fold."""


def screen(job: FabricJob, fold: Fold, effort: Effort, glance: Effort) -> Outcome:
    """Try every variant of a fold at a glance and the best of them at `effort`.

    Interrupted, it returns the best so far, marked.

    Raises
    ------
    KeyboardInterrupt
        If there is nothing yet.
    """
    try:
        offered = list(variants(job.for_fold(fold), fold))
    except ContradictionError as error:
        return FoldFailure(fold, str(error), contradiction=True)
    sound = [variant for variant in offered if isinstance(variant, Variant)]
    if not sound:
        misfit = next(variant for variant in offered if isinstance(variant, Misfit))
        return FoldFailure(fold, misfit_message(misfit.demand, fold, job.fabric, job.system), False)
    glanced = _affordable(sound)
    found: list[FoldResult] = []
    failure = ""

    def laid(variant: Variant) -> FoldResult:
        longest = _longest_of_use(job, variant, found)
        return _search(job, variant, replace(glance, rough=True), longest=longest)

    try:
        for repeated in _repeated(job, fold, effort, glance):
            found.append(_uninterrupted(repeated, found))
        for result in _glances(job, glanced, laid):
            if isinstance(result, FoldResult):
                found.append(_uninterrupted(result, found))
            else:
                failure = no_layout_message(result, fold, job.fabric, job.system)
        for result in other_depths(job, fold, found, laid):
            found.append(_uninterrupted(result, found))
        found = _easy_second(sorted(found, key=RANK))
        for k, one in enumerate(found[:KEPT_VARIANTS]):
            found[k] = _uninterrupted(deepen(job, one, effort), found)
        promising = _best_on_sound_cloth(job, found, glance)
        if promising is not None:
            tried = _uninterrupted(deepen(job, promising, effort), found)
            rest = [one for one in found[KEPT_VARIANTS:] if one is not promising]
            found = [*sorted((*found[:KEPT_VARIANTS], tried), key=RANK), *rest]
        if found:
            found = _with_able_first(job, found, effort)
    except KeyboardInterrupt:
        if not found:
            raise
        best = min(found, key=RANK)
        return replace(best, layout=best.layout.with_ending(EndedBy.INTERRUPT))
    if not found:
        return FoldFailure(fold, failure, False)
    kept = sorted(found[:KEPT_VARIANTS], key=PREFERRED)
    best = kept[0]
    if len(glanced) < len(sound):
        best = replace(best, layout=replace(best.layout, curtailed=True))
    return replace(best, rival=kept[1] if len(kept) > 1 else None)


def _affordable(sound: list[Variant]) -> list[Variant]:
    """Variants that are glanced at: all, or as many folds in sections as the work allows.

    Each asks first how everything is shared out among its sections, which takes long with many
    pieces. Where not all can be, each kind of first section has its turn, with the fewest pairs
    first, which are the freest.
    """
    if not sound[0].fold.sectioned:
        return sound
    met: Counter[Fold] = Counter()
    turns = []
    for index, variant in sorted(enumerate(sound), key=lambda one: sum(one[1].built.pairing)):
        kind = variant.sections[0].spread.fold
        turns.append((met[kind], index, 2.0 * work_of(variant.units)))
        met[kind] += 1
    taken: list[int] = []
    left = MOST_STARTED
    for _, index, work in sorted(turns):
        left -= work
        if left < 0.0 and taken:
            break
        taken.append(index)
    return [sound[index] for index in sorted(taken)]


def _best_on_sound_cloth(
    job: FabricJob, found: list[FoldResult], glance: Effort
) -> FoldResult | None:
    """Of what is not kept the result whose variant would be the shortest if the cloth were sound.

    None if that is kept. A glance passes a flaw by with far more cloth than it must cost.
    """
    likely = [one for one in found if one.built.problem.flaws and not one.fold.doubled]
    likely = likely[:MOST_ABLE]
    if len(likely) <= KEPT_VARIANTS:
        return None

    def length_if_sound(one: FoldResult) -> float:
        problem = replace(one.built.problem, flaws=())
        layout = solve(problem, replace(glance, rough=True), job.seed)
        return cloth_length(problem, layout.extents)

    best = min(likely, key=length_if_sound)
    kept = any(best is one for one in found[:KEPT_VARIANTS])
    return None if kept else best


def _easy_second(found: list[FoldResult]) -> list[FoldResult]:
    """Put what buys as little as the first with the least to trace behind it, to be kept, too.

    A flap that is all but open is often the shortest, but nothing lies double on it.
    """
    alike = [one for one in found if one.rank[:2] == found[0].rank[:2]]
    easy = min(alike, key=PREFERRED, default=None)
    if easy is None or easy is found[0]:
        return found
    return [found[0], easy, *(one for one in found[1:] if one is not easy)]


def _glances(
    job: FabricJob, offered: list[Variant], laid: Callable[[Variant], FoldResult]
) -> Iterator[FoldResult | NoLayoutError]:
    """A first layout of every variant, or why there is none."""
    for variant in offered:
        try:
            first = laid(variant)
            if needs_place(job, variant):
                yield with_place(job, first, laid)
            else:
                yield first
        except NoLayoutError as error:
            yield error


def _longest_of_use(job: FabricJob, variant: Variant, found: list[FoldResult]) -> float:
    """Cloth length (mm) beyond which a variant is none of those that are kept.

    It buys more than they do. Where strips are in other parts than in the best it may look worse
    than it is (`_with_able_first`).
    """
    if job.fabric.flaws or len(found) < KEPT_VARIANTS:
        return math.inf
    best, last = sorted(found, key=RANK)[:KEPT_VARIANTS]
    return job.same_purchase(last.length) if variant.joined == best.joined else math.inf


def _with_able_first(job: FabricJob, found: list[FoldResult], effort: Effort) -> list[FoldResult]:
    """See to it that the rival of a result that cannot be bettered is one that can better it.

    Strips in more parts have a lower bound, but often look worse at a glance.
    """
    kept, others = sorted(found[:KEPT_VARIANTS], key=RANK), found[KEPT_VARIANTS:]
    best = kept[0]
    if best.length > job.same_purchase(bound_of(job, best.variant).length):
        return [*kept, *others]
    likely = (kept[1:] + others)[:MOST_ABLE]
    able = next((one for one in likely if may_better(job, one, best)), None)
    if able is None:
        return [*kept, *others]
    tried = able if able in kept else _uninterrupted(deepen(job, able, effort), found)
    return sorted((best, tried), key=RANK)


def may_better(job: FabricJob, one: FoldResult, best: FoldResult, care: Care = Care.USUAL) -> bool:
    """Whether the bound of a result's variant leaves room for a smaller purchase than the best."""
    return all(least < best.bought for least in _least_bought(job, one, care))


def may_equal(job: FabricJob, one: FoldResult, best: FoldResult, care: Care) -> bool:
    """The same for no greater one: then it may have less to trace, or be shorter."""
    return all(least <= best.bought for least in _least_bought(job, one, care))


def _least_bought(job: FabricJob, one: FoldResult, most: Care) -> Iterator[float]:
    """The least that a result's variant buys (mm), as far as is known with ever more care."""
    # What is known at a glance often says no already.
    for care in Care:
        if care.value <= most.value:
            yield job.bought(bound_of(job, one.variant, care).length)


def _uninterrupted(result: FoldResult, found: list[FoldResult]) -> FoldResult:
    """Return a result unless its search was interrupted: then keep it, and go no further.

    Raises
    ------
    KeyboardInterrupt
    """
    if result.layout.ended_by is EndedBy.INTERRUPT:
        found.append(result)
        raise KeyboardInterrupt
    return result


def _repeated(job: FabricJob, fold: Fold, effort: Effort, glance: Effort) -> list[FoldResult]:
    """For several makes: the layout of one, laid that many times one after another.

    It is a start that a short search over all pieces at once often does not find.
    """
    if job.makes < 2 or fold.doubled or fold.sectioned:
        return []
    if job.fabric.flaws or job.rule.active:
        return []
    one = screen(
        replace(job, makes=1, demands=tuple(d.for_one() for d in job.demands)), fold, effort, glance
    )
    if isinstance(one, FoldFailure):
        return []
    demands = split_demands(job, {name: parts for name, parts, _ in one.joined})
    pairing = tuple(job.makes * pairs for pairs in one.built.pairing)
    built = job.built(demands, one.sections, pairing)
    if isinstance(built, Misfit):
        return []
    step = one.layout.extents[0] + job.gap
    placements = tuple(
        replace(placement, x=placement.x + k * step)
        for k in range(job.makes)
        for placement in one.layout.placements
    )
    layout = Layout(placements, (job.makes * step - job.gap,))
    if one.layout.ended_by is EndedBy.INTERRUPT:
        layout = layout.with_ending(EndedBy.INTERRUPT)
    variant = Variant(fold, one.sections, built, one.joined, demands)
    repeated = variant.laid_if_sound(job, layout)
    return [] if repeated is None else [repeated]


def deepen(
    job: FabricJob,
    result: FoldResult,
    effort: Effort,
    executor: Executor | None = None,
    on_layout: OnLayout | None = None,
) -> FoldResult:
    """Search on from a result, and briefly from its rival; never returns a worse one."""

    def searched(one: FoldResult, work: Effort) -> FoldResult:
        return _search(job, one.variant, work, one.layout, executor, on_layout)

    rival = result.rival
    if rival is not None and effort.evaluations > Effort.BRISK.evaluations:
        brisk = replace(Effort.BRISK, members=effort.members)
        result = searched(result, brisk)
        ended = result.layout.ended_by
        # A search for a proof takes far less time than one for a layout that cannot be better.
        care = care_for(brisk)
        may_win = ended is EndedBy.EFFORT and may_equal(job, rival, result, care)
        at_its_bound = ended in (EndedBy.BOUND, EndedBy.TARGET)
        if may_win or (at_its_bound and may_better(job, rival, result, care)):
            other = searched(rival, brisk)
            result = min((result, other), key=PREFERRED)
            if other.layout.ended_by is EndedBy.INTERRUPT:
                # Whichever is better: the user wants no more.
                return replace(result, layout=result.layout.with_ending(EndedBy.INTERRUPT))
        if result.layout.ended_by is not EndedBy.EFFORT:
            return result
    return searched(result, effort)


def open_from(job: FabricJob, single: FoldResult, folded: FoldResult) -> FoldResult:
    """Return the better of an open result and a folded one opened out, as an open result."""
    variant = single.variant
    if single.joined != folded.joined:
        # Strips were joined in the fold that lie whole here: open them out joined, too.
        none = (0,) * len(folded.demands)
        built = job.built(folded.demands, single.sections, none)
        if isinstance(built, Misfit):
            return single
        variant = replace(variant, built=built, joined=folded.joined, demands=folded.demands)
    start = opened_out(folded, variant.built)
    if start is None:
        return single
    opened = variant.laid(job, start)
    shorter = (opened.bought, opened.length) < (single.bought, single.length)
    return replace(opened, rival=single.rival) if shorter and variant.is_sound(start) else single


def _search(
    job: FabricJob,
    variant: Variant,
    effort: Effort,
    start: Layout | None = None,
    executor: Executor | None = None,
    on_layout: OnLayout | None = None,
    longest: float = math.inf,
) -> FoldResult:
    """Search in one variant; where flaws give its fold across a place, for that, too."""
    if start is None or not has_place(variant):
        layout = _solved(job, variant, effort, start, executor, on_layout, longest)
        return nearest_fold(job, variant.laid(job, layout))

    def solved(placed: Variant, work: Effort, begun: Layout) -> Layout:
        told = on_layout if has_place(placed) else None
        return _solved(job, placed, work, begun, executor, told)

    return searched_with_place(job, variant.laid(job, start), effort, solved)


def _solved(
    job: FabricJob,
    variant: Variant,
    effort: Effort,
    start: Layout | None,
    executor: Executor | None,
    on_layout: OnLayout | None,
    longest: float = math.inf,
) -> Layout:
    problem = variant.built.problem

    def report(progress: Progress) -> None:
        if on_layout is not None and progress.layout is not None:
            on_layout(variant.laid(job, progress.layout))

    return solve(
        problem,
        effort,
        job.seed,
        start=start,
        target=None if effort.rough else short_enough(job, variant, care_for(effort)),
        executor=executor,
        on_progress=report,
        longest=longest,
    )
