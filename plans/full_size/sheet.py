"""What is drawn at full size, whatever the format: groups of lines and words, in mm, y up."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from pieces.geometry_types import Point


class LineKind(Enum):
    """What a line is; the value is what files call it."""

    OUTLINE = "outline"
    NET = "net"
    GRAIN = "grain"
    FOLD = "fold"
    """An edge of a piece that lies on a fold."""
    CLOTH = "cloth"
    """The edges of the lay."""
    USABLE = "usable"
    """Where usable cloth ends: along a selvage, or where plies end."""
    FOLDED = "folded edge"
    """Where the cloth itself is folded."""


@dataclass(frozen=True)
class Line:
    """A line on the sheet; the first point of a closed one is not repeated."""

    kind: LineKind
    points: tuple[Point, ...]
    closed: bool = False


@dataclass(frozen=True)
class Label:
    """Lines of text: the size of letters in mm, turned by so many degrees.

    They stand round `at`, or to the right of it with `from_left`.
    """

    lines: tuple[str, ...]
    at: Point
    height: float
    turn: float = 0.0
    from_left: bool = False


@dataclass(frozen=True)
class Group:
    """What belongs together: a piece, or a section of a lay.

    Attributes
    ----------
    name : str
        What people call it.
    ident : str
        Letters, digits and - only; unique on the sheet.
    lines : tuple of Line
    notches : tuple of (Point, Point)
        Ends of each notch mark: on the outline, and within.
    label : Label or None
    facts : tuple of (str, str)
        What a file of pattern data says of a piece: identifier and value.
    """

    name: str
    ident: str
    lines: tuple[Line, ...]
    notches: tuple[tuple[Point, Point], ...] = ()
    label: Label | None = None
    facts: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Sheet:
    """Everything in one file; `of_pieces` tells a garment's pieces from the lays of a plan."""

    title: str
    groups: tuple[Group, ...]
    of_pieces: bool
    facts: tuple[tuple[str, str], ...] = ()

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least and greatest x and y of everything: x_from, y_from, x_to, y_to."""
        points = [p for group in self.groups for line in group.lines for p in line.points]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return min(xs), min(ys), max(xs), max(ys)


def idents(names: list[str]) -> list[str]:
    """Make an id of letters, digits and - for each name, each of its own."""
    found: list[str] = []
    for name in names:
        plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in name).strip("-")
        base = plain[:20].strip("-") or "piece"
        ident, number = base, 1
        while ident.upper() in {other.upper() for other in found}:
            number += 1
            ident = f"{base}-{number}"
        found.append(ident)
    return found
