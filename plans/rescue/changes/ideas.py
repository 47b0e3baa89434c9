"""Which changes may be tried for a garment and cloth that is too short, the least first."""

from __future__ import annotations

from dataclasses import dataclass

from fabrics.spread import Fold
from pieces.lengths import INCH_MM, System
from pieces.piece import Turns
from plans.folds.job import FabricJob
from plans.folds.on_hand import Shortage
from plans.problem.demand import Demand, demands_for
from plans.problem.joins import can_split
from plans.rescue.changes.change import Change, Intrusion
from plans.rescue.changes.fewer import Fewer, fewer
from plans.rescue.changes.laying import (
    SEARCHES,
    AgainstNap,
    LongerSearch,
    NoMargin,
    OtherArrangement,
    OtherFold,
    SmallerEnds,
    SmallerGap,
)
from plans.rescue.changes.recutting import (
    CentreSeam,
    FromOtherCloth,
    InParts,
    JoinedInTwo,
)
from plans.rescue.changes.reshaping import strip_size
from plans.rescue.changes.shortening import shortenings

ALLOWANCE_MM = {System.METRIC: 10.0, System.IMPERIAL: INCH_MM / 2.0}
"""Allowance of joins and seams that nobody stated: 1 cm, or 1/2 in."""

LEAST_ENDS_MM = 10.0
"""Cut ends that are straightened along a thread cost about this together (no source)."""

NEAR_MM = {System.METRIC: 1.0, System.IMPERIAL: INCH_MM / 16.0}
"""The smallest gap that can still be seen between two pieces."""

SEEDS = 2
"""Other arrangements that are tried."""

MOST_PARTS = 4
"""Parts of a strip that may be joined anyway."""

SMALL_SHARE = 0.15
"""All copies of a piece that may come from another cloth are at most this share of the area."""

OFTEN_OTHER = (
    "facing", "lining", "pocket", "band", "waistband", "binding", "collar", "cuff", "yoke", "tie",
    "strap", "belt", "tab", "flap", "gusset", "ruffle", "frill", "godet",
)  # fmt: skip
"""What is often cut from another cloth (common practice, no source), by a word of its name."""

OFTEN_SHARE = 0.5
"""The same share for those."""


@dataclass(frozen=True)
class Idea:
    """Changes made together. Of the last the least step that makes it fit is looked for.

    `fixed` are made whole; `steps` run from the least to the greatest change of one kind.
    """

    steps: tuple[Change, ...]
    fixed: tuple[Change, ...] = ()

    @property
    def intrusion(self) -> Intrusion:
        """The greatest of its changes'."""
        return max(change.intrusion for change in (*self.fixed, self.steps[-1]))

    def changes(self, step: int) -> tuple[Change, ...]:
        """All changes, with one step of the last."""
        return (*self.fixed, self.steps[step])


def ideas_for(shortage: Shortage) -> list[Idea]:
    """List single changes, what leaves the garment as it is first; each once."""
    job, order = shortage.job, shortage.order
    ideas = [Idea((change,)) for change in _other_folds(shortage)]
    if order.effort == "quick":
        ideas.append(Idea((LongerSearch(),)))
    ideas += [Idea((OtherArrangement(job.seed + k),)) for k in range(1, SEEDS + 1)]
    near = NEAR_MM[job.system]
    gaps = [gap for gap in (near, 0.0) if gap < job.gap - 1e-6]
    if gaps:
        ideas.append(Idea(tuple(SmallerGap(gap, job.gap) for gap in gaps)))
    if job.ends > LEAST_ENDS_MM:
        ideas.append(Idea((SmallerEnds(LEAST_ENDS_MM, job.ends),)))
    if job.margin > 0.0:
        ideas.append(Idea((NoMargin(job.margin),)))
    if order.nap_optional and job.fabric.one_way:
        crosswise = tuple(f for f in Fold if not f.keeps_heads) if order.fold == "auto" else ()
        ideas.append(Idea((AgainstNap(crosswise),)))
    ideas += [Idea((change,)) for demand in job.demands for change in _in_parts(demand)]
    ideas += [Idea((change,)) for demand in job.demands for change in _joined(job, demand)]
    ideas += [Idea((change,)) for change in _from_other_cloth(job)]
    allowance = ALLOWANCE_MM[job.system]
    ideas += [Idea((CentreSeam(d.key, allowance),)) for d in job.demands if d.half is not None]
    ideas += [Idea(steps) for steps in shortenings(job, order.garment.drafts, job.system)]
    if _all_wanted(shortage):
        ideas += [Idea(steps) for steps in fewer(job, order)]
    return ideas


