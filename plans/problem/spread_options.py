"""Which spreads of a kind are worth trying for given demands: depths, and sections.

A depth is chosen by the kind of fold (`fabrics/folds/`) from what lies on it: deep enough for one
or two pieces side by side, in steps that a person can fold (5 mm or 1/4 in, whatever units are
shown), or on an axis of the design where it repeats across.
"""

from __future__ import annotations

from dataclasses import dataclass

from fabrics.fabric import Fabric
from fabrics.folds.cloth import ClothToFold, ToBeFolded
from fabrics.folds.fold import GivenDepths
from fabrics.spread import Fold, Spread, SpreadError, make_spread
from layout.problem import Pose, Section
from plans.errors import ContradictionError
from plans.problem.demand import Demand
from plans.problem.repeats import RepeatRule
from plans.problem.slots import extent


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
    if fold.sectioned:
        return _sectioned(fold, fabric, demands, repeat, gap)
    wanted = _to_be_folded(demands, fabric.one_way, gap)
    depths = fold.worth_trying(_cloth_to_fold(fabric, repeat), wanted)
    options = _options(fold, fabric, repeat, depths)
    if not options:
        raise ContradictionError(
            f"a {fold.value} fold of '{fabric.name}' has no depth that suits these pieces; "
            "another fold or wider cloth would do"
        )
    return tuple(options)


def further_options(
    fold: Fold,
    fabric: Fabric,
    demands: tuple[Demand, ...],
    repeat: RepeatRule,
    gap: float,
) -> tuple[SpreadOption, ...]:
    """List further spreads of a kind that the cloth permits: other depths, worth a glance each."""
    if fold.sectioned:
        return ()
    cloth = _cloth_to_fold(fabric, repeat)
    wanted = _to_be_folded(demands, fabric.one_way, gap)
    known = fold.worth_trying(cloth, wanted)
    depths = [one for one in fold.also_worth_trying(cloth, wanted) if one not in known]
    return tuple(_options(fold, fabric, repeat, depths))


def options_beside(
    spread: Spread, fabric: Fabric, repeat: RepeatRule, by: float
) -> tuple[SpreadOption, ...]:
    """Spreads whose depths differ from those of another by so much (mm).

    None where the design decides on the depths.
    """
    if repeat.design is not None:
        return ()
    cloth = _cloth_to_fold(fabric, repeat)
    depths = spread.fold.beside(cloth, (spread.d1, spread.d2), by)
    return tuple(_options(spread.fold, fabric, repeat, depths))


def _options(
    fold: Fold, fabric: Fabric, repeat: RepeatRule, depths: list[GivenDepths]
) -> list[SpreadOption]:
    spreads = (_try_spread(fabric, fold, first, second) for first, second in depths)
    return [
        SpreadOption(fold, (section_of(spread, repeat),))
        for spread in spreads
        if spread is not None
    ]


def forbid(fold: Fold, fabric: Fabric, repeat: RepeatRule) -> None:
    """Refuse a fold that the cloth itself forbids, or a design on it that must match.

    Raises
    ------
    ContradictionError
        The message says why.
    """
    refused = fold.refusal(_cloth_to_fold(fabric, repeat))
    if refused is not None:
        raise ContradictionError(refused)


def _cloth_to_fold(fabric: Fabric, repeat: RepeatRule) -> ClothToFold:
    return ClothToFold(
        name=fabric.name,
        width=fabric.width_cut,
        selvage=fabric.selvage_cut,
        one_way=fabric.one_way,
        design=repeat.design,
    )


def section_of(spread: Spread, repeat: RepeatRule, name: str | None = None) -> Section:
    """Make a section of a spread, with the steps that a repeat asks of its length and start."""
    along = repeat.repeat.along if repeat.active and repeat.repeat is not None else 0.0
    # Where it is cut apart, both plies are in phase only at whole repeats.
    pitch = along if spread.fold.cut_apart else 0.0
    return Section(name or spread.fold.value, spread, pitch, 0.0, along)


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


def _to_be_folded(demands: tuple[Demand, ...], one_way: bool, gap: float) -> ToBeFolded:
    """Extents across of the halves and of the pairs."""
    halves = {_across(d, one_way) for d in demands if d.half is not None}
    pairs = {
        _across(d, one_way)
        for d in demands
        if d.half is None and (d.wanted.either > 1 or (d.wanted.drawn and d.wanted.other))
    }
    wholes = {min(extent(d.whole, Pose(a))[1] for a in d.angles(one_way)) for d in demands}
    return ToBeFolded(
        tuple(sorted(halves, reverse=True)),
        tuple(sorted(pairs, reverse=True)),
        gap,
        tuple(sorted(wholes, reverse=True)),
    )


def _sectioned(
    fold: Fold,
    fabric: Fabric,
    demands: tuple[Demand, ...],
    repeat: RepeatRule,
    gap: float,
) -> tuple[SpreadOption, ...]:
    """A folded section for what needs a fold, then an open one for the rest."""
    single = make_spread(Fold.OPEN, fabric.width_cut, fabric.selvage_cut, faces=fabric.faces)
    firsts: list[Spread] = []
    leading = sorted(
        ((kind.leads, kind) for kind in Fold if kind.leads is not None), key=lambda pair: pair[0]
    )
    for _, kind in leading:
        try:
            options = spread_options(kind, fabric, demands, repeat, gap)
        except ContradictionError:
            continue
        first = options[0].sections[0].spread
        # The open section keeps the declared axis; a fold half a repeat off it would not match.
        if repeat.design is None or repeat.design.on_axis(first.d1, declared=True):
            firsts.append(first)
    if not firsts:
        raise ContradictionError(
            f"fold {fold.value}: no fold of '{fabric.name}' suits these pieces; cut it open"
        )
    return tuple(
        SpreadOption(
            fold,
            (
                section_of(first, repeat, f"1 {first.fold.value}"),
                section_of(single, repeat, "2 open"),
            ),
        )
        for first in firsts
    )
