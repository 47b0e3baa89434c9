"""What comes of one photograph: pieces with their sizes and errors, and what it was measured by."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.geometry_types import FloatArray, Point
from pieces.tracing.camera.judging import BodyCheck
from pieces.tracing.outlines.traced import Outline
from pieces.tracing.picture.photo import Photo


@dataclass(frozen=True)
class TracedPiece:
    """A piece of paper as it was measured.

    Attributes
    ----------
    number : int
        As it is numbered in the picture, counted through all photographs.
    outline : Outline
        mm, y up, the lower left corner of what it fills at 0, 0.
    length, width : float
        Sides of the smallest rectangle round it, mm.
    error : float
        Stated error of its longest measure, mm: 95 of 100 are within it.
    seen : FloatArray
        Its rim in the picture, px.
    edge_spots : tuple of (Point, Point, Point)
        Start, middle and end of each edge in the picture, px.
    arrow, arrow_seen : (Point, Point) or None
        Tail and head of an arrow drawn on it, in the frame of the outline, mm, and in the picture,
        px.
    unlike : bool
        Whether it is of a colour that neither another piece nor a reference has.
    """

    number: int
    outline: Outline
    length: float
    width: float
    error: float
    seen: FloatArray
    edge_spots: tuple[tuple[Point, Point, Point], ...]
    arrow: tuple[Point, Point] | None = None
    arrow_seen: tuple[Point, Point] | None = None
    unlike: bool = False


@dataclass(frozen=True)
class KnownCheck:
    """A length that is known: what the tape says, what the picture says, its stated error, mm.

    `spots` are its ends in the picture, px.
    """

    told: float
    measured: float
    error: float
    spots: tuple[Point, Point]


@dataclass(frozen=True)
class TracedPhoto:
    """A photograph, the references found in it with what was left over, and its pieces.

    Attributes
    ----------
    reference : str
        What it was measured by, in words: "4 sheets of A4".
    paper : str or None
        Of what size its sheets are, by their shape; None of marks.
    references : tuple of FloatArray
        Corners of each, px.
    checks : tuple of BodyCheck
    tilt : float
        Degrees from straight above.
    known : KnownCheck or None
        The known length, where one was named.
    metre_error : float
        Stated error (mm, 95 %) of a length of a metre across the pieces.
    """

    photo: Photo
    reference: str
    paper: str | None
    references: tuple[FloatArray, ...]
    checks: tuple[BodyCheck, ...]
    tilt: float
    metre_error: float
    known: KnownCheck | None
    pieces: tuple[TracedPiece, ...]
