"""A plan: all facts that an output shows, as plain frozen values. Lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

from fabrics.buying import Purchase
from fabrics.fabric import Fabric
from fabrics.folds.ply_name import PlyName
from fabrics.lay_edges import EdgeName
from fabrics.region import Region
from fabrics.spread import Fold, Spread
from layout.bounds.terms.bound import BoundKind, Share
from layout.effort import LEAST_MEMBERS
from layout.hand import Hand
from layout.layout import EndedBy
from pieces.geometry_types import Point, Ring
from pieces.outline import ring_length
from pieces.piece import EdgeAllowance, MatchPoint, Side


@dataclass(frozen=True)
class Copy:
    """One copy as it comes off the cloth (cloth coordinates, whole outline)."""

    outline: Ring
    hand: Hand
    ply: PlyName
    """Ply that it is cut from; for a copy on the fold, the lower one."""
    heading_deg: float
    side: Side | None = None
    """Side of the wearer that it is for, where the garment states it."""


@dataclass(frozen=True)
class PieceAllowance:
    """The allowances of one piece; the outlines of a plan are cutting lines and include them.

    `net` tells whether the paper is without them; if so, `edges` are what is added to it.
    """

    piece: str
    net: bool
    edges: tuple[EdgeAllowance, ...]
    parts: int = 1
    """In how many parts a joined strip is cut."""


@dataclass(frozen=True)
class PinPoint:
    """Where one end of the grain arrow lies on the lay.

    `from_end` is the distance from the section's cut end (from the fold, on a crosswise fold) and
    `from_edge` the distance from the long edge that is nearest, mm, whose name is `edge`.
    """

    from_end: float
    from_edge: float
    edge: EdgeName


@dataclass(frozen=True)
class Whose:
    """Whose a piece is, where several garments are cut together.

    `garment` is what the garment is called, and begins the piece's name; `which` are the ones of
    `of` such garments that what lies here is for, counted from 1.
    """

    garment: str
    which: tuple[int, ...] = (1,)
    of: int = 1


@dataclass(frozen=True)
class PlannedGarment:
    """A garment of several in a plan: what it is called, and how many of it are made."""

    name: str
    count: int


@dataclass(frozen=True)
class PlacedPiece:
    """One placement: what lies where on the lay of its section (lay coordinates, mm)."""

    number: int
    piece: str
    role: str
    label: str
    section: int
    plies: tuple[PlyName, ...]
    outline: Ring
    """What is pinned down: the half, for a piece on the fold."""
    grain: tuple[Point, Point]
    """Tail and head of the grain arrow, inside the outline."""
    face_down: bool
    """Printed side down."""
    on_fold: bool
    fold_edge: tuple[Point, Point] | None
    upper_only: bool
    """Cut through the upper of two plies only."""
    opened: bool
    """Traced whole, though it is drawn as a half."""
    pins: tuple[PinPoint, PinPoint]
    """Tail and head of the grain arrow."""
    copies: tuple[Copy, ...]
    match: tuple[MatchPoint, ...] = ()
    """Match points on the lay."""
    whose: Whose | None = None
    by_hand: bool = False
    """Whether somebody put it where it lies, not a search."""

    @property
    def sides(self) -> tuple[Side, ...]:
        """Sides of the wearer that its copies are for, left before right; none if unstated."""
        found = {copy.side for copy in self.copies}
        return tuple(side for side in (Side.LEFT, Side.RIGHT) if side in found)


@dataclass(frozen=True)
class SectionPlan:
    """One section: how to spread it and what stretch of cloth it takes (washed mm)."""

    name: str
    spread: Spread
    extent: float
    lay_length: float
    start: float
    cloth_from: float
    cloth_to: float
    how: str
    """How to make the fold, in a sentence with figures."""
    folded_at: float | None = None
    """How far from the cut end it is folded across, where flaws give the fold a place."""


@dataclass(frozen=True)
class FoldReport:
    """What another spread would have needed."""

    fold: Fold
    buy: float | None
    length: float | None
    reason: str
    """Why it cannot be, or a remark; empty otherwise."""


@dataclass(frozen=True)
class Changed:
    """How a layout came of one that a search found: pieces were moved by hand, or kept.

    `length` and `bought` (mm) are those of the layout that was found; `kept` the numbers of the
    pieces that stayed where they were while the rest was laid again.
    """

    length: float
    bought: float
    kept: tuple[int, ...] = ()


@dataclass(frozen=True)
class FabricPlan:
    """Everything about one fabric of a plan."""

    roles: tuple[str, ...]
    fabric: Fabric
    fold: Fold
    sections: tuple[SectionPlan, ...]
    placements: tuple[PlacedPiece, ...]
    gap: float
    ends: float
    slide: float
    """Length bought so that the cut end may slide along a design that must match; else 0."""
    length: float
    """Exact length of washed cloth, the shortest found, with ends and slide."""
    laid: float
    """The same for the layout as it is drawn, stretched within what is bought anyway."""
    bound: float
    bound_kind: BoundKind
    boxes: float
    """What packing boxes would have needed, on the same basis as `length`."""
    purchase: Purchase
    min_width: float
    """Narrowest width as bought at which this same layout holds."""
    utilisation: float
    leftovers: tuple[Region, ...]
    """Worth keeping; cloth coordinates."""
    pieces_share: float
    leftover_share: float
    scrap_share: float
    other_folds: tuple[FoldReport, ...]
    notes: tuple[str, ...]
    """Explanations: one-ply cuts, joined strips, opened-out halves, repeats."""
    ended_by: EndedBy
    warnings: tuple[str, ...] = ()
    """What must not be overlooked: hardly any cloth to spare, shrinkage that nobody stated."""
    allowances: tuple[PieceAllowance, ...] = ()
    """Of every piece that is cut, in the order of the layout."""
    spared: float = 0.0
    """Outline that is traced less than for the shortest layout, on the same purchase."""
    bound_shares: tuple[Share, ...] = ()
    """The pieces that the bound rests on; none named: all of them."""
    bound_across: int = 0
    """How many of them lie side by side at most, where the bound follows from that; else 0."""
    changed: Changed | None = None
    """How it was changed after it was found, if it was."""

    @property
    def has_several_lays(self) -> bool:
        """Whether more than one section of the cloth carries something."""
        return sum(section.extent > 0.0 for section in self.sections) > 1

    @property
    def traced(self) -> float:
        """Outline to trace, mm; along a fold edge nothing is."""
        return sum(
            ring_length(placed.outline)
            - (0.0 if placed.fold_edge is None else math.dist(*placed.fold_edge))
            for placed in self.placements
        )

    @property
    def waste(self) -> float:
        """Share of the bought cloth that is not pieces."""
        return self.leftover_share + self.scrap_share


CUT_WHOLE = "cut whole"
"""Label of what is traced whole, though it is drawn as a half."""


@dataclass(frozen=True)
class LeftoverCopy:
    """One copy on a leftover (the leftover's coordinates, mm), traced whole."""

    number: int
    piece: str
    role: str
    label: str
    hand: Hand
    face_down: bool
    outline: Ring
    grain: tuple[Point, Point]
    """Tail and head of the grain arrow."""
    key: str = field(default="", compare=False)
    """Demand that it meets, while a plan is made; files do not keep it."""
    side: Side | None = None
    """Side of the wearer that it is for, where the garment states it."""
    whose: Whose | None = None

    @property
    def opened(self) -> bool:
        """Traced whole, though it is drawn as a half."""
        return self.label == CUT_WHOLE

    @property
    def sides(self) -> tuple[Side, ...]:
        """Side of the wearer, as `PlacedPiece.sides`."""
        return () if self.side is None else (self.side,)


@dataclass(frozen=True)
class LeftoverCut:
    """What is cut from one leftover of the stash: warp along +x, right side up, a single layer."""

    tag: str
    roles: tuple[str, ...]
    fabric: Fabric
    outline: Ring
    holes: tuple[Ring, ...]
    gap: float
    copies: tuple[LeftoverCopy, ...]
    left: tuple[Region, ...]
    """What will be worth keeping of it."""
    allowances: tuple[PieceAllowance, ...] = ()


@dataclass(frozen=True)
class Saving:
    """What leftovers save of one fabric: purchases (mm) without and with them."""

    roles: tuple[str, ...]
    fabric: Fabric
    without: float
    bought: float
    cost: float | None
    currency: str


@dataclass(frozen=True)
class Plan:
    """A planned garment: one entry for each fabric that is bought, and what lies on leftovers."""

    garment: str
    title: str
    makes: int
    fabrics: tuple[FabricPlan, ...]
    missing_roles: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    on_leftovers: tuple[LeftoverCut, ...] = ()
    savings: tuple[Saving, ...] = ()
    garments: tuple[PlannedGarment, ...] = ()
    """What is cut together, if that is more than one garment."""
    members: int = LEAST_MEMBERS
    """How many searched together: with this many and the same seed it is the same plan again."""
    asked: dict[str, Any] | None = None
    """What it answers, as the data of an order file; see `plans.orders.asked`."""

    @property
    def complete(self) -> bool:
        """Whether every role was planned."""
        return not self.missing_roles

    @property
    def interrupted(self) -> bool:
        """Whether the user stopped the search: roles are missing, or longer than need be."""
        stopped = any(entry.ended_by is EndedBy.INTERRUPT for entry in self.fabrics)
        return stopped or not self.complete
