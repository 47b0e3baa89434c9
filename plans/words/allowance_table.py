"""Seam and hem allowances of the pieces of a plan, in words."""

from __future__ import annotations

from pieces.lengths import System, format_allowance
from pieces.piece import EdgeAllowance
from plans.plan import PieceAllowance

HEADS = ("piece", "your paper", "seams and hems", "the outline drawn here")


def allowance_rows(
    allowances: tuple[PieceAllowance, ...], system: System
) -> tuple[tuple[str, ...], ...]:
    """One row for each piece: what its paper has, what is added, what the outline includes."""
    return tuple(
        (f"{one.piece}, {one.parts} parts" if one.parts > 1 else one.piece, *_paper(one, system))
        for one in sorted(allowances, key=lambda a: a.piece)
    )


def _paper(one: PieceAllowance, system: System) -> tuple[str, str, str]:
    if one.net:
        return "without allowance", edge_words(one.edges, system), "includes them: cut along it"
    more = "".join(f"; {edge.edge} {_width(edge.width, system)}" for edge in one.edges)
    return "with allowance", f"in the paper already{more}", "is the paper's own: cut along it"


def edge_words(edges: tuple[EdgeAllowance, ...], system: System) -> str:
    """Say what is added: the usual width, then every edge that differs."""
    widths = [edge.width for edge in edges]
    if not widths:
        return "nothing"
    usual = max(widths, key=lambda width: (widths.count(width), width))
    others = [edge for edge in edges if edge.width != usual or edge.turned_up]
    parts = [f"{_width(usual, system)}{' all round' if not others else ''}"]
    parts += [
        f"{edge.edge} {_width(edge.width, system)}{' (turned up)' if edge.turned_up else ''}"
        for edge in others
    ]
    return "add " + "; ".join(parts) if usual else "; ".join(parts)


def _width(width: float, system: System) -> str:
    return format_allowance(width, system) if width > 0.0 else "none"
