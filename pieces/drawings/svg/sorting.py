"""Which lines of a sheet are pieces, and which lines and texts belong to which piece."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from pieces.drawings.svg.joining import joined
from pieces.drawings.svg.lines import FOLD_WORDS, Line, words_of
from pieces.drawings.svg.sheet import Mark, Writing
from pieces.findings import Finding
from pieces.geometry_types import Point

MOST_OUTLINES = 500
"""A drawing with more closed lines is no pattern, marks included."""

SMALL_SHARE = 0.01
"""A closed line inside a piece that is smaller than this share of it is surely a mark."""

BESIDE_MM = 2.0
"""A line this near to an outline still lies in its piece."""

GRAIN_WORDS = frozenset(("grain", "grainline", "straightgrain"))
NOTCH_WORDS = frozenset(("notch", "notches"))
NET_WORDS = frozenset(("net", "stitching", "stitchline", "sewline", "seamline"))
"""Of a line inside an outline, which then is the cutting line."""


@dataclass
class Member:
    """One outline with what belongs to it; `group` is the widest group that is its own."""

    outline: Line
    shape: Any
    group: Mark | None
    lines: list[Line] = field(default_factory=list)
    writings: list[Writing] = field(default_factory=list)


@dataclass
class Sorted:
    """Pieces with what belongs to each, what is left out, in words, and what must be asked."""

    members: list[Member] = field(default_factory=list)
    ignored: list[str] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def sort_out(
    lines: list[Line], writings: list[tuple[Writing, Point]], page: tuple[float, float], file: str
) -> Sorted:
    """Sort the lines and texts of a sheet into pieces.

    Every closed line, or ring of lines that meet, is the outline of a piece but: marks (notches),
    a frame as large as the sheet, a line drawn twice, and what lies inside another outline of the
    same group.

    Parameters
    ----------
    lines : list of Line
    writings : list of (Writing, Point)
        Texts and where they begin, mm, y up.
    page : (float, float)
        Size of the sheet, mm.
    file : str
        For messages.
    """
    found = Sorted()
    outlines, others = _outlines(joined(lines, GRAIN_WORDS | NOTCH_WORDS), page, found)
    if len(outlines) > MOST_OUTLINES:
        words = f"has {len(outlines):,} closed lines; more than {MOST_OUTLINES:,} are no pattern"
        found.findings.append(Finding(file, words))
        return found
    outer = _outer(outlines, others, found, file)
    shared = Counter(mark.number for line, _ in outer for mark in line.groups)
    found.members = [
        Member(line, shape, next((m for m in line.groups if shared[m.number] == 1), None))
        for line, shape in outer
    ]
    owners = _Owners(found.members)
    for line in others:
        member = owners.of(line.groups, _middle(line))
        if member is not None:
            member.lines.append(line)
        else:
            kind = "closed line" if line.closed else "line"
            found.ignored.append(f"{kind} outside all pieces: {line.mark.place}")
    for writing, at in writings:
        member = owners.of(writing.groups, at)
        if member is not None:
            member.writings.append(writing)
        else:
            found.ignored.append(f"text outside all pieces: '{_short(writing.text)}'")
    return found


def meaning(line: Line, member: Member) -> str:
    """What a line in a piece is, by its own words or those of the groups inside the piece's."""
    groups = list(line.groups)
    if member.group is not None and member.group in groups:
        groups = groups[groups.index(member.group) + 1 :]
    else:
        groups = [mark for mark in groups if mark not in member.outline.groups]
    for words in (line.words, words_of(groups)):
        if words & NOTCH_WORDS:
            return "notch"
        if words & NET_WORDS:
            return "net"
        if line.closed:
            continue
        if words & GRAIN_WORDS:
            return "grain"
        if words & FOLD_WORDS:
            return "fold"
    return ""


def _outlines(
    lines: list[Line], page: tuple[float, float], found: Sorted
) -> tuple[list[Line], list[Line]]:
    """Closed lines that may be pieces, and all other lines."""
    outlines: list[Line] = []
    others: list[Line] = []
    seen: set[frozenset[tuple[int, int]]] = set()
    for line in lines:
        if not line.closed or len(line.points) < 3 or _is_notch(line):
            others.append(line)
            continue
        key = frozenset((round(x * 10), round(y * 10)) for x, y in line.points)
        if key in seen:
            found.ignored.append(f"drawn a second time: {line.mark.place}")
            continue
        seen.add(key)
        outlines.append(line)
    framed = [line for line in outlines if _is_page(line, page)]
    if len(outlines) > len(framed):
        found.ignored += [f"the frame of the sheet: {line.mark.place}" for line in framed]
        outlines = [line for line in outlines if line not in framed]
    return outlines, others


