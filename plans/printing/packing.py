"""Pieces moved together on paper, so that pages are few: our own solver lays them."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from fabrics.folds.fold import Fold
from fabrics.spread import make_spread
from layout.effort import Effort
from layout.fit import NoLayoutError
from layout.layout import Placement
from layout.problem import Item, Pose, Section, Slot
from layout.solver import solve
from layout.strip_problem import StripProblem
from pieces.geometry_types import Point, Ring
from plans.full_size.sheet import Group, Label, Line, LineKind, Sheet

APART_MM = 6.0
"""Between pieces on paper: enough for scissors."""

QUARTERS = (0.0, 90.0, 180.0, 270.0)
"""Grain does not matter on paper."""


def packed(sheet: Sheet, width: float) -> Sheet | None:
    """Lay the pieces of a sheet on paper of a width (mm), turned by quarters; None if one is wider.

    The paper runs down from y = 0; x goes from 0 to `width`.
    """
    slot = Slot(0, 0, (0,), 0, tuple(Pose(angle) for angle in QUARTERS))
    items = tuple(Item(group.ident, (outline_of(group),), 1, (slot,)) for group in sheet.groups)
    paper = Section("paper", make_spread(Fold.OPEN, width))
    try:
        layout = solve(StripProblem(items, (paper,), gap=APART_MM), Effort.QUICK)
    except NoLayoutError:
        return None
    groups = tuple(_put(sheet.groups[spot.item], spot) for spot in layout.placements)
    return replace(sheet, groups=groups)


def outline_of(group: Group) -> Ring:
    """The outline of a piece."""
    return next(line.points for line in group.lines if line.kind is LineKind.OUTLINE)


def least_width(group: Group) -> float:
    """Narrowest paper (mm) that takes a piece, turned by a quarter or not."""
    size = np.ptp(np.asarray(outline_of(group)), axis=0)
    return float(size.min())


def _put(group: Group, spot: Placement) -> Group:
    """A piece where it was laid; the lay's x runs down the paper, its y across."""
    angle = math.radians(spot.pose.angle_deg)
    cos, sin = math.cos(angle), math.sin(angle)

    def move(point: Point) -> Point:
        x = cos * point[0] - sin * point[1] + spot.x
        y = sin * point[0] + cos * point[1] + spot.y
        return y, -x

    lines = tuple(
        Line(line.kind, tuple(move(p) for p in line.points), line.closed) for line in group.lines
    )
    label = group.label
    if label is not None:
        label = Label(
            label.lines,
            move(label.at),
            label.height,
            _upright(label.turn + spot.pose.angle_deg - 90),
        )
    notches = tuple((move(outer), move(inner)) for outer, inner in group.notches)
    return replace(group, lines=lines, notches=notches, label=label)


def _upright(turn: float) -> float:
    """The same direction of text, never upside down: in (-90, 90]."""
    turn = (turn + 180.0) % 360.0 - 180.0
    return turn - 180.0 if turn > 90.0 else turn + 180.0 if turn <= -90.0 else turn
