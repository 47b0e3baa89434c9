"""What a browser draws a lay from: outlines and poses of its pieces, edges and places."""

from __future__ import annotations

from typing import Any

from fabrics.lay_edges import end_name, lay_edges
from layout.problem import Section
from layout.search.model import Choice
from pieces.geometry_types import Ring
from pieces.piece import Side
from plans.answer.placed import lead_of
from plans.by_hand.reopened import OpenLay
from plans.by_hand.ways import same_turn
from plans.page.moving.state import places_of


def drawn(lay: OpenLay) -> dict[str, Any]:
    """All that does not change while pieces are moved, and where they lie (mm)."""
    shapes: dict[tuple[int, int], int] = {}
    rings: list[list[list[float]]] = []
    pieces = []
    for index, placement in enumerate(lay.layout.placements):
        item = lay.built.problem.items[placement.item]
        shape = item.slots[placement.slot].shape
        if (placement.item, shape) not in shapes:
            shapes[placement.item, shape] = len(rings)
            rings.append(_ring(item.shapes[shape]))
        pieces.append(_piece(lay, index, shapes[placement.item, shape]))
    return {
        "shapes": rings,
        "pieces": pieces,
        "sections": [
            _section(lay, section) | {"lead": lead(lay, index)}
            for index, section in enumerate(lay.built.problem.sections)
        ],
        "gap": lay.job.gap,
        "places": places_of(lay),
    }


def lead(lay: OpenLay, section: int) -> float:
    """How far a section's lay x = 0 is from its cut end, as the pinning table counts (mm)."""
    problem = lay.built.problem
    span = problem.spans(lay.layout.extents)[section]
    ends = lay.job.ends if section == 0 else 0.0
    return lead_of(problem.sections[section].spread, span, ends)


def _ring(ring: Ring) -> list[list[float]]:
    return [[round(x, 3), round(y, 3)] for x, y in ring]


def _piece(lay: OpenLay, index: int, shape: int) -> dict[str, Any]:
    placement, placed = lay.layout.placements[index], lay.entry.placements[index]
    slots = lay.built.problem.items[placement.item].slots
    slot = slots[placement.slot]
    ways = lay.ways.like(placement)
    return {
        "number": placed.number,
        "name": placed.piece,
        "cut": placed.label,
        "sides": [_SIDES[side] for side in placed.sides],
        "shape": shape,
        "arrow": [list(point) for point in lay.demand(index).arrow],
        "section": slot.section,
        "on_fold": placed.on_fold,
        "upper_only": placed.upper_only,
        "poses": [
            {
                "turn": pose.angle_deg % 360.0,
                "over": pose.flip,
                "tie": _tie(
                    next(
                        way
                        for way in ways
                        if way.pose.flip == pose.flip
                        and same_turn(way.pose.angle_deg, pose.angle_deg)
                    ),
                    placed.on_fold,
                ),
            }
            for pose in lay.ways.poses(placement)
        ],
    }


_SIDES = {Side.LEFT: "left", Side.RIGHT: "right"}


def _tie(way: Choice, on_fold: bool) -> dict[str, float | None]:
    """What a piece is tied to in a pose: a line, or steps of the design; null and 0 for nothing."""
    return {
        "x": way.x_fixed,
        "y": way.y_from if on_fold and way.x_fixed is None else None,
        "step_x": way.pitch_x,
        "step_y": way.pitch_y,
        "phase_x": way.phase_x,
        "phase_y": way.phase_y,
    }


def _section(lay: OpenLay, section: Section) -> dict[str, Any]:
    """The stretch of lay that pieces lie on: its edges and folds, and what no piece may lie on."""
    spread = section.spread
    edges = lay_edges(spread)
    used, dead = 0.0, []
    for zone in spread.zones:
        if zone.y_from > used + 1e-6:
            dead.append([used, zone.y_from])
        used = zone.y_to
    if used < spread.lay_height - 1e-6:
        dead.append([used, spread.lay_height])
    flaws = [
        [list(point) for point in flaw.outline]
        for flaw in lay.built.problem.flaws
        if len(spread.plies) == 1
    ]
    return {
        "name": section.name if len(lay.built.problem.sections) > 1 else "",
        "height": spread.lay_height,
        "begins": end_name(spread),
        "begins_at_fold": any(not edge.along for edge in spread.fold_edges),
        "first": {"name": edges[0].name.value, "fold": edges[0].fold},
        "last": {"name": edges[1].name.value, "fold": edges[1].fold},
        "plies": [
            {"from": zone.y_from, "to": zone.y_to, "plies": len(zone.plies)}
            for zone in spread.zones
        ],
        "dead": dead,
        "flaws": flaws,
    }
