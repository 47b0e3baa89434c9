"""How long the sides of a seam are along the stitching line, counted once or from both hands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pieces.drafting.draft import Draft, point_along
from pieces.drafting.garment import Garment
from pieces.drafting.seam import EdgeOf, Seam, SeamSide
from pieces.geometry_types import Point
from pieces.outline import Edge
from pieces.piece import CutKind

ON_FOLD_MM = 0.5
"""An edge that ends this near to the fold edge runs on over it."""


@dataclass(frozen=True)
class WalkedEdge:
    """One edge of a seam as it is walked: its draft, its line, and how often it is met."""

    named: EdgeOf
    draft: Draft
    times: int

    @property
    def edge(self) -> Edge:
        """The edge itself."""
        return self.draft.edge(self.named.edge)

    @property
    def length(self) -> float:
        """Length over all that is sewn, mm."""
        return self.times * self.edge.length

    @property
    def middle(self) -> Point:
        """Point halfway along it, in the coordinates of its piece."""
        return point_along(self.edge, self.edge.length / 2.0)


@dataclass(frozen=True)
class WalkedSide:
    """One side of a seam with its edges found."""

    edges: tuple[WalkedEdge, ...]
    lengths: tuple[float, ...]

    @property
    def length(self) -> float:
        """Length of the whole side, mm."""
        return sum(edge.length for edge in self.edges) + sum(self.lengths)

    @property
    def on_cutting_line(self) -> bool:
        """Whether an edge is drawn with its allowance, so that its stitching line is not known."""
        return any(not edge.draft.net for edge in self.edges)


def walk_sides(seam: Seam, garment: Garment) -> tuple[WalkedSide, WalkedSide] | None:
    """Find the edges of a seam; None if a piece could not be drawn.

    Where an edge of either side ends on the fold of its half, the seam runs across the middle of
    the garment: it is measured whole, so that halves and pairs are met twice.
    """
    drafts = {draft.name: draft for draft in (*garment.drafts, *garment.blocks)}
    named = [edge for side in seam.sides for edge in side.edges]
    if any(edge.piece not in drafts for edge in named):
        return None
    across = any(_meets_fold(drafts[edge.piece], edge.edge) for edge in named)

    def walked(side: SeamSide) -> WalkedSide:
        edges = []
        for edge in side.edges:
            draft = drafts[edge.piece]
            edges.append(WalkedEdge(edge, draft, edge.times or (_times(draft) if across else 1)))
        return WalkedSide(tuple(edges), side.lengths)

    return walked(seam.sides[0]), walked(seam.sides[1])


def total_length(named: tuple[EdgeOf, ...], drafts: Mapping[str, Draft]) -> float:
    """Length (mm) that a band along edges needs, counted as a seam along them would be."""
    across = any(_meets_fold(drafts[edge.piece], edge.edge) for edge in named)
    return sum(
        drafts[edge.piece].edge(edge.edge).length
        * (edge.times or (_times(drafts[edge.piece]) if across else 1))
        for edge in named
    )


def _meets_fold(draft: Draft, name: str) -> bool:
    if draft.fold is None or name == draft.fold:
        return False
    fold = draft.edge(draft.fold).points
    ends = draft.edge(name).points
    return any(
        abs(a[0] - b[0]) + abs(a[1] - b[1]) < ON_FOLD_MM
        for a in (ends[0], ends[-1])
        for b in (fold[0], fold[-1])
    )


def _times(draft: Draft) -> int:
    """Copies that meet in one garment: both halves of a piece on the fold, both hands of a pair.

    Strips have no hands: of two waistbands one is the facing of the other.
    """
    if draft.strip is not None:
        return 1
    if not draft.cuts:  # A block: its half is met twice.
        return 1 if draft.fold is None else 2
    return 2 if any(cut.kind in (CutKind.FOLD, CutKind.PAIR) for cut in draft.cuts) else 1
