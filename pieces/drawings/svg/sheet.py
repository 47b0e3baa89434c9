"""What an SVG document shows: strokes and writings on a sheet, in pixels, y down."""

from __future__ import annotations

from dataclasses import dataclass, field

from pieces.drawings.svg.matrix import Matrix
from pieces.findings import Finding
from pieces.readers.svg_path import SubPath


@dataclass(frozen=True)
class Mark:
    """What an element is called: one group, shape or text as it stands on the sheet.

    `number` tells instances of one element apart.
    """

    number: int
    tag: str
    ident: str
    title: str
    classes: str
    line: int

    @property
    def place(self) -> str:
        """How the element is named in messages."""
        name = f" '{self.ident}'" if self.ident else ""
        return f"{self.tag}{name} (line {self.line})"


@dataclass(frozen=True)
class Stroke:
    """A shape that is seen: its parts in its own units, and the way from there to the sheet."""

    mark: Mark
    groups: tuple[Mark, ...]
    parts: tuple[SubPath, ...]
    matrix: Matrix
    arrow_at_start: bool = False


@dataclass(frozen=True)
class Writing:
    """A text that is seen, line by line, and where it begins on the sheet (pixels)."""

    mark: Mark
    groups: tuple[Mark, ...]
    text: str
    at: complex


@dataclass
class Sheet:
    """What a document shows, in pixels, y down.

    Attributes
    ----------
    strokes, writings : list
    left_out : list of Stroke
        What the user wants left out; it can be measured all the same.
    physical : bool
        Whether the document says how large it is; a pixel is 1/96 in then.
    unit : str
        The unit in which its user thinks.
    in_pixels : bool
        Whether that size was stated in pixels, which may be an afterthought.
    width, height : float
        Of the whole sheet.
    title : str
    findings : list of Finding
    ignored : dict of str to int
        What was left out, in words, and how often.
    """

    strokes: list[Stroke] = field(default_factory=list)
    writings: list[Writing] = field(default_factory=list)
    left_out: list[Stroke] = field(default_factory=list)
    physical: bool = False
    unit: str = "cm"
    in_pixels: bool = False
    width: float = 0.0
    height: float = 0.0
    title: str = ""
    findings: list[Finding] = field(default_factory=list)
    ignored: dict[str, int] = field(default_factory=dict)
