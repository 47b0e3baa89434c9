"""Folds along the grain, all of one formula, the single layer among them.

With fold depths d1 and d2 the lower ply is cloth y = d1 + y, a first flap is cloth y = d1 - y, a
second flap cloth y = W - d2 + (H - y), H = W - d1 - d2.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from fabrics.folds.cloth import ClothToFold, ToBeFolded
from fabrics.folds.fold import Depths, Fold, GivenDepths, Spread
from fabrics.folds.plies import EPS_MM, MEET_MM, Faces, FoldEdge, Ply, SpreadError, Zone
from fabrics.folds.ply_name import PlyName
from fabrics.folds.tape import fold_tape, foldable_below, foldable_depth
from pieces.lengths import INCH_MM, System, format_length

T = TypeVar("T")

MOST_DEPTHS = 4
"""Candidate depths tried for one kind of fold."""

MOST_FURTHER = 16
"""Further depths that get a glance."""

ALIKE_MM = 4.0
"""Depths that differ by less are tried once."""


class FoldAlong(Fold):
    """What is folded along its length, by no, one or two depths."""

    __slots__ = ()

    def plies(self, width: float, depths: Depths) -> tuple[Ply, ...]:
        """The cloth on the table, and a flap on it for each depth."""
        d1, d2 = depths
        height = width - d1 - d2
        plies = [Ply(PlyName.LOWER, 1, 1, 0, d1, 0.0, height)]
        if d1 > 0:
            plies.append(Ply(PlyName.FLAP1, 1, -1, 0, d1, 0.0, d1))
        if d2 > 0:
            plies.append(Ply(PlyName.FLAP2, 1, -1, 0, width - d2 + height, height - d2, height))
        return tuple(plies)

    def zones(self, width: float, selvage: float, depths: Depths) -> tuple[Zone, ...]:
        """Double under the flaps, single between."""
        d1, d2 = depths
        height = width - d1 - d2
        candidates = []
        if d1 > 0:
            candidates.append(Zone(0.0, d1 - selvage, (0, 1)))
        # Where a flap ends, its selvage strip covers the lower ply: usable neither way. An unfolded
        # side loses its own selvage; either way the single ply begins and ends where it is clear.
        single_from = d1 if d1 > 0 else selvage
        single_to = height - d2 if d2 > 0 else height - selvage
        candidates.append(Zone(single_from, single_to, (0,)))
        if d2 > 0:
            candidates.append(Zone(height - d2 + selvage, height, (0, 2 if d1 > 0 else 1)))
        return tuple(zone for zone in candidates if zone.height > EPS_MM)

    def edges(self, width: float, depths: Depths) -> tuple[FoldEdge, ...]:
        """One for each depth."""
        d1, d2 = depths
        edges = []
        if d1 > 0:
            edges.append(FoldEdge(True, 0.0, 1, (0, 1)))
        if d2 > 0:
            edges.append(FoldEdge(True, width - d1 - d2, -1, (0, 2 if d1 > 0 else 1)))
        return tuple(edges)


class Open(FoldAlong):
    """A single layer: every piece is traced whole, pairs twice."""

    __slots__ = ()

    value = "open"
    taught = "single layer"
    rank = 4

    def depths(self, width: float, d1: float | None, d2: float | None) -> Depths:
        """None."""
        return 0.0, 0.0

    def refusal(self, cloth: ClothToFold) -> str | None:
        """All cloth may lie open."""
        return None

    def how(self, spread: Spread, system: System) -> str:
        """Lay it out."""
        return f"Lay the cloth out in a single layer, {_sides(spread)[0]}."

    def least_width(self, spread: Spread, used: Mapping[int, tuple[float, float]]) -> float:
        """What is used, and the selvages."""
        low, high = used[0]
        return high - low + 2.0 * spread.selvage


class Lengthwise(FoldAlong):
    """Folded in half, selvage on selvage."""

    __slots__ = ()

    value = "lengthwise"
    taught = "lengthwise fold"
    rank = 0
    strips = 2
    in_half = True
    leads = 0

    def depths(self, width: float, d1: float | None, d2: float | None) -> Depths:
        """Half the width."""
        return width / 2, 0.0

    def refusal(self, cloth: ClothToFold) -> str | None:
        """Not where the middle is no axis of a design that must match."""
        refused = super().refusal(cloth)
        if refused is not None or cloth.design is None or cloth.design.on_axis(cloth.width / 2.0):
            return refused
        return (
            f"fold lengthwise: the middle of '{cloth.name}' is no axis of its design, so that the "
            "plies would not match; a partial fold on an axis does"
        )

    def how(self, spread: Spread, system: System) -> str:
        """Fold in half."""
        return f"Fold the cloth in half along its length, {_sides(spread)[1]}, selvage on selvage."


class Partial(FoldAlong):
    """One selvage folded in, a single layer left beside the flap."""

    __slots__ = ()

    value = "partial"
    taught = "partial lengthwise fold"
    rank = 1
    leads = 2

    def depths(self, width: float, d1: float | None, d2: float | None) -> Depths:
        """The one given."""
        if d1 is None or not 0.0 < d1 < width / 2:
            raise SpreadError(
                f"a partial fold needs a depth between 0 and {width / 2:g} mm, got {d1}"
            )
        return d1, 0.0

    def worth_trying(self, cloth: ClothToFold, wanted: ToBeFolded) -> list[GivenDepths]:
        """Deep enough for the widest half, for a pair beside it, for a pair alone."""
        halves, pairs, gap = wanted.halves, wanted.pairs, wanted.gap
        heights: list[float] = []
        if halves:
            heights.append(halves[0])
            heights += [halves[0] + gap + height for height in pairs[:3]]
            heights += [halves[-1]] if len(halves) > 1 else []
            heights += [halves[0] + gap + halves[0]]
        heights += [height + gap / 2.0 for height in pairs[:3]]
        depths: list[float] = []
        for height in heights:
            depth = cloth.foldable(height + cloth.selvage)
            if depth < cloth.width / 2.0 - 1.0 and depth not in depths:
                depths.append(depth)
        return [(depth, None) for depth in depths[:MOST_DEPTHS]]

    def also_worth_trying(self, cloth: ClothToFold, wanted: ToBeFolded) -> list[GivenDepths]:
        """What one or two pieces beside the fold need, or what some on single cloth leave."""
        depths = [cloth.foldable(height + cloth.selvage) for height in wanted.side_by_side]
        if cloth.design is None:
            ones = sorted(set(wanted.singles))
            rooms = [*ones, *(a + wanted.gap + b for k, a in enumerate(ones) for b in ones[k:])]
            depths += [foldable_below((cloth.width - cloth.selvage - room) / 2.0) for room in rooms]
        within = [d for d in depths if cloth.selvage < d < cloth.width / 2.0 - 1.0]
        return [(depth, None) for depth in _spaced(within)]

    def beside(self, cloth: ClothToFold, depths: Depths, by: float) -> list[GivenDepths]:
        """A little deeper, and less deep."""
        found = (foldable_depth(depths[0] + by), foldable_below(depths[0] - by))
        return [(d, None) for d in found if cloth.selvage < d < cloth.width / 2.0 - 1.0]

    def how(self, spread: Spread, system: System) -> str:
        """How deep, and what is left beside the flap."""
        side, faces = _sides(spread)
        rest = format_length(spread.lay_height - spread.d1, system)
        return (
            f"Lay the cloth {side} and fold one selvage in by {fold_tape(spread.d1, system)}, "
            f"{faces}; a single layer {rest} wide is left beside it."
        )


class Double(FoldAlong):
    """Both selvages folded in: a fold edge at each side."""

    __slots__ = ()

    value = "double"
    taught = "double lengthwise fold"
    rank = 1
    strips = 4
    leads = 1

    def depths(self, width: float, d1: float | None, d2: float | None) -> Depths:
        """Those given; a quarter of the width for one that is not."""
        first = width / 4 if d1 is None else d1
        second = width / 4 if d2 is None else d2
        if first <= 0 or second <= 0 or first + second > width / 2 + MEET_MM:
            raise SpreadError(
                f"the two depths of a double fold are positive and together at most "
                f"{width / 2:g} mm, got {first:g} and {second:g}"
            )
        return first, second

    def worth_trying(self, cloth: ClothToFold, wanted: ToBeFolded) -> list[GivenDepths]:
        """Selvages that meet; as deep as the halves on either side are wide."""
        width = cloth.width
        found: list[GivenDepths] = []
        if cloth.axes_suit(width / 4.0, width / 4.0):
            found.append((None, None))
        # Two copies that meet across a fold keep the gap, half of it on either side.
        heights = wanted.halves or tuple(height + wanted.gap / 2.0 for height in wanted.pairs)
        if heights:
            first = cloth.foldable(heights[0] + cloth.selvage)
            for height in (heights[0], *heights[1:3]):
                second = cloth.foldable_from_far(height + cloth.selvage)
                if first + second <= width / 2.0 and (first, second) not in found:
                    found.append((first, second))
            # Selvages that meet off the middle: one side deep enough for the widest half.
            rest = foldable_below(width / 2.0 - first)
            free = cloth.design is None
            if rest > 2.0 * cloth.selvage and free and (first, rest) not in found:
                found.append((first, rest))
        return found[:MOST_DEPTHS]

    def also_worth_trying(self, cloth: ClothToFold, wanted: ToBeFolded) -> list[GivenDepths]:
        """What one or two pieces need beside the first fold, and one or two beside the second."""
        heights = _spaced(list(wanted.side_by_side))
        found: list[GivenDepths] = []
        for first in heights:
            for second in heights:
                pair = (
                    cloth.foldable(first + cloth.selvage),
                    cloth.foldable_from_far(second + cloth.selvage),
                )
                if second <= first and sum(pair) <= cloth.width / 2.0 and pair not in found:
                    found.append(pair)
        return _spread_out(found)

    def beside(self, cloth: ClothToFold, depths: Depths, by: float) -> list[GivenDepths]:
        """Either flap a little deeper, and less deep."""
        first, second = depths
        found = [
            (foldable_depth(first + by), second), (foldable_below(first - by), second),
            (first, foldable_depth(second + by)), (first, foldable_below(second - by)),
        ]  # fmt: skip
        return [
            (a, b) for a, b in found if min(a, b) > cloth.selvage and a + b <= cloth.width / 2.0
        ]

    def how(self, spread: Spread, system: System) -> str:
        """How deep on either side, and what is left between the flaps."""
        side, faces = _sides(spread)
        first, second = fold_tape(spread.d1, system), fold_tape(spread.d2, system)
        meet = abs(spread.d1 + spread.d2 - spread.width / 2.0) < INCH_MM / 2.0
        if meet and abs(spread.d1 - spread.d2) < 1.0:
            return (
                f"Lay the cloth {side} and fold both selvages in to meet in the middle, {faces} "
                f"(each side by {first})."
            )
        rest = spread.lay_height - spread.d1 - spread.d2
        end = (
            "the selvages all but meet."
            if meet
            else f"a single layer {format_length(rest, system)} wide is left between them."
        )
        # The first fold is at the right hand of who looks along the cloth, unless the lay is
        # mirrored.
        right, left = (first, second) if spread.faces is not Faces.OUT else (second, first)
        return (
            f"Lay the cloth {side} and fold the selvage at your right in by {right} and the one "
            f"at your left by {left}, as you look along the cloth from its cut end, {faces}; {end}"
        )


def _spaced(depths: list[float]) -> list[float]:
    """Depths that differ, from all over their range if there are too many."""
    apart: list[float] = []
    for depth in sorted(depths):
        if not apart or depth - apart[-1] >= ALIKE_MM:
            apart.append(depth)
    return _spread_out(apart)


def _spread_out(found: list[T]) -> list[T]:
    """At most so many as get a glance, evenly taken."""
    if len(found) <= MOST_FURTHER:
        return found
    step = (len(found) - 1) / (MOST_FURTHER - 1)
    return [found[round(k * step)] for k in range(MOST_FURTHER)]


def _sides(spread: Spread) -> tuple[str, str]:
    """Which side of the lower ply is up, and how the plies face each other."""
    if spread.faces is Faces.IN:
        return "right side up", "right sides together"
    return "right side down", "right sides out"


Fold.OPEN = Fold.add(Open)
Fold.LENGTHWISE = Fold.add(Lengthwise)
Fold.PARTIAL = Fold.add(Partial)
Fold.DOUBLE = Fold.add(Double)
