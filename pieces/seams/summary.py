"""The seams of a garment in lines: what was walked, how long it is, and whether it meets."""

from __future__ import annotations

from pieces.drafting.garment import Garment
from pieces.lengths import format_in
from pieces.seams.walk import WalkedSeam, walk


def seam_summary(garment: Garment) -> list[str]:
    """Return a line for each declared seam; nothing where none is declared."""
    return [
        f"seam {k}: {seam_words(seam, garment.unit)}"
        for k, seam in enumerate(walk(garment), start=1)
        if seam is not None
    ]


def seam_words(seam: WalkedSeam, unit: str | None) -> str:
    """One line: both sides, their lengths, the ease, and whether they meet."""
    first, second = (format_in(length, unit) for length in seam.lengths)
    ease = f", with {format_in(seam.ease, unit)} of ease" if seam.ease else ""
    found = len(seam.mismatches)
    end = f"{found} question{'s' if found > 1 else ''}" if found else "they meet"
    return f"{seam.first} {first}, {seam.second} {second}{ease}: {end}"
