"""Laying pieces on a strip: orders first, then each section deepened by the separation search."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from layout.bounds import best_bound
from layout.fit import NoLayoutError, Why, left_over, require_room
from layout.layout import EndedBy, Layout, cloth_length, section_part
from layout.problem import Span
from layout.search.construct import Built, improve_order, make_constructor
from layout.search.model import Model, strip_model
from layout.search.progress import Progress
from layout.search.sections import Assignment, improve_assignment
from layout.search.state import State, placements, state_from
from layout.search.task import SolveTask
from layout.stop import Stop
from layout.strip_problem import StripProblem


def solve_strip(problem: StripProblem, task: SolveTask) -> Layout:
    """Lay everything on the least length that is found.

    Raises
    ------
    NoLayoutError
        If an item has no room in any of its slots.
    KeyboardInterrupt
        If it is interrupted before there is any layout.
    """
    stop = Stop(task.target or 0.0, best_bound(problem).length, task.time_limit)
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
        self._kept: dict[tuple[int, tuple[tuple[int, int], ...]], tuple[Model, Built]] = {}

    def run(self) -> Layout:
        """Search and return the best layout with the reason for the end."""
        require_room(self.problem)
        try:
            self._construct()
            if self.ended is EndedBy.EFFORT and self.effort.evaluations:
                self._separate()
        except KeyboardInterrupt:
            if self.best is None:
                raise
            self.ended = EndedBy.INTERRUPT
        if self.best is None:
            raise NoLayoutError(Why.NOTHING_FOUND)
        if self.ended is EndedBy.EFFORT and self.stop.late():
            self.ended = self.stop.why_late()
        return self.best.with_ending(self.ended)

    def offer(self, layout: Layout, phase: str) -> bool:
        """Keep a layout if it is better; return whether it is good enough to end with."""
        length = cloth_length(self.problem, layout.extents)
        if self.best is not None and length >= cloth_length(self.problem, self.best.extents):
            return False
        self.best = layout
        self.task.report(Progress(length, phase))
        reached = self.stop.reached(length)
        if reached is not None:
            self.ended = reached
        return reached is not None

    def _construct(self) -> None:
        sections = len(self.problem.sections)
        if self.best is not None:
            reached = self.stop.reached(cloth_length(self.problem, self.best.extents))
            if reached is not None:
                self.ended = reached
                return
        assignment = improve_assignment(self.problem, self._length_of, self.stop.late)
        share = max(1, self._decodes() // sections)
        results: list[tuple[Model, Built] | None] = []
        for section, counts in enumerate(assignment):
            result = self._build(section, counts, share, results, assignment)
            if result is not None and not result[1].state.complete:
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
        units = sum(item.demand for item in self.problem.items)
        return max(self.effort.least_orders, self.effort.placements // max(1, units))

    def _length_of(self, assignment: Assignment) -> float:
        results: list[tuple[Model, Built] | None] = []
        for section, counts in enumerate(assignment):
            result = self._build(section, counts, 2, results, assignment)
            if result is not None and not result[1].state.complete:
                return math.inf
            results.append(result)
        return cloth_length(self.problem, _extents(results))

    def _build(
        self,
        section: int,
        counts: tuple[tuple[int, int], ...],
        decodes: int,
        before: list[tuple[Model, Built] | None],
        assignment: Assignment,
    ) -> tuple[Model, Built] | None:
        if not counts:
            return None
        key = (section, counts)
        if key in self._kept and decodes <= 2 and not self.problem.flaws:
            return self._kept[key]
        span = self._span(section, before, assignment) if self.problem.flaws else None
        model = strip_model(self.problem, section, dict(counts), span)
        constructor = make_constructor(model)
        rng = np.random.default_rng([self.seed, section])
        only = len(self.problem.sections) == 1

        def better(built: Built) -> bool:
            if not only or not built.state.complete:
                return False
            return self.offer(self._layout([(model, built)]), "order")

        built = improve_order(constructor, decodes, rng, self.stop.late, better)
        if built is None:
            raise ValueError("a section was searched without a single order")
        self._kept[key] = (model, built)
        return model, built

    def _span(
        self, section: int, before: list[tuple[Model, Built] | None], assignment: Assignment
    ) -> Span:
        """Where a section will lie, the sections before it being known."""
        extents = [*_extents(before), *(1.0 if counts else 0.0 for counts in assignment[section:])]
        return self.problem.spans(tuple(extents))[section]

    def _layout(self, results: list[tuple[Model, Built] | None]) -> Layout:
        placed = [p for result in results if result for p in placements(result[0], result[1].state)]
        return Layout(tuple(placed), _extents(results))

    def _separate(self) -> None:
        """Deepen each section by the separation search, from the best layout so far."""
        from layout.search.portfolio import separate_section

        if self.best is None:
            return
        total = len(self.best.placements)
        for section in self._to_deepen(self.best):
            counts, placed = section_part(self.problem, self.best, section)
            span = self.problem.spans(self.best.extents)[section]
            model = strip_model(self.problem, section, counts, span)
            state = state_from(model, placed)
            if state is None:
                continue
            work = self.effort.evaluations * len(placed) // total
            found = separate_section(
                model, state, work, self.seed, self.effort.members, self.stop, self.task.executor,
                self._enough(section), self._section_offer(model, section),
            )  # fmt: skip
            self._settle(model, section, found)
            if self.ended is not EndedBy.EFFORT or self.stop.late():
                return

    def _to_deepen(self, best: Layout) -> list[int]:
        """Sections that carry something; where cloth has flaws the last, which moves no other."""
        used = [k for k, extent in enumerate(best.extents) if extent > 0.0]
        return used[-1:] if self.problem.flaws else used

    def _enough(self, section: int) -> float:
        """Extent of a section (mm) at which the whole layout is good enough."""
        if self.best is None:
            return 0.0
        extents = list(self.best.extents)
        spare = cloth_length(self.problem, self.best.extents) - max(
            self.stop.target, self.stop.bound
        )
        doubled = self.problem.sections[section].spread.doubled
        return extents[section] - spare / (2.0 if doubled else 1.0)

    def _section_offer(self, model: Model, section: int) -> Callable[[State], bool]:
        def offer(state: State) -> bool:
            layout = self._with_section(model, section, state)
            return layout is not None and self.offer(layout, "separation")

        return offer

    def _settle(self, model: Model, section: int, state: State) -> None:
        """Of layouts of one length take this one, whichever was offered first."""
        layout = self._with_section(model, section, state)
        if self.best is None or layout is None:
            return
        if cloth_length(self.problem, layout.extents) <= cloth_length(
            self.problem, self.best.extents
        ):
            self.best = layout

    def _with_section(self, model: Model, section: int, state: State) -> Layout | None:
        if self.best is None:
            return None
        rest = tuple(
            p
            for p in self.best.placements
            if self.problem.items[p.item].slots[p.slot].section != section
        )
        extents = list(self.best.extents)
        extents[section] = state.extent(model)
        return Layout(rest + placements(model, state), tuple(extents))


def _extents(results: list[tuple[Model, Built] | None]) -> tuple[float, ...]:
    return tuple(0.0 if result is None else result[1].cost[1] for result in results)
