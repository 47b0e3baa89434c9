"""The walk over a DXF document: what is drawn, block by block, in mm.

Terms
-----
item
    A line, a point or a text, with its layer.
group
    The items of one block that holds an outline on layer 1, as it was inserted first.
loose
    All other items: of the drawing itself, and of blocks without such an outline.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from pieces.drawings.dxf.chains import Stroke, stroke_of
from pieces.drawings.dxf.flatten import flatten
from pieces.drawings.dxf.layers import Layer, called, numbered
from pieces.files.unfit_text import printable
from pieces.findings import Finding, InputError
from pieces.geometry_types import Point
from pieces.outline import FLATNESS_MM, OutlineError

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.math import Matrix44

MOST_POINTS = 150_000
MOST_VISITED = 100_000
"""Entities looked at, those of blocks once for each time that they are inserted."""

MOST_LEVELS = 12
LARGEST_MM = 100_000.0
"""A drawing that goes farther than 100 m from its origin is at fault."""

LARGEST_FIGURE = 1e9
"""Of a place or a scale in which a block is inserted."""

LINES = frozenset(("LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE"))


@dataclass(frozen=True)
class Item:
    """One thing drawn: a line (`stroke`), a text, or a point; `at` is where it begins, mm."""

    kind: str
    layer: str
    at: Point
    stroke: Stroke | None = None
    text: str = ""
    handle: str = ""


@dataclass
class Group:
    """The items of a block with an outline; `sizes` are the scales that it is inserted in."""

    block: str
    items: list[Item] = field(default_factory=list)
    scales: set[float] = field(default_factory=set)


@dataclass
class Drawn:
    """What a document shows; `ignored` counts what is no line, point or text, in words."""

    groups: dict[str, Group] = field(default_factory=dict)
    loose: list[Item] = field(default_factory=list)
    ignored: Counter[str] = field(default_factory=Counter)
    findings: list[Finding] = field(default_factory=list)


def all_texts(document: Document) -> list[str]:
    """Every text of a document, for what is said of the whole."""
    found = []
    for layout in document.blocks:
        for entity in layout.query("TEXT MTEXT ATTDEF"):
            found.append(_text(entity))
    return found


def walk(document: Document, unit_mm: float, file: str) -> Drawn:
    """Collect what is drawn.

    Raises
    ------
    InputError
        If there is absurdly much, or a figure is endless or absurdly large.
    """
    return _Walk(document, unit_mm, file).run()


class _Walk:
    def __init__(self, document: Document, unit_mm: float, file: str) -> None:
        self.document, self.unit_mm, self.file = document, unit_mm, file
        self.drawn = Drawn()
        self.points = self.visited = 0
        self.placed: set[str] = set()
        self.outlined = {b.name for b in document.blocks if _has_outline(b)}

    def run(self) -> Drawn:
        from ezdxf.math import Matrix44

        scale = Matrix44.scale(self.unit_mm)
        self._layout(self.document.modelspace(), scale, (), "0", self.drawn.loose)
        for name in sorted(self.outlined - self.placed, key=self._order):
            # Files whose blocks stand nowhere in the drawing are known.
            group = Group(name)
            self.drawn.groups[name] = group
            self._layout(self.document.blocks[name], scale, (name,), "0", group.items)
        return self.drawn

    def _order(self, name: str) -> int:
        return next(n for n, b in enumerate(self.document.blocks) if b.name == name)

    def _layout(
        self, layout: Any, matrix: Matrix44, path: tuple[str, ...], layer: str, into: list[Item]
    ) -> None:
        for entity in layout:
            self.visited += 1
            if self.visited > MOST_VISITED:
                self._refuse(
                    "draws its blocks so often that it has more than "
                    f"{MOST_VISITED:,} entities; that is no drawing of a pattern"
                )
            own = _layer(entity)
            own = layer if own == "0" else printable(own)
            try:
                self._entity(entity, matrix, path, own, into)
            except InputError:
                raise
            except (ValueError, TypeError, AttributeError, LookupError, ArithmeticError) as error:
                kind, handle = entity.dxftype(), entity.dxf.get("handle", "")
                raise InputError(
                    [Finding(self.file, f"{kind} {handle} on {called(own)} is broken: {error}")]
                ) from error

    def _entity(
        self, entity: Any, matrix: Matrix44, path: tuple[str, ...], layer: str, into: list[Item]
    ) -> None:
        kind = entity.dxftype()
        if kind == "INSERT":
            self._insert(entity, matrix, path, layer, into)
        elif kind in LINES:
            self._line(entity, matrix, layer, into)
        elif kind in ("TEXT", "MTEXT"):
            at = self._place(entity.dxf.get("insert", (0, 0, 0)), matrix, layer)
            into.append(Item(kind, layer, at, text=_text(entity)))
        elif kind == "POINT":
            into.append(Item(kind, layer, self._place(entity.dxf.location, matrix, layer)))
        elif kind != "ATTDEF":
            self.drawn.ignored[f"{kind} on {called(layer)}"] += 1

    def _insert(
        self, insert: Any, matrix: Matrix44, path: tuple[str, ...], layer: str, into: list[Item]
    ) -> None:
        name = str(insert.dxf.get("name", ""))
        block = self.document.blocks.get(name)
        if block is None:
            self.drawn.ignored[f"INSERT of '{printable(name)}', a block that is not there"] += 1
            return
        if block.block is not None and block.block.is_xref:
            self.drawn.ignored[f"'{printable(name)}', which lies in another file"] += 1
            return
        name = block.name
        if name in path:
            self._refuse(f"has blocks that contain themselves: '{printable(name)}'")
        if len(path) >= MOST_LEVELS:
            self._refuse(f"has blocks in one another, more than {MOST_LEVELS} deep")
        inner = insert.matrix44() * matrix
        self._finite(inner)
        for attribute in insert.attribs:
            into.append(Item("ATTRIB", layer, (0.0, 0.0), text=_text(attribute)))
        if name not in self.outlined:
            if insert.mcount > 1:
                self.drawn.ignored[f"'{printable(name)}' again in rows and columns"] += 1
            self._layout(block, inner, (*path, name), layer, into)
            return
        self.placed.add(name)
        group = self.drawn.groups.get(name)
        scale = round(_stretch(inner), 6)
        if group is not None:
            group.scales.add(scale)
            self.drawn.ignored[f"'{printable(name)}' inserted a second time"] += insert.mcount
            return
        group = Group(name, scales={scale})
        self.drawn.groups[name] = group
        if insert.mcount > 1:
            self.drawn.ignored[f"'{printable(name)}' again in rows and columns"] += 1
        self._layout(block, inner, (*path, name), layer, group.items)

    def _line(self, entity: Any, matrix: Matrix44, layer: str, into: list[Item]) -> None:
        stretch = _stretch(matrix)
        kind, handle = entity.dxftype(), str(entity.dxf.get("handle", ""))
        if stretch <= 0.0:
            self.drawn.ignored[f"{kind} on {called(layer)}, scaled to nothing"] += 1
            return
        try:
            flat = flatten(entity, FLATNESS_MM / stretch, LARGEST_MM / stretch)
        except OutlineError as error:
            self._refuse(f"{kind} {handle} on {called(layer)}: {error}",
                         "if its unit is another, say --unit mm, cm or in")  # fmt: skip
        if flat is None:
            self.drawn.ignored[f"{kind} (a surface) on {called(layer)}"] += 1
            return
        points, closed = flat
        self.points += len(points)
        if self.points > MOST_POINTS:
            self._refuse(f"has more than {MOST_POINTS:,} points; that is no drawing of a pattern")
        stroke = stroke_of([self._place(point, matrix, layer) for point in points], closed)
        if stroke is None:
            self.drawn.ignored[f"{kind} without length on {called(layer)}"] += 1
            return
        into.append(Item(kind, layer, stroke.points[0], stroke, handle=handle))

    def _place(self, point: Any, matrix: Matrix44, layer: str) -> Point:
        x, y, _ = matrix.transform((float(point[0]), float(point[1]), 0.0))
        if not (abs(x) <= LARGEST_MM and abs(y) <= LARGEST_MM):
            self._refuse(
                f"something on {called(layer)} has endless figures, or lies farther than 100 m "
                "from the origin", "if its unit is another, say --unit mm, cm or in",
            )  # fmt: skip
        return (x, y)

    def _finite(self, matrix: Matrix44) -> None:
        if not all(abs(figure) <= LARGEST_FIGURE for figure in matrix):
            self._refuse("inserts a block at a place or in a scale that is endless or absurd")

    def _refuse(self, words: str, fix: str | None = None) -> None:
        raise InputError([Finding(self.file, words, fix=fix)])


def _has_outline(block: Any) -> bool:
    return any(
        entity.dxftype() in LINES and numbered(_layer(entity)) is Layer.OUTLINE
        for entity in block
        if not block.is_any_layout
    )


def _layer(entity: Any) -> str:
    """Layer of an entity; kinds that the library does not know have none."""
    return str(entity.dxf.layer) if entity.dxf.hasattr("layer") else "0"


def _stretch(matrix: Matrix44) -> float:
    """The most by which lengths in the drawing's plane are stretched."""
    a, b, _ = matrix.transform_direction((1.0, 0.0, 0.0))
    c, d, _ = matrix.transform_direction((0.0, 1.0, 0.0))
    square, area = a * a + b * b + c * c + d * d, a * d - b * c
    return math.sqrt((square + math.sqrt(max(0.0, square**2 - 4.0 * area**2))) / 2.0)


def _text(entity: Any) -> str:
    from ezdxf.lldxf.encoding import decode_dxf_unicode

    plain = entity.plain_text() if hasattr(entity, "plain_text") else entity.dxf.get("text", "")
    lines = decode_dxf_unicode(str(plain)).strip().splitlines()
    return "\n".join(printable(line) for line in lines)
