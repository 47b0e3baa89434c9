"""What comes of laying a job in one kind of fold: a variant, its layout, or why it cannot be."""

from __future__ import annotations

from dataclasses import dataclass

from fabrics.spread import Fold
from layout.layout import Layout, cloth_length
from layout.problem import Section
from plans.folds.job import FabricJob
from plans.folds.traced import tracing
from plans.problem.demand import Demand
from plans.problem.problem_builder import BuiltProblem

ONE_FOLD_DID = "in what was tried, one fold throughout does as well as two combined"
"""Why a sectioned spread of which only one section is used is not counted.

That is found, never proved: a bound holds for the depths of one variant, not for all there are.
"""

ONE_FOLD_DID_SO_FAR = (
    "not every sharing-out of so many pieces was tried; in what was, one fold throughout does as "
    "well as two combined"
)
"""The same where the search was curtailed."""

NEEDLESS = (ONE_FOLD_DID, ONE_FOLD_DID_SO_FAR)
"""What is said of folds that were laid, and that are merely no better than a simpler one."""

CURTAILED = "not every sharing-out of so many pieces was tried"
"""What is said of a sectioned spread whose search was curtailed."""


@dataclass(frozen=True)
class Variant:
    """A kind of fold made definite: its depths, what is cut two at a time, which strips in parts.

    `joined` tells, by piece name, into how many parts a strip is cut and what that adds to its
    length (mm); `demands` are those of the parts.
    """

    fold: Fold
    sections: tuple[Section, ...]
    built: BuiltProblem
    joined: tuple[tuple[str, int, float], ...]
    demands: tuple[Demand, ...]

    @property
    def units(self) -> int:
        """How many placements it has."""
        return sum(item.demand for item in self.built.problem.items)

    def laid(self, job: FabricJob, layout: Layout) -> FoldResult:
        """The result of a layout of this variant."""
        length = cloth_length(self.built.problem, layout.extents)
        return FoldResult(self, layout, length, job.bought(length))

    def laid_if_sound(self, job: FabricJob, layout: Layout) -> FoldResult | None:
        """The result of a layout of this variant; None if the validator refuses it."""
        return self.laid(job, layout) if self.is_sound(layout) else None

    def is_sound(self, layout: Layout) -> bool:
        """Whether the validator finds nothing wrong with a layout."""
        from layout.validator import validate

        return not validate(self.built.problem, layout)


@dataclass(frozen=True)
class FoldResult:
    """The best layout found in one kind of fold.

    `length` is the exact cloth length, the shortest found, and `bought` the purchase (mm); the
    layout itself may be stretched within what is bought anyway (`laid`). `rival` is the second-best
    variant of the same fold (other depths, pairs or joins), if a deeper search should try that,
    too.
    """

    variant: Variant
    layout: Layout
    length: float
    bought: float
    rival: FoldResult | None = None
    spared: float = 0.0
    """Outline (mm) that is traced less than for the shortest layout, on the same purchase."""

    @property
    def fold(self) -> Fold:
        """Kind of fold."""
        return self.variant.fold

    @property
    def sections(self) -> tuple[Section, ...]:
        """Sections with their depths."""
        return self.variant.sections

    @property
    def built(self) -> BuiltProblem:
        """The layout problem and how it came about."""
        return self.variant.built

    @property
    def joined(self) -> tuple[tuple[str, int, float], ...]:
        """Strips in parts."""
        return self.variant.joined

    @property
    def demands(self) -> tuple[Demand, ...]:
        """What is laid, parts of strips by themselves."""
        return self.variant.demands

    @property
    def is_sound(self) -> bool:
        """Whether the validator finds nothing wrong."""
        return self.variant.is_sound(self.layout)

    @property
    def combines(self) -> bool:
        """Whether more than one section carries anything."""
        return sum(extent > 0.0 for extent in self.layout.extents) > 1

    @property
    def needless(self) -> str:
        """Why its spread is not counted, if one fold throughout is all that it uses."""
        if not self.fold.sectioned or self.combines:
            return ""
        return ONE_FOLD_DID_SO_FAR if self.layout.curtailed else ONE_FOLD_DID

    @property
    def remark(self) -> str:
        """What is owed to whoever reads of it: that work was left out to keep the time."""
        return CURTAILED if self.layout.curtailed else ""

    @property
    def laid(self) -> float:
        """Cloth length (mm) of the layout as it lies, without its ends."""
        return cloth_length(self.built.problem, self.layout.extents)

    @property
    def preferred(self) -> tuple[float, int, float, float]:
        """What is taken in one fold, the least first: as `rank`, with tracing before length."""
        bought, joins, length = self.rank
        return bought, joins, tracing(self.built.problem, self.layout), length

    @property
    def rank(self) -> tuple[float, int, float]:
        """What is better, the least first: less bought, then fewer joins, then less length."""
        return self.bought, sum(parts for _, parts, _ in self.joined), self.length


@dataclass(frozen=True)
class FoldFailure:
    """Why a kind of fold cannot be; `contradiction` if the cloth or the order forbids it."""

    fold: Fold
    reason: str
    contradiction: bool


Outcome = FoldResult | FoldFailure
