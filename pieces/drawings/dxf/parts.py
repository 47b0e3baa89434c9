"""Which lines are outlines of pieces, and what belongs to each: by block, or by where it lies."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from pieces.drawings.dxf.chains import Stroke, joined
from pieces.drawings.dxf.layers import Layer, called, named, numbered
from pieces.drawings.dxf.walk import Drawn, Group, Item
from pieces.findings import Finding
from pieces.outline import CLOSED_MM, signed_area

MOST_PARTS = 500

MOST_LOOSE = 3000
"""Lines outside blocks; drawings of patterns have hundreds."""

BESIDE_MM = 2.0
"""What lies this near to an outline still lies in its piece."""

SMALL_SHARE = 0.01
"""A closed line inside a piece that is smaller than this share of it is surely a mark."""

LEAST_MM2 = 25.0
"""A closed line with less area is no piece."""


@dataclass
class Part:
    """One outline and the items that belong to its piece.

    `by_number` tells whether layers are those of the standard; `ident` is what options call it.
    """

    outline: Stroke
    ident: str
    where: str
    by_number: bool
    items: list[Item] = field(default_factory=list)

    def meaning(self, item: Item) -> Layer:
        """What an item is, by its layer."""
        return numbered(item.layer) if self.by_number else named(item.layer)


@dataclass
class Parts:
    """All parts of a drawing, what is left out (counted, in words) and what must be asked."""

    parts: list[Part] = field(default_factory=list)
    ignored: Counter[str] = field(default_factory=Counter)
    findings: list[Finding] = field(default_factory=list)


def parts_of(drawn: Drawn, left_out: frozenset[str], file: str) -> Parts:
    """Sort what is drawn into parts.

    Parameters
    ----------
    drawn : Drawn
    left_out : frozenset of str
        Blocks, layers and outlines that the user leaves out.
    file : str
        For messages.
    """
    found = Parts(findings=list(drawn.findings))
    found.ignored.update(drawn.ignored)
    for group in drawn.groups.values():
        if group.block in left_out:
            found.ignored[f"'{group.block}', as you say"] += 1
            continue
        part = _of_block(group, found, file)
        if part is not None:
            found.parts.append(part)
    _loose(drawn.loose, left_out, found, file)
    if len(found.parts) > MOST_PARTS:
        words = f"has {len(found.parts):,} outlines; more than {MOST_PARTS:,} are no pattern"
        found.findings.append(Finding(file, words))
        found.parts = []
    return found


def _of_block(group: Group, found: Parts, file: str) -> Part | None:
    lines = [item for item in group.items if item.stroke is not None]
    outlines = [item for item in lines if numbered(item.layer) is Layer.OUTLINE]
    strokes = joined(item.stroke for item in outlines if item.stroke is not None)
    closed = sorted((s for s in strokes if s.closed), key=_area, reverse=True)
    if not closed:
        longest = max(strokes, key=lambda stroke: stroke.length)
        gap = math.dist(*longest.ends)
        found.findings.append(
            Finding(
                file,
                f"its boundary on layer 1 is open: its ends lie {gap:.1f} mm apart",
                group.block,
                fix=f"close it; ends within {CLOSED_MM:g} mm are joined",
            )
        )
        return None
    if len(group.scales) > 1:
        found.findings.append(
            Finding(
                file,
                "is inserted in several scales; the first one is taken. Is that right?",
                group.block,
                fatal=False,
            )
        )
    for other in strokes:
        if other is not closed[0]:
            kind = "a second closed line" if other.closed else "an open line"
            found.ignored[f"{kind} on layer 1 in '{group.block}'"] += 1
    items = [item for item in group.items if item not in outlines]
    return Part(closed[0], group.block, f"block '{group.block}'", True, items)


def _loose(items: list[Item], left_out: frozenset[str], found: Parts, file: str) -> None:
    """Outlines among lines that no block holds together, with what lies inside each."""
    kept = [item for item in items if not {item.layer, item.handle} & left_out]
    if len(kept) < len(items):
        found.ignored["what you say is no part of the pattern"] += len(items) - len(kept)
    if sum(1 for item in kept if item.stroke is not None) > MOST_LOOSE:
        words = f"has more than {MOST_LOOSE:,} lines that no block holds together"
        found.findings.append(Finding(file, words, fix="put each piece into a block of its own"))
        return
    closed, rest = _closed_lines(kept)
    outer = _outer(closed, rest, left_out, found, file)
    parts = [
        Part(
            stroke, ident, f"closed line {ident} on {called(item.layer)}",
            numbered(item.layer) is Layer.OUTLINE,
        )
        for ident, item, stroke, _ in outer
    ]  # fmt: skip
    shapes = [shape for *_, shape in outer]
    for item in rest:
        owner = _owner(shapes, item)
        if owner is not None:
            parts[owner].items.append(item)
        elif item.text:
            if ":" not in item.text:
                found.ignored[f"text outside all pieces: '{item.text[:40]}'"] += 1
        else:
            found.ignored[f"{item.kind} outside all pieces on {called(item.layer)}"] += 1
    found.parts += parts


def _closed_lines(items: list[Item]) -> tuple[list[tuple[Item, Stroke]], list[Item]]:
    """Lines that close, alone or joined layer by layer and then all together; and all others."""
    rest = [item for item in items if item.stroke is None]
    marks = [
        item for item in items
        if item.stroke is not None
        and (named(item.layer) is not Layer.OTHER
             or numbered(item.layer) not in (Layer.OTHER, Layer.OUTLINE))
    ]  # fmt: skip
    marked = {id(item) for item in marks}
    lines = [item for item in items if item.stroke is not None and id(item) not in marked]
    drawn_by = {item.stroke: item for item in reversed(lines)}
    closed: list[tuple[Item, Stroke]] = []
    open_lines: list[Item] = []
    for layer in dict.fromkeys(item.layer for item in lines):
        first = next(item for item in lines if item.layer == layer)
        for stroke in joined(i.stroke for i in lines if i.layer == layer and i.stroke is not None):
            known = drawn_by.get(stroke, first)
            if stroke.closed:
                closed.append((known, stroke))
            else:
                open_lines.append(_with(known, stroke))
    for stroke in joined(item.stroke for item in open_lines if item.stroke is not None):
        known = next(
            (
                i
                for i in open_lines
                if i.stroke is not None and set(i.stroke.ends) & set(stroke.points)
            ),
            open_lines[0],
        )
        if stroke.closed:
            closed.append((known, stroke))
        else:
            rest.append(_with(known, stroke))
    return closed, [*rest, *marks]


def _with(item: Item, stroke: Stroke) -> Item:
    return Item(item.kind, item.layer, stroke.points[0], stroke, handle=item.handle)


def _outer(
    closed: list[tuple[Item, Stroke]],
    rest: list[Item],
    left_out: frozenset[str],
    found: Parts,
    file: str,
) -> list[tuple[str, Item, Stroke, Any]]:
    """Closed lines that lie in no other; those inside become marks, and are asked about."""
    from shapely.geometry import Polygon

    listed: list[tuple[str, Item, Stroke, Any]] = []
    for number, (item, stroke) in enumerate(closed, start=1):
        shape = Polygon(stroke.points)
        shape = shape if shape.is_valid else shape.convex_hull
        ident = item.handle or str(number)
        if shape.area < LEAST_MM2 or ident in left_out:
            rest.append(_with(item, stroke))
        else:
            listed.append((ident, item, stroke, shape))
    listed.sort(key=lambda entry: entry[3].area, reverse=True)
    kept: list[tuple[str, Item, Stroke, Any]] = []
    if len(listed) > MOST_PARTS:
        words = f"has {len(listed):,} closed lines; more than {MOST_PARTS:,} are no pattern"
        found.findings.append(Finding(file, words))
        return []
    for ident, item, stroke, shape in listed:
        around = next((e for e in kept if e[3].buffer(0.01).contains(shape)), None)
        if around is None:
            kept.append((ident, item, stroke, shape))
            continue
        if abs(around[3].area - shape.area) < 1.0:
            found.ignored[f"drawn a second time: {ident} on {called(item.layer)}"] += 1
            continue
        rest.append(_with(item, stroke))
        if shape.area > SMALL_SHARE * around[3].area and numbered(item.layer) is Layer.OTHER:
            found.findings.append(
                Finding(
                    file,
                    f"closed line {ident} on {called(item.layer)} lies inside closed line "
                    f"{around[0]} and is taken for a mark in it, not for a piece; is that right?",
                    fix=f"if it is a piece, leave out what is round it: --leave-out {around[0]}",
                    fatal=False,
                )
            )
    order = {id(stroke): at for at, (_, stroke) in enumerate(closed)}
    return sorted(kept, key=lambda entry: order[id(entry[2])])


def _owner(shapes: list[Any], item: Item) -> int | None:
    """The smallest outline that an item lies in, or beside."""
    from shapely.geometry import Point as Spot

    at = item.at
    if item.stroke is not None:
        ends = item.stroke.points
        at = ends[len(ends) // 2] if len(ends) > 2 else (
            (ends[0][0] + ends[1][0]) / 2.0, (ends[0][1] + ends[1][1]) / 2.0
        )  # fmt: skip
    spot = Spot(at)
    near = [n for n, shape in enumerate(shapes) if shape.distance(spot) <= BESIDE_MM]
    return min(near, key=lambda n: float(shapes[n].area), default=None)


def _area(stroke: Stroke) -> float:
    return abs(signed_area(stroke.points))
