"""What a garment file says, in a few lines that a person can check against the draft."""

from __future__ import annotations

import math

import numpy as np

from pieces.drafting.alter import open_out
from pieces.drafting.garment import Garment
from pieces.lengths import format_in
from pieces.piece import Piece


def garment_summary(garment: Garment) -> list[str]:
    """Return lines: pieces and sizes, what is cut from what, the longest and the widest piece."""
    count = len(garment.pieces)
    head = f"{garment.title}: {count} piece{'s' if count != 1 else ''}"
    if garment.sizes:
        listed = (f"{s} (shown here)" if s == garment.size else s for s in garment.sizes)
        head += f", sizes {', '.join(listed)}"
    lines = [head]
    for role in garment.roles:
        cuts = [(p, cut) for p in garment.pieces if (cut := p.cut_for(role)) is not None]
        copies = sum(cut.count for _, cut in cuts)
        named = ", ".join(f"{p.name} ({p.label_of(cut).removeprefix('cut ')})" for p, cut in cuts)
        cop = "copy" if copies == 1 else "copies"
        lines.append(f"from {role}: {copies} {cop} in all: {named}")
    uncut = [piece.name for piece in garment.pieces if not piece.cuts]
    if uncut:
        lines.append(f"cut from nothing: {', '.join(uncut)}")
    sizes = {piece.name: _along_across(piece) for piece in garment.pieces}
    longest = max(sizes, key=lambda name: sizes[name][0])
    widest = max(sizes, key=lambda name: sizes[name][1])
    long, wide = sizes[longest][0], sizes[widest][1]
    lines.append(
        f"longest along the grain: {longest}, {format_in(long, garment.unit)}; widest across it: "
        f"{widest}, {format_in(wide, garment.unit)} (whole pieces, with allowance)"
    )
    return lines


def _along_across(piece: Piece) -> tuple[float, float]:
    """Extents (mm) of the whole piece along its grain and across it."""
    (x1, y1), (x2, y2) = piece.grain
    length = math.hypot(x2 - x1, y2 - y1)
    cos, sin = (x2 - x1) / length, (y2 - y1) / length
    turned = np.asarray(open_out(piece).outline) @ np.array([[cos, -sin], [sin, cos]])
    size = np.ptp(turned, axis=0)
    return float(size[0]), float(size[1])
