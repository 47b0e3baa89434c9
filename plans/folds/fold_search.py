"""Laying one fabric's pieces in one kind of fold: depths, sections, pairings and joins tried."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from fabrics.buying import longest_for_same_purchase, purchase
from fabrics.fabric import Fabric
from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from layout.bounds import Bound, area_bound, fold_edge_bound, longest_bound
from layout.effort import Effort
from layout.layout import EndedBy, Layout, cloth_length
from layout.problem import Section
from layout.progress import Progress
from layout.solver import NoLayoutError, solve
from pieces.lengths import System
from plans.errors import ContradictionError
from plans.folds.opened import FoldedResult, opened_out
from plans.problem.demand import Demand
from plans.problem.joins import can_split, extra_length, split
from plans.problem.misfit import misfit_message
from plans.problem.problem_builder import BuiltProblem, Misfit, build, every_place, pairings
from plans.problem.repeats import repeat_rule
from plans.problem.spread_options import spread_options

MOST_MORE_PARTS = 2
"""Parts beyond those that a strip needs to fit at all; each join is work, and cloth."""

KEPT_VARIANTS = 2
"""Variants of one fold that are searched further after a first glance at all."""


@dataclass(frozen=True)
class FabricJob:
    """Everything about one fabric that a search in any fold needs. Lengths in mm."""

    roles: tuple[str, ...]
    fabric: Fabric
    demands: tuple[Demand, ...]
    makes: int
    gap: float
    ends: float
    margin: float
    seed: int
    system: System
    leftover_size: tuple[float, float] = (150.0, 150.0)
    leftover_neck: float = 50.0

    @property
    def slide(self) -> float:
        """Length that lets the cut end slide along the design to where the user wants it.

        A shop cuts anywhere in the repeat, so it is up to one repeat; 0 where nothing must match.
        """
        rule = repeat_rule(self.fabric, self.demands)
        return rule.repeat.along if rule.active and rule.repeat is not None else 0.0

    @property
    def laid_cloth(self) -> Fabric:
        """The fabric as a layout sees it, which begins where the raw end was squared off.

        Flaws are measured from the cut end; half of what squaring off takes lies before the layout.
        """
        off = self.ends / 2.0
        flaws = tuple(tuple((x - off, y) for x, y in flaw) for flaw in self.fabric.flaws)
        return replace(self.fabric, flaws=flaws) if flaws else self.fabric

    @property
    def beyond(self) -> float:
        """Washed length that is needed beyond the lay: squared-off ends, sliding along a design."""
        return self.ends + self.slide


@dataclass(frozen=True)
class FoldResult:
    """The best layout found in one kind of fold.

    `length` is the exact cloth length, the shortest found, and `bought` the purchase (mm); the
    layout itself may be stretched within what is bought anyway (`laid`). `joined` tells, by piece
    name, into how many parts a strip was cut and what that adds to its length. `rival` is the
    second-best variant of the same fold (other depths, pairs or joins), if a deeper search should
    try that, too.
    """

    fold: Fold
    sections: tuple[Section, ...]
    built: BuiltProblem
    layout: Layout
    length: float
    bought: float
    joined: tuple[tuple[str, int, float], ...]
    demands: tuple[Demand, ...]
    rival: FoldResult | None = None

    @property
    def combines(self) -> bool:
        """Whether more than one section carries anything."""
        return sum(extent > 0.0 for extent in self.layout.extents) > 1

    @property
    def laid(self) -> float:
        """Cloth length (mm) of the layout as it lies, without its ends."""
        return cloth_length(self.built.problem, self.layout.extents)


@dataclass(frozen=True)
class FoldFailure:
    """Why a kind of fold cannot be; `contradiction` if the cloth or the order forbids it."""

    fold: Fold
    reason: str
    contradiction: bool


@dataclass(frozen=True)
class _Variant:
    sections: tuple[Section, ...]
    built: BuiltProblem
    joined: tuple[tuple[str, int, float], ...]
    demands: tuple[Demand, ...]


ONE_FOLD_DOES = "one fold throughout does as well as two combined"
"""Why a sectioned spread of which only one section is used is not counted."""

OnLayout = Callable[[float], None]


def screen(job: FabricJob, fold: Fold, effort: Effort, glance: Effort) -> FoldResult | FoldFailure:
    """Try every variant of a fold at a glance and the best of them at `effort`.

    Interrupted, it returns the best so far, marked.

    Raises
    ------
    KeyboardInterrupt
        If there is nothing yet.
    """
    try:
        variants = list(_variants(job, fold))
    except ContradictionError as error:
        return FoldFailure(fold, str(error), contradiction=True)
    sound = [variant for variant in variants if isinstance(variant, _Variant)]
    if not sound:
        misfit = next(variant for variant in variants if isinstance(variant, Misfit))
        return FoldFailure(fold, misfit_message(misfit.demand, fold, job.fabric, job.system), False)
    found: list[FoldResult] = []
    failure = ""
    try:
        for result in _glances(job, fold, sound, effort, glance):
            if isinstance(result, FoldResult):
                found.append(_uninterrupted(result, found))
            else:
                failure = str(result)
        found.sort(key=_rank)
        for k, one in enumerate(found[:KEPT_VARIANTS]):
            found[k] = _uninterrupted(deepen(job, one, effort), found)
    except KeyboardInterrupt:
        if not found:
            raise
        best = min(found, key=_rank)
        return replace(best, layout=best.layout.with_ending(EndedBy.INTERRUPT))
    if not found:
        return FoldFailure(fold, failure, False)
    kept = sorted(found[:KEPT_VARIANTS], key=_rank)
    return replace(kept[0], rival=kept[1] if len(kept) > 1 else None)


def _glances(
    job: FabricJob, fold: Fold, variants: list[_Variant], effort: Effort, glance: Effort
) -> Iterator[FoldResult | NoLayoutError]:
    """A first layout of every variant, or why there is none."""
    yield from _repeated(job, fold, effort, glance)
    for variant in variants:
        try:
            yield _search(job, fold, variant, glance)
        except NoLayoutError as error:
            yield error


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
    if job.makes < 2 or fold in (Fold.CROSSWISE, Fold.TURNED, Fold.SECTIONED):
        return []
    if job.fabric.flaws or repeat_rule(job.fabric, job.demands).active:
        return []
    one = screen(
        replace(job, makes=1, demands=tuple(d.for_one() for d in job.demands)), fold, effort, glance
    )
    if isinstance(one, FoldFailure):
        return []
    demands = split_demands(job, {name: parts for name, parts, _ in one.joined})
    rule = repeat_rule(job.fabric, demands)
    pairing = tuple(job.makes * pairs for pairs in one.built.pairing)
    built = build(demands, one.sections, job.laid_cloth, job.gap, rule, pairing)
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
    length = cloth_length(built.problem, layout.extents)
    if not is_sound(built, layout):
        return []
    return [
        FoldResult(fold, one.sections, built, layout, length, bought_for(job, length), one.joined,
                   demands)
    ]  # fmt: skip


def deepen(
    job: FabricJob,
    result: FoldResult,
    effort: Effort,
    executor: Executor | None = None,
    on_length: OnLayout | None = None,
) -> FoldResult:
    """Search on from a result, and briefly from its rival; never returns a worse one."""

    def searched(one: FoldResult, work: Effort) -> FoldResult:
        variant = _Variant(one.sections, one.built, one.joined, one.demands)
        return _search(job, one.fold, variant, work, one.layout, executor, on_length)

    rival = result.rival
    if rival is not None and effort.evaluations > Effort.BRISK.evaluations:
        result = searched(result, Effort.BRISK)
        if result.layout.ended_by is EndedBy.EFFORT:
            other = searched(rival, Effort.BRISK)
            result = min((result, other), key=_rank)
            if other.layout.ended_by is EndedBy.INTERRUPT:
                # Whichever is better: the user wants no more.
                return replace(result, layout=result.layout.with_ending(EndedBy.INTERRUPT))
        if result.layout.ended_by is not EndedBy.EFFORT:
            return result
    return searched(result, effort)


def open_from(job: FabricJob, single: FoldResult, folded: FoldResult) -> FoldResult:
    """Return the better of an open result and a folded one opened out, as an open result."""
    built = single.built
    if single.joined != folded.joined:
        # Strips were joined in the fold that lie whole here: open them out joined, too.
        rule = repeat_rule(job.fabric, folded.demands)
        none = (0,) * len(folded.demands)
        tried = build(folded.demands, single.sections, job.laid_cloth, job.gap, rule, none)
        if isinstance(tried, Misfit):
            return single
        built = tried
    start = opened_out(FoldedResult(folded.built, folded.layout), built)
    if start is None:
        return single
    length = cloth_length(built.problem, start.extents)
    bought = bought_for(job, length)
    if (bought, length) >= (single.bought, single.length) or not is_sound(built, start):
        return single
    return replace(
        single, built=built, layout=start, length=length, bought=bought,
        joined=folded.joined, demands=folded.demands,
    )  # fmt: skip


def bound_of(job: FabricJob, built: BuiltProblem, demands: tuple[Demand, ...]) -> Bound:
    """Best lower bound on the cloth length (mm) that the spread allows, whatever is paired."""
    rule = repeat_rule(job.fabric, demands)
    wide = every_place(demands, built, job.fabric, rule)
    return max(
        Bound("area", area_bound(built.problem)),
        Bound("longest piece", longest_bound(wide)),
        Bound("fold edges", fold_edge_bound(wide)),
        key=lambda bound: bound.length,
    )


def is_sound(built: BuiltProblem, layout: Layout) -> bool:
    """Whether the validator finds nothing wrong."""
    from layout.validator import validate

    return not validate(built.problem, layout)


def _rank(result: FoldResult) -> tuple[float, int, float]:
    """What is better: less bought, then fewer joins, then less length."""
    return result.bought, sum(parts for _, parts, _ in result.joined), result.length


def bought_for(job: FabricJob, length: float) -> float:
    """What is bought (mm) for an exact cloth length without its ends (mm)."""
    return purchase(length + job.beyond, job.fabric, job.margin).bought


def _variants(job: FabricJob, fold: Fold) -> Iterator[_Variant | Misfit]:
    """Every spread of the kind with every pairing worth trying; misfits where nothing goes in."""
    rule = repeat_rule(job.fabric, job.demands)
    options = spread_options(fold, job.fabric, job.demands, rule, job.gap)
    for option in options:
        fitted, parts = _fitting(job, option.sections)
        if isinstance(fitted, Misfit):
            yield fitted
            continue
        joined = (_joined_more(job, parts, by) for by in range(MOST_MORE_PARTS + 1))
        for chosen in dict.fromkeys(joined):
            demands = split_demands(job, dict(chosen))
            args = (demands, option.sections, job.laid_cloth, job.gap, rule)
            for pairing in pairings(*args):
                built = build(*args, pairing)
                if isinstance(built, Misfit):
                    yield built
                else:
                    yield _Variant(option.sections, built, joins_of(job, dict(chosen)), demands)


Parts = tuple[tuple[str, int], ...]
"""Strips that are cut in parts, by demand key."""


def _joined_more(job: FabricJob, parts: Parts, by: int) -> Parts:
    """Cut every joinable strip in so many parts more than it needs: short parts may save cloth."""
    more = dict(parts)
    for demand in job.demands:
        least = more.get(demand.key, 1)
        count = max((n for n in range(least, least + by + 1) if can_split(demand, n)), default=1)
        if count > 1:
            more[demand.key] = count
    return tuple(more.items())


def split_demands(job: FabricJob, parts: dict[str, int]) -> tuple[Demand, ...]:
    """Cut strips in parts, by demand key."""
    demands: list[Demand] = []
    for demand in job.demands:
        count = parts.get(demand.key, 1)
        demands += split(demand, count, job.fabric, job.makes) if count > 1 else [demand]
    return tuple(demands)


def joins_of(job: FabricJob, parts: dict[str, int]) -> tuple[tuple[str, int, float], ...]:
    """Say what is cut in parts, as `FoldResult.joined` does."""
    return tuple(
        (demand.key, parts[demand.key], extra_length(demand, parts[demand.key]))
        for demand in job.demands
        if demand.key in parts
    )


def _fitting(
    job: FabricJob, sections: tuple[Section, ...]
) -> tuple[tuple[Demand, ...] | Misfit, Parts]:
    """Cut joinable strips in as few parts as make everything fit these sections."""
    parts: dict[str, int] = {}
    rule = repeat_rule(job.fabric, job.demands)
    while True:
        tried = split_demands(job, parts)
        args = (tried, sections, job.laid_cloth, job.gap, rule)
        built = build(*args, pairings(*args)[0])
        if not isinstance(built, Misfit):
            return tried, tuple(parts.items())
        key = built.demand.key
        owner = next(
            (d for d in job.demands if key == d.key or key.startswith(f"{d.key} part ")), None
        )
        if owner is None or not can_split(owner, parts.get(owner.key, 1) + 1):
            return built, ()
        parts[owner.key] = parts.get(owner.key, 1) + 1


def _search(
    job: FabricJob,
    fold: Fold,
    variant: _Variant,
    effort: Effort,
    start: Layout | None = None,
    executor: Executor | None = None,
    on_length: OnLayout | None = None,
) -> FoldResult:
    problem = variant.built.problem

    def report(progress: Progress) -> None:
        if on_length is not None:
            on_length(progress.length)

    layout = solve(
        problem,
        effort,
        job.seed,
        start=start,
        target=_target(job, variant),
        executor=executor,
        on_progress=report,
    )
    length = cloth_length(problem, layout.extents)
    return FoldResult(
        fold, variant.sections, variant.built, layout, length, bought_for(job, length),
        variant.joined, variant.demands,
    )  # fmt: skip


def _target(job: FabricJob, variant: _Variant) -> float:
    """Cloth length below which no shorter purchase is possible: the step above the bound."""
    bound = bound_of(job, variant.built, variant.demands).length
    least = purchase(bound + job.beyond, job.fabric, job.margin).bought
    return longest_for_same_purchase(least, job.fabric, job.margin) - job.beyond


def name_of(fold: Fold) -> str:
    """The fold as it is taught, for messages."""
    return taught_name(fold)
