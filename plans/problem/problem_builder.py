"""From demands and a spread to a layout problem, with the accounting of plies and hands.

A placement through two facing plies gives one copy of each hand; through one ply, one copy; a half
on a fold edge, one whole. No surplus copies: how many placements of each kind a piece gets follows
from the copies wanted and from how many of them are *paired* (cut two at a time).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from fabrics.fabric import Fabric
from layout.hand import Hand
from layout.problem import Flaw, Item, Pose, Section, Slot
from layout.strip_problem import StripProblem
from plans.problem.demand import Demand
from plans.problem.repeats import RepeatRule
from plans.problem.sharing import ToShare, evened
from plans.problem.slots import (
    FIT_MM,
    PlaceRules,
    extent,
    fold_slots,
    paired_slots,
    single_slots,
)


@dataclass(frozen=True)
class BuiltProblem:
    """A layout problem, and how it came about.

    `origins` gives the demand of each item, `pairing` the placements cut two at a time.
    """

    problem: StripProblem
    origins: tuple[Demand, ...]
    pairing: tuple[int, ...]


@dataclass(frozen=True)
class Misfit:
    """A demand that no slot of the spread takes."""

    demand: Demand


Pairing = tuple[int, ...]
"""For each demand, how many placements are cut through two plies at once."""


class _Builder:
    """Collects slots for one list of sections."""

    def __init__(
        self, sections: tuple[Section, ...], fabric: Fabric, gap: float, repeat: RepeatRule
    ) -> None:
        self.sections = sections
        self.rules = PlaceRules(fabric, gap / 2.0, repeat)

    def paired(self, demand: Demand) -> tuple[Slot, ...]:
        return tuple(
            slot
            for index, section in enumerate(self.sections)
            for slot in paired_slots(demand, index, section.spread, self.rules)
        )

    def on_fold(self, demand: Demand) -> tuple[Slot, ...]:
        return tuple(
            slot
            for index, section in enumerate(self.sections)
            for slot in fold_slots(demand, index, section.spread, self.rules)
        )

    def anywhere(self, demand: Demand, hand: Hand) -> tuple[Slot, ...]:
        """All single-ply places, one ply out of two included."""
        return tuple(
            slot
            for index, section in enumerate(self.sections)
            for slot in single_slots(demand, hand, index, section.spread, self.rules, True)
        )

    def single(self, demand: Demand, hand: Hand) -> tuple[Slot, ...]:
        """Single-ply places; a ply out of two only where there is no other.

        A one-ply cut blocks cloth, so it is left to pieces that have no single ply to lie on.
        """
        for through_double in (False, True):
            slots = tuple(
                slot
                for index, section in enumerate(self.sections)
                for slot in single_slots(
                    demand, hand, index, section.spread, self.rules, through_double
                )
            )
            if slots:
                return slots
        return ()


def build(
    demands: tuple[Demand, ...],
    sections: tuple[Section, ...],
    fabric: Fabric,
    gap: float,
    repeat: RepeatRule,
    pairing: Pairing,
) -> BuiltProblem | Misfit:
    """Build the problem for one pairing, or say which demand has nowhere to lie."""
    builder = _Builder(sections, fabric, gap, repeat)
    items: list[Item] = []
    origins: list[Demand] = []
    for demand, pairs in zip(demands, pairing, strict=True):
        for slots, count in _placements(demand, pairs, builder):
            if not slots:
                return Misfit(demand)
            items.append(_item(demand, slots, count))
            origins.append(demand)
    problem = StripProblem(
        tuple(items),
        sections,
        tuple(Flaw(outline) for outline in fabric.flaws),
        gap=gap,
        one_way=fabric.one_way,
        faces_alike=fabric.faces_alike,
        wanted={demand.key: demand.wanted for demand in demands},
        grain={demand.key: demand.grain_rule() for demand in demands},
    )
    return BuiltProblem(problem, tuple(origins), pairing)


def _placements(
    demand: Demand, pairs: int, builder: _Builder
) -> Iterator[tuple[tuple[Slot, ...], int]]:
    """Yield (slots, number of placements) for one demand."""
    wanted = demand.wanted
    if pairs:
        yield builder.paired(demand), pairs
    if wanted.either:
        rest = wanted.either - 2 * pairs
        if rest:
            # A half that reaches a fold may still be opened out elsewhere.
            yield builder.on_fold(demand) + builder.single(demand, Hand.EITHER), rest
        return
    if wanted.drawn - pairs:
        yield builder.single(demand, Hand.DRAWN), wanted.drawn - pairs
    if wanted.other - pairs:
        yield builder.single(demand, Hand.OTHER), wanted.other - pairs


def _item(demand: Demand, slots: tuple[Slot, ...], count: int) -> Item:
    shapes = (demand.whole,) if demand.half is None else (demand.whole, demand.half)
    lines = (None,) if demand.half is None else (None, demand.fold_line)
    return Item(
        key=demand.key,
        shapes=shapes,
        demand=count,
        slots=slots,
        fold_lines=lines,
        wholes=(demand.whole,) * len(shapes),
    )


def every_place(
    demands: tuple[Demand, ...], built: BuiltProblem, fabric: Fabric, repeat: RepeatRule
) -> StripProblem:
    """The problem with every place that the spread offers each demand, whatever the pairing.

    One item a demand, wanted as often as it has copies: what a bound on the spread must allow for.
    """
    builder = _Builder(built.problem.sections, fabric, built.problem.gap, repeat)
    items = []
    for demand in demands:
        hands = (Hand.DRAWN, Hand.OTHER) if demand.hands_matter else (Hand.EITHER,)
        slots = builder.on_fold(demand) + builder.paired(demand)
        slots += tuple(slot for hand in hands for slot in builder.anywhere(demand, hand))
        items.append(_item(demand, slots, demand.wanted.total))
    return replace(built.problem, items=tuple(items), kept=())


def most_pairs(
    demands: tuple[Demand, ...],
    sections: tuple[Section, ...],
    fabric: Fabric,
    gap: float,
    repeat: RepeatRule,
) -> Pairing:
    """For each demand, the most placements that two plies at once can serve."""
    builder = _Builder(sections, fabric, gap, repeat)
    result = []
    for demand in demands:
        wanted = demand.wanted
        possible = wanted.either // 2 if wanted.either else min(wanted.drawn, wanted.other)
        result.append(possible if possible and builder.paired(demand) else 0)
    return tuple(result)


def pairings(
    demands: tuple[Demand, ...],
    sections: tuple[Section, ...],
    fabric: Fabric,
    gap: float,
    repeat: RepeatRule,
) -> tuple[Pairing, ...]:
    """Pairings worth trying, the simplest to cut first.

    Two at a time wherever it can be; halves on a fold edge one at a time, or two wholes at a time
    where nothing can lie on the fold. Where the spread has single cloth too, also pairs cut
    singly there: all of them, the largest alone, and as many as leave both kinds of cloth as long.
    """
    builder = _Builder(sections, fabric, gap, repeat)
    most = most_pairs(demands, sections, fabric, gap, repeat)
    folded = tuple(bool(builder.on_fold(demand)) for demand in demands)
    base = tuple(0 if fold else pairs for pairs, fold in zip(most, folded, strict=True))
    found = [base]
    if base != most:
        found.append(most)
    has_single = any(len(zone.plies) == 1 for section in sections for zone in section.spread.zones)
    has_double = any(len(zone.plies) == 2 for section in sections for zone in section.spread.zones)
    if has_single and has_double and any(base):
        largest = max(
            (index for index, pairs in enumerate(base) if pairs), key=lambda i: demands[i].area
        )
        found.append(tuple(0 if i == largest else pairs for i, pairs in enumerate(base)))
        found.append(tuple(0 for _ in base))
        found.append(evened_pairs(demands, sections, fabric, gap, base))
    return tuple(dict.fromkeys(found))


def evened_pairs(
    demands: tuple[Demand, ...],
    sections: tuple[Section, ...],
    fabric: Fabric,
    gap: float,
    base: Pairing,
) -> Pairing:
    """Of the pairs of `base` as many as leave double and single cloth about as long."""
    zones = [zone for section in sections for zone in section.spread.zones]
    shares = []
    for demand, pairs in zip(demands, base, strict=True):
        folded = demand.half is not None and not pairs
        ring = demand.half if folded and demand.half is not None else demand.whole
        sizes = (extent(ring, Pose(angle)) for angle in demand.angles(fabric.one_way))
        along, across = min(sizes, key=lambda size: size[1])

        def rows(plies: int, across: float = across) -> int:
            side_by_side = (
                (z.height + gap + FIT_MM) / (across + gap) for z in zones if len(z.plies) == plies
            )
            return sum(int(count) for count in side_by_side)

        total = demand.wanted.total
        shares.append(
            ToShare(
                along,
                rows(2),
                rows(1),
                pairs,
                alone=0 if folded else total - 2 * pairs,
                on_fold=total if folded else 0,
            )
        )
    return evened(shares)
