"""The pieces of a garment as a sheet: side by side in rows, each with its lines and words."""

from __future__ import annotations

from dataclasses import replace

from pieces.drafting.alter import open_out
from pieces.drafting.draft import Draft, make_piece, notch_feet
from pieces.drafting.garment import Garment
from pieces.geometry_types import Point, Ring
from pieces.piece import Cut, CutKind, Piece, Side, Turns
from plans.full_size.labels import fitted_label
from plans.full_size.marks import NOTCH_MM
from plans.full_size.sheet import Group, Line, LineKind, Sheet, idents

ROW_MM = 2000.0
"""Width of a row of pieces."""

APART_MM = 30.0


def pieces_sheet(garment: Garment, *other_sizes: Garment) -> Sheet:
    """Put all pieces of a garment on a sheet, and those of its other sizes behind them."""
    every = [(made, piece) for made in (garment, *other_sizes) for piece in made.pieces]
    names = idents(
        [f"{piece.name}-{made.size}" if other_sizes else piece.name for made, piece in every]
    )
    groups = []
    left = top = tallest = 0.0
    for (made, piece), ident in zip(every, names, strict=True):
        draft = next((draft for draft in made.drafts if draft.name == piece.name), None)
        outline = plain_outline(piece, draft)
        xs, ys = [x for x, _ in outline], [y for _, y in outline]
        if left > 0.0 and left + max(xs) - min(xs) > ROW_MM:
            left, top, tallest = 0.0, top - tallest - APART_MM, 0.0
        shift = (left - min(xs), top - max(ys))
        groups.append(_group(piece, ident, outline, shift, made, draft))
        left += max(xs) - min(xs) + APART_MM
        tallest = max(tallest, max(ys) - min(ys))
    facts = (("Style Name", garment.title), ("Units", "METRIC"))
    size = (("Sample Size", garment.size),) if garment.size else ()
    return Sheet(garment.title, tuple(groups), True, (*facts, *size))


def plain_outline(piece: Piece, draft: Draft | None) -> Ring:
    """Return the cutting line without the notches that stand out from it; they are drawn as marks.

    Without its draft a piece keeps its outline as it is.
    """
    if draft is None or not piece.notches:
        return piece.outline
    plain = make_piece(replace(draft, notches=()))
    return open_out(plain).outline if draft.opened_out else plain.outline


def not_said(garment: Garment) -> list[str]:
    """List what pieces know that a drawing has no words for."""
    told = []
    for piece in garment.pieces:
        if piece.turns is not Turns.ALONG:
            told.append(f"'{piece.name}' may be turned {piece.turns.value}: turns")
        if piece.joining is not None:
            told.append(f"'{piece.name}' may be cut in parts and joined: joinable")
        if piece.heading_free:
            told.append(f"'{piece.name}' may lie either way on one-way cloth: heading_free")
        if piece.match_points:
            told.append(f"'{piece.name}' has points that match a design: match")
    return told


def _group(
    piece: Piece, ident: str, outline: Ring, shift: Point, garment: Garment, draft: Draft | None
) -> Group:
    dx, dy = shift

    def moved(point: Point) -> Point:
        return (point[0] + dx, point[1] + dy)

    def line(kind: LineKind, points: tuple[Point, ...], closed: bool = False) -> Line:
        return Line(kind, tuple(map(moved, points)), closed)

    lines = [line(LineKind.OUTLINE, outline, closed=True)]
    if piece.stitching is not None:
        lines.append(line(LineKind.NET, piece.stitching, closed=True))
    lines.append(line(LineKind.GRAIN, piece.grain))
    if piece.fold is not None:
        lines.append(line(LineKind.FOLD, piece.fold))
    # Where the outline still has its notches, they need no marks.
    has_marks = draft is not None and outline is not piece.outline
    feet = notch_feet(draft, outline) if draft is not None and has_marks else ()
    cuts = tuple(f"{cut.role}: {cut.label}" for cut in piece.cuts)
    size = (f"size {garment.size}",) if garment.size else ()
    # Of several garments the piece's name says whose it is.
    whose = () if piece.owner else (garment.title,)
    words = (*cuts, "allowance included", *size, *whose)
    return Group(
        piece.name,
        ident,
        tuple(lines),
        tuple((moved(foot.at), moved(foot.inward(NOTCH_MM))) for foot in feet),
        fitted_label(
            lines, ((piece.name, *words), (piece.name, "; ".join(cuts), "allowance included"))
        ),
        _facts(piece, garment),
    )


def _facts(piece: Piece, garment: Garment) -> tuple[tuple[str, str], ...]:
    facts = [("Piece Name", piece.name)]
    if garment.size:
        facts.append(("Size", garment.size))
    if piece.cuts:
        facts.append(("Quantity", _hands(piece.cuts[0], piece.drawn_hand)))
        facts.append(("Material", piece.cuts[0].role))
    facts += [("Annotation", f"{cut.role}: {cut.label}") for cut in piece.cuts]
    return (*facts, ("Annotation", "allowance included"))


def _hands(cut: Cut, drawn: Side | None) -> str:
    """Right and left copies, as pattern data counts them."""
    if cut.kind is CutKind.PAIR:
        return f"{cut.count - cut.count // 2},{cut.count // 2}"
    return f"0,{cut.count}" if drawn is Side.LEFT else f"{cut.count},0"
