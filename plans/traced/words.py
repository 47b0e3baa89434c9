"""What was traced, in words and figures."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pieces.lengths import System, format_length
from pieces.tracing.result.garment_pieces import GarmentPiece
from pieces.tracing.result.traced_photo import TracedPhoto
from plans.words.lists.tables import grid_table

ROUGH_MM = 3.0
"""From this stated error of a metre on, the lines say how it can be made smaller."""

SHEETS_SPREAD = 4


def photo_lines(photo: TracedPhoto) -> list[str]:
    """By what a photograph was measured, and how well that fits."""
    name = Path(photo.photo.source).name
    off = max(check.off for check in photo.checks)
    lines = [
        f"{name}: measured by {photo.reference}, which fit within {off:.2f} mm; a metre is within "
        f"{photo.metre_error:.1f} mm (95 of 100 are)"
    ]
    if photo.known is not None:
        off = photo.known.measured - photo.known.told
        lines.append(
            f"{name}: the known length of {photo.known.told:.0f} mm measures "
            f"{photo.known.measured:.1f} mm, {off:+.1f} (within {photo.known.error:.1f} stated)"
        )
    elif photo.paper == "A4":
        lines.append(
            f"{name}: nothing in it tells A5 or A3 from A4, of the same shape, and all sizes would "
            "be wrong by 1.4 times; measure one of these by hand, or name a length with --known"
        )
    if photo.metre_error > ROUGH_MM and len(photo.references) < SHEETS_SPREAD:
        lines.append(f"{name}: four sheets spread round the pieces would tell it better")
    return lines


def piece_table(pieces: Sequence[GarmentPiece], system: System) -> str:
    """List the pieces with their sizes and stated errors."""
    rows = [
        (
            " = ".join(str(number) for number in piece.numbers),
            piece.name,
            f"{format_length(piece.length, system)} x {format_length(piece.width, system)}",
            f"{piece.error:.1f} mm",
            str(len(piece.outline.edges)),
            "" if piece.difference is None else f"{piece.difference:.1f} mm",
        )
        for piece in pieces
    ]
    return grid_table(("number", "piece", "size", "within", "edges", "met again"), rows)


def unlike_lines(photos: Sequence[TracedPhoto]) -> list[str]:
    """Ask about what may be no paper."""
    return [
        f"question: piece {piece.number} is of a colour that no other paper has: if it is a foot, "
        "a tape or the like, call it - in --names, and it is left out"
        for photo in photos
        for piece in photo.pieces
        if piece.unlike
    ]


def same_lines(pairs: Sequence[tuple[int, int, float]]) -> list[str]:
    """Ask about pieces of different photographs that may be one."""
    return [
        f"question: pieces {a} and {b} differ by {off:.1f} mm at most; if they are one, give both "
        "one name in --names, and their mean is taken"
        for a, b, off in pairs
    ]
