"""Walking seams: lengths, notches, allowances and corners of edges that are sewn together.

As done on paper: one piece is pivoted along the other's stitching line. The bounds are common
practice, no source; each seam may state its own and say what is meant as it is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from pieces.drafting.draft import Draft, point_along
from pieces.drafting.garment import Garment
from pieces.drafting.seam import EdgeOf, Seam, SeamCheck, Shorter
from pieces.lengths import format_in
from pieces.seams.corners import corner_angle, neighbour
from pieces.seams.measured import WalkedEdge, WalkedSide, walk_sides
from pieces.seams.mismatch import Mismatch
from pieces.seams.orientation import NotchMark, Way, best_way, end_point, joined_ends, notch_marks

TRUE_DEG = 10.0
"""Two pieces sewn together make a smooth line at the ends of the seam within this angle."""

SAME_MM = 1.0
"""Allowances that differ by no more than this are alike: 1.5 cm and 5/8 in are."""


@dataclass(frozen=True)
class WalkedSeam:
    """A seam as it was walked: both sides in words, their lengths and ease (mm), its mismatches."""

    first: str
    second: str
    lengths: tuple[float, float]
    ease: float
    edges: tuple[tuple[WalkedEdge, ...], tuple[WalkedEdge, ...]]
    mismatches: tuple[Mismatch, ...] = field(default=())


def walk(garment: Garment) -> list[WalkedSeam | None]:
    """Walk every declared seam of a garment, in the order in which they are declared.

    Seams of pieces that could not be drawn are None; those are told elsewhere.
    """
    return [_walked(seam, garment) for seam in garment.seams]


def compare_shorter(garment: Garment) -> list[Mismatch | None]:
    """Measure every edge that is to be shorter than another; None where it is."""
    return [_shorter(entry, garment) for entry in garment.shorter]


def _walked(seam: Seam, garment: Garment) -> WalkedSeam | None:
    sides = walk_sides(seam, garment)
    if sides is None:
        return None
    first, second = sides
    unit = garment.unit
    way = best_way(first, second)
    found = [*_lengths(seam, first, second, unit)]
    if way is not None:
        if SeamCheck.NOTCHES not in seam.leave:
            found += _notches(seam, first, second, way, unit)
        if SeamCheck.CORNERS not in seam.leave:
            found += _corners(seam, first, second, way)
    if SeamCheck.ALLOWANCES not in seam.leave:
        found += _allowances(first, second, unit)
    return WalkedSeam(
        side_words(first, unit),
        side_words(second, unit),
        (first.length, second.length),
        seam.ease,
        (first.edges, second.edges),
        tuple(found),
    )


def side_words(side: WalkedSide, unit: str | None) -> str:
    """The edges of a side, and how often each is met, as a person would write the sum."""
    edges = [
        f"'{edge.named}'" if edge.times == 1 else f"{edge.times} x '{edge.named}'"
        for edge in side.edges
    ]
    return " + ".join([*edges, *(format_in(length, unit) for length in side.lengths)])


def _lengths(
    seam: Seam, first: WalkedSide, second: WalkedSide, unit: str | None
) -> Iterator[Mismatch]:
    over = first.length - second.length - seam.ease
    if abs(over) <= seam.within:
        return
    one, two = side_words(first, unit), side_words(second, unit)
    wanted = f"with {format_in(seam.ease, unit)} of ease " if seam.ease else ""
    cut = ""
    if first.on_cutting_line or second.on_cutting_line:
        cut = "; of a piece drawn with its allowance the cutting line is measured"
    yield Mismatch(
        f"{one} is {format_in(first.length, unit)} and {two} {format_in(second.length, unit)}: "
        f"{wanted}{format_in(abs(over), unit)} too {'long' if over > 0 else 'short'}{cut}",
        f"make {one} {'shorter' if over > 0 else 'longer'} by that, or state what is meant: "
        f'ease = "{format_in(abs(first.length - second.length), unit)}"'
        + ("" if first.length >= second.length else " with the shorter side second"),
        _middles(first, second),
    )


def _middles(*sides: WalkedSide) -> tuple[tuple[str, tuple[float, float]], ...]:
    return tuple((edge.named.piece, edge.middle) for side in sides for edge in side.edges)


def _notches(
    seam: Seam, first: WalkedSide, second: WalkedSide, way: Way, unit: str | None
) -> Iterator[Mismatch]:
    edges = (*first.edges, *second.edges)
    if any(edge.draft.strip is not None for edge in edges) or len({e.times for e in edges}) > 1:
        return  # Strips bear none, and a whole against halves is walked from its middle.
    ours = notch_marks(first.edges, way.first)
    theirs = notch_marks(way.order(second), way.second)
    allowed = seam.within + abs(seam.ease)
    for marks, others, side in ((ours, theirs, second), (theirs, ours, first)):
        for mark in marks:
            away = min((abs(mark.along - other.along) for other in others), default=None)
            # A notch that meets none is told once, from the side that has it.
            if away is not None and (away <= allowed or (marks is theirs and _paired(mark, ours))):
                continue
            yield _lonely(mark, away, side, allowed, unit)


def _paired(mark: NotchMark, others: list[NotchMark]) -> bool:
    """Whether the nearest notch opposite is one that has been told already."""
    nearest = min(others, key=lambda other: abs(other.along - mark.along))
    return abs(nearest.along - mark.along) < nearest.edge.edge.length / 4.0


def _lonely(
    mark: NotchMark, away: float | None, side: WalkedSide, allowed: float, unit: str | None
) -> Mismatch:
    other = side_words(side, unit)
    how = "has none" if away is None else f"has its nearest {format_in(away, unit)} away"
    return Mismatch(
        f"the notch {format_in(mark.on_edge, unit)} along '{mark.edge.named}' meets none: {other} "
        f"{how}",
        f"put notches within {format_in(allowed, unit)} of each other, measured from where both "
        "edges begin to be sewn",
        ((mark.edge.named.piece, point_along(mark.edge.edge, mark.on_edge)),),
    )


def _corners(seam: Seam, first: WalkedSide, second: WalkedSide, way: Way) -> Iterator[Mismatch]:
    if any(edge.draft.strip is not None for edge in (*first.edges, *second.edges)):
        return
    if any(len({edge.named.piece for edge in side.edges}) > 1 for side in (first, second)):
        return  # A sleeve and its armhole: nothing runs on from one to the other.
    for one, one_last, two, two_last in joined_ends(first, second, way):
        line, other = neighbour(one, one_last), neighbour(two, two_last)
        if one.draft.fold == line.name or two.draft.fold == other.name:
            continue
        ours, theirs = corner_angle(one, one_last), corner_angle(two, two_last)
        off = ours - theirs if seam.on_top else ours + theirs - 180.0
        if abs(off) <= TRUE_DEG:
            continue
        lines = f"'{one.named.piece}.{line.name}' and '{two.named.piece}.{other.name}'"
        how = (
            f"{lines} part by {abs(off):.0f} degrees though one lies on the other"
            if seam.on_top
            else f"{lines} meet in {'a hollow' if off > 0 else 'a point'} of {abs(off):.0f} degrees"
        )
        yield Mismatch(
            f"sewn along '{one.named}' and '{two.named}', {how}",
            f"{'draw both alike there' if seam.on_top else 'true both lines so that they run on'}, "
            'or say that it is meant: leave = ["corners"]',
            (
                (one.named.piece, end_point(one, one_last)),
                (two.named.piece, end_point(two, two_last)),
            ),
        )


def _allowances(first: WalkedSide, second: WalkedSide, unit: str | None) -> Iterator[Mismatch]:
    for edge in first.edges:
        for other in second.edges:
            if not (edge.draft.net and other.draft.net):
                continue
            width, its = _allowance(edge.draft, edge.named), _allowance(other.draft, other.named)
            if abs(its - width) > SAME_MM:
                yield Mismatch(
                    f"'{edge.named}' has an allowance of {format_in(width, unit)} and "
                    f"'{other.named}' of {format_in(its, unit)}; cut edges are laid together to be "
                    "sewn",
                    'give both the same, or say that it is meant: leave = ["allowances"]',
                    ((edge.named.piece, edge.middle), (other.named.piece, other.middle)),
                )
                return


def _allowance(draft: Draft, named: EdgeOf) -> float:
    return draft.allowances.get(named.edge, draft.allowance)


def _shorter(entry: Shorter, garment: Garment) -> Mismatch | None:
    drafts = {draft.name: draft for draft in (*garment.drafts, *garment.blocks)}
    if entry.edge.piece not in drafts or entry.than.piece not in drafts:
        return None
    edge = drafts[entry.edge.piece].edge(entry.edge.edge)
    than = drafts[entry.than.piece].edge(entry.than.edge)
    by = than.length - edge.length
    if abs(by - entry.by) <= entry.within:
        return None
    unit = garment.unit
    how = f"{format_in(abs(by), unit)} {'shorter' if by >= 0 else 'longer'}"
    return Mismatch(
        f"'{entry.edge}' is {format_in(edge.length, unit)} and '{entry.than}' "
        f"{format_in(than.length, unit)}: {how}, and {format_in(entry.by, unit)} shorter was said",
        "mend the length of one of them, or what is said of them",
        tuple(
            (named.piece, point_along(line, line.length / 2.0))
            for named, line in ((entry.edge, edge), (entry.than, than))
        ),
    )
