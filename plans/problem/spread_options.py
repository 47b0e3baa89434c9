"""Which spreads of a kind are worth trying for given demands: depths, and sections.

A depth is chosen from what lies on the fold: deep enough for one or two pieces side by side, in
steps that a person can fold (5 mm or 1/4 in, whatever units are shown), or on an axis of the design
where it repeats across.
"""

from __future__ import annotations

from dataclasses import dataclass

from fabrics.fabric import Fabric
from fabrics.fold_words import foldable_below, foldable_depth
from fabrics.spread import Fold, Spread, SpreadError, make_spread
from layout.problem import Pose, Section
from plans.errors import ContradictionError
from plans.problem.demand import Demand
from plans.problem.repeats import RepeatRule, next_axis, on_axis
from plans.problem.slots import extent

MOST_DEPTHS = 4
"""Candidate depths tried for one kind of fold."""

SIMPLICITY = (
    (Fold.LENGTHWISE,),
    (Fold.PARTIAL, Fold.DOUBLE),
    (Fold.CROSSWISE, Fold.TURNED),
    (Fold.SECTIONED,),
    (Fold.OPEN,),
)
"""Spreads from the simplest to cut to the least simple (design)."""


@dataclass(frozen=True)
class SpreadOption:
    """A kind of fold made definite: sections with their depths."""

    fold: Fold
    sections: tuple[Section, ...]


def spread_options(
    fold: Fold,
    fabric: Fabric,
    demands: tuple[Demand, ...],
    repeat: RepeatRule,
    gap: float,
) -> tuple[SpreadOption, ...]:
    """List the spreads of a kind that are worth trying.

    Raises
    ------
    ContradictionError
        If the cloth forbids this kind of fold; the message says why.
    """
    forbid(fold, fabric, repeat)
    if fold is Fold.SECTIONED:
        return _sectioned(fabric, demands, repeat, gap)
    depths: list[tuple[float | None, float | None]]
    if fold is Fold.PARTIAL:
        depths = [(depth, None) for depth in _partial_depths(fabric, demands, repeat, gap)]
    elif fold is Fold.DOUBLE:
        depths = _double_depths(fabric, demands, repeat, gap)
    else:
        depths = [(None, None)]
    options = []
    for first, second in depths:
        spread = _try_spread(fabric, fold, first, second)
        if spread is not None:
            options.append(SpreadOption(fold, (section_of(spread, repeat),)))
    if not options:
        raise ContradictionError(
            f"a {fold.value} fold of '{fabric.name}' has no depth that suits these pieces; "
            "another fold or wider cloth would do"
        )
    return tuple(options)


def forbid(fold: Fold, fabric: Fabric, repeat: RepeatRule) -> None:
    """Refuse a fold that the cloth itself forbids.

    Raises
    ------
    ContradictionError
        Crosswise on one-way cloth; any fold on an uneven repeat; a lengthwise fold whose middle is
        no axis of the design that must match.
    """
    if fold is Fold.CROSSWISE and fabric.one_way:
        raise ContradictionError(
            f"fold crosswise: the plies of a crosswise fold run in opposite directions and "
            f"'{fabric.name}' is one-way cloth; turned (crosswise, cut and turned) keeps heads "
            "alike"
        )
    if fabric.flaws and fold in (Fold.CROSSWISE, Fold.TURNED):
        raise ContradictionError(
            f"fold {fold.value}: where the flaws of '{fabric.name}' come to lie depends on where "
            "it is folded across; a lengthwise spread or an open layout keeps clear of them"
        )
    if not repeat.active or fabric.repeat is None or fold is Fold.OPEN:
        return
    if fabric.repeat.axis is None and fabric.repeat.across > 0.0:
        raise ContradictionError(
            f"fold {fold.value}: the repeat of '{fabric.name}' is uneven, so that folded plies "
            "cannot match; uneven designs are cut open, in a single layer"
        )
    if fold is Fold.LENGTHWISE and not on_axis(fabric, fabric.width_cut / 2.0):
        raise ContradictionError(
            f"fold lengthwise: the middle of '{fabric.name}' is no axis of its design, so that the "
            "plies would not match; a partial fold on an axis does"
        )


def section_of(spread: Spread, repeat: RepeatRule, name: str | None = None) -> Section:
    """Make a section of a spread, with the steps that a repeat asks of its length and start."""
    pitch = 0.0
    if spread.fold is Fold.TURNED and repeat.active and repeat.repeat is not None:
        pitch = repeat.repeat.along
    start = repeat.repeat.along if repeat.active and repeat.repeat is not None else 0.0
    return Section(name or spread.fold.value, spread, pitch, 0.0, start)


def _try_spread(
    fabric: Fabric, fold: Fold, first: float | None, second: float | None
) -> Spread | None:
    try:
        return make_spread(fold, fabric.width_cut, fabric.selvage_cut, first, second, fabric.faces)
    except SpreadError:
        return None


