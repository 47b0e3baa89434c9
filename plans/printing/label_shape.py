"""The paper that a label takes, so that no page cuts off or leaves out what is written."""

from __future__ import annotations

import math

from pieces.geometry_types import Ring
from plans.drawing.writing import text_width
from plans.full_size.marks import LINE_SPACING
from plans.full_size.sheet import Label


def label_shapes(label: Label) -> tuple[Ring, ...]:
    """Corners (sheet mm) of the rectangle that holds each line of a label as it is turned."""
    step = label.height * LINE_SPACING
    angle = math.radians(label.turn)
    cos, sin = math.cos(angle), math.sin(angle)
    x0, y0 = label.at
    rings = []
    for k, text in enumerate(label.lines):
        wide = text_width(text) * label.height
        left = 0.0 if label.from_left else -wide / 2.0
        top = (len(label.lines) / 2.0 - k) * step
        corners = ((left, top - step), (left + wide, top - step), (left + wide, top), (left, top))
        rings.append(tuple((x0 + cos * x - sin * y, y0 + sin * x + cos * y) for x, y in corners))
    return tuple(rings)
