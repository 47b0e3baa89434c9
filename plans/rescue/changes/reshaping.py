"""Pieces cut another way: a strip in two, a folded piece with a seam down its middle."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from shapely.geometry import Polygon
from shapely.geometry.polygon import orient

from pieces.drafting.strips import split_strip
from pieces.piece import Cut, CutKind, Joining, Piece, Turns
from plans.problem.demand import Demand

LEAST_LENGTH_MM = 300.0
"""Strips shorter than this are not joined (common practice, no source)."""

LEAST_RATIO = 3.0
"""A rectangle at least so many times as long as it is wide is called a strip here."""

SAME_SHARE = 1e-4
"""A piece whose area differs from that of its box by less is a rectangle."""


def strip_size(demand: Demand) -> tuple[float, float] | None:
    """Size along and across the grain (mm) of a long rectangle; None for every other piece."""
    if demand.piece.match_points:
        return None
    points = np.asarray(demand.whole)
    along, across = (float(side) for side in np.ptp(points, axis=0))
    if abs(demand.area - along * across) > SAME_SHARE * along * across:
        return None
    long, short = max(along, across), min(along, across)
    return (along, across) if long >= max(LEAST_LENGTH_MM, LEAST_RATIO * short) else None


def in_two(demand: Demand, allowance: float) -> tuple[Piece, ...]:
    """Cut a long rectangle in two equal parts, each longer by the allowance (mm) at the join.

    The grain runs as before. A bias strip made by size is joined on the straight grain.

    Raises
    ------
    ValueError
        If the piece is no long rectangle.
    """
    size = strip_size(demand)
    if size is None:
        raise ValueError(f"'{demand.key}' is no strip")
    piece = demand.piece
    if piece.strip is not None and piece.turns is Turns.BIAS:
        joinable = replace(piece, joining=Joining(0.0, allowance, on_grain=True))
        return tuple(replace(part, joining=None) for part in split_strip(joinable, 2))
    along, across = size
    if along >= across:
        along = along / 2.0 + allowance
    else:
        across = across / 2.0 + allowance
    count = demand.cut.count
    part = replace(
        piece,
        outline=((0.0, 0.0), (along, 0.0), (along, across), (0.0, across)),
        grain=((0.2 * along, across / 2.0), (0.8 * along, across / 2.0)),
        cuts=(Cut(demand.cut.role, _kind(demand), count),),
        stitching=None,
        fold=None,
        notches=(),
        joining=None,
        strip=None,
    )
    return tuple(replace(part, name=f"{piece.name} part {k} of 2") for k in (1, 2))


def _kind(demand: Demand) -> CutKind:
    return CutKind.SAME_WAY if demand.cut.kind is CutKind.FOLD else demand.cut.kind


def with_centre_seam(demand: Demand, allowance: float) -> Piece:
    """Cut a piece drawn on the fold as a left and a right half, with a seam in place of the fold.

    The allowance (mm) is added along the whole fold edge, square to it.

    Raises
    ------
    ValueError
        If the piece is not cut on the fold.
    """
    piece = demand.piece
    if piece.fold is None or demand.half is None:
        raise ValueError(f"'{demand.key}' is not cut on the fold")
    first, last = np.asarray(piece.fold[0]), np.asarray(piece.fold[1])
    axis = (last - first) / np.hypot(*(last - first))
    normal = np.array([-axis[1], axis[0]])
    body = float(np.mean((np.asarray(piece.outline) - first) @ normal))
    out = (-normal if body > 0.0 else normal) * allowance
    ring = Polygon(piece.outline).union(Polygon([first, last, last + out, first + out]))
    points = np.asarray(orient(Polygon(ring.exterior), 1.0).exterior.coords)[:-1]
    return replace(
        piece,
        outline=tuple((float(x), float(y)) for x, y in points),
        fold=None,
        cuts=(Cut(demand.cut.role, CutKind.PAIR, 2 * demand.cut.count),),
    )
