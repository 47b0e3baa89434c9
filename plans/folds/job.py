"""The job of cutting some roles from one fabric: what a search in any fold needs to know."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fabrics.buying import longest_for_same_purchase, purchase
from fabrics.fabric import Fabric
from fabrics.spread import Fold
from layout.problem import Section
from layout.strip_problem import StripProblem
from pieces.lengths import System
from plans.problem.demand import Demand
from plans.problem.problem_builder import (
    BuiltProblem,
    Misfit,
    Pairing,
    build,
    evened_pairs,
    every_place,
    pairings,
)
from plans.problem.repeats import RepeatRule, repeat_rule


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
    more_parts: int = 2
    """Parts tried beyond those that a strip needs to fit at all; each join is work, and cloth."""

    @property
    def rule(self) -> RepeatRule:
        """How the design ties match points to places on this cloth."""
        return repeat_rule(self.fabric, self.demands)

    @property
    def slide(self) -> float:
        """Length that lets the cut end slide along the design to where the user wants it.

        A shop cuts anywhere in the repeat, so it is up to one repeat; 0 where nothing must match.
        """
        rule = self.rule
        return rule.repeat.along if rule.active and rule.repeat is not None else 0.0

    @property
    def laid_cloth(self) -> Fabric:
        """The fabric as a layout sees it, which begins where the raw end was squared off.

        Flaws are measured from the cut end; half of what squaring off takes lies before the layout.
        """
        off = self.ends / 2.0
        flaws = tuple(tuple((x - off, y) for x, y in flaw) for flaw in self.fabric.flaws)
        return replace(self.fabric, flaws=flaws) if flaws else self.fabric

    def for_fold(self, fold: Fold) -> FabricJob:
        """The job as pieces are first laid in a fold: one across takes the cloth for sound.

        Where flaws come to lie on its plies is known only when its fold has a place.
        """
        if not (fold.doubled and self.fabric.flaws):
            return self
        return replace(self, fabric=replace(self.fabric, flaws=()))

    @property
    def beyond(self) -> float:
        """Washed length that is needed beyond the lay: squared-off ends, sliding along a design."""
        return self.ends + self.slide

    def bought(self, length: float) -> float:
        """What is bought (mm) for a cloth length without its ends (mm)."""
        return purchase(length + self.beyond, self.fabric, self.margin).bought

    def same_purchase(self, length: float) -> float:
        """The greatest cloth length (mm, without its ends) that costs no more than this one."""
        bought = self.bought(length)
        return longest_for_same_purchase(bought, self.fabric, self.margin) - self.beyond

    def pairings(
        self, demands: tuple[Demand, ...], sections: tuple[Section, ...]
    ) -> tuple[Pairing, ...]:
        """Pairings worth trying for these demands on these sections."""
        return pairings(demands, sections, self.laid_cloth, self.gap, self.rule)

    def evened(
        self, demands: tuple[Demand, ...], sections: tuple[Section, ...], pairing: Pairing
    ) -> Pairing:
        """Of these pairs as many as leave double and single cloth about as long."""
        return evened_pairs(demands, sections, self.laid_cloth, self.gap, pairing)

    def built(
        self, demands: tuple[Demand, ...], sections: tuple[Section, ...], pairing: Pairing
    ) -> BuiltProblem | Misfit:
        """The layout problem of these demands on these sections, or which of them fits nowhere."""
        return build(demands, sections, self.laid_cloth, self.gap, self.rule, pairing)

    def every_place(self, demands: tuple[Demand, ...], built: BuiltProblem) -> StripProblem:
        """The problem with every place that the spread offers, for a bound on all layouts."""
        return every_place(demands, built, self.fabric, self.rule)
