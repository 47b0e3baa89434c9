"""What does not meet at a seam, and where."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.geometry_types import Point


@dataclass(frozen=True)
class Mismatch:
    """One thing that does not meet.

    Attributes
    ----------
    message, fix : str
        What is wrong, naming both edges and the difference; what would be right.
    places : tuple of (str, Point)
        Where it is: piece and point, in the coordinates of the piece (mm).
    """

    message: str
    fix: str
    places: tuple[tuple[str, Point], ...]
