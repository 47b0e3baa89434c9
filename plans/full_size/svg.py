"""A sheet as an SVG file whose width and height are in mm: 1 unit is 1 mm, y down."""

from __future__ import annotations

from xml.sax.saxutils import escape, quoteattr

from pieces.geometry_types import Point
from plans.full_size.marks import LINE_SPACING, LOOKS, arrow_head
from plans.full_size.sheet import Group, Label, Line, LineKind, Sheet

MARGIN_MM = 20.0


def svg_text(sheet: Sheet) -> str:
    """Return the SVG document of a sheet."""
    x1, y1, x2, y2 = sheet.bounds
    above = max(
        (
            g.label.at[1] + len(g.label.lines) * g.label.height - y2
            for g in sheet.groups
            if g.label is not None
        ),
        default=0.0,
    )
    left, top = x1 - MARGIN_MM, y2 + MARGIN_MM + max(0.0, above)
    wide, high = x2 - x1 + 2 * MARGIN_MM, top - y1 + MARGIN_MM
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.3f}mm" height="{high:.3f}mm" '
        f'viewBox="0 0 {wide:.3f} {high:.3f}" fill="none" stroke="black" '
        'font-family="sans-serif">',
        f"<title>{escape(sheet.title)}</title>",
    ]
    for group in sheet.groups:
        lines += _group(group, (left, top))
    return "\n".join([*lines, "</svg>", ""])


def _group(group: Group, origin: Point) -> list[str]:
    written = [f"<g id={quoteattr(group.ident)}>", f"<title>{escape(group.name)}</title>"]
    for line in group.lines:
        written += _line(line, origin)
    for notch in group.notches:
        written.append(_path(notch, False, "notch", "stroke-width:0.6", origin))
    if group.label is not None:
        written += _label(group.label, origin)
    return [*written, "</g>"]


def _line(line: Line, origin: Point) -> list[str]:
    look = _look(line.kind)
    name = line.kind.value.replace(" ", "-")
    written = [_path(line.points, line.closed, name, look, origin)]
    if line.kind is LineKind.GRAIN:
        written.append(_path(arrow_head(line.points), False, name, look, origin))
    return written


def _look(kind: LineKind) -> str:
    width, dashes = LOOKS[kind]
    broken = f";stroke-dasharray:{' '.join(f'{dash:g}' for dash in dashes)}" if dashes else ""
    return f"stroke-width:{width:g}{broken}"


def _path(points: tuple[Point, ...], closed: bool, name: str, look: str, origin: Point) -> str:
    placed = [(x - origin[0], origin[1] - y) for x, y in points]
    data = "M" + " L".join(f"{x:.4f} {y:.4f}" for x, y in placed) + (" Z" if closed else "")
    return f'<path class="{name}" style="{look}" d="{data}"/>'


def _label(label: Label, origin: Point) -> list[str]:
    x, y = label.at[0] - origin[0], origin[1] - label.at[1]
    step = label.height * LINE_SPACING
    first = -(len(label.lines) - 1) / 2.0 * step + label.height * 0.35
    anchor = "start" if label.from_left else "middle"
    turn = f"rotate({-label.turn:g})" if label.turn else ""
    return [
        f'<text transform="translate({x:.3f} {y:.3f}) {turn}" y="{first + n * step:.3f}" '
        f'font-size="{label.height:.3f}" text-anchor="{anchor}" fill="black" stroke="none">'
        f"{escape(line)}</text>"
        for n, line in enumerate(label.lines)
    ]
