"""The layout problem: polygons, where they may lie, how they may be turned.

It knows polygons and cloth, not garments. All lengths in mm, angles in degrees counter-clockwise.
Every item polygon is given in its *item frame*: grain along +x, tail to head.

Terms
-----
item
    One polygon (or several alternative ones, for a half and its opened-out whole) wanted
    `demand` times. One placement of an item is cut through the plies of the slot that it uses.
slot
    One kind of place where an item may lie: a zone of a section, the plies that it is cut
    through there, the shape used, the poses permitted and, perhaps, a fold edge that it must touch.
pose
    A flip (mirror in the grain: y -> -y, printed side down) followed by a turn.
lattice
    Positions of one point of the shape that keep a repeating design in phase.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import KW_ONLY, dataclass, field
from enum import Enum

from fabrics.spread import FoldEdge, Ply, Spread
from layout.hand import Hand
from pieces.geometry_types import Point, Ring
from pieces.lengths import GAP_MM


@dataclass(frozen=True)
class Pose:
    """How a shape is put down: flipped first (y -> -y) if `flip`, then turned by `angle_deg`."""

    angle_deg: float
    flip: bool = False


@dataclass(frozen=True)
class Placement:
    """One item put down: slot and pose chosen, and the lay position (mm) of its frame's origin."""

    item: int
    slot: int
    pose: Pose
    x: float
    y: float


@dataclass(frozen=True)
class Mark:
    """A point of a shape (item frame) whose place in the design its group shares.

    `mirrored` marks belong to the other hand: the far side of a piece drawn as a half. `bar` is the
    distance (mm) from the axis of the design that the point must keep across, modulo the
    repeat; None leaves that to the group. Without `across` only the phase along counts.
    """

    group: str
    point: Point
    mirrored: bool = False
    bar: float | None = None
    across: bool = True


@dataclass(frozen=True)
class Lattice:
    """In-phase positions: `point` (item frame) must land at phase + k * pitch, by axis.

    A pitch of 0 leaves that axis free. Coordinates are lay coordinates of the section. `marks` are
    all points that must match (empty: `point` alone, in `group`), `axis` is the cloth y in which
    the phase across of mirrored copies is reflected, and `repeats` the repeat along and across (0:
    as the pitches say); these are what the validator goes by.
    """

    point: Point
    pitch_x: float = 0.0
    phase_x: float = 0.0
    pitch_y: float = 0.0
    phase_y: float = 0.0
    group: str = ""
    axis: float | None = None
    marks: tuple[Mark, ...] = ()
    repeats: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True)
class Slot:
    """One kind of place where an item may lie.

    Attributes
    ----------
    section, zone : int
        Indices into the strip's sections and that section's zones (0, 0 on a bounded piece).
    plies : tuple of int
        Plies of the section that are cut. All of the zone's plies, or one of them; the other
        plies of the zone are then blocked under the placement.
    shape : int
        Index into the item's shapes.
    poses : tuple of Pose
        Permitted poses; never empty.
    fold_edge : int or None
        Index of the fold edge of the section that the shape's fold edge (see `Item`) must lie on.
    lattice : Lattice or None
        In-phase positions, if the design must match.
    clearance : float
        Distance in mm kept to the fold edges of the section where `fold_edge` is None, so that
        two copies do not meet at a fold line; dropped by whoever builds the problem if the shape
        fits only without it.
    """

    section: int
    zone: int
    plies: tuple[int, ...]
    shape: int
    poses: tuple[Pose, ...]
    fold_edge: int | None = None
    lattice: Lattice | None = None
    clearance: float = 0.0


@dataclass(frozen=True)
class Item:
    """A polygon wanted `demand` times.

    Attributes
    ----------
    key : str
        Name of the piece, for messages and for counting copies.
    shapes : tuple of Ring
        True outlines (curves flattened within 0.05 mm), item frame. Shape 0 is what is usually
        laid; a fold piece has its half as one shape and the opened-out whole as another.
    demand : int
        Number of placements.
    slots : tuple of Slot
        Permitted places; never empty.
    fold_lines : tuple
        For each shape, the two end points of its fold edge (item frame), or None.
    wholes : tuple of Ring
        For each shape, the outline of one copy as it comes off the cloth (item frame): the shape
        itself, or for a half the whole that opening the fold gives.
    priority : float
        On a bounded piece of cloth where not everything fits: greater is placed first (default:
        area).
    """

    key: str
    shapes: tuple[Ring, ...]
    demand: int
    slots: tuple[Slot, ...]
    fold_lines: tuple[tuple[Point, Point] | None, ...] = (None,)
    wholes: tuple[Ring, ...] = ()
    priority: float | None = None

    def whole(self, shape: int) -> Ring:
        """Outline (item frame) of one copy that a placement of this shape gives."""
        return self.wholes[shape] if self.wholes else self.shapes[shape]