def pairs_of(saving: list[Idea], all_ideas: list[Idea]) -> list[Idea]:
    """Combine ideas that save something with every other one, the best first.

    Parameters
    ----------
    saving : list of Idea
        Those worth combining, the best first.
    all_ideas : list of Idea
        In order of what they save: one that saves nothing alone may be what is wanted beside one
        that does, as where a long strip is all that hides how long the panels are.
    """
    ranks = sorted(
        (first + second, first, second) for first in range(len(saving))
         for second in range(len(all_ideas))
    )  # fmt: skip
    pairs: list[Idea] = []
    for _, first, second in ranks:
        one, other = saving[first], all_ideas[second]
        if one is not other and _go_together(one, other):
            pair = _combined(one, other)
            if pair not in pairs:
                pairs.append(pair)
    return pairs


def _combined(one: Idea, other: Idea) -> Idea:
    """Make the lesser change whole, and look for the least step of the greater."""
    first, last = sorted(
        (one, other),
        key=lambda idea: (len(idea.steps) > 1, idea.intrusion, idea.steps[-1].words(System.METRIC)),
    )
    return Idea(last.steps, (*first.changes(-1), *last.fixed))


def _go_together(one: Idea, other: Idea) -> bool:
    a, b = one.steps[-1], other.steps[-1]
    if isinstance(a, SEARCHES) or isinstance(b, SEARCHES):
        return False
    if not a.touches and not b.touches:
        return type(a) is not type(b)
    # Fewer garments are counted anew from the draft, without what was changed before.
    if isinstance(a, Fewer) or isinstance(b, Fewer):
        return False
    return not a.touches & b.touches


def _other_folds(shortage: Shortage) -> list[OtherFold]:
    """Folds that were not asked for; none where all were tried."""
    if shortage.order.fold == "auto":
        return []
    asked = Fold.named(shortage.order.fold)
    folds = sorted(Fold, key=lambda fold: fold.rank)
    return [OtherFold(fold, asked) for fold in folds if fold is not asked]


def _joined(job: FabricJob, demand: Demand) -> list[JoinedInTwo]:
    """A strip in two, unless the planner may join it anyway."""
    if demand.piece.joining is not None or strip_size(demand) is None:
        return []
    by_size = demand.piece.strip is not None
    on_grain = by_size and demand.piece.turns is Turns.BIAS
    return [JoinedInTwo(demand.key, ALLOWANCE_MM[job.system], on_grain, by_size)]


def _from_other_cloth(job: FabricJob) -> list[FromOtherCloth]:
    """Pieces small enough to come from elsewhere, the smallest first."""
    areas = {demand.key: demand.area * demand.wanted.total for demand in job.demands}
    total = sum(areas.values())
    small = sorted(
        (d.key for d in job.demands if areas[d.key] <= _most_share(d) * total),
        key=lambda key: areas[key],
    )
    return [FromOtherCloth(key) for key in small] if len(areas) > 1 else []


def _most_share(demand: Demand) -> float:
    own = demand.key.removeprefix(demand.piece.owner)
    words = {word.strip("(),':").rstrip("s") for word in own.lower().split()}
    return OFTEN_SHARE if words & set(OFTEN_OTHER) else SMALL_SHARE


def _in_parts(demand: Demand) -> tuple[InParts, ...]:
    """A strip that the garment file allows to be joined, in two parts and more."""
    if demand.piece.joining is None:
        return ()
    parts = [n for n in range(2, MOST_PARTS + 1) if can_split(demand, n)]
    return tuple(InParts(demand.key, n) for n in parts)


def _all_wanted(shortage: Shortage) -> bool:
    """Whether the job asks for whole garments: nothing of them lies on leftovers."""
    job = shortage.job
    full = demands_for(shortage.order.garment.pieces, job.roles, job.fabric, job.makes)
    return [(d.key, d.wanted) for d in full] == [(d.key, d.wanted) for d in job.demands]
