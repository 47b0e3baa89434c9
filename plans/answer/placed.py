"""From a layout to what a person pins down: numbered placements with their copies."""

from __future__ import annotations

import numpy as np

from fabrics.lay_edges import nearest_edge
from fabrics.spread import Spread
from layout.hand import Hand
from layout.layout import Layout, Placement, posed
from layout.problem import Problem, Span
from pieces.geometry_types import FloatArray, Point, Ring
from pieces.piece import MatchPoint
from plans.answer.whose import whose_piece
from plans.plan import Copy, PinPoint, PlacedPiece
from plans.problem.demand import Demand
from plans.problem.on_cloth import CopyPose, copy_poses
from plans.problem.problem_builder import BuiltProblem


def placed_pieces(
    built: BuiltProblem, layout: Layout, laid: tuple[Span, ...], ends: float
) -> tuple[PlacedPiece, ...]:
    """Number the placements, section by section from the cut end, and follow them to the cloth.

    Half of `ends` (mm) lies before the first piece, so that all cloth x move by it.
    """
    copies: dict[int, list[CopyPose]] = {}
    for copy in copy_poses(built.problem, layout):
        copies.setdefault(copy.placement, []).append(copy)
    return tuple(
        _placed(number, built, layout.placements[index], copies[index], laid, ends)
        for number, index in enumerate(reading_order(built.problem, layout), start=1)
    )


def reading_order(problem: Problem, layout: Layout) -> list[int]:
    """Placements in the order of their numbers."""
    return sorted(range(len(layout.placements)), key=lambda i: _reading_order(problem, layout, i))


def _reading_order(problem: Problem, layout: Layout, index: int) -> tuple[int, float, float]:
    placement = layout.placements[index]
    item = problem.items[placement.item]
    slot = item.slots[placement.slot]
    low = posed(item.shapes[slot.shape], placement.pose, placement.x, placement.y).min(axis=0)
    return slot.section, round(float(low[0])), float(low[1])


def _placed(
    number: int,
    built: BuiltProblem,
    placement: Placement,
    copies: list[CopyPose],
    laid: tuple[Span, ...],
    ends: float,
) -> PlacedPiece:
    demand = built.origins[placement.item]
    item = built.problem.items[placement.item]
    slot = item.slots[placement.slot]
    spread = built.problem.spread(slot)
    span = laid[slot.section]

    def put(ring: Ring) -> FloatArray:
        return posed(ring, placement.pose, placement.x, placement.y)

    outline = put(item.shapes[slot.shape])
    arrow = put(demand.arrow)
    pins = _pins(spread, arrow, span, ends if slot.section == 0 else 0.0)
    line = item.fold_lines[slot.shape] if item.fold_lines else None
    on_fold = slot.fold_edge is not None
    return PlacedPiece(
        number=number,
        piece=demand.key,
        role=demand.cut.role,
        label=demand.cut.label,
        section=slot.section,
        plies=tuple(spread.plies[ply].name for ply in slot.plies),
        outline=_ring(outline[::-1] if placement.pose.flip else outline),
        grain=(_point(arrow[0]), _point(arrow[1])),
        face_down=placement.pose.flip,
        on_fold=on_fold,
        fold_edge=None if line is None or not on_fold else _line(put(line)),
        upper_only=len(slot.plies) < len(spread.zones[slot.zone].plies),
        opened=demand.half is not None and not on_fold,
        pins=pins,
        copies=tuple(_copy(demand, spread, copy, ends) for copy in copies),
        match=tuple(MatchPoint(point.group, _point(put((point.at,))[0])) for point in demand.match),
        whose=whose_piece(demand),
    )


def _copy(demand: Demand, spread: Spread, copy: CopyPose, ends: float) -> Copy:
    points = posed(demand.whole, copy.pose, copy.x + ends / 2.0, copy.y)
    hand = Hand.EITHER
    if demand.hands_matter:
        hand = Hand.DRAWN if copy.drawn else Hand.OTHER
    return Copy(
        outline=_ring(points[::-1] if copy.pose.flip else points),
        hand=hand,
        ply=spread.plies[copy.ply].name,
        heading_deg=copy.pose.angle_deg % 360.0,
        side=demand.side(hand),
    )


def lead_of(spread: Spread, span: Span, ends: float) -> float:
    """How far lay x = 0 is from the end that distances are told from, mm.

    `ends` (mm) are the squared-off ends of the cloth, 0 for any section but the first.
    """
    # A section after a cut begins a gap before its pieces; squared-off ends come before the first.
    return 0.0 if spread.doubled else span.start - span.begin + ends / 2.0


def _pins(spread: Spread, arrow: FloatArray, span: Span, ends: float) -> tuple[PinPoint, PinPoint]:
    """Distances of both ends of the arrow from the cut end and from the nearest long edge.

    The end is the raw (or section) end where lay x begins; on crosswise spreads it is the fold, or
    the cut in its place.
    """
    lead = lead_of(spread, span, ends)

    def pin(x: float, y: float) -> PinPoint:
        edge = nearest_edge(spread, y)
        return PinPoint(x + lead, abs(y - edge.at), edge.name)

    (x1, y1), (x2, y2) = arrow.tolist()
    return pin(x1, y1), pin(x2, y2)


def _point(values: FloatArray) -> Point:
    return (float(values[0]), float(values[1]))


def _line(values: FloatArray) -> tuple[Point, Point]:
    return (_point(values[0]), _point(values[1]))


def _ring(values: FloatArray) -> Ring:
    return tuple((float(x), float(y)) for x, y in np.asarray(values).tolist())
