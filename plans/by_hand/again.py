"""Laying again around what is kept where it lies: the same search, with fewer pieces to move."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import Executor
from dataclasses import replace

from layout.fit import NoLayoutError
from layout.layout import EndedBy, Layout, Placement
from layout.search.progress import Progress
from layout.solver import solve
from layout.validator import validate
from plans.by_hand.errors import NotValidError
from plans.by_hand.judged import TOO_LONG, judged
from plans.by_hand.reopened import OpenLay
from plans.choice.second_goal import with_second_goal
from plans.errors import NothingFitsError
from plans.folds.bound import care_for, short_enough
from plans.folds.levels import level_for, members_for
from plans.folds.outcome import FoldResult
from plans.order import Order
from plans.problem.misfit import no_layout_message

OnLength = Callable[[float], None]
"""Told of each better layout: the length of washed cloth that it takes (mm), ends and all."""


def laid_again(
    lay: OpenLay,
    kept: Iterable[int],
    order: Order,
    on_length: OnLength | None = None,
    executor: Executor | None = None,
) -> OpenLay:
    """Lay everything again but what is kept, which stays to the last digit.

    If the lay is sound as it is, the result is no longer.

    Parameters
    ----------
    lay : OpenLay
    kept : iterable of int
        Placements by index.
    order : Order
        Its effort, seed and members count.
    on_length : callable, optional
    executor : Executor, optional
        As of `layout.solver.solve`.

    Raises
    ------
    NotValidError
        If what is kept cannot stay as it lies, with what is wrong.
    NothingFitsError
        If the rest finds no place around it, or on the cloth that there is.
    KeyboardInterrupt
        If it is interrupted before there is any layout.
    """
    staying = sorted(set(kept))
    _require_keepable(lay, staying, order)
    placements = lay.layout.placements
    problem = replace(lay.built.problem, kept=tuple(placements[index] for index in staying))
    variant = replace(lay.variant, built=replace(lay.built, problem=problem))
    start = None if validate(problem, lay.layout) else lay.layout.with_ending(EndedBy.EFFORT)
    result = _searched(replace(lay, variant=variant), start, order, on_length, executor)
    layout = replace(result.layout, placements=_in_order(lay, staying, result.layout))
    again = replace(
        lay,
        variant=replace(lay.variant, built=lay.built),
        layout=layout,
        by_hand=tuple(lay.by_hand[index] and index in staying for index in range(len(placements))),
        shortest=result.length,
    )
    short = [wrong for wrong in judged(again, order.system) if wrong.rule == TOO_LONG]
    if short:
        raise NothingFitsError(f"{lay.entry.fabric.title}: {short[0].text}")
    return again


def _require_keepable(lay: OpenLay, staying: list[int], order: Order) -> None:
    numbers = {lay.entry.placements[index].number for index in staying}
    wrong = [
        one for one in judged(lay, order.system) if one.numbers and set(one.numbers) <= numbers
    ]
    if wrong:
        listed = "\n".join(f"  {one.text}" for one in wrong)
        raise NotValidError(f"{lay.entry.fabric.title}: what is kept cannot stay so:\n{listed}")


def _searched(
    lay: OpenLay,
    start: Layout | None,
    order: Order,
    on_length: OnLength | None,
    executor: Executor | None,
) -> FoldResult:
    """Search as a plan of this effort does, in the one spread that there is."""
    job, variant = lay.job, lay.variant
    level = level_for(order.effort, members_for(order.effort, order.members))

    def report(progress: Progress) -> None:
        if on_length is not None:
            on_length(progress.length + job.beyond)

    layout = start
    try:
        for effort in (level.screen, level.refine):
            if effort is not None and not _is_interrupted(layout):
                target = short_enough(job, variant, care_for(effort))
                layout = solve(
                    variant.built.problem, effort, order.seed, layout, target, executor, report
                )
    except NoLayoutError as error:
        why = no_layout_message(error, lay.entry.fold, job.fabric, order.system)
        raise NothingFitsError(
            f"{lay.entry.fabric.title}: around what is kept there is no room for the rest: {why}"
        ) from error
    if layout is None:
        raise ValueError("no effort was spent")
    result = variant.laid(job, layout)
    if level.refine is None or _is_interrupted(layout):
        return result
    return with_second_goal(job, result, level.refine)


def _is_interrupted(layout: Layout | None) -> bool:
    return layout is not None and layout.ended_by is EndedBy.INTERRUPT


def _in_order(lay: OpenLay, staying: list[int], found: Layout) -> tuple[Placement, ...]:
    """What was found, in the order of the numbers: each the same piece as before."""
    before = lay.layout.placements
    rest = list(found.placements)
    for index in staying:
        rest.remove(before[index])
    result = []
    for index, placement in enumerate(before):
        if index in staying:
            result.append(placement)
            continue
        same = next(one for one in rest if one.item == placement.item)
        rest.remove(same)
        result.append(same)
    return tuple(result)
