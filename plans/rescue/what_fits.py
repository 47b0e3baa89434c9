"""As many pieces as go on the cloth on hand, in a single layer, and which are left out."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace

from fabrics.region import Region
from fabrics.spread import Fold, make_spread
from fabrics.stash.records import LeftoverRecord
from layout.effort import Effort
from layout.hand import Hand
from layout.layout import Layout, Placement
from layout.problem import Pose, Wanted
from plans.answer.assemble import assemble
from plans.folds.fold_search import open_from, screen
from plans.folds.job import FabricJob
from plans.folds.on_hand import Shortage, fits
from plans.folds.outcome import FoldResult, Variant
from plans.folds.variants import split_demands
from plans.leftover_use.laying import lay_on
from plans.plan import FabricPlan, LeftoverCopy
from plans.problem.demand import Demand
from plans.problem.joins import can_split
from plans.problem.problem_builder import BuiltProblem, Misfit
from plans.problem.repeats import repeat_rule
from plans.problem.spread_options import section_of

MOST_PARTS = 4
"""Parts in which a strip that may be joined is tried."""


@dataclass(frozen=True)
class Lain:
    """What fits, as a plan of its own, and what does not.

    `length` is the washed cloth between the squared-off ends, mm; `left_out` gives the demand of
    each piece that is left out, and of how many copies; `joined` the strips that are cut in parts.
    """

    entry: FabricPlan | None
    length: float
    left_out: tuple[tuple[Demand, int], ...]
    joined: tuple[tuple[str, int], ...] = ()

    @property
    def missing_area(self) -> float:
        """Area of all copies that are left out, mm2."""
        return sum(demand.area * count for demand, count in self.left_out)


def lay_what_fits(shortage: Shortage) -> Lain:
    """Lay the most by area on the cloth on hand, in a single layer; validated like every plan.

    Where a design must match, one piece or the smallest together are left out with all copies, the
    least by area that makes the rest fit.

    Raises
    ------
    FaultError
        If the validator refuses the layout: a fault of ours.
    """
    job = shortage.job
    length = washed_length(job)
    rule = repeat_rule(job.fabric, job.demands)
    if rule.active:
        return _lain(job, _fewer_pieces(job, math.inf), length)
    whole = job
    best = _lain(job, _bounded(job, length), length)
    for demand in job.demands:
        for parts in range(2, MOST_PARTS + 1):
            if all(demand.key != left.key for left, _ in best.left_out):
                break
            if not can_split(demand, parts):
                continue
            tried = replace(job, demands=split_demands(job, {demand.key: parts}))
            lain = _lain(tried, _bounded(tried, length), length, ((demand.key, parts),))
            if lain.missing_area < best.missing_area - 1.0:
                best, job = lain, tried
                break
    # The search for a length sometimes finds room for more than filling a piece of cloth does.
    fewer = _fewer_pieces(whole, best.missing_area - 1.0) if best.left_out else None
    return best if fewer is None else _lain(whole, fewer, length)


def _lain(
    job: FabricJob,
    found: tuple[FabricJob, FoldResult] | None,
    length: float,
    joined: tuple[tuple[str, int], ...] = (),
) -> Lain:
    """Assemble what lies, and list what is left out."""
    if found is None:
        return Lain(None, length, tuple((d, d.wanted.total) for d in job.demands))
    part, result = found
    laid = {demand.key: demand.wanted.total for demand in part.demands}
    left_out = tuple(
        (demand, missing)
        for demand in job.demands
        if (missing := demand.wanted.total - laid.get(demand.key, 0)) > 0
    )
    # Nothing is cut like this, so that no leftovers are to be kept of it.
    entry = replace(assemble(part, result, ()), leftovers=())
    joined = joined or tuple((key, parts) for key, parts, _ in result.joined)
    return Lain(entry, length, left_out, joined)


def washed_length(job: FabricJob) -> float:
    """Length (mm) to lay on: washed, without the margin and what squaring off takes."""
    kept = job.fabric.kept_along
    return max(0.0, ((job.fabric.on_hand or 0.0) - job.margin) * kept - job.ends)


def _bounded(job: FabricJob, length: float) -> tuple[FabricJob, FoldResult] | None:
    """Fill the rectangle of cloth, flaws taken out, by area."""
    fabric = job.fabric
    low, high = fabric.selvage_cut, fabric.width_cut - fabric.selvage_cut
    if length <= 0.0:
        return None
    cloth = LeftoverRecord(
        tag=f"the cloth on hand of '{fabric.name}'",
        fabric=fabric,
        region=Region(
            outline=((0.0, low), (length, low), (length, high), (0.0, high)),
            holes=tuple(flaw for flaw in job.laid_cloth.flaws if min(x for x, _ in flaw) < length),
            area=length * (high - low),
            rectangle=(0.0, low, length, high),
        ),
        note="",
        added="",
    )
    lay = lay_on(cloth, job.demands, fabric, job.gap, Effort.QUICK, job.seed)
    if not lay.copies:
        return None
    part = replace(job, demands=_laid(job.demands, lay.copies))
    spread = make_spread(Fold.OPEN, fabric.width_cut, fabric.selvage_cut, faces=fabric.faces)
    sections = (section_of(spread, part.rule),)
    built = part.built(part.demands, sections, tuple(0 for _ in part.demands))
    if isinstance(built, Misfit):
        return None
    variant = Variant(Fold.OPEN, sections, built, (), part.demands)
    result = variant.laid(part, _as_layout(lay.copies, built))
    return part, result


def _laid(demands: tuple[Demand, ...], copies: tuple[LeftoverCopy, ...]) -> tuple[Demand, ...]:
    """The demands of what lies, wanted as often as it does."""
    counts = Counter((copy.key, copy.hand) for copy in copies)
    laid = (
        replace(
            demand,
            wanted=Wanted(
                drawn=counts[demand.key, Hand.DRAWN],
                other=counts[demand.key, Hand.OTHER],
                either=counts[demand.key, Hand.EITHER],
            ),
        )
        for demand in demands
    )
    return tuple(demand for demand in laid if demand.wanted.total)


def _as_layout(copies: tuple[LeftoverCopy, ...], built: BuiltProblem) -> Layout:
    """The same places in the single-layer problem of what lies."""
    placements = []
    for copy in copies:
        index = _item(copy, built)
        (x1, y1), (x2, y2) = copy.grain
        angle = math.degrees(math.atan2(y2 - y1, x2 - x1))
        slot, pose = min(
            (
                (k, pose)
                for k, slot in enumerate(built.problem.items[index].slots)
                for pose in slot.poses
            ),
            key=lambda pair: _off(pair[1], Pose(angle, copy.face_down)),
        )
        # The tail of the arrow is the origin of the item frame.
        placements.append(Placement(index, slot, pose, x1, y1))
    extent = max(x for copy in copies for x, _ in copy.outline)
    return Layout(tuple(placements), (extent,))


def _item(copy: LeftoverCopy, built: BuiltProblem) -> int:
    """The item of a copy: a piece whose hands matter has one for each."""
    mine = [k for k, demand in enumerate(built.origins) if demand.key == copy.key]
    return mine[-1] if copy.hand is Hand.OTHER else mine[0]


def _off(pose: Pose, wanted: Pose) -> float:
    """How far a pose is from another, degrees; a flip is farther than any turn."""
    turn = abs((pose.angle_deg - wanted.angle_deg + 180.0) % 360.0 - 180.0)
    return turn + (1000.0 if pose.flip != wanted.flip else 0.0)


def _area(demands: tuple[Demand, ...]) -> float:
    """Area of all copies that are wanted, mm2."""
    return sum(demand.area * demand.wanted.total for demand in demands)


def _fewer_pieces(job: FabricJob, less: float) -> tuple[FabricJob, FoldResult] | None:
    """Leave out one piece or the smallest together, the least by area first, till the rest fits."""
    by_size = sorted(job.demands, key=lambda demand: demand.area * demand.wanted.total)
    tries: list[tuple[Demand, ...]] = [(demand,) for demand in by_size]
    tries += [tuple(by_size[:count]) for count in range(2, len(by_size))]
    tries.sort(key=_area)
    for left_out in tries:
        keys = {demand.key for demand in left_out}
        rest = replace(job, demands=tuple(d for d in job.demands if d.key not in keys))
        if not rest.demands or _area(left_out) >= less:
            continue
        found = screen(rest, Fold.OPEN, Effort.QUICK, Effort.GLANCE)
        folded = screen(rest, Fold.LENGTHWISE, Effort.QUICK, Effort.GLANCE)
        if isinstance(found, FoldResult) and isinstance(folded, FoldResult):
            found = open_from(rest, found, folded)
        if isinstance(found, FoldResult) and fits(rest, found):
            return rest, found
    return None
