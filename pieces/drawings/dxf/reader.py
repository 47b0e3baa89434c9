"""A DXF drawing read into drawn pieces, with what is doubtful and what was left out."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

from pieces.drawings.drawn_piece import Drawing, DrawnPiece
from pieces.drawings.dxf.chains import Stroke, joined
from pieces.drawings.dxf.document import read_document
from pieces.drawings.dxf.layers import Layer, called
from pieces.drawings.dxf.parts import Part, Parts, parts_of
from pieces.drawings.dxf.texts import Texts, read_notes, read_quantity, sort_texts
from pieces.drawings.dxf.units import unit_of
from pieces.drawings.dxf.walk import Item, all_texts, walk
from pieces.drawings.outline_edges import edges_of, with_fold
from pieces.files.unfit_text import printable
from pieces.findings import Finding
from pieces.geometry_types import Point
from pieces.outline import signed_area

MOST_CORNERS = 4000
"""An outline that keeps more points once it is simplified is no pattern piece."""

SIMPLE_MM = 0.01
"""Outlines are simplified within this, well within what curves are flattened by."""

MOST_TOLD = 200
"""Of what was left out so many things are named; the rest is counted."""

NET_SHARE = 0.5
"""A closed line on layer 14 or 8 is the net line if it holds this share of the outline's area."""


