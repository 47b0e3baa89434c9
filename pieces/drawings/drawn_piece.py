"""What every kind of drawing is read into: pieces with an outline, and what is known of each.

A reader of one format (SVG, DXF) gives a `Drawing`; everything behind it is the same for all:
`answers.py` (what the user adds), `garment_data.py` (what a garment file would say) and
`loading.py` (the garment).
"""

from __future__ import annotations

from dataclasses import dataclass

from pieces.findings import Finding
from pieces.geometry_types import Point
from pieces.outline import Edge


@dataclass(frozen=True)
class DrawnPiece:
    """One piece as a drawing shows it: mm, y up, seen from its printed side.

    Attributes
    ----------
    name : str
        What it will be called; unique within the drawing and the size.
    ident : str
        What the drawing calls it (an id, the name of a block): options name a piece so, or by
        its name.
    where : str
        Where it stood in the file, in words, for messages.
    edges : tuple of Edge
        The closed outline, one named edge after another.
    fold : str or None
        Name of the edge that lies on the fold.
    grain : (Point, Point) or None
        Tail and head of the grain line.
    notches : tuple of Point
        Where notches sit on the outline, or near it.
    cuts : tuple of (str, str)
        Role and cut label, in the words of garment files ("1 on fold"); an empty role is the
        garment's one role.
    net : bool or None
        Whether the outline is the stitching line; None if the drawing does not tell.
    allowance : float or None
        What is to be added to a net outline, mm, where the drawing tells.
    hand : str
        "right" or "left": the hand that is drawn.
    size : str
        The size that it is of, where the drawing holds several.
    role : str
        What it is cut from, where the drawing tells that but not how often.
    asked : str
        What the drawing says of how often it is cut, in words, where that does not settle it.
    """

    name: str
    ident: str
    where: str
    edges: tuple[Edge, ...]
    fold: str | None = None
    grain: tuple[Point, Point] | None = None
    notches: tuple[Point, ...] = ()
    cuts: tuple[tuple[str, str], ...] = ()
    net: bool | None = None
    allowance: float | None = None
    hand: str = "right"
    size: str = ""
    role: str = ""
    asked: str = ""


@dataclass(frozen=True)
class Drawing:
    """A drawing read: its pieces, what is wrong or doubtful, and what was left out.

    Attributes
    ----------
    source : str
        Path of the file, for messages.
    title : str
        What the drawing says it shows; may be empty.
    unit : str
        "mm", "cm" or "in": the unit in which its user thinks.
    pieces : tuple of DrawnPiece
        In the order of the file; with several sizes, one for each piece and size.
    findings : tuple of Finding
        What is wrong (fatal) or doubtful.
    ignored : tuple of str
        What was not understood or is of no use here, each named once, in words.
    sizes : tuple of str
        Smallest first; empty if the drawing holds one size.
    drawn_size : str
        The size that is taken where none is asked for.
    """

    source: str
    title: str = ""
    unit: str = "cm"
    pieces: tuple[DrawnPiece, ...] = ()
    findings: tuple[Finding, ...] = ()
    ignored: tuple[str, ...] = ()
    sizes: tuple[str, ...] = ()
    drawn_size: str = ""
