"""The sketch of a fold as a light drawing of its own."""

from __future__ import annotations

import math
from itertools import groupby

from pieces.geometry_types import Point
from pieces.lengths import System
from plans.drawing.fold_marks import SIZE_MM, Stroke, Words, fold_marks
from plans.drawing.labels import POINT_MM
from plans.drawing.look import INK
from plans.drawing.writing import text_width
from plans.outputs.report.markup import escape
from plans.plan import SectionPlan

ANCHORS = {"left": "start", "center": "middle", "right": "end"}

DOWN = {"bottom": "-.2em", "center": ".35em", "top": ".8em"}
"""How far the foot of the letters lies below a place at the bottom, middle or top of a line."""

BARB_MM = 1.1

LARGER = 1.3
"""How much larger its words are than on paper, where they have room: it is read from a screen."""

WIDEST_MM = 74.0


def fold_picture(section: SectionPlan, system: System, words: str) -> str:
    """Return the sketch of a section; `words` are for those who do not see it."""
    wide, high = SIZE_MM
    marks = fold_marks(section, system)
    strokes = [mark for mark in marks if isinstance(mark, Stroke)]
    paths = "".join(
        f'<path d="{"".join(_path(stroke) for stroke in alike)}" '
        f'stroke-width="{width * POINT_MM:.2f}"/>'
        for width, alike in groupby(strokes, key=lambda stroke: stroke.width)
    )
    texts = "".join(_text(mark) for mark in marks if isinstance(mark, Words))
    return (
        f'<svg viewBox="0 0 {wide:g} {high:g}" role="img" aria-label="{escape(words)}">'
        f'<g fill="none" stroke="{INK}">{paths}</g>{texts}</svg>'
    )


def _path(stroke: Stroke) -> str:
    points = [_down(point) for point in stroke.points]
    line = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    heads = ""
    if stroke.head:
        heads += _barbs(points[-2], points[-1])
    if stroke.tail:
        heads += _barbs(points[1], points[0])
    return line + heads


def _barbs(start: Point, end: Point) -> str:
    """The head of an arrow that runs from one point to another."""
    back = math.atan2(start[1] - end[1], start[0] - end[0])
    sides = [
        (end[0] + BARB_MM * math.cos(back + turn), end[1] + BARB_MM * math.sin(back + turn))
        for turn in (0.4, -0.4)
    ]
    (x1, y1), (x2, y2) = sides
    return f"M{x1:.2f} {y1:.2f}L{end[0]:.2f} {end[1]:.2f}L{x2:.2f} {y2:.2f}"


def _text(words: Words) -> str:
    x, y = _down(words.at)
    # What reads upwards lies beside its place, and around it along the line.
    beside = {"left": ".8em", "right": "-.2em", "center": ".35em"}[words.across]
    anchor, down = ("middle", beside) if words.upright else (ANCHORS[words.across], DOWN[words.up])
    turned = f' transform="rotate(-90 {x:.2f} {y:.2f})"' if words.upright else ""
    size = words.size * POINT_MM
    size *= min(LARGER, max(1.0, WIDEST_MM / (size * text_width(words.text))))
    slanted = ' font-style="italic"' if words.italic else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" dy="{down}" text-anchor="{anchor}" '
        f'font-size="{size:.2f}" fill="{words.colour}"{slanted}{turned}>'
        f"{escape(words.text)}</text>"
    )


def _down(point: Point) -> Point:
    """A place measured from the upper left corner."""
    return point[0], SIZE_MM[1] - point[1]