def _across(demand: Demand, one_way: bool) -> float:
    """Least extent across the cloth of what is laid double: the half, or the whole."""
    ring = demand.half if demand.half is not None else demand.whole
    return min(extent(ring, Pose(angle))[1] for angle in demand.angles(one_way))


def _doubled_heights(demands: tuple[Demand, ...], one_way: bool) -> tuple[list[float], list[float]]:
    """Extents across of the halves and of the pairs, greatest first."""
    halves = sorted({_across(d, one_way) for d in demands if d.half is not None}, reverse=True)
    pairs = sorted(
        {
            _across(d, one_way)
            for d in demands
            if d.half is None and (d.wanted.either > 1 or (d.wanted.drawn and d.wanted.other))
        },
        reverse=True,
    )
    return halves, pairs


def _partial_depths(
    fabric: Fabric,
    demands: tuple[Demand, ...],
    repeat: RepeatRule,
    gap: float,
) -> list[float]:
    halves, pairs = _doubled_heights(demands, fabric.one_way)
    selvage = fabric.selvage_cut
    wanted: list[float] = []
    if halves:
        wanted.append(halves[0])
        wanted += [halves[0] + gap + height for height in pairs[:3]]
        wanted += [halves[-1]] if len(halves) > 1 else []
        wanted += [halves[0] + gap + halves[0]]
    wanted += [height + gap / 2.0 for height in pairs[:3]]
    depths: list[float] = []
    for height in wanted:
        depth = _foldable(height + selvage, fabric, repeat)
        if depth < fabric.width_cut / 2.0 - 1.0 and depth not in depths:
            depths.append(depth)
    return depths[:MOST_DEPTHS]


def _double_depths(
    fabric: Fabric, demands: tuple[Demand, ...], repeat: RepeatRule, gap: float
) -> list[tuple[float | None, float | None]]:
    width = fabric.width_cut
    halves, pairs = _doubled_heights(demands, fabric.one_way)
    found: list[tuple[float | None, float | None]] = []
    if _axes_suit(fabric, repeat, width / 4.0, width / 4.0):
        found.append((None, None))
    # Two copies that meet across a fold keep the gap, half of it on either side.
    heights = halves or [height + gap / 2.0 for height in pairs]
    if heights:
        first = _foldable(heights[0] + fabric.selvage_cut, fabric, repeat)
        for height in (heights[0], *heights[1:3]):
            second = _foldable_from_far(height + fabric.selvage_cut, fabric, repeat)
            if first + second <= width / 2.0 and (first, second) not in found:
                found.append((first, second))
        # Selvages that meet off the middle: one side deep enough for the widest half.
        rest = foldable_below(width / 2.0 - first)
        if rest > 2.0 * fabric.selvage_cut and not repeat.active and (first, rest) not in found:
            found.append((first, rest))
    return found[:MOST_DEPTHS]


def _axes_suit(fabric: Fabric, repeat: RepeatRule, first: float, second: float) -> bool:
    if not repeat.active:
        return True
    far = fabric.width_cut - second
    return on_axis(fabric, first, declared=True) and on_axis(fabric, far, declared=True)


def _foldable(depth: float, fabric: Fabric, repeat: RepeatRule) -> float:
    return next_axis(fabric, depth) if repeat.active else foldable_depth(depth)


def _foldable_from_far(depth: float, fabric: Fabric, repeat: RepeatRule) -> float:
    """Round a depth measured from the far selvage: its fold lies on an axis, too."""
    if not repeat.active or fabric.repeat is None or fabric.repeat.across <= 0.0:
        return foldable_depth(depth)
    line = fabric.width_cut - depth
    return depth + (line - (fabric.repeat.axis or 0.0)) % fabric.repeat.across


def _sectioned(
    fabric: Fabric,
    demands: tuple[Demand, ...],
    repeat: RepeatRule,
    gap: float,
) -> tuple[SpreadOption, ...]:
    """A folded section for what needs a fold, then an open one for the rest."""
    single = make_spread(Fold.OPEN, fabric.width_cut, fabric.selvage_cut, faces=fabric.faces)
    firsts: list[Spread] = []
    for fold in (Fold.LENGTHWISE, Fold.DOUBLE, Fold.PARTIAL):
        try:
            options = spread_options(fold, fabric, demands, repeat, gap)
        except ContradictionError:
            continue
        first = options[0].sections[0].spread
        # The open section keeps the declared axis; a fold half a repeat off it would not match.
        if not repeat.active or on_axis(fabric, first.d1, declared=True):
            firsts.append(first)
    if not firsts:
        raise ContradictionError(
            f"fold sectioned: no fold of '{fabric.name}' suits these pieces; cut it open"
        )
    return tuple(
        SpreadOption(
            Fold.SECTIONED,
            (
                section_of(first, repeat, f"1 {first.fold.value}"),
                section_of(single, repeat, "2 open"),
            ),
        )
        for first in firsts
    )
