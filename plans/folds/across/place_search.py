"""Searching on where cloth with flaws is folded across: the fold's place is part of the search.

First the pieces are laid as short as they go on sound cloth: no place of the fold is nearer than
that needs, and no layout shorter. Between it and the best place known the fold is moved, and the
pieces make room for the flaws as they then lie. What is best is searched on with the fold where it
is. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import count

from layout.effort import Effort
from layout.layout import EndedBy, Layout
from layout.search.within.by_orders import ByOrders
from layout.search.within.tries import Tries
from layout.stop import Stop
from plans.folds.across.fold_place import (
    clear_of_flaws,
    folded_at,
    least_place,
    nearest_fold,
    on_tape,
)
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult, Variant

SOUND_SHARE, PLACES_SHARE = 0.3, 0.35
"""Shares of the work for the sound cloth and for places of the fold; the rest is for the best."""

PLACES_ORDERS = 2
"""Where nothing is evaluated, as at quick effort, so many times as many units are placed for other
places of the fold as for the one that is known."""

CLOSE_MM = 2.0
"""Places between two that lie no farther apart are not looked for."""

STRIDES = 12
"""Into so many strides the way from the nearest place to the farthest is divided."""

LESS_MM = 0.2
"""A layout must be shorter by this to be worth a try."""

Solved = Callable[[Variant, Effort, Layout], Layout]
"""Searches on in one variant from a layout of it."""


def has_place(variant: Variant) -> bool:
    """Whether the fold of a variant lies in a place that may be moved."""
    return any(s.fold_at for s in variant.sections) and not variant.built.problem.kept


def searched_with_place(
    job: FabricJob, result: FoldResult, effort: Effort, solved: Solved
) -> FoldResult:
    """Search on from a result of which the fold has a place; never returns a longer one.

    Parameters
    ----------
    job, result : FabricJob, FoldResult
    effort : Effort
        Its evaluations are those of each member.
    solved : callable
    """
    search = _PlaceSearch(job, result, effort, solved)
    try:
        search.run()
    except KeyboardInterrupt:
        search.interrupted = True
    best = search.best
    if search.interrupted:
        return replace(best, layout=best.layout.with_ending(EndedBy.INTERRUPT))
    return best


class _PlaceSearch:
    def __init__(self, job: FabricJob, result: FoldResult, effort: Effort, solved: Solved) -> None:
        self.job = job
        self.best = result
        self.effort = effort
        self.solved = solved
        self.interrupted = False

    def run(self) -> None:
        """Look for the least length on sound cloth, for places near it, and on in the best."""
        by_orders = not self.effort.evaluations
        if by_orders and self._search_on(self.effort):
            return
        known = self.best
        sound = folded_at(self.job, self.best.variant, 0.0)
        layout = self.solved(sound, self._for_sound_cloth, self.best.layout)
        if self._ended(layout):
            return
        least = least_place(sound, layout)
        # No layout is longer than what is known: with less work it may be as long as that.
        self._offer(clear_of_flaws(self.job, sound, layout, least, self._most(layout)))
        self._move_fold(sound, layout, least)
        if not by_orders:
            self._search_on(self._part(1.0 - SOUND_SHARE - PLACES_SHARE))
        elif self.best is not known:
            # It began with another layout, and how that ended says nothing of this one.
            layout = self.best.layout.with_ending(EndedBy.EFFORT)
            self.best = replace(self.best, layout=layout)

    def _search_on(self, effort: Effort) -> bool:
        """Search on in the best with its fold where it is; return whether the user interrupted."""
        layout = self.solved(self.best.variant, effort, self.best.layout)
        ended = layout.ended_by
        self._offer(nearest_fold(self.job, self.best.variant.laid(self.job, layout)))
        self.best = replace(self.best, layout=self.best.layout.with_ending(ended))
        return self._ended(layout)

    @property
    def _for_sound_cloth(self) -> Effort:
        """The work for the least length on sound cloth."""
        return self._part(SOUND_SHARE) if self.effort.evaluations else self.effort

    def _part(self, share: float) -> Effort:
        return replace(self.effort, evaluations=int(share * self.effort.evaluations))

    def _ended(self, layout: Layout) -> bool:
        self.interrupted = layout.ended_by is EndedBy.INTERRUPT
        return self.interrupted

    def _offer(self, result: FoldResult | None) -> bool:
        if result is None or result.length >= self.best.length:
            return False
        self.best = result
        return True

    def _most(self, sound: Layout) -> float:
        """Beyond this place of the fold nothing shorter than the best is possible."""
        return self.best.length - sound.extents[0] - LESS_MM

    def _around(self) -> Tries:
        """What lays the pieces around flaws."""
        late = Stop().late
        if not self.effort.evaluations:
            return ByOrders(PLACES_ORDERS * self.effort.placements, self.job.seed, late)
        # It brings the compiled kernels, which only a search needs.
        from layout.search.within.around import Around

        return Around(int(PLACES_SHARE * self.effort.evaluations), self.job.seed, late)

    def _move_fold(self, sound: Variant, start: Layout, least: float) -> None:
        """Move the fold between the least place and the best, and lay the pieces around flaws."""
        around = self._around()
        begun = (layout for _ in count() for layout in (start, self.best.layout))
        for place in self._places(around, start, least):
            variant = folded_at(self.job, sound, place)
            length = min(place - self._apart(sound), self.best.length - place - LESS_MM)
            found = around.fitted(variant.built.problem, next(begun), length)
            if found is not None and variant.is_sound(found):
                self._offer(nearest_fold(self.job, variant.laid(self.job, found)))

    def _apart(self, variant: Variant) -> float:
        """How much longer the lay is than what lies on it."""
        return variant.sections[0].spread.lay_length(0.0, self.job.gap)

    def _places(self, around: Tries, start: Layout, least: float) -> Iterator[float]:
        """Places of the fold that might give a shorter layout, until the work is spent.

        From the nearest on in strides until the pieces fit, then between that and what failed, then
        anywhere.
        """
        before = self.best
        stride = max(CLOSE_MM, (self._most(start) - least) / STRIDES)
        failed = place = self._on_tape(least)
        while self.best is before and place < self._most(start) and not around.over:
            yield place
            if self.best is before:
                failed, place = place, self._on_tape(place + stride)
        while not around.over:
            before = self.best
            top = min(self._most(start), before.sections[0].fold_at)
            place = self._on_tape(0.5 * (failed + top))
            if place - failed <= CLOSE_MM or place >= top:
                break
            yield place
            if self.best is before:
                failed = place
        while not around.over and self._most(start) > least:
            place = self._on_tape(float(around.rng.uniform(least, self._most(start))))
            if place < self._most(start):
                yield place
            else:
                around.skip()

    def _on_tape(self, least: float) -> float:
        return on_tape(self.job, self.best.variant, least)
