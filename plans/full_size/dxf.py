"""A sheet as a DXF file in mm.

Pieces go out as sewn-product pattern data (open standard ASTM D6673): one block a piece, its lines
on the layers of the standard, texts as `Identifier: value`, in the oldest and plainest version of
DXF (R12) and in 7-bit ASCII. Lays go out as a plain drawing whose header states its unit, each
kind of line on a layer of its own name.
"""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING, Any

from pieces.drawings.dxf.library import silent
from pieces.geometry_types import Point
from plans.full_size.marks import LINE_SPACING, arrow_head
from plans.full_size.sheet import Label, LineKind, Sheet

if TYPE_CHECKING:
    from ezdxf.document import Drawing

LAYERS = {LineKind.OUTLINE: "1", LineKind.NET: "14", LineKind.GRAIN: "7", LineKind.FOLD: "6"}
"""Layers of the standard."""

NOTCH_LAYER, TEXT_LAYER = "4", "1"

NOTCH_DEPTH_MM = 5.0

COLOURS = {
    LineKind.OUTLINE: 7, LineKind.NET: 8, LineKind.GRAIN: 5, LineKind.FOLD: 1,
    LineKind.CLOTH: 8, LineKind.USABLE: 8, LineKind.FOLDED: 1,
}  # fmt: skip

CAPITAL = 0.72
"""DXF measures text by its capitals, which are so much of the size of letters."""

MILLIMETRES = 4
"""Number of the millimetre in the header ($INSUNITS)."""


def dxf_text(sheet: Sheet) -> str:
    """Return the DXF document of a sheet."""
    stream = io.StringIO()
    with silent():
        document = _pieces(sheet) if sheet.of_pieces else _lays(sheet)
        document.write(stream)
    return stream.getvalue()


def _pieces(sheet: Sheet) -> Drawing:
    from ezdxf.filemanagement import new

    document = new("R12")
    for kind, name in LAYERS.items():
        document.layers.add(name, color=COLOURS[kind])
    document.layers.add(NOTCH_LAYER, color=6)
    space = document.modelspace()
    for group in sheet.groups:
        block = document.blocks.new(group.ident.upper())
        base = group.lines[0].points
        corner = (min(x for x, _ in base), min(y for _, y in base))
        for line in group.lines:
            points = [(x - corner[0], y - corner[1]) for x, y in line.points]
            attributes = {"layer": LAYERS[line.kind]}
            if len(points) == 2:
                block.add_line(points[0], points[1], dxfattribs=attributes)
            else:
                block.add_polyline2d(points, close=line.closed, dxfattribs=attributes)
        for (x, y), _ in group.notches:
            place = (x - corner[0], y - corner[1], NOTCH_DEPTH_MM)
            block.add_point(place, dxfattribs={"layer": NOTCH_LAYER})
        texts = tuple(f"{key}: {value}" for key, value in group.facts)
        if group.label is not None:
            middle = (group.label.at[0] - corner[0], group.label.at[1] - corner[1])
            height = group.label.height * min(1.0, len(group.label.lines) / max(len(texts), 1))
            _write(block, Label(texts, middle, height, group.label.turn), TEXT_LAYER, ascii_only)
        space.add_blockref(block.name, corner, dxfattribs={"layer": "1"})
    x1, y1, *_ = sheet.bounds
    texts = tuple(f"{key}: {value}" for key, value in sheet.facts)
    _write(space, Label(texts, (x1 + 100.0, y1 - 40.0), 8.0), TEXT_LAYER, ascii_only)
    return document


def _lays(sheet: Sheet) -> Drawing:
    from ezdxf.filemanagement import new

    document = new("R2010")
    document.header["$INSUNITS"] = MILLIMETRES
    document.header["$MEASUREMENT"] = 1
    for kind in LineKind:
        document.layers.add(_layer(kind), color=COLOURS[kind])
    document.layers.add("LABELS", color=7)
    space = document.modelspace()
    for group in sheet.groups:
        for line in group.lines:
            attributes = {"layer": _layer(line.kind)}
            space.add_lwpolyline(line.points, close=line.closed, dxfattribs=attributes)
            if line.kind is LineKind.GRAIN:
                space.add_lwpolyline(arrow_head(line.points), dxfattribs=attributes)
        if group.label is not None:
            _write(space, group.label, "LABELS", str)
    return document


def _layer(kind: LineKind) -> str:
    return kind.value.upper().replace(" ", "-")


def _write(layout: Any, label: Label, layer: str, spelt: Any) -> None:
    from ezdxf.enums import TextEntityAlignment

    step = label.height * LINE_SPACING
    turn = math.radians(label.turn)
    for number, line in enumerate(label.lines):
        down = (number - (len(label.lines) - 1) / 2.0) * step
        place: Point = (label.at[0] + down * math.sin(turn), label.at[1] - down * math.cos(turn))
        text = layout.add_text(
            spelt(line),
            height=label.height * CAPITAL,
            rotation=label.turn,
            dxfattribs={"layer": layer},
        )
        align = TextEntityAlignment.MIDDLE_LEFT if label.from_left else TextEntityAlignment.MIDDLE
        text.set_placement(place, align=align)


def ascii_only(text: str) -> str:
    """Spell letters beyond ASCII in the way of DXF: an escape of four hexadecimal digits."""
    return "".join(
        c if c.isascii() else f"\\U+{ord(c):04X}" if ord(c) < 0x10000 else "?" for c in text
    )
