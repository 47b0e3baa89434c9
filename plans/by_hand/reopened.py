"""A fabric of a finished plan, opened again: the problem that it answers, and its layout."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np
from shapely.geometry import Polygon

from layout.hand import Hand
from layout.layout import Layout, Placement, posed, reached
from layout.problem import Wanted
from plans.by_hand.errors import ChangedGarmentError
from plans.by_hand.ways import Ways, missed_by, same_turn
from plans.errors import ContradictionError
from plans.folds.job import FabricJob
from plans.folds.jobs import job_for
from plans.folds.outcome import FoldResult, Variant
from plans.folds.variants import joins_of, split_demands
from plans.order import Order
from plans.plan import FabricPlan, PlacedPiece
from plans.problem.demand import Demand
from plans.problem.problem_builder import BuiltProblem, Misfit
from plans.problem.spread_options import section_of

SAME_MM = 0.05
"""Outlines that differ nowhere by more are the same; files round to a millionth of a mm."""

MOVED_MM = 1e-3
"""What lies elsewhere by no more than this has not been moved."""


@dataclass(frozen=True)
class OpenLay:
    """One fabric of a plan as it lies on the table.

    Attributes
    ----------
    entry : FabricPlan
        As it was opened; number k + 1 is placement k.
    job : FabricJob
    variant : Variant
        Its spread, what is cut two at a time, which strips in parts.
    layout : Layout
        How the pieces lie now.
    by_hand : tuple of bool
        For each placement whether somebody put it where it lies.
    ways : Ways
    shortest : float
        Cloth length (mm, without ends) of a shorter layout that a search found, if this one is
        stretched within what is bought anyway.
    """

    entry: FabricPlan
    job: FabricJob
    variant: Variant
    layout: Layout
    by_hand: tuple[bool, ...]
    ways: Ways
    shortest: float = math.inf

    @property
    def built(self) -> BuiltProblem:
        """The layout problem and how it came about."""
        return self.variant.built

    @property
    def result(self) -> FoldResult:
        """The layout as a search would give it."""
        laid = self.variant.laid(self.job, self.layout)
        length = min(laid.length, self.shortest)
        return replace(laid, length=length, bought=self.job.bought(length))

    @property
    def length(self) -> float:
        """Length of washed cloth (mm), with what is squared off and what slides."""
        return self.result.length + self.job.beyond

    @property
    def is_changed(self) -> bool:
        """Whether anything lies elsewhere than in the plan."""
        return any(
            placement.pose.flip != placed.face_down
            or max(abs(placement.x - placed.grain[0][0]), abs(placement.y - placed.grain[0][1]))
            > MOVED_MM
            or not same_turn(placement.pose.angle_deg, _turn(placed))
            for placement, placed in zip(self.layout.placements, self.entry.placements, strict=True)
        )

    def demand(self, index: int) -> Demand:
        """What a placement is."""
        return self.built.origins[self.layout.placements[index].item]

    def name(self, index: int) -> str:
        """A placement as drawings label it: its number and its piece."""
        placed = self.entry.placements[index]
        return f"{placed.number} {placed.piece}"

    def put(self, index: int, placement: Placement) -> OpenLay:
        """The same with one piece put down elsewhere."""
        return self.put_all({index: placement})

    def put_all(self, there: dict[int, Placement]) -> OpenLay:
        """The same with pieces put down elsewhere, by index."""
        placements, marks = list(self.layout.placements), list(self.by_hand)
        for index, placement in there.items():
            placements[index], marks[index] = placement, True
        extents = reached(self.built.problem, tuple(placements))
        layout = replace(self.layout, placements=tuple(placements), extents=extents)
        return replace(self, layout=layout, by_hand=tuple(marks), shortest=math.inf)


def opened(entry: FabricPlan, order: Order, on_leftovers: bool = False) -> OpenLay:
    """Open a fabric of a plan again.

    Parameters
    ----------
    entry : FabricPlan
    order : Order
        What the plan answers, its garment as it is now; the cloth is the plan's.
    on_leftovers : bool
        Whether other copies lie on leftovers, so that not all are here.

    Raises
    ------
    ChangedGarmentError
        If the garment is no longer what it was: with the piece that differs.
    """
    job = _job(entry, order)
    parts = {one.piece: one.parts for one in entry.allowances if one.parts > 1}
    whole = split_demands(job, parts)
    demands = tuple(
        replace(demand, wanted=wanted)
        for demand in whole
        if (wanted := _lying(entry, demand)).total
    )
    if not on_leftovers:
        _require_all(whole, entry)
    job = replace(job, demands=_still_wanted(job, whole, demands))
    sections = tuple(
        replace(
            section_of(section.spread, job.rule, section.name),
            fold_at=0.0 if section.folded_at is None else section.lay_length,
        )
        for section in entry.sections
    )
    built = job.built(demands, sections, tuple(_pairs(entry, demand) for demand in demands))
    if isinstance(built, Misfit):
        raise _changed(built.demand.key, "it has no place any more where it lies")
    variant = Variant(entry.fold, sections, built, joins_of(job, parts), demands)
    layout = _layout(entry, built)
    marks = tuple(placed.by_hand for placed in entry.placements)
    return OpenLay(entry, job, variant, layout, marks, Ways(built.problem, layout))


def _job(entry: FabricPlan, order: Order) -> FabricJob:
    try:
        job = job_for(order, entry.roles, entry.fabric)
    except ContradictionError as error:
        raise ChangedGarmentError(
            f"the garment has changed since it was planned: {error}"
        ) from error
    # Which axis of a design counts was settled when it was planned.
    return replace(
        job, fabric=entry.fabric, gap=entry.gap, ends=entry.ends, margin=entry.purchase.margin
    )


def _copies(entry: FabricPlan, key: str) -> Counter[Hand]:
    return Counter(
        copy.hand for placed in entry.placements if placed.piece == key for copy in placed.copies
    )


def _lying(entry: FabricPlan, demand: Demand) -> Wanted:
    """Copies of a demand that lie here."""
    hands = _copies(entry, demand.key)
    if not demand.hands_matter:
        return Wanted(either=hands.total())
    return Wanted(drawn=hands[Hand.DRAWN], other=hands[Hand.OTHER])


def _require_all(demands: tuple[Demand, ...], entry: FabricPlan) -> None:
    for demand in demands:
        there = _lying(entry, demand)
        if there != demand.wanted:
            raise _changed(
                demand.key, f"{demand.wanted.total} of it are cut now, {there.total} lie there"
            )


def _still_wanted(
    job: FabricJob, whole: tuple[Demand, ...], here: tuple[Demand, ...]
) -> tuple[Demand, ...]:
    """Demands, strips unparted, of which as much is wanted as lies here."""
    lying = {demand.part_of or demand.key: demand.wanted.total for demand in here}
    cut = {demand.part_of or demand.key: demand.wanted.total for demand in whole}
    result = []
    for demand in job.demands:
        there, of = lying.get(demand.key, 0), cut[demand.key]
        if there == of:
            result.append(demand)
        elif there:
            wanted = demand.wanted
            result.append(
                replace(
                    demand,
                    wanted=Wanted(
                        wanted.drawn * there // of, wanted.other * there // of,
                        wanted.either * there // of,
                    ),
                )
            )  # fmt: skip
    return tuple(result)


def _pairs(entry: FabricPlan, demand: Demand) -> int:
    """How many placements of a demand are cut two at a time."""
    return sum(
        placed.piece == demand.key and len(placed.plies) == 2 and not placed.on_fold
        for placed in entry.placements
    )


def _layout(entry: FabricPlan, built: BuiltProblem) -> Layout:
    """What lies on the lay as placements of the problem's items."""
    problem = built.problem
    ways = Ways(problem, Layout((), tuple(section.extent for section in entry.sections)))
    left = {index: item.demand for index, item in enumerate(problem.items)}
    keys = {demand.key for demand in built.origins}
    placements = []
    for placed in entry.placements:
        if placed.piece not in keys:
            raise _changed(placed.piece, "there is no such piece any more")
        found = _placement(placed, built, ways, left)
        if found is None or not _alike(placed, built, found):
            raise _changed(placed.piece, "its outline is another now")
        left[found.item] -= 1
        placements.append(found)
    return Layout(tuple(placements), reached(problem, tuple(placements)))


