"""Laying pieces on a strip: orders first, moved together, then the separation search."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from layout.bounds.best import best_bound
from layout.effort import work_of
from layout.fit import NoLayoutError, Why, left_over, require_room
from layout.layout import EndedBy, Layout, cloth_length, kept_extents, section_part
from layout.problem import Span
from layout.search.compaction.compact import ROUNDING_MM, compacted
from layout.search.construct import (
    MOST_CHANGES,
    START_ORDERS,
    Built,
    improve_order,
    make_constructor,
)
from layout.search.model import Model, strip_model
from layout.search.progress import Progress
from layout.search.repeated import part_of, repeated
from layout.search.sections import Assignment, improve_assignment
from layout.search.state import State, placements, state_from
from layout.search.task import SolveTask
from layout.search.within.behind import has_behind, layouts_behind, with_section
from layout.stop import Stop
from layout.strip_problem import StripProblem

PART_SHARE = 0.4
"""Share of the work that goes into a part of many copies, before all of them are laid."""

_Part = tuple[int, tuple[tuple[int, int], ...]]
"""A section, and what goes into it: (item, count)."""

SHORTER_BY = 1.15
"""How many times too long a first sharing-out among sections may be: others are shorter."""

OUTGROWN = 1000.0
"""How many mm of cloth a mm costs that pieces reach beyond the place of a fold across."""


def solve_strip(problem: StripProblem, task: SolveTask) -> Layout:
    """Lay everything on the least length that is found.

    Raises
    ------
    NoLayoutError
        If an item has no room in any of its slots.
    KeyboardInterrupt
        If it is interrupted before there is any layout.
    """
    bound = 0.0 if task.effort.rough else best_bound(problem).length
    bound = max(bound, cloth_length(problem, kept_extents(problem)))
    stop = Stop(task.target or 0.0, bound, task.time_limit)
    return _StripSearch(problem, task, stop).run()


class _StripSearch:
    """One solve on a strip."""

    def __init__(self, problem: StripProblem, task: SolveTask, stop: Stop) -> None:
        self.problem = problem
        self.task = task
        self.effort = task.effort
        self.seed = task.seed
        self.stop = stop
        self.best = task.start
        self.ended = EndedBy.EFFORT
        self._curtailed = False
        self._shared_out = 0.0
        self._kept: dict[_Part, tuple[Model, Built]] = {}
        self._outgrown: dict[_Part, float] = {}

    def run(self) -> Layout:
        """Search and return the best layout with the reason for the end."""
        require_room(self.problem)
        try:
            self._construct()
            if not self.effort.rough:
                self._compact()
            if self.ended is EndedBy.EFFORT and self.effort.evaluations:
                self._repeat()
            if self.ended is EndedBy.EFFORT and self.effort.evaluations:
                self._separate()
        except KeyboardInterrupt:
            if self.best is None:
                raise
            self.ended = EndedBy.INTERRUPT
        if self.best is None:
            raise NoLayoutError(Why.NOTHING_FOUND)
        if self.problem.beyond_fold(self.best.extents) > 0.0:
            raise self._beyond_fold(self.best)
        if self.ended is EndedBy.EFFORT and self.stop.late():
            self.ended = self.stop.why_late()
        return replace(self.best, ended_by=self.ended, curtailed=self._curtailed)

    def _beyond_fold(self, best: Layout) -> NoLayoutError:
        section, span = next(
            (section, span)
            for section, span in zip(
                self.problem.sections, self.problem.spans(best.extents), strict=True
            )
            if 0.0 < section.fold_at < span.lay_length
        )
        return NoLayoutError(Why.BEYOND_FOLD, "", section.name, span.lay_length, section.fold_at)

    def offer(self, layout: Layout, phase: str) -> bool:
        """Keep a layout if it is better; return whether it is good enough to end with."""
        if self.best is not None and self._cost(layout) >= self._cost(self.best):
            return False
        self.best = layout
        beyond, length = self._cost(layout)
        if beyond:
            return False
        self.task.report(Progress(length, phase, layout))
        reached = self.stop.reached(length)
        if reached is not None:
            self.ended = reached
        return reached is not None

    def _cost(self, layout: Layout) -> tuple[float, float]:
        """What is better, the least first: flaws lie where they are thought to lie, then length."""
        extents = layout.extents
        return self.problem.beyond_fold(extents), cloth_length(self.problem, extents)

    def _extents(self, results: list[tuple[Model, Built] | None]) -> tuple[float, ...]:
        """Extents of the sections that were laid, and of what is kept in others."""
        kept = kept_extents(self.problem)
        return tuple(
            kept[section] if result is None else result[1].extent
            for section, result in enumerate(results)
        )

    def _construct(self) -> None:
        sections = len(self.problem.sections)
        if self.best is not None:
            reached = self.stop.reached(cloth_length(self.problem, self.best.extents))
            if reached is not None:
                self.ended = reached
                return
        assignment = improve_assignment(
            self.problem, self._length_of, self._no_more_tries, SHORTER_BY * self.task.longest
        )
        if assignment is None:
            raise NoLayoutError(Why.OUTDONE)
        share = max(1, self._decodes() // sections)
        results: list[tuple[Model, Built] | None] = []
        for section, counts in enumerate(assignment):
            if not counts:
                results.append(None)
                continue
            longest = self._longest(section, counts, results, self.task.longest)
            result = self._build(section, counts, share, results, assignment, longest)
            if result is None:
                raise NoLayoutError(Why.OUTDONE)
            if not result[1].state.complete:
                if self.best is None:
                    raise self._no_place(section, *result)
                return
            results.append(result)
        self.offer(self._layout(results), "order")

    def _no_place(self, section: int, model: Model, built: Built) -> NoLayoutError:
        unit = int(np.flatnonzero(built.state.choice < 0)[0])
        item = self.problem.items[model.items[model.units[unit]]]
        return left_over(self.problem, item, section)

    def _decodes(self) -> int:
        units = max(1, sum(item.demand for item in self.problem.items))
        usual = max(self.effort.least_orders, self.effort.placements // units)
        if self.effort.evaluations or len(self.problem.sections) > 1:
            # Something follows that shortens the lay, or each section has but a share of them.
            return usual
        fewer = max(self.effort.least_orders, int(self.effort.placements / work_of(units)))
        return max(min(START_ORDERS, usual), fewer)

    def _length_of(self, assignment: Assignment, longest: float) -> float:
        """Cloth length of an assignment; infinite if it is more than `longest`."""
        self._shared_out += work_of(sum(count for counts in assignment for _, count in counts))
        results: list[tuple[Model, Built] | None] = []
        for section, counts in enumerate(assignment):
            if not counts:
                results.append(None)
                continue
            most = self._longest(section, counts, results, longest)
            result = self._build(section, counts, 2, results, assignment, most)
            if result is None or not result[1].state.complete:
                return math.inf
            results.append(result)
        extents = self._extents(results)
        return cloth_length(self.problem, extents) + OUTGROWN * self.problem.beyond_fold(extents)

    def _longest(
        self,
        section: int,
        counts: tuple[tuple[int, int], ...],
        before: list[tuple[Model, Built] | None],
        longest: float,
    ) -> float:
        """The greatest extent of a section with which all fits so much cloth, if anything does."""
        if self.problem.flaws or not math.isfinite(longest):
            # Where cloth has flaws, a section that is longer now may be shorter in another place.
            return math.inf
        kept = kept_extents(self.problem)
        extents = (*self._extents(before), 0.0, *kept[section + 1 :])
        spare = longest - cloth_length(self.problem, extents) + ROUNDING_MM
        return spare / (2.0 if self.problem.sections[section].spread.doubled else 1.0)

    def _no_more_tries(self) -> bool:
        """Whether trying items in other sections must end."""
        most = self.effort.shared_out
        if most and self._shared_out >= most:
            self._curtailed = True
        return self._curtailed or self.stop.late()

    def _build(
        self,
        section: int,
        counts: tuple[tuple[int, int], ...],
        decodes: int,
        before: list[tuple[Model, Built] | None],
        assignment: Assignment,
        longest: float,
    ) -> tuple[Model, Built] | None:
        """Lay what goes into a section; None if it takes more than the `longest` extent."""
        key = (section, counts)
        if decodes <= 2 and not self.problem.flaws:
            if key in self._kept:
                return self._kept[key]
            if longest <= self._outgrown.get(key, -math.inf):
                return None
        span = self._span(section, before, assignment) if self.problem.flaws else None
        model = strip_model(self.problem, section, dict(counts), span)
        constructor = make_constructor(model)
        rng = np.random.default_rng([self.seed, section])
        only = len(self.problem.sections) == 1

        def better(built: Built) -> bool:
            if not only or not built.state.complete:
                return False
            return self.offer(self._layout([(model, built)]), "order")

        # A glance that knows how long is of use must lay what one without does.
        changes = 0 if self.effort.rough else MOST_CHANGES
        built = improve_order(constructor, decodes, rng, self.stop.late, better, longest, changes)
        if built is None:
            self._outgrown[key] = longest
            return None
        self._kept[key] = (model, built)
        return model, built

    def _span(
        self, section: int, before: list[tuple[Model, Built] | None], assignment: Assignment
    ) -> Span:
        """Where a section will lie, the sections before it being known."""
        kept = kept_extents(self.problem)
        rest = (1.0 if assignment[k] else kept[k] for k in range(section, len(assignment)))
        extents = [*self._extents(before), *rest]
        return self.problem.span_with_place(section, tuple(extents))

    def _layout(self, results: list[tuple[Model, Built] | None]) -> Layout:
        placed = [p for result in results if result for p in placements(result[0], result[1].state)]
        return Layout((*self.problem.kept, *placed), self._extents(results))

    def _separate(self) -> None:
        """Deepen each section by the separation search, from the best layout so far."""
        from layout.search.portfolio import separate_section

        if self.best is None:
            return
        total = len(self.best.placements)
        for section, model, state in self._to_deepen(self.best):
            work = self.effort.evaluations * len(state.x) // total
            found = separate_section(
                model, state, work, self.seed, self.effort.members, self.stop, self.task.executor,
                self._enough(section), self._section_offer(model, section),
            )  # fmt: skip
            self._settle(model, section, found, ROUNDING_MM)
            if self.ended is not EndedBy.EFFORT or self.stop.late():
                return

    def _repeat(self) -> None:
        """Of many copies lay a part, repeat it, and go on from there with the work that is left."""
        part = part_of(self.problem)
        if part is None:
            return
        left = self.stop.remaining()
        task = replace(
            self.task,
            effort=replace(self.effort, evaluations=int(PART_SHARE * self.effort.evaluations)),
            start=None, target=None, longest=math.inf, report=lambda _: None,
            time_limit=None if left is None else PART_SHARE * left,
        )  # fmt: skip
        laid = solve_strip(part.problem, task)
        if self.offer(repeated(self.problem, part, laid), "order"):
            return
        if laid.ended_by is EndedBy.INTERRUPT:
            raise KeyboardInterrupt
        self._compact()
        rest = int((1.0 - PART_SHARE) * self.effort.evaluations)
        self.effort = replace(self.effort, evaluations=rest)

    def _compact(self) -> None:
        """Move the best layout together, one section after another."""
        if self.best is None or self.stop.late():
            return
        for section, model, state in self._to_deepen(self.best):
            moved = compacted(model, state, self.stop.late)
            self._section_offer(model, section)(moved)
            self._settle(model, section, moved, ROUNDING_MM)

    def _to_deepen(self, best: Layout) -> Iterator[tuple[int, Model, State]]:
        """Sections that carry something, the first first: where flaws lie behind it depends on it.

        Where flaws meet pieces that stay where they are only the last, which moves no other.
        """
        used = [k for k, extent in enumerate(best.extents) if extent > 0.0]
        for section in used[-1:] if self.problem.flaws and self.problem.kept else used:
            # Sections before it may have become shorter meanwhile, but none has changed places.
            now = self.best or best
            counts, placed = section_part(self.problem, now, section)
            if not counts:
                continue
            span = self.problem.span_with_place(section, now.extents)
            model = strip_model(self.problem, section, counts, span)
            state = state_from(model, placed)
            if state is not None:
                yield section, model, state

    def _enough(self, section: int) -> float:
        """Extent of a section (mm) at which the whole layout is good enough."""
        if self.best is None:
            return 0.0
        extents = list(self.best.extents)
        spare = cloth_length(self.problem, self.best.extents) - max(
            self.stop.target, self.stop.bound
        )
        placed = self.problem.sections[section]
        both = placed.spread.doubled and not placed.fold_at
        return extents[section] - spare / (2.0 if both else 1.0)

    def _section_offer(self, model: Model, section: int) -> Callable[[State], bool]:
        def offer(state: State) -> bool:
            if self.best is None or self._moves_flaws(section):
                # Whether it is any better is known once what lies behind has found its place.
                return False
            layout = with_section(self.problem, self.best, section, model, state)
            return self.offer(layout, "separation")

        return offer

    def _settle(self, model: Model, section: int, state: State, spare: float = 0.0) -> None:
        """Of layouts of one length take this one, whichever was offered first.

        It may be longer by `spare`, mm.
        """
        if self.best is None:
            return
        if self._moves_flaws(section):
            found = layouts_behind(self.problem, self.best, section, model, state, self._anew)
            layout = min(found, key=self._cost, default=self.best)
            self.offer(layout, "separation")
        else:
            layout = with_section(self.problem, self.best, section, model, state)
        beyond, length = self._cost(self.best)
        if self._cost(layout) <= (beyond, length + spare):
            self.best = layout

    def _moves_flaws(self, section: int) -> bool:
        """Whether flaws come to lie elsewhere under other sections if this one becomes shorter."""
        return self.best is not None and bool(self.problem.flaws) and has_behind(self.best, section)

    def _anew(self, model: Model) -> State | None:
        """The units of a section laid by orders, with a share of the work for orders."""
        share = max(1, self._decodes() // len(self.problem.sections))
        rng = np.random.default_rng([self.seed, len(self.problem.sections)])
        built = improve_order(make_constructor(model), share, rng, self.stop.late, lambda _: False)
        return None if built is None else built.state