def _is_notch(line: Line) -> bool:
    return bool((line.words | words_of(line.groups[-1:])) & NOTCH_WORDS)


def _is_page(line: Line, page: tuple[float, float]) -> bool:
    """Whether a line is a rectangle round the whole sheet."""
    xs, ys = zip(*line.points, strict=True)
    slack = 0.005 * max(page)
    size = (max(xs) - min(xs), max(ys) - min(ys))
    corners = all(
        min(abs(x - min(xs)), abs(x - max(xs))) < slack
        and min(abs(y - min(ys)), abs(y - max(ys))) < slack
        for x, y in line.points
    )
    return corners and all(abs(a - b) <= 2 * slack for a, b in zip(size, page, strict=True))


def _outer(
    outlines: list[Line], others: list[Line], found: Sorted, file: str
) -> list[tuple[Line, Any]]:
    """Outlines that lie in no other of their group; what lies inside becomes a mark."""
    from shapely import STRtree
    from shapely.geometry import Polygon
    from shapely.prepared import prep

    shapes = [Polygon(line.points) for line in outlines]
    sound = [shape if shape.is_valid else shape.convex_hull for shape in shapes]
    tree = STRtree(sound)
    areas = [float(shape.area) for shape in sound]
    wide = [prep(shape.buffer(BESIDE_MM)) for shape in sound]
    kept: list[tuple[Line, Any]] = []
    for index, line in enumerate(outlines):
        spot = sound[index].representative_point()
        around = [
            int(i)
            for i in tree.query(spot, predicate="within")
            if i != index and areas[i] > areas[index] and wide[int(i)].contains(sound[index])
        ]
        same = [i for i in around if _of_one_group(outlines[i], line)]
        if same:
            others.append(line)
            nearest = min(same, key=lambda i: areas[i])
            if areas[index] < SMALL_SHARE * areas[nearest] or line.words & NET_WORDS:
                continue
            inside = outlines[nearest]
            found.findings.append(
                Finding(
                    file,
                    f"{line.mark.place} lies inside {inside.mark.place} and is taken for a mark in "
                    "it, not for a piece; is that right?",
                    line=line.mark.line,
                    fix="if it is a piece, give it a group of its own, or leave out what is round "
                    f"it: --leave-out {inside.mark.ident or 'ID'}",
                    fatal=False,
                )
            )
            continue
        if around:
            frame = outlines[min(around, key=lambda i: areas[i])]
            found.findings.append(
                Finding(
                    file,
                    f"{line.mark.place} lies inside {frame.mark.place}, and both are taken for "
                    "pieces; is that right?",
                    line=line.mark.line,
                    fix=f"if one is not, say --leave-out {frame.mark.ident or 'ID'} or "
                    f"--leave-out {line.mark.ident or 'ID'}",
                    fatal=False,
                )
            )
        kept.append((line, sound[index]))
    return kept


def _of_one_group(around: Line, inside: Line) -> bool:
    """Whether an outline is a part of the shape or of the group that the one round it is in."""
    if around.mark.number == inside.mark.number or around.groups == inside.groups:
        return True
    return bool(around.groups) and inside.groups[: len(around.groups)] == around.groups


class _Owners:
    """Finds the piece that something belongs to."""

    def __init__(self, members: list[Member]) -> None:
        import numpy as np
        from shapely import STRtree

        self.members = members
        self.by_group = {m.group.number: m for m in members if m.group is not None}
        self.tree = STRtree([member.shape for member in members])
        self.areas = np.array([member.shape.area for member in members])

    def of(self, groups: tuple[Mark, ...], at: Point) -> Member | None:
        """Return the piece whose own group it stands in, else the smallest that it lies in."""
        from shapely.geometry import Point as Spot

        for mark in groups:
            if mark.number in self.by_group:
                return self.by_group[mark.number]
        near = self.tree.query(Spot(at), predicate="dwithin", distance=BESIDE_MM)
        return self.members[int(near[self.areas[near].argmin()])] if len(near) else None


def _middle(line: Line) -> Point:
    from shapely.geometry import LineString

    place = LineString(line.points).interpolate(0.5, normalized=True)
    return (float(place.x), float(place.y))


def _short(text: str) -> str:
    flat = " ".join(text.split())
    return flat if len(flat) <= 40 else f"{flat[:39]}…"