def _placement(
    placed: PlacedPiece, built: BuiltProblem, ways: Ways, left: dict[int, int]
) -> Placement | None:
    """How a piece lies; of ways that look alike the one that permits its place best."""
    (x, y), turn = placed.grain[0], _turn(placed)
    best: tuple[float, Placement] | None = None
    for index, item in enumerate(built.problem.items):
        if built.origins[index].key != placed.piece or not left[index]:
            continue
        for choice in ways.of(index, placed.section):
            slot = item.slots[choice.slot]
            spread = built.problem.spread(slot)
            same = (
                tuple(spread.plies[ply].name for ply in slot.plies) == placed.plies
                and (slot.fold_edge is not None) == placed.on_fold
                and choice.pose.flip == placed.face_down
                and same_turn(choice.pose.angle_deg, turn)
            )
            off = missed_by(choice, x, y) if same else 0.0
            if same and (best is None or off < best[0] - 1e-4):
                best = off, Placement(index, choice.slot, choice.pose, x, y)
    return None if best is None else best[1]


def _turn(placed: PlacedPiece) -> float:
    """Degrees by which the grain arrow is turned from the warp."""
    (x, y), (head_x, head_y) = placed.grain
    return math.degrees(math.atan2(head_y - y, head_x - x))


def _alike(placed: PlacedPiece, built: BuiltProblem, found: Placement) -> bool:
    """Whether a piece as it is drawn now covers the outline that lies in the plan."""
    item = built.problem.items[found.item]
    shape = item.shapes[item.slots[found.slot].shape]
    now = posed(shape, found.pose, found.x, found.y)
    then = np.asarray(placed.outline, dtype=float)
    if now.shape == then.shape:
        drawn = now[::-1] if found.pose.flip else now
        if np.abs(drawn - then).max() <= SAME_MM:
            return True
    one, other = Polygon(now), Polygon(then)
    return bool(one.symmetric_difference(other).area <= SAME_MM * one.length)


def _changed(piece: str, why: str) -> ChangedGarmentError:
    return ChangedGarmentError(
        f"piece '{piece}' has changed since this was planned: {why}; plan the garment once more, "
        "or put the garment file back as it was"
    )
