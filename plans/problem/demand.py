"""From the pieces of a garment to what one fabric must yield, in the item frame of the layout.

In the item frame the grain arrow's tail is the origin and its head lies on the +x axis.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from fabrics.fabric import Fabric
from layout.hand import Hand
from layout.problem import Grain, OneHeading, Wanted
from pieces.drafting.alter import open_out
from pieces.drafting.symmetry import mirror_turns
from pieces.geometry_types import Point, Ring
from pieces.outline import ring_area
from pieces.piece import Cut, CutKind, MatchPoint, Piece, Side, Turns

ANGLES = {
    Turns.ALONG: (0.0, 180.0),
    Turns.ACROSS: (90.0, 270.0),
    Turns.BIAS: (45.0, 135.0, 225.0, 315.0),
    Turns.ANY: (0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0),
}
"""Headings on the lay that the search tries for each kind of turn, degrees."""

ONE_WAY_ANGLES = {
    Turns.ALONG: (0.0,),
    Turns.ACROSS: (90.0, 270.0),
    Turns.BIAS: (45.0, 315.0),
    Turns.ANY: ANGLES[Turns.ANY],
}
"""The same on one-way cloth: one heading, or one up to reflection in the warp."""


@dataclass(frozen=True)
class Demand:
    """One piece as one role cuts it from one fabric. Rings in the item frame, mm.

    Attributes
    ----------
    key : str
        Unique within the fabric; the piece's name, with the role where two roles share cloth.
    piece : Piece
    cut : Cut
        As the garment file says, for one make.
    wanted : Wanted
        Copies by hand for all makes.
    whole : Ring
        One copy as it comes off the cloth.
    half : Ring or None
        What is laid against a fold, for a piece drawn as a half.
    fold_line : (Point, Point) or None
        Ends of the half's fold edge.
    arrow : (Point, Point)
        Tail and head of the grain arrow; (0, 0) and a point on +x.
    match : tuple of MatchPoint
        Match points in the item frame.
    """

    key: str
    piece: Piece
    cut: Cut
    wanted: Wanted
    whole: Ring
    half: Ring | None
    fold_line: tuple[Point, Point] | None
    arrow: tuple[Point, Point]
    match: tuple[MatchPoint, ...]
    shape_alike: bool = False
    """Whether turned over it is itself after some turn that it permits."""
    part_of: str = ""
    """Key of the strip that this is a part of; empty for what is cut whole."""
    parts: int = 1
    """In how many parts that strip is cut."""

    @property
    def flips(self) -> tuple[bool, ...]:
        """Ways up worth trying: turning over is in vain where a turn gives the same outline."""
        return (False,) if self.shape_alike else (False, True)

    @property
    def area(self) -> float:
        """Area of one copy, mm2."""
        return ring_area(self.whole)

    @property
    def hands_matter(self) -> bool:
        """Whether left and right copies are told apart."""
        return self.wanted.either == 0

    def side(self, hand: Hand) -> Side | None:
        """Side of the wearer that a copy is for; None if unstated, or if hands do not matter."""
        stated = self.piece.drawn_hand
        if stated is None or hand is Hand.EITHER:
            return None
        return stated if hand is Hand.DRAWN else stated.other

    def angles(self, one_way: bool) -> tuple[float, ...]:
        """Headings on the lay that the search may use, degrees."""
        constrained = one_way and not self.piece.heading_free
        return (ONE_WAY_ANGLES if constrained else ANGLES)[self.piece.turns]

    def for_one(self) -> Demand:
        """The same demand for a single make."""
        count = self.cut.count * self.piece.times
        if self.wanted.either:
            wanted = Wanted(either=count)
        elif self.wanted.other:
            wanted = Wanted(drawn=count // 2, other=count // 2)
        else:
            wanted = Wanted(drawn=count)
        return replace(self, wanted=wanted)

    def grain_rule(self) -> Grain:
        """What the validator demands of this piece's headings."""
        turns = self.piece.turns
        if turns is Turns.ANY:
            return Grain(None, OneHeading.FREE)
        if self.piece.heading_free:
            return Grain(ANGLES[turns], OneHeading.FREE)
        along = turns is Turns.ALONG
        return Grain(ANGLES[turns], OneHeading.SAME if along else OneHeading.MIRROR)


def demands_for(
    pieces: tuple[Piece, ...], roles: tuple[str, ...], fabric: Fabric, makes: int
) -> tuple[Demand, ...]:
    """List what a fabric must yield for the roles that are cut from it."""
    result = []
    for drawn in pieces:
        piece = replace(drawn, turns=Turns.ANY) if fabric.grainless else drawn
        cuts = [cut for role in roles if (cut := piece.cut_for(role)) is not None]
        for cut in cuts:
            key = piece.name if len(cuts) == 1 else f"{piece.name} ({cut.role})"
            result.append(_demand(key, piece, cut, fabric, makes))
    return tuple(result)


def _demand(key: str, piece: Piece, cut: Cut, fabric: Fabric, makes: int) -> Demand:
    tail, head = piece.grain
    angle = math.atan2(head[1] - tail[1], head[0] - tail[0])
    cos, sin = math.cos(-angle), math.sin(-angle)

    def to_frame(point: Point) -> Point:
        x, y = point[0] - tail[0], point[1] - tail[1]
        return (x * cos - y * sin, x * sin + y * cos)

    on_fold = piece.fold is not None and cut.kind is CutKind.FOLD
    whole_piece = open_out(piece) if on_fold else piece
    mirrors = mirror_turns(whole_piece)
    shape_alike = any(turn in _free_turns(piece, fabric.one_way) for turn in mirrors)
    hands_alike = fabric.faces_alike or cut.kind is CutKind.FOLD or shape_alike
    count = cut.count * makes * piece.times
    if hands_alike:
        wanted = Wanted(either=count)
    elif cut.kind is CutKind.PAIR and count > 1:
        wanted = Wanted(drawn=count // 2, other=count // 2)
    else:
        wanted = Wanted(drawn=count)
    fold_line = None
    if on_fold and piece.fold is not None:
        fold_line = _level(to_frame(piece.fold[0]), to_frame(piece.fold[1]))
    return Demand(
        key=key,
        piece=piece,
        cut=cut,
        wanted=wanted,
        whole=tuple(to_frame(point) for point in whole_piece.outline),
        half=tuple(to_frame(point) for point in piece.outline) if on_fold else None,
        fold_line=fold_line,
        arrow=(to_frame(tail), to_frame(head)),
        shape_alike=shape_alike,
        match=tuple(replace(mp, at=to_frame(mp.at)) for mp in piece.match_points),
    )


def _free_turns(piece: Piece, one_way: bool) -> tuple[float, ...]:
    """Quarter turns between two headings that a piece may take."""
    constrained = one_way and not piece.heading_free
    if piece.turns is Turns.ALONG:
        return (0.0,) if constrained else (0.0, 180.0)
    if piece.turns is Turns.ACROSS:
        return (0.0, 180.0)
    return (0.0, 90.0, 180.0, 270.0)


def _level(a: Point, b: Point) -> tuple[Point, Point]:
    """Take rounding out of a fold edge that runs exactly along or across the grain."""
    if abs(a[1] - b[1]) < 1e-6:
        return (a[0], a[1]), (b[0], a[1])
    if abs(a[0] - b[0]) < 1e-6:
        return (a[0], a[1]), (a[0], b[1])
    return a, b
