"""The copies that a layout yields, as they lie on the cloth."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon
from shapely.geometry.polygon import orient

from fabrics.folds.ply_name import PlyName
from fabrics.spread import Ply
from layout.hand import Hand
from layout.layout import Layout, Placement, posed
from layout.problem import Item, Problem, Span
from pieces.geometry_types import FloatArray


@dataclass(frozen=True)
class ClothCopy:
    """One copy on the cloth.

    Attributes
    ----------
    key : str
        Piece.
    placement, section : int
    plies : tuple of PlyName
        The ply that it is cut from; two for a whole that lies across a fold.
    outline : Polygon
        Cloth coordinates, mm, counter-clockwise.
    parts : tuple of Polygon
        The outline ply by ply.
    hand : Hand
    heading_deg : float
    """

    key: str
    placement: int
    section: int
    plies: tuple[PlyName, ...]
    outline: Polygon
    parts: tuple[Polygon, ...]
    hand: Hand
    heading_deg: float


HAIR_MM = 1e-6
"""Half the width of a slit that is rounding."""


def cloth_copies(problem: Problem, layout: Layout) -> tuple[ClothCopy, ...]:
    """Follow every placement through its plies."""
    result = []
    laid = problem.spans(layout.extents)
    for index, placement in enumerate(layout.placements):
        item = problem.items[placement.item]
        slot = item.slots[placement.slot]
        points = posed(item.shapes[slot.shape], placement.pose, placement.x, placement.y)
        plies, span = [problem.ply(slot, ply) for ply in slot.plies], laid[slot.section]
        parts = [_on_ply(ply, points, span) for ply in plies]
        if slot.fold_edge is not None:
            whole = _joined(parts[0], parts[-1])
            names = tuple(ply.name for ply in plies)
            result.append(
                ClothCopy(
                    item.key,
                    index,
                    slot.section,
                    names,
                    orient(whole),
                    tuple(parts),
                    Hand.EITHER,
                    _heading(plies[0], placement),
                )
            )
            continue
        for ply, part in zip(plies, parts, strict=True):
            result.append(
                ClothCopy(
                    item.key,
                    index,
                    slot.section,
                    (ply.name,),
                    part,
                    (part,),
                    _hand(problem, item, ply, placement),
                    _heading(ply, placement),
                )
            )
    return tuple(result)


def _joined(one: Polygon, other: Polygon) -> Polygon:
    """Join the two sides of a fold; what rounding leaves between them is closed."""
    grown = [part.buffer(HAIR_MM, join_style="mitre") for part in (one, other)]
    whole = grown[0].union(grown[1]).buffer(-HAIR_MM, join_style="mitre")
    return whole if whole.geom_type == "Polygon" else one


def _on_ply(ply: Ply, points: FloatArray, span: Span) -> Polygon:
    return orient(Polygon(ply.to_cloth(points, span.lay_length, span.start)))


def _hand(problem: Problem, item: Item, ply: Ply, placement: Placement) -> Hand:
    wanted = problem.wanted.get(item.key)
    if wanted is not None and wanted.either:
        return Hand.EITHER
    # Turning the piece over and a ply that lies face down each change the hand.
    turned = (ply.sx * ply.sy < 0) != placement.pose.flip
    return Hand.OTHER if turned else Hand.DRAWN


def _heading(ply: Ply, placement: Placement) -> float:
    turn = math.radians(placement.pose.angle_deg)
    direction = np.array([ply.sx * math.cos(turn), ply.sy * math.sin(turn)])
    return math.degrees(math.atan2(direction[1], direction[0])) % 360.0
