"""Where a section of cloth with flaws becomes shorter, other flaws lie under what is behind it.

On sound cloth whatever lies behind just moves on. Here it may come to lie on a flaw: then it stays
where it is on the cloth, so that its section begins with room to move into, or it is laid anew
around the flaws as they lie then. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from layout.layout import Layout, posed, section_part
from layout.search.model import Model, strip_model
from layout.search.state import State, placements
from layout.strip_problem import StripProblem

LEAST_MM = 0.01
"""A section that becomes shorter by less than this moves nothing."""

Anew = Callable[[Model], State | None]
"""Lays the units of a model anew; None if they find no room."""


def has_behind(layout: Layout, section: int) -> bool:
    """Whether anything lies in a section behind this one."""
    return any(extent > 0.0 for extent in layout.extents[section + 1 :])


def layouts_behind(
    problem: StripProblem, layout: Layout, section: int, model: Model, state: State, anew: Anew
) -> Iterator[Layout]:
    """Layouts with one section as a state has it, and what is behind it where flaws allow.

    There is none if the section becomes no shorter.

    Parameters
    ----------
    problem : StripProblem
        On cloth with flaws; nothing on it is kept.
    layout : Layout
    section : int
        One that something lies behind.
    model, state : Model, State
        Of the section.
    anew : callable
    """
    shorter = with_section(problem, layout, section, model, state)
    if shorter.extents[section] > layout.extents[section] - LEAST_MM:
        return
    behind = [k for k in range(section + 1, len(shorter.extents)) if shorter.extents[k] > 0.0]
    if all(_clear_of_flaws(problem, shorter, k) for k in behind):
        yield shorter
    if not problem.sections[behind[0]].spread.doubled:
        yield _staying(problem, layout, shorter, behind[0])
    now: Layout | None = shorter
    for k in behind:
        now = now and _laid_anew(problem, now, k, anew)
    if now is not None:
        yield now


def with_section(
    problem: StripProblem, layout: Layout, section: int, model: Model, state: State
) -> Layout:
    """The layout with one section as a state of its model has it, the others as they are."""
    rest = tuple(
        p
        for p in problem.movable(layout.placements)
        if problem.items[p.item].slots[p.slot].section != section
    )
    extents = list(layout.extents)
    extents[section] = state.extent(model)
    return Layout((*problem.kept, *rest, *placements(model, state)), tuple(extents))


def _model(problem: StripProblem, layout: Layout, section: int) -> Model:
    counts, _ = section_part(problem, layout, section)
    return strip_model(problem, section, counts, problem.span_with_place(section, layout.extents))


def _clear_of_flaws(problem: StripProblem, layout: Layout, section: int) -> bool:
    """Whether the pieces of a section keep the gap from flaws as they lie there."""
    model = _model(problem, layout, section)
    flaws = [
        Polygon(model.shapes[one.shape].points + np.array([one.x, one.y]))
        for one in model.obstacles
    ]
    _, placed = section_part(problem, layout, section)
    outlines = []
    for one in placed:
        item = problem.items[one.item]
        ring = item.shapes[item.slots[one.slot].shape]
        outlines.append(Polygon(posed(ring, one.pose, one.x, one.y)))
    return all(shapely.distance(np.array(outlines), flaw).min() >= problem.gap for flaw in flaws)


def _staying(problem: StripProblem, layout: Layout, shorter: Layout, behind: int) -> Layout:
    """What lies behind stays in its place on the cloth: no less cloth yet, but room for it."""
    before, now = problem.spans(layout.extents)[behind], problem.spans(shorter.extents)[behind]
    on = before.start - now.start
    extents = list(shorter.extents)
    extents[behind] += on
    moved = tuple(
        replace(p, x=p.x + on) if problem.items[p.item].slots[p.slot].section == behind else p
        for p in shorter.placements
    )
    return replace(shorter, placements=moved, extents=tuple(extents))


def _laid_anew(problem: StripProblem, layout: Layout, section: int, anew: Anew) -> Layout | None:
    model = _model(problem, layout, section)
    state = anew(model)
    if state is None or not state.complete:
        return None
    return with_section(problem, layout, section, model, state)
