"""Projects of rectangles and circles, for checks against published yardages."""

from __future__ import annotations

import math

from fabrics.fabric import Fabric
from pieces.drafting.garment import Garment
from pieces.piece import Cut, CutKind, Piece, Turns

INCH = 25.4
YARD = 914.4
EIGHTH = YARD / 8


def rectangle(
    name: str, length: float, width: float, count: int = 1, turns: Turns = Turns.ALONG
) -> Piece:
    """A rectangle `length` along the grain by `width` across, inches."""
    a, b = length * INCH, width * INCH
    return Piece(
        name=name,
        outline=((0.0, 0.0), (a, 0.0), (a, b), (0.0, b)),
        grain=((a * 0.25, b / 2), (a * 0.75, b / 2)),
        cuts=(Cut("cloth", CutKind.SAME_WAY, count),),
        turns=turns,
    )


def circle(name: str, diameter: float, corners: int = 72) -> Piece:
    """A circle of a diameter in inches, as a polygon around it."""
    radius = diameter * INCH / 2 / math.cos(math.pi / corners)
    turn = math.pi / corners
    ring = tuple(
        (
            radius * math.cos(turn + 2 * math.pi * k / corners),
            radius * math.sin(turn + 2 * math.pi * k / corners),
        )
        for k in range(corners)
    )
    return Piece(
        name=name,
        outline=ring,
        grain=((-radius / 2, 0.0), (radius / 2, 0.0)),
        cuts=(Cut("cloth", CutKind.SAME_WAY, 1),),
    )


def project(*pieces: Piece) -> Garment:
    """A garment of one role, `cloth`."""
    return Garment("project", "Project", pieces)


def inch_cloth(width: float, step: float = EIGHTH) -> Fabric:
    """Cloth sold by the yard, of a width in inches that is usable to the edge."""
    return Fabric(
        name="cloth",
        title="Cloth",
        width=width * INCH,
        selvage=0.0,
        faces_alike=True,
        step=step,
        imperial=True,
        price_unit=YARD,
    )
