"""Lays of rectangles, known by hand: five on cloth a metre wide."""

from __future__ import annotations

from dataclasses import replace

from fabrics.fabric import Fabric
from pieces.drafting.garment import Garment
from pieces.piece import Cut, CutKind, Piece
from plans.answer.planner import plan_garment
from plans.by_hand.reopened import OpenLay, opened
from plans.order import Order
from plans.plan import Plan

CLOTH = Fabric("cloth", "Cloth", width=1000.0, selvage=0.0, faces_alike=True, step=100.0)


def rectangle(name: str, length: float, width: float, count: int = 1) -> Piece:
    return Piece(
        name=name,
        outline=((0.0, 0.0), (length, 0.0), (length, width), (0.0, width)),
        grain=((length * 0.25, width / 2), (length * 0.75, width / 2)),
        cuts=(Cut("cloth", CutKind.SAME_WAY, count),),
    )


GARMENT = Garment(
    "tiles",
    "Tiles",
    (rectangle("large", 300.0, 600.0, 2), rectangle("small", 100.0, 300.0, 3)),
)


def order(fabric: Fabric = CLOTH, garment: Garment = GARMENT) -> Order:
    return Order(garment, {"cloth": fabric}, fold="open", gap=10.0, ends=20.0, effort="quick")


def plan_of(asked: Order) -> Plan:
    return plan_garment(asked)


def lay_of(asked: Order) -> OpenLay:
    return opened(plan_of(asked).fabrics[0], asked)


def laid_out(lay: OpenLay, places: dict[int, tuple[float, float]]) -> OpenLay:
    """The lay with the lower left corners of pieces (by index) put to places."""
    for index, (x, y) in places.items():
        placement = lay.layout.placements[index]
        demand = lay.demand(index)
        length, width = demand.whole[2][0] - demand.whole[0][0], demand.whole[2][1] * 2
        upright = replace(placement.pose, angle_deg=0.0)
        there = replace(placement, pose=upright, x=x + length * 0.25, y=y + width / 2)
        lay = lay.put(index, there)
    return lay