def read_dxf(path: Path, unit: str | None = None, left_out: Iterable[str] = ()) -> Drawing:
    """Read a DXF drawing.

    Parameters
    ----------
    path : Path
    unit : str, optional
        "mm", "cm" or "in": what one drawing unit is; it counts over what the file says.
    left_out : iterable of str
        Blocks, layers and outlines that are no part of the pattern.

    Raises
    ------
    InputError
        If nothing can be made of the file.
    """
    file = str(path)
    loaded = read_document(path)
    findings = loaded.findings
    texts = all_texts(loaded.document)
    size, thought = unit_of(unit, texts, loaded.unit_number, file, findings)
    style = sort_texts(texts)
    title = style.one("style name")[:200]
    if size is None:
        return Drawing(file, title, thought, findings=tuple(findings))
    parts = parts_of(walk(loaded.document, size, file), frozenset(left_out), file)
    parts.ignored.update(loaded.removed)
    reader = _Reader(parts, file, thought)
    pieces = [piece for part in parts.parts if (piece := reader.piece(part)) is not None]
    findings = [*findings, *parts.findings]
    if not parts.parts and not any(finding.fatal for finding in findings):
        findings.append(
            Finding(
                file,
                "shows no closed outline",
                fix="draw each piece as one closed line, or as lines whose ends meet",
            )
        )
    pieces, sizes = _in_sizes(pieces, file, findings)
    sample = style.one("sample size")
    return Drawing(
        file,
        title,
        thought,
        tuple(pieces),
        tuple(findings),
        _told(parts.ignored),
        sizes,
        sample if sample in sizes else (sizes[len(sizes) // 2] if sizes else ""),
    )


@dataclass
class _Reader:
    """Makes pieces of parts; what it finds and leaves out is added to `parts`."""

    parts: Parts
    file: str
    unit: str

    def piece(self, part: Part) -> DrawnPiece | None:
        texts = sort_texts(item.text for item in part.items if item.text)
        cuts, net, allowance, rest = read_notes(texts)
        name = texts.one("piece name")
        if not name and not part.by_number and rest:
            name, rest = rest[0], rest[1:]
        name = (name or (part.ident if part.by_number else f"piece {part.ident}"))[:80]
        size = texts.size[:40]
        points = _simplified(part.outline)
        if len(points) > MOST_CORNERS:
            words = f"{part.where} has {len(points):,} corners; no piece has so many"
            self.parts.findings.append(Finding(self.file, words, name))
            return None
        if len(points) < 3:
            words = f"{part.where} is flat, so that it is no outline"
            self.parts.findings.append(Finding(self.file, words, name))
            return None
        marks = _marks(part)
        corner = (min(x for x, _ in points), min(y for _, y in points))
        edges = edges_of([_shifted(point, corner) for point in points])
        fold = None
        if Layer.MIRROR in marks:
            line = max(
                (i.stroke for i in marks[Layer.MIRROR] if i.stroke), key=_reach, default=None
            )
            ends = _longest(line) if line is not None else None
            folded = ends and with_fold(
                edges, (_shifted(ends[0], corner), _shifted(ends[1], corner))
            )
            if folded:
                edges, fold = folded
            else:
                self._whole(name)
        grain = None
        shafts = [i.stroke for i in marks.get(Layer.GRAIN, ()) if i.stroke is not None]
        if shafts:
            tail, head = _longest(max(shafts, key=_reach))
            grain = (_shifted(tail, corner), _shifted(head, corner))
        notches = [_notch(item, part) for item in marks.get(Layer.NOTCH, ())]
        if part.by_number and _net_line(part, marks):
            net = False
            self.parts.ignored[f"sew line in '{name}': its outline with allowance is taken"] += 1
        self._left_out(part, marks, texts, rest, name)
        piece = DrawnPiece(
            name=name,
            ident=part.ident,
            where=part.where,
            edges=edges,
            fold=fold,
            grain=grain,
            notches=tuple(_shifted(point, corner) for point in notches),
            net=net,
            allowance=allowance,
            size=size,
        )
        return _counted(piece, texts, cuts)

    def _whole(self, name: str) -> None:
        self.parts.findings.append(
            Finding(
                self.file,
                "its mirror line is no edge of its outline, so it is read as a whole piece; is "
                "that right?",
                name,
                "fold",
                "a piece on the fold is drawn as a half that ends at its mirror line",
                fatal=False,
            )
        )

    def _left_out(
        self,
        part: Part,
        marks: dict[Layer, list[Item]],
        texts: Texts,
        rest: tuple[str, ...],
        name: str,
    ) -> None:
        ignored = self.parts.ignored
        used = (Layer.MIRROR, Layer.GRAIN, Layer.NOTCH)
        for meaning, items in marks.items():
            for item in items if meaning not in used else ():
                if part.by_number:
                    ignored[f"{item.kind} on {called(item.layer)}"] += 1
                else:
                    ignored[f"{item.kind} on {called(item.layer)} in '{name}'"] += 1
        for text in rest:
            ignored[f"text in '{name}': '{text[:60]}'"] += 1
        if texts.one("fold"):
            ignored[f"text in '{name}': 'Fold: {texts.one('fold')[:20]}' (of tubular cloth)"] += 1
        if texts.one("category"):
            ignored[f"text in '{name}': 'Category: {texts.one('category')[:40]}'"] += 1
        if marks.get(Layer.CUT_OUT):
            self.parts.findings.append(
                Finding(
                    self.file,
                    "it has cut-outs inside, which are left out: they are cut from the piece, and "
                    "no cloth is saved by them",
                    name,
                    fatal=False,
                )
            )


def _counted(piece: DrawnPiece, texts: Texts, noted: tuple[tuple[str, str], ...]) -> DrawnPiece:
    """The piece with how often it is cut: by its annotations, else by its quantity."""
    material = texts.one("material").strip().lower()[:40]
    if noted:
        hand = read_quantity(texts.one("quantity"), piece.fold is not None).hand
        return replace(piece, cuts=noted, hand="left" if hand is not None else "right")
    if not texts.one("quantity"):
        return replace(piece, role=material)
    quantity = read_quantity(texts.one("quantity"), piece.fold is not None)
    if quantity.question:
        return replace(piece, role=material, asked=quantity.question)
    return replace(
        piece,
        cuts=((material, quantity.label),),
        hand="left" if quantity.hand is not None else "right",
    )


def _marks(part: Part) -> dict[Layer, list[Item]]:
    """Lines and points of a part by what they are."""
    marks: dict[Layer, list[Item]] = {}
    for item in part.items:
        if not item.text and item.kind not in ("TEXT", "MTEXT", "ATTRIB"):
            marks.setdefault(part.meaning(item), []).append(item)
    return marks


def _net_line(part: Part, marks: dict[Layer, list[Item]]) -> bool:
    """Whether a net line is drawn inside: then the outline is the cut line."""
    area = abs(signed_area(part.outline.points))
    for meaning in (Layer.SEW, Layer.INNER):
        strokes = joined(i.stroke for i in marks.get(meaning, ()) if i.stroke is not None)
        if any(s.closed and abs(signed_area(s.points)) > NET_SHARE * area for s in strokes):
            return True
        if meaning is Layer.SEW and sum(s.length for s in strokes) > (
            NET_SHARE * part.outline.length
        ):
            return True
    return False


def _notch(item: Item, part: Part) -> Point:
    """Where a notch sits: its point, or the point of its mark that is nearest to the outline."""
    from shapely.geometry import LinearRing
    from shapely.geometry import Point as Spot

    if item.stroke is None:
        return item.at
    ring = LinearRing(part.outline.points)
    return min(item.stroke.points, key=lambda point: ring.distance(Spot(point)))


def _in_sizes(
    pieces: list[DrawnPiece], file: str, findings: list[Finding]
) -> tuple[list[DrawnPiece], tuple[str, ...]]:
    """Give every piece a name of its own in its size, and list the sizes, smallest first."""
    areas: dict[str, dict[str, float]] = {}
    for piece in pieces:
        ring = tuple(point for edge in piece.edges for point in edge.points)
        areas.setdefault(piece.size, {})[piece.name] = abs(signed_area(ring))
    named_sizes = [size for size in areas if size]
    several = len(named_sizes) > 1
    # Only what every size has tells which is the larger.
    common = set.intersection(*(set(areas[s]) for s in named_sizes)) if named_sizes else set()
    sizes = tuple(sorted(named_sizes, key=lambda s: sum(areas[s][name] for name in common)))
    taken: set[tuple[str, str]] = set()
    renamed = []
    for piece in pieces:
        size = (piece.size or sizes[len(sizes) // 2]) if several else ""
        name, number = piece.name, 1
        while (name, size) in taken:
            number += 1
            name = f"{piece.name} {number}"
        taken.add((name, size))
        renamed.append(replace(piece, name=name, size=size))
    if several:
        _alike(renamed, sizes, file, findings)
    return renamed, sizes if several else ()


def _alike(
    pieces: list[DrawnPiece], sizes: tuple[str, ...], file: str, findings: list[Finding]
) -> None:
    """Say what differs between the sizes of a piece and cannot, or is missing in one."""
    for name in dict.fromkeys(piece.name for piece in pieces):
        own = [piece for piece in pieces if piece.name == name]
        missing = [size for size in sizes if size not in {piece.size for piece in own}]
        if missing:
            words = f"is not drawn in size {', '.join(missing)}; it is taken as drawn for those"
            findings.append(Finding(file, words, name, "sizes", fatal=False))
        if len({(piece.cuts, piece.hand) for piece in own}) > 1:
            words = "is cut differently in its sizes, which one garment file cannot say"
            findings.append(
                Finding(file, words, name, "cut", f'say --cut "{name}=LABEL" for all sizes',
                        fatal=False)
            )  # fmt: skip


def _simplified(stroke: Stroke) -> tuple[Point, ...]:
    """The outline without points that make no difference."""
    from shapely.geometry import LineString

    ring = LineString([*stroke.points, stroke.points[0]]).simplify(SIMPLE_MM)
    return tuple((float(x), float(y)) for x, y in ring.coords[:-1])


def _longest(stroke: Stroke) -> tuple[Point, Point]:
    """The longest straight stretch of a line, from its start to its end."""
    return max(pairwise(stroke.points), key=lambda ends: math.dist(*ends))


def _reach(stroke: Stroke) -> float:
    return math.dist(*_longest(stroke))


def _shifted(point: Point, corner: Point) -> Point:
    return (point[0] - corner[0], point[1] - corner[1])


def _told(ignored: Counter[str]) -> tuple[str, ...]:
    """What was left out, each thing once, in words."""
    listed = [
        printable(words if count == 1 else f"{words} ({count} times)")
        for words, count in ignored.items()
    ]
    if len(listed) > MOST_TOLD:
        listed = [*listed[:MOST_TOLD], f"and {len(listed) - MOST_TOLD:,} things more"]
    return tuple(listed)
