"""The second goal: with cloth that is bought anyway, more left over, and likes together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from layout.effort import Effort
from layout.layout import EndedBy, Layout, cloth_length, section_part
from layout.search.model import strip_model
from layout.search.state import State, placements, state_from
from layout.stop import Stop
from layout.strip_problem import StripProblem

WORK_SHARE = 6
"""The second goal gets a sixth of the work of the first."""

WORTH_MORE = 1.02
"""A leftover must be larger by this to be worth another layout."""


def second_goal(
    problem: StripProblem,
    layout: Layout,
    limit: float,
    score: Callable[[Layout], float],
    effort: Effort = Effort.NORMAL,
    seed: int = 1,
    time_limit: float | None = None,
) -> Layout:
    """Search for a layout within a length that leaves more, then with like pieces closer together.

    Works where one section is used; other layouts come back as they are, as does one that cannot
    be bettered.

    Parameters
    ----------
    problem, layout : StripProblem, Layout
        A valid layout, whose reason for its end is kept.
    limit : float
        Cloth length (mm) that may be used.
    score : callable
        How good the leftovers of a layout are; greater is better (say, the area of the largest
        rectangle).
    effort, seed, time_limit
        As of `layout.solver.solve`.
    """
    used = [k for k, extent in enumerate(layout.extents) if extent > 0.0]
    if len(used) != 1 or not effort.evaluations:
        return layout
    from layout.search.within.second_goal import Lay, search_second_goal

    section = used[0]
    spread = problem.sections[section].spread
    counts, placed = section_part(problem, layout, section)
    model = strip_model(problem, section, counts, problem.spans(layout.extents)[section])
    state = state_from(model, placed)
    if state is None or not placed:
        return layout
    extent = (limit - problem.gap) / 2.0 if spread.doubled else limit
    extent = max(extent, layout.extents[section])
    if cloth_length(problem, _only(layout, section, extent)) > limit + 1e-6:
        extent = layout.extents[section]
    lay = Lay(extent, spread.zones[0].y_from, spread.zones[-1].y_to)
    best, most = layout, score(layout)

    def offer(found: State) -> bool:
        nonlocal best, most
        tried = replace(
            layout,
            placements=(*problem.kept, *placements(model, found)),
            extents=_only(layout, section, found.extent(model)),
        )
        if cloth_length(problem, tried.extents) > limit + 1e-6:
            return False
        worth = score(tried)
        # Between layouts that are left as much the later one has like pieces closer together.
        if worth > WORTH_MORE * most or (best is not layout and worth >= most - 1.0):
            best, most = tried, worth
            return True
        return False

    stop = Stop(time_limit=time_limit)
    try:
        search_second_goal(
            model, state, lay, effort.evaluations // WORK_SHARE, seed, stop.late, offer
        )
    except KeyboardInterrupt:
        return best.with_ending(EndedBy.INTERRUPT)
    return best


def _only(layout: Layout, section: int, extent: float) -> tuple[float, ...]:
    """Extents of a layout with another one for its only section."""
    return tuple(extent if k == section else e for k, e in enumerate(layout.extents))
