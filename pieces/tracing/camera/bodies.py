"""Flat things of known size that lie in the picture: sheets of paper, pages of marks."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.geometry_types import FloatArray, Point


@dataclass(frozen=True)
class Side:
    """A straight stretch of a body and where it was seen.

    Attributes
    ----------
    start, end : Point
        Its ends on the body, mm.
    seen : FloatArray
        Spots of it in the picture, px.
    bright_left : bool
        Whether the brighter side of it lies to the left of who walks from start to end.
    """

    start: Point
    end: Point
    seen: FloatArray
    bright_left: bool


@dataclass(frozen=True)
class Body:
    """A flat thing of known size: its name for messages, its sides, and how true its size is.

    Attributes
    ----------
    name : str
        As people call it: "the sheet at the upper left".
    sides : tuple of Side
    corners : FloatArray
        The four corners of its rim as seen, px, in the order of `ring`.
    ring : tuple of Point
        The same four on the body, mm, counter-clockwise seen from above; upright for all bodies.
    true_within : float
        Standard deviation of its width and height, mm.
    """

    name: str
    sides: tuple[Side, ...]
    corners: FloatArray
    ring: tuple[Point, ...]
    true_within: float

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, mm."""
        (x1, y1), _, (x2, y2), _ = self.ring
        return x2 - x1, y2 - y1