@dataclass(frozen=True)
class Section:
    """A stretch of cloth spread in one way.

    `length_pitch` and `length_phase` (mm): where a repeat fixes the lay length F of a turned
    spread, F is phase + k * pitch; a pitch of 0 leaves it free. `start_pitch` (mm): where a repeat
    must go on in phase from section to section, each begins at a whole multiple of it.

    `fold_at` (mm): the lay length F of a spread that is folded across, where flaws need the fold to
    stay in one place; 0 leaves it to what lies on the spread.
    """

    name: str
    spread: Spread
    length_pitch: float = 0.0
    length_phase: float = 0.0
    start_pitch: float = 0.0
    fold_at: float = 0.0


@dataclass(frozen=True)
class Flaw:
    """A polygon on the cloth (cloth coordinates, washed mm) that no copy may touch."""

    outline: Ring


@dataclass(frozen=True)
class Wanted:
    """How many copies of one piece must come off the cloth, by hand."""

    drawn: int = 0
    other: int = 0
    either: int = 0

    @property
    def total(self) -> int:
        """Copies of all hands."""
        return self.drawn + self.other + self.either

    def of(self, hand: Hand) -> int:
        """Copies of one hand."""
        return {Hand.DRAWN: self.drawn, Hand.OTHER: self.other, Hand.EITHER: self.either}[hand]


class OneHeading(Enum):
    """What one-way cloth demands of the headings of a piece's copies."""

    SAME = "same"
    """One heading for all copies of all such pieces."""
    MIRROR = "mirror"
    """One heading up to reflection in the warp for the copies of this piece."""
    FREE = "free"
    """Nothing."""


@dataclass(frozen=True)
class Grain:
    """What headings (degrees on the cloth, tail to head) a piece may take; None means any."""

    headings: tuple[float, ...] | None = (0.0, 180.0)
    one_heading: OneHeading = OneHeading.SAME


@dataclass(frozen=True)
class Span:
    """Where a section lies on the cloth, all mm.

    Cut `begin` to `end`; `start` is the cloth x of its lay origin (see `fabrics.spread.Ply`) and
    `lay_length` its F.
    """

    begin: float
    end: float
    start: float
    lay_length: float


@dataclass(frozen=True)
class Problem(ABC):
    """What is to be laid, on whatever cloth; each kind of cloth is a problem of its own.

    A problem is checked when it is made (`layout.problem_checks`), so that whoever gets one may
    follow its indices.

    Attributes
    ----------
    items : tuple of Item
    gap : float
        Distance kept between copies of different placements, flaws and section boundaries, mm.
    one_way : bool
        Whether all heads must point one way.
    faces_alike : bool
        Whether both faces of the cloth are the same, so that hands do not matter.
    wanted : dict
        Copies demanded by piece key.
    grain : dict
        Permitted headings by piece key; missing keys may lie along the grain either way.
    """

    items: tuple[Item, ...]
    _: KW_ONLY
    gap: float = GAP_MM
    one_way: bool = False
    faces_alike: bool = False
    wanted: dict[str, Wanted] = field(default_factory=dict)
    grain: dict[str, Grain] = field(default_factory=dict)

    @property
    @abstractmethod
    def may_leave_out(self) -> bool:
        """Whether a layout may leave out what finds no place, if it names it."""

    @abstractmethod
    def zone_plies(self, slot: Slot) -> tuple[int, ...]:
        """Plies that lie where a slot is, cut or not."""

    @abstractmethod
    def ply(self, slot: Slot, ply: int) -> Ply:
        """One of the plies that a slot is cut through."""

    @abstractmethod
    def fold_edge(self, slot: Slot) -> FoldEdge | None:
        """The fold edge that a slot lies against, if any."""

    @abstractmethod
    def spans(self, extents: tuple[float, ...]) -> tuple[Span, ...]:
        """Where each section lies on the cloth, their lay extents (mm) being known."""
