"""What a small sketch of a fold consists of: strokes and words, on paper of a given size.

Lengthwise folds are seen from the cut end, folds across from a side, with the figures that a person
measures. Short ticks stand on the right side of the cloth. Places are in mm from the lower left
corner.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fabrics.spread import Faces
from pieces.geometry_types import Point
from pieces.lengths import System, format_length
from plans.drawing import look
from plans.drawing.labels import POINT_MM
from plans.drawing.writing import text_width, tied
from plans.plan import SectionPlan

SIZE_MM = (78.0, 19.5)
"""Width and height of a sketch, mm of paper."""

LEFT, RIGHT = 9.0, 69.0
LOWER, UPPER = 8.4, 11.4
"""Where the plies are drawn, mm from the lower left corner."""

MEASURE_TEXT = 6.5
"""Size of figures, points."""

ALL_BUT_MET_MM = 13.0
"""A gap between two flaps that is narrower is not measured: the selvages all but meet."""


@dataclass(frozen=True)
class Stroke:
    """A line through points, its width in points of type; `tail` and `head` are arrow heads."""

    points: tuple[Point, ...]
    width: float
    tail: bool = False
    head: bool = False


@dataclass(frozen=True)
class Words:
    """A line of text: its anchor, size in points, and how it lies about the anchor.

    `across` is "left", "center" or "right", `up` "bottom", "center" or "top", as in drawings.
    """

    at: Point
    text: str
    size: float
    across: str
    up: str
    italic: bool = False
    upright: bool = False
    """Turned to read upwards."""
    colour: str = look.INK


Mark = Stroke | Words


def fold_marks(section: SectionPlan, system: System) -> tuple[Mark, ...]:
    """Sketch how a section is folded."""
    marks = _across(section, system) if section.spread.doubled else _along(section, system)
    return tuple(marks)


def _along(section: SectionPlan, system: System) -> list[Mark]:
    """Seen from the cut end: the edge at lay y = 0 is at the right hand."""
    spread = section.spread
    height = spread.lay_height
    folds = {edge.at: spread.plies[edge.plies[1]] for edge in spread.fold_edges}

    def at(y: float) -> float:
        return RIGHT - (RIGHT - LEFT) * y / height

    up = spread.faces is Faces.IN
    marks = _ply(LEFT, RIGHT, LOWER, up)
    for edge, flap in sorted(folds.items()):
        depth = flap.y_to - flap.y_from
        end = at(depth if edge == 0.0 else height - depth)
        marks += _ply(at(edge), end, UPPER, not up)
        marks.append(_bend(at(edge), right=edge == 0.0))
        marks += _measure(at(edge), end, UPPER + 2.3, format_length(depth, system), True)
        name = "fold" if len(folds) == 1 else ("right fold" if edge == 0.0 else "left fold")
        if edge == 0.0:
            marks.append(_name(RIGHT + 2.2, name, "left"))
        else:
            marks.append(_name(LEFT - 2.2, name, "right"))
    depths = [flap.y_to - flap.y_from for flap in folds.values()]
    rest = height - sum(depths)
    if folds and rest > ALL_BUT_MET_MM:
        first = at(folds[0.0].y_to) if 0.0 in folds else RIGHT
        far = first - (RIGHT - LEFT) * rest / height
        words = f"single layer {format_length(rest, system)}"
        marks += _measure(first, far, LOWER - 2.0, words, False)
    elif not folds:
        words = f"single layer {format_length(height, system)}"
        marks += _measure(LEFT, RIGHT, LOWER - 2.0, words, False)
    selvage = "selvages" if spread.fold.in_half else "selvage"
    if 0.0 not in folds:
        marks.append(_name(RIGHT + 2.2, selvage, "left"))
    if height not in folds:
        marks.append(_name(LEFT - 2.2, selvage, "right"))
    return [*marks, _foot("seen from the cut end")]


def _across(section: SectionPlan, system: System) -> list[Mark]:
    """Seen from a side: the fold, or the cut along it, at the left."""
    up = section.spread.faces is Faces.IN
    half = (section.cloth_to - section.cloth_from) / 2.0
    above = half if section.folded_at is None else section.folded_at - section.cloth_from
    below = section.cloth_to - section.cloth_from - above
    # The ply that is longer reaches to the right end; most folds are in half.
    scale = (RIGHT - LEFT) / max(above, below)
    marks = _ply(LEFT, LEFT + scale * below, LOWER, up)
    marks += _ply(LEFT, LEFT + scale * above, UPPER, not up)
    marks += _measure(LEFT, LEFT + scale * above, UPPER + 2.3, format_length(above, system), True)
    if section.spread.folded_across:
        return [
            *marks, _bend(LEFT, right=False), _name(LEFT - 2.2, "fold", "right"),
            _name(RIGHT + 2.0, "cut ends", "left"), _foot("seen from a selvage"),
        ]  # fmt: skip
    marks += [_name(LEFT - 1.5, "cut", "right"), _name(RIGHT + 1.5, "ends", "left")]
    marks += [
        Stroke(((LEFT + 4.0, y), (LEFT + 14.0, y)), 0.6, head=True)
        for y in (LOWER - 1.6, UPPER + 1.0)
    ]
    nap = Words((LEFT + 15.0, LOWER - 1.8), "nap, both plies", 5.5, "left", "center")
    return [*marks, nap, _foot("cut, upper ply turned half round; from a selvage")]


def _ply(x1: float, x2: float, y: float, right_side_up: bool) -> list[Mark]:
    """One ply seen edge-on, with ticks on its right side."""
    tick = 0.55 if right_side_up else -0.55
    ticks = np.arange(min(x1, x2) + 1.0, max(x1, x2) - 0.5, 2.0).tolist()
    return [
        Stroke(((x1, y), (x2, y)), 1.3),
        *(Stroke(((x, y), (x, y + tick)), 0.45) for x in ticks),
    ]


def _bend(x: float, right: bool) -> Mark:
    """The fold between the plies."""
    angles = np.linspace(-np.pi / 2.0, np.pi / 2.0, 24)
    radius = (UPPER - LOWER) / 2.0
    side = 1.0 if right else -1.0
    xs = x + side * radius * np.cos(angles)
    ys = (UPPER + LOWER) / 2.0 + radius * np.sin(angles)
    return Stroke(tuple(zip(xs.tolist(), ys.tolist(), strict=True)), 1.3)


def _measure(x1: float, x2: float, y: float, text: str, above: bool) -> list[Mark]:
    # Words may be wider than what they measure, but not reach into the names beside the sketch.
    half = text_width(text) * MEASURE_TEXT * POINT_MM / 2.0
    middle = min(max((x1 + x2) / 2.0, LEFT + half), RIGHT - half)
    place = (middle, y + (0.6 if above else -0.6))
    return [
        Stroke(((x2, y), (x1, y)), 0.5, tail=True, head=True),
        Words(place, tied(text), MEASURE_TEXT, "center", "bottom" if above else "top"),
    ]


def _name(x: float, text: str, side: str) -> Mark:
    place = (x, (LOWER + UPPER) / 2.0)
    return Words(place, text, 6.0, side, "center", italic=True, upright=len(text) > 4)


def _foot(text: str) -> Mark:
    words = f"{text}; ticks: right side of the cloth"
    return Words((SIZE_MM[0] / 2.0, 0.2), words, 5.2, "center", "bottom", colour=look.QUIET)
