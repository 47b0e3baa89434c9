"""Slits of a stitching line that allowances close: of the cut piece nothing of them is seen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pieces.drafting.draft import Draft, widths_of
from pieces.geometry_types import FloatArray, Point
from pieces.outline import Edge, counter_clockwise

APART_MM = 2.0
"""Sides are looked at in so many mm."""

MOST_PLACES = 20_000
"""A line is looked at in about so many places at most (40 m of it are): a slip such as 16000 in for
16.000 must not take minutes."""

LEAST_DEEP_MM = 10.0
"""What is less deep is a dent of the line."""

FACING = -0.5
"""Sides that open by less than 60 degrees face each other (cosine between the ways out)."""

STEEP = 4.0
"""Where sides part faster than this (mm for each mm along them) a slit has its mouth."""

SEEN = 4.0
"""Across a slit is looked this many times as far as the widest allowance reaches."""

CLOSE_MM = 1e-6

IntArray = NDArray[np.int_]


@dataclass(frozen=True)
class Slit:
    """The mouth of a slit that allowances close: where, how wide (mm), between which edges."""

    at: Point
    gap: float
    edges: tuple[str, str]
    allowances: tuple[float, float]


@dataclass(frozen=True)
class _Line:
    """Straight segments of a closed line, counter-clockwise; `along` is where each begins (mm)."""

    starts: FloatArray
    ways: FloatArray
    lengths: FloatArray
    along: FloatArray
    names: list[str]
    widths: FloatArray

    @property
    def total(self) -> float:
        return float(self.lengths.sum())

    @property
    def outs(self) -> FloatArray:
        return np.stack([self.ways[:, 1], -self.ways[:, 0]], axis=1)


@dataclass(frozen=True)
class _Pairs:
    """Places all along a line and what lies opposite, outside of the piece.

    `own` and `other` are segments (-1: nothing near lies opposite), `gap` is how far it is across;
    the way between both by the slit's bottom begins at `begin` and is `way` long (mm).
    """

    at: FloatArray
    along: FloatArray
    own: IntArray
    other: IntArray
    gap: FloatArray
    begin: FloatArray
    way: FloatArray


def closed_slits(draft: Draft) -> list[Slit]:
    """Slits that the allowances of their two sides close or overlap; a half is seen as a whole.

    A dart that opens wider than both its allowances stays one, however narrow it is at its point.
    """
    if not draft.net or not any(widths_of(draft).values()):
        return []
    line = _line(_whole(draft), widths_of(draft))
    pairs = _pairs(line)
    facing = pairs.other >= 0
    room = line.widths[pairs.own] + line.widths[pairs.other]
    closed = facing & (room > 0.0) & (pairs.gap <= room + CLOSE_MM)
    outermost: list[int] = []
    for k in sorted(np.flatnonzero(closed), key=lambda k: -float(pairs.way[k])):
        bottom = float(pairs.begin[k] + pairs.way[k] / 2.0)
        if not any((bottom - pairs.begin[j]) % line.total <= pairs.way[j] for j in outermost):
            outermost.append(int(k))
    return [
        slit
        for k in outermost
        if pairs.way[k] >= 2.0 * LEAST_DEEP_MM and not _opens(pairs, facing, closed, k)
        for slit in [_slit(line, pairs, k)]
        if _is_drawn(draft, slit.at)
    ]


def _opens(pairs: _Pairs, facing: NDArray[np.bool_], closed: NDArray[np.bool_], k: int) -> bool:
    """Whether the sides only part by and by beyond a place, so that the slit is open farther up."""
    count = len(pairs.own)
    beyond = (k - 1) % count if pairs.begin[k] == pairs.along[k] else (k + 1) % count
    if not facing[beyond] or closed[beyond]:
        return False
    step = float(np.hypot(*(pairs.at[beyond] - pairs.at[k])))
    return bool(pairs.gap[beyond] - pairs.gap[k] <= STEEP * step)


def _slit(line: _Line, pairs: _Pairs, k: int) -> Slit:
    own, other, gap = int(pairs.own[k]), int(pairs.other[k]), float(pairs.gap[k])
    x, y = pairs.at[k] + gap / 2.0 * line.outs[own]
    return Slit(
        (float(x), float(y)),
        gap,
        (line.names[own], line.names[other]),
        (float(line.widths[own]), float(line.widths[other])),
    )


def _whole(draft: Draft) -> list[Edge]:
    """Edges counter-clockwise; opened out, if one lies on the fold."""
    edges = list(counter_clockwise(draft.edges))
    at = next((k for k, edge in enumerate(edges) if edge.name == draft.fold), None)
    if at is None:
        return edges
    start, way = _fold(edges[at])

    def mirrored(point: Point) -> Point:
        off = np.asarray(point, dtype=float) - start
        x, y = start + 2.0 * float(off @ way) * way - off
        return (float(x), float(y))

    half = [*edges[at + 1 :], *edges[:at]]
    other = [Edge(edge.name, tuple(map(mirrored, edge.points[::-1]))) for edge in reversed(half)]
    return [*half, *other]


def _fold(edge: Edge) -> tuple[FloatArray, FloatArray]:
    """Where a fold begins, and the unit vector along it."""
    start, end = (np.asarray(edge.points[k], dtype=float) for k in (0, -1))
    return start, (end - start) / np.hypot(*(end - start))


def _is_drawn(draft: Draft, at: Point) -> bool:
    """Whether a place lies on the half that is drawn: what is mirrored is told once."""
    fold = next((e for e in counter_clockwise(draft.edges) if e.name == draft.fold), None)
    if fold is None:
        return True
    start, way = _fold(fold)
    off = np.asarray(at) - start
    return float(way[0] * off[1] - way[1] * off[0]) >= -CLOSE_MM


def _line(edges: list[Edge], widths: dict[str, float]) -> _Line:
    spans = [
        (a, b, edge.name)
        for edge in edges
        for a, b in zip(edge.points, edge.points[1:], strict=False)
        if np.hypot(b[0] - a[0], b[1] - a[1]) > CLOSE_MM
    ]
    starts = np.array([a for a, _, _ in spans], dtype=float)
    steps = np.array([b for _, b, _ in spans], dtype=float) - starts
    lengths = np.hypot(*steps.T)
    names = [name for _, _, name in spans]
    return _Line(
        starts, steps / lengths[:, None], lengths, np.cumsum(lengths) - lengths, names,
        np.array([widths[name] for name in names]),
    )  # fmt: skip


def _pairs(line: _Line) -> _Pairs:
    """Look outward from places all along a line, to what is met first."""
    from shapely import STRtree, linestrings

    apart = max(APART_MM, line.total / MOST_PLACES)
    counts = np.maximum(1, np.ceil(line.lengths / apart)).astype(int)
    own = np.repeat(np.arange(len(counts)), counts)
    number = np.arange(len(own)) - np.repeat(np.cumsum(counts) - counts, counts)
    far = (number + 0.5) / counts[own] * line.lengths[own]
    at = line.starts[own] + far[:, None] * line.ways[own]
    along = line.along[own] + far
    outs = line.outs
    reach = SEEN * 2.0 * float(line.widths.max())
    rays = linestrings(np.stack([at - CLOSE_MM * outs[own], at + reach * outs[own]], axis=1))
    ends = line.starts + line.lengths[:, None] * line.ways
    tree = STRtree(list(linestrings(np.stack([line.starts, ends], axis=1))))
    ray, met = tree.query(rays, predicate="intersects")
    turn = _turn(outs[own[ray]], line.ways[met])
    crossing = (met != own[ray]) & (np.abs(turn) > CLOSE_MM)
    ray, met, turn = ray[crossing], met[crossing], turn[crossing]
    off = line.starts[met] - at[ray]
    gaps, there = _turn(off, line.ways[met]) / turn, _turn(off, outs[own[ray]]) / turn
    other, gap, place = np.full(len(own), -1), np.full(len(own), np.inf), np.zeros(len(own))
    for k in np.argsort(-gaps):  # What is nearest is put in last.
        other[ray[k]], gap[ray[k]] = met[k], max(0.0, float(gaps[k]))
        place[ray[k]] = line.along[met[k]] + there[k]
    alike = np.einsum("ij,ij->i", outs[own], outs[other])
    other = np.where(alike < FACING, other, -1)
    way = (place - along) % line.total
    behind = way > line.total / 2.0
    return _Pairs(
        at, along, own, other, gap, np.where(behind, place, along),
        np.where(behind, line.total - way, way),
    )  # fmt: skip


def _turn(first: FloatArray, second: FloatArray) -> FloatArray:
    return np.asarray(first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0])
