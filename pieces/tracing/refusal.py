"""Why a photograph is not measured: a wrong scale is worse than none."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.errors import PieceError
from pieces.geometry_types import Point


@dataclass(frozen=True)
class Place:
    """A spot of a photograph that a message is about: px, and what is wrong there."""

    at: Point
    words: str


class UntraceableError(PieceError):
    """A sound photograph that no size can be taken from; the message says what would help.

    Attributes
    ----------
    places : tuple of Place
        Where in the picture the trouble is, for the overlay.
    """

    def __init__(self, message: str, places: tuple[Place, ...] = ()) -> None:
        self.places = places
        super().__init__(message)
