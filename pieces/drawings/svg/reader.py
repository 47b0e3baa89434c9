"""An SVG drawing read into drawn pieces, with what is doubtful and what was left out."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from pieces.drawings.drawn_piece import Drawing, DrawnPiece
from pieces.drawings.outline_edges import edges_of, with_fold
from pieces.drawings.svg.document import read_document
from pieces.drawings.svg.lines import Line, lines_of, pixel_size
from pieces.drawings.svg.sheet import Mark, Sheet
from pieces.drawings.svg.sorting import Member, Sorted, meaning, sort_out
from pieces.drawings.svg.walk import walk
from pieces.drawings.text_words import read_texts
from pieces.files.unfit_text import printable
from pieces.findings import Finding
from pieces.geometry_types import Point
from pieces.lengths import format_in
from pieces.outline import Edge

MOST_CORNERS = 4000
"""An outline that keeps more points once it is simplified is no pattern piece."""

MOST_NOTCHES = 200

SIMPLE_MM = 0.01
"""Outlines are simplified within this, well within what curves are flattened by."""

SUPPOSED_MM = 1000.0
"""A drawing that does not tell its size is looked at as if it were so large."""

LONGEST_NAME = 80
"""Longer names and titles are cut."""

MOST_TOLD = 200
"""Of what was left out so many things are named; the rest is counted."""

_BY_A_PROGRAM = re.compile(
    r"(?:path|g|group|rect|circle|ellipse|polygon|polyline|line|use|svg|shape|layer|text|id|_)*"
    r"[-_ ]?[\d_-]*",
    re.IGNORECASE,
)
"""Ids that no person gave."""


def read_svg(path: Path, lengths: dict[str, float], left_out: Iterable[str] = ()) -> Drawing:
    """Read an SVG drawing.

    Parameters
    ----------
    path : Path
    lengths : dict of str to float
        What the line of an id measures, mm.
    left_out : iterable of str
        Ids of elements that are no part of the pattern.

    Raises
    ------
    InputError
        If nothing can be made of the file.
    """
    file = str(path)
    sheet = walk(read_document(path), file, frozenset(left_out))
    size = pixel_size(sheet, lengths, file)
    title = printable(sheet.title[:LONGEST_NAME])
    if size is None:
        return _of_any_size(sheet, title, file)
    return _drawing(sheet, size, title, file)


def _of_any_size(sheet: Sheet, title: str, file: str) -> Drawing:
    """The pieces at some size, so that what else is missing is asked for at once."""
    findings = tuple(sheet.findings)
    supposed = SUPPOSED_MM / max(sheet.width, sheet.height, 1e-9)
    drawing = _drawing(sheet, supposed, title, file)
    return replace(drawing, findings=findings)


def _drawing(sheet: Sheet, size: float, title: str, file: str) -> Drawing:
    lines = lines_of(sheet, size, file)
    texts = [(w, (w.at.real * size, -w.at.imag * size)) for w in sheet.writings]
    found = sort_out(lines, texts, (sheet.width * size, sheet.height * size), file)
    names = _Names()
    pieces = [
        piece
        for member in found.members
        if (piece := _piece(member, names, found, sheet, file)) is not None
    ]
    if not found.members and not any(finding.fatal for finding in sheet.findings):
        found.findings.append(_no_piece(lines, file))
    return Drawing(
        file,
        title,
        sheet.unit,
        tuple(pieces),
        tuple(sheet.findings + found.findings),
        _told(sheet, found),
    )


class _Names:
    """Gives every piece a name and an id of its own."""

    def __init__(self) -> None:
        self.taken: dict[str, int] = {}

    def free(self, name: str) -> str:
        count = self.taken.get(name, 0) + 1
        self.taken[name] = count
        return name if count == 1 else self.free(f"{name} {count}")


def _piece(
    member: Member, names: _Names, found: Sorted, sheet: Sheet, file: str
) -> DrawnPiece | None:
    outline = member.outline
    own = [mark for mark in (member.group, outline.mark) if mark is not None]
    told = read_texts([mark.title for mark in own] + [w.text for w in member.writings])
    ident = next((mark.ident for mark in own if not _given_by_a_program(mark)), "")
    rest = list(told.rest)
    titled = any(mark.title for mark in own)
    if rest and (titled or not ident):
        name = rest.pop(0)
    elif ident:
        name = ident.replace("_", " ").replace("-", " ").strip() or ident
    else:
        name = outline.mark.ident or f"piece {len(names.taken) + 1}"
    name = names.free(printable(name[:LONGEST_NAME]))
    found.ignored += [
        f"text in '{name}': '{printable(text[:60])}'"
        for text in rest
        if text.lower() != name.lower()
    ]
    points = _simplified(outline)
    if len(points) > MOST_CORNERS:
        words = f"{outline.mark.place} has {len(points):,} corners; no piece has so many"
        found.findings.append(Finding(file, words, name, line=outline.mark.line))
        return None
    xs, ys = zip(*points, strict=True)
    corner = (min(xs), min(ys))
    edges = _edges(outline, points, corner)
    marks = _Marks(member, name, found, sheet, file)
    fold: str | None = None
    if marks.fold is not None:
        edges, fold = _folded(edges, marks, corner)
    grain = None
    if marks.grain is not None:
        grain = (_shifted(marks.grain[0], corner), _shifted(marks.grain[1], corner))
    return DrawnPiece(
        name=name,
        ident=ident or next((mark.ident for mark in reversed(own) if mark.ident), ""),
        where=outline.mark.place,
        edges=edges,
        fold=fold,
        grain=grain,
        notches=tuple(_shifted(point, corner) for point in marks.notches),
        cuts=told.cuts,
        net=False if marks.net and told.net is None else told.net,
        allowance=told.allowance,
    )


class _Marks:
    """What the lines in a piece mean: grain, fold and notches, as drawn."""

    def __init__(self, member: Member, name: str, found: Sorted, sheet: Sheet, file: str) -> None:
        self.name, self.found, self.file, self.unit = name, found, file, sheet.unit
        self.grain: tuple[Point, Point] | None = None
        self.fold: tuple[Point, Point] | None = None
        self.notches: list[Point] = []
        self.fold_line: Line | None = None
        kinds: dict[str, list[Line]] = {"grain": [], "fold": [], "notch": [], "net": [], "": []}
        for line in member.lines:
            kinds[meaning(line, member)].append(line)
        for line in kinds[""]:
            kind = "closed line" if line.closed else "line"
            found.ignored.append(f"{kind} in '{name}': {line.mark.place}")
        self.net = bool(kinds["net"])
        for line in kinds["net"]:
            found.ignored.append(
                f"stitching line in '{name}', whose outline with allowance is taken: "
                f"{line.mark.place}"
            )
        if kinds["grain"]:
            # The shaft of an arrow that is drawn in several strokes is the longest of them.
            shaft = max(kinds["grain"], key=lambda line: math.dist(*_longest(line)))
            tail, head = _longest(shaft)
            self.grain = (head, tail) if shaft.backwards else (tail, head)
        if kinds["fold"]:
            self.fold_line = max(kinds["fold"], key=lambda line: math.dist(*_longest(line)))
            self.fold = _longest(self.fold_line)
        if len(kinds["notch"]) > MOST_NOTCHES:
            words = f"has {len(kinds['notch']):,} notches; no piece has so many"
            found.findings.append(Finding(file, words, name, "notches"))
            kinds["notch"] = []
        for line in kinds["notch"]:
            self.notches.append(_nearest(line, member))

    def not_on_edge(self) -> None:
        """Say that the fold line is no edge of the outline."""
        if self.fold_line is None or self.fold is None:
            return
        length = format_in(math.dist(*self.fold), self.unit)
        self.found.findings.append(
            Finding(
                self.file,
                f"{self.fold_line.mark.place} is marked as the fold, {length} long, but is no edge "
                "of the outline",
                self.name,
                "fold",
                "a piece on the fold is drawn as a half that ends there; lay the line on that edge",
                line=self.fold_line.mark.line,
            )
        )


def _edges(outline: Line, points: tuple[Point, ...], corner: Point) -> tuple[Edge, ...]:
    """Edges by name where the outline was drawn in lines of their own, else from its corners."""
    if not outline.edges:
        return edges_of([_shifted(point, corner) for point in points])
    names = _Names()
    return tuple(
        Edge(
            names.free(printable(name[:LONGEST_NAME]) or f"edge {number}"),
            tuple(_shifted(point, corner) for point in _thinned(line)),
        )
        for number, (name, line) in enumerate(outline.edges, start=1)
    )


def _folded(
    edges: tuple[Edge, ...], marks: _Marks, corner: Point
) -> tuple[tuple[Edge, ...], str | None]:
    if marks.fold is None:
        return edges, None
    line = (_shifted(marks.fold[0], corner), _shifted(marks.fold[1], corner))
    folded = with_fold(edges, line)
    if folded is None:
        marks.not_on_edge()
        return edges, None
    return folded


def _given_by_a_program(mark: Mark) -> bool:
    return len(mark.ident) < LONGEST_NAME and _BY_A_PROGRAM.fullmatch(mark.ident) is not None


def _shifted(point: Point, corner: Point) -> Point:
    return (point[0] - corner[0], point[1] - corner[1])


def _longest(line: Line) -> tuple[Point, Point]:
    """The longest straight stretch of a line, from its start to its end."""
    return max(pairwise(line.points), key=lambda ends: math.dist(*ends))


def _nearest(line: Line, member: Member) -> Point:
    """Where a mark sits: the middle of a closed one, else its point nearest to the outline."""
    if line.closed:
        xs, ys = zip(*line.points, strict=True)
        return ((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0)
    from shapely.geometry import LinearRing
    from shapely.geometry import Point as Spot

    ring = LinearRing(member.outline.points)
    return min(line.points, key=lambda point: ring.distance(Spot(point)))


def _simplified(line: Line) -> tuple[Point, ...]:
    """The outline without points that make no difference."""
    return _thinned((*line.points, line.points[0]))[:-1]


def _thinned(points: tuple[Point, ...]) -> tuple[Point, ...]:
    from shapely.geometry import LineString

    line = LineString(points).simplify(SIMPLE_MM)
    return tuple((float(x), float(y)) for x, y in line.coords)


def _no_piece(lines: list[Line], file: str) -> Finding:
    longest = [line.mark.place for line in lines if not line.closed][:3]
    held = f"; it has open lines: {', '.join(longest)}" if longest else ""
    return Finding(
        file,
        f"shows no closed outline{held}",
        fix="draw each piece as one closed line (a path that ends with Z)",
    )


def _told(sheet: Sheet, found: Sorted) -> tuple[str, ...]:
    """What was left out, each thing once, in words."""
    listed = [
        words if count == 1 else f"{words} ({count} times)"
        for words, count in sheet.ignored.items()
    ]
    listed += [printable(words) for words in dict.fromkeys(found.ignored)]
    if len(listed) > MOST_TOLD:
        listed = [*listed[:MOST_TOLD], f"and {len(listed) - MOST_TOLD:,} things more"]
    return tuple(listed)
