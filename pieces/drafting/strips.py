"""Strips by length and width, along the grain or on the bias, and their joins."""

from __future__ import annotations

from dataclasses import replace

from pieces.drafting.draft import Draft
from pieces.geometry_types import Point
from pieces.outline import Edge, OutlineError
from pieces.piece import EdgeAllowance, Piece, Turns

GRAIN_SHARE = 0.6
"""Length of a strip's grain arrow as a share of the strip."""


def strip_draft(
    name: str, length: float, width: float, bias: bool = False, allowance: float = 0.0
) -> Draft:
    """Draft a strip; all lengths mm.

    The arrow runs along the strip; that of a bias strip is laid at 45 degrees to the warp. A net
    strip of length l and width w with allowance a all round is cut (l + 2a) x (w + 2a).
    """
    if length <= 0.0 or width <= 0.0:
        raise OutlineError("a strip needs a length and a width of more than 0")
    corners: tuple[Point, ...] = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    names = ("long", "end", "other long", "other end")
    edges = tuple(Edge(edge, (corners[k], corners[(k + 1) % 4])) for k, edge in enumerate(names))
    return Draft(
        name=name,
        edges=edges,
        grain=_arrow(length, width),
        net=allowance > 0.0,
        allowance=allowance,
        turns=Turns.BIAS if bias else Turns.ALONG,
        strip=(length + 2 * allowance, width + 2 * allowance),
    )


def _arrow(length: float, width: float) -> tuple[Point, Point]:
    half = GRAIN_SHARE * length / 2.0
    return (length / 2.0 - half, width / 2.0), (length / 2.0 + half, width / 2.0)


def split_strip(piece: Piece, parts: int) -> tuple[Piece, ...]:
    """Cut a joinable strip in equal parts, each longer by its share of the joins.

    A strip of cut length L in n parts with join allowance a gives parts of (L + 2a(n - 1)) / n.
    Bias strips joined on the straight grain end at 45 degrees to their length: parallelograms,
    whose length is measured along the strip's middle.

    Raises
    ------
    OutlineError
        If the strip may not be joined or a part would be shorter than permitted.
    """
    if piece.joining is None or piece.strip is None or parts < 2:
        raise OutlineError(f"'{piece.name}' may not be cut in {parts} parts")
    length, width = piece.strip
    part = (length + 2.0 * piece.joining.allowance * (parts - 1)) / parts
    if part < piece.joining.min_part:
        raise OutlineError(f"parts of '{piece.name}' would be shorter than permitted")
    slant = width if piece.turns is Turns.BIAS and piece.joining.on_grain else 0.0
    half = slant / 2.0
    ring: tuple[Point, ...] = (
        (-half, 0.0), (part - half, 0.0), (part + half, width), (half, width),
    )  # fmt: skip
    arrow = _arrow(part, width)
    return tuple(
        replace(
            piece,
            name=f"{piece.name} part {k} of {parts}",
            outline=ring,
            stitching=None,
            grain=arrow,
            notches=(),
            match_points=(),
            strip=(part, width),
            allowances=(*piece.allowances, EdgeAllowance("joins", piece.joining.allowance)),
        )
        for k in range(1, parts + 1)
    )
