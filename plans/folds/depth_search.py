"""The depth of a fold as part of the search: more depths at a glance, then those beside the best.

What is spent on it is counted in units placed, so that a result can be repeated and many pieces
take no longer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from fabrics.spread import Fold
from layout.fit import NoLayoutError
from layout.problem import Section
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult, Variant
from plans.folds.variants import variants_of
from plans.problem.demand import Demand
from plans.problem.problem_builder import Pairing
from plans.problem.spread_options import SpreadOption, further_options, options_beside

MOST_UNITS = 600
"""Units placed for other depths, over all glances (two orders each)."""

STEPS_MM = (40.0, 20.0, 10.0, 5.0)
"""How far from the best depth others are tried, one step after another."""

Laid = Callable[[Variant], FoldResult]


def other_depths(
    job: FabricJob, fold: Fold, found: list[FoldResult], laid: Laid
) -> Iterator[FoldResult]:
    """Results of other depths than those found already, as they come.

    Parameters
    ----------
    job, fold : FabricJob, Fold
    found : list of FoldResult
        What the depths that are tried first have given.
    laid : callable
        Lays a variant at a glance.
    """
    if not found or fold.sectioned:
        return
    search = _DepthSearch(job, min(found, key=lambda one: one.rank), laid)
    if job.makes == 1:
        # Several makes begin with the best that one make gave.
        options = further_options(fold, job.fabric, job.demands, job.rule, job.gap)
        yield from search.looked_at(options)
    for step in STEPS_MM:
        better = True
        while better:
            before = search.best
            spread = before.sections[0].spread
            yield from search.looked_at(options_beside(spread, job.fabric, job.rule, step))
            better = search.best is not before


class _DepthSearch:
    """The best so far, and what is left to spend."""

    def __init__(self, job: FabricJob, best: FoldResult, laid: Laid) -> None:
        self.job = job
        self.best = best
        self.laid = laid
        # One make by itself has had its search.
        self.left = MOST_UNITS // job.makes
        self._seen: set[tuple[float, float, tuple[int, ...]]] = set()

    def looked_at(self, options: Iterable[SpreadOption]) -> Iterator[FoldResult]:
        """Lay spreads with the usual pairs, and with as many as the best has."""
        for option in options:
            for variant in self._offered(option):
                units = 2 * variant.units
                spread = variant.sections[0].spread
                key = (spread.d1, spread.d2, variant.built.pairing)
                if units > self.left or key in self._seen:
                    continue
                self._seen.add(key)
                self.left -= units
                try:
                    result = self.laid(variant)
                except NoLayoutError:
                    continue
                if result.rank < self.best.rank:
                    self.best = result
                yield result

    def _offered(self, option: SpreadOption) -> list[Variant]:
        """Variants of a spread: the usual, one with as many pairs as the best, one evened out."""
        offered: list[Variant] = []
        alike = self.best.built.pairing
        evened: Pairing | None = None

        def is_wanted(
            demands: tuple[Demand, ...], sections: tuple[Section, ...], pairing: Pairing
        ) -> bool:
            return not offered or pairing in (alike, evened)

        for variant in variants_of(self.job, (option,), is_wanted):
            if isinstance(variant, Variant):
                offered.append(variant)
                if len(offered) == 1:
                    evened = self._evened(variant)
        alikes = [v for v in offered if v.built.pairing == alike]
        eveneds = [v for v in offered if v.built.pairing == evened]
        return [*offered[:1], *alikes[:1], *eveneds[:1]]

    def _evened(self, usual: Variant) -> Pairing | None:
        """How pairs are shared out at another depth, where sharing them out was best."""
        mine = self.job.pairings(self.best.demands, self.best.sections)[0]
        if self.best.built.pairing in (mine, (0,) * len(mine)):
            return None
        return self.job.evened(usual.demands, usual.sections, usual.built.pairing)
