"""A pattern piece: what is cut, how often, and how it may be turned."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from pieces.geometry_types import Point, Ring
from pieces.lengths import System, format_length


class Turns(Enum):
    """Turns against the grain that a piece allows."""

    ALONG = "along"
    """Grain arrow along the warp, either way up (0 and 180 degrees)."""
    ACROSS = "across"
    """Grain arrow across the warp (90 and 270 degrees)."""
    BIAS = "bias"
    """Grain arrow at 45 degrees to the warp, and its kin."""
    ANY = "any"
    """Any way round: non-woven interfacing, felt."""


class Side(Enum):
    """Side of the wearer; the value is how files and people call it."""

    RIGHT = "right"
    LEFT = "left"

    @property
    def other(self) -> Side:
        """The side across from it."""
        return Side.LEFT if self is Side.RIGHT else Side.RIGHT


class CutKind(Enum):
    """How copies of a piece come about, in the words of pattern labels."""

    FOLD = "fold"
    """Drawn as a half, its fold edge laid on a fold."""
    PAIR = "pair"
    """Left and right hands in equal number."""
    SAME_WAY = "same way"
    """All of the hand that is drawn."""


@dataclass(frozen=True)
class Cut:
    """How many copies of a piece one fabric role takes (`count` counts whole copies)."""

    role: str
    kind: CutKind
    count: int

    @property
    def label(self) -> str:
        """Cut label in the trade's words, for example "cut 1 on fold" or "cut 2"."""
        if self.kind is CutKind.FOLD:
            return f"cut {self.count} on fold"
        if self.kind is CutKind.SAME_WAY and self.count > 1:
            return f"cut {self.count} same way"
        return f"cut {self.count}"


@dataclass(frozen=True)
class MatchPoint:
    """A point on the stitching line whose place in a repeating design pieces of a group share.

    `bar` says what of the design lies there across the cloth: "axis" (what lies on its declared
    axis of symmetry), "between" (what lies halfway between two such), a distance from the axis
    (mm), or None (whatever suits). With `along_only` the point is matched along the cloth alone.
    """

    group: str
    at: Point
    bar: str | float | None = None
    along_only: bool = False


@dataclass(frozen=True)
class Change:
    """A change that was made to a draft: what was done, by so much (mm) if by anything, where."""

    verb: str
    by: float | None
    where: str
    link: str = "at"

    def words(self, system: System) -> str:
        """The change in words, in the units that figures are shown in."""
        amount = "" if self.by is None else f" by {format_length(self.by, system)}"
        return f"{self.verb}{amount} {self.link} {self.where}"


@dataclass(frozen=True)
class Joining:
    """Leave to cut a strip in parts and join them.

    `min_part` is the least length of a part and `allowance` what each part loses at each join,
    mm; `on_grain` joins bias strips along the straight grain (ends at 45 degrees to the strip).
    """

    min_part: float
    allowance: float
    on_grain: bool = False


@dataclass(frozen=True)
class EdgeAllowance:
    """What is added to the stitching line at one edge, mm; a hem may be cut to turn up flat."""

    edge: str
    width: float
    turned_up: bool = False


@dataclass(frozen=True)
class Piece:
    """One pattern piece, in the coordinates it was drawn in (mm, as seen from its printed side).

    Attributes
    ----------
    name : str
        Unique within the garment.
    outline : Ring
        Cutting line, counter-clockwise, curves flattened within 0.05 mm, outward notches included.
    grain : (Point, Point)
        Tail and head of the grain arrow.
    cuts : tuple of Cut
        One for each role that it is cut in.
    stitching : Ring or None
        Stitching line, where known.
    fold : (Point, Point) or None
        Ends of the straight edge that is laid on a fold.
    turns : Turns
    heading_free : bool
        Whether one-way cloth leaves its heading free (strips only).
    drawn_hand : Side or None
        The hand that is drawn, where the file states it; it is the right one otherwise, but then
        nobody calls the copies by hand.
    notches : tuple of Point
        Where notches sit on the stitching line (or outline), for the picture.
    match_points : tuple of MatchPoint
    joining : Joining or None
        Set on strips that may be joined.
    strip : (float, float) or None
        Cut length and width in mm of a strip made by size.
    notes : tuple of Change
        What the reader did that the user should know.
    net : bool
        Whether the paper is drawn without allowance, which `outline` includes.
    allowances : tuple of EdgeAllowance
        What was added to each edge of a net piece but the fold; empty if the paper includes it.
    owner : str
        Garment that it belongs to where several are cut together, as people call it; its name then
        begins with that.
    times : int
        How many of that garment are made each time.
    """

    name: str
    outline: Ring
    grain: tuple[Point, Point]
    cuts: tuple[Cut, ...]
    stitching: Ring | None = None
    fold: tuple[Point, Point] | None = None
    turns: Turns = Turns.ALONG
    heading_free: bool = False
    drawn_hand: Side | None = None
    notches: tuple[Point, ...] = ()
    match_points: tuple[MatchPoint, ...] = ()
    joining: Joining | None = None
    strip: tuple[float, float] | None = None
    notes: tuple[Change, ...] = field(default=())
    net: bool = False
    allowances: tuple[EdgeAllowance, ...] = ()
    owner: str = ""
    times: int = 1

    def cut_for(self, role: str) -> Cut | None:
        """How this piece is cut in a role, or None if it is not."""
        return next((cut for cut in self.cuts if cut.role == role), None)

    def label_of(self, cut: Cut) -> str:
        """Cut label, with the hand where it is stated: "cut 1, left", "cut 2, left drawn"."""
        if self.drawn_hand is None or cut.kind is CutKind.FOLD:
            return cut.label
        drawn = " drawn" if cut.kind is CutKind.PAIR else ""
        return f"{cut.label}, {self.drawn_hand.value}{drawn}"
